"""Which drives and which other places a change asks for, and which closures stand in its way."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.engine.days import OperationDays
from compliance.engine.plan import build_days, find_first_days
from compliance.engine.plan_model import Plan, StepPlan, TripDay
from compliance.engine.trip_days import apply_trip_days
from compliance.engine.trip_no_day import KEEPING_HOME, list_kept_home
from compliance.engine.trip_plan import compute_trip_plan
from compliance.engine.trip_tasks import list_undone_acts
from compliance.facts.model import Closure, Operation
from compliance.facts.places import PLACE_WORDS, PlaceKind, find_place_kind
from compliance.rules.model import CalendarName, RulesTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a change asks of people: days to go to town after all, and days of another place.

    ``trips`` are days on which a closure keeps everybody from going. ``others`` are the kinds of
    place with the days on which theirs is closed, so that another one has to be open. ``at_work``
    are days on which something is done out on the farm, not in town.
    """

    trips: tuple[date, ...] = ()
    others: tuple[tuple[PlaceKind, date], ...] = ()
    at_work: frozenset[date] = frozenset()


def keep_harmless(
    free: Operation,
    closures: tuple[Closure, ...],
    compute: Callable[[Operation], Plan],
    find_first: Callable[[Plan], tuple[date, ...]],
) -> Operation:
    """Give an operation without closures of people back those that are not in the way.

    *free* has none of them; *compute* plans an operation, *find_first* reads the days that matter.
    A closure is in the way when something would be done within it, and when one of those
    days comes later with it, beside those given back before.
    """
    best = compute(free)
    wanted = find_first(best)
    acts = [
        step.earliest
        for _, step in list_undone_acts(best)
        if step.calendar is not CalendarName.EVERY_DAY
        or find_place_kind(step.row.done_at) is not None
    ]
    for one in closures:
        if one.who not in KEEPING_HOME:
            continue
        trial = replace(free, closures=(*free.closures, one))
        is_met = any(one.first_day <= day <= one.last_day for day in acts)
        if not is_met or find_first(compute(trial)) == wanted:
            free = trial
    return free


def find_asked(plan: Plan, table: RulesTable, before: Operation, jobs: frozenset[str]) -> Asked:
    """Find what the changed operation of a plan asks of people, where *before* is as it is.

    Only the papers of *jobs* count. The days are those of the fewest trips, where these cost no job
    of them a day, else the first day of each act: with no more than these days open the plan leads
    to the same first lawful days, because nothing in town is done on another.
    """
    days = _find_days(plan, table, jobs)
    packets = tuple(paper.packet for paper in plan.papers)
    home = replace(before, closures=tuple(_without_people(before.closures)))
    is_shut = _Shut(build_days(before, packets, plan.as_of))
    is_closed = _Shut(build_days(home, packets, plan.as_of))
    trips: set[date] = set()
    others: set[tuple[PlaceKind, date]] = set()
    at_work: set[date] = set()
    for paper, step in list_undone_acts(plan):
        day, kind = days.get(step.id, step.earliest), find_place_kind(step.row.done_at)
        if not jobs & set(paper.packet.verdict.jobs) or not is_shut(step, day):
            continue
        if kind is not None and is_closed(step, day):
            others.add((kind, day))
        if _is_kept_home(before, day):
            trips.add(day)
            at_work |= {day} if kind is None else set()
    return Asked(
        trips=tuple(sorted(trips)),
        others=tuple(sorted(others, key=lambda one: one[1])),
        at_work=frozenset(at_work),
    )


def say_asked(operation: Operation, asked: Asked) -> Iterator[str]:
    """Say what a change asks of people, with the closures of *operation* in its way."""
    if asked.trips:
        gone = tuple(
            one
            for one in operation.closures
            if any(one.first_day <= day <= one.last_day for day in asked.trips)
        )
        first, last = min(asked.trips), max(asked.trips)
        names = "; ".join(list_kept_home(replace(operation, closures=gone), first, last))
        what = "leave other work" if asked.at_work & {*asked.trips} else "go to town"
        yield f"{what} on {_join(asked.trips)} after all ({names})"
    for kind in dict.fromkeys(one for one, _ in asked.others):
        days = _join(day for one, day in asked.others if one is kind)
        yield f"find a {PLACE_WORDS[kind]} that is open on {days}"


class _Shut:
    """Tell whether an act cannot be done on a day, by the calendars of one operation."""

    def __init__(self, days: OperationDays) -> None:
        self._days = days

    def __call__(self, step: StepPlan, day: date) -> bool:
        calendar = self._days.at_place(step.calendar, step.row.done_at)
        return not calendar.is_open(day.toordinal())


def _find_days(plan: Plan, table: RulesTable, jobs: frozenset[str]) -> dict[str, date]:
    """Give a day for each act still to do, by step id."""
    first = {step.id: step.earliest for _, step in list_undone_acts(plan)}
    try:
        found = compute_trip_plan(plan, table, compare=False)
    except RefusedError:
        return first
    days = {
        act.step.id: TripDay(first=act.first, on=trip.on, by=act.by, is_safe=act.is_safe)
        for trip in found.trips
        for act in trip.acts
    }
    moved = apply_trip_days(plan, table, days)
    is_same = find_first_days(moved, jobs) == find_first_days(plan, jobs)
    return first | {name: day.on for name, day in days.items()} if is_same else first


def _without_people(closures: Iterable[Closure]) -> Iterator[Closure]:
    return (one for one in closures if one.who not in KEEPING_HOME)


def _is_kept_home(operation: Operation, day: date) -> bool:
    return any(
        one.who in KEEPING_HOME and one.first_day <= day <= one.last_day
        for one in operation.closures
    )


def _join(days: Iterable[date]) -> str:
    *most, last = [say_date(day) for day in sorted(set(days))]
    return f"{', '.join(most)} and {last}" if most else last
