"""The sweep over the days against enumeration, an integer program and the search."""

import random
from collections.abc import Iterator
from dataclasses import replace

from compliance.engine.trips import (
    Errand,
    Impossible,
    compute_fewest_trips,
    order_errands,
    pack_errands,
)
from compliance.engine.trips_search import Part, assign
from compliance.engine.trips_sweep import Sweep
from tests.engine.test_trips import (
    check_valid,
    count_by_integer_program,
    count_by_trying,
    errand,
    make_cases,
)

PLENTY = 1_000_000


def pack(errands: tuple[Errand, ...]) -> Part:
    """Pack errands with the days within their windows and nothing else taken off."""
    return pack_errands(
        [
            replace(one, days=tuple(day for day in one.days if one.first <= day <= one.last))
            for one in order_errands(errands)
        ]
    )


def make_large_cases(seed: int, count: int, width: tuple[int, int]) -> Iterator[tuple[Errand, ...]]:
    """Make cases of 26 to 36 errands over a hundred days, some open on few days, some linked."""
    random_of = random.Random(seed)  # noqa: S311 - made-up cases, no secret
    for _ in range(count):
        size = random_of.randint(26, 36)
        horizon = 3 * size
        places = [
            [day for day in range(horizon) if random_of.random() < share]
            for share in (0.85, 0.5, 0.3)
        ]
        made: list[Errand] = []
        for number in range(size):
            near = [one for one in made[-3:] if random_of.random() < 0.3]
            after = [(one.id, random_of.choice((0, 2, 5))) for one in near]
            least = max((one.first + 3 for one in near), default=random_of.randint(0, horizon - 12))
            first = min(least, horizon - 8)
            last = min(horizon - 1, first + random_of.randint(*width))
            made.append(errand(f"e{number}", first, last, *after, days=random_of.choice(places)))
        yield tuple(made)


def test_sweep_equals_trying_every_set_of_days() -> None:
    """Source: enumeration over all sets of days and all ways to spread errands over them."""
    solved = 0
    for errands in make_cases(seed=8, count=1_200):
        expected = count_by_trying(errands)
        if expected is None:
            continue
        part = pack(errands)
        swept = Sweep(part, PLENTY).find_fewer(len(errands) + 1)
        assert swept.is_whole
        assert swept.days is not None
        assert swept.days.bit_count() == expected
        assert assign(part, swept.days)[2] == -1
        solved += 1

    assert solved > 400


def test_sweep_tells_when_fewer_are_not_to_be_had() -> None:
    """Asked for fewer than the fewest it finds none, and has looked at every way."""
    for errands in make_cases(seed=9, count=200):
        expected = count_by_trying(errands)
        if expected is not None:
            swept = Sweep(pack(errands), PLENTY).find_fewer(expected)
            assert (swept.days, swept.is_whole) == (None, True)


def test_sweep_that_gives_up_claims_nothing() -> None:
    """One look is not enough for anything with two days."""
    part = pack((errand("a", 1, 4), errand("b", 6, 9)))
    swept = Sweep(part, 1).find_fewer(3)

    assert (swept.days, swept.is_whole) == (None, False)


def test_many_errands_are_proved_and_equal_an_integer_program() -> None:
    """More than 25 errands; source: scipy's mixed-integer solver (HiGHS)."""
    solved = 0
    for errands in make_large_cases(seed=21, count=14, width=(8, 20)):
        found = compute_fewest_trips(errands)
        if isinstance(found, Impossible):
            continue
        check_valid(errands, found)
        assert (len(found.days), found.proved) == (count_by_integer_program(errands), True)
        solved += 1

    assert solved >= 4


def test_long_windows_are_proved_too() -> None:
    """Windows of one to two months: the sweep settles what the search gave up."""
    solved = 0
    for errands in make_large_cases(seed=5, count=6, width=(30, 60)):
        found = compute_fewest_trips(errands)
        if isinstance(found, Impossible):
            continue
        check_valid(errands, found)
        assert found.proved
        solved += 1

    assert solved >= 3
