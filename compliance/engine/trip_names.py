"""Which trip of the new plan is which trip of the calendar: by what is still to be done on it."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import HomeAct, Trip, act_key
from compliance.facts.trip_names import NamedTrip

# Trips that are over are kept so long, so that a withdrawn log entry finds its trip again.
_KEPT = timedelta(days=400)


def name_trips(
    trips: Iterable[Trip], known: Iterable[NamedTrip]
) -> tuple[tuple[NamedTrip, Trip], ...]:
    """Give each trip the number of the known one it carries on, or a new number.

    A trip carries on the known one with which it shares the most errands; of several, the one with
    the lower number, for the earlier trip.

    Shape: in the order of *trips*; numbers are unique and never used again.
    """
    planned, before = tuple(trips), tuple(known)
    shared = sorted(
        (-len({act.key for act in trip.acts} & set(old.errands)), old.number, at)
        for at, trip in enumerate(planned)
        for old in before
    )
    numbers: dict[int, int] = {}
    for count, number, at in shared:
        if count and at not in numbers and number not in numbers.values():
            numbers[at] = number
    free = max((old.number for old in before), default=0) + 1
    named = []
    for at, trip in enumerate(planned):
        if at not in numbers:
            numbers[at], free = free, free + 1
        errands = tuple(act.key for act in trip.acts)
        named.append((NamedTrip(number=numbers[at], planned_on=trip.on, errands=errands), trip))
    return tuple(named)


def keep_names(
    named: tuple[tuple[NamedTrip, Trip], ...], known: Iterable[NamedTrip], plan: Plan
) -> tuple[NamedTrip, ...]:
    """Give what is to be remembered: the trips of now, with what was done on them, and older ones.

    Shape: by number. An older trip is dropped 400 days after its day.
    """
    kept = {old.number: old for old in known if plan.as_of - old.planned_on <= _KEPT}
    for now, _ in named:
        old = kept.get(now.number)
        done = tuple(key for key in old.errands if key not in now.errands) if old else ()
        kept[now.number] = replace(now, errands=(*now.errands, *_done(done, plan)))
    return tuple(kept[number] for number in sorted(kept))


def list_over(
    named: tuple[tuple[NamedTrip, Trip], ...],
    known: Iterable[NamedTrip],
    plan: Plan,
    without_day: Iterable[NamedTrip] = (),
) -> tuple[NamedTrip, ...]:
    """List the known trips with nothing left to do, with the day the last of it was done.

    A trip whose errands are neither done nor planned any more counts as over once its day is past,
    unless it is one of those *without_day* (`list_without_day`).
    """
    now = {one.number for one, _ in named} | {one.number for one in without_day}
    over = []
    for old in known:
        if old.number in now:
            continue
        days = [day for key, day in _find_done(plan).items() if key in old.errands]
        if days:
            over.append(replace(old, planned_on=max(days)))
        elif old.planned_on < plan.as_of:
            over.append(old)
    return tuple(over)


def list_without_day(
    named: tuple[tuple[NamedTrip, Trip], ...],
    known: Iterable[NamedTrip],
    waiting: Iterable[HomeAct],
    plan: Plan,
) -> tuple[NamedTrip, ...]:
    """List the known trips that are planned no more because what is on them waits.

    *waiting* are the acts that nobody knows a day for. A trip on which something was done is over.
    """
    now = {one.number for one, _ in named}
    keys = {act_key(act.paper, act.step) for act in waiting}
    done = _find_done(plan)
    return tuple(
        old
        for old in known
        if old.number not in now
        and not any(key in done for key in old.errands)
        and any(key in keys for key in old.errands)
    )


def _done(keys: tuple[str, ...], plan: Plan) -> tuple[str, ...]:
    done = _find_done(plan)
    return tuple(key for key in keys if key in done)


def _find_done(plan: Plan) -> dict[str, date]:
    """Give the day of each done act of the plan by its key."""
    return {
        act_key(paper, step): step.done_on
        for paper in plan.papers
        for step in paper.steps
        if step.done_on is not None
    }
