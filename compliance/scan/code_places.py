"""Where on a page the corner codes can stand: near the corners, in the margins, clear of print."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from compliance.scan.model import Places, Rect
from compliance.scan.pieces import find_pieces
from compliance.scan.symbol import CODE_QUIET, CODE_SIDE, PRINTER_EDGE

NAMES = ("upper left", "upper right", "lower right", "lower left")
"""The corners in the order in which they are counted."""
NEEDED = 3
"""A photo is lined up by three codes; one may be missing or under a thumb."""

_LIGHT, _EVEN = 200, 12
"""Unprinted paper is at least this light and varies no more than this over a few dots, of 255."""
_NEAR = 2
"""Dots either way over which paper is looked at for a change."""
_COARSE = 2
"""Dots of a side of the blocks in which frames are looked for."""
_BAND = 72.0
"""A code stands within an inch of an edge: farther in is no margin, but room to write or stamp."""
_SLIDE = 0.4
"""Share of a side of the page by which a code may move from its corner along the edge."""
_CLEAR = 3.0
"""Points kept clear around a place to be filled in."""


def find_code_places(
    paper: NDArray[np.uint8], size: tuple[float, float], avoid: Sequence[Rect] = ()
) -> Places:
    """Find a place for the code of each corner where nothing is printed.

    Shape: ``paper`` is the page in grey, first row on top, white where nothing is printed; ``size``
    its width and height in points. The free place nearest to the corner is taken; it may lie
    farther along an edge. None where there is none. ``avoid`` are places where somebody will write.
    """
    scale = paper.shape[0] / size[1]
    side = CODE_SIDE + 2 * CODE_QUIET
    free = _find_free(_find_printed(paper, size, avoid), int(np.ceil(side * scale)))
    rows, columns = np.nonzero(free)
    left, upper = columns / scale, rows / scale
    right, lower = size[0] - left - side, size[1] - upper - side
    inside = np.minimum(np.minimum(left, right), np.minimum(upper, lower)) >= PRINTER_EDGE
    found: list[Rect | None] = []
    for along, down in ((left, upper), (right, upper), (right, lower), (left, lower)):
        near = inside & (along < _SLIDE * size[0]) & (down < _SLIDE * size[1])
        near &= np.minimum(along, down) <= _BAND - side
        if not near.any():
            found.append(None)
            continue
        best = int(np.where(near, along + down, np.inf).argmin())
        x, top = float(left[best]) + CODE_QUIET, size[1] - float(upper[best]) - CODE_QUIET
        found.append((x, top - CODE_SIDE, x + CODE_SIDE, top))
    return tuple(found)


def _find_printed(
    paper: NDArray[np.uint8], size: tuple[float, float], avoid: Sequence[Rect]
) -> NDArray[np.bool_]:
    """Tell the dots that are printed on, pale print included, and those that are to be avoided."""
    scale = paper.shape[0] / size[1]
    low = high = paper
    for axis in (0, 1):
        shifted = [np.roll(low, step, axis) for step in range(-_NEAR, _NEAR + 1)]
        raised = [np.roll(high, step, axis) for step in range(-_NEAR, _NEAR + 1)]
        low, high = np.min(shifted, axis=0), np.max(raised, axis=0)
    printed = (paper < _LIGHT) | (high.astype(np.int16) - low > _EVEN)
    for left, bottom, right, top in avoid:
        rows = slice(
            max(0, int((size[1] - top - _CLEAR) * scale)),
            max(0, int((size[1] - bottom + _CLEAR) * scale)),
        )
        columns = slice(max(0, int((left - _CLEAR) * scale)), max(0, int((right + _CLEAR) * scale)))
        printed[rows, columns] = True
    return np.asarray(printed | _find_enclosed(printed))


def _find_enclosed(printed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Tell the dots inside frames: what is cut off from the edges of the page is no margin."""
    high, wide = (side // _COARSE * _COARSE for side in printed.shape)
    blocks = printed[:high, :wide].reshape(high // _COARSE, _COARSE, wide // _COARSE, _COARSE)
    labels = find_pieces(~np.asarray(blocks.any(axis=(1, 3)))).labels
    outer = np.unique(np.concatenate((labels[0], labels[-1], labels[:, 0], labels[:, -1])))
    open_ = np.isin(labels, outer[outer >= 0])
    whole = np.ones_like(printed)
    whole[:high, :wide] = open_.repeat(_COARSE, axis=0).repeat(_COARSE, axis=1)
    return np.asarray(~whole)


def _find_free(printed: NDArray[np.bool_], dots: int) -> NDArray[np.bool_]:
    """Tell the upper left dots of squares with nothing printed in them."""
    if min(printed.shape) <= dots:
        return np.zeros((0, 0), dtype=np.bool_)
    sums = np.pad(printed.cumsum(axis=0, dtype=np.int32).cumsum(axis=1), ((1, 0), (1, 0)))
    count = sums[dots:, dots:] - sums[:-dots, dots:] - sums[dots:, :-dots] + sums[:-dots, :-dots]
    return np.asarray(count == 0)
