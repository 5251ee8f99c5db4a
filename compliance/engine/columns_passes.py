"""The forward and the backward pass over columns: a column a task, a row an operation or draw."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from compliance.engine.columns_tables import BEFORE, Column, Places, Tables
from compliance.engine.moves import Act, InfeasibleError, Wait
from compliance.engine.network_core import NO_LIMIT, Network


def _nothing() -> Mapping[int, Any]:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What the rows of a pass have of their own, as numbers of `Tables`, by the place of the task.

    ``days`` are the counted days of waits. ``done`` are days on which tasks were done, 0 in rows in
    which they were not. ``active`` are the rows in which a task happens at all; in the others it is
    passed over: it is finished when all it waits for is.
    """

    rows: int
    today: Column | None = None
    days: Mapping[int, Column] = field(default_factory=_nothing)
    done: Mapping[int, Column] = field(default_factory=_nothing)
    active: Mapping[int, Places] = field(default_factory=_nothing)


class Moved(NamedTuple):
    """Starts and finishes by the place of the task; None where nothing limits one.

    Of a run of tasks with ``active`` rows only the last of the pass has days of its own.
    """

    starts: list[Column | None]
    finishes: list[Column | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """One pass under way: what is given, floors or limits, and what is found so far.

    ``room`` is where new columns are written; memory is asked for once, because asking for each
    column costs more than filling it.
    """

    given: Given
    bounds: Mapping[int, Column]
    room: Column
    found: Moved

    @classmethod
    def begin(cls, given: Given, bounds: Mapping[int, Column], like: Column, count: int) -> "_Work":
        room: Column = np.empty((2, count, given.rows), dtype=like.dtype)
        none: list[Column | None] = [None] * count
        return cls(given=given, bounds=bounds, room=room, found=Moved(none, none.copy()))

    def own(self, at: int, which: int, columns: Sequence[Column]) -> Column | None:
        """Give the place to write a column to, when it will have one number for each row."""
        rows = self.given.rows
        return self.room[which, at] if rows == 1 or any(c.size > 1 for c in columns) else None


class Columns:
    """A network ready for passes over many rows.

    Both passes leave `BEFORE` or ``tables.beyond`` where a day leaves the calendars; whoever calls
    them must look.
    """

    def __init__(self, network: Network) -> None:
        self.network = network
        self.tables = Tables(network)
        self._done = [task.done_on is not None for task in network.tasks]
        self._is_act = [isinstance(task.move, Act) for task in network.tasks]

    def forward(
        self, given: Given, within: Collection[int] = (), known: Moved | None = None
    ) -> Moved:
        """Compute the earliest starts and finishes of every task in every row.

        Shape: no None. Freshness rules push as in the list passes, each row on its own. With
        *known*, only the tasks at the places *within* are computed, and what they wait for beside
        them is taken from there.

        Raises:
            InfeasibleError: what a freshness rule counts from is done, and too early.
            ValueError: *given* has something that a task cannot have.
        """
        self._check(given)
        floors: dict[int, Column] = {}
        order = range(len(self.network.tasks)) if known is None else sorted(within)
        found = self._pass_forward(order, given, floors, known)
        while self.network.gaps and self._push_later(given, found, floors):
            found = self._pass_forward(order, given, floors, known)
        return found

    def backward(
        self,
        limits: Mapping[int, Column],
        given: Given,
        *,
        within: Collection[int] | None = None,
        done_binds: bool = True,
        floors: Mapping[int, int] | None = None,
    ) -> Moved:
        """Compute the latest starts and finishes of the tasks that something limits.

        Shape: *limits* are the last numbers by the place of the task, beside `Task.not_after`. With
        *within* only those places are looked at, as if there were no other tasks.
        Without *done_binds* a task that is done limits nothing before it. With *floors*,
        day numbers by place, a task whose latest day is before its own has the latest start
        `BEFORE`: that row cannot be in time.

        Raises:
            ValueError: *given* has something that a task cannot have.
        """
        self._check(given)
        order, highs = self._place_limits(limits, within)
        order = [at for at in order if done_binds or not self._done[at]]
        found = self._pass_backward(order, highs, given, floors or {})
        while self.network.gaps and self._push_earlier(given, found, highs):
            found = self._pass_backward(order, highs, given, floors or {})
        return found

    def _place_limits(
        self, limits: Mapping[int, Column], within: Collection[int] | None
    ) -> tuple[Sequence[int], dict[int, Column]]:
        """Give the places to look at, the last first, and the limits of their own."""
        tasks = self.network.tasks
        if within is None:
            plan = self.network.plan_backward(tuple(self.network.order[at] for at in limits))
            order: Sequence[int] = plan.places
            own = {at: plan.limits[slot] for at, slot in plan.slots.items()}
        else:
            order = sorted(within, reverse=True)
            last = {at: tasks[at].not_after for at in order}
            own = {at: day for at, day in last.items() if day is not None}
        highs = {at: self._constant(day) for at, day in own.items() if day != NO_LIMIT}
        for at, column in limits.items():
            highs[at] = np.minimum(highs[at], column) if at in highs else column
        return order, highs

    def _check(self, given: Given) -> None:
        tasks, gaps = self.network.tasks, self.network.gaps
        for at in given.days:
            if not isinstance(tasks[at].move, Wait):
                raise ValueError(  # noqa: TRY004 - the value is of the right type, the task is not
                    f"{tasks[at].id!r} is no wait and takes no days"
                )
        for first, then, _ in gaps:
            for at in (first, then):
                if at in given.done:
                    raise ValueError(
                        f"{tasks[at].id!r} has a freshness rule and cannot be done on other days "
                        "in other rows; put rows in which it is done into a network of their own"
                    )

    def _pass_forward(
        self,
        order: Iterable[int],
        given: Given,
        floors: Mapping[int, Column],
        known: Moved | None,
    ) -> Moved:
        tasks = self.network.tasks
        work = _Work.begin(given, floors, self._constant(self.network.first), len(tasks))
        starts, finishes = work.found
        if known is not None:
            finishes[:] = known.finishes
        for at in order:
            task = tasks[at]
            if task.done_on is not None and at not in given.done:
                starts[at] = finishes[at] = self._constant(task.done_on)
                continue
            start, finish = self._step_forward(at, work)
            if at in given.done:
                done = given.done[at]
                start, finish = np.where(done > 0, done, start), np.where(done > 0, done, finish)
            starts[at], finishes[at] = start, finish
        return work.found

    def _step_forward(self, at: int, work: _Work) -> tuple[Column, Column]:
        given, before = work.given, self.network.before[at]
        # Behind anything still to do, a day is not before today anyhow.
        today = given.today if all(self._may_be_past(one, given) for one in before) else None
        own = self._floors_of(at, work, today)
        reached = [day for one in before if (day := work.found.finishes[one]) is not None]
        places = given.active.get(at)
        if places is None:
            start = _fold(np.maximum, [*reached, *own], work.own(at, 0, [*reached, *own]))
            finish = self._move_on(at, start, given.days.get(at), work)
            if today is not None and before and not self._is_act[at]:
                finish = np.maximum(finish, today)  # a wait under way is not over before today
            return start, finish
        passed = _fold(np.maximum, reached, None)
        if not places.size:
            return passed, passed
        if not self._may_reuse(before, self.network.after, given):
            passed = np.broadcast_to(passed, given.rows).copy()
        begun = _fold(np.maximum, [passed[places], *(_some(day, places) for day in own)], None)
        ended = self._move_on(at, begun, _some_of(given.days.get(at), places))
        if today is not None and not self._is_act[at]:
            ended = np.maximum(ended, _some(today, places))
        passed[places] = ended
        return passed, passed

    def _may_be_past(self, at: int, given: Given) -> bool:
        return self._done[at] or at in given.done or at in given.active

    def _floors_of(self, at: int, work: _Work, today: Column | None) -> list[Column]:
        own = [work.bounds[at]] if at in work.bounds else []
        not_before = self.network.tasks[at].not_before
        if not_before is not None:
            own.append(self._constant(not_before))
        if today is not None and (self._is_act[at] or not self.network.before[at]):
            own.append(today)
        return own

    def _may_reuse(
        self, others: Sequence[int], beyond: Sequence[Sequence[int]], given: Given
    ) -> bool:
        """Tell whether a task's column may be written over that of its only neighbour.

        So it is in a run of tasks with active rows, of which nobody asks for the days between.
        """
        if self.network.gaps or len(others) != 1:
            return False
        # A task that happens in no row has its neighbour's column, which others may have too.
        kept = given.active.get(others[0])
        return kept is not None and kept.size > 0 and len(beyond[others[0]]) == 1

    def _move_on(
        self, at: int, start: Column, days: Column | None, work: _Work | None = None
    ) -> Column:
        move = self.network.tasks[at].move
        if days is not None and isinstance(move, Wait):
            return self.tables.wait_forward(move.calendar, start, days)
        out = None if work is None else work.own(at, 1, [start])
        return self.tables.forward_table(self.network.tasks[at]).take(start, out=out, mode="clip")

    def _move_back(
        self, at: int, finish: Column, days: Column | None, work: _Work | None = None
    ) -> Column:
        move = self.network.tasks[at].move
        if days is not None and isinstance(move, Wait):
            return self.tables.wait_backward(move.calendar, finish, days)
        out = None if work is None else work.own(at, 1, [finish])
        return self.tables.backward_table(self.network.tasks[at]).take(finish, out=out, mode="clip")

    def _push_later(self, given: Given, found: Moved, floors: dict[int, Column]) -> bool:
        """Move on what would be stale, to the least start that keeps each freshness rule."""
        moved = False
        for first, then, days in self.network.gaps:
            early, late = found.finishes[first], found.finishes[then]
            if early is None or late is None:
                continue
            need = late - self._span_of(days)
            stale = _only_active(early < need, first, given)
            if not stale.any():
                continue
            if self._done[first]:
                raise InfeasibleError(
                    f"in row {int(np.argmax(stale))} {self.network.order[then]!r} would come more "
                    f"than {days} days after {self.network.order[first]!r}",
                    self.network.order[then],
                )
            if not self._is_act[first]:
                # By the law of the moves: the first start whose finish is not before `need`.
                at_least = np.maximum(need - 1, BEFORE).astype(need.dtype)
                need = self._move_back(first, at_least, given.days.get(first)) + 1
            old = floors.get(first, np.zeros(1, dtype=self.tables.dtype))
            floors[first] = np.where(stale, need, old).astype(self.tables.dtype)
            moved = True
        return moved

    def _pass_backward(
        self,
        order: Sequence[int],
        highs: Mapping[int, Column],
        given: Given,
        floors: Mapping[int, int],
    ) -> Moved:
        count = len(self.network.tasks)
        work = _Work.begin(given, highs, self._constant(self.network.first), count)
        starts, finishes = work.found
        for at in order:
            limits = [day for one in self.network.after[at] if (day := starts[one]) is not None]
            limits += [highs[at]] if at in highs else []
            if limits:
                start, finish = self._step_backward(at, limits, work, floors.get(at))
                starts[at], finishes[at] = start, start if self._is_act[at] else finish
        return work.found

    def _step_backward(
        self, at: int, limits: Sequence[Column], work: _Work, floor: int | None
    ) -> tuple[Column, Column]:
        given = work.given
        places, days = given.active.get(at), given.days.get(at)
        if places is None:
            finish = _fold(np.minimum, limits, work.own(at, 0, limits))
            return self._not_too_early(self._move_back(at, finish, days, work), floor), finish
        finish = _fold(np.minimum, limits, None)
        if not places.size:
            return finish, finish
        if at in work.bounds or not self._may_reuse(
            self.network.after[at], self.network.before, given
        ):
            finish = np.broadcast_to(finish, given.rows).copy()
        moved = self._move_back(at, finish[places], _some_of(days, places))
        finish[places] = self._not_too_early(moved, floor)
        return finish, finish

    def _not_too_early(self, start: Column, floor: int | None) -> Column:
        if floor is None:
            return start
        return np.where(start < floor - self.tables.base, BEFORE, start).astype(start.dtype)

    def _push_earlier(self, given: Given, found: Moved, highs: dict[int, Column]) -> bool:
        """Move back what would come too long after the first of its freshness rule."""
        moved = False
        for first, then, days in self.network.gaps:
            task, begun, late = self.network.tasks[first], found.starts[first], found.finishes[then]
            if late is None:
                continue
            if task.done_on is not None:
                high = self._constant(task.done_on) + self._span_of(days)
            elif begun is None:
                continue
            else:
                high = self._move_on(first, begun, given.days.get(first)) + self._span_of(days)
            stale = _only_active(late > high, then, given)
            if stale.any():
                old = highs.get(then, self._constant(self.network.last))
                highs[then] = np.where(stale, high, old).astype(self.tables.dtype)
                moved = True
        return moved

    def _span_of(self, days: int) -> Column:
        return np.array([min(days, self.tables.beyond)], dtype=self.tables.dtype)

    def _constant(self, day: int) -> Column:
        return np.array([day - self.tables.base], dtype=self.tables.dtype)


def _fold(pick: np.ufunc, columns: Sequence[Column], out: Column | None) -> Column:
    found = columns[0]
    for one in columns[1:]:
        found = pick(found, one, out=out)
    return found


def _some(column: Column, places: Places) -> Column:
    return column if column.size == 1 else column[places]


def _some_of(column: Column | None, places: Places) -> Column | None:
    return None if column is None else _some(column, places)


def _only_active(rows: npt.NDArray[np.bool_], at: int, given: Given) -> npt.NDArray[np.bool_]:
    places = given.active.get(at)
    if places is None:
        return rows
    kept = np.zeros(given.rows, dtype=np.bool_)
    kept[places] = np.broadcast_to(rows, given.rows)[places]
    return kept
