"""The fewest trips by going through the days in order, for parts with many short windows.

What is still to be done matters, not on which days the rest was done; so ways that leave the same
to be done are one, and only the one with the fewest trips is followed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from compliance.engine.trips_search import DaySet, Part, find_apart

Floors: TypeAlias = tuple[tuple[int, int], ...]
State: TypeAlias = tuple[int, Floors]
"""A bit for each errand still to be done, and places of the days before which some cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swept:
    """What a sweep found: the fewest days, None when there are not fewer than asked for.

    ``is_whole`` tells that every way was looked at; else ``days`` is None and says nothing.
    """

    days: DaySet | None
    is_whole: bool


class Sweep:
    """A sweep over the days of a part that looks at no more than so many ways."""

    def __init__(self, part: Part, most_looks: int) -> None:
        self.part = part
        self.left = most_looks
        size = len(part.opens)
        self.before = [sum({1 << one for one, _ in links}) for links in part.links]
        self.behind: list[list[tuple[int, tuple[int, ...]]]] = [[] for _ in range(size)]
        for number, links in enumerate(part.links):
            for one, reach in links:
                self.behind[one].append((number, reach))
        self.due = [0] * len(part.days)
        for number, opens in enumerate(part.opens):
            self.due[opens.bit_length() - 1] |= 1 << number
        self.apart = find_apart(part)
        self.urgent = sorted(range(size), key=lambda one: part.opens[one].bit_length())
        self.counted: dict[int, int] = {}

    def find_fewer(self, count: int) -> Swept:
        """Find the fewest days that will do, when they are fewer than *count*.

        Exact: on a day that is chosen everything is done that can be, for later never helps.
        """
        best: DaySet | None = None
        ways: dict[State, tuple[int, DaySet]] = {((1 << len(self.part.opens)) - 1, ()): (0, 0)}
        for day in range(len(self.part.days)):
            following: dict[State, tuple[int, DaySet]] = {}
            for state, (trips, chosen) in ways.items():
                self.left -= 1
                if self.left < 0:
                    return Swept(days=None, is_whole=False)
                for after, trip in self._go_on(state, day):
                    taken, days = trips + trip, chosen | trip << day
                    if taken + self._count_apart(after[0]) >= count:
                        continue
                    if not after[0]:
                        best, count = days, taken
                    elif after not in following or taken < following[after][0]:
                        following[after] = (taken, days)
            ways = following
        return Swept(days=best, is_whole=True)

    def _go_on(self, state: State, day: int) -> Iterator[tuple[State, int]]:
        """Give what is left after a day at home and after a trip on it, with 0 or 1 trips."""
        to_do, floors = state
        if not to_do & self.due[day]:
            yield (to_do, tuple(one for one in floors if one[1] > day + 1)), 0
        after = self._do_all(to_do, dict(floors), day)
        if after[0] != to_do and not after[0] & self.due[day]:
            yield after, 1

    def _do_all(self, to_do: int, floors: dict[int, int], day: int) -> State:
        """Do on a day everything that can be done, in the order in which errands wait."""
        for number, opens in enumerate(self.part.opens):
            if (
                to_do >> number & 1
                and opens >> day & 1
                and not self.before[number] & to_do
                and floors.get(number, 0) <= day
            ):
                to_do ^= 1 << number
                for behind, reach in self.behind[number]:
                    floors[behind] = max(floors.get(behind, 0), reach[day])
        kept = ((one, at) for one, at in floors.items() if at > day + 1 and to_do >> one & 1)
        return to_do, tuple(sorted(kept))

    def _count_apart(self, to_do: int) -> int:
        """Count errands to be done no two of which can share a day: each needs its own."""
        known = self.counted.get(to_do)
        if known is not None:
            return known
        picked = count = 0
        for number in self.urgent:
            if to_do >> number & 1 and not picked & ~self.apart[number]:
                picked |= 1 << number
                count += 1
        self.counted[to_do] = count
        return count
