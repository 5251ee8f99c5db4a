"""Which edition of a wait counts: that of the day it begins, or the longer one met on the way.

A filing is judged by what is in force when it comes in, which is the day its wait begins. An office
takes the time of the season in which it works: when another edition comes into force before the
wait would be over, both can be said, and the longer time is the safe one to plan with.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from compliance.engine.edition_choice import Option
from compliance.engine.edition_days import Link
from compliance.engine.moves import Move
from compliance.engine.packets import Packet
from compliance.rules.editions import find_hole, touches


def is_in_force(option: Option, packet: Packet, first: int, last: int) -> bool:
    """Tell whether an edition is in force on some day from *first* to *last*, both inclusive."""
    begin, end = date.fromordinal(first), date.fromordinal(last)
    editions, row = packet.editions, option.row
    fits = row is not None
    if row is not None and editions is not None:
        fits = touches(row, editions.within(begin), editions.within(end))
    return fits and (option.service is None or touches(option.service, begin, end))


@dataclass(frozen=True, slots=True)
class Season:
    """The editions of one wait with how each counts; days are ordinals."""

    packet: Packet
    moves: tuple[tuple[Option, Move], ...]

    @classmethod
    def of(cls, packet: Packet, links: Sequence[tuple[Option, Link]]) -> "Season":
        """Take the editions of a wait."""
        return cls(packet, tuple((option, link.move) for option, link in links))

    def find(self, begin: int) -> tuple[tuple[Option, Move] | None, bool]:
        """Find the edition of a wait that begins on a day, and whether it could be another.

        Shape: None when it is not asked for then.
        """
        chosen = self._at(begin, begin)
        if not chosen:
            return None, False
        met = len(chosen)
        while True:
            longest = max(chosen, key=lambda one: one[1].forward(begin))
            wider = self._at(begin, longest[1].forward(begin))
            if len(wider) == len(chosen):
                ends = {one[1].forward(begin) for one in chosen}
                return longest, len(chosen) > met and len(ends) > 1
            chosen = wider

    def _at(self, first: int, last: int) -> list[tuple[Option, Move]]:
        return [one for one in self.moves if is_in_force(one[0], self.packet, first, last)]

    def pick(self, begin: int) -> tuple[Option, bool] | None:
        """Pick the edition of a wait that begins on a day; None when it is not asked for then."""
        found, is_open = self.find(begin)
        return None if found is None else (found[0], is_open)

    def pick_last(self, bound: int) -> tuple[Option, bool] | None:
        """Pick the edition of a wait that must be over by a day, begun as late as can be.

        Begun on any day up to the one so found it is over in time: an edition that grows shorter
        does not make a day good when an earlier one is bad. ``not_after`` of the option holds the
        wait to that day where the edition alone would leave it longer. None when none is asked for.
        """
        starts = [move.backward(bound) for _, move in self.moves]
        day = min(starts)
        end = max(*starts, bound)
        if self._is_hole(day):
            return None
        while day < end and self._is_over(day + 1, bound):
            day += 1
        found, is_open = self.find(day)
        if found is None:
            if day == bound:
                return None
            # Asked for from the next day on, when it would be over too late: be done with it.
            return min(self.moves, key=lambda one: one[1].backward(bound))[0], True
        option, move = found
        if move.backward(bound) == day:
            return option, is_open
        return replace(option, not_after=move.forward(day)), True

    def _is_over(self, begin: int, bound: int) -> bool:
        found, _ = self.find(begin)
        if found is None:
            return begin <= bound and not self._is_hole(begin)
        return found[1].forward(begin) <= bound

    def _is_hole(self, day: int) -> bool:
        rows = [option.row for option, _ in self.moves if option.row is not None]
        editions, at = self.packet.editions, date.fromordinal(day)
        return editions is not None and find_hole(rows, editions.within(at)) is not None
