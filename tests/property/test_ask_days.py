"""The day to ask an office holds what is said of it, over the season of the invented demo farm.

Days on which federal offices are closed are worked out by hand from 5 U.S.C. 6103 and the rule for
holidays on weekends of Executive Order 11582.
"""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import lognorm
from sqlmodel import Session

from compliance.app.chances import add_chances
from compliance.app.offices import OfficesSeen, find_follow_ups, load_seen
from compliance.app.planning import replace_ask_days
from compliance.engine.agenda import ItemKind, compute_agenda
from compliance.engine.ask_model import AskWhy
from compliance.engine.follow_up import FollowUp
from compliance.engine.office_report import compute_office_reports
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.engine.turnaround import Seen, draw_offices
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Closure, Operation
from compliance.outputs.plan_text import render_plan_text
from compliance.outputs.words import say_waiting
from compliance.rules.model import RulesTable

EXEMPTION = "faa.exemption"
CLOSED = {
    date(2027, month, day)
    for month, day in (
        (1, 1), (1, 18), (2, 15), (5, 31), (6, 18), (7, 5), (9, 6), (10, 11), (11, 11), (11, 25),
        (12, 24), (12, 31),
    )
} | {
    date(2028, month, day)
    for month, day in (
        (1, 17), (2, 21), (5, 29), (6, 19), (7, 4), (9, 4), (10, 9), (11, 10), (11, 23), (12, 25),
    )
}  # fmt: skip
# Every third week, from all days of the week.
DAYS = tuple(date(2027, 1, 11) + timedelta(days=22 * at) for at in range(14))
# The vehicle is away for half a year: every paper is needed earlier than it can be there.
AWAY = Closure(who="vehicle", first_day=date(2027, 1, 11), last_day=date(2027, 6, 30), why="away")
# What sets the day on some of these days, by whether the vehicle is away and it was sent again; so
# no reason goes unchecked.
WHYS = {
    (False, False): {AskWhy.NEEDED, AskWhy.UNUSUAL},
    (False, True): {AskWhy.USUAL},
    (True, False): {AskWhy.NEEDED, AskWhy.UNUSUAL, AskWhy.USUAL},
    (True, True): {AskWhy.USUAL},
}
DRAWS, SEED = 20_000, 7
NEAR = 0.01  # draws, whole days and spreads on a grid


def sent_again(log: tuple[LogEntry, ...], day: date) -> tuple[LogEntry, ...]:
    """Give the log with the exemption returned the day before and filed again on a day."""
    filed = next(entry for entry in log if entry.paper == EXEMPTION)
    back = replace(
        filed,
        number=len(log) + 1,
        kind=EventKind.RETURNED,
        happened_on=day - timedelta(days=1),
        reason="more data",
        tracking="",
    )
    again = replace(filed, number=len(log) + 2, happened_on=day)
    return (*log, back, again)


def plan_on(
    session: Session, table: RulesTable, farm: Operation, log: tuple[LogEntry, ...], day: date
) -> tuple[Plan, OfficesSeen, tuple[FollowUp, ...]]:
    """Plan as a what-if does, with a log that is not kept."""
    found = load_seen(session, table, day, instead=(farm, log))
    follow_ups = find_follow_ups(found, day, operation=farm.id)
    return replace_ask_days(compute_plan(farm, table, log, day), follow_ups), found, follow_ups


def is_open(day: date) -> bool:
    return day.weekday() < 5 and day not in CLOSED


def open_from(day: date) -> date:
    return day if is_open(day) else open_from(day + timedelta(days=1))


def share_by(found: OfficesSeen, one: FollowUp, as_of: date, day: date) -> float:
    """Give the believed share of such packets that the step in question has answered by a day.

    From drawn medians and spreads and the lognormal of scipy, not from the grid of the belief.
    """
    own = found.seen.tally(one.answer_step)
    age = max((as_of - one.answer_from).days, 0)
    tallies = {**found.seen.tallies, one.answer_step: own.without_pending(age)}
    rows = tuple(
        row for row in found.rows if found.seen.office(row.id) == found.seen.office(one.answer_step)
    )
    drawn = draw_offices(rows, Seen(offices=found.seen.offices, tallies=tallies), DRAWS, SEED)
    office = drawn[one.answer_step]
    days = (day - one.answer_from).days
    return float(np.mean(lognorm.cdf(days, office.sigma, scale=office.median)))


def check_reason(plan: Plan, paper: PaperPlan, found: OfficesSeen, one: FollowUp) -> None:
    """Check that the reason of a day to ask is true of that day and not of the one before it."""
    needed, ask = paper.in_hand_by, paper.ask_day
    assert needed is not None
    assert ask is not None
    if ask.why is AskWhy.UNUSUAL:
        before = next(day for n in range(1, 9) if is_open(day := ask.on - timedelta(days=n)))
        assert share_by(found, one, plan.as_of, ask.on) >= 0.9 - NEAR
        assert share_by(found, one, plan.as_of, before) <= 0.9 + NEAR
    elif ask.why is AskWhy.USUAL:
        usual = paper.overdue_since or paper.earliest_ready
        assert ask.on == open_from(usual)
        assert needed < ask.on
    elif ask.why is AskWhy.NEEDED:
        assert ask.on == needed
    else:
        assert ask.why is AskWhy.BEFORE_NEEDED
        assert ask.on < needed < open_from(ask.on + timedelta(days=1))


@pytest.mark.parametrize("again", [False, True], ids=["as logged", "sent again"])
@pytest.mark.parametrize("away", [False, True], ids=["at home", "vehicle away"])
def test_day_to_ask_is_a_working_day_and_its_reason_is_true(
    session: Session,
    table: RulesTable,
    demo_operation: Operation,
    demo_log: tuple[LogEntry, ...],
    away: bool,
    again: bool,
) -> None:
    """On every third week's day: also the agenda's, which on a weekend waits for the office."""
    farm = demo_operation
    if away:
        farm = replace(farm, closures=(*farm.closures, AWAY))
    whys = set()
    for day in DAYS:
        log = sent_again(demo_log, day) if again else demo_log
        plan, found, follow_ups = plan_on(session, table, farm, log, day)
        asks = [item.on for item in compute_agenda(plan) if item.kind is ItemKind.ASK]
        assert all(is_open(on) for on in asks)
        asked = {paper.id: paper for paper in plan.papers if paper.ask_day is not None}
        assert (set(asked), len(asks)) == ({EXEMPTION}, 1) or (not plan.jobs and not asked)
        for one in follow_ups:
            if one.packet in asked:
                paper = asked[one.packet]
                ask = paper.ask_day
                assert ask is not None
                assert is_open(ask.on)
                assert ask.open_on == open_from(day)
                check_reason(plan, paper, found, one)
                whys.add(ask.why)
    assert whys == WHYS[away, again]


def test_no_share_is_said_beside_other_odds(
    session: Session,
    table: RulesTable,
    demo_operation: Operation,
    demo_log: tuple[LogEntry, ...],
) -> None:
    """With the vehicle away the paper is needed already, and the day is by usual days.

    Its usual day is Saturday 6 February 2027, as the line `ready` says.
    """
    farm = replace(demo_operation, closures=(*demo_operation.closures, AWAY))
    plan, _, _ = plan_on(session, table, farm, demo_log, date(2027, 1, 11))
    plan = add_chances(session, plan, table)

    text = " ".join(render_plan_text(plan).split())

    assert (
        "ask on Mon 8 Feb 2027 if nothing has come (by usual days it is there by then, and the "
        "paper is needed) likely even odds by Thu 18 Mar 2027, nine in ten by Thu 26 Aug 2027, as "
        "nothing has come yet, by what is believed of the office, returns counted"
    ) in text
    assert "ready Sat 6 Feb 2027 at usual pace" in text


def test_past_day_to_ask_waits_for_the_office_to_open(
    session: Session,
    table: RulesTable,
    demo_operation: Operation,
    demo_log: tuple[LogEntry, ...],
) -> None:
    """On Saturday 13 February 2027; Monday is Washington's Birthday (5 U.S.C. 6103)."""
    farm = replace(demo_operation, closures=(*demo_operation.closures, AWAY))
    plan, _, _ = plan_on(session, table, farm, demo_log, date(2027, 2, 13))

    (item,) = [one for one in compute_agenda(plan) if one.kind is ItemKind.ASK]

    assert (item.on, item.title) == (
        date(2027, 2, 16),
        "Ask the office when it opens; the day to ask was Mon 8 Feb 2027",
    )
    assert (
        "ask on Tue 16 Feb 2027, when they open; the day to ask was Mon 8 Feb 2027"
    ) in " ".join(render_plan_text(plan).split())
    paper = plan.find_paper(EXEMPTION)
    assert paper is not None
    assert say_waiting(paper) == (
        "the office; with usual times it would have come by Sat 6 Feb 2027; the day to ask there "
        "was Mon 8 Feb 2027"
    )
    tuesday, _, _ = plan_on(session, table, farm, demo_log, date(2027, 2, 16))
    (item,) = [one for one in compute_agenda(tuesday) if one.kind is ItemKind.ASK]
    assert (item.on, item.title) == (
        date(2027, 2, 16),
        "Ask the office now; the day to ask was Mon 8 Feb 2027",
    )


def test_packet_sent_again_is_at_one_step_in_plan_and_offices(
    session: Session,
    table: RulesTable,
    demo_operation: Operation,
    demo_log: tuple[LogEntry, ...],
) -> None:
    """Filed again on 13 January 2027, 45 usual days of questions are over on 27 February."""
    log = sent_again(demo_log, date(2027, 1, 13))
    said = {}
    for day in (date(2027, 2, 27), date(2027, 2, 28)):
        plan, found, follow_ups = plan_on(session, table, demo_operation, log, day)
        reports = compute_office_reports(table, found.rows, found.seen, follow_ups, (), every=True)
        out = {
            kind.row.id: (kind.tally.out, len(kind.waiting))
            for report in reports
            for kind in report.kinds
            if kind.row.paper == EXEMPTION
        }
        paper = plan.find_paper(EXEMPTION)
        assert paper is not None
        said[day.day] = out, say_waiting(paper, with_day=False)
    words = "the office, by usual days at this step:"
    assert said == {
        27: (
            {f"{EXEMPTION}.review": (0, 0), f"{EXEMPTION}.questions": (1, 1)},
            f"{words} FAA reads the petition and may ask for more information",
        ),
        28: (
            {f"{EXEMPTION}.review": (1, 1), f"{EXEMPTION}.questions": (0, 0)},
            f"{words} FAA decides",
        ),
    }
