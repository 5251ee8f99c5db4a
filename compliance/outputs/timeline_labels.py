"""Where the words of marks go, so that none covers another and none leaves the picture."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from compliance.outputs.timeline_ink import measure

GAP = 3.0
"""Room between two words side by side, in points."""
ROOMY = (-1, 1)
TIGHT = (0, -1, 1)
MOST_LANES = 400
_HAIR = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Words with their place: the lane counts from 0 on the line itself, negative above it.

    ``x`` is the left end, ``at`` the place of the mark; a lane other than the nearest three needs
    a thin line from the mark to the words.
    """

    text: str
    lane: int
    x: float
    at: float
    width: float

    @property
    def needs_line(self) -> bool:
        """Tell whether it stands too far from its mark to be read with it."""
        return abs(self.lane) > 1


@dataclass(slots=True)
class Lanes:
    """The room around one line between two sides, in points, as it fills up.

    ``near`` are the lanes tried first, in that order; farther ones follow by turns, above only when
    ``near`` has no lane below. Marks on the line itself are kept free with `take`.
    """

    left: float
    right: float
    size: float
    near: tuple[int, ...] = ROOMY
    taken: dict[int, list[tuple[float, float]]] = field(default_factory=dict)

    def take(self, lane: int, start: float, end: float) -> None:
        """Keep words out of a part of a lane."""
        self.taken.setdefault(lane, []).append((start, end))

    def place(
        self,
        at: float,
        texts: tuple[str, ...],
        span: tuple[float, float],
        reach: float = float("inf"),
    ) -> Placed:
        """Find room for one of the texts, the first liked best, beside a mark at *at*.

        Nearest lanes first, the shorter text before a lane farther away. *span* is where what is
        marked begins and ends on the line; words on the line itself begin no farther than *reach*
        from the mark. Room is always found: there is always a farther lane.

        Raises:
            ValueError: Every text is wider than the picture.
        """
        if min(measure(text, self.size) for text in texts) > self.right - self.left:
            raise ValueError("a label is wider than the picture")
        for lanes, is_behind in self._circles():
            found = self._look(at, texts, span, lanes, is_behind=is_behind, reach=reach)
            if found is not None:
                return self._keep(found)
        raise AssertionError("a farther lane is always free")

    def _look(
        self,
        at: float,
        texts: tuple[str, ...],
        span: tuple[float, float],
        lanes: tuple[int, ...],
        *,
        is_behind: bool,
        reach: float,
    ) -> Placed | None:
        for text in texts:
            width = measure(text, self.size)
            for lane in lanes:
                if not is_behind and not self._way_is_free(lane, at):
                    continue
                for x in self._candidates(at, width, lane, span):
                    if lane == 0 and max(x - at, at - x - width) > reach:
                        continue
                    if self._is_free(lane, x, x + width):
                        return Placed(text=text, lane=lane, x=x, at=at, width=width)
        return None

    def _circles(self) -> Iterator[tuple[tuple[int, ...], bool]]:
        """Give lanes to try, nearest first, and whether the thin line may pass behind words."""
        if 0 in self.near:
            # Tight: shorter words rather than a row that is higher by a lane.
            yield from ((self.near[:count], False) for count in range(1, len(self.near)))
        yield self.near, False
        is_one_sided = 1 not in self.near
        if not is_one_sided:
            yield tuple(lane for lane in (-1, 1, 0) if lane not in self.near), False
        for far in range(2, MOST_LANES):
            lanes = (-far,) if is_one_sided else (-far, far)
            yield lanes, False
            yield lanes, True

    def _candidates(
        self, at: float, width: float, lane: int, span: tuple[float, float]
    ) -> tuple[float, ...]:
        if lane == 0:
            sides = (span[1] + GAP, span[0] - GAP - width)
            return tuple(x for x in sides if self.left <= x and x + width <= self.right)
        if width > self.right - self.left:
            return ()
        wished = (at - width / 2, at - 2, at + 2 - width)
        return tuple(min(max(x, self.left), self.right - width) for x in wished)

    def _is_free(self, lane: int, start: float, end: float) -> bool:
        return all(
            end + GAP <= taken_start + _HAIR or taken_end + GAP <= start + _HAIR
            for taken_start, taken_end in self.taken.get(lane, ())
        )

    def _way_is_free(self, lane: int, at: float) -> bool:
        """Tell whether a thin line from the mark to a far lane crosses no words."""
        return all(
            not start - 1 < at < end + 1
            for between in self._between(lane)
            for start, end in self.taken.get(between, ())
        )

    def _keep(self, placed: Placed) -> Placed:
        self.take(placed.lane, placed.x, placed.x + placed.width)
        for between in self._between(placed.lane):
            self.take(between, placed.at - 0.5, placed.at + 0.5)
        return placed

    @staticmethod
    def _between(lane: int) -> range:
        return range(1, lane) if lane > 0 else range(lane + 1, 0)
