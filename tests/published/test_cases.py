"""Worked cases: what published rules say by hand, asked of the shipped table and the engine.

Each case of ``cases/*.yaml`` names its source. The test id is the file and line of the case.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import product
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import pytest

from compliance.base.holidays import build_federal_calendar
from compliance.base.sources import Mapping, Node, Scalar, Sequence, parse_yaml
from compliance.engine.applies import compute_verdicts
from compliance.engine.duties import compute_duty_due
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty
from compliance.engine.in_force import Standing, compute_job_standing
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import StepPlan
from compliance.engine.validity import (
    compute_mark,
    compute_renewal_opens,
    compute_valid_through,
    settle_by_name,
)
from compliance.facts.events import NAMES_DUTY, JobEvent, JobEventKind
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    EntityType,
    HeldPaper,
    Holder,
    HolderKind,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.rules.model import PaperRow, RulesTable, ServiceRow, StepKind, StepRow
from compliance.rules.parse import parse_table
from compliance.rules.validity_model import Mark, Renewal, ValidityKind

HERE = Path(__file__).parent
TABLE = HERE.parents[1] / "compliance" / "rules" / "table"
FEDERAL = build_federal_calendar(date(2020, 1, 1), date(2040, 12, 31))

Given = dict[str, str]
Answer = str
Waiting = TypeVar("Waiting", StepRow, ServiceRow)

FLAGS = {"yes": True, "no": False}
CHOICES: dict[str, Callable[[str], object]] = {
    "aircraft.takeoff_weight_lb": Decimal,
    "aircraft.acquired": Acquired,
    "job.material": Material,
    "operation.entity": EntityType,
    "operation.managed_by": ManagedBy,
    "operation.mail_service": MailService,
}


def read_cases() -> list[tuple[str, Given, Given]]:
    """Give the id, the plain values and the given facts of every case."""
    found = []
    for path in sorted((HERE / "cases").glob("*.yaml")):
        root, problems = parse_yaml(path.read_text(encoding="utf-8"), path.name)
        assert (problems, isinstance(root, Mapping)) == ((), True), path
        for node in items(root, "cases"):
            assert isinstance(node, Mapping)
            plain = {key: text(value) for key, (_, value) in node.entries.items() if key != "given"}
            given = node.entries["given"][1]
            assert isinstance(given, Mapping)
            facts = {key: text(value) for key, (_, value) in given.entries.items()}
            found.append((f"{path.stem}:{node.place.line}", plain, facts))
    return found


def items(root: Node | None, key: str) -> tuple[Node, ...]:
    assert isinstance(root, Mapping)
    listed = root.entries[key][1]
    assert isinstance(listed, Sequence)
    return listed.items


def text(node: Node) -> str:
    assert isinstance(node, Scalar)
    return " ".join(node.text.split())


CASES = read_cases()


@pytest.fixture(name="table", scope="module")
def read_table() -> RulesTable:
    files = {path.name: path.read_text(encoding="utf-8") for path in TABLE.glob("*.yaml")}
    table, problems = parse_table(files)
    assert problems == ()
    return table


def make_operation(facts: Given, need_by: date = date(2027, 5, 24)) -> Operation:
    """Make the usual operation, an LLC with one 118 lb machine and one job, with facts changed."""
    machine = Aircraft(
        id="tg46",
        maker="Tallgrass Rotorworks",
        model="TG-46",
        serial="46-00017",
        takeoff_weight_lb=Decimal(118),
        acquired=Acquired.NEW,
    )
    job = Job(
        id="pasture",
        first_day=need_by,
        last_day=need_by,
        state="NE",
        for_hire=True,
        restricted_use=False,
        material=Material.PESTICIDE,
        aircraft=("tg46",),
        pilots=("wren",),
    )
    operation = Operation(
        id="sandbur-flats",
        legal_name="Sandbur Flats Aerial LLC",
        entity=EntityType.LLC,
        managed_by=ManagedBy.MEMBERS,
        mailing_address=Address(lines=("1 Invented Road", "Burrell Crossing, NE 00000")),
        physical_address=None,
        contact_name="Odile Ferrant",
        contact_phone="402-555-0143",
        contact_email="",
        home_state="NE",
        mail_service=MailService.FIRST_CLASS,
    )
    changes: dict[str, dict[str, Any]] = {"aircraft": {}, "job": {}, "operation": {}}
    for key, word in facts.items():
        kind, _, name = key.partition(".")
        changes[kind][name] = CHOICES[key](word) if key in CHOICES else FLAGS.get(word, word)
    return replace(
        operation,
        aircraft=(replace(machine, **changes["aircraft"]),),
        pilots=(Pilot(id="wren", name="Wren Castellow"),),
        jobs=(replace(job, **changes["job"]),),
        **changes["operation"],
    )


def find_paper(table: RulesTable, name: str) -> PaperRow:
    (row,) = (row for row in table.papers if row.id == name)
    return row


def ask_validity(table: RulesTable, case: Given, given: Given) -> Answer:
    validity = find_paper(table, case["paper"]).validity
    validity = settle_by_name(validity, given.get("operation.legal_name", ""))
    return str(compute_valid_through(validity, date.fromisoformat(given["issued_on"])))


def find_renewal(table: RulesTable, case: Given) -> Renewal:
    renewal = find_paper(table, case["paper"]).renewal
    assert renewal is not None
    return renewal


def ask_renewal_opens(table: RulesTable, case: Given, given: Given) -> Answer:
    through = date.fromisoformat(given["valid_through"])
    return str(compute_renewal_opens(find_renewal(table, case), through))


def ask_mark(table: RulesTable, case: Given, given: Given) -> Answer:
    mark = getattr(find_renewal(table, case), case["ask"].replace("-", "_"))
    assert isinstance(mark, Mark)
    return str(compute_mark(mark, date.fromisoformat(given["valid_through"])))


def ask_applies(table: RulesTable, case: Given, given: Given) -> Answer:
    verdicts = compute_verdicts(make_operation(given), table)
    (applies,) = (one.applies for one in verdicts if one.paper.id == case["paper"])
    return "yes" if applies else "no"


def ask_last_day(table: RulesTable, case: Given, given: Given) -> Answer:
    return str(plan_step(table, case, given).last)


def ask_safe_day(table: RulesTable, case: Given, given: Given) -> Answer:
    return str(plan_step(table, case, given).safe)


def plan_step(table: RulesTable, case: Given, given: Given) -> StepPlan:
    """Plan only this paper for one job that needs it, asked long before so nothing is late."""
    alone = replace(table, papers=(find_paper(table, case["paper"]),))
    need_by = date.fromisoformat(given["need_by"])
    service = {"operation.mail_service": given["mail_service"]}
    for facts in candidate_facts(case["paper"]):
        operation = make_operation(facts | service, need_by)
        plan = compute_plan(operation, alone, (), need_by - timedelta(days=700))
        if plan.papers:
            step = plan.papers[0].find_step(given["step"])
            assert step is not None
            return step
    raise AssertionError(f"no job asks for {case['paper']}")


def candidate_facts(paper: str) -> list[Given]:
    """Give facts under which a paper might be needed, the usual ones first."""
    state = paper[:2].upper() if paper[2] == "." else "NE"
    changes: tuple[Given, ...] = (
        {},
        {"job.outside_blanket_area": "yes"},
        {"job.controlled_airspace": "yes"},
        {"job.congested_area": "yes"},
        {"aircraft.takeoff_weight_lb": "49"},
    )
    hires, restricted = ("yes", "no"), ("no", "yes")
    return [
        {"job.state": state, "job.for_hire": hire, "job.restricted_use": use} | change
        for change, hire, use in product(changes, hires, restricted)
    ]


def ask_duty(table: RulesTable, _case: Given, given: Given) -> Answer:
    (duty,) = (row for row in table.duties if row.id == given["duty"])
    return str(compute_duty_due(duty, date.fromisoformat(given["trigger_on"]), FEDERAL))


def ask_duty_state(table: RulesTable, _case: Given, given: Given) -> Answer:
    """Tell how a duty stands after something happened, under the first facts it applies to.

    Moments are on the clock of America/Chicago; `gone` means that nothing is shown any more. A day
    of careful practice is never overdue; `careful-day-past` means that it stays open after it.
    """
    on = date.fromisoformat(given.get("on", given.get("at", ""))[:10])
    states = {
        "careful-day-past" if one.is_careful and one.is_live and one.due_on < on else str(one.state)
        for one in find_due(table, given)
    }
    assert len(states) <= 1, states
    return next(iter(states), "gone")


def ask_duty_opens(table: RulesTable, _case: Given, given: Given) -> Answer:
    """Tell the first day on which a duty may be done."""
    (opens,) = {one.opens_on for one in find_due(table, given)}
    return str(opens)


def ask_duty_window(table: RulesTable, _case: Given, given: Given) -> Answer:
    """Tell the first and the last minute of a duty that counts clock hours."""
    ((opens, due),) = {(one.opens_at, one.due_at) for one in find_due(table, given)}
    assert opens is not None
    assert due is not None
    return f"{opens:%Y-%m-%d %H:%M} to {due:%Y-%m-%d %H:%M}"


def find_due(table: RulesTable, given: Given) -> list[DueDuty]:
    """Give a duty for each thing that happened, under the first facts it applies to."""
    (duty,) = (row for row in table.duties if row.id == given["duty"])
    zone = "America/Chicago"
    now = moment(given["at"], zone) if "at" in given else None
    as_of = now.date() if now is not None else date.fromisoformat(given["on"])
    day = date.fromisoformat(given.get("job_on", "2027-06-01"))
    for facts in candidate_facts(duty.id):
        asked = {key: word for key, word in given.items() if "." in key}
        operation = replace(make_operation(facts | asked, day), time_zone=zone)
        if "po_box" in given:
            box = Address(lines=("P.O. Box 0", "Burrell Crossing, NE 00000"))
            physical = operation.mailing_address
            operation = replace(operation, mailing_address=box, physical_address=physical)
        alone = replace(table, duties=(duty,))
        verdicts = compute_verdicts(operation, table)
        holders = [one.holder for one in verdicts if one.paper.id == duty.paper and one.applies]
        if duty.paper and not holders:
            continue
        holder = holders[0] if holders else Holder(kind=HolderKind.OPERATION)
        book = compute_duty_book(
            with_held(operation, duty.paper, holder, given),
            alone,
            verdicts,
            logged(duty.paper, holder, given),
            happened(given, zone),
            as_of=as_of,
            now=now,
        )
        occasion = given.get("occasion")
        due = [one for one in book.due if occasion in {None, one.occasion}]
        if due or book.undated:
            return due
    return []


def moment(text: str, zone: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone))


def with_held(operation: Operation, paper: str, holder: Holder, given: Given) -> Operation:
    if "held_from" not in given:
        return operation
    held = HeldPaper(
        paper=paper,
        holder=holder,
        issued_on=date.fromisoformat(given["held_from"]),
        valid_through=date.fromisoformat(given["held_through"]),
    )
    return replace(operation, papers=(held,))


def logged(paper: str, holder: Holder, given: Given) -> tuple[LogEntry, ...]:
    if "mailed_on" not in given:
        return ()
    day = date.fromisoformat(given["mailed_on"])
    kind = EventKind.MAILED
    return (LogEntry(number=1, kind=kind, paper=paper, holder=holder, happened_on=day),)


def happened(given: Given, zone: str) -> tuple[JobEvent, ...]:
    if "flew_from" in given:
        start, end = moment(given["flew_from"], zone), moment(given["flew_to"], zone)
        hours = int(given["re_entry"]) if "re_entry" in given else None
        return (
            JobEvent(
                number=1,
                kind=JobEventKind.FLEW,
                on=start.date(),
                job="pasture",
                start=start,
                end=end,
                aircraft="tg46",
                pilot="wren",
                re_entry_hours=hours,
            ),
        )
    if "event" not in given:
        return ()
    at = moment(given["event_at"], zone) if "event_at" in given else None
    on = at.date() if at is not None else date.fromisoformat(given["event_on"])
    kind = JobEventKind(given["event"])
    named = given["duty"] if kind in NAMES_DUTY else ""
    return (JobEvent(number=1, kind=kind, on=on, start=at, duty=named),)


ASKS = {
    "validity": ask_validity,
    "renewal-opens": ask_renewal_opens,
    "renew-by": ask_mark,
    "late-fee-from": ask_mark,
    "reexam-from": ask_mark,
    "applies": ask_applies,
    "last-day": ask_last_day,
    "safe-day": ask_safe_day,
    "duty": ask_duty,
    "duty-state": ask_duty_state,
    "duty-opens": ask_duty_opens,
    "duty-window": ask_duty_window,
}


@pytest.mark.parametrize(("case", "given"), [one[1:] for one in CASES], ids=[c[0] for c in CASES])
def test_case_as_worked_by_hand(table: RulesTable, case: Given, given: Given) -> None:
    expected = {"none": "None"}.get(case["expect"], case["expect"])

    answer = ASKS[case["ask"]](table, case, given)

    assert answer == expected, f"{case['name']} ({case['source']})"


VALIDITIES = [(name, case, given) for name, case, given in CASES if case["ask"] == "validity"]


@pytest.mark.parametrize(
    ("case", "given"), [one[1:] for one in VALIDITIES], ids=[one[0] for one in VALIDITIES]
)
def test_paper_is_in_force_from_its_first_to_its_last_day(
    table: RulesTable, case: Given, given: Given
) -> None:
    """The days worked by hand are the first and the last on which a job may rest on the paper."""
    issued = date.fromisoformat(given["issued_on"])
    day = timedelta(days=1)
    if case["expect"] != "none":
        through = date.fromisoformat(case["expect"])
        assert stand_on(table, case, given, issued - day) is Standing.NOT_YET
        assert stand_on(table, case, given, issued) is Standing.IN_FORCE
        assert stand_on(table, case, given, through) is Standing.IN_FORCE
        assert stand_on(table, case, given, through + day) is Standing.LAPSED
        return
    asked = (issued - day, issued, issued + 2000 * day)
    found = [stand_on(table, case, given, one) for one in asked]
    if find_paper(table, case["paper"]).validity.kind is ValidityKind.OPEN_ENDED:
        assert found == [Standing.NOT_YET, Standing.IN_FORCE, Standing.IN_FORCE]
    else:
        assert found == [Standing.END_UNKNOWN] * 3  # its last day stands on the paper alone


def stand_on(table: RulesTable, case: Given, given: Given, day: date) -> Standing:
    """Tell how a paper issued as given stands on the only day of a job that needs it."""
    paper = replace(find_paper(table, case["paper"]), applies_from=None, applies_until=None)
    alone = replace(table, papers=(paper,))
    own = {key: word for key, word in given.items() if "." in key}
    for facts in candidate_facts(paper.id):
        operation = make_operation(facts | own, day)
        holders = [one.holder for one in compute_verdicts(operation, alone) if one.applies]
        if holders:
            issued = date.fromisoformat(given["issued_on"])
            held = HeldPaper(paper=paper.id, holder=holders[0], issued_on=issued)
            operation = replace(operation, papers=(held,))
            (stands,) = compute_job_standing(operation, alone, (), operation.jobs[0], day).papers
            return stands.standing
    raise AssertionError(f"no job asks for {paper.id}")


def test_every_slow_time_of_the_table_moves_a_safe_day(table: RulesTable) -> None:
    """A day more or less in a slow time cannot slip in: some worked case no longer holds.

    Notice periods are left out: the law sets them, they are the same at every pace.
    """
    safe = [(case, given) for _, case, given in CASES if case["ask"] == "safe-day"]
    steps = [row for row in table.steps if row.days and row.kind is not StepKind.NOTICE]

    rows: tuple[StepRow | ServiceRow, ...] = (*steps, *table.services)
    still = []
    for row in rows:
        asked = [one for one in safe if rests_on(row, *one)]
        for more in (1, -1):
            changed = with_slow(table, row.id, more)
            if all(ask_safe_day(changed, *one) == one[0]["expect"] for one in asked):
                still.append((row.id, more))

    assert len(steps) > 30
    assert still == []


def rests_on(row: StepRow | ServiceRow, case: Given, given: Given) -> bool:
    if isinstance(row, StepRow):
        return row.id.rpartition(".")[0] == case["paper"]
    return row.id == f"mail.{given['mail_service']}"


def with_slow(table: RulesTable, name: str, more: int) -> RulesTable:
    """Give the table with one slow time that many days longer."""
    return replace(
        table,
        steps=tuple(longer(row, more) if row.id == name else row for row in table.steps),
        services=tuple(longer(row, more) if row.id == name else row for row in table.services),
    )


def longer(row: Waiting, more: int) -> Waiting:
    assert row.days is not None
    slow = max(row.days.slow + more, row.days.usual)
    return replace(row, days=replace(row.days, slow=slow))
