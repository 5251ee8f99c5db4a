"""A job that was lawful until one of its papers ended, as against one that never was.

The days are worked out by hand: 16 August 2027 is a Monday, and no day of its week or of the week
after is a federal holiday (5 USC 6103).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.agenda import ItemKind, compute_agenda
from compliance.engine.awaited import list_ended, list_missed
from compliance.engine.in_force import Answer, compute_job_standing
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import JobPlan, Plan
from compliance.engine.remedies import add_helped, add_remedies
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakePlan = Callable[..., Plan]

JOB = "  - {id: corn, first_day: 2027-07-01, last_day: 2027-08-31, @job}\n"
ONLINE = """\
  - id: ID
    title: TITLE
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
      - {name: file, title: File, kind: act, calendar: federal, done_at: online, @own}
      - {name: answer, title: Answer, kind: wait, calendar: federal,
          days: {fast: DAYS, usual: DAYS, slow: DAYS}, event: granted, @own}
"""
NEXT = "  - {paper: own.license, holder: operation, issued_on: DAY, valid_through: 2028-08-31}\n"
HELD = "  - {paper: ID, holder: operation, valid_through: DAY}\n"


def online(ident: str, title: str = "License", days: int = 1) -> str:
    text = ONLINE.replace("ID", ident).replace("TITLE", title)
    return text.replace("DAYS", str(days))


def held(**through: str) -> str:
    lines = [HELD.replace("ID", f"own.{name}").replace("DAY", day) for name, day in through.items()]
    return "papers:\n" + "".join(lines)


@pytest.fixture(name="make_plan")
def plan_maker(make_table: MakeTable, make_operation: MakeOperation) -> MakePlan:
    def make(day: date, more: str, papers: str = online("own.license")) -> Plan:
        table = make_table(papers)
        plan = compute_plan(make_operation(JOB, more=more), table, (), day)
        with_helped = add_helped(plan, table, ())
        made = add_remedies(plan, table, ())
        assert made.helped == with_helped.helped
        return made

    return make


def days_of(job: JobPlan) -> tuple[date | None, date | None, date, int]:
    return job.ended_on, job.grounded_since, job.first_lawful_day, job.late_by_days


def test_job_in_the_middle_of_which_a_paper_ends(make_plan: MakePlan) -> None:
    """The last day in force counts as one: filed on the 16th, answered on the 17th, no day lost."""
    more = held(license="2027-08-16")

    (last,) = make_plan(date(2027, 8, 16), more).jobs
    (next_day,) = make_plan(date(2027, 8, 17), more).jobs
    (second,) = make_plan(date(2027, 8, 18), more).jobs

    assert days_of(last) == (None, None, date(2027, 8, 16), 0)
    assert (last.waits_for, last.gap) == ((), None)
    # Filed on the 17th, answered on the 18th: grounded on the 17th alone.
    ended, since = date(2027, 8, 16), date(2027, 8, 17)
    assert days_of(next_day) == (ended, since, date(2027, 8, 18), 1)
    assert days_of(second) == (ended, since, date(2027, 8, 19), 2)
    assert second.waits_for == ("own.license",)


def test_job_that_never_was_lawful_is_late_from_its_first_day(make_plan: MakePlan) -> None:
    """Lawful from Thursday 19 August: 30 days of July and 19 of August after the 1st of July."""
    (never,) = make_plan(date(2027, 8, 18), "").jobs
    (before,) = make_plan(date(2027, 8, 18), held(license="2027-06-30")).jobs

    assert days_of(never) == days_of(before) == (None, None, date(2027, 8, 19), 49)


def test_paper_that_ended_on_the_first_day_was_in_force_on_it(make_plan: MakePlan) -> None:
    (job,) = make_plan(date(2027, 8, 18), held(license="2027-07-01")).jobs

    # 2 July to 18 August, both inclusive: 30 and 18 days.
    assert days_of(job) == (date(2027, 7, 1), date(2027, 7, 2), date(2027, 8, 19), 48)


@pytest.mark.parametrize("days", [1, 0])
def test_paper_that_was_never_there_makes_the_job_late(make_plan: MakePlan, days: int) -> None:
    """Of two papers one was in force on the first day; the other can be there in *days*."""
    two = online("own.license") + online("own.permit", "Permit", days)

    (job,) = make_plan(date(2027, 8, 18), held(license="2027-08-16"), two).jobs

    assert days_of(job) == (None, None, date(2027, 8, 19), 49)


def test_of_two_papers_that_ended_the_first_grounds_the_job(make_plan: MakePlan) -> None:
    """The permit takes three days: filed on Wednesday the 18th, there on Monday the 23rd."""
    two = online("own.license") + online("own.permit", "Permit", 3)
    plan = make_plan(date(2027, 8, 18), held(license="2027-08-10", permit="2027-08-16"), two)

    (job,) = plan.jobs
    assert days_of(job) == (date(2027, 8, 10), date(2027, 8, 11), date(2027, 8, 23), 12)
    assert job.waits_for == ("own.permit",)
    assert [paper.id for paper in list_ended(plan, job)] == ["own.license", "own.permit"]


def test_paper_that_can_be_there_today_grounds_until_it_is_logged(make_plan: MakePlan) -> None:
    """The license ended first and needs no wait; it is not there all the same, as `go` says."""
    two = online("own.license", days=0) + online("own.permit", "Permit")
    plan = make_plan(date(2027, 8, 18), held(license="2027-08-10", permit="2027-08-16"), two)

    (job,) = plan.jobs
    assert days_of(job) == (date(2027, 8, 10), date(2027, 8, 11), date(2027, 8, 19), 8)
    assert job.waits_for == ("own.permit",)
    assert [paper.id for paper in list_ended(plan, job)] == ["own.license", "own.permit"]


def test_one_paper_that_can_be_there_today_grounds_until_today(make_plan: MakePlan) -> None:
    more = held(license="2027-08-10")

    (job,) = make_plan(date(2027, 8, 18), more, online("own.license", days=0)).jobs

    assert days_of(job) == (date(2027, 8, 10), date(2027, 8, 11), date(2027, 8, 18), 7)
    assert job.waits_for == ()


def turn(first: str, then: str) -> str:
    """Write two papers of one kind: one through a day, the next issued on another."""
    return held(license=first) + NEXT.replace("DAY", then)


@pytest.mark.parametrize("then", ["2027-08-17", "2027-08-20", "2027-08-25"])
@pytest.mark.parametrize("day", range(9, 27))
def test_days_between_two_papers_that_are_held(
    make_plan: MakePlan, make_table: MakeTable, make_operation: MakeOperation, day: int, then: str
) -> None:
    """The plan and `go` say the same of every day: grounded from the 17th to the day before."""
    on, begins, ended = date(2027, 8, day), date.fromisoformat(then), date(2027, 8, 16)
    more = turn("2027-08-16", then)

    (job,) = make_plan(on, more).jobs
    operation = make_operation(JOB, more=more)
    standing = compute_job_standing(operation, make_table(online("own.license")), (), job.job, on)

    grounded = ended < on < begins
    gap = (ended, begins) if on <= ended and begins > date(2027, 8, 17) else None
    assert (standing.answer is Answer.NO_GO) is grounded
    assert (job.first_lawful_day, job.gap) == (begins if grounded else on, gap)
    assert job.ended_on == (ended if grounded else None)
    assert job.late_by_days == ((begins - ended).days - 1 if grounded else 0)


def test_paper_that_begins_within_the_job_is_waited_for(make_plan: MakePlan) -> None:
    """No paper before it: the job is late, not grounded, and the packet itself is in hand."""
    more = "papers:\n" + NEXT.replace("DAY", "2027-07-08")

    (early,) = make_plan(date(2027, 6, 1), more).jobs
    (begun,) = make_plan(date(2027, 7, 5), more).jobs

    assert days_of(early) == days_of(begun) == (None, None, date(2027, 7, 8), 7)
    assert early.waits_for == ("own.license",)


def test_paper_that_outlasts_the_job_needs_no_renewal_in_time(make_plan: MakePlan) -> None:
    """Whether an office takes a late renewal is nothing to a job that is over before."""
    plan = make_plan(date(2027, 8, 18), held(license="2027-08-31"))

    assert list_missed(plan, plan.jobs[0]) == ()


def test_no_paper_has_ended_of_a_job_that_is_late_or_in_order(make_plan: MakePlan) -> None:
    late = make_plan(date(2027, 8, 18), "")
    well = make_plan(date(2027, 8, 18), held(license="2028-08-16"))

    assert (list_ended(late, late.jobs[0]), list_ended(well, well.jobs[0])) == ((), ())
    assert days_of(well.jobs[0]) == (None, None, date(2027, 8, 18), 0)


def test_grounded_job_has_no_later_first_day_as_a_remedy(make_plan: MakePlan) -> None:
    grounded = make_plan(date(2027, 8, 18), held(license="2027-08-16"))
    late = make_plan(date(2027, 8, 18), "")

    assert (grounded.remedies, grounded.unhelped, grounded.helped) == ((), ("corn",), ())
    assert [one.what for one in late.remedies] == [
        "begin corn on Thu 19 Aug 2027 instead of Thu 1 Jul 2027"
    ]
    assert late.unhelped == ()


def test_first_day_of_a_grounded_job_was_not_late(make_plan: MakePlan) -> None:
    """Its first day stays where it was on the agenda; that of a job never lawful is LATE."""
    plan = make_plan(date(2027, 8, 18), held(license="2027-08-16"))
    as_late = replace(plan, jobs=(replace(plan.jobs[0], ended_on=None),))

    found = [
        next(item for item in compute_agenda(one) if item.kind is ItemKind.JOB)
        for one in (plan, as_late)
    ]

    assert [(item.on, item.title) for item in found] == [
        (date(2027, 7, 1), "First day of corn")
    ] * 2
    assert [item.late for item in found] == [False, True]
