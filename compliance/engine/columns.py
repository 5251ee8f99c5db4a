"""Earliest and latest days of very many operations, or draws, that share one network.

A row is one set of days of the same network: another day to begin, other limits, other lengths of
waits, other days on which things were done. The days are kept as small numbers in columns, one
column a task, and each step is one look-up for all rows, so a row costs nanoseconds a step. The
dates are those of `schedule.earliest_days` and `schedule.latest_days`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from compliance.base.calendars import OutOfRangeError, describe_day
from compliance.engine.columns_passes import Columns, Given, Moved
from compliance.engine.columns_tables import BEFORE, Column
from compliance.engine.network_core import Network

__all__ = ["Days", "ManyDays", "schedule_many"]

Days: TypeAlias = int | npt.NDArray[np.signedinteger[Any]]
"""A day ordinal or a count of days for all rows, or an array with one for each row."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ManyDays:
    """The days of every task in every row.

    Shape: one array for each task in network order, one number for each row; empty for a pass not
    asked for. Ask `earliest` and `latest` for ordinals, or add ``base`` to numbers made wider
    first. Among the latest days there is None for a task that nothing limits. Do not write into
    the arrays: one may stand for several tasks.
    """

    order: tuple[str, ...]
    rows: int
    base: int
    early_starts: tuple[Column, ...]
    early_finishes: tuple[Column, ...]
    late_starts: tuple[Column | None, ...]
    late_finishes: tuple[Column | None, ...]

    def earliest(self, task: str) -> npt.NDArray[np.int64]:
        """Give the earliest finish of a task in each row, as ordinals.

        Raises:
            ValueError: there is no such task, or no forward pass was asked for.
        """
        return self._days(self.early_finishes, task)

    def latest(self, task: str) -> npt.NDArray[np.int64]:
        """Give the latest finish of a task in each row, as ordinals.

        Raises:
            ValueError: there is no such task, or no backward pass was asked for, or nothing limits
                the task.
        """
        return self._days(self.late_finishes, task)

    def _days(self, columns: Sequence[Column | None], task: str) -> npt.NDArray[np.int64]:
        if task not in self.order:
            raise ValueError(f"no task is called {task!r}")
        if not columns:
            raise ValueError("that pass was not asked for")
        column = columns[self.order.index(task)]
        if column is None:
            raise ValueError(f"nothing limits {task!r}")
        found: npt.NDArray[np.int64] = column.astype(np.int64) + self.base
        return found


def schedule_many(
    network: Network,
    *,
    today: Days | None = None,
    limits: Mapping[str, Days] | None = None,
    days: Mapping[str, Days] | None = None,
    done_on: Mapping[str, Days] | None = None,
) -> ManyDays:
    """Compute earliest and latest days of many rows that share a network.

    Shape: every value is one number for all rows or an array with one for each row; the rows are as
    many as the longest array has. *today* is the first day anything may be done, and asks for the
    forward pass. *limits* maps task ids to the last day they may be finished, and asks for the
    backward pass. *days* maps ids of waits to counted days of their calendar in place of their own.
    *done_on* maps task ids to the day they were done, in place of `Task.done_on`, with 0 in rows in
    which they were not; as in the list passes it counts in the forward pass only.

    Units: days are ordinals, all inclusive. All days must be within ``network.first`` and
    ``network.last``, also those between.

    Raises:
        OutOfRangeError: a day leaves the calendars; it names the row, counted from 0.
        InfeasibleError: a freshness rule cannot be kept in some row.
        ValueError: an unknown task, days for a task that is no wait, arrays of different lengths,
            or done days by row for a task with a freshness rule.

    >>> from datetime import date
    >>> from compliance.base.holidays import build_federal_calendar, build_postal_calendar
    >>> from compliance.engine.moves import Act, Task, Wait
    >>> span = date(2027, 1, 1), date(2028, 12, 31)
    >>> mail, office = build_postal_calendar(*span), build_federal_calendar(*span)
    >>> network = Network(
    ...     [
    ...         Task(id="mail", move=Act(calendar=mail)),
    ...         Task(id="post", move=Wait(calendar=mail, days=3), after=("mail",)),
    ...         Task(id="review", move=Wait(calendar=office, days=15), after=("post",)),
    ...     ]
    ... )
    >>> first_sprays = [date(2027, 5, 24), date(2027, 6, 1)]
    >>> found = schedule_many(
    ...     network,
    ...     today=date(2027, 1, 11).toordinal(),
    ...     limits={"review": np.array([day.toordinal() for day in first_sprays])},
    ... )
    >>> [date.fromordinal(day).isoformat() for day in found.latest("mail").tolist()]
    ['2027-04-29', '2027-05-06']
    >>> [date.fromordinal(day).isoformat() for day in found.earliest("review").tolist()]
    ['2027-02-05', '2027-02-05']
    """
    if today is None and limits is None:
        raise ValueError("give today for earliest days, limits for latest days, or both")
    columns = Columns(network)
    return _schedule(columns, _Asked.of(columns, today, limits, days, done_on))


def _schedule(columns: Columns, asked: "_Asked") -> ManyDays:
    early = late = Moved([], [])
    if asked.given.today is not None:
        early = _widen(columns.forward(asked.given), asked.given.rows)
        _check_range(columns, early.finishes, columns.tables.beyond)
    if asked.limits is not None:
        late = _widen(columns.backward(asked.limits, asked.given), asked.given.rows)
        _check_range(columns, late.starts, BEFORE)
    return ManyDays(
        order=columns.network.order,
        rows=asked.given.rows,
        base=columns.tables.base,
        early_starts=tuple(column for column in early.starts if column is not None),
        early_finishes=tuple(column for column in early.finishes if column is not None),
        late_starts=tuple(late.starts),
        late_finishes=tuple(late.finishes),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What was asked for, as numbers, by the place of the task."""

    given: Given
    limits: Mapping[int, Column] | None

    @classmethod
    def of(
        cls,
        columns: Columns,
        today: Days | None,
        limits: Mapping[str, Days] | None,
        days: Mapping[str, Days] | None,
        done_on: Mapping[str, Days] | None,
    ) -> "_Asked":
        network, tables = columns.network, columns.tables
        given = Given(
            rows=_count_rows([today, *_all(limits), *_all(days), *_all(done_on)]),
            today=None if today is None else tables.number(today, "today"),
            days={
                at: tables.count(value, f"the days of {network.order[at]!r}")
                for at, value in _places(network, days or {}, "days").items()
            },
            done={
                at: _number_done(columns, value, network.order[at])
                for at, value in _places(network, done_on or {}, "done days").items()
            },
        )
        limit_columns = {
            at: tables.number(value, f"the limit of {network.order[at]!r}")
            for at, value in _places(network, limits or {}, "a limit").items()
        }
        return cls(given=given, limits=None if limits is None else limit_columns)


def _all(values: Mapping[str, Days] | None) -> Iterable[Days]:
    return () if values is None else values.values()


def _count_rows(values: Iterable[Days | None]) -> int:
    lengths = {np.size(one) for one in values if one is not None and np.ndim(one)}
    if len(lengths) > 1:
        raise ValueError(f"the arrays have different lengths: {sorted(lengths)}")
    return lengths.pop() if lengths else 1


def _places(network: Network, values: Mapping[str, Days], what: str) -> dict[int, Days]:
    for name in values:
        if name not in network.index:
            raise ValueError(f"{what} named for the unknown task {name!r}")
    return {network.index[name]: value for name, value in values.items()}


def _number_done(columns: Columns, value: Days, name: str) -> Column:
    wide = np.atleast_1d(np.asarray(value, dtype=np.int64))
    kept = np.where(wide == 0, columns.tables.base + 1, wide)
    numbers = columns.tables.number(kept, f"the done day of {name!r}")
    return np.where(wide == 0, 0, numbers).astype(columns.tables.dtype)


def _widen(found: Moved, rows: int) -> Moved:
    """Give every column a number for each row."""
    starts, finishes = (
        [None if one is None else np.broadcast_to(one, rows) for one in columns]
        for columns in found
    )
    return Moved(starts, finishes)


def _check_range(columns: Columns, found: Sequence[Column | None], mark: int) -> None:
    network = columns.network
    is_late = mark == columns.tables.beyond
    side, edge = ("after", network.last) if is_late else ("before", network.first)
    # In the order of the pass, so that the task is named with which it began.
    for at in range(len(found)) if is_late else reversed(range(len(found))):
        column = found[at]
        if column is None or not column.size:
            continue
        if (column.max() if is_late else column.min()) == mark:
            row = int(np.argmax(column == mark))
            raise OutOfRangeError(
                f"in row {row} {network.order[at]!r} would fall {side} {describe_day(edge)}, "
                "where the calendars of this plan end"
            )
