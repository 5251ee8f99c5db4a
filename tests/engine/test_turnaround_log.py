"""What logs show of offices, and when to ask; the papers and days are invented.

Days: 2027-01-11 is a Monday; 18 January is a federal holiday (5 U.S.C. 6103).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.engine.ask_model import AskDay, AskWhy
from compliance.engine.days import OperationDays
from compliance.engine.follow_up import FollowUp, compute_follow_ups
from compliance.engine.office_days import OfficeDays
from compliance.engine.office_report import compute_office_reports
from compliance.engine.turnaround import (
    NOTHING_SEEN,
    Observation,
    Outcome,
    Sight,
    Stop,
    count_seen,
    find_offices,
)
from compliance.engine.turnaround_belief import compute_beliefs
from compliance.engine.turnaround_log import find_observations
from compliance.facts.log import LogEntry, find_standing
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName, RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]
Observe = Callable[[str], tuple[Observation, ...]]
HeardOf = Callable[[str], FollowUp]

PAPERS = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    @own
    steps:
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 7, usual: 15, slow: 30}, event: granted,
          return_path: [send-back, mend, mail, transit, review], @own}
      - {name: mail-back, title: To you, kind: wait, mail: back, @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
  - id: own.permit
    title: Permit
    holder: aircraft
    why: w
    office: own.office
    validity: {kind: open-ended}
    @own
    steps:
      - {name: file, title: File, kind: act, done_at: online, event: mailed, @own}
      - {name: questions, title: Questions, kind: wait, days: {fast: 2, usual: 10, slow: 20},
          return_path: [file, questions], @own}
      - {name: decide, title: Decision, kind: wait, days: {fast: 5, usual: 30, slow: 60},
          event: granted, @own}
""".replace("    @own\n", "    cite: own\n    edition: none\n    confidence: memory\n")

FIRST, LAST, TODAY = date(2026, 1, 1), date(2030, 12, 31), date(2027, 3, 1)


@pytest.fixture(name="table")
def read_table(make_table: MakeTable) -> RulesTable:
    return make_table(PAPERS)


@pytest.fixture(name="operation")
def read_operation(make_operation: MakeOperation) -> Operation:
    return make_operation()


@pytest.fixture(name="observe")
def make_observe(table: RulesTable, operation: Operation, make_log: MakeLog) -> Observe:
    def find(entries: str) -> tuple[Observation, ...]:
        log = make_log(operation, entries)
        return find_observations(operation, log, table, OperationDays(operation, FIRST, LAST))

    return find


def say(found: tuple[Observation, ...]) -> list[tuple[str, str, str, str]]:
    return [(one.step, str(one.sent_on), str(one.decided_on), str(one.outcome)) for one in found]


def see(found: tuple[Observation, ...]) -> list[tuple[str, ...]]:
    return [(*one, str(seen.sight)) for one, seen in zip(say(found), found, strict=True)]


REVIEW = "own.license.review"
MAILED = "- {kind: mailed, paper: own.license, on: 2027-01-11}\n"


def test_nothing_is_seen_before_the_mailing(observe: Observe) -> None:
    """A step done at home says nothing of an office."""
    assert (
        observe("- {kind: done, paper: own.permit, holder: tg46, step: file, on: 2027-01-11}") == ()
    )


def test_pending_packet_is_there_after_the_usual_mail(observe: Observe) -> None:
    """Three postal days from Monday 11 January: Thursday 14."""
    found = observe(MAILED)

    assert say(found) == [(REVIEW, "2027-01-14", "None", "pending")]
    assert (found[0].operation, found[0].packet) == ("sandbur-flats", "own.license")
    assert found[0].way_home == ((CalendarName.POSTAL, 3),)


def test_mailing_by_another_service_is_there_after_its_usual_mail(observe: Observe) -> None:
    """By express one postal day from Monday 11 January; the next mailing goes as the facts say."""
    express = MAILED.replace("on:", "service: express, on:")
    again = "- {kind: returned, paper: own.license, on: 2027-02-01, reason: r}\n" + MAILED.replace(
        "2027-01-11", "2027-02-02"
    )

    assert say(observe(express)) == [(REVIEW, "2027-01-12", "None", "pending")]
    assert say(observe(express + again))[-1] == (REVIEW, "2027-02-05", "None", "pending")


def test_receipt_logged_counts_instead_of_the_usual_mail(observe: Observe) -> None:
    """The office's time begins on the day it has the packet."""
    received = "- {kind: received, paper: own.license, on: 2027-01-20}\n"

    assert say(observe(MAILED + received)) == [(REVIEW, "2027-01-20", "None", "pending")]


def test_grant_ends_on_its_day_of_issue(observe: Observe) -> None:
    """Not on the day it came home, when the day of issue is known."""
    granted = "- {kind: granted, paper: own.license, on: 2027-02-10, issued_on: 2027-02-03}\n"

    assert say(observe(MAILED + granted)) == [(REVIEW, "2027-01-14", "2027-02-03", "granted")]


def test_grant_without_a_day_of_issue_loses_the_usual_way_home(observe: Observe) -> None:
    """Handed over by Sunday 7 February it is there by Wednesday 10: three postal days."""
    granted = "- {kind: granted, paper: own.license, on: 2027-02-10}\n"

    assert say(observe(MAILED + granted)) == [(REVIEW, "2027-01-14", "2027-02-07", "granted")]


def test_returns_and_the_second_try_are_told_apart(observe: Observe) -> None:
    """Each round is one decision of the office."""
    found = observe(
        MAILED + "- {kind: returned, paper: own.license, on: 2027-02-10, reason: no stamp}\n"
        "- {kind: mailed, paper: own.license, on: 2027-02-15}\n"
    )

    assert say(found) == [
        (REVIEW, "2027-01-14", "2027-02-07", "returned"),
        (REVIEW, "2027-02-18", "None", "pending"),
    ]


def test_renewal_after_a_grant_is_seen_on_its_own(observe: Observe) -> None:
    """What was granted is over; the next packet begins anew."""
    granted = "- {kind: granted, paper: own.license, on: 2027-02-10, issued_on: 2027-02-03}\n"
    again = "- {kind: mailed, paper: own.license, on: 2027-02-22}\n"

    assert say(observe(MAILED + granted + again)) == [
        (REVIEW, "2027-01-14", "2027-02-03", "granted"),
        (REVIEW, "2027-02-25", "None", "pending"),
    ]


def test_decision_before_the_usual_mail_is_over_took_no_days(observe: Observe) -> None:
    """Never fewer than none."""
    granted = "- {kind: granted, paper: own.license, on: 2027-01-13, issued_on: 2027-01-12}\n"

    assert say(observe(MAILED + granted)) == [(REVIEW, "2027-01-14", "2027-01-14", "granted")]


def test_first_of_two_waits_ends_after_its_usual_days_unless_logged(observe: Observe) -> None:
    """Nobody sees that the questions are over; ten days is what the row says."""
    filed = "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n"
    over = "- {kind: done, paper: own.permit, holder: tg46, step: questions, on: 2027-01-15}\n"

    assert say(observe(filed)) == [("own.permit.decide", "2027-01-21", "None", "pending")]
    assert say(observe(filed + over)) == [
        ("own.permit.questions", "2027-01-11", "2027-01-15", "granted"),
        ("own.permit.decide", "2027-01-15", "None", "pending"),
    ]


@pytest.mark.parametrize(
    ("day", "step", "age", "there_since"),
    [
        (21, "own.permit.questions", 10, None),
        (22, "own.permit.decide", 1, date(2027, 1, 11)),
    ],
    ids=["questions", "decide"],
)
def test_packet_is_out_at_the_step_it_is_at_by_usual_days(
    observe: Observe,
    table: RulesTable,
    day: int,
    step: str,
    age: int,
    there_since: date | None,
) -> None:
    """Ten days of questions from 11 January are over on the 21st; then it is decided.

    Nobody sees that it goes on, so its days at the questions teach nothing, and the day of unusual
    silence is the same before and after.
    """
    found = observe("- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n")
    as_of = date(2027, 1, day)
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((), FIRST, LAST)

    seen = count_seen(found, days.of_rows(rows), offices, as_of)
    follow_ups = compute_follow_ups(found, rows, seen, days, as_of)
    (report,) = compute_office_reports(table, rows, seen, follow_ups, (), every=True)

    assert found[0].stops == (Stop("own.permit.questions", date(2027, 1, 11)),)
    assert {kind.row.id: kind.tally.out for kind in report.kinds if kind.tally.out} == {step: 1}
    assert {kind.row.id for kind in report.kinds if kind.waiting} == {step}
    (one,) = follow_ups
    assert (one.step, one.age, one.there_since) == (step, age, there_since)
    assert one.ask_day().at_step == step
    alone = compute_beliefs(rows, NOTHING_SEEN)["own.permit.decide"].days_by(0.9)
    assert one.nine_in_ten_by == alone
    nine = date(2027, 1, 21) + timedelta(days=alone)
    assert one.unusual_from == nine + timedelta(days=(0, 0, 0, 0, 0, 2, 1)[nine.weekday()])
    if step == "own.permit.questions":
        beliefs = {kind.row.id: kind.half_by for kind in report.kinds}
        nothing = compute_beliefs(rows, NOTHING_SEEN)
        assert beliefs == {row.id: nothing[row.id].days_by(0.5) for row in rows}


def test_packet_is_at_the_next_step_once_the_first_is_logged_as_over(
    observe: Observe,
) -> None:
    """Then nothing is by usual days; a return of the 21st is booked before the decision too."""
    over = (
        "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n"
        "- {kind: done, paper: own.permit, holder: tg46, step: questions, on: 2027-01-15}\n"
    )
    (_, one) = observe(over)

    assert (one.step, one.stops) == ("own.permit.decide", ())
    assert one.stop_on(date(2027, 1, 15)) == Stop("own.permit.decide", date(2027, 1, 15))


def test_withdrawn_entries_show_nothing(observe: Observe) -> None:
    """A mistake in the log teaches nothing."""
    assert observe(MAILED + "- {kind: withdrawn, withdraws: 1, on: 2027-01-12}\n") == ()


def test_days_outside_the_calendars_are_left_out(
    table: RulesTable, operation: Operation, make_log: MakeLog
) -> None:
    """No error, and nothing learned from a slip of the pen."""
    log = make_log(operation, MAILED)
    days = OperationDays(operation, date(2027, 1, 1), date(2027, 1, 12))

    assert find_observations(operation, log, table, days) == ()


def test_ask_when_nine_in_ten_are_answered(
    table: RulesTable, operation: Operation, observe: Observe
) -> None:
    """The day by which nine in ten are decided, and the usual mail home behind it."""
    found = observe(MAILED)
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((operation,), FIRST, LAST)
    seen = count_seen(found, days.of_rows(rows), offices, TODAY)

    (follow_up,) = compute_follow_ups(found, rows, seen, days, TODAY)

    nothing_seen = count_seen((), days.of_rows(rows), offices, TODAY)
    by = compute_beliefs(rows, nothing_seen)[REVIEW].days_by(0.9)
    federal, postal = days.calendar(CalendarName.FEDERAL), days.calendar(CalendarName.POSTAL)
    decided = federal.forward(date(2027, 1, 14).toordinal(), by)
    assert follow_up.nine_in_ten_by == by
    assert follow_up.unusual_from == date.fromordinal(
        federal.on_or_after(postal.forward(decided, 3))
    )
    assert follow_up.age == federal.count(date(2027, 1, 14).toordinal(), TODAY.toordinal()) == 30
    assert (follow_up.answer_step, follow_up.answer_from) == (REVIEW, date(2027, 1, 14))


def test_ask_sooner_when_the_paper_is_needed_sooner(
    table: RulesTable, operation: Operation, observe: Observe
) -> None:
    """But not before it is there by usual days, and not later than is unusual.

    4 and 8 February 2027 are a Thursday and a Monday, the 6th and 7th a weekend (any calendar).
    """
    found = observe(MAILED)
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((operation,), FIRST, LAST)
    seen = count_seen(found, days.of_rows(rows), offices, TODAY)
    (one,) = compute_follow_ups(found, rows, seen, days, TODAY)
    early, monday = date(2027, 1, 15), date(2027, 2, 8)
    thursday, saturday, sunday = (date(2027, 2, day) for day in (4, 6, 7))
    asked = [
        one.ask_day(),
        one.ask_day(thursday, early),
        one.ask_day(sunday, early),
        one.ask_day(early, saturday),
        one.ask_day(sunday, saturday),
        one.ask_day(date(2028, 1, 1), saturday),
        one.ask_day(early, date(2028, 1, 1)),
    ]

    assert monday < one.unusual_from
    assert asked == [
        AskDay(on=one.unusual_from, why=AskWhy.UNUSUAL),
        AskDay(on=thursday, why=AskWhy.NEEDED),
        AskDay(on=date(2027, 2, 5), why=AskWhy.BEFORE_NEEDED),
        AskDay(on=monday, why=AskWhy.USUAL),
        AskDay(on=monday, why=AskWhy.USUAL),
        AskDay(on=one.unusual_from, why=AskWhy.UNUSUAL),
        AskDay(on=one.unusual_from, why=AskWhy.UNUSUAL),
    ]
    assert {found.open_on for found in asked} == {TODAY}


@pytest.fixture(name="heard_of")
def make_heard_of(table: RulesTable, operation: Operation, observe: Observe) -> HeardOf:
    def find(entries: str) -> FollowUp:
        found = observe(MAILED + entries)
        offices = find_offices(table)
        rows = tuple(row for row in table.steps if row.id in offices)
        days = OfficeDays((operation,), FIRST, LAST)
        seen = count_seen(found, days.of_rows(rows), offices, TODAY)
        return compute_follow_ups(found, rows, seen, days, TODAY)[0]

    return find


HEARD = "- {kind: heard, paper: own.license, on: 2027-02-26, reason: in the pile}\n"


def test_ask_again_half_the_usual_spread_later(
    operation: Operation, heard_of: HeardOf, table: RulesTable
) -> None:
    """Counted on the office's calendar from what was heard, and never sooner than without it."""
    alone, one = heard_of(""), heard_of(HEARD)
    federal = OperationDays(operation, FIRST, LAST).calendar(CalendarName.FEDERAL)
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    half = compute_beliefs(rows, NOTHING_SEEN)[REVIEW].days_by(0.5)
    spread = alone.nine_in_ten_by - half
    again = date.fromordinal(federal.forward(date(2027, 2, 26).toordinal(), -(-spread // 2)))

    assert spread > 1
    assert one.unusual_from == alone.unusual_from
    unneeded = date(2027, 12, 1)
    assert one.ask_day(unneeded) == AskDay(
        on=max(again, alone.unusual_from),
        why=AskWhy.SPREAD if again > alone.unusual_from else AskWhy.UNUSUAL,
        before=alone.unusual_from,
    )
    late = date(2027, 3, 1)
    early = heard_of(HEARD.replace("2027-02-26", "2027-01-15"))
    assert alone.ask_day(late) == AskDay(on=late, why=AskWhy.NEEDED)
    assert early.ask_day(late) == AskDay(on=late, why=AskWhy.NEEDED, before=late)


def test_ask_again_not_after_the_day_the_paper_is_needed(heard_of: HeardOf) -> None:
    """The named day gives way too; once the day has gone, it is the office's next working day.

    26 February 2027 is a Friday, so the next working day is Monday 1 March (any calendar).
    """
    one = heard_of(HEARD)
    named = heard_of(HEARD.replace("pile}", "pile, expects: 2027-04-20}"))
    needed, gone, asked = date(2027, 3, 3), date(2027, 2, 20), date(2027, 2, 26)

    assert [(found.on, found.why) for found in map(one.ask_day, (needed, gone, asked))] == [
        (needed, AskWhy.NEEDED),
        (date(2027, 3, 1), AskWhy.TOO_LATE),
        (date(2027, 3, 1), AskWhy.TOO_LATE),
    ]
    assert [(found.on, found.why) for found in map(named.ask_day, (needed, gone))] == [
        (needed, AskWhy.NEEDED),
        (date(2027, 4, 20), AskWhy.NAMED),
    ]


def test_ask_again_is_a_working_day_of_offices(observe: Observe, table: RulesTable) -> None:
    """Also where the office's step counts every day, and where the paper is needed on a Saturday.

    5 March 2027 is a Friday; 6 and 7 March are a weekend.
    """
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((), FIRST, LAST)

    def ask(heard_on: str, needed_by: date) -> AskDay:
        found = observe(
            "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n"
            f"- {{kind: heard, paper: own.permit, holder: tg46, on: {heard_on}, reason: no news}}\n"
        )
        seen = count_seen(found, days.of_rows(rows), offices, TODAY)
        (one,) = compute_follow_ups(found, rows, seen, days, TODAY)
        return one.ask_day(needed_by)

    gone, saturday = ask("2027-03-05", date(2027, 2, 1)), ask("2027-01-20", date(2027, 3, 6))
    assert (gone.on, gone.why) == (date(2027, 3, 8), AskWhy.TOO_LATE)
    assert (saturday.on, saturday.why) == (date(2027, 3, 5), AskWhy.BEFORE_NEEDED)
    assert all(
        ask("2027-02-26", date(2028, 1, 1) + timedelta(days=at)).on.weekday() < 5 for at in range(3)
    )


def test_ask_again_on_the_day_they_named(heard_of: HeardOf) -> None:
    """Sooner or later than it would have been; of several times the last one counts."""
    named = HEARD.replace("pile}", "pile, expects: 2027-04-20}")
    older = HEARD.replace("02-26", "02-20").replace("pile}", "pile, expects: 2027-03-02}")
    alone, one = heard_of(""), heard_of(older + named)

    assert one.ask_day(None) == AskDay(
        on=date(2027, 4, 20), why=AskWhy.NAMED, before=alone.unusual_from
    )
    assert alone.ask_day(None) == AskDay(on=alone.unusual_from, why=AskWhy.UNUSUAL)
    weekend = heard_of(named.replace("2027-04-20", "2027-04-17"))  # a Saturday
    assert weekend.ask_day(None) == AskDay(
        on=date(2027, 4, 19), why=AskWhy.AFTER_NAMED, before=alone.unusual_from
    )


def test_what_was_heard_is_over_with_the_next_round(heard_of: HeardOf) -> None:
    """It was said of the packet that came back."""
    again = (
        "- {kind: returned, paper: own.license, on: 2027-02-10, reason: no stamp}\n"
        "- {kind: mailed, paper: own.license, on: 2027-02-15}\n"
    )
    assert heard_of(HEARD.replace("02-26", "01-29") + again).heard is None


def test_return_from_the_second_of_two_waits(observe: Observe) -> None:
    """Only the step it was in by usual days is observed: after ten days that is the decision."""
    filed = "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n"
    over = "- {kind: done, paper: own.permit, holder: tg46, step: questions, on: 2027-01-20}\n"
    back = "- {kind: returned, paper: own.permit, holder: tg46, on: 2027-02-24, reason: more}\n"
    soon = back.replace("02-24", "01-21")
    first, second = "own.permit.questions", "own.permit.decide"

    assert see(observe(filed + over + back)) == [
        (first, "2027-01-11", "2027-01-20", "returned", "whole"),
        (second, "2027-01-20", "2027-02-24", "returned", "least"),
    ]
    assert see(observe(filed + back)) == [
        (first, "2027-01-11", "2027-02-24", "returned", "none"),
        (second, "2027-01-21", "2027-02-24", "returned", "least"),
    ]
    assert see(observe(filed + soon)) == [
        (first, "2027-01-11", "2027-01-21", "returned", "whole"),
    ]


def test_second_round_of_two_waits_is_pending_at_the_second(observe: Observe) -> None:
    """Also after a return, and it came to the office when it was filed again."""
    found = observe(
        "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n"
        "- {kind: returned, paper: own.permit, holder: tg46, on: 2027-01-18, reason: more}\n"
        "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-02-01}\n"
    )

    assert see(found) == [
        ("own.permit.questions", "2027-01-11", "2027-01-18", "returned", "whole"),
        ("own.permit.decide", "2027-02-11", "None", "pending", "whole"),
    ]
    assert [one.there_since for one in found] == [None, date(2027, 2, 1)]


def test_grant_in_the_second_round_begins_there(observe: Observe) -> None:
    """The decision's days run from the questions of its own round, not from the return."""
    found = observe(
        "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-01-11}\n"
        "- {kind: returned, paper: own.permit, holder: tg46, on: 2027-01-18, reason: more}\n"
        "- {kind: mailed, paper: own.permit, holder: tg46, on: 2027-02-01}\n"
        "- {kind: granted, paper: own.permit, holder: tg46, on: 2027-03-01}\n"
    )

    assert see(found)[-1] == ("own.permit.decide", "2027-02-11", "2027-03-01", "granted", "whole")


def test_late_return_teaches_no_wild_days(table: RulesTable, observe: Observe) -> None:
    """A return long after the usual days of the questions hardly moves what is believed of them."""
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((), FIRST, LAST)
    found = observe(
        "- {kind: mailed, paper: own.permit, holder: tg46, on: 2026-11-02}\n"
        "- {kind: returned, paper: own.permit, holder: tg46, on: 2027-01-11, reason: more}\n"
    )
    seen = count_seen(found, days.of_rows(rows), offices, TODAY)
    questions, decide = seen.tally("own.permit.questions"), seen.tally("own.permit.decide")

    assert (questions.decided, questions.finished, questions.returned) == ((), 1, 1)
    assert (decide.pending, decide.out, decide.finished, decide.returned) == (((60, 1),), 0, 0, 0)
    before = compute_beliefs(rows, count_seen((), days.of_rows(rows), offices, TODAY))
    after = compute_beliefs(rows, seen)
    (answer, _) = found
    whole = count_seen((replace(answer, sight=Sight.WHOLE),), days.of_rows(rows), offices, TODAY)
    wild = compute_beliefs(rows, whole)
    half = {name: after[name].days_by(0.5) for name in after}
    assert 10 == before[answer.step].days_by(0.5) <= half[answer.step] <= 13
    assert half[answer.step] < wild[answer.step].days_by(0.5)
    assert before["own.permit.decide"].days_by(0.5) < half["own.permit.decide"] <= 60
    assert after["own.permit.questions"].comes_back > before["own.permit.questions"].comes_back


def test_report_counts_reasons_and_papers(
    table: RulesTable, operation: Operation, make_log: MakeLog
) -> None:
    """Reasons that differ in letter case, blanks or a full stop only are one."""
    log = make_log(
        operation,
        MAILED + "- {kind: returned, paper: own.license, on: 2027-01-25, reason: No stamp.,\n"
        "   blanks: [form/stamp, form/date]}\n"
        "- {kind: mailed, paper: own.license, on: 2027-02-01}\n"
        "- {kind: returned, paper: own.license, on: 2027-02-15, reason: no  stamp,\n"
        "   blanks: [form/stamp]}\n",
    )
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((operation,), FIRST, LAST)
    found = find_observations(operation, log, table, OperationDays(operation, FIRST, LAST))
    seen = count_seen(found, days.of_rows(rows), offices, TODAY)

    (office,) = compute_office_reports(table, rows, seen, (), (find_standing(log),), every=False)

    assert office.office.id == "own.office"
    assert [kind.row.id for kind in office.kinds] == [REVIEW]
    assert office.kinds[0].tally.finished == office.kinds[0].tally.returned == 2
    assert office.kinds[0].counted is None
    assert office.reasons == (("No stamp", 2),)
    assert office.faults == (("own.license.form/stamp", 2), ("own.license.form/date", 1))
    assert office.documents == (("own.license.form", 3),)


def test_report_counts_by_counting_alone_from_twenty_packets_on(table: RulesTable) -> None:
    """Half of these are decided after five office days; nine in ten never."""
    offices = find_offices(table)
    rows = tuple(row for row in table.steps if row.id in offices)
    days = OfficeDays((), FIRST, LAST)
    start = date(2027, 2, 1)
    seen = count_seen(
        [
            Observation(
                office="own.office",
                step=REVIEW,
                sent_on=start,
                decided_on=day,
                outcome=outcome,
                times=10,
            )
            for day, outcome in (
                (date(2027, 2, 8), Outcome.GRANTED),
                (None, Outcome.PENDING),
            )
        ],
        days.of_rows(rows),
        offices,
        TODAY,
    )

    (office,) = compute_office_reports(table, rows, seen, (), (), every=False)
    every = compute_office_reports(table, rows, seen, (), (), every=True)

    assert office.kinds[0].counted == (5, None)
    assert [kind.row.name for one in every for kind in one.kinds] == [
        "review",
        "questions",
        "decide",
    ]


def test_office_days_close_on_holidays_and_on_days_somebody_wrote_down(
    make_operation: MakeOperation,
) -> None:
    """Of several operations all closures count; each calendar has its own."""
    operation = make_operation(
        more="closures:\n"
        "  - {who: federal, first_day: 2027-02-01, last_day: 2027-02-03, why: shut}\n"
    )
    days = OfficeDays((operation,), FIRST, LAST)
    federal, every = days.calendar(CalendarName.FEDERAL), days.calendar(CalendarName.EVERY_DAY)

    assert not federal.is_open(date(2027, 1, 18).toordinal())
    assert not federal.is_open(date(2027, 2, 3).toordinal())
    assert federal.is_open(date(2027, 2, 4).toordinal())
    assert every.is_open(date(2027, 2, 3).toordinal())
