"""What is said of a job that was lawful until papers of it ended.

Papers and office are invented; 16 August 2027 is a Monday without a holiday near (5 USC 6103).
"""

from datetime import date

import pytest

from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.remedies import add_remedies
from compliance.facts.log import LogEntry
from compliance.facts.parse import parse_operation
from compliance.outputs.grounded_words import may_fly_in_part, say_ended
from compliance.outputs.plan_text import render_plan_text
from compliance.outputs.returned_text import render_returned
from compliance.outputs.words import say_late_job
from compliance.rules.parse import parse_table
from tests.engine.kit_own import FARM, HEAD, JOB, OWN

DAY = date(2027, 8, 18)
WORK = "jobs:\n  - {id: corn, first_day: 2027-07-01, last_day: 2027-08-31, @job}\npapers:\n"
BOTH = JOB.replace("aircraft: tg46", "aircraft: [tg46, tg18]")
EVERY = BOTH.replace("pilots: wren", "pilots: [odile, wren]")
ONLINE = """\
  - id: own.NAME
    title: TITLE
    holder: HOLDER
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
      - {name: file, title: File, kind: act, calendar: federal, done_at: online,MORE @own}
      - {name: answer, title: Answer, kind: wait, calendar: federal,
          days: {fast: DAYS, usual: DAYS, slow: DAYS}, event: granted, @own}
"""


def online(name: str, title: str, holder: str = "operation", days: int = 1, more: str = "") -> str:
    text = ONLINE.replace("NAME", name).replace("TITLE", title).replace("HOLDER", holder)
    return text.replace("DAYS", str(days)).replace("MORE", more)


def held(name: str, through: str, holder: str = "operation") -> str:
    return f"  - {{paper: own.{name}, holder: {holder}, valid_through: {through}}}\n"


def make_plan(papers: str, more: str, job: str = JOB, day: date = DAY) -> Plan:
    table, problems = parse_table({"own.yaml": (HEAD + papers).replace("@own", OWN)})
    text = FARM.replace("@service", "first-class") + WORK.replace("@job", job) + more
    operation, faults = parse_operation(text, "farm.yaml")
    assert (problems, faults) == ((), ())
    assert operation is not None
    return add_remedies(compute_plan(operation, table, (), day), table, ())


def ended(plan: Plan) -> str:
    return say_ended(plan, plan.jobs[0])


def test_each_paper_that_ended_is_named_with_its_day_and_what_a_new_one_waits_for() -> None:
    permit = online("permit", "Permit", more=" needs: [own.license],")
    plan = make_plan(
        online("license", "License") + permit,
        held("license", "2027-08-10") + held("permit", "2027-08-16"),
    )

    assert ended(plan) == (
        "License ended on Tue 10 Aug 2027; and Permit ended on Mon 16 Aug 2027, and a new one "
        "waits for License"
    )


def test_nothing_has_ended_of_a_job_that_never_was_lawful() -> None:
    plan = make_plan(online("license", "License"), held("license", "2027-06-30"))

    assert (ended(plan), may_fly_in_part(plan, plan.jobs[0])) == ("", False)
    assert "LATE by 49 days" in render_plan_text(plan)


@pytest.mark.parametrize(
    ("holder", "owner", "job", "in_part"),
    [
        ("aircraft", "tg18", EVERY, True),
        ("pilot", "wren", EVERY, True),
        # Its only pilot, and one of its aircraft that is no help without a pilot.
        ("pilot", "wren", BOTH, False),
        ("operation", "operation", EVERY, False),
    ],
)
def test_part_of_a_job_may_go_on_when_another_aircraft_and_pilot_are_left(
    holder: str, owner: str, job: str, *, in_part: bool
) -> None:
    others = {"aircraft": ("tg46",), "pilot": ("odile",), "operation": ()}[holder]
    more = held("license", "2027-08-16", owner)
    more += "".join(held("license", "2028-08-16", other) for other in others)

    plan = make_plan(online("license", "License", holder), more, job)

    assert plan.jobs[0].ended_on == date(2027, 8, 16)
    assert may_fly_in_part(plan, plan.jobs[0]) is in_part
    assert ("`mailby go --job corn` says" in render_plan_text(plan)) is in_part


def test_paper_that_can_be_there_today_leaves_its_pilot_out() -> None:
    """One pilot waits for a paper, the other lacks one that needs no wait: nobody is in order."""
    papers = online("license", "License", "pilot") + online("course", "Course", "pilot", 0)
    more = held("license", "2027-08-16", "wren") + held("license", "2028-08-16", "odile")
    more += held("course", "2028-08-16", "wren") + held("course", "2027-08-16", "odile")

    plan = make_plan(papers, more, EVERY)

    assert ended(plan) == (
        "License, Wren Castellow ended on Mon 16 Aug 2027; and Course, Odile Ferrant ended on Mon "
        "16 Aug 2027"
    )
    assert not may_fly_in_part(plan, plan.jobs[0])


def test_grounded_job_without_a_day_left_says_so_everywhere() -> None:
    """Twenty federal days from the 18th are over on 16 September; 6 September is a holiday."""
    plan = make_plan(online("license", "License", days=20), held("license", "2027-08-16"))
    text = " ".join(render_plan_text(plan).split())

    assert (
        "Now: corn, since Thu 1 Jul 2027, but grounded since Tue 17 Aug 2027, and by this plan no "
        "day of it is lawful any more. !"
    ) in text
    assert (
        "GROUNDED since Tue 17 Aug 2027, until Thu 16 Sep 2027 at the soonest: License ended on "
        "Mon 16 Aug 2027 ! no day of this job is left: it ends on Tue 31 Aug 2027, before its "
        "papers can be there"
    ) in text
    assert "leave no lawful day of corn." in text
    assert say_late_job(plan.jobs[0]) == (
        "corn has no lawful day left: it ends on Tue 31 Aug 2027, before its papers can be there, "
        "Thu 16 Sep 2027"
    )


def test_late_job_is_said_to_go_on_or_to_begin() -> None:
    papers = online("license", "License")
    lapsed, never = make_plan(papers, held("license", "2027-08-16")), make_plan(papers, "  []\n")

    assert say_late_job(lapsed.jobs[0], ", even if") == (
        "corn is grounded: one of its papers ended on Mon 16 Aug 2027; it is not lawful before Thu "
        "19 Aug 2027, even if"
    )
    assert say_late_job(never.jobs[0]) == "corn cannot begin lawfully before Thu 19 Aug 2027"


def test_return_that_moves_a_grounded_job_says_since_when(demo_log: tuple[LogEntry, ...]) -> None:
    """The words of what moved are those of two plans, whatever was logged."""
    papers, more = online("license", "License"), held("license", "2027-08-16")
    before, after = (make_plan(papers, more, day=date(2027, 8, day)) for day in (18, 19))

    text = " ".join(render_returned(demo_log[0], before, after).split())

    assert (
        "corn, first lawful day Thu 19 Aug 2027 -> Fri 20 Aug 2027; GROUNDED since Tue 17 Aug 2027 "
    ) in text
