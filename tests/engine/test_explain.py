"""Explanations: the words of small plans, and every date replayed with other people's arithmetic.

The replay knows nothing of the engine's calendars: days are counted with ``numpy.busday_offset``
on holidays from the package ``holidays`` (federal days, and for mail and banks the days without
their Friday in lieu).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Literal

import holidays
import numpy as np
import pytest

from compliance.base.dates import WEEKDAYS
from compliance.engine.closed_days import closed_days, list_reasons
from compliance.engine.explain import explain_paper, explain_step, explain_verdict, trace_last
from compliance.engine.explain_earliest import trace_earliest, trace_papers
from compliance.engine.explain_words import (
    CALENDAR_WORDS,
    Explanation,
    Reason,
    say_lead,
    say_source,
)
from compliance.engine.network import compute_filing_limit
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.engine.safe_plan import compute_safe_plan
from compliance.facts.log import LogEntry
from compliance.facts.log_parse import parse_log
from compliance.facts.model import Closure, Job, MailService, Operation
from compliance.facts.parse import parse_operation
from compliance.rules.model import CalendarName, RulesTable, StepKind
from compliance.rules.parse import parse_table

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

ROOT = Path(__file__).parents[2]
AS_OF = date(2027, 1, 11)

YEARS = range(2022, 2036)
FEDERAL = {np.datetime64(day) for day in holidays.country_holidays("US", years=YEARS)}
_NAMED = holidays.country_holidays("US", years=YEARS, observed=False)
# Domestic Mail Manual 608.3.2 and Federal Reserve release K.8: a Sunday holiday closes the Monday,
# a Saturday one stays where it is.
MAIL_AND_BANK = {
    np.datetime64(day + timedelta(days=1) if day.weekday() == 6 else day) for day in _NAMED
}


class OtherCalendars:
    """The calendars of an operation as numpy has them, written down a second time."""

    def __init__(self, operation: Operation) -> None:
        notary = "".join(str(int(day in operation.notary_days)) for day in WEEKDAYS)
        counter = "".join(str(int(day in operation.post_office_days)) for day in WEEKDAYS)
        shut = {name: self._shut(operation, name) for name in ("field", *CalendarName)}
        field = shut["field"]
        spans = {
            CalendarName.EVERY_DAY: ("1111111", set()),
            CalendarName.FEDERAL: ("1111100", FEDERAL | shut["federal"]),
            CalendarName.POSTAL: ("1111110", MAIL_AND_BANK | shut["postal"]),
            CalendarName.BANK: ("1111100", MAIL_AND_BANK | shut["bank"]),
            CalendarName.FIELD: ("1111111", field),
            CalendarName.NOTARY: (notary, MAIL_AND_BANK | shut["notary"] | field),
            CalendarName.POST_OFFICE: (
                counter,
                MAIL_AND_BANK | shut["postal"] | shut["post-office"] | field,
            ),
        }
        self._built = {
            name: np.busdaycalendar(weekmask=mask, holidays=sorted(closed))
            for name, (mask, closed) in spans.items()
        }

    @staticmethod
    def _shut(operation: Operation, who: str) -> set[np.datetime64]:
        return {
            np.datetime64(one.first_day + timedelta(days=at))
            for one in operation.closures
            if one.who == who
            for at in range((one.last_day - one.first_day).days + 1)
        }

    def on_or_before(self, name: CalendarName, day: date) -> date:
        return self._offset(name, day, 0, "backward")

    def on_or_after(self, name: CalendarName, day: date) -> date:
        return self._offset(name, day, 0, "forward")

    def latest_start(self, name: CalendarName, limit: date, count: int) -> date:
        """Find the day before the first of the last *count* open days that end by the limit."""
        if count == 0:
            return limit
        return self._offset(name, limit, 1 - count, "backward") - timedelta(days=1)

    def over_on(self, name: CalendarName, start: date, count: int) -> date:
        if count == 0:
            return start
        return self._offset(name, start + timedelta(days=1), count - 1, "forward")

    def _offset(
        self, name: CalendarName, day: date, count: int, roll: Literal["forward", "backward"]
    ) -> date:
        found = np.busday_offset(np.datetime64(day), count, roll, busdaycal=self._built[name])
        moved = found.astype(object)
        assert isinstance(moved, date)
        return moved


def replay_last(plan: Plan, other: OtherCalendars, lines: tuple[Reason, ...]) -> int:
    """Check each line of a work-back trace against the next; give the number of lines."""
    limits = {
        name: day for paper in plan.papers for name, day in compute_filing_limit(paper.packet)
    }
    for line, following in zip(lines, (*lines[1:], None), strict=True):
        step = plan.find_step(line.step_id)
        if following is not None:
            limit = following.day
        elif step is not None:
            limit = limits[step.id]
        else:
            limit = need_by(plan, line)
        assert limit is not None
        if step is None:
            expected = limit
        elif step.kind is StepKind.ACT:
            expected = other.on_or_before(step.calendar, limit)
        else:
            expected = other.latest_start(step.calendar, limit, step.days)
        assert line.day == expected, (line, following)
    return len(lines)


def need_by(plan: Plan, line: Reason) -> date:
    """Ask the operation itself: the first job that needs the paper, or the end of the one held."""
    packet = find_packet(plan, line).packet
    jobs = [job for job in plan.operation.jobs if job.id in packet.verdict.jobs]
    jobs = [job for job in jobs if job.last_day >= plan.as_of]
    through = packet.valid_through
    if through is None:
        return min(job.first_day for job in jobs)
    return min(max(job.first_day, through) for job in jobs if job.last_day > through)


def find_packet(plan: Plan, line: Reason) -> PaperPlan:
    found = plan.find_paper(line.step_id.removesuffix("/in-hand"))
    assert found is not None
    return found


def replay_earliest(plan: Plan, other: OtherCalendars, lines: tuple[Reason, ...]) -> int:
    """Check each line of a work-forward trace against the next; give the number of lines."""
    if lines[-1].day is None:
        # An overdue paper that this one needs: nobody knows its day, the plan takes it from today.
        assert find_packet(plan, lines[-1]).overdue_since is not None
        lines = lines[:-1]
    for line, following in zip(lines, (*lines[1:], None), strict=True):
        step = plan.find_step(line.step_id)
        if step is None:
            expected = following.day if following is not None else plan.as_of
        elif step.done_on is not None:
            expected = step.done_on
            assert following is None
        else:
            expected = earliest_of(plan, other, step, following)
        assert line.day == expected, (line, following)
    return len(lines)


def replay_overdue(plan: Plan, other: OtherCalendars, lines: tuple[Reason, ...]) -> int:
    """Check each line from a sending on against the one before it; give the number of lines."""
    assert plan.find_step(lines[0].step_id) is not None
    assert lines[-1].day is None
    for before, line in pairwise(lines[:-1]):
        step = plan.find_step(line.step_id)
        assert step is not None
        assert before.day is not None
        expected = step.done_on or other.over_on(step.calendar, before.day, step.days)
        assert line.day == expected, (before, line)
    paper = find_packet(plan, lines[-1])
    assert paper.overdue_since == lines[-2].day
    return len(lines)


def earliest_of(
    plan: Plan, other: OtherCalendars, step: StepPlan, following: Reason | None
) -> date:
    if following is None and step.kind is not StepKind.ACT:
        # Under way, or taken as over: nobody saw it end.
        return max(plan.as_of, step.earliest) if step.earliest_by == "today" else step.earliest
    if step.earliest_by == "not_before":
        return other.on_or_after(step.calendar, step.earliest)
    start = plan.as_of if following is None else following.day
    assert start is not None
    if step.kind is StepKind.ACT:
        return other.on_or_after(step.calendar, max(start, plan.as_of))
    return max(other.over_on(step.calendar, start, step.days), plan.as_of)


def read_shipped_table() -> RulesTable:
    folder = ROOT / "compliance" / "rules" / "table"
    files = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.yaml")}
    table, problems = parse_table(files)
    assert problems == ()
    return table


def read_demo() -> tuple[Operation, tuple[LogEntry, ...]]:
    text = (ROOT / "demo_data" / "sandbur_flats.yaml").read_text(encoding="utf-8")
    operation, problems = parse_operation(text, "demo")
    assert operation is not None, problems
    log_text = (ROOT / "demo_data" / "sandbur_flats_log.yaml").read_text(encoding="utf-8")
    log, faults = parse_log(log_text, "demo log", operation)
    assert faults == ()
    return operation, log


def replay(plan: Plan) -> int:
    other = OtherCalendars(plan.operation)
    lines = 0
    for paper in plan.papers:
        for step in paper.steps:
            lines += replay_last(plan, other, trace_last(plan, step))
        if paper.packet.planned:
            told = trace_earliest(plan, paper)
            play = replay_earliest if paper.overdue_since is None else replay_overdue
            lines += play(plan, other, told)
    return lines


def replay_safe(plan: Plan, table: RulesTable) -> int:
    """Replay the chain of every step of every packet as worked back for that packet's safe day."""
    other = OtherCalendars(plan.operation)
    lines = 0
    for paper in plan.papers:
        safe = compute_safe_plan(plan, table, paper.id)
        found = safe.find_paper(paper.id)
        assert found is not None
        for step in found.steps:
            lines += replay_last(safe, other, trace_last(safe, step))
    return lines


def test_every_line_to_a_safe_day_of_the_demo_is_replayed() -> None:
    operation, log = read_demo()
    table = read_shipped_table()

    lines = replay_safe(compute_plan(operation, table, log, AS_OF), table)

    assert lines > 700


@pytest.mark.parametrize("seed", range(8))
def test_every_line_to_a_safe_day_of_random_farms_is_replayed(seed: int) -> None:
    random = Random(seed)  # noqa: S311 - chooses examples, keeps no secret
    operation, log = read_demo()
    table = read_shipped_table()

    plan = compute_plan(vary(operation, random), table, log, AS_OF)

    assert replay_safe(plan, table) > 100


def test_first_line_to_a_safe_day_is_the_safe_day() -> None:
    """Of an act the line gives its safe day; of a wait the day it begins, over on its safe day."""
    operation, log = read_demo()
    table = read_shipped_table()
    plan = compute_plan(operation, table, log, AS_OF)

    firsts, wanted = [], []
    for paper in plan.papers:
        safe = compute_safe_plan(plan, table, paper.id)
        for step in paper.steps:
            if step.done_on is not None or step.safe is None:
                continue
            placed = safe.find_step(step.id)
            assert placed is not None
            line = trace_last(safe, placed)[0]
            firsts.append((line.step_id, line.day, placed.last))
            begins = step.safe if step.kind is StepKind.ACT else placed.last_start
            wanted.append((step.id, begins, step.safe))

    assert len(wanted) > 40
    assert firsts == wanted


def test_every_date_of_the_demo_is_replayed() -> None:
    operation, log = read_demo()

    lines = replay(compute_plan(operation, read_shipped_table(), log, AS_OF))

    assert lines > 300


def vary(operation: Operation, random: Random) -> Operation:
    """Move the season, the mail, the weekdays and the closures about."""

    def weekdays(most: int) -> tuple[str, ...]:
        kept = random.sample(WEEKDAYS[:most], random.randint(1, most))
        return tuple(day for day in WEEKDAYS if day in kept)

    def shut() -> Closure:
        first = date(2027, 1, 1) + timedelta(days=random.randrange(300))
        who = random.choice(("field", "notary", "post-office", "federal", "postal"))
        last = first + timedelta(days=random.randrange(12))
        return Closure(who=who, first_day=first, last_day=last)

    def moved(job: Job) -> Job:
        shift = timedelta(days=random.randrange(-60, 200))
        return replace(
            job,
            first_day=job.first_day + shift,
            last_day=job.last_day + shift,
            for_hire=random.random() < 0.7,
            controlled_airspace=random.random() < 0.3,
        )

    return replace(
        operation,
        mail_service=random.choice(tuple(MailService)),
        jobs=tuple(moved(job) for job in operation.jobs),
        papers=tuple(held for held in operation.papers if random.random() < 0.5),
        closures=tuple(shut() for _ in range(random.randrange(6))),
        notary_days=weekdays(5),
        post_office_days=weekdays(6),
    )


@pytest.mark.parametrize("seed", range(25))
def test_every_date_of_random_farms_is_replayed(seed: int) -> None:
    random = Random(seed)  # noqa: S311 - chooses examples, keeps no secret
    operation, log = read_demo()
    as_of = AS_OF + timedelta(days=random.randrange(120))

    plan = compute_plan(vary(operation, random), read_shipped_table(), log, as_of)

    assert replay(plan) > 50


LICENSE = """\
  - id: own.license
    title: License
    holder: pilot
    why: the state wants to know who sprays
    office: own.office
    when: [{job.for_hire: yes}]
    validity: {kind: months, months: 12}
    cite: 1 Own Code 2
    edition: of 2026
    confidence: read
    steps:
      - {name: seal, title: Seal, kind: act, calendar: notary, done_at: notary, event: notarized,
          cite: a, edition: b, confidence: memory, note: she asks for a passport}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted, @own}
"""
RETURNED = (
    LICENSE.replace(
        "event: granted, @own}",
        "event: granted, return_path: [send-back, mail, transit, review], @own}",
    )
    + """\
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
"""
)
OWN = "own example; edition: none; common practice, no source"
RULE = Reason(
    text="the state wants to know who sprays",
    source="own.license: 1 Own Code 2; edition: of 2026; the text itself was read",
)


@pytest.fixture(name="make_plan")
def plan_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., Plan]:
    def make(papers: str = LICENSE, log: str = "", *, as_of: date = AS_OF, **farm: str) -> Plan:
        operation = make_operation(**farm)
        entries = make_log(operation, log) if log else ()
        return compute_plan(operation, make_table(papers), entries, as_of)

    return make


MakePlan = Callable[..., Plan]


def step_of(plan: Plan, name: str) -> StepPlan:
    found = plan.papers[0].find_step(name)
    assert found is not None
    return found


def test_lead_in_words() -> None:
    words = [say_lead(1, CalendarName.FEDERAL), say_lead(120, CalendarName.EVERY_DAY)]

    assert words == ["1 federal business day", "120 calendar days"]
    assert say_lead(3, CalendarName.FIELD) == "3 days somebody can leave the field"
    assert set(CALENDAR_WORDS) == set(CalendarName)


def test_paper_that_applies(make_plan: MakePlan) -> None:
    plan = make_plan()

    assert explain_verdict(plan, plan.verdicts[0]) == Explanation(
        answer="License is needed for Wren Castellow.",
        sections=(
            ("Because", (Reason(text="job is for hire: yes, and the rule asks for yes"),)),
            ("The rule", (RULE,)),
            ("For these jobs", (Reason(text="pasture: Mon 24 May 2027 to Sat 12 Jun 2027"),)),
        ),
    )


def test_paper_that_applies_whatever_the_facts(make_plan: MakePlan) -> None:
    plan = make_plan(LICENSE.replace("    when: [{job.for_hire: yes}]\n", ""))

    heading, reasons = explain_verdict(plan, plan.verdicts[0]).sections[0]

    assert heading == "Because"
    assert reasons == (Reason(text="it is needed for every job, whatever the facts"),)


def test_why_not_names_the_least_that_stands_against(make_plan: MakePlan) -> None:
    """One job misses both conditions, the other only one: that one is the shorter reason."""
    papers = LICENSE.replace("[{job.for_hire: yes}]", "[{job.for_hire: yes}, {job.state: SD}]")
    jobs = """\
  - {id: own, first_day: 2027-05-24, last_day: 2027-05-25, state: NE, for_hire: no,
      restricted_use: no, aircraft: tg46, pilots: wren}
  - {id: hired, first_day: 2027-05-26, last_day: 2027-05-27, state: NE, for_hire: yes,
      restricted_use: no, aircraft: tg46, pilots: wren}
"""
    plan = make_plan(papers, jobs=jobs)

    assert explain_verdict(plan, plan.verdicts[0]) == Explanation(
        answer="License is not needed for Wren Castellow.",
        sections=(
            (
                "Because this does not hold",
                (Reason(text="state the job is in: NE, but the rule asks for SD"),),
            ),
            ("The rule", (RULE,)),
        ),
    )


def test_last_day_line_by_line(make_plan: MakePlan) -> None:
    """10 federal days end on 24 May: 24, 21-17, 14-11 May, so from 10 May; postal 10, 8, 7."""
    plan = make_plan()

    lines = trace_last(plan, step_of(plan, "seal"))

    assert [line.text for line in lines] == [
        "Seal: by Thu 6 May 2027 (a notary day: mon, tue, wed, thu, fri)",
        "Mail: by Thu 6 May 2027 (a post-office day: mon, tue, wed, thu, fri, sat)",
        (
            "On the way: from Thu 6 May 2027 at the latest, because it takes 3 postal days by "
            "first-class and must be over by Mon 10 May 2027 (1 day not counted: Sundays)"
        ),
        (
            "Review: from Mon 10 May 2027 at the latest, because it takes 10 federal business days "
            "and must be over by Mon 24 May 2027 (4 days not counted: Saturdays, Sundays)"
        ),
        "License in hand by Mon 24 May 2027, the first day of pasture",
    ]
    assert [line.step_id.rpartition("/")[2] for line in lines] == [
        "seal",
        "mail",
        "transit",
        "review",
        "in-hand",
    ]
    assert [line.day for line in lines] == [
        date(2027, 5, 6),
        date(2027, 5, 6),
        date(2027, 5, 6),
        date(2027, 5, 10),
        date(2027, 5, 24),
    ]
    assert lines[1].source == f"own.license.mail: {OWN}"


def test_closed_weekdays_are_named(make_plan: MakePlan) -> None:
    """Needed by 7 June: federal 7, 4-1 June, 28-24 May; Memorial Day is passed over."""
    jobs = "- {id: june, first_day: 2027-06-07, last_day: 2027-06-12, @job}"
    plan = make_plan(jobs=jobs)

    (line,) = (one for one in trace_last(plan, step_of(plan, "review")) if "Review" in one.text)

    assert line.text.endswith(
        "must be over by Mon 7 Jun 2027 (5 days not counted: Saturdays, Sundays, Mon 31 May 2027)"
    )


def test_more_closed_weekdays_than_six_are_counted(make_plan: MakePlan) -> None:
    more = "closures:\n  - {who: federal, first_day: 2027-05-10, last_day: 2027-05-18}\n"
    plan = make_plan(more=more)

    line = trace_last(plan, step_of(plan, "review"))[0]

    # 10 federal days: 24, 21-19, 7-3 May, 30 April, so from 29 April. Closed: seven weekdays and
    # the weekends of 1, 8, 15 and 22 May.
    assert line.day == date(2027, 4, 29)
    assert line.text.endswith(
        "(15 days not counted: Saturdays, Sundays, Mon 10 May 2027, Tue 11 May 2027, "
        "Wed 12 May 2027, Thu 13 May 2027, Fri 14 May 2027, Mon 17 May 2027, 1 more)"
    )


def test_own_weekdays_are_named_apart_from_own_closures(make_plan: MakePlan) -> None:
    """The notary works on Tuesdays and Fridays and is away on 18 May.

    Two of her days end on 24 May: Friday 21 and, as the 18th is out, Friday 14; so from the 13th.
    """
    papers = LICENSE.replace(
        "calendar: federal,\n          days: {fast: 5, usual: 10, slow: 20}",
        "calendar: notary,\n          days: {fast: 1, usual: 2, slow: 3}",
    )
    more = "closures:\n  - {who: notary, first_day: 2027-05-18, last_day: 2027-05-18}\n"
    plan = make_plan(papers, more="notary_days: [tue, fri]\n" + more)

    line = trace_last(plan, step_of(plan, "review"))[0]

    assert line.day == date(2027, 5, 13)
    assert line.text.endswith(
        "because it takes 2 notary days and must be over by Mon 24 May 2027 (9 days not counted: "
        "Saturdays, Sundays, Mondays, Wednesdays, Thursdays, Tue 18 May 2027)"
    )


def test_act_moved_earlier_says_from_which_day(make_plan: MakePlan) -> None:
    """Mailed by Thursday 6 May, but the counter is open on Monday and Wednesday, so by the 5th.

    The notary works on Tuesdays, so by the 4th.
    """
    days = "post_office_days: [mon, wed]\nnotary_days: [tue]\n"
    plan = make_plan(more=days)

    lines = trace_last(plan, step_of(plan, "seal"))

    assert [line.text for line in lines][:2] == [
        ("Seal: by Tue 4 May 2027 (the last notary day before Wed 5 May 2027, which is none: tue)"),
        (
            "Mail: by Wed 5 May 2027 (the last post-office day before Thu 6 May 2027, which is "
            "none: mon, wed)"
        ),
    ]


@pytest.mark.parametrize(
    ("closures", "by", "why"),
    [
        # Mailed by Thursday 6 May, but for who is away; a Sunday lies before the closure.
        (
            "- {who: field, first_day: 2027-05-03, last_day: 2027-05-07, why: planting corn}",
            "Sat 1 May 2027",
            "planting corn, Mon 3 May 2027 to Fri 7 May 2027",
        ),
        (
            "- {who: vehicle, first_day: 2027-05-06, last_day: 2027-05-06}",
            "Wed 5 May 2027",
            "nobody can drive, Thu 6 May 2027",
        ),
        (
            (
                "- {who: notary, first_day: 2027-05-01, last_day: 2027-05-31}\n"
                "- {who: postal, first_day: 2027-05-06, last_day: 2027-05-06, why: flood}"
            ),
            "Wed 5 May 2027",
            "flood, Thu 6 May 2027",
        ),
    ],
)
def test_act_moved_by_a_closure_names_it(
    make_plan: MakePlan, closures: str, by: str, why: str
) -> None:
    """The closure is why the counter is of no use that day, not the weekdays it is open on."""
    plan = make_plan(more=f"closures:\n{closures}\n")

    line = trace_last(plan, step_of(plan, "mail"))[0]
    before, _, limit = line.text.removesuffix(", which is none: " + why + ")").partition(" (the ")

    assert before == f"Mail: by {by}"
    assert limit.startswith("last post-office day before ")
    assert line.text.endswith(f", which is none: {why})")


def test_act_moved_by_a_closure_and_a_weekday_names_both(make_plan: MakePlan) -> None:
    """Thursday 6 May is no counter day, and on Wednesday nobody can leave: so on Monday."""
    away = "{who: field, first_day: 2027-05-05, last_day: 2027-05-05, why: branding calves}"
    plan = make_plan(more=f"post_office_days: [mon, wed]\nclosures:\n- {away}\n")

    assert trace_last(plan, step_of(plan, "mail"))[0].text == (
        "Mail: by Mon 3 May 2027 (the last post-office day before Thu 6 May 2027, which is none: "
        "mon, wed; branding calves, Wed 5 May 2027)"
    )


def test_act_on_any_day_moved_by_a_closure_names_it(make_plan: MakePlan) -> None:
    """Filed online by Sunday 24 January, 120 days before the job; the slip is fetched in town."""
    papers = (
        LICENSE[: LICENSE.index("      - {name: seal")]
        + """\
      - {name: fetch, title: Fetch, kind: act, done_at: town, @own}
      - {name: file, title: File, kind: act, done_at: online, event: mailed, @own}
      - {name: notice, title: Notice, kind: notice, days: 120, @own}
"""
    )
    away = "{who: vehicle, first_day: 2027-01-23, last_day: 2027-01-25, why: truck in the shop}"
    free = make_plan(papers)
    plan = make_plan(papers, more=f"closures:\n- {away}\n")

    assert trace_last(free, step_of(free, "fetch"))[0].text == "Fetch: by Sun 24 Jan 2027"
    assert trace_last(plan, step_of(plan, "fetch"))[0].text == (
        "Fetch: by Fri 22 Jan 2027 (the last day it can be done before Sun 24 Jan 2027: truck in "
        "the shop, Sat 23 Jan 2027 to Mon 25 Jan 2027)"
    )


def test_reasons_a_day_is_closed_name_holidays(make_operation: MakeOperation) -> None:
    """Memorial Day 2027 is Monday 31 May: 5 USC 6103(a), the last Monday of May."""
    span = (date(2027, 5, 29), date(2027, 5, 31))

    found = list_reasons(make_operation(), CalendarName.POST_OFFICE, "post office", *span)

    assert found == ("Memorial Day, Mon 31 May 2027",)


def test_safe_day_line_by_line(make_plan: MakePlan, make_table: MakeTable) -> None:
    """Slow times and one return, counted by hand.

    20 federal days end on 24 May: 27-30 April, 3-7, 10-14, 17-21, 24 May, so from 26 April; postal
    22-24, 26 April, so mailed again on 21 April; home in 4 postal days 17, 19-21 April, so sent
    back on the 16th; 20 federal days from 22 March to 16 April, so there by Sunday 21 March; postal
    17-20 March, so mailed on the 16th.
    """
    plan = make_plan(RETURNED)

    safe = compute_safe_plan(plan, make_table(RETURNED), "own.license:wren")
    step = safe.find_step("own.license:wren/mail")

    assert step is not None
    assert step_of(plan, "mail").safe == date(2027, 3, 16)
    assert [line.text.partition(" at the")[0] for line in trace_last(safe, step)] == [
        "Mail: by Tue 16 Mar 2027 (a post-office day: mon, tue, wed, thu, fri, sat)",
        "On the way: from Tue 16 Mar 2027",
        "Review: from Sun 21 Mar 2027",
        "Sent back: from Fri 16 Apr 2027",
        "Mail: by Wed 21 Apr 2027 (a post-office day: mon, tue, wed, thu, fri, sat)",
        "On the way: from Wed 21 Apr 2027",
        "Review: from Mon 26 Apr 2027",
        "License in hand by Mon 24 May 2027, the first day of pasture",
    ]


def test_safe_plan_leaves_what_is_done_and_the_earliest_days(
    make_plan: MakePlan, make_table: MakeTable
) -> None:
    plan = make_plan(RETURNED)

    safe = compute_safe_plan(plan, make_table(RETURNED), "own.license:wren")

    kept = [safe.find_step(step.id) for step in plan.papers[0].steps]
    assert [(one.earliest, one.done_on, one.safe) for one in kept if one is not None] == [
        (one.earliest, one.done_on, one.safe) for one in plan.papers[0].steps
    ]
    assert [one.id.rpartition("/")[2] for one in safe.papers[0].steps if one not in kept] == [
        "send-back~2",
        "mail~2",
        "transit~2",
        "review~2",
    ]


def test_source_says_once_what_rests_on_no_text(make_table: MakeTable) -> None:
    """No edition when no text was read; common practice is not said twice."""
    papers = LICENSE.replace(
        "event: mailed, @own}",
        'event: mailed, cite: "common practice, no source", confidence: common-practice}',
    ).replace("cite: a, edition: b, confidence: memory", "cite: a, confidence: memory")
    rows = {row.name: row for row in make_table(papers).steps}

    assert [say_source(rows[name]) for name in ("seal", "mail", "review")] == [
        "own.license.seal: a; from memory, not read",
        "own.license.mail: common practice, no source",
        f"own.license.review: {OWN}",
    ]


def test_closed_days_leave_out_the_first_and_count_the_last(make_operation: MakeOperation) -> None:
    days = closed_days(make_operation(), CalendarName.FEDERAL, date(2027, 5, 29), date(2027, 5, 31))

    assert days == (date(2027, 5, 30), date(2027, 5, 31))


def test_notice_is_by_law_and_calendar_days_need_no_word(make_plan: MakePlan) -> None:
    papers = (
        LICENSE[: LICENSE.index("      - {name: seal")]
        + """\
      - {name: file, title: File, kind: act, done_at: online, event: mailed, @own}
      - {name: notice, title: Notice, kind: notice, days: 120, @own}
      - {name: visit, title: Visit, kind: act, calendar: field, done_at: town, after: [], @own}
"""
    )
    plan = make_plan(papers)

    assert [line.text for line in trace_last(plan, step_of(plan, "file"))] == [
        "File: by Sun 24 Jan 2027",
        (
            "Notice: from Sun 24 Jan 2027 at the latest, because it takes 120 calendar days by law "
            "and must be over by Mon 24 May 2027"
        ),
        "License in hand by Mon 24 May 2027, the first day of pasture",
    ]
    assert trace_last(plan, step_of(plan, "visit"))[0].text == (
        "Visit: by Mon 24 May 2027 (a day somebody can leave the field)"
    )


CHAIN = LICENSE.replace("own.license", "own.first").replace("title: License", "title: First") + (
    LICENSE.replace("own.license", "own.second")
    .replace("title: License", "title: Second")
    .replace("event: mailed,", "event: mailed, needs: [own.first],")
)


def test_chain_goes_on_through_the_paper_that_waits(make_plan: MakePlan) -> None:
    plan = make_plan(CHAIN)

    lines = trace_last(plan, step_of(plan, "review"))

    # The second is mailed by 6 May, so the first is in hand by then: 6-3 May, 30-26, 23 April,
    # from 22 April.
    assert [line.text.partition(" at the")[0] for line in lines] == [
        "Review: from Thu 22 Apr 2027",
        "First in hand by Thu 6 May 2027, because `Mail` waits for it",
        "Mail: by Thu 6 May 2027 (a post-office day: mon, tue, wed, thu, fri, sat)",
        "On the way: from Thu 6 May 2027",
        "Review: from Mon 10 May 2027",
        "Second in hand by Mon 24 May 2027, the first day of pasture",
    ]


def test_earliest_goes_back_through_the_paper_waited_for(make_plan: MakePlan) -> None:
    """12-14; 15, 19-22, 25-29 January; mailed 29th, 30 January, 1, 2; 3-5, 8-12, 16, 17 February.

    Washington's Birthday is 15 February 2027.
    """
    plan = make_plan(CHAIN)
    second = plan.find_paper("own.second")
    assert second is not None

    assert [line.text for line in trace_earliest(plan, second)] == [
        "in hand on Wed 17 Feb 2027",
        "after `Review`, 10 federal business days, over on Wed 17 Feb 2027",
        "after `On the way`, 3 postal days by first-class, over on Tue 2 Feb 2027",
        "after `Mail` on Fri 29 Jan 2027",
        "First in hand on Fri 29 Jan 2027",
        "after `Review`, 10 federal business days, over on Fri 29 Jan 2027",
        "after `On the way`, 3 postal days by first-class, over on Thu 14 Jan 2027",
        "after `Mail` on Mon 11 Jan 2027",
        "after `Seal` on Mon 11 Jan 2027, the first open day from today",
    ]


def test_papers_waited_for_stand_in_order(make_plan: MakePlan) -> None:
    plan = make_plan(CHAIN)
    first, second = plan.papers

    assert trace_papers(plan, second) == (second, first)
    assert trace_papers(plan, first) == (first,)


def test_earliest_begins_with_what_was_done(make_plan: MakePlan) -> None:
    plan = make_plan(log="  - {kind: mailed, paper: own.license, holder: wren, on: 2027-01-08}")

    lines = trace_earliest(plan, plan.papers[0])

    assert lines[-1] == Reason(
        text="after `Mail`, done on Fri 8 Jan 2027",
        source=f"own.license.mail: {OWN}",
        step_id="own.license:wren/mail",
        day=date(2027, 1, 8),
    )


def test_overdue_packet_is_told_from_its_sending_without_a_day_to_come(
    make_plan: MakePlan,
) -> None:
    """Mailed on 7 December 2026: postal 8, 9, 10; federal 11, 14-18, 21-24 December."""
    plan = make_plan(log="  - {kind: mailed, paper: own.license, holder: wren, on: 2026-12-07}")
    paper = plan.papers[0]

    lines = trace_earliest(plan, paper)

    assert paper.overdue_since == date(2026, 12, 24)
    assert [line.text for line in lines] == [
        "Mail: done on Mon 7 Dec 2026",
        "On the way: 3 postal days by first-class, over on Thu 10 Dec 2026 at usual pace",
        "Review: 10 federal business days, over on Thu 24 Dec 2026 at usual pace",
        "OVERDUE since Thu 24 Dec 2026; when it will come is not known",
    ]
    (heading, told) = explain_paper(plan, paper).sections[-1]
    assert (heading, told) == ("When it ought to have come, by usual days from the sending", lines)
    assert explain_step(plan, step_of(plan, "review")).answer == (
        "Review: must be over by Mon 24 May 2027; at usual pace it was over on Thu 24 Dec 2026; "
        "when it will come is not known."
    )


def test_paper_that_waits_for_an_overdue_one_names_it(make_plan: MakePlan) -> None:
    """Its days are counted as if the other came today, and the last line says so."""
    log = "  - {kind: mailed, paper: own.first, holder: wren, on: 2026-12-07}"
    plan = make_plan(CHAIN, log=log)
    second = plan.find_paper("own.second")
    assert second is not None

    lines = trace_earliest(plan, second)

    assert lines[-1].text == (
        "First is OVERDUE since Thu 24 Dec 2026; when it will come is not known; the days above "
        "hold only if it comes today"
    )
    assert lines[-1].day is None
    assert lines[0].text.endswith(", if the overdue paper came today")
    heading = "When it can be in hand is not known; if the overdue paper came today"
    assert heading in [title for title, _ in explain_paper(plan, second).sections]
    assert explain_step(plan, second.steps[1]).answer.endswith(
        "; earliest Mon 11 Jan 2027, only if First, which is overdue, comes today."
    )


def test_days_that_need_an_overdue_paper_beside_the_chain_say_so() -> None:
    """The COA of the demo waits longest for the N-number, and for the exemption all the same."""
    operation, log = read_demo()
    plan = compute_plan(operation, read_shipped_table(), log, date(2027, 4, 16))
    coa = plan.find_paper("faa.airspace-authorization")
    assert coa is not None

    lines = trace_earliest(plan, coa)

    assert lines[1].step_id == "faa.airspace-authorization/review"
    chain = ["faa.airspace-authorization", "faa.registration-n:tg46"]
    assert [one.id for one in trace_papers(plan, coa)] == chain
    assert lines[-1].text == (
        "Exemption for spraying with unmanned aircraft is OVERDUE since Sat 6 Feb 2027; when it "
        "will come is not known; the days above hold only if it comes in time"
    )


HELD = "papers:\n  - {paper: own.license, holder: wren, number: INVENTED-1, valid_through: DAY}\n"


def test_renewal_that_is_not_possible_earlier(make_plan: MakePlan) -> None:
    papers = LICENSE.replace("    cite: 1", "    renewal: {opens_months: 3}\n    cite: 1")
    plan = make_plan(papers, more=HELD.replace("DAY", "2027-06-01"))

    lines = trace_earliest(plan, plan.papers[0])

    assert lines[-1].text == "after `Mail` on Mon 1 Mar 2027, not possible earlier"
    assert trace_last(plan, step_of(plan, "review"))[-1].text == (
        "License in hand by Tue 1 Jun 2027, because the one in hand ends on Tue 1 Jun 2027 "
        "during a job"
    )


def test_filing_limit_ends_the_trace(make_plan: MakePlan) -> None:
    papers = LICENSE.replace("    cite: 1", "    renewal: {renew_by: 04-01}\n    cite: 1")
    plan = make_plan(papers, more=HELD.replace("DAY", "2027-06-01"))

    lines = trace_last(plan, step_of(plan, "mail"))

    # Postal 1 April, 31, 30 March, so from the 29th.
    assert [line.day for line in lines] == [date(2027, 3, 29), date(2027, 3, 29)]


def test_paper_in_full(make_plan: MakePlan) -> None:
    plan = make_plan(more=HELD.replace("DAY", "2027-06-01"))

    explained = explain_paper(plan, plan.papers[0])

    headings = [heading for heading, _ in explained.sections]
    assert explained.answer == "License is needed for Wren Castellow."
    assert headings == [
        "Because",
        "The rule",
        "For these jobs",
        "In hand",
        "Last day to mail",
        "Earliest it can be in hand",
    ]
    assert explained.sections[3][1] == (
        Reason(text="number INVENTED-1, in force through Tue 1 Jun 2027"),
    )
    assert explained.sections[4][1] == trace_last(plan, step_of(plan, "mail"))
    assert explained.sections[5][1] == trace_earliest(plan, plan.papers[0])


def test_paper_to_get_in_full(make_plan: MakePlan) -> None:
    plan = make_plan()

    headings = [heading for heading, _ in explain_paper(plan, plan.papers[0]).sections]

    assert headings == [
        "Because",
        "The rule",
        "For these jobs",
        "Last day to mail",
        "Earliest it can be in hand",
    ]


def test_second_job_sets_the_day_when_the_first_is_over(make_plan: MakePlan) -> None:
    jobs = """\
  - {id: over, first_day: 2027-01-04, last_day: 2027-01-08, @job}
  - {id: spring, first_day: 2027-05-24, last_day: 2027-05-28, @job}
"""
    plan = make_plan(jobs=jobs)

    assert trace_last(plan, step_of(plan, "review"))[-1].text == (
        "License in hand by Mon 24 May 2027, the first day of spring"
    )


def test_freshness_that_pushes_both_ways_comes_to_an_end(make_plan: MakePlan) -> None:
    """The counter opens on 21 January; a seal may be 5 days old, so it is set on the 16th.

    The notary is at work from Monday to Friday: Monday 18 January is a holiday, so Tuesday 19.
    """
    papers = LICENSE.replace("event: mailed,", "event: mailed, fresh: {after: seal, days: 5},")
    more = "closures:\n  - {who: post-office, first_day: 2027-01-11, last_day: 2027-01-20}\n"
    plan = make_plan(papers, more=more)

    earliest = trace_earliest(plan, plan.papers[0])
    last = trace_last(plan, step_of(plan, "seal"))

    assert [line.text for line in earliest[-2:]] == [
        "after `Mail` on Thu 21 Jan 2027",
        "after `Seal` on Tue 19 Jan 2027",
    ]
    assert len(last) == 5


def test_late_mailing_is_bound_by_its_fresh_seal(make_plan: MakePlan) -> None:
    """The notary is away from 29 April to 7 May: sealed on the 28th, mailed within 5 days."""
    papers = LICENSE.replace("event: mailed,", "event: mailed, fresh: {after: seal, days: 5},")
    more = "closures:\n  - {who: notary, first_day: 2027-04-29, last_day: 2027-05-07}\n"
    plan = make_plan(papers, more=more)

    mail = step_of(plan, "mail")

    assert (mail.last, mail.bound_by) == (date(2027, 5, 3), "own.license:wren/seal")
    assert [line.day for line in trace_last(plan, mail)] == [date(2027, 5, 3), date(2027, 4, 28)]


def test_step_that_nothing_limits(make_plan: MakePlan) -> None:
    plan = make_plan()
    free = replace(step_of(plan, "seal"), last=None, last_start=None, safe=None, bound_by="")

    assert trace_last(plan, free) == (
        Reason(
            text="Seal: nothing limits it",
            source="own.license.seal: a; edition: b; from memory, not read",
            step_id="own.license:wren/seal",
        ),
    )
    assert explain_step(plan, free).answer == "Seal: last day open; earliest Mon 11 Jan 2027."


def test_paper_in_hand_has_no_dates_to_explain(make_plan: MakePlan) -> None:
    open_ended = LICENSE.replace("{kind: months, months: 12}", "{kind: open-ended}")
    held = HELD.replace(", number: INVENTED-1, valid_through: DAY", "")
    plan = make_plan(open_ended, more=held)

    explained = explain_paper(plan, plan.papers[0])

    assert explained.sections[3:] == (("In hand", (Reason(text="without a last day known"),)),)


def test_step_still_to_do(make_plan: MakePlan) -> None:
    plan = make_plan()
    seal = step_of(plan, "seal")

    assert explain_step(plan, seal) == Explanation(
        # 20 slow days end on 24 May: 24-17, 14-10, 7-3, 30-27 April, from the 26th; 4 postal days
        # 26, 24, 23, 22 from the 21st.
        answer="Seal: last day Thu 6 May 2027; safe by Wed 21 Apr 2027; earliest Mon 11 Jan 2027.",
        sections=(
            ("What sets the last day (usual times, no spare return)", trace_last(plan, seal)),
            (
                "The row",
                (
                    Reason(
                        text="Seal (she asks for a passport)",
                        source="own.license.seal: a; edition: b; from memory, not read",
                    ),
                ),
            ),
        ),
    )


def test_steps_that_are_done(make_plan: MakePlan) -> None:
    plan = make_plan(log="  - {kind: mailed, paper: own.license, holder: wren, on: 2027-01-08}")

    mail, seal = (explain_step(plan, step_of(plan, name)).answer for name in ("mail", "seal"))

    assert mail == "Mail: done on Fri 8 Jan 2027, so the log says."
    assert seal == "Seal: done on Fri 8 Jan 2027, a later log entry shows it."
