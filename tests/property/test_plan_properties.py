"""Promises of the plan, on farms drawn at random over the rules that mailby ships.

They are our own promises (the dates themselves are checked against outside sources elsewhere).
"""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.base.dates import WEEKDAYS
from compliance.engine.applies import holder_of
from compliance.engine.days import OperationDays
from compliance.engine.explain import trace_last
from compliance.engine.packets import packet_id
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.facts.catalog import Subject
from compliance.facts.conditions import evaluate_condition
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Closure, Holder, Job, MailService, Material, Operation
from compliance.facts.overrides import Override
from compliance.facts.parse import parse_operation
from compliance.rules.model import RulesTable, StepKind, StepUse
from compliance.rules.overrides import apply_overrides, find_overridable
from compliance.rules.parse import parse_table

SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=20)

ROOT = Path(__file__).parents[2]
# So early that nothing is late, and late enough that no step falls before it.
LONG_AGO = date(2024, 1, 1)
TODAY = date(2027, 1, 11)


@cache
def shipped_table() -> RulesTable:
    folder = ROOT / "compliance" / "rules" / "table"
    table, problems = parse_table(
        {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.yaml")}
    )
    assert problems == ()
    return table


@cache
def demo_operation() -> Operation:
    text = (ROOT / "demo_data" / "sandbur_flats.yaml").read_text(encoding="utf-8")
    operation, problems = parse_operation(text, "demo")
    assert operation is not None, problems
    return operation


def weekdays(most: int) -> st.SearchStrategy[tuple[str, ...]]:
    chosen = st.sets(st.sampled_from(WEEKDAYS[:most]), min_size=1)
    return chosen.map(lambda kept: tuple(day for day in WEEKDAYS if day in kept))


@st.composite
def closures(draw: st.DrawFn) -> Closure:
    first = date(2027, 1, 1) + timedelta(days=draw(st.integers(-300, 300)))
    return Closure(
        who=draw(st.sampled_from(("field", "notary", "post-office", "federal", "postal", "bank"))),
        first_day=first,
        last_day=first + timedelta(days=draw(st.integers(0, 12))),
    )


@st.composite
def farms(draw: st.DrawFn) -> Operation:
    """Draw a farm with the demo's people and machines, and other jobs, papers and weekdays."""
    demo = demo_operation()
    jobs = []
    for job in demo.jobs[: draw(st.integers(1, 3))]:
        first = date(2027, 5, 24) + timedelta(days=draw(st.integers(0, 150)))
        jobs.append(
            replace(
                job,
                first_day=first,
                last_day=first + timedelta(days=draw(st.integers(0, 40))),
                state=draw(st.sampled_from(("NE", "SD", "IA", "IN", "MN", "ND", "MO", "IL", "WY"))),
                for_hire=draw(st.booleans()),
                restricted_use=draw(st.booleans()),
                material=draw(st.sampled_from(tuple(Material))),
                controlled_airspace=draw(st.booleans()),
                congested_area=draw(st.booleans()),
            )
        )
    held = draw(st.lists(st.sampled_from(demo.papers), max_size=4, unique=True))
    return replace(
        demo,
        jobs=tuple(jobs),
        papers=tuple(held),
        mail_service=draw(st.sampled_from(tuple(MailService))),
        closures=tuple(draw(st.lists(closures(), max_size=3))),
        notary_days=draw(weekdays(5)),
        post_office_days=draw(weekdays(6)),
    )


def plan_of(operation: Operation, as_of: date = TODAY, log: tuple[LogEntry, ...] = ()) -> Plan:
    return compute_plan(operation, shipped_table(), log, as_of)


def last_days(plan: Plan) -> dict[str, date]:
    return {
        step.id: step.last for paper in plan.papers for step in paper.steps if step.last is not None
    }


def simulate(plan: Plan, starts: dict[str, date]) -> dict[str, date]:
    """Do every act on its day in *starts* or as soon as it can be done, and let every wait run.

    Counts day by day with the usual times; gives the day each step is over and each packet is in
    hand, the latter under the packet's id.
    """
    days = OperationDays(plan.operation, LONG_AGO, date(2032, 12, 31))
    over: dict[str, date] = {}
    left = [(paper, step) for paper in plan.papers for step in paper.steps]
    while left:
        count = len(left)
        for paper, step in tuple(left):
            before = predecessors(plan, paper, step)
            if not all(name in over for name in before):
                continue
            ready = max((over[name] for name in before), default=LONG_AGO)
            over[step.id] = finish(days, step, max(ready, starts.get(step.id, ready)))
            left.remove((paper, step))
            if not any(other.packet.id == paper.id for other, _ in left):
                own = [day for name, day in over.items() if name.startswith(f"{paper.id}/")]
                over[paper.id] = max(own)
        assert len(left) < count, "steps wait for one another"
    return over


def predecessors(plan: Plan, paper: PaperPlan, step: StepPlan) -> list[str]:
    """Give the ids a step waits for, read from the rows and not from the engine's network."""
    packet = paper.packet
    kept = {row.name for row in packet.steps if row.use is not StepUse.AFTER_RETURN}
    every = {row.name: row for row in packet.all_steps}
    names, waiting = set(), list(step.row.after)
    while waiting:
        name = waiting.pop()
        if name in kept:
            names.add(name)
        else:
            waiting.extend(every[name].after)
    needed = [
        other.id
        for other in plan.papers
        if other.packet.paper.id in step.row.needs
        and other.packet.use is StepUse.FIRST
        and shares(other.packet.holder, packet.holder)
        and set(other.packet.verdict.jobs) & set(packet.verdict.jobs)
    ]
    return [*(f"{packet.id}/{name}" for name in names), *needed]


def shares(one: Holder, other: Holder) -> bool:
    return one.kind is not other.kind or one == other


def finish(days: OperationDays, step: StepPlan, start: date) -> date:
    calendar = days.calendar(step.calendar)
    day = start
    if step.kind is StepKind.ACT:
        while not calendar.is_open(day.toordinal()):
            day += timedelta(days=1)
        return day
    counted = 0
    while counted < step.days:
        day += timedelta(days=1)
        counted += calendar.is_open(day.toordinal())
    return day


@SETTINGS
@given(farms())
def test_every_act_on_its_last_day_is_in_time(operation: Operation) -> None:
    plan = plan_of(operation, LONG_AGO)
    acts = {
        step.id: step.last
        for paper in plan.papers
        for step in paper.steps
        if step.kind is StepKind.ACT and step.last is not None
    }

    over = simulate(plan, acts)

    late = [
        paper.id
        for paper in plan.papers
        if paper.packet.planned and paper.steps and over[paper.id] > paper.packet.need_by
    ]
    assert late == []
    assert {name: over[name] for name in acts} == acts


@SETTINGS
@given(farms(), st.data())
def test_one_act_a_day_after_its_last_is_too_late(
    operation: Operation, data: st.DataObject
) -> None:
    """The act's place must be open that day; else the next open day is meant."""
    plan = plan_of(operation, LONG_AGO)
    keys = [
        step
        for paper in plan.papers
        for step in paper.steps
        if step.id == paper.mail_step
        and "limit" not in step.bound_by
        and not ends_filing(step, plan)
    ]
    if not keys:
        return
    step = data.draw(st.sampled_from(keys))
    assert step.last is not None

    over = simulate(plan, {step.id: step.last + timedelta(days=1)})

    late = [
        paper.id
        for paper in plan.papers
        if paper.packet.planned and paper.steps and over[paper.id] > paper.packet.need_by
    ]
    assert late != []


def ends_filing(step: StepPlan, plan: Plan) -> bool:
    """Tell whether a renew-by day and not a job sets the step's last day."""
    end = trace_last(plan, step)[-1]
    return not end.step_id.endswith("/in-hand")


@SETTINGS
@given(farms())
def test_safe_days_are_not_after_last_days(operation: Operation) -> None:
    plan = plan_of(operation)

    wrong = [
        step.id
        for paper in plan.papers
        for step in paper.steps
        if step.safe is not None and step.last is not None and step.safe > step.last
    ]
    assert wrong == []


@SETTINGS
@given(farms(), st.data())
def test_longer_wait_moves_no_last_day_later(operation: Operation, data: st.DataObject) -> None:
    table, before = shipped_table(), plan_of(operation)
    waits = [
        step.row
        for paper in before.papers
        for step in paper.steps
        if "days.usual" in find_overridable(step.row)
    ]
    if not waits:
        return
    row = data.draw(st.sampled_from(waits))
    assert row.days is not None
    more = data.draw(st.integers(row.days.usual, row.days.usual + 30))
    fields = {"days.slow": max(more, row.days.slow), "days.usual": more}
    changed, problems = apply_overrides(
        table,
        tuple(
            Override(row=row.id, field=name, value=str(days), reason="tried", set_on=TODAY)
            for name, days in fields.items()
        ),
    )
    assert problems == ()

    after = compute_plan(operation, changed, (), TODAY)

    old, new = last_days(before), last_days(after)
    assert [name for name in old if new[name] > old[name]] == []
    ready = {paper.id: paper.earliest_ready for paper in before.papers}
    assert [one.id for one in after.papers if one.earliest_ready < ready[one.id]] == []


@SETTINGS
@given(farms(), closures())
def test_closure_moves_no_last_day_later(operation: Operation, closure: Closure) -> None:
    closed = replace(operation, closures=(*operation.closures, closure))

    before, after = plan_of(operation), plan_of(closed)

    old, new = last_days(before), last_days(after)
    assert [name for name in old if new[name] > old[name]] == []
    ready = {paper.id: paper.earliest_ready for paper in before.papers}
    assert [one.id for one in after.papers if one.earliest_ready < ready[one.id]] == []


@SETTINGS
@given(farms(), st.integers(1, 60))
def test_later_first_spray_moves_no_last_day_earlier(operation: Operation, shift: int) -> None:
    """Without papers held: one that runs out asks for a renewal by a day of its own."""
    bare = replace(operation, papers=())
    first = bare.first_spray
    assert first is not None

    later = plan_of(move_first_spray(bare, first + timedelta(days=shift)))

    old, new = last_days(plan_of(bare)), last_days(later)
    assert [name for name in old if new[name] < old[name]] == []


def all_subjects(operation: Operation, job: Job) -> list[Subject]:
    return [
        Subject(operation=operation, job=job, aircraft=machine, pilot=pilot)
        for machine in operation.aircraft
        for pilot in operation.pilots
        if machine.id in job.aircraft and pilot.id in job.pilots
    ]


@SETTINGS
@given(farms())
def test_no_rule_is_dropped(operation: Operation) -> None:
    """Every paper whose condition holds for some machine and person of a job is planned for."""
    needed = {
        packet_id(row.id, holder_of(row.holder, subject))
        for row in shipped_table().papers
        for job in operation.jobs
        for subject in all_subjects(operation, job)
        if row.in_force_on(job.first_day) and evaluate_condition(row.when, subject)[0]
    }

    assert {paper.id for paper in plan_of(operation).papers} == needed


@SETTINGS
@given(farms(), st.data())
def test_log_makes_nothing_ready_before_the_day_it_was_written(
    operation: Operation, data: st.DataObject
) -> None:
    """Except the paper itself, once granted: that is ready on the day of its issue."""
    before = plan_of(operation)
    open_papers = [paper for paper in before.papers if paper.packet.planned and paper.steps]
    if not open_papers:
        return
    paper = data.draw(st.sampled_from(open_papers))
    known = [row.event for row in paper.packet.steps if row.event is not EventKind.DONE]
    kinds = [kind for kind in known if kind not in {EventKind.GRANTED, EventKind.RETURNED}]
    log = tuple(
        LogEntry(
            number=number,
            kind=kind,
            paper=paper.packet.paper.id,
            holder=paper.packet.holder,
            happened_on=TODAY - timedelta(days=data.draw(st.integers(0, 200))),
        )
        for number, kind in enumerate(kinds[: data.draw(st.integers(0, len(kinds)))], 1)
    )

    after = plan_of(operation, log=log)

    assert [
        one.id for one in after.papers if one.packet.planned and one.earliest_ready < TODAY
    ] == []


@SETTINGS
@given(farms())
def test_plan_is_the_same_every_time(operation: Operation) -> None:
    assert plan_of(operation) == plan_of(operation)


@SETTINGS
@given(farms(), st.integers(0, 200))
def test_no_job_is_lawful_before_its_first_day(operation: Operation, days: int) -> None:
    as_of = TODAY + timedelta(days=days)
    plan = plan_of(operation, as_of)

    wrong = [
        job.job.id for job in plan.jobs if job.first_lawful_day < max(job.job.first_day, as_of)
    ]
    late = [job.job.id for job in plan.jobs if bool(job.late_by_days) is not bool(job.waits_for)]
    assert (wrong, late) == ([], [])
