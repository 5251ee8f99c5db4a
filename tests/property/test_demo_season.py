"""What holds on every day of the demo's season, with nothing logged after its own day.

The demo farm is invented. Its exemption is overdue at the office from 6 February 2027 on, so that
from then on much of the plan waits for a paper of which nobody knows when it comes.
"""

from dataclasses import dataclass
from datetime import date, timedelta

import pytest
from sqlmodel import Session

from compliance.app.planning import make_plan
from compliance.app.trips import add_trip_days, make_trips
from compliance.engine.agenda import list_once
from compliance.engine.ledger import Entry, EntryState
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.outputs.calendar_entries import compute_entries

# From before anything is overdue to after every last day, every third week; 12 February and 5 May
# beside them are days on which a waiting packet once had its acts in the wrong order.
DAYS = (
    *(date(2027, 1, 11) + timedelta(weeks=3 * at) for at in range(11)),
    date(2027, 2, 12),
    date(2027, 5, 5),
)
# Eves of days on which seven days counted from today let a late mailing wait for another trip.
EVES = (date(2027, 1, 28), date(2027, 2, 9), date(2027, 2, 18), date(2027, 2, 25), date(2027, 3, 5))


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What the calendar has of one packet, by step: acts still to do, and the last day."""

    paper: PaperPlan
    acts: dict[str, Entry]
    last: Entry | None


def plan_on(session: Session, day: date) -> Plan:
    return add_trip_days(make_plan(session, None, day)).plan


def show(plan: Plan) -> list[Shown]:
    entries = {entry.key: entry for entry in compute_entries(plan)}
    found = []
    for paper in plan.papers:
        head = (plan.operation.id, paper.id, str(paper.packet.need_by.year))
        # A step done again after a return moves the entry that it had; the newest one counts.
        newest = {step.row.name: step.id for step in paper.steps}.values()
        names = {one.id: f"{one.row.name}~1" for one in paper.steps if one.id in newest}
        acts = {one: entries.get(("do", *head, name)) for one, name in names.items()}
        lasts = [entries.get(("last", *head, name)) for name in names.values()]
        found.append(
            Shown(
                paper=paper,
                acts={name: one for name, one in acts.items() if one is not None},
                last=next((one for one in lasts if one is not None), None),
            )
        )
    return found


@pytest.mark.parametrize("day", DAYS)
def test_no_act_stands_before_one_that_must_go_first(session: Session, day: date) -> None:
    """On the calendar, the days of a packet's acts rise in the order of its steps.

    An act without a day says so by its state; none that comes after it has a day.
    """
    plan = plan_on(session, day)
    compared = 0
    for shown in show(plan):
        left = [one for one in shown.acts.values() if one.state is not EntryState.DONE]
        states = [one.state is EntryState.NO_DAY for one in left]
        days = [one.on for one in left if one.state is EntryState.LIVE]
        compared += len(days)
        assert (shown.paper.id, days) == (shown.paper.id, sorted(days))
        assert (shown.paper.id, states) == (shown.paper.id, sorted(states))

    assert compared > 5


@pytest.mark.parametrize("day", DAYS)
def test_last_days_follow_one_rule(session: Session, day: date) -> None:
    """A last day stands on the calendar while it can be met and is not the day to act on itself.

    That is so whether the packet waits for an overdue paper or not; one that waits has no other.
    """
    plan = plan_on(session, day)
    for shown in show(plan):
        paper, sending = shown.paper, plan.find_step(shown.paper.mail_step)
        if sending is None or sending.done_on is not None or sending.last is None:
            assert shown.last is None
            continue
        act = shown.acts.get(sending.id)
        waits = bool(list_once(plan, paper))
        is_met = sending.earliest <= sending.last
        said = shown.last is not None
        assert (paper.id, act is not None and act.state) == (
            paper.id,
            EntryState.NO_DAY if waits else EntryState.LIVE,
        )
        assert act is not None
        assert (paper.id, said) == (paper.id, is_met and (waits or act.on < sending.last))
        if shown.last is not None:
            assert (shown.last.on, shown.last.state) == (sending.last, EntryState.LIVE)
            assert ("once the overdue paper is here" in shown.last.title) == waits


def test_overdue_days_are_among_those_looked_at(session: Session) -> None:
    """The rules above say something: packets wait on some of the days, with a last day and not."""
    waiting = [
        (shown.last is not None)
        for day in DAYS
        for plan in (plan_on(session, day),)
        for shown in show(plan)
        if list_once(plan, shown.paper)
    ]

    assert set(waiting) == {True, False}


@pytest.mark.parametrize("day", [*DAYS, *EVES])
def test_late_act_is_not_put_off_from_one_day_to_the_next(session: Session, day: date) -> None:
    """A trip of an act past its safe day is no later tomorrow, unless it has gone by.

    With nothing done in between it is then on the next day on which it can be done.
    """
    today, tomorrow = (
        {
            act.step.id: (trip.on, act.first)
            for trip in make_trips(make_plan(session, None, one), compare=False).trips
            for act in trip.acts
            if not act.is_safe
        }
        for one in (day, day + timedelta(days=1))
    )

    for name, (on, first) in tomorrow.items():
        if name in today:
            assert (name, on) <= (name, max(today[name][0], first))
    assert tomorrow.keys() >= today.keys()
    assert tomorrow
