"""Find straight lines that run through a place and on beyond both its sides.

A fold, a crease, the edge of a shadow, a ruler line, a felt pen, a streak of the scanner: what goes
on straight on both sides was not written in the place.

Source: lines by votes of dots for angle and distance, a textbook method (Hough); the limits are
common practice, no source, measured in ``tests/scan/test_streaks.py``.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from compliance.scan.light import find_quantile

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Box = tuple[slice, slice]
_Value = TypeVar("_Value", np.bool_, np.float32)

REACH: Final = 60
"""How far beyond the place a line has to go on, in dots of the straightened page."""
_FAR = 140

_MARGIN = 3
_LEAST_KNOWN = 20
_LEAST_VOTES = 14
_MOST_DOTS = 900
_MOST_LINES, _MOST_TRIES = 8, 10
_HALF_BAND = 20
_MOST_BEND = 5.0
_NEAR = 1.5
_SHARE, _ROW_SHARE, _BAND_SHARE, _INSIDE_SHARE = 0.88, 0.7, 0.35, 0.8
_MOST_GAP = 4
_SOFT = 2.0
_DARKER = 0.12
_WEAK = 0.6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _View:
    """What surrounds a place: ``weak`` dots as dark as a faint line, ``known`` free of print."""

    dark: NDArray[np.float32]
    weak: Mask
    known: Mask
    left: float
    right: float
    upper: float
    lower: float

    @property
    def middle(self) -> tuple[float, float]:
        return (self.left + self.right) / 2, (self.upper + self.lower) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Line:
    """A line past the middle of a place: its angle, its course, its band and how dark it is."""

    angle: float
    course: Floats
    low: float
    high: float
    level: float


def find_streaks(
    dark: NDArray[np.float32], ink: Mask, known: Mask, boxes: tuple[Box, ...], threshold: float
) -> tuple[Mask, tuple[bool, ...]]:
    """Find the dots of ink that belong to lines straight through a place, and the places crossed.

    Shape: ``ink`` and ``known`` (neither print nor beyond the picture) are dots of the page,
    ``boxes`` rows and columns of the places. Ink plainly darker than the line stays: writing that
    shows through.
    """
    streaks = np.zeros(ink.shape, dtype=np.bool_)
    crossed = []
    for rows, columns in boxes:
        found = False
        if ink[rows, columns].any():
            around = tuple(
                slice(max(0, part.start - _FAR - _MARGIN), part.stop + _FAR + _MARGIN)
                for part in (rows, columns)
            )
            view = _make_view(dark, known, (rows, columns), around, threshold)
            here = _find_in(view, ink[around].copy())
            inner = (
                slice(rows.start - around[0].start, rows.stop - around[0].start),
                slice(columns.start - around[1].start, columns.stop - around[1].start),
            )
            streaks[rows, columns] |= here[inner]
            found = bool(here[inner].any())
        crossed.append(found)
    return streaks, tuple(crossed)


def _make_view(
    dark: NDArray[np.float32], known: Mask, box: Box, around: tuple[slice, ...], threshold: float
) -> _View:
    rows, columns = box
    near = dark[around]
    return _View(
        dark=near,
        weak=(near > _WEAK * threshold) & known[around],
        known=known[around],
        left=columns.start - around[1].start - _MARGIN,
        right=columns.stop - around[1].start + _MARGIN,
        upper=rows.start - around[0].start - _MARGIN,
        lower=rows.stop - around[0].start + _MARGIN,
    )


def _find_in(view: _View, ink: Mask) -> Mask:
    """Take line after line from the ink; give the dots taken."""
    taken = np.zeros_like(ink)
    for _ in range(_MOST_LINES):
        line = next(
            (line for angle, far in _list_likely(view, ink) if (line := _follow(view, angle, far))),
            None,
        )
        if line is None:
            break
        dots = _take(view, ink, line)
        if not dots.any():
            break
        taken |= dots
        ink &= ~dots
    return taken


def _list_likely(view: _View, ink: Mask) -> Iterator[tuple[float, float]]:
    """Give angle and distance from the middle of the lines with most dots on both sides."""
    y, x = np.nonzero(ink)
    out = (x < view.left) | (x >= view.right) | (y < view.upper) | (y >= view.lower)
    x, y = x[out], y[out]
    every = 1 + len(x) // _MOST_DOTS
    x, y = x[::every], y[::every]
    half = np.hypot(view.right - view.left, view.lower - view.upper) / 2
    angles = np.arange(0, np.pi, _NEAR / (half + REACH), dtype=np.float32)
    size = int(half) + 2
    middle = view.middle
    across, down = np.cos(angles)[:, None], np.sin(angles)[:, None]
    right, below = (x - middle[0]).astype(np.float32), (y - middle[1]).astype(np.float32)
    far = np.rint(below * across - right * down).astype(np.int32)
    left, above = (x < view.left)[None, :], (y < view.upper)[None, :]
    first = above | np.where(across > 0, left, (x >= view.right)[None, :])
    # Of the lines at an angle only those count that meet the place.
    wide, high = (view.right - view.left) / 2, (view.lower - view.upper) / 2
    fits = np.abs(far) <= wide * down + high * np.abs(across)
    shape = (len(angles), 2 * size + 1)
    cell = (far + (np.arange(shape[0], dtype=np.int32)[:, None] * shape[1] + size))[fits]
    side = np.broadcast_to(first, fits.shape)[fits]
    before, after = (
        _widen(np.bincount(cell[which], minlength=shape[0] * shape[1]).reshape(shape))
        for which in (side, ~side)
    )
    votes = np.minimum(before, after) * every
    for _ in range(_MOST_TRIES):
        best = np.unravel_index(int(votes.argmax()), votes.shape)
        if votes[best] < _LEAST_VOTES:
            return
        yield float(angles[best[0]]), float(best[1] - size)
        votes[max(0, best[0] - 2) : best[0] + 3, max(0, best[1] - 2) : best[1] + 3] = 0


def _widen(votes: NDArray[np.intp]) -> NDArray[np.intp]:
    """Add to each distance the votes of the two beside it."""
    wider = votes.copy()
    wider[:, 1:] += votes[:, :-1]
    wider[:, :-1] += votes[:, 1:]
    return wider


def _follow(view: _View, angle: float, far: float) -> _Line | None:
    """Follow a line beyond both sides of the place; give it when it goes on all the way."""
    half = np.hypot(view.right - view.left, view.lower - view.upper) / 2 + 2 * _FAR
    t = np.arange(-half, half + 1)
    course: Floats = np.array([0.0, 0.0, far])
    for reach, degree in ((4.0, 1), (3.0, 2), (2.0, 2)):
        held: Floats = np.asarray(np.polyval(course, t), dtype=np.float64)
        near = _split(view, angle, t, held) != _AWAY
        along, held = t[near], held[near]
        offsets = np.arange(-reach, reach + 1)
        weak = _sample(view, angle, along, held + offsets[:, None], view.weak)
        if np.count_nonzero(weak.any(axis=0)) < 2 * _LEAST_KNOWN:
            return None
        at = np.nonzero(weak)
        fitted = np.polyfit(along[at[1]], held[at[1]] + offsets[at[0]], degree)
        course = np.concatenate((np.zeros(2 - degree), fitted))
    held = np.asarray(np.polyval(course, t), dtype=np.float64)
    part = _split(view, angle, t, held)
    near = part != _AWAY
    t, held, part = t[near], held[near], part[near]
    if not len(t) or abs(course[0]) * ((t[-1] - t[0]) / 2) ** 2 > _MOST_BEND:
        return None
    # Most tries fail on the dots next to the line, so the wide band is left for those that do not.
    thin = held + np.arange(-1, 2)[:, None]
    weak, known = (_sample(view, angle, t, thin, which) for which in (view.weak, view.known))
    part = _shorten(part, weak, known)
    if not all(_goes_on(weak, known, part == side) for side in (_BEFORE, _AFTER)):
        return None
    if not _goes_through(weak, known, part == _INSIDE):
        return None
    return _measure_band(view, angle, course, t[part != _AWAY], part[part != _AWAY])


def _measure_band(
    view: _View, angle: float, course: Floats, t: Floats, part: NDArray[np.intp]
) -> _Line:
    """Measure how wide and how dark a line is on both sides of the place."""
    rows = np.arange(-_HALF_BAND, _HALF_BAND + 1)
    wide: Floats = np.asarray(np.polyval(course, t) + rows[:, None], dtype=np.float64)
    weak, known = (_sample(view, angle, t, wide, which) for which in (view.weak, view.known))
    shares = np.minimum(
        *(
            (weak & (part == side)).sum(axis=1)
            / np.maximum((known & (part == side)).sum(axis=1), 1)
            for side in (_BEFORE, _AFTER)
        )
    )
    low, high = _find_band(shares >= _BAND_SHARE)
    outside = weak[low : high + 1] & (part != _INSIDE)
    dark = _sample(view, angle, t, wide[low : high + 1], view.dark)
    return _Line(
        angle=angle,
        course=course,
        low=float(rows[low]) - _SOFT,
        high=float(rows[high]) + _SOFT,
        level=find_quantile(dark[outside], 0.9) if outside.any() else 1.0,
    )


_AWAY, _BEFORE, _INSIDE, _AFTER = range(4)


def _split(view: _View, angle: float, t: Floats, far: Floats) -> NDArray[np.intp]:
    """Tell which stretch of a line lies before, in and after the place, and which too far off."""
    x, y = _find_dots(view, angle, t, far)
    inside = (x >= view.left) & (x < view.right) & (y >= view.upper) & (y < view.lower)
    part = np.full(len(t), _AWAY, dtype=np.intp)
    within = np.flatnonzero(inside)
    if len(within):
        first, last = int(within[0]), int(within[-1])
        part[max(0, first - _FAR) : first] = _BEFORE
        part[first : last + 1] = _INSIDE
        part[last + 1 : last + 1 + _FAR] = _AFTER
    return part


def _find_dots(view: _View, angle: float, t: Floats, far: Floats) -> tuple[Floats, Floats]:
    across, down = np.cos(angle), np.sin(angle)
    middle = view.middle
    return middle[0] + t * across - far * down, middle[1] + t * down + far * across


def _sample(
    view: _View, angle: float, t: Floats, far: Floats, values: NDArray[_Value]
) -> NDArray[_Value]:
    """Read values along a line, nothing beyond the view; one row of ``far`` a parallel."""
    x, y = (np.rint(value).astype(np.int32) for value in _find_dots(view, angle, t, far))
    high, wide = values.shape
    beyond = (x < 0) | (x >= wide) | (y < 0) | (y >= high)
    read: NDArray[_Value] = values[y.clip(0, high - 1), x.clip(0, wide - 1)]
    read[beyond] = 0
    return read


def _shorten(part: NDArray[np.intp], weak: Mask, known: Mask) -> NDArray[np.intp]:
    """Leave of both stretches beside the place what is near it: print hides some, so by dots."""
    _, counted = _find_hits(weak, known)
    before = np.flatnonzero((part == _BEFORE) & counted)[:-REACH]
    after = np.flatnonzero((part == _AFTER) & counted)[REACH:]
    shorter = part.copy()
    if len(before):
        shorter[: before[-1] + 1] = _AWAY
    if len(after):
        shorter[after[0] :] = _AWAY
    return shorter


def _goes_on(weak: Mask, known: Mask, side: Mask) -> bool:
    """Tell whether a stretch beside the place is one line: no gaps as in writing, one row dark."""
    hit, counted = _find_hits(weak[:, side], known[:, side])
    if counted.sum() < _LEAST_KNOWN or hit[counted].mean() < _SHARE:
        return False
    free = known[:, side].sum(axis=1)
    best = (weak[:, side].sum(axis=1) / np.maximum(free, 1)).max()
    return bool(best >= _ROW_SHARE and _longest_gap(hit[counted]) <= _MOST_GAP)


def _goes_through(weak: Mask, known: Mask, side: Mask) -> bool:
    hit, counted = _find_hits(weak[:, side], known[:, side])
    return bool(not counted.any() or hit[counted].mean() >= _INSIDE_SHARE)


def _find_hits(weak: Mask, known: Mask) -> tuple[Mask, Mask]:
    """Give where a line shows, and where it would have to: print hides it elsewhere."""
    hit = weak.any(axis=0)
    return np.asarray(hit), np.asarray(hit | known.all(axis=0))


def _longest_gap(hit: Mask) -> int:
    edges = np.flatnonzero(np.concatenate(([True], hit, [True])))
    return int(np.diff(edges).max()) - 1


def _find_band(dense: Mask) -> tuple[int, int]:
    """Give the first and last row of the dense run round the middle row."""
    middle = len(dense) // 2
    thin = np.flatnonzero(~dense)
    below, above = thin[thin < middle - 1], thin[thin > middle + 1]
    low = int(below[-1]) + 1 if len(below) else 0
    high = int(above[0]) - 1 if len(above) else len(dense) - 1
    return low, high


def _take(view: _View, ink: Mask, line: _Line) -> Mask:
    """Give the ink in the band of a line, without what is plainly darker than the line."""
    y, x = np.nonzero(ink)
    across, down = np.cos(line.angle), np.sin(line.angle)
    middle = view.middle
    t = (x - middle[0]) * across + (y - middle[1]) * down
    far = (y - middle[1]) * across - (x - middle[0]) * down - np.polyval(line.course, t)
    mine = (far >= line.low) & (far <= line.high) & (view.dark[y, x] <= line.level + _DARKER)
    taken = np.zeros_like(ink)
    taken[y[mine], x[mine]] = True
    return taken
