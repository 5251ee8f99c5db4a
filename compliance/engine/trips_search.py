"""The search behind the fewest trips: sets of days as bits, tried with more and more days."""

from dataclasses import dataclass
from typing import TypeAlias

DaySet: TypeAlias = int
"""A bit for each chosen day of a part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Errands packed for the search, each after those it waits for.

    ``opens`` has, for each errand, a bit for each of ``days`` on which it can be done within its
    window; ``links`` the place of an earlier errand and, by the place of its day in ``days``, the
    place of the first day that is far enough behind it.
    """

    ids: tuple[str, ...]
    days: tuple[int, ...]
    opens: tuple[int, ...]
    links: tuple[tuple[tuple[int, tuple[int, ...]], ...], ...]


def assign(part: Part, chosen: DaySet) -> tuple[list[int], list[int], int]:
    """Give each errand the first chosen day it can have: places of days, floors, who fails.

    Later never helps, so this is exact. The errand that fails is named by its place, -1 for none;
    those behind it are not looked at.
    """
    at: list[int] = []
    floors: list[int] = []
    for number, opens in enumerate(part.opens):
        floor = 0
        for before, reach in part.links[number]:
            floor = max(floor, reach[at[before]])
        floors.append(floor)
        fitting = (opens & chosen) >> floor
        if not fitting:
            return at, floors, number
        at.append(floor + (fitting & -fitting).bit_length() - 1)
    return at, floors, -1


def find_apart(part: Part) -> tuple[int, ...]:
    """Give, for each errand, a bit for each other one that can never be on the same day.

    Two errands are apart when no day is open for both, or when one comes so far behind the other,
    or behind something in between, that it is always on a later day.
    """
    size = len(part.opens)
    apart = [0] * size
    behind: list[dict[int, bool]] = []  # earlier errands, and whether always on an earlier day
    for number, opens in enumerate(part.opens):
        own: dict[int, bool] = {}
        for before, reach in part.links[number]:
            both = opens & part.opens[before]
            strict = all(reach[at] > at for at in range(len(part.days)) if both >> at & 1)
            own[before] = own.get(before, False) or strict
            for earlier, was_strict in behind[before].items():
                own[earlier] = own.get(earlier, False) or was_strict or strict
        behind.append(own)
        for other in range(number):
            if not opens & part.opens[other] or own.get(other, False):
                apart[number] |= 1 << other
                apart[other] |= 1 << number
    return tuple(apart)


class Search:
    """Look for a set of at most so many days, remembering what has failed."""

    def __init__(self, part: Part, most_looks: int) -> None:
        self.part = part
        self.left = most_looks
        self.failed: dict[DaySet, int] = {}
        lasts = [opens.bit_length() for opens in part.opens]
        self.urgent = sorted(range(len(lasts)), key=lambda number: lasts[number])
        self.apart = find_apart(part)

    def find(self, count: int) -> DaySet | None:
        """Find a set of at most *count* days, or None; `left` is negative when it gave up."""
        return self._deepen(0, count)

    def count_apart(self, chosen: DaySet = 0) -> int:
        """Count errands without a chosen day no two of which can share one: each needs its own."""
        picked = count = 0
        for number in self.urgent:
            if not self.part.opens[number] & chosen and not picked & ~self.apart[number]:
                picked |= 1 << number
                count += 1
        return count

    def _deepen(self, chosen: DaySet, budget: int) -> DaySet | None:
        if self.failed.get(chosen, -1) >= budget:
            return None
        self.left -= 1
        if self.left < 0:
            return None
        unhit = next((one for one in self.urgent if not self.part.opens[one] & chosen), None)
        if unhit is None:
            at, floors, failing = assign(self.part, chosen)
            if failing < 0:
                return chosen
            tries = self._find_tries(at, floors, failing) & ~chosen
        else:
            tries = self.part.opens[unhit]
        if self.count_apart(chosen) <= budget and budget > 0:
            while tries:
                day = 1 << (tries.bit_length() - 1)  # later days first
                found = self._deepen(chosen | day, budget - 1)
                if found is not None or self.left < 0:
                    return found
                tries ^= day
        self.failed[chosen] = max(budget, self.failed.get(chosen, -1))
        return None

    def _find_tries(self, at: list[int], floors: list[int], failing: int) -> DaySet:
        """Give the days one of which every bigger answer has: of the errand or what is before it.

        A new day helps an earlier errand only before the day it has now, and not before its floor,
        because of all errands that would move the first one has the same floor as now.
        """
        tries = self.part.opens[failing]
        waiting, seen = [failing], {failing}
        while waiting:
            for before, _ in self.part.links[waiting.pop()]:
                if before in seen:
                    continue
                seen.add(before)
                waiting.append(before)
                earlier = (1 << at[before]) - 1
                tries |= self.part.opens[before] & earlier & ~((1 << floors[before]) - 1)
        return tries


def find_quickly(part: Part) -> DaySet:
    """Find a good set of days without a search: every first day, less what is not needed.

    Days are dropped from the earliest on, so that what stays serves the most errands.
    """
    every = 0
    for opens in part.opens:
        every |= opens & -opens
    stabs = 0
    for opens in sorted(part.opens, key=int.bit_length):
        if not opens & stabs:
            stabs |= 1 << (opens.bit_length() - 1)
    chosen = every | stabs
    for day in range(len(part.days)):
        less = chosen & ~(1 << day)
        if less != chosen and assign(part, less)[2] < 0:
            chosen = less
    return chosen
