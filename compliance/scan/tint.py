"""Tinted boxes of a form: paper of another shade, in its blank and in pictures of it.

A fillable form prints its check boxes with the light color of its fields. So small a patch is no
shadow of the paper, and the whole of it would be taken for ink. Common practice, no source.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from compliance.scan.light import compute_darkness, find_quantile, grow, running_least, running_most

Floats = NDArray[np.float32]
Greys = NDArray[np.uint8]

REACH: Final = 20
"""Patches narrower than twice this many dots are looked for; wider ones are paper anyway."""
_FLAT, _WINDOW = 8, 2
_LEAST, _MOST = 0.03, 0.5
_AROUND = 3
_BARE = 0.8
"""Less than four fifths of a marked box are ink, so this much of it is at most as dark as bare."""
_STRONGER, _OFF = 1.4, 0.05
"""So much stronger, and darker by so much, may a camera or printer show a tint."""


def find_tint(grey: Greys) -> Floats:
    """Give how much light the flat tint of a blank keeps back at each dot, 0 where there is none.

    Shape: a tint is even over a square of five dots, as no letter and no rule is.
    """
    even = running_most(grey, _WINDOW) - running_least(grey, _WINDOW) <= _FLAT
    held = compute_darkness(grey, reach=REACH)
    tinted = grow(even & (held > _LEAST) & (held < _MOST), _WINDOW)
    return np.where(tinted, held, np.float32(0))


def lay_tint(
    paper: Greys, channel: Greys, tint: Floats, boxes: tuple[tuple[slice, slice], ...]
) -> Greys:
    """Give the brightness of bare paper with the tint of the blank laid over it, place by place.

    Shape: ``paper`` and ``channel`` are one color of the page; ``boxes`` rows and columns of the
    places. How dark a tint came out is read from the place itself, but never as dark as ink.
    """
    if not tint.any():
        return paper
    laid = paper.copy()
    for rows, columns in boxes:
        around = tuple(
            slice(max(0, part.start - _AROUND), part.stop + _AROUND) for part in (rows, columns)
        )
        held = tint[around]
        tinted = held > 0
        if tinted.any():
            bare = np.maximum(paper[around], 1).astype(np.float32)
            left = find_quantile((channel[around] / bare)[tinted], _BARE)
            least = 1 - _STRONGER * find_quantile(held[tinted], 0.5) - _OFF
            share = np.where(tinted, np.float32(min(1.0, max(left, least))), np.float32(1))
            laid[around] = (bare * share).astype(np.uint8)
    return laid
