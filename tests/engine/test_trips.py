"""The search for the fewest trips against enumeration, and cases a greedy way gets wrong."""

import random
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from compliance.base.calendars import build_calendar
from compliance.engine.moves import CycleFoundError, Wait
from compliance.engine.trips import (
    Errand,
    Fewest,
    Impossible,
    Link,
    compute_fewest_trips,
    compute_first_days,
    order_errands,
)

HORIZON = 14


def errand(
    name: str, first: int, last: int, *after: tuple[str, int], days: Iterable[int] = range(60)
) -> Errand:
    links = tuple(Link(before=before, gap_days=gap) for before, gap in after)
    return Errand(id=name, first=first, last=last, days=tuple(days), after=links)


def solve(*errands: Errand) -> Fewest:
    found = compute_fewest_trips(errands)
    assert isinstance(found, Fewest)
    return found


def fits(errands: tuple[Errand, ...], chosen: tuple[int, ...], on: Mapping[str, int]) -> bool:
    """Tell by trying all days, not by a rule, whether the chosen days serve all errands."""
    if len(on) == len(errands):
        return True
    one = errands[len(on)]
    return any(
        fits(errands, chosen, {**on, one.id: day})
        for day in chosen
        if one.first <= day <= one.last
        and day in one.days
        and all(link.forward(on[link.before]) <= day for link in one.after)
    )


def count_by_trying(errands: tuple[Errand, ...]) -> int | None:
    """Give the size of the smallest set of days that serves all errands, by trying every set."""
    days = sorted({day for one in errands for day in one.days})
    if not fits(errands, tuple(days), {}):
        return None
    return next(
        count
        for count in range(1, len(errands) + 1)
        for chosen in combinations(days, count)
        if fits(errands, chosen, {})
    )


def make_cases(seed: int, count: int) -> Iterator[tuple[Errand, ...]]:
    """Make small cases: windows, closed days, days nobody can go, order with and without gaps."""
    random_of = random.Random(seed)  # noqa: S311 - made-up cases, no secret
    for _ in range(count):
        blocked = {day for day in range(HORIZON) if random_of.random() < 0.2}
        places = [
            tuple(
                day for day in range(HORIZON) if day not in blocked and random_of.random() < share
            )
            for share in (1.0, 0.8, 0.5)
        ]
        made: list[Errand] = []
        for number in range(random_of.randint(2, 6)):
            first = random_of.randint(0, HORIZON - 2)
            after = tuple(
                (one.id, random_of.choice((0, 0, 1, 2, 4)))
                for one in made
                if random_of.random() < 0.25
            )
            last = min(HORIZON - 1, first + random_of.randint(0, 9))
            made.append(errand(f"e{number}", first, last, *after, days=random_of.choice(places)))
        yield tuple(made)


def check_valid(errands: tuple[Errand, ...], found: Fewest) -> None:
    """Check that an answer keeps every rule, and that its days are those of its errands."""
    for one in errands:
        day = found.on[one.id]
        assert one.first <= day <= one.last
        assert day in one.days
        assert all(link.forward(found.on[link.before]) <= day for link in one.after)
    assert found.days == tuple(sorted(set(found.on.values())))


def test_fewest_equals_trying_every_set_of_days() -> None:
    """Source: enumeration over all sets of days and all ways to spread errands over them."""
    possible = 0
    for errands in make_cases(seed=20261125, count=3_200):
        expected, found = count_by_trying(errands), compute_fewest_trips(errands)
        if isinstance(found, Impossible):
            assert expected is None
            continue
        possible += 1
        check_valid(errands, found)
        assert (len(found.days), found.proved) == (expected, True)

    assert possible > 1_000


def count_by_integer_program(errands: tuple[Errand, ...]) -> int | None:
    """Give the fewest days by an integer program, a way that shares nothing with the search.

    One variable for each day, one for each errand on each of its days; a day is used when an errand
    is on it, and the days of two linked errands are at least the gap apart.
    """
    days = sorted({day for one in errands for day in one.days})
    place = {day: at for at, day in enumerate(days)}
    pairs = [
        (at, day)
        for at, one in enumerate(errands)
        for day in one.days
        if one.first <= day <= one.last
    ]
    column = {pair: len(days) + at for at, pair in enumerate(pairs)}
    width = len(days) + len(pairs)
    rows: list[list[float]] = []
    low: list[float] = []
    high: list[float] = []

    def add(entries: Mapping[int, float], least: float, most: float) -> None:
        rows.append([entries.get(at, 0.0) for at in range(width)])
        low.append(least)
        high.append(most)

    for at, one in enumerate(errands):
        add({column[pair]: 1.0 for pair in pairs if pair[0] == at}, 1, 1)
        for link in one.after:
            before = next(no for no, other in enumerate(errands) if other.id == link.before)
            own = {column[pair]: float(pair[1]) for pair in pairs if pair[0] == at}
            own |= {column[pair]: -float(pair[1]) for pair in pairs if pair[0] == before}
            add(own, link.gap_days, np.inf)
    for pair in pairs:
        add({column[pair]: 1.0, place[pair[1]]: -1.0}, -np.inf, 0)
    cost = np.array([1.0] * len(days) + [0.0] * len(pairs))
    limits = LinearConstraint(np.array(rows), np.array(low), np.array(high))
    answer = milp(cost, constraints=limits, integrality=np.ones(width), bounds=Bounds(0, 1))
    return round(answer.fun) if answer.success else None


def test_larger_cases_equal_an_integer_program() -> None:
    """Ten to sixteen errands over fifty days; source: scipy's mixed-integer solver (HiGHS)."""
    random_of = random.Random(7)  # noqa: S311 - made-up cases, no secret
    solved = 0
    for _ in range(20):
        made: list[Errand] = []
        for number in range(random_of.randint(10, 16)):
            near = [one for one in made[-3:] if random_of.random() < 0.3]
            after = [(one.id, random_of.choice((0, 2, 5))) for one in near]
            least = max((one.first + 3 for one in near), default=random_of.randint(0, 38))
            first = min(least, 42)
            days = [day for day in range(50) if random_of.random() < 0.7]
            last = min(49, first + random_of.randint(8, 20))
            made.append(errand(f"e{number}", first, last, *after, days=days))
        errands = tuple(made)
        found, expected = compute_fewest_trips(errands), count_by_integer_program(errands)
        if isinstance(found, Impossible):
            assert expected is None
            continue
        check_valid(errands, found)
        assert (len(found.days), found.proved) == (expected, True)
        solved += 1

    assert solved > 10


def test_gap_counter_example_of_the_greedy_way() -> None:
    """Stabbing at last days gives {4, 6}, two days apart where three are needed; {3, 6} works."""
    found = solve(
        errand("i", 1, 4), errand("j", 4, 7, ("i", 3)), errand("m", 3, 4), errand("n", 6, 6)
    )

    assert (found.days, found.proved) == ((3, 6), True)


def test_own_open_days_counter_example_of_the_greedy_way() -> None:
    """The last open day of the most urgent errand serves it alone; an earlier one serves all."""
    found = solve(
        errand("a", 1, 5, days=(2, 5)), errand("b", 1, 9, days=(2, 6)), errand("c", 1, 9, days=(2,))
    )

    assert (found.days, found.on) == ((2,), {"a": 2, "b": 2, "c": 2})


def test_same_trip_is_allowed_without_a_gap() -> None:
    found = solve(errand("notary", 3, 9), errand("mail", 3, 9, ("notary", 0)))

    assert (len(found.days), found.on["notary"] == found.on["mail"]) == (1, True)


def test_safest_of_the_fewest_goes_early() -> None:
    """One trip on any of days 4 to 9 would do; the first leaves the most room."""
    found = solve(errand("a", 1, 9), errand("b", 4, 20))

    assert (found.days, found.room) == ((4,), 5)


def test_safest_does_not_cost_a_trip() -> None:
    """Room for `a` would be largest on day 1, but then `b` needs a trip of its own."""
    found = solve(errand("a", 1, 6), errand("b", 5, 30))

    assert (found.days, found.room) == ((5,), 1)


def test_errand_on_its_first_day_has_no_say_in_the_room() -> None:
    found = solve(errand("a", 3, 3), errand("b", 1, 9))

    assert (found.days, found.room) == ((3,), 6)


def test_errand_with_room_enough_waits_for_its_day() -> None:
    """Seven days before a last day that is safe already are enough; earlier gains nothing."""
    found = solve(replace(errand("a", 1, 30), enough=7))

    assert (found.days, found.room) == ((23,), 7)


def test_errand_without_room_pulls_the_trip_it_is_on_forward() -> None:
    """`b` has no say in the day of `c`, which stays where it has room enough."""
    found = solve(
        replace(errand("a", 1, 20), enough=7),
        errand("b", 2, 25),
        replace(errand("c", 30, 59), enough=7),
    )

    assert found.days == (2, 52)


def test_errand_to_go_soon_is_early_and_keeps_no_room() -> None:
    """`a` shares the first day of `b`, with no say in the room; alone it goes on its own."""
    soon = replace(errand("a", 1, 8), soon=True)

    shared, alone = solve(soon, errand("b", 7, 30)), solve(soon, errand("b", 9, 30))

    assert (shared.days, shared.room) == ((7,), None)
    assert alone.days == (1, 9)


def test_impossible_names_the_errand_whose_days_are_all_closed() -> None:
    assert compute_fewest_trips([errand("a", 1, 3), errand("b", 4, 5, days=(1, 2, 6))]) == (
        Impossible(errand="b")
    )


def test_impossible_names_the_errand_that_comes_too_late() -> None:
    """`a` has days of its own, but none that leaves `b` its two days between."""
    found = compute_fewest_trips([errand("b", 1, 4, ("a", 2)), errand("a", 3, 9)])

    assert found == Impossible(errand="b")


def test_window_that_closes_before_it_opens_is_impossible() -> None:
    assert compute_fewest_trips([errand("a", 5, 4)]) == Impossible(errand="a")


def test_nothing_to_do_needs_no_trip() -> None:
    assert solve() == Fewest(days=(), on={}, first={}, last={}, proved=True, room=None)


def test_last_day_counts_what_waits_for_it() -> None:
    found = solve(errand("a", 1, 30), errand("b", 1, 12, ("a", 4)))

    assert (found.first, found.last) == ({"a": 1, "b": 5}, {"a": 8, "b": 12})


def test_link_counts_office_days_between() -> None:
    """From Friday 8 January 2027 two weekdays lead to Tuesday 12 January."""
    weekdays = frozenset(range(5))
    office = build_calendar("own", date(2027, 1, 1), date(2027, 2, 1), weekdays=weekdays)
    link = Link(before="a", moves=(Wait(calendar=office, days=2),))

    friday = date(2027, 1, 8).toordinal()

    assert date.fromordinal(link.forward(friday)) == date(2027, 1, 12)


def test_link_refuses_a_negative_gap() -> None:
    with pytest.raises(ValueError, match="a gap cannot be shorter than 0 days, got -1"):
        Link(before="a", gap_days=-1)


def test_order_puts_errands_behind_what_they_wait_for() -> None:
    found = order_errands([errand("b", 1, 2, ("a", 0), ("gone", 0)), errand("a", 1, 2)])

    assert [one.id for one in found] == ["a", "b"]
    assert [link.before for link in found[1].after] == ["a"]


def test_order_refuses_a_ring() -> None:
    ring = [errand("a", 1, 2, ("b", 0)), errand("b", 1, 2, ("a", 0))]

    with pytest.raises(CycleFoundError, match="these steps wait for one another: a -> b"):
        order_errands(ring)


def test_first_days_are_none_behind_an_errand_without_a_day() -> None:
    found = compute_first_days([errand("b", 1, 9, ("a", 0)), errand("a", 70, 80)])

    assert found == {"a": None, "b": None}


def test_parts_far_apart_are_solved_apart() -> None:
    """Sixty errands in six clusters are proved, though a search over all at once would not end."""
    made = [
        errand(
            f"e{cluster}-{number}", cluster * 100 + number, cluster * 100 + number + 6, days=days
        )
        for cluster in range(6)
        for number in range(10)
        for days in [range(cluster * 100, cluster * 100 + 30)]
    ]

    found = compute_fewest_trips(made)

    assert isinstance(found, Fewest)
    assert (len(found.days), found.proved) == (12, True)


def test_wait_across_a_gap_in_time_keeps_the_parts_together() -> None:
    """`b` begins after `a` must end, yet a late `a` would move `b` off the day it shares with c."""
    found = solve(
        errand("a", 1, 4), errand("b", 5, 9, ("a", 4)), errand("c", 5, 6), errand("d", 4, 4)
    )

    # All of d, c and b lie apart or are moved apart: with a on day 4, b waits until day 8.
    assert len(found.days) == count_by_trying(
        (errand("a", 1, 4), errand("b", 5, 9, ("a", 4)), errand("c", 5, 6), errand("d", 4, 4))
    )


def test_search_that_gives_up_still_gives_a_valid_answer() -> None:
    """Hardly any work allowed: the quick way answers, and claims no proof it does not have."""
    unproved = 0
    for errands in make_cases(seed=11, count=300):
        found = compute_fewest_trips(errands, most_looks=1)
        if isinstance(found, Impossible):
            continue
        check_valid(errands, found)
        least = count_by_trying(errands)
        assert least is not None
        assert len(found.days) == least if found.proved else len(found.days) >= least
        unproved += not found.proved

    assert unproved > 3


def test_more_room_never_needs_more_trips() -> None:
    """A later last day can only help: the number of trips does not grow."""
    for errands in make_cases(seed=5, count=200):
        found = compute_fewest_trips(errands)
        if isinstance(found, Impossible):
            continue
        wider = compute_fewest_trips([replace(one, last=one.last + 2) for one in errands])
        assert isinstance(wider, Fewest)
        assert len(wider.days) <= len(found.days)
