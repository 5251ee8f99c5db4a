"""What the checks of the rules table share: problems at rows, periods in force, conditions."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from graphlib import CycleError, TopologicalSorter
from itertools import product

from compliance.base.problems import Problem, SourceRef
from compliance.facts.catalog import FACTS, FactType
from compliance.facts.conditions import AnyOf, Condition, Test
from compliance.rules.model import Row, StepRow, StepUse
from compliance.rules.parse_parts import FAMILY

Alternative = tuple[Test, ...]


def problem_at(place: SourceRef, number: str, sentence: str, hint: str) -> Problem:
    """Make a problem of the rules family."""
    return Problem(place=place, code=f"{FAMILY}{number}", sentence=sentence, hint=hint)


def say_place(place: SourceRef) -> str:
    """Name the file and line of another row."""
    return f"{place.file}:{place.line}"


def can_share_days(one: Row, other: Row) -> bool:
    """Tell whether some day lies in the days in force of both rows; both ends inclusive."""
    starts = max(one.applies_from or date.min, other.applies_from or date.min)
    return starts <= min(one.applies_until or date.max, other.applies_until or date.max)


def can_share_packet(one: StepRow, other: StepRow) -> bool:
    """Tell whether two steps of a paper can stand in the same first mailing.

    Steps that belong only to a packet sent back are in no first mailing.
    """
    uses = {one.use, other.use}
    if StepUse.AFTER_RETURN in uses or uses == {StepUse.FIRST, StepUse.RENEWAL}:
        return False
    return can_share_days(one, other)


def find_alternatives(condition: Condition) -> tuple[Alternative, ...]:
    """Write a condition as sets of tests, of which one whole set must hold.

    Shape: an always-true condition gives one empty set; an ``any`` of nothing gives no set.
    """
    if isinstance(condition, Test):
        return ((condition,),)
    below = [find_alternatives(part) for part in condition.parts]
    if isinstance(condition, AnyOf):
        return tuple(alternative for group in below for alternative in group)
    return tuple(tuple(test for part in parts for test in part) for parts in product(*below))


def can_hold(alternative: Alternative) -> bool:
    """Tell whether the tests of one set leave every fact a value; facts are taken one by one."""
    return all(
        _leaves_value(name, [test for test in alternative if test.fact == name])
        for name in {test.fact for test in alternative}
    )


def _leaves_value(name: str, tests: list[Test]) -> bool:
    fact = FACTS[name]
    if fact.type is FactType.NUMBER:
        lows, highs = _bounds(tests, "at least"), _bounds(tests, "under")
        return not lows or not highs or max(lows) < min(highs)
    values = (True, False) if fact.type is FactType.FLAG else fact.choices
    return any(
        all((value in test.values) == (test.comparison == "is") for test in tests)
        for value in values
    )


def _bounds(tests: list[Test], comparison: str) -> list[Decimal]:
    return [
        value
        for test in tests
        if test.comparison == comparison
        for value in test.values
        if isinstance(value, Decimal)
    ]


def find_circles(waits_for: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Give the circles of a graph of names, each as the names in order, the first one repeated.

    Shape: circles share no name; each begins with its name that stands first in the mapping.
    """
    order = {name: number for number, name in enumerate(waits_for)}
    left = dict(waits_for)
    while True:
        try:
            TopologicalSorter(left).prepare()
        except CycleError as error:
            # graphlib lists the one waited for first; people read it the other way round.
            ring: list[str] = error.args[1][:0:-1]
            start = min(range(len(ring)), key=lambda number: order[ring[number]])
            yield (*ring[start:], *ring[: start + 1])
            left = {name: names for name, names in left.items() if name not in ring}
        else:
            return
