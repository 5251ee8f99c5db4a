"""The blank page as printed, made ready to be found again in a picture."""

from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from compliance.scan.light import box_sum, compute_darkness, grow
from compliance.scan.model import Places, Rect
from compliance.scan.tint import find_tint

Points: TypeAlias = NDArray[np.float64]
"""One row a point: x to the right, y down, in points from the upper left of the page."""

ALIGN_DPI: Final = 72
"""One dot a point: lining up measures in points."""
INK_DPI: Final = 120
CELL: Final = 40
"""Side of a printed patch that is looked for, in points."""

_GRID = 10
_FAR_APART, _APART = 70, 30
_MOST_CELLS = 130
_PRINTED = 0.12
_CORE = 0.5
_LEAST_EDGE = 1.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BlankPage:
    """One page of a blank form exactly as it was printed, codes and typed-in values included.

    Units: ``grey`` holds the rendered page, 0 black to 255 white, first row on top, at ``dpi`` dots
    an inch (120 or more); ``width`` and ``height`` are in points; ``page`` counts from 0. ``codes``
    are the rectangles of the corner codes by corner, None or empty where none is printed.
    """

    page: int
    grey: NDArray[np.uint8]
    dpi: float
    width: float
    height: float
    codes: Places = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadyBlank:
    """A blank page with what lining up and measuring need.

    Shape: ``dark`` is its darkness (0 to 1) at :data:`ALIGN_DPI`; ``cells`` the upper left corners
    (x, y) of patches with print to be found again; ``sharp`` how firmly each holds in x and in y;
    ``printed`` and ``core`` are the printed dots, with and without their soft edges, and ``tint``
    the light that tinted paper keeps back, at :data:`INK_DPI`; ``codes`` quads in points, y down,
    None where a corner has no code.
    """

    page: int
    width: float
    height: float
    dark: NDArray[np.float32]
    cells: NDArray[np.intp]
    sharp: NDArray[np.float32]
    printed: NDArray[np.bool_]
    core: NDArray[np.bool_]
    tint: NDArray[np.float32]
    codes: tuple[Points | None, ...]


def prepare_blank(blank: BlankPage) -> ReadyBlank:
    """Work out once what every picture of this page is compared with."""
    fine = _resize(blank, INK_DPI)
    coarse = _resize(blank, ALIGN_DPI)
    # Shaded boxes are paper of another shade, not print.
    dark = compute_darkness(coarse, reach=5)
    ink = compute_darkness(fine, reach=8)
    tint = find_tint(fine)
    printed = (ink > _PRINTED) & (tint == 0)
    core = ~grow(~(ink > _CORE), 1)
    cells, sharp = _choose_cells(dark)
    return ReadyBlank(
        page=blank.page,
        width=blank.width,
        height=blank.height,
        dark=dark,
        cells=cells,
        sharp=sharp,
        printed=printed,
        core=core,
        tint=tint,
        codes=tuple(rect and _quad(rect, blank.height) for rect in blank.codes),
    )


def _resize(blank: BlankPage, dpi: int) -> NDArray[np.uint8]:
    size = (round(blank.width * dpi / 72), round(blank.height * dpi / 72))
    small = Image.fromarray(blank.grey).resize(size, Image.Resampling.BOX)
    return np.asarray(small, dtype=np.uint8)


def _quad(rect: Rect, height: float) -> Points:
    left, bottom, right, top = rect
    up, down = height - top, height - bottom
    return np.array([(left, up), (right, up), (right, down), (left, down)])


def _choose_cells(dark: NDArray[np.float32]) -> tuple[NDArray[np.intp], NDArray[np.float32]]:
    """Choose patches with edges both ways first, then those that hold in one direction only.

    Once far apart, so that every part of the page has some, then closer together.
    """
    across = np.zeros_like(dark)
    down = np.zeros_like(dark)
    across[:, 1:-1] = dark[:, 2:] - dark[:, :-2]
    down[1:-1] = dark[2:] - dark[:-2]
    firm = [box_sum(edge * edge, CELL)[::_GRID, ::_GRID] for edge in (across, down)]
    low, high = np.minimum(*firm), np.maximum(*firm)
    ranked = np.argsort(-(low + 0.05 * high), axis=None, kind="stable")
    places = [divmod(int(place), low.shape[1]) for place in ranked]
    places = [place for place in places if high[place] >= _LEAST_EDGE]
    chosen: list[tuple[int, int]] = []
    for apart in (_FAR_APART, _APART):
        chosen = _thin_out(chosen, places, low.shape, apart // _GRID)
    rows = np.array([row for row, _ in chosen], dtype=np.intp)
    columns = np.array([column for _, column in chosen], dtype=np.intp)
    cells = np.stack((columns, rows), axis=1) * _GRID
    sharp = np.stack([force[rows, columns] for force in firm], axis=1).astype(np.float32)
    return cells, sharp


def _thin_out(
    chosen: list[tuple[int, int]],
    places: list[tuple[int, int]],
    shape: tuple[int, ...],
    reach: int,
) -> list[tuple[int, int]]:
    """Add places in their order that keep their distance from those before."""
    taken = np.zeros(shape, dtype=bool)
    kept: list[tuple[int, int]] = []
    fresh = set(chosen)
    for row, column in [*chosen, *places]:
        if len(kept) == _MOST_CELLS:
            break
        if taken[row, column] and (row, column) not in fresh:
            continue
        fresh.discard((row, column))
        kept.append((row, column))
        rows = slice(max(0, row - reach + 1), row + reach)
        taken[rows, max(0, column - reach + 1) : column + reach] = True
    return kept
