"""Aircraft that two jobs want on the same days, as a moved season may bring about."""

from collections.abc import Iterator
from datetime import date
from itertools import combinations

from compliance.base.dates import say_date
from compliance.facts.model import Operation


def list_new_double_use(before: Operation, after: Operation, as_of: date) -> tuple[str, ...]:
    """Say which aircraft are in two jobs at once after a change and were not before it.

    Shape: one sentence for each pair of jobs, in file order; days both inclusive. What is over
    before *as_of* is left out. That an aircraft flies for one job at a time is common practice, no
    source; two jobs may share their days by turns, so it is said and not refused.
    """
    known = {
        (one, two, name) for one, two, names, _ in _find_pairs(before, as_of) for name in names
    }
    found = []
    for one, two, names, days in _find_pairs(after, as_of):
        new = [name for name in names if (one, two, name) not in known]
        if new:
            both = f"{one} and {two} then both have {' and '.join(new)} {days}"
            found.append(f"{both}; move the other job too, or take turns")
    return tuple(found)


def _find_pairs(
    operation: Operation, as_of: date
) -> Iterator[tuple[str, str, tuple[str, ...], str]]:
    """Give each two jobs with days and aircraft in common: their ids, aircraft and days."""
    for one, two in combinations(operation.jobs, 2):
        first = max(one.first_day, two.first_day, as_of)
        last = min(one.last_day, two.last_day)
        shared = tuple(name for name in one.aircraft if name in two.aircraft)
        if first <= last and shared:
            yield one.id, two.id, shared, f"from {say_date(first)} through {say_date(last)}"
