"""Whole plans of small invented papers; every date is worked out by hand in the comments.

Closed days used: 18 January, 15 February and 31 May 2027 (5 USC 6103). 11 January and 24 May 2027
are Mondays.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.base.problems import RefusedError
from compliance.engine.packets import PaperState
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import Plan, StepPlan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName, RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

AS_OF = date(2027, 1, 11)

HEAD = """\
  - id: ID
    title: TITLE
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
"""
STEPS = """\
    steps:
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted,
          return_path: [send-back, mend, mail, transit, review], @own}
      - {name: mail-back, title: Back, kind: wait, mail: back, @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
"""


def paper(ident: str, steps: str, title: str = "License") -> str:
    return HEAD.replace("ID", ident).replace("TITLE", title) + steps


MAILED = paper("own.license", STEPS)
HELD = "papers:\n  - {paper: own.license, holder: operation, valid_through: DAY}\n"


@pytest.fixture(name="make_plan")
def plan_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., Plan]:
    def make(papers: str = MAILED, log: str = "", *, as_of: date = AS_OF, **farm: str) -> Plan:
        operation = make_operation(**farm)
        entries = make_log(operation, log) if log else ()
        return compute_plan(operation, make_table(papers), entries, as_of)

    return make


MakePlan = Callable[..., Plan]


def days(plan: Plan) -> dict[str, tuple[str, str, str, str]]:
    """Give last start, last, safe and earliest day of every step as month and day."""
    return {
        step.id.replace("own.license/", ""): (
            say(step.last_start),
            say(step.last),
            say(step.safe),
            say(step.earliest),
        )
        for one in plan.papers
        for step in one.steps
    }


def say(day: date | None) -> str:
    return f"{day:%m-%d}" if day else "-"


def step_of(plan: Plan, name: str) -> StepPlan:
    found = plan.papers[0].find_step(name)
    assert found is not None
    return found


def test_every_day_of_one_packet(make_plan: MakePlan) -> None:
    """Needed by Monday 24 May.

    Last, usual times: 3 postal days end on the 24th: 24, 22, 21, so from 20 May. 10 federal days
    end on 20 May: 20 to 17, 14 to 10, 7, so from 6 May. 3 postal days: 6, 5, 4, so from 3 May.

    Safe, slow times and once back: 4 postal days 24, 22, 21, 20 from 19 May. 20 federal days 19 to
    17 May, then 14-10, 7-3 May, 30-26, 23, 22 April, from 21 April. 4 postal days 21, 20, 19, 17
    from 16 April; mended and mailed by then. 4 postal days back 16, 15, 14, 13 from 12 April. 20
    federal days 12, 9-5, 2, 1 April, 31-29, 26-22, 19-16 March, from 15 March. 4 postal days 15,
    13, 12, 11 from 10 March.

    Earliest, from Monday 11 January: postal 12, 13, 14; federal 15, 19 to 22, 25 to 29; postal 30
    January, 1, 2 February.
    """
    plan = make_plan()

    assert days(plan) == {
        "sign": ("05-03", "05-03", "03-10", "01-11"),
        "mail": ("05-03", "05-03", "03-10", "01-11"),
        "transit": ("05-03", "05-06", "03-15", "01-14"),
        "review": ("05-06", "05-20", "04-12", "01-29"),
        "mail-back": ("05-20", "05-24", "05-24", "02-02"),
    }
    (one,) = plan.papers
    assert (one.in_hand_by, one.in_hand_bound_by) == (date(2027, 5, 24), "limit")
    assert (one.earliest_ready, one.ready_bound_by) == (
        date(2027, 2, 2),
        "own.license/mail-back",
    )
    assert (one.mail_last, one.mail_safe) == (date(2027, 5, 3), date(2027, 3, 10))
    assert (one.mail_step, one.mailed_on) == ("own.license/mail", None)
    # 26 days of February, 31, 30 and 24.
    assert (one.slack_days, one.is_late, one.is_tight) == (111, False, False)
    assert (one.id, one.state) == ("own.license", PaperState.TO_DO)
    assert (one.confirm, one.warnings, plan.warnings) == ((), (), ())


def test_what_binds_each_step(make_plan: MakePlan) -> None:
    plan = make_plan()

    bound = {step.row.name: (step.bound_by, step.earliest_by) for step in plan.papers[0].steps}
    lead = {step.row.name: (step.days, step.calendar) for step in plan.papers[0].steps}

    assert bound == {
        "sign": ("own.license/mail", "today"),
        "mail": ("own.license/transit", "own.license/sign"),
        "transit": ("own.license/review", "own.license/mail"),
        "review": ("own.license/mail-back", "own.license/transit"),
        "mail-back": ("own.license/in-hand", "own.license/review"),
    }
    assert lead == {
        "sign": (0, CalendarName.EVERY_DAY),
        "mail": (0, CalendarName.POST_OFFICE),
        "transit": (3, CalendarName.POSTAL),
        "review": (10, CalendarName.FEDERAL),
        "mail-back": (3, CalendarName.POSTAL),
    }


@pytest.mark.parametrize(
    ("service", "mail"),
    [
        # To be there by Thursday 6 May: postal 6, 5 from the 4th; 6 from the 5th; a courier's
        # working day from the 5th.
        ("priority", "05-04"),
        ("express", "05-05"),
        ("courier", "05-05"),
    ],
)
def test_faster_mail_gives_later_days(make_plan: MakePlan, service: str, mail: str) -> None:
    assert days(make_plan(service=service))["mail"][1] == mail


def test_nobody_can_leave_the_field(make_plan: MakePlan) -> None:
    """Monday 3 May and Saturday 1 May are closed: Friday 30 April. Signing is done at home."""
    more = "closures:\n  - {who: field, first_day: 2027-05-01, last_day: 2027-05-03}\n"

    found = days(make_plan(more=more))

    assert found["mail"][:2] == ("04-30", "04-30")
    assert found["sign"][:2] == ("04-30", "04-30")
    assert found["transit"][0] == "05-03"


NOTARIZED = STEPS.replace(
    "name: sign, title: Sign, kind: act, done_at: farm, event: signed",
    "name: seal, title: Seal, kind: act, calendar: notary, done_at: notary, event: notarized",
)


def test_notary_is_there_on_two_weekdays(make_plan: MakePlan) -> None:
    """Mailed by Monday 3 May, so notarized by Thursday 29 April; first on Tuesday 12 January."""
    found = days(make_plan(paper("own.license", NOTARIZED), more="notary_days: [tue, thu]\n"))

    assert found["seal"] == ("04-29", "04-29", "03-09", "01-12")


def test_legal_notice_is_a_floor_in_last_and_safe(make_plan: MakePlan) -> None:
    """120 days before 24 May is Sunday 24 January; offices file on Friday 22 January.

    113 days before 24 May is 31 January, 7 more the 24th. The review would leave time until May.
    """
    steps = """\
    steps:
      - {name: file, title: File, kind: act, calendar: federal, done_at: online, event: mailed,
          @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 1, usual: 2, slow: 3}, event: granted, return_path: [file, review], @own}
      - {name: notice, title: Notice, kind: notice, days: 120, after: [file], @own}
"""
    found = days(make_plan(paper("own.license", steps)))

    # Filed today, Monday 11 January: 120 days on is 11 May (20 of January, 28, 31, 30, 11).
    assert found["file"] == ("01-22", "01-22", "01-22", "01-11")
    assert found["notice"] == ("01-24", "05-24", "05-24", "05-11")
    assert found["review"][1] == "05-24"


CHAIN = paper(
    "own.first",
    """\
    steps:
      - {name: file, title: File first, kind: act, calendar: federal, done_at: online,
          event: mailed, @own}
      - {name: review, title: Review first, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted, return_path: [file, review], @own}
""",
) + paper(
    "own.second",
    """\
    steps:
      - {name: file, title: File second, kind: act, calendar: federal, done_at: online,
          event: mailed, needs: [own.first], @own}
      - {name: review, title: Review second, kind: wait, calendar: federal,
          days: {fast: 2, usual: 5, slow: 10}, event: granted, return_path: [file, review], @own}
""",
)


def test_paper_that_waits_for_another(make_plan: MakePlan) -> None:
    """Usual: 5 federal days end on 24 May, from 17 May, so the first is in hand by the 17th.

    10 federal days end on 17 May: 17, 14-10, 7-4, from 3 May.

    Slow: 10 federal days end on 24 May, from 10 May, so the first is in hand by 10 May. The safe
    day of each then has its own spare return and not the other's. First: 20 days end on 10 May,
    from 12 April (10, 7-3 May, 30-26, 23-19, 16-13 April); again from 15 March. Second: 10 days
    from 10 May, again from 26 April.

    Earliest: first filed 11 January; 12-15, 19-22, 25, 26 January; second filed on the 26th and
    ready 5 days later, 27 January to 2 February.
    """
    plan = make_plan(CHAIN)

    assert days(plan) == {
        "own.first/file": ("05-03", "05-03", "03-15", "01-11"),
        "own.first/review": ("05-03", "05-17", "04-12", "01-26"),
        "own.second/file": ("05-17", "05-17", "04-26", "01-26"),
        "own.second/review": ("05-17", "05-24", "05-10", "02-02"),
    }
    first, second = plan.papers
    assert (first.in_hand_by, first.in_hand_bound_by) == (date(2027, 5, 17), "own.second/file")
    assert (second.in_hand_by, second.in_hand_bound_by) == (date(2027, 5, 24), "limit")
    assert (first.slack_days, second.slack_days) == (111, 111)


def test_held_first_paper_frees_the_second(make_plan: MakePlan) -> None:
    held = HELD.replace("own.license", "own.first").replace("DAY", "2028-01-01")

    plan = make_plan(CHAIN, more=held)

    first, second = plan.papers
    assert (first.steps, first.in_hand_by, first.mail_step) == ((), None, "")
    assert (first.slack_days, first.is_late, first.is_tight) == (None, False, False)
    assert second.find_step("file") == replace(
        step_of_id(plan, "own.second/file"), earliest=AS_OF, earliest_by="today"
    )


def step_of_id(plan: Plan, name: str) -> StepPlan:
    found = plan.find_step(name)
    assert found is not None
    return found


def test_renewal_is_in_hand_on_the_last_day_in_force(make_plan: MakePlan) -> None:
    """In force through Tuesday 1 June, in the job: postal 1 June, 29, 28 May, from 27 May.

    Federal 27-24, 21-17, 14, from 13 May; postal 13, 12, 11, from 10 May.
    """
    plan = make_plan(more=HELD.replace("DAY", "2027-06-01"))

    (one,) = plan.papers
    assert (one.packet.need_by, one.in_hand_by) == (date(2027, 6, 1), date(2027, 6, 1))
    assert one.mail_last == date(2027, 5, 10)
    assert one.warnings == ("the one in hand runs out on Tue 1 Jun 2027",)


def renewable(renewal: str) -> str:
    return MAILED.replace("    cite:", f"    renewal: {renewal}\n    cite:", 1)


def test_renewal_cannot_be_mailed_before_its_window(make_plan: MakePlan) -> None:
    """Three months before 1 June is Monday 1 March: 2-4; 5, 8-12, 15-18; 19, 20, 22 March."""
    plan = make_plan(renewable("{opens_months: 3}"), more=HELD.replace("DAY", "2027-06-01"))

    found = days(plan)
    assert (found["sign"][3], found["mail"][3]) == ("01-11", "03-01")
    assert plan.papers[0].earliest_ready == date(2027, 3, 22)
    assert step_of(plan, "mail").earliest_by == "not_before"


def test_renewal_must_be_received_by_the_rules_day(make_plan: MakePlan) -> None:
    """30 days before 1 June is Sunday 2 May: postal 1 May, 30, 29 April, from 28 April.

    Safe: slow mail takes 4 days, from 27 April; slow times and a return ask for more: like a job
    on 1 June, 4 postal days from 26 May, 20 federal from 28 April, 4 postal from 23 April, 4 postal
    from 19 April, 20 federal days 19, 16-12, 9-5, 2, 1 April, 31-29, 26-23 March, from 22 March,
    4 postal 22, 20, 19, 18 from 17 March.
    """
    plan = make_plan(
        renewable("{renew_by: 30 days before}"), more=HELD.replace("DAY", "2027-06-01")
    )

    found = days(plan)
    assert found["transit"][1] == "05-02"
    assert found["mail"][:3] == ("04-28", "04-28", "03-17")
    assert step_of(plan, "transit").bound_by == "limit"


def test_early_filing_day_sets_the_safe_day_too(make_plan: MakePlan) -> None:
    """90 days before 1 June is Wednesday 3 March (31, 30 and 29 days back).

    Usual mail 3, 2, 1 March, from Sunday 28 February: mailed on Saturday 27. Slow mail one day
    more, from Friday 26.
    """
    plan = make_plan(
        renewable("{renew_by: 90 days before}"), more=HELD.replace("DAY", "2027-06-01")
    )

    (one,) = plan.papers
    assert (one.mail_last, one.mail_safe) == (date(2027, 2, 27), date(2027, 2, 26))


def test_filing_day_is_passed_on_to_the_paper_that_is_waited_for(make_plan: MakePlan) -> None:
    """The second must be filed by Thursday 1 April, so the first is in hand by then.

    Usual: 10 federal days end on 1 April: 1, 31-29, 26-22, 19 March, from 18 March. Safe: 20 days
    1 April, 31-29, 26-22, 19-15, 12-8 March, 5 March, from 4 March, and again 20: 4-1 March,
    26-22, 19-16, 12-8, 5, 4 February, from 3 February. Washington's Birthday is 15 February.
    """
    chain = CHAIN.replace("    cite:", "    renewal: {renew_by: 04-01}\n    cite:")
    held = HELD.replace("own.license", "own.second").replace("DAY", "2027-06-01")

    first, second = make_plan(chain, more=held).papers

    assert (second.mail_last, second.mail_safe) == (date(2027, 4, 1), date(2027, 4, 1))
    assert (first.in_hand_by, first.mail_last) == (date(2027, 4, 1), date(2027, 3, 18))
    assert first.mail_safe == date(2027, 2, 3)


def test_missed_filing_day_is_said(make_plan: MakePlan) -> None:
    """31 days before 1 June is Saturday 1 May.

    A letter of 28 April is there on that day, one of the 29th on 3 May: 30 April, 1, 3 May.
    """
    renewal = renewable("{renew_by: 31 days before}")
    more = HELD.replace("DAY", "2027-06-01")

    in_time, late, received = (
        make_plan(renewal, log, more=more, as_of=as_of).papers[0]
        for log, as_of in (
            ("", date(2027, 4, 28)),
            ("", date(2027, 4, 29)),
            ("  - {kind: received, paper: own.license, on: 2027-04-29}", date(2027, 4, 29)),
        )
    )

    runs_out = "the one in hand runs out on Tue 1 Jun 2027"
    missed = (
        "the last day to file the renewal was Sat 1 May 2027, and it cannot be met any more; "
        "ask the office whether it takes a late one, and what that needs"
    )
    assert [one.warnings for one in (in_time, late, received)] == [
        (runs_out,),
        (runs_out, missed),
        (runs_out,),
    ]
    assert [one.renewal_missed for one in (in_time, late, received)] == [
        None,
        date(2027, 5, 1),
        None,
    ]


@pytest.mark.parametrize(
    ("as_of", "since"),
    [
        (date(2027, 1, 29), None),
        (date(2027, 1, 30), None),
        (date(2027, 1, 31), date(2027, 1, 30)),
        (date(2027, 3, 1), date(2027, 1, 30)),
    ],
)
def test_packet_that_ought_to_have_come_is_overdue(
    make_plan: MakePlan, as_of: date, since: date | None
) -> None:
    """Mailed on 8 January it is expected on the 30th, as counted below; after that nobody knows.

    The earliest day is then today and says nothing any more.
    """
    plan = make_plan(log="  - {kind: mailed, paper: own.license, on: 2027-01-08}", as_of=as_of)

    (one,) = plan.papers
    assert one.overdue_since == since
    assert one.earliest_ready == max(as_of, date(2027, 1, 30))


def test_packet_that_came_back_is_not_overdue(make_plan: MakePlan) -> None:
    """It waits on its owner, not on the office."""
    plan = make_plan(log=RETURNED, as_of=date(2027, 6, 1))

    assert plan.papers[0].overdue_since is None


def test_packet_on_its_way(make_plan: MakePlan) -> None:
    """Mailed on Friday 8 January: postal 9, 11, 12; federal 13-15, 19-22, 25-27; postal 28-30."""
    plan = make_plan(log="  - {kind: mailed, paper: own.license, on: 2027-01-08}")

    (one,) = plan.papers
    assert (one.state, one.mailed_on) == (PaperState.AT_OFFICE, date(2027, 1, 8))
    assert (one.mail_last, one.mail_safe) == (None, None)
    assert one.earliest_ready == date(2027, 1, 30)
    done = {step.row.name: (step.done_on, step.shown) for step in one.steps}
    assert done == {
        "sign": (date(2027, 1, 8), True),
        "mail": (date(2027, 1, 8), False),
        "transit": (None, False),
        "review": (None, False),
        "mail-back": (None, False),
    }


def test_assumed_arrival_is_not_called_done(make_plan: MakePlan) -> None:
    """Mailed on 5 January, arrived on the 8th: federal 11-15, 19-22, 25; postal 26-28."""
    plan = make_plan(log="  - {kind: mailed, paper: own.license, on: 2027-01-05}")

    transit = step_of(plan, "transit")
    assert (transit.done_on, transit.earliest) == (None, date(2027, 1, 8))
    assert plan.papers[0].earliest_ready == date(2027, 1, 28)


RETURNED = """\
  - {kind: mailed, paper: own.license, on: 2026-11-30}
  - {kind: returned, paper: own.license, on: 2027-01-06, reason: no date}
"""


def test_packet_that_came_back_once(make_plan: MakePlan) -> None:
    """To mend and mail from today: as a first mailing, ready on 2 February, last 3 May.

    Safe is for one more return: the second mailing has the safe day the first one had, 10 March.
    """
    plan = make_plan(log=RETURNED)

    (one,) = plan.papers
    assert (one.state, one.mail_step) == (PaperState.CAME_BACK, "own.license/mail~2")
    assert (one.mail_last, one.mail_safe) == (date(2027, 5, 3), date(2027, 3, 10))
    assert (one.mailed_on, one.earliest_ready) == (None, date(2027, 2, 2))
    mailed = one.find_event(EventKind.MAILED)
    assert mailed is not None
    assert (mailed.id, mailed.turn) == ("own.license/mail~2", 2)
    assert step_of(plan, "own.license/mail").done_on == date(2026, 11, 30)
    assert [step.id for step in one.steps if step.done_on is None] == [
        "own.license/mend~2",
        "own.license/mail~2",
        "own.license/transit~2",
        "own.license/review~2",
        "own.license/mail-back",
    ]


def test_packet_that_came_back_twice(make_plan: MakePlan) -> None:
    log = (
        RETURNED.replace("2027-01-06", "2026-12-14")
        + """\
  - {kind: mailed, paper: own.license, on: 2026-12-15}
  - {kind: returned, paper: own.license, on: 2027-01-09, reason: no fee}
"""
    )
    plan = make_plan(log=log)

    (one,) = plan.papers
    assert (one.mail_step, one.mail_last) == ("own.license/mail~3", date(2027, 5, 3))
    assert one.packet.progress.round == 3
    assert one.mail_safe == date(2027, 3, 10)


def test_late_paper_and_the_first_lawful_day(make_plan: MakePlan) -> None:
    """On Tuesday 4 May, a day late: postal 5-7, federal 10-14, 17-21, postal 22, 24, 25."""
    plan = make_plan(as_of=date(2027, 5, 4))

    (one,), (job,) = plan.papers, plan.jobs
    assert (one.slack_days, one.is_late, one.is_tight) == (-1, True, False)
    assert step_of(plan, "mail").slack_days == -1
    assert (job.first_lawful_day, job.late_by_days) == (date(2027, 5, 25), 1)
    assert (job.waits_for, job.gap, job.gap_packet) == (("own.license",), None, "")


def test_on_the_last_day_it_is_tight_but_not_late(make_plan: MakePlan) -> None:
    plan = make_plan(as_of=date(2027, 5, 3))

    (one,), (job,) = plan.papers, plan.jobs
    assert (one.slack_days, one.is_late, one.is_tight) == (0, False, True)
    assert (job.first_lawful_day, job.late_by_days, job.waits_for) == (date(2027, 5, 24), 0, ())


@pytest.mark.parametrize(
    ("as_of", "tight"), [(date(2027, 3, 10), False), (date(2027, 3, 11), True)]
)
def test_tight_begins_after_the_safe_day(make_plan: MakePlan, as_of: date, *, tight: bool) -> None:
    assert make_plan(as_of=as_of).papers[0].is_tight is tight


def test_mailed_packet_is_not_tight(make_plan: MakePlan) -> None:
    log = "  - {kind: mailed, paper: own.license, on: 2027-05-03}"

    (one,) = make_plan(log=log, as_of=date(2027, 5, 3)).papers

    assert (one.is_late, one.is_tight, one.mailed_on) == (False, False, date(2027, 5, 3))


@pytest.mark.parametrize(
    ("as_of", "gap"),
    [
        # 10 May: postal 11-13, federal 14, 17-21, 24-27, postal 28, 29 May, 1 June: in time.
        (date(2027, 5, 10), None),
        # 11 May: 12-14; 17-21, 24-28; 29 May, 1, 2 June: the old one ends the day before.
        (date(2027, 5, 11), None),
        # 13 May: 14, 15, 17; 18-21, 24-28 May, 1 June; 2-4 June. Nothing is in force on the 2nd.
        (date(2027, 5, 13), (date(2027, 6, 1), date(2027, 6, 4))),
    ],
)
def test_gap_in_the_middle_of_a_job(
    make_plan: MakePlan, as_of: date, gap: tuple[date, date] | None
) -> None:
    plan = make_plan(more=HELD.replace("DAY", "2027-06-01"), as_of=as_of)

    (job,) = plan.jobs
    assert (job.gap, job.gap_packet) == (gap, "own.license" if gap else "")
    # It can begin on time all the same.
    assert (job.first_lawful_day, job.late_by_days) == (date(2027, 5, 24), 0)


def test_paper_that_ends_on_the_first_day_of_the_job(make_plan: MakePlan) -> None:
    """It can begin on that day and must stop after it.

    From Wednesday 5 May: postal 6-8, federal 10-14, 17-21, postal 22, 24, 25: no day is missed.
    From Thursday 6 May: 7, 8, 10; 11-14, 17-21, 24; 25-27 May.
    """
    more = HELD.replace("DAY", "2027-05-24")

    in_time, late = (
        make_plan(more=more, as_of=as_of).jobs[0] for as_of in (date(2027, 5, 5), date(2027, 5, 6))
    )

    assert (in_time.gap, in_time.late_by_days) == (None, 0)
    assert (late.gap, late.late_by_days) == ((date(2027, 5, 24), date(2027, 5, 27)), 0)
    assert late.first_lawful_day == date(2027, 5, 24)


def test_the_first_of_two_gaps_is_told(make_plan: MakePlan) -> None:
    both = MAILED + MAILED.replace("own.license", "own.permit")
    held = (
        HELD.replace("DAY", "2027-06-02")
        + HELD.replace("own.license", "own.permit").replace("DAY", "2027-06-01").partition("\n")[2]
    )

    plan = make_plan(both, more=held, as_of=date(2027, 5, 20))

    (job,) = plan.jobs
    assert (job.gap_packet, job.gap and job.gap[0]) == ("own.permit", date(2027, 6, 1))


def test_all_papers_that_set_the_first_lawful_day_are_named(make_plan: MakePlan) -> None:
    quick = paper(
        "own.quick",
        """\
    steps:
      - {name: file, title: File, kind: act, calendar: federal, done_at: online, @own}
""",
    )
    both = MAILED + quick + MAILED.replace("own.license", "own.permit")

    plan = make_plan(both, as_of=date(2027, 5, 24))

    assert plan.jobs[0].waits_for == ("own.license", "own.permit")


def test_job_that_has_begun_in_order_is_not_late(make_plan: MakePlan) -> None:
    more = HELD.replace("DAY", "2028-01-01")

    plan = make_plan(more=more, as_of=date(2027, 5, 28))

    (job,) = plan.jobs
    assert (job.first_lawful_day, job.late_by_days, job.waits_for) == (date(2027, 5, 28), 0, ())
    assert plan.warnings == ("begun already, and planned as if it goes on: pasture",)


def test_job_that_has_begun_without_its_paper_is_late(make_plan: MakePlan) -> None:
    """From Friday 28 May: postal 29 May, 1, 2 June; federal 3, 4, 7-11, 14-16; postal 17, 18, 21.

    The mail keeps Saturday 19 June, offices the Friday before.
    """
    plan = make_plan(as_of=date(2027, 5, 28))

    (job,), (one,) = plan.jobs, plan.papers
    assert job.first_lawful_day == date(2027, 6, 21)
    assert (job.late_by_days, job.waits_for) == (28, ("own.license",))
    assert one.is_late


TWO_JOBS = """\
  - {id: spring, first_day: 2027-05-24, last_day: 2027-06-12, @job}
  - {id: fall, first_day: 2027-08-23, last_day: 2027-09-30, @job}
"""


def test_jobs_that_are_over_are_left_out(make_plan: MakePlan) -> None:
    plan = make_plan(jobs=TWO_JOBS, as_of=date(2027, 6, 13))

    assert [job.job.id for job in plan.jobs] == ["fall"]
    assert plan.papers[0].in_hand_by == date(2027, 8, 23)
    assert plan.warnings == ("over already and left out: spring",)


def test_after_the_season_nothing_is_planned(make_plan: MakePlan) -> None:
    plan = make_plan(jobs=TWO_JOBS, as_of=date(2027, 10, 1))

    assert (plan.jobs, plan.papers) == ((), ())
    assert [verdict.jobs for verdict in plan.verdicts] == [("spring", "fall")]


def test_paper_that_lapsed_between_jobs_holds_up_only_the_second(make_plan: MakePlan) -> None:
    """On 20 August: postal 21, 23, 24; federal 25-27, 30, 31, 1-3, 7, 8 September; postal 9-11.

    Labor Day is 6 September 2027.
    """
    more = HELD.replace("DAY", "2027-07-15")

    early = make_plan(jobs=TWO_JOBS, more=more, as_of=date(2027, 5, 1))
    late = make_plan(jobs=TWO_JOBS, more=more, as_of=date(2027, 8, 20))

    assert [(job.first_lawful_day, job.gap) for job in early.jobs] == [
        (date(2027, 5, 24), None),
        (date(2027, 8, 23), None),
    ]
    (fall,) = late.jobs
    assert (fall.first_lawful_day, fall.gap) == (date(2027, 9, 11), None)
    assert late.papers[0].warnings == ("the one in hand ran out on Thu 15 Jul 2027",)


FRESH = MAILED.replace(
    "calendar: post-office,", "calendar: post-office, fresh: {after: sign, days: 10},"
)
COUNTER_SHUT = "closures:\n  - {who: post-office, first_day: 2027-01-11, last_day: 2027-01-20}\n"


def test_signing_waits_so_that_it_is_fresh_when_mailed(make_plan: MakePlan) -> None:
    """The counter opens on 21 January at the latest 10 days after signing: from 11 January.

    With 5 days of freshness from the 16th.
    """
    ten = make_plan(FRESH, more=COUNTER_SHUT)
    five = make_plan(FRESH.replace("days: 10}", "days: 5}", 1), more=COUNTER_SHUT)

    assert (say(step_of(ten, "sign").earliest), say(step_of(ten, "mail").earliest)) == (
        "01-11",
        "01-21",
    )
    assert (say(step_of(five, "sign").earliest), step_of(five, "sign").earliest_by) == (
        "01-16",
        "own.license/mail",
    )


def test_signature_that_has_gone_stale(make_plan: MakePlan) -> None:
    """Signed on 8 January, good for mailing through the 18th; the counter opens on the 21st."""
    log = "  - {kind: signed, paper: own.license, on: 2027-01-08}"

    plan = make_plan(FRESH, log, more=COUNTER_SHUT)

    assert say(step_of(plan, "mail").earliest) == "01-21"
    assert plan.papers[0].warnings == (
        "`Sign` was done on Fri 8 Jan 2027 and is too old after Mon 18 Jan 2027; do it again",
    )


def test_signature_that_is_fresh_enough(make_plan: MakePlan) -> None:
    log = "  - {kind: signed, paper: own.license, on: 2027-01-08}"

    plan = make_plan(FRESH, log)

    assert plan.papers[0].warnings == ()
    assert say(step_of(plan, "mail").earliest) == "01-11"


def test_signature_on_its_last_fresh_day(make_plan: MakePlan) -> None:
    """Signed on Saturday 9 January, so good through the 19th, when the counter opens again."""
    log = "  - {kind: signed, paper: own.license, on: 2027-01-09}"
    shut = COUNTER_SHUT.replace("01-20", "01-18")

    plan = make_plan(FRESH, log, more=shut)

    assert say(step_of(plan, "mail").earliest) == "01-19"
    assert plan.papers[0].warnings == ()


SIGNED_AGAIN = FRESH.replace("send-back, mend, mail", "send-back, sign, mail")


def test_second_mailing_with_an_old_signature(make_plan: MakePlan) -> None:
    """Signed on 30 November at the latest; the second mailing is not before 11 January."""
    plan = make_plan(FRESH, RETURNED)

    assert plan.papers[0].warnings == (
        "`Sign` was done on Mon 30 Nov 2026 and is too old after Thu 10 Dec 2026; do it again",
    )
    assert plan.papers[0].mail_last == date(2027, 5, 3)


def test_second_mailing_signed_again_is_fresh(make_plan: MakePlan) -> None:
    signed = RETURNED + "  - {kind: signed, paper: own.license, on: 2027-01-09}\n"

    asked, answered = make_plan(SIGNED_AGAIN, RETURNED), make_plan(SIGNED_AGAIN, signed)

    assert (asked.papers[0].warnings, answered.papers[0].warnings) == ((), ())
    assert say(step_of(answered, "mail").earliest) == "01-11"


def test_state_without_rules_is_named(make_plan: MakePlan) -> None:
    jobs = "- {id: away, first_day: 2027-05-24, last_day: 2027-06-12, state: WY, for_hire: yes, "
    jobs += "restricted_use: no, aircraft: tg46, pilots: wren}"

    plan = make_plan(jobs=jobs)

    assert plan.warnings == (
        (
            "no rule for Wyoming: only federal papers are planned there; "
            "ask the state's agriculture and aviation offices which licenses apply"
        ),
    )


def test_paper_sent_nowhere_is_known_by_its_last_act(make_plan: MakePlan) -> None:
    steps = """\
    steps:
      - {name: course, title: Course, kind: act, done_at: online, @own}
      - {name: test, title: Test, kind: act, calendar: federal, done_at: town, @own}
"""
    (one,) = make_plan(paper("own.license", steps)).papers

    assert (one.mail_step, one.mail_last) == ("own.license/test", date(2027, 5, 24))


def test_paper_without_steps_is_there_at_once(make_plan: MakePlan) -> None:
    (one,) = make_plan(paper("own.license", "")).papers

    assert (one.mail_step, one.mail_last, one.steps) == ("", None, ())
    assert (one.earliest_ready, one.ready_bound_by, one.is_tight) == (AS_OF, "today", False)


@pytest.mark.parametrize(
    ("issued", "since"),
    [
        ("", AS_OF),
        (", issued_on: 2026-12-01", date(2026, 12, 1)),
        (", issued_on: 2027-02-01", AS_OF),
    ],
)
def test_paper_in_hand_is_in_force_from_its_issue(
    make_plan: MakePlan, issued: str, since: date
) -> None:
    more = HELD.replace("valid_through: DAY", f"valid_through: 2028-01-01{issued}")

    (one,) = make_plan(more=more).papers

    assert (one.earliest_ready, one.ready_bound_by, one.mailed_on) == (since, "", None)


def test_no_jobs_no_plan(make_table: MakeTable, make_operation: MakeOperation) -> None:
    operation = replace(make_operation(), jobs=())

    plan = compute_plan(operation, make_table(MAILED), (), AS_OF)

    assert plan == Plan(
        operation=operation,
        as_of=AS_OF,
        jobs=(),
        papers=(),
        verdicts=(),
        remedies=(),
        warnings=("no job is planned, so no paper is needed by any day; add jobs to the file",),
    )


def test_place_that_never_opens_is_refused(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    operation = replace(make_operation(), post_office_days=())

    with pytest.raises(RefusedError) as caught:
        compute_plan(operation, make_table(MAILED), (), AS_OF)

    assert caught.value.message.startswith("no plan within the calendars: 'own.license/mail' would")
    assert caught.value.hint == (
        "look at closures, notary_days and post_office_days: some place never opens"
    )


def test_plan_is_found_by_name(make_plan: MakePlan) -> None:
    pilots = MAILED.replace("holder: operation", "holder: pilot")
    jobs = "- {id: one, first_day: 2027-05-24, last_day: 2027-05-28, state: NE, for_hire: yes, "
    jobs += "restricted_use: no, aircraft: tg46, pilots: [odile, wren]}"

    one, two = make_plan(pilots), make_plan(pilots, jobs=jobs)

    assert one.find_paper("own.license") == one.papers[0]
    assert one.find_paper("own.license:wren") == one.papers[0]
    assert two.find_paper("own.license") is None
    assert one.find_step("own.license:wren/mail") == one.papers[0].steps[1]
    assert one.find_step("own.license:wren/post") is None
    assert one.papers[0].find_step("post") is None
    assert one.papers[0].find_event(EventKind.PAID) is None


def test_season_moves_with_its_first_spray(make_operation: MakeOperation) -> None:
    """Spring lasts 20 days. Fall stays until spring would pass it."""
    operation = make_operation(TWO_JOBS)

    later, past_fall, earlier = (
        [(job.first_day, job.last_day) for job in move_first_spray(operation, day).jobs]
        for day in (date(2027, 6, 1), date(2027, 9, 1), date(2027, 5, 1))
    )

    fall = (date(2027, 8, 23), date(2027, 9, 30))
    assert later == [(date(2027, 6, 1), date(2027, 6, 20)), fall]
    assert past_fall == [
        (date(2027, 9, 1), date(2027, 9, 20)),
        (date(2027, 9, 1), date(2027, 10, 9)),
    ]
    assert earlier == [(date(2027, 5, 1), date(2027, 5, 20)), fall]
    assert move_first_spray(replace(operation, jobs=()), date(2027, 6, 1)).jobs == ()
