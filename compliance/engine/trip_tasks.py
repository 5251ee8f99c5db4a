"""The acts of a plan that are done in town, as errands with windows, open days and waits between.

An act may be done by its safe day when that is still ahead. After that, and after the day the facts
were told, it may wait for a drive with others for a week in all, but never beyond its last day;
then it goes on the first day it can. What lies between two acts in town (waits, offices, other
papers) is taken from the network of the plan at usual times. Work at home between two acts asks for
a night between them, unless it is a look or a signature, which can be done on the way.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from compliance.base.dates import WEEKDAYS
from compliance.engine.days import OperationDays
from compliance.engine.moves import Act, Move, Task, Wait
from compliance.engine.network import NetworkBuilder, PacketNetwork
from compliance.engine.plan import build_days
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.engine.schedule import Network, compute_earliest
from compliance.engine.trips import Errand, Link, NotSameDay, compute_first_days
from compliance.facts.log import EventKind
from compliance.facts.places import Place, PlaceKind, find_place_kind
from compliance.rules.model import CalendarName, RulesTable, StepKind

# How far ahead a day is looked for when an act is late already.
_LATE_DAYS = 400
# A safe day has its room already; a week before it is early enough, and leaves time to get ready.
ENOUGH_DAYS = 7
# Without a safe day ahead an act is done on the first day it can be; so many days later is near
# enough for one drive instead of two. Common practice, no source. They are counted from the first
# day it could be done once its safe day could not be kept, or the facts were told, not from today,
# which would put it off day by day.
SOON_DAYS = 7
_ON_THE_WAY = frozenset({EventKind.SIGNED, EventKind.CHECKED})


@dataclass(frozen=True, slots=True, kw_only=True)
class TownTask:
    """An undone act in town with its errand.

    ``is_safe`` tells that the window ends with the safe day, ``is_soon`` that the safe day is past
    and the window ends with the week it may wait from then on. ``in_time`` is False when no day up
    to its last one is left.
    """

    paper: PaperPlan
    step: StepPlan
    kind: PlaceKind
    errand: Errand
    is_safe: bool
    in_time: bool
    is_soon: bool = False


def compute_town_tasks(
    plan: Plan, table: RulesTable, blocked: frozenset[date] = frozenset()
) -> tuple[TownTask, ...]:
    """List the undone acts in town with their errands, in the order of the plan.

    *blocked* are days on which nobody can go, this once. An act that is late, or for which no day
    in time is left, has its first possible day as its only one; when a night at home is what makes
    it late, that night is not asked for. Acts that can be done online too are left out.

    Shape: an act for which no day is found within 400 days has an errand without days.
    """
    found = _list_acts(plan)
    builder = _Builder(plan, table, blocked)
    nights = builder.make(found, home_first=True)
    if all(task.in_time for task in nights):
        return nights
    without = builder.make(found, home_first=False)
    more = sum(task.in_time for task in without) > sum(task.in_time for task in nights)
    return without if more else nights


def list_online(plan: Plan) -> tuple[tuple[PaperPlan, StepPlan], ...]:
    """List the undone acts that are done in town or online, as one likes."""
    return tuple(
        (paper, step)
        for paper, step in list_undone_acts(plan)
        if "online" in step.row.done_at and step.row.done_at != "online"
    )


def list_undone_acts(plan: Plan) -> Iterator[tuple[PaperPlan, StepPlan]]:
    """List the acts still to do, at home and away, in the order of the plan."""
    for paper in plan.papers:
        for step in paper.steps:
            if step.kind is StepKind.ACT and step.done_on is None:
                yield paper, step


def _list_acts(plan: Plan) -> tuple[tuple[PaperPlan, StepPlan, PlaceKind], ...]:
    return tuple(
        (paper, step, kind)
        for paper, step in list_undone_acts(plan)
        if (kind := find_place_kind(step.row.done_at)) is not None
    )


class _Builder:
    """Make errands of the acts of one plan."""

    def __init__(self, plan: Plan, table: RulesTable, blocked: frozenset[date]) -> None:
        packets = tuple(paper.packet for paper in plan.papers)
        self.plan = plan
        self.days = build_days(plan.operation, packets, plan.as_of)
        service, choice = plan.operation.mail_service, plan.choices.earliest
        builder = NetworkBuilder(packets, table, self.days, service, choice=choice)
        self.network: PacketNetwork = builder.build_happened(plan.as_of)
        self.tasks = {task.id: task for task in self.network.tasks}
        self.shut = {day.toordinal() for day in blocked | find_no_trip_days(self.days)}
        self._whole = Network(self.network.tasks)
        # The earliest days by the day that was taken for today.
        self._could: dict[int, dict[str, int]] = {}
        self._windows: dict[str, Errand] = {}

    def make(
        self, acts: Iterable[tuple[PaperPlan, StepPlan, PlaceKind]], *, home_first: bool
    ) -> tuple[TownTask, ...]:
        """Give each act its errand; see `compute_town_tasks`."""
        acts = tuple(acts)
        kinds = {step.id: kind for _, step, kind in acts}
        errands = [
            self._errand(step, self._links(step.id, kinds, home_first=home_first))
            for _, step, _ in acts
        ]
        first = compute_first_days(errands)
        return tuple(
            _limit(act, errand, first[errand.id], self._find_wait_end(act[1], first[errand.id]))
            for act, errand in zip(acts, errands, strict=True)
        )

    def _find_wait_end(self, step: StepPlan, first: int | None) -> int:
        """Give the day up to which an act past its safe day may wait for a drive with others.

        Its week begins on the first day it can really be done. Who dawdles with what comes before
        it makes no new week: that day is counted as of the day on which the safe day could not be
        kept any more, or as of the day the facts were told, because a farm may come to the program
        with its safe days past. *first* is its first day as of today, after which it never waits
        for more than the week; it is given back without a safe day before it, and where the week
        is over.
        """
        if first is None or step.safe is None or first <= step.safe.toordinal():
            return first or 0
        told_on = min(self.plan.told_on or self.days.first, self.plan.as_of)
        safe, begin = step.safe.toordinal(), max(told_on, self.days.first).toordinal()
        # The first day on which to begin is too late; the later one begins, the later it is.
        low, high = begin, max(begin, safe + 1)
        while low < high:
            middle = (low + high) // 2
            if self._find_first(step.id, middle) > safe:
                high = middle
            else:
                low = middle + 1
        return max(first, min(first, self._find_first(step.id, low)) + SOON_DAYS)

    def _find_first(self, name: str, today: int) -> int:
        """Give the first day of an act if a day were today."""
        if today not in self._could:
            found = compute_earliest(self._whole, today=today)
            self._could[today] = {one.id: one.finish for one in found}
        return self._could[today][name]

    def _errand(self, step: StepPlan, links: tuple[Link, ...]) -> Errand:
        """Give an errand that may be done on any open day ahead."""
        if step.id not in self._windows:
            self._windows[step.id] = self._window(step)
        return replace(self._windows[step.id], after=links)

    def _window(self, step: StepPlan) -> Errand:
        begin = max(step.earliest, self.plan.as_of)
        end = max(step.last or begin, begin + timedelta(days=_LATE_DAYS))
        calendar = self.days.at_place(step.calendar, step.row.done_at)
        days = tuple(
            day
            for day in range(begin.toordinal(), min(end.toordinal(), calendar.last) + 1)
            if calendar.is_open(day) and day not in self.shut
        )
        first, last = begin.toordinal(), end.toordinal()
        return Errand(id=step.id, first=first, last=last, days=days, after=())

    def _links(
        self, name: str, kinds: Mapping[str, PlaceKind], *, home_first: bool
    ) -> tuple[Link, ...]:
        """Give what must lie between an act and each act in town before it."""
        found: dict[Link, None] = {}
        waiting: list[tuple[str, tuple[Move, ...], bool]] = [
            (before, (), False) for before in self.tasks[name].after
        ]
        seen = set(waiting)
        while waiting:
            before, moves, by_home = waiting.pop()
            task = self.tasks[before]
            if before in kinds:
                found[Link(before=before, moves=moves)] = None
                if by_home and home_first:
                    found[Link(before=before, gap_days=1)] = None
                clash = self._clash(kinds[before], kinds[name])
                if clash:
                    found[Link(before=before, moves=(NotSameDay(days=clash),))] = None
            elif task.done_on is None:
                own = () if _takes_no_time(task) else (task.move,)
                home = by_home or self._is_home_work(before)
                ahead = [(one, (*own, *moves), home) for one in task.after]
                waiting.extend(one for one in ahead if one not in seen)
                seen.update(ahead)
        return tuple(found)

    def _is_home_work(self, name: str) -> bool:
        """Tell whether a step asks for being at home: work there that cannot be taken along."""
        step = self.network.steps.get(name)
        is_act = step is not None and step.row.kind is StepKind.ACT
        return step is not None and is_act and step.row.event not in _ON_THE_WAY

    def _clash(self, before: PlaceKind, then: PlaceKind) -> frozenset[int]:
        """List the days on which the later place shuts before the earlier one opens."""
        places = self.plan.operation.places
        bad = {day for day in WEEKDAYS if not _fit_in_order(places, before, then, day)}
        if not bad or before is then:
            return frozenset()
        begin = self.plan.as_of.toordinal()
        end = min(begin + 2 * _LATE_DAYS, self.days.last.toordinal())
        return frozenset(
            day for day in range(begin, end + 1) if WEEKDAYS[date.fromordinal(day).weekday()] in bad
        )


def find_no_trip_days(days: OperationDays) -> frozenset[date]:
    """List the days of an operation's calendars on which nobody can drive to town."""
    return frozenset(days.closed_by("field") | days.closed_by("vehicle"))


def _takes_no_time(task: Task) -> bool:
    """Tell whether a task leaves every day as it is, so that it need not be gone through."""
    move = task.move
    if isinstance(move, Act):
        return move.calendar.name == CalendarName.EVERY_DAY
    return isinstance(move, Wait) and move.days == 0


def _limit(
    act: tuple[PaperPlan, StepPlan, PlaceKind],
    errand: Errand,
    first: int | None,
    wait_end: int,
) -> TownTask:
    """End an errand's window: with its safe day, soon, with its last day, or its first one.

    *wait_end* is up to which day it may wait for a drive with others when its safe day is past.
    """
    paper, step, kind = act
    safe = step.safe.toordinal() if step.safe is not None else None
    last = step.last.toordinal() if step.last is not None else None
    is_safe = safe is not None and first is not None and first <= safe
    in_time = first is not None and (is_safe or last is None or first <= last)
    is_soon = in_time and not is_safe and safe is not None
    if first is None:
        end = errand.first - 1  # no day at all
    elif is_soon:
        end = wait_end if last is None else min(wait_end, last)
    elif is_safe and safe is not None:
        end = safe
    elif in_time:
        end = errand.last if last is None else last
    else:
        end = first
    return TownTask(
        paper=paper,
        step=step,
        kind=kind,
        errand=replace(
            errand,
            last=end,
            days=tuple(day for day in errand.days if day <= end),
            enough=ENOUGH_DAYS if is_safe else None,
            soon=is_soon,
        ),
        is_safe=is_safe,
        in_time=in_time,
        is_soon=is_soon,
    )


def open_places(places: Iterable[Place], kind: PlaceKind, day: str) -> tuple[Place, ...]:
    """List the places of a kind that may be open on a day of the week, in file order."""
    return tuple(
        place for place in places if place.kind is kind and (not place.days or day in place.days)
    )


def _fit_in_order(places: Iterable[Place], before: PlaceKind, then: PlaceKind, day: str) -> bool:
    """Tell whether one place can be gone to after the other on that day, as far as is known."""
    known = tuple(places)
    pairs = [
        (one.spans_on(day), two.spans_on(day))
        for one in open_places(known, before, day)
        for two in open_places(known, then, day)
    ]
    return not pairs or any(
        not early or not late or early[0].opens < late[-1].closes for early, late in pairs
    )
