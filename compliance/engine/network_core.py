"""A network of steps, checked once and packed for quick passes."""

import heapq
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import NamedTuple, Protocol, TypeAlias

from compliance.base.calendars import OutOfRangeError, describe_day
from compliance.engine.moves import Act, CycleFoundError, Gap, MonthsAhead, Task

NO_LIMIT = 1 << 60
"""Stands for "no latest day" inside the passes; later than any day."""

RESERVED_IDS = frozenset({"done", "limit", "not_before", "today"})
"""What `bound_by` says when no other task is the reason; no task may be called so."""


class Lookup(Protocol):
    """Anything that gives a day or a count for an index, and IndexError beyond its end."""

    def __getitem__(self, at: int, /) -> int:
        """Give the value at *at*."""


Table: TypeAlias = tuple[Lookup, int, Lookup]
"""How one move is looked up: *counts*, *edge*, *days*.

Forward the finish is ``days[counts[start - edge]]``, backward the start is
``days[counts[edge - finish]]``. Of a wait of n days *days* begins at the n-th.
"""

# A plain tuple: unpacking one is what the passes do most, and a named tuple unpacks more slowly.
Step: TypeAlias = tuple[int, tuple[int, ...], Lookup, int, Lookup]
"""The place of one value the step depends on, the places of the others, and its `Table`."""


class BackwardPlan(NamedTuple):
    """The backward pass for limits on certain tasks.

    Shape: the pass fills a row of values: the *limits* (`Task.not_after`, or `NO_LIMIT` where
    there is only a limit to come), then the starts of the tasks at *places*, last one first.
    *own* has the place and id of each task that is given a limit, *slots* the place of each task
    that has one. *acts* are the steps whose finish is their start. Tasks that nothing limits have
    no step.
    """

    limits: list[int]
    own: tuple[tuple[int, str], ...]
    slots: Mapping[int, int]
    steps: tuple[Step, ...]
    places: tuple[int, ...]
    acts: tuple[int, ...]


class Network:
    """Tasks in an order in which each comes after all it waits for, ready for many passes.

    Shape: *tasks* and *order* (their ids) keep the order given wherever that is already an order
    of work; *index* is the place of an id in it; *before* and *after* are the places of what a
    task waits for and of what waits for it. *first* and *last* are the days all its calendars
    know.

    The forward pass fills a row of values: today, then the *floors* (days that tasks may not start
    before, or were done on), then one finish for every step. *names* says of each value whose it
    is, *gap_floors* which value holds the floor that gaps push. A step is a task, or stands behind
    a wait under way to say that it is not over yet. *start_at* is the step each task starts with,
    *finish_at* the value that is its finish.

    Raises:
        ValueError: an id is given twice, unknown or reserved.
        CycleFoundError: tasks wait for one another in a ring.
        OutOfRangeError: a day of a task is outside one of the calendars.
    """

    __slots__ = (
        "_plans",
        "after",
        "before",
        "finish_at",
        "first",
        "floors",
        "forward_steps",
        "gap_floors",
        "gaps",
        "index",
        "last",
        "names",
        "order",
        "start_at",
        "startless",
        "tasks",
    )

    def __init__(self, tasks: Sequence[Task], gaps: Sequence[Gap] = ()) -> None:
        self.tasks = _sort_tasks(tasks)
        self.order = tuple(task.id for task in self.tasks)
        self.index: Mapping[str, int] = MappingProxyType(
            {name: at for at, name in enumerate(self.order)}
        )
        calendars = [
            task.move.calendar for task in self.tasks if not isinstance(task.move, MonthsAhead)
        ]
        self.first = max((calendar.first for calendar in calendars), default=1)
        self.last = min((one.last for one in calendars), default=date.max.toordinal())
        self._check_days()
        self.gaps = self._place_gaps(gaps)
        self.before = tuple(
            tuple(sorted({self.index[name] for name in task.after})) for task in self.tasks
        )
        behind: list[list[int]] = [[] for _ in self.tasks]
        for at, earlier in enumerate(self.before):
            for one in earlier:
                behind[one].append(at)
        self.after = tuple(tuple(later) for later in behind)
        self.startless = tuple(
            task.id
            for task in self.tasks
            if task.done_on is None and task.not_before is None and not task.after
        )
        self._pack_forward()
        self._plans: dict[tuple[str, ...], BackwardPlan] = {}

    def check_day(self, day: int, what: str) -> None:
        """Refuse a day that not all calendars of the network know.

        Raises:
            OutOfRangeError: *day* is before *first* or after *last*.
        """
        if not self.first <= day <= self.last:
            raise OutOfRangeError(
                f"{what} ({describe_day(day)}) is outside the days planned for, "
                f"{describe_day(self.first)} to {describe_day(self.last)}"
            )

    def plan_backward(self, names: tuple[str, ...]) -> BackwardPlan:
        """Give the backward pass for limits on the tasks *names*, made once and kept.

        Raises:
            ValueError: *names* has an unknown task.
        """
        plan = self._plans.get(names)
        if plan is None:
            plan = self._plans[names] = self._pack_backward(names)
        return plan

    def _pack_backward(self, names: tuple[str, ...]) -> BackwardPlan:
        for name in names:
            if name not in self.index:
                raise ValueError(f"a limit names the unknown task {name!r}")
        named = {self.index[name] for name in names}
        pushed = {then for _, then, _ in self.gaps}
        limited = self._find_limited(named)
        slots: dict[int, int] = {}
        limits: list[int] = []
        for at in limited:
            own = self.tasks[at].not_after
            if own is not None or at in named or at in pushed:
                slots[at] = len(limits)
                # A gap can push only what has a day, so the end of the calendars stands in.
                open_end = self.last if at in pushed else NO_LIMIT
                limits.append(open_end if own is None else own)
        value_of: dict[int, int] = {}
        steps: list[Step] = []
        for at in reversed(limited):
            behind = [value_of[one] for one in self.after[at] if one in value_of]
            values = [slots[at], *behind] if at in slots else behind
            steps.append((values[0], tuple(values[1:]), *self._table_backward(self.tasks[at])))
            value_of[at] = len(limits) + len(value_of)
        places = tuple(reversed(limited))
        return BackwardPlan(
            limits=limits,
            own=tuple((slots[self.index[name]], name) for name in names),
            slots=slots,
            steps=tuple(steps),
            places=places,
            acts=tuple(
                step for step, at in enumerate(places) if isinstance(self.tasks[at].move, Act)
            ),
        )

    def _find_limited(self, named: set[int]) -> list[int]:
        limited = named | {at for at, task in enumerate(self.tasks) if task.not_after is not None}
        count = -1
        while count < len(limited):
            count = len(limited)
            for first, then, _ in self.gaps:
                if first in limited or self.tasks[first].done_on is not None:
                    limited.add(then)
            for at in reversed(range(len(self.tasks))):
                if at in limited:
                    limited.update(self.before[at])
        return sorted(limited)

    def _place_gaps(self, gaps: Sequence[Gap]) -> tuple[tuple[int, int, int], ...]:
        for gap in gaps:
            for name in (gap.first, gap.then):
                if name not in self.index:
                    raise ValueError(f"a gap names the unknown task {name!r}")
        # What is finished cannot be made fresher, so a gap up to a done task asks nothing.
        return tuple(
            (self.index[gap.first], self.index[gap.then], gap.at_most_days)
            for gap in gaps
            if self.tasks[self.index[gap.then]].done_on is None
        )

    def _check_days(self) -> None:
        for task in self.tasks:
            for field in ("not_before", "not_after", "done_on"):
                day = getattr(task, field)
                if day is not None:
                    self.check_day(day, f"{field} of {task.id!r}")

    def _place_floors(self) -> dict[int, int]:
        own: dict[int, int] = {}
        self.floors: list[int] = []
        self.gap_floors: dict[int, int] = {}
        names = ["today"]
        for at, task in enumerate(self.tasks):
            day = task.not_before if task.done_on is None else task.done_on
            if day is not None:
                self.floors.append(day)
                own[at] = len(names)
                names.append("not_before" if task.done_on is None else "done")
        for first in sorted({first for first, _, _ in self.gaps}):
            if self.tasks[first].done_on is None:
                self.floors.append(0)
                self.gap_floors[first] = len(names)
                names.append("gap")
        self.names = tuple(names)
        return own

    def _pack_forward(self) -> None:
        own = self._place_floors()
        names = list(self.names)
        steps: list[Step] = []
        ends: list[int] = []
        starts: list[int] = []
        for at, task in enumerate(self.tasks):
            starts.append(len(steps))
            values = [own[at]] if at in own else []
            under_way = False
            table = self._stay_forward()
            if task.done_on is None:
                table = self._table_forward(task)
                # Behind anything still to do, a day is not before today anyhow.
                if all(self.tasks[one].done_on is not None for one in self.before[at]):
                    under_way = bool(task.after) and not isinstance(task.move, Act)
                    values += [] if under_way else [0]
                values += [self.gap_floors[at]] if at in self.gap_floors else []
                values += [ends[one] for one in self.before[at]]
            steps.append((values[0], tuple(values[1:]), *table))
            names.append(task.id)
            if under_way:
                # It counts from what it waited for, but cannot be over before today.
                steps.append((len(names) - 1, (0,), *self._stay_forward()))
                names.append(task.id)
            ends.append(len(names) - 1)
        self.names = tuple(names)
        self.forward_steps = tuple(steps)
        self.start_at = tuple(starts)
        self.finish_at = tuple(ends)

    def _stay_forward(self) -> Table:
        days = range(self.first, self.last + 1)
        return range(len(days)), self.first, days

    def _table_forward(self, task: Task) -> Table:
        move = task.move
        if isinstance(move, Act):
            return move.calendar.cum, move.calendar.first, move.calendar.bd
        if isinstance(move, MonthsAhead):
            days = range(self.first, self.last + 1)
            return range(len(days)), self.first, _Moved(move.forward, days, days)
        if move.days == 0:
            return self._stay_forward()
        return move.calendar.cum, move.calendar.first - 1, move.calendar.bd[move.days - 1 :]

    def _table_backward(self, task: Task) -> Table:
        move = task.move
        if isinstance(move, Act):
            return move.calendar.rcum, move.calendar.last, move.calendar.rbd
        days = range(self.last, self.first - 1, -1)
        if isinstance(move, MonthsAhead):
            moved = _Moved(move.backward, days, range(self.first, self.last + 1))
            return range(len(days)), self.last, moved
        if move.days == 0:
            return range(len(days)), self.last, days
        return move.calendar.rcum, move.calendar.last, move.calendar.eves[move.days - 1 :]


class _Moved:
    """A table of moved days that is worked out as it is read."""

    __slots__ = ("allowed", "days", "move")

    def __init__(self, move: Callable[[int], int], days: range, allowed: range) -> None:
        self.move = move
        self.days = days
        self.allowed = allowed

    def __getitem__(self, at: int) -> int:
        day = self.move(self.days[at])
        if day not in self.allowed:
            raise IndexError(at)
        return day


def _sort_tasks(tasks: Sequence[Task]) -> tuple[Task, ...]:
    places = {task.id: at for at, task in enumerate(tasks)}
    if len(places) != len(tasks):
        twice = next(task.id for at, task in enumerate(tasks) if places[task.id] != at)
        raise ValueError(f"two tasks are called {twice!r}")
    waiting = [0] * len(tasks)
    behind: list[list[int]] = [[] for _ in tasks]
    for at, task in enumerate(tasks):
        if task.id in RESERVED_IDS:
            raise ValueError(f"a task cannot be called {task.id!r}")
        for name in set(task.after):
            if name not in places:
                raise ValueError(f"task {task.id!r} waits for the unknown task {name!r}")
            waiting[at] += 1
            behind[places[name]].append(at)
    # The heap keeps the order given among tasks that are free to go.
    ready = [at for at, count in enumerate(waiting) if count == 0]
    found: list[Task] = []
    while ready:
        at = heapq.heappop(ready)
        found.append(tasks[at])
        for later in behind[at]:
            waiting[later] -= 1
            if waiting[later] == 0:
                heapq.heappush(ready, later)
    if len(found) < len(tasks):
        stuck = [task for at, task in enumerate(tasks) if waiting[at]]
        raise CycleFoundError(_name_cycle(stuck))
    return tuple(found)


def _name_cycle(stuck: Sequence[Task]) -> tuple[str, ...]:
    # Each stuck task waits for a stuck one, so walking back must come round.
    names = {task.id for task in stuck}
    back = {task.id: next(name for name in task.after if name in names) for task in stuck}
    walk = [stuck[0].id]
    while back[walk[-1]] not in walk:
        walk.append(back[walk[-1]])
    ring = walk[walk.index(back[walk[-1]]) :]
    return (ring[0], *reversed(ring))
