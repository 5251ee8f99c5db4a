"""The fewest trips of a plan: its acts in town, gathered on as few days as will do."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from itertools import islice, product

from compliance.base.dates import WEEKDAYS
from compliance.base.problems import RefusedError
from compliance.engine.awaited import list_holding
from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import HomeAct, NoDay, Stop, TownAct, Trip, TripPlan
from compliance.engine.trip_no_day import find_no_day
from compliance.engine.trip_tasks import (
    TownTask,
    compute_town_tasks,
    list_online,
    open_places,
)
from compliance.engine.trips import Errand, Fewest, Impossible, compute_fewest_trips
from compliance.facts.places import PLACE_WORDS, Place, PlaceKind, Span
from compliance.rules.model import RulesTable

# In which order places are gone to where neither papers nor hours decide: the mail after what may
# end up in the envelope, the test last, because it takes longest.
_ORDER = (
    PlaceKind.BANK,
    PlaceKind.NOTARY,
    PlaceKind.OFFICE,
    PlaceKind.POST_OFFICE,
    PlaceKind.TEST_CENTER,
)
_MIDNIGHT = 24 * 60
_MOST_CHOICES = 200
_MOST_DAYS = 1_200
"""Days from the first to the last day of all errands; the search grows with their square."""


def compute_trip_plan(
    plan: Plan, table: RulesTable, *, blocked: Iterable[date] = (), compare: bool = True
) -> TripPlan:
    """Compute the fewest trips to town for everything a plan still asks for there.

    *blocked* are days on which nobody can go, this once. Without *compare* it is not counted how
    many drives there would be with each packet on its own, which takes a search for each.

    Shape: an act that waits for a paper an office is overdue with is on no trip (``waiting``); when
    it can have no day in time even if that paper came today, it is among ``no_day`` too.

    Raises:
        RefusedError: For an act there is no day within the year ahead, with what would help; or
            the errands reach over more than 1,200 days.
    """
    shut = frozenset(blocked)
    everything = compute_town_tasks(plan, table, shut)
    no_day = tuple(find_no_day(plan, task, shut) for task in everything if not task.in_time)
    tasks, waiting = _part_waiting(plan, everything)
    _refuse_without_days(tasks, no_day)
    _refuse_too_far(tasks)
    fewest = _solve(tasks)
    return TripPlan(
        as_of=plan.as_of,
        trips=_gather(plan, tasks, fewest),
        proved=fewest.proved,
        room_days=fewest.room,
        apart=_count_apart(tasks) if compare else 0,
        no_day=no_day,
        online=tuple(
            HomeAct(paper=paper, step=step)
            for paper, step in list_online(plan)
            if not list_holding(plan, paper, step)
        ),
        waiting=tuple(HomeAct(paper=task.paper, step=task.step) for task in waiting),
    )


def _part_waiting(
    plan: Plan, tasks: tuple[TownTask, ...]
) -> tuple[tuple[TownTask, ...], tuple[TownTask, ...]]:
    """Part the acts that have a day from those that wait for an overdue paper."""
    waiting = tuple(task for task in tasks if list_holding(plan, task.paper, task.step))
    gone = {task.step.id for task in waiting}
    return (
        tuple(_leave_out(task, gone) for task in tasks if task.step.id not in gone),
        waiting,
    )


def _leave_out(task: TownTask, gone: set[str]) -> TownTask:
    """Forget the acts that are on no trip as something to come before an act."""
    after = tuple(link for link in task.errand.after if link.before not in gone)
    return replace(task, errand=replace(task.errand, after=after))


def _refuse_without_days(tasks: tuple[TownTask, ...], no_day: tuple[NoDay, ...]) -> None:
    without = [task for task in tasks if not task.errand.days]
    if not without:
        return
    task = without[0]
    why = next(one for one in no_day if one.act.step.id == task.step.id)
    reasons = ", ".join(dict.fromkeys(day.reason for day in why.shut)) or "what comes before it"
    raise RefusedError(
        f"{task.step.row.title} ({task.paper.id}): no day within the year ahead on which the "
        f"{PLACE_WORDS[task.kind]} is open and somebody can go",
        hint=f"in its way: {reasons}; look at places, closures and --no-trip",
    )


def _refuse_too_far(tasks: tuple[TownTask, ...]) -> None:
    days = [day for task in tasks for day in (task.errand.days[0], task.errand.days[-1])]
    if days and max(days) - min(days) > _MOST_DAYS:
        raise RefusedError(
            f"the errands reach over {max(days) - min(days):,} days; trips are planned over at "
            f"most {_MOST_DAYS:,}",
            hint="plan trips when the season is nearer",
        )


def _solve(tasks: tuple[TownTask, ...]) -> Fewest:
    found = compute_fewest_trips([task.errand for task in tasks])
    if isinstance(found, Impossible):
        raise RefusedError(
            f"no trip is left for {found.errand}",
            hint="look at places and closures, or leave out a day of --no-trip",
        )
    return found


def _count_apart(tasks: tuple[TownTask, ...]) -> int:
    """Count the drives when each packet is driven on its own."""
    packets: dict[str, list[Errand]] = {}
    for task in tasks:
        packets.setdefault(task.paper.id, []).append(task.errand)
    counts = [compute_fewest_trips(errands) for errands in packets.values()]
    return sum(len(one.days) for one in counts if isinstance(one, Fewest))


def _town_act(task: TownTask, fewest: Fewest, tasks: tuple[TownTask, ...]) -> TownAct:
    name = task.step.id
    last = fewest.last[name]
    own = task.errand.days[-1] if task.errand.days else last
    waiting = ""
    if last < own:
        waiting = next(
            (
                other.step.id
                for other in tasks
                for link in other.errand.after
                if link.before == name
                and not any(
                    last < day and link.forward(day) <= fewest.last[other.step.id]
                    for day in task.errand.days
                )
            ),
            "",
        )
    return TownAct(
        paper=task.paper,
        step=task.step,
        kind=task.kind,
        first=date.fromordinal(fewest.first[name]),
        by=date.fromordinal(last),
        is_safe=task.is_safe,
        is_late=not task.in_time,
        is_soon=task.is_soon,
        waited_for_by=waiting,
    )


def _gather(plan: Plan, tasks: tuple[TownTask, ...], fewest: Fewest) -> tuple[Trip, ...]:
    acts = {task.step.id: _town_act(task, fewest, tasks) for task in tasks}
    before = {task.step.id: {link.before for link in task.errand.after} for task in tasks}
    seen: set[str] = set()
    trips = []
    for day in fewest.days:
        mine = {name: act for name, act in acts.items() if fewest.on[name] == day}
        trips.append(_make_trip(plan, date.fromordinal(day), mine, before, seen))
    return tuple(trips)


def _make_trip(
    plan: Plan,
    on: date,
    acts: Mapping[str, TownAct],
    before: Mapping[str, set[str]],
    seen: set[str],
) -> Trip:
    """Put the acts of one day in order, with the work at home before and between them."""
    runs = _order_stops(acts, before, _find_closing(plan.operation.places, on))
    places, note = _choose_places(plan.operation.places, [run[0].kind for run in runs], on)
    leaving: list[HomeAct] = []
    stops: list[Stop] = []
    for run, place in zip(runs, places, strict=True):
        way: list[HomeAct] = []
        for act in run:
            for home in _home_acts(act):
                if home.step.id not in seen:
                    seen.add(home.step.id)
                    earlier = {one.id for one in home.paper.acts_before(home.step)}
                    (way if earlier & acts.keys() else leaving).append(home)
        stops.append(Stop(kind=run[0].kind, place=place, acts=run, on_the_way=tuple(way)))
    forced = min(acts.values(), key=lambda act: act.by)
    return Trip(
        on=on,
        stops=tuple(stops),
        before_leaving=tuple(leaving),
        forced_by=forced,
        hours_note=note,
    )


def _home_acts(act: TownAct) -> tuple[HomeAct, ...]:
    """List the undone acts at home that come before an act of the same packet."""
    return tuple(
        HomeAct(paper=act.paper, step=step)
        for step in act.paper.acts_before(act.step)
        if step.done_on is None and step.row.done_at in {"", "farm", "online"}
    )


def _find_closing(places: tuple[Place, ...], on: date) -> dict[PlaceKind, int]:
    """Give the minute at which the last place of each kind shuts on a day, if it is known."""
    day = WEEKDAYS[on.weekday()]
    closing: dict[PlaceKind, int] = {}
    for place in places:
        spans = place.spans_on(day)
        if spans:
            closing[place.kind] = max(closing.get(place.kind, 0), spans[-1].closes)
    return closing


def _order_stops(
    acts: Mapping[str, TownAct],
    before: Mapping[str, set[str]],
    closing: Mapping[PlaceKind, int],
) -> list[tuple[TownAct, ...]]:
    """Put acts into runs of one place each: what the papers allow, what shuts first first."""
    left = dict(acts)
    runs: list[tuple[TownAct, ...]] = []
    while left:
        ready = [act for name, act in left.items() if not before[name] & left.keys()]
        # A place that something elsewhere must come before would have to be gone to twice.
        twice = {
            act.kind
            for name, act in left.items()
            if any(left[one].kind is not act.kind for one in before[name] & left.keys())
        }
        kinds = {act.kind for act in ready}
        kinds = kinds - twice or kinds
        kind = min(kinds, key=lambda one: (closing.get(one, _MIDNIGHT), _ORDER.index(one)))
        run: list[TownAct] = []
        while mine := [
            name
            for name, act in left.items()
            if act.kind is kind and not before[name] & left.keys()
        ]:
            run.extend(left.pop(name) for name in mine)
        runs.append(tuple(run))
    return runs


def _choose_places(
    places: tuple[Place, ...], kinds: list[PlaceKind], on: date
) -> tuple[list[Place | None], str]:
    """Choose a place for each stop, and say what is wrong with their hours.

    The first choice in file order with an hour at which all are open; else the first in whose order
    they can be gone to; else the first of each.
    """
    day = WEEKDAYS[on.weekday()]
    wanted = list(dict.fromkeys(kinds))
    options = [open_places(places, kind, day) or (None,) for kind in wanted]
    choices = list(islice(product(*options), _MOST_CHOICES))
    rank = {choice: _rank_hours(choice, day) for choice in choices}
    best = min(choices, key=lambda choice: rank[choice])
    by_kind = dict(zip(wanted, best, strict=True))
    notes = {
        1: "no hour at which all its places are open: mind the order and the time between",
        2: "by their hours the places cannot be gone to in this order on one day",
    }
    return [by_kind[kind] for kind in kinds], notes.get(rank[best], "")


def _rank_hours(choice: tuple[Place | None, ...], day: str) -> int:
    """Rank places by their hours: 0 a common hour, 1 one after the other, 2 not in this order."""
    known = [place.spans_on(day) for place in choice if place is not None]
    spans = [one for one in known if one]
    if not spans or any(_overlap(combination) for combination in product(*spans)):
        return 0
    clock = 0
    for one in spans:
        fitting = [span for span in one if span.closes > clock]
        if not fitting:
            return 2
        clock = max(clock, fitting[0].opens)
    return 1


def _overlap(spans: tuple[Span, ...]) -> bool:
    return max(span.opens for span in spans) < min(span.closes for span in spans)
