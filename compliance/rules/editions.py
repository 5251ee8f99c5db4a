"""Editions of one row: which is in force on a day, and the days on which none is."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import TypeVar

from compliance.rules.model import Row

AnyRow = TypeVar("AnyRow", bound=Row)
_DAY = timedelta(days=1)


def is_partial(row: Row, opens: date | None, ends: date | None) -> bool:
    """Tell whether a row begins after its paper's row, or ends before it."""
    late = row.applies_from is not None and (opens is None or row.applies_from > opens)
    early = row.applies_until is not None and (ends is None or row.applies_until < ends)
    return late or early


def find_on(rows: Iterable[AnyRow], day: date) -> AnyRow | None:
    """Find the edition in force on a day."""
    return next((row for row in rows if row.in_force_on(day)), None)


def nearest(rows: Sequence[AnyRow], day: date) -> AnyRow:
    """Give the edition in force on a day, else the one whose days in force are nearest."""
    return min(rows, key=lambda row: _distance(row, day))


def _distance(row: Row, day: date) -> int:
    if row.applies_from is not None and day < row.applies_from:
        return (row.applies_from - day).days
    if row.applies_until is not None and day > row.applies_until:
        return (day - row.applies_until).days
    return 0


def find_hole(rows: Sequence[Row], day: date) -> tuple[date, date] | None:
    """Find the days between two editions, none of which is in force, around a day.

    Shape: first and last day of the hole, both inclusive; None when an edition is in force, or the
    day is before the first or after the last of them.
    """
    if any(row.in_force_on(day) for row in rows):
        return None
    before = [row.applies_until for row in rows if row.applies_until and row.applies_until < day]
    after = [row.applies_from for row in rows if row.applies_from and row.applies_from > day]
    return (max(before) + _DAY, min(after) - _DAY) if before and after else None


def list_holes(rows: Sequence[Row]) -> tuple[tuple[date, date], ...]:
    """List the days between editions of one row on which none is in force, both inclusive."""
    ends = sorted({row.applies_until for row in rows if row.applies_until is not None})
    found = (find_hole(rows, end + _DAY) for end in ends if end < date.max)
    return tuple(hole for hole in found if hole is not None)


def touches(row: Row, first: date, last: date) -> bool:
    """Tell whether a row is in force on some day from *first* to *last*, both inclusive."""
    begins = row.applies_from is None or row.applies_from <= last
    return begins and (row.applies_until is None or row.applies_until >= first)
