"""Correct the lie of a page by its own print: find printed patches again, fit a smooth bend."""

from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from compliance.scan.blank import ALIGN_DPI, CELL, Points, ReadyBlank
from compliance.scan.light import compute_darkness, find_quantile
from compliance.scan.warp import (
    PageMap,
    apply_homography,
    fit_homography,
    make_nodes,
    straighten,
)

Floats: TypeAlias = NDArray[np.float64]

_FFT = 64
_GOOD = 0.3
_SMOOTH = 45.0
_ANCHOR = 1.0
_LEAST_BEND = -1e-6
_LEAST_PAIRS = 6
"""Four pairs make a homography, two more to average."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Matches:
    """Where the printed patches were found again.

    Shape: ``middles`` in page points; ``moves`` how far (x, y) in points the print lies from where
    the map says; ``alike`` the correlation, -1 to 1; ``firm`` weights in x and in y.
    """

    middles: Points
    moves: Points
    alike: Floats
    firm: Floats


def match_cells(
    source: Image.Image, scale: float, page_map: PageMap, blank: ReadyBlank, *, search: int
) -> Matches:
    """Look for every printed patch within ``search`` points (12 at most) of where it should be.

    Shape: ``source`` is a grey picture, ``scale`` times the size the map speaks of.

    Source: normalized cross-correlation, as in textbooks on image registration.
    """
    page = straighten(source, page_map, (blank.width, blank.height), dpi=ALIGN_DPI, scale=scale)
    dark = compute_darkness(np.asarray(page, dtype=np.uint8), reach=5)
    padded = np.pad(dark, search)
    side = CELL + 2 * search
    x, y = blank.cells[:, 0], blank.cells[:, 1]
    patches = _cut(blank.dark, x, y, CELL)
    windows = _cut(padded, x, y, side)
    scores = _correlate(patches, windows)
    moves, alike = _peaks(scores, search)
    edge = np.abs(moves).max(axis=1) >= search - 0.5
    trust = np.clip(alike - 0.2, 0.0, None) * np.where(edge, 0.05, 1.0)
    sharp = blank.sharp.astype(np.float64)
    firm = trust[:, None] * sharp / (sharp + 3.0)
    return Matches(
        middles=blank.cells.astype(np.float64) + CELL / 2, moves=moves, alike=alike, firm=firm
    )


def bend_map(
    page_map: PageMap,
    found: Matches,
    blank: ReadyBlank,
    anchors: tuple[Points, Points],
    *,
    order: int,
    doubt: float,
) -> PageMap:
    """Give the map with the moves found taken in, as a polynomial of an order and a soft rest.

    Shape: ``anchors`` are page points and their dots known from the corner codes; they keep rows of
    print that look alike from being taken one for another. ``doubt`` is how many points off the
    curve a patch may lie and still count for much.
    """
    points, dots = anchors
    # A map that is sound has an inverse; without anchors it is not asked for.
    back = np.linalg.inv(page_map.homography) if len(points) else np.eye(3)
    at = np.concatenate((found.middles, points))
    wanted = np.concatenate(
        (
            page_map.compute_moves(found.middles) + found.moves,
            apply_homography(np.asarray(back, dtype=np.float64), dots) - points,
        )
    )
    firm = np.concatenate((found.firm, np.full((len(points), 2), _ANCHOR)))
    nodes = make_nodes(blank.width, blank.height)
    size = np.array([blank.width, blank.height])
    moved = np.zeros_like(nodes)
    bend = _Bend(
        at=at / size * 2 - 1, nodes=nodes / size * 2 - 1, near=_weigh_near(nodes, at), order=order
    )
    for axis in (0, 1):
        moved[:, axis] = _fit(bend, wanted[:, axis], firm[:, axis], doubt)
    return PageMap(homography=page_map.homography, moved=moved.reshape(page_map.moved.shape))


def refit_homography(
    page_map: PageMap, found: Matches, near: NDArray[np.bool_], anchors: tuple[Points, Points]
) -> PageMap | None:
    """Fit the homography anew to the patches found and to the anchors (page points, dots).

    Shape: None when there are too few of them, or they fit no map.
    """
    both = found.firm.min(axis=1)
    good = near & (found.alike > _GOOD) & (both > 0)
    if good.sum() + len(anchors[0]) < _LEAST_PAIRS:
        return None
    points = np.concatenate((found.middles[good], anchors[0]))
    dots = np.concatenate(
        (page_map.find_in_picture(found.middles[good] + found.moves[good]), anchors[1])
    )
    weights = np.concatenate((both[good], np.full(len(anchors[0]), 0.5)))
    base = weights.copy()
    for _ in range(5):
        # Patches that lie on one line, as on a page with little print, fit no map.
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            matrix = fit_homography(points, dots, weights)
            flat = PageMap(homography=matrix, moved=page_map.moved * 0)
            off = np.linalg.norm(flat.find_in_picture(points) - dots, axis=1)
        if not (np.isfinite(matrix).all() and np.isfinite(off).all()):
            return None
        middle = max(find_quantile(off, 0.5), 0.5)
        weights = base / (1 + (off / (2 * middle)) ** 2) ** 2
    return flat


def _cut(
    values: NDArray[np.float32], x: NDArray[np.intp], y: NDArray[np.intp], side: int
) -> NDArray[np.float32]:
    windows = np.lib.stride_tricks.sliding_window_view(values, (side, side))
    rows, columns = windows.shape[:2]
    return np.asarray(windows[np.minimum(y, rows - 1), np.minimum(x, columns - 1)])


def _correlate(patches: NDArray[np.float32], windows: NDArray[np.float32]) -> Floats:
    """Compare each patch with every square of its size in its window."""
    count = windows.shape[1] - CELL + 1
    plain = patches - patches.mean(axis=(1, 2), keepdims=True)
    strength = np.sqrt(np.maximum((plain * plain).sum(axis=(1, 2)), 0.02))
    shape = (_FFT, _FFT)
    spectrum = np.fft.rfft2(windows, shape) * np.conj(np.fft.rfft2(plain, shape))
    product = np.fft.irfft2(spectrum, shape)[:, :count, :count]
    # Row by row a band of ones: two small products sum all squares of a window.
    band = np.tri(count, windows.shape[1], CELL - 1) - np.tri(count, windows.shape[1], -1)
    ones = band.astype(np.float32)
    sums, squares = (ones @ values @ ones.T for values in (windows, windows * windows))
    spread = np.sqrt(np.maximum(squares - sums * sums / CELL**2, 0.02))
    scores: Floats = product / (spread * strength[:, None, None])
    return scores


def _peaks(scores: Floats, search: int) -> tuple[Points, Floats]:
    """Find the best place to a fraction of a dot; of equals the one nearest the middle."""
    count = scores.shape[1]
    away = (np.arange(count) - search) ** 2
    ranked = scores - 0.0008 * (away[:, None] + away[None, :])
    best = ranked.reshape(len(scores), -1).argmax(axis=1)
    row, column = np.divmod(best, count)
    index = np.arange(len(scores))
    alike = scores[index, row, column]
    moves = np.stack((column - search, row - search), axis=1).astype(np.float64)
    inner = (row > 0) & (row < count - 1) & (column > 0) & (column < count - 1)
    r, c = np.clip(row, 1, count - 2), np.clip(column, 1, count - 2)
    for axis, (dr, dc) in enumerate(((0, 1), (1, 0))):
        low, high = scores[index, r - dr, c - dc], scores[index, r + dr, c + dc]
        bend = low - 2 * alike + high
        shift = np.where(
            bend < _LEAST_BEND, 0.5 * (low - high) / np.minimum(bend, _LEAST_BEND), 0.0
        )
        moves[:, axis] += np.where(inner, np.clip(shift, -0.5, 0.5), 0.0)
    return moves, alike


def _terms(points: Points, order: int) -> Floats:
    x, y = points[:, 0], points[:, 1]
    powers = [(i, j) for total in range(order + 1) for i in range(total + 1) for j in (total - i,)]
    return np.stack([x**i * y**j for i, j in powers], axis=1)


_PENALTY: Final = (0.0, 0.002, 0.01, 0.03, 0.06)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Bend:
    """What a fit is about: places measured and asked for, on a square from -1 to 1; its order.

    Shape: ``near[node, place]`` is how much a place says about a node close by.
    """

    at: Points
    nodes: Points
    near: NDArray[np.float32]
    order: int


def _weigh_near(nodes: Points, at: Points) -> NDArray[np.float32]:
    away = ((nodes[:, None, :] - at[None, :, :]).astype(np.float32) ** 2).sum(axis=2)
    near: NDArray[np.float32] = np.exp(away * np.float32(-1 / (2 * _SMOOTH**2)))
    return near


def _fit(bend: _Bend, wanted: Floats, weights: Floats, doubt: float) -> Floats:
    terms = _terms(bend.at, bend.order)
    penalty = np.array([_PENALTY[t] for t in range(bend.order + 1) for _ in range(t + 1)])
    total = max(float(weights.sum()), 1e-3)
    robust = weights.copy()
    for _ in range(6):
        left = (terms * robust[:, None]).T @ terms + np.diag(penalty * total + 1e-6)
        factors = np.linalg.solve(left, (terms * robust[:, None]).T @ wanted)
        rest = wanted - terms @ factors
        robust = weights / (1 + (rest / doubt) ** 2) ** 2
    # The constant pulls the rest to nothing where no patch is near.
    soft = bend.near @ (robust * rest) / (bend.near @ robust + 0.35)
    fitted: Floats = _terms(bend.nodes, bend.order) @ factors + soft
    return fitted
