"""What ink is on a straightened page that the blank has not, region by region."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from compliance.scan.blank import INK_DPI, ReadyBlank
from compliance.scan.light import box_sum, compute_paper, find_quantile, grow
from compliance.scan.model import Region
from compliance.scan.pieces import Pieces, find_pieces
from compliance.scan.streaks import find_streaks
from compliance.scan.tint import lay_tint

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

POINT: Final = 72.0 / INK_DPI
"""Side of a dot of the straightened page, in points."""

_REACH = 12
_MARGIN = 2
_LEAST_DARK = 0.10
_SPECK = 0.9
_FLAT = 3.2
_LONG = 22.0
_NEAR_PRINT = 10
_LEAST_PAPER = 50
_WHOLLY, _MOSTLY, _PARTLY = 0.9, 0.5, 0.2
_FRINGE = 2
_CLEAR = 8
_LEAST_GRAIN = 0.002
_FELT_GREEN = 0.3
_BROWN_BLUE = 1.08
_BROWN_RED = (0.6, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class InkSheet:
    """A straightened page with its ink told from its paper and its print.

    Shape: arrays of one value a dot; ``paper`` holds how bright the bare paper is in red and green,
    0 to 255, ``soft`` the dots themselves in the same; ``usual`` how red against green most of the
    page is, as a logarithm; ``grain`` how rough the paper
    is where it is ``bare`` and far from print and ink, both empty when no stamp is asked for;
    ``inside`` which dots lie in the picture. One value a piece: ``kept`` (neither speck nor edge of
    print), ``stained`` (brown as coffee), ``owner``, the index of the region that holds the largest
    part of it, or -1. ``shares[region, piece]`` is the part of a piece inside a region. Lines that
    run straight through a region are no pieces; ``crossed`` tells the regions that have one, and
    ``whole`` is then the page with those lines counted as ink.
    """

    dark: Floats
    paper: tuple[NDArray[np.uint8], NDArray[np.uint8]]
    stained: Mask
    pieces: Pieces
    kept: Mask
    owner: NDArray[np.intp]
    shares: NDArray[np.float64]
    threshold: float
    soft: tuple[NDArray[np.uint8], NDArray[np.uint8]]
    usual: float
    grain: Floats
    bare: Mask
    inside: Mask
    printed: Mask
    crossed: tuple[bool, ...] = ()
    whole: "InkSheet | None" = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """What was measured in one region.

    Units: ``area`` square points; ``cover`` share of the columns with ink; ``extent`` points from
    top to bottom; ``count`` pieces; ``diagonal`` points, of the largest piece; ``contrast`` mean
    darkness 0 to 1; ``part`` share of the region's area; ``crossing`` square points of ink that
    belongs to pieces mostly outside; ``stain`` square points of brown, not counted as ink;
    ``relief`` roughness of the bare paper, 1 as elsewhere; ``light`` brightness of the paper 0 to
    255; ``tint`` how far its colour is off the page's; ``outside`` share of the region beyond the
    picture; ``with_line`` the same with a line counted that runs straight through and beyond both
    sides, None where there is no such line.
    """

    area: float
    cover: float
    extent: float
    count: int
    diagonal: float
    contrast: float
    part: float
    crossing: float
    stain: float
    relief: float
    light: float
    tint: float
    outside: float
    with_line: "Ink | None" = None


_NO_PLACE: Final = Ink(
    area=0.0,
    cover=0.0,
    extent=0.0,
    count=0,
    diagonal=0.0,
    contrast=0.0,
    part=0.0,
    crossing=0.0,
    stain=0.0,
    relief=1.0,
    light=0.0,
    tint=0.0,
    outside=1.0,
)
"""A region that lies beside the page, or has no width."""


def find_box(region: Region, height: float) -> tuple[slice, slice]:
    """Give the rows and columns of a region on the straightened page; none left of or above it."""
    scale = 1 / POINT
    return (
        slice(
            max(0, round((height - region.top) * scale)),
            max(0, round((height - region.bottom) * scale)),
        ),
        slice(max(0, round(region.left * scale)), max(0, round(region.right * scale))),
    )


def find_ink(
    page: Image.Image, inside: Mask, blank: ReadyBlank, regions: tuple[Region, ...]
) -> InkSheet:
    """Tell ink from paper and print on a page straightened at :data:`INK_DPI`.

    Blue light is left out of account: yellow felt pen vanishes, ink of every other colour stays.
    """
    soft = page.filter(ImageFilter.BoxBlur(1))
    paper = [compute_paper(np.asarray(soft.getchannel(name)), reach=_REACH) for name in "RGB"]
    boxes = tuple(find_box(region, blank.height) for region in regions)
    tones = [
        _find_tone(
            np.asarray(page.getchannel(name)),
            lay_tint(bare, np.asarray(soft.getchannel(name)), blank.tint, boxes),
        )
        for name, bare in zip("RGB", paper, strict=True)
    ]
    dark = np.maximum(tones[0], tones[1])
    threshold = _find_threshold(dark, blank, inside)
    printed = grow(blank.printed, _MARGIN)
    free = ~printed & inside
    ink = (dark > threshold) & free
    streaks, crossed = find_streaks(dark, ink, free, boxes, threshold)
    bare, grain = np.zeros((0, 0), np.bool_), np.zeros((0, 0), np.float32)
    if any(region.kind == "notary-stamp" for region in regions):
        bare = inside & ~grow(blank.printed | (ink & ~streaks), _CLEAR)
        grain = _find_grain(tones[1])

    def make_sheet(counted: Mask, whole: InkSheet | None) -> InkSheet:
        pieces = find_pieces(counted)
        brown, felt = _judge_colours(pieces, tones)
        owner, shares = _find_owners(pieces, blank.height, regions)
        return InkSheet(
            dark=dark,
            paper=(paper[0], paper[1]),
            stained=brown,
            pieces=pieces,
            kept=_keep(pieces, blank) & ~felt,
            owner=owner,
            shares=shares,
            threshold=threshold,
            soft=(red, green),
            usual=usual,
            grain=grain,
            bare=bare,
            inside=inside,
            printed=printed,
            crossed=crossed if whole else (),
            whole=whole,
        )

    red, green = (np.asarray(soft.getchannel(name)) for name in "RG")
    few = (slice(None, None, 8), slice(None, None, 8))
    usual = find_quantile(_find_hue(red[few], green[few]), 0.5)
    whole = make_sheet(ink, None)
    return make_sheet(ink & ~streaks, whole) if any(crossed) else whole


def measure_region(sheet: InkSheet, index: int, region: Region, blank: ReadyBlank) -> Ink:
    """Measure the ink in one region; ``index`` is its place among the regions given."""
    rows, columns = box = find_box(region, blank.height)
    if not sheet.inside[box].size:
        return _NO_PLACE
    labels = sheet.pieces.labels[box]
    some = labels >= 0
    present = np.flatnonzero(np.bincount(labels[some]))
    brown = sheet.stained[present]
    counted = sheet.kept[present] & ~brown
    share = sheet.shares[index, present]
    mine = (share >= _MOSTLY) | ((sheet.owner[present] == index) & (share >= _PARTLY))
    taken = present[counted & mine]
    ink = np.isin(labels, taken)
    strange = np.isin(labels, present[counted & ~mine])
    brown_dots = np.isin(labels, present[brown & sheet.kept[present]])
    high, wide = rows.stop - rows.start, columns.stop - columns.start
    down, across = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    pieces = sheet.pieces
    sizes = np.hypot(
        np.minimum(pieces.right[taken], columns.stop)
        - np.maximum(pieces.left[taken], columns.start),
        np.minimum(pieces.lower[taken], rows.stop) - np.maximum(pieces.upper[taken], rows.start),
    )
    area = float(ink.sum()) * POINT**2
    light, tint = _find_tint(sheet, box)
    with_line = None
    if sheet.whole and sheet.crossed[index]:
        with_line = measure_region(sheet.whole, index, region, blank)
    return Ink(
        area=area,
        cover=len(across) / max(wide, 1),
        extent=float(down[-1] - down[0] + 1) * POINT if len(down) else 0.0,
        count=len(taken),
        diagonal=float(sizes.max(initial=0.0)) * POINT,
        contrast=float(sheet.dark[box][ink].mean()) if len(down) else 0.0,
        part=float(ink.sum()) / max(high * wide, 1),
        crossing=float(strange.sum()) * POINT**2,
        stain=float(brown_dots.sum()) * POINT**2,
        relief=_find_relief(sheet, box),
        light=light,
        tint=tint,
        outside=float((~sheet.inside[box]).mean()),
        with_line=with_line,
    )


def _find_tone(channel: NDArray[np.uint8], bare: NDArray[np.uint8]) -> Floats:
    """Give how much of the light of its paper each dot keeps back, 0 to 1."""
    return np.asarray(1 - channel / np.maximum(bare, 1).astype(np.float32), dtype=np.float32)


def _find_threshold(dark: Floats, blank: ReadyBlank, inside: Mask) -> float:
    # Every other dot each way is enough for a middle.
    few = (slice(None, None, 2), slice(None, None, 2))
    bare = dark[few][(~grow(blank.printed, 4) & inside)[few]]
    print_depth = dark[blank.core & inside]
    if not len(bare):
        return 1.0
    middle = find_quantile(bare, 0.5)
    noise = middle + 5 * 1.4826 * find_quantile(np.abs(bare - middle), 0.5)
    depth = find_quantile(print_depth, 0.5) if len(print_depth) else 0.5
    return max(_LEAST_DARK, noise, 0.22 * depth)


def _find_owners(
    pieces: Pieces, height: float, regions: tuple[Region, ...]
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Give, per region and piece, the share of the piece inside; per piece, the best region."""
    shares = np.zeros((len(regions) + 1, pieces.count))
    for index, region in enumerate(regions):
        labels = pieces.labels[find_box(region, height)]
        shares[index] = np.bincount(labels[labels >= 0], minlength=pieces.count)
    shares /= np.maximum(pieces.area, 1)
    owner = shares.argmax(axis=0)
    return np.where(shares.max(axis=0) > 0, owner, -1), shares


def _keep(pieces: Pieces, blank: ReadyBlank) -> Mask:
    """Leave out specks, and what runs along the print: the soft edge of a rule or a box."""
    high, wide = pieces.lower - pieces.upper, pieces.right - pieces.left
    near = _share_of(pieces, grow(blank.printed, _NEAR_PRINT)) > _MOSTLY
    hugging = _share_of(pieces, grow(blank.printed, _MARGIN + 1)) > _WHOLLY
    flat, long = _FLAT / POINT, _LONG / POINT
    streak = ((high <= flat) & (wide >= long)) | ((wide <= flat) & (high >= long))
    fringe = hugging & (np.minimum(high, wide) <= _FRINGE)
    return np.asarray((pieces.area * POINT**2 >= _SPECK) & ~(streak & near) & ~fringe)


def _judge_colours(pieces: Pieces, tones: list[Floats]) -> tuple[Mask, Mask]:
    """Tell the pieces brown as coffee, and those left by a bright felt pen.

    Coffee loses blue light most and red least; black, blue, purple and red ink lose as much green
    as blue, or more. A yellow or green felt pen loses next to no green, every ink does.
    """
    dots = pieces.labels >= 0
    red, green, blue = (
        np.bincount(pieces.labels[dots], weights=tone[dots], minlength=pieces.count)
        for tone in tones
    )
    low, high = _BROWN_RED
    brown = (blue > _BROWN_BLUE * green) & (red > low * green) & (red < high * green)
    return brown, green < _FELT_GREEN * red


def _share_of(pieces: Pieces, mask: Mask) -> NDArray[np.float64]:
    inside = pieces.labels[(pieces.labels >= 0) & mask]
    return np.bincount(inside, minlength=pieces.count) / np.maximum(pieces.area, 1)


def _find_grain(tone: Floats) -> Floats:
    """Measure roughness about a point wide, the width of the edges of a raised seal."""
    return np.asarray(np.abs(_smooth(tone, 1) - _smooth(tone, 5)), dtype=np.float32)


def _smooth(values: Floats, reach: int) -> Floats:
    side = 2 * reach + 1
    padded = np.pad(values, reach, mode="edge")
    return np.asarray(box_sum(padded, side) / side**2, dtype=np.float32)


def _find_relief(sheet: InkSheet, box: tuple[slice, slice]) -> float:
    if not sheet.grain.size:
        return 1.0
    few = slice(None, None, 4)
    here, there = sheet.grain[box][sheet.bare[box]], sheet.grain[few, few][sheet.bare[few, few]]
    if len(here) < _LEAST_PAPER or len(there) < _LEAST_PAPER:
        return 1.0
    usual = max(find_quantile(there, 0.85), _LEAST_GRAIN)
    return find_quantile(here, 0.85) / usual


def _find_hue(red: NDArray[np.uint8], green: NDArray[np.uint8]) -> Floats:
    """Tell how red against green each dot is, as a logarithm."""
    ratio = (red.astype(np.float32) + 1) / (green.astype(np.float32) + 1)
    return np.asarray(np.log(ratio), dtype=np.float32)


def _find_tint(sheet: InkSheet, box: tuple[slice, slice]) -> tuple[float, float]:
    """Give the brightness of the paper, and how far most of the region is off the page's color."""
    red, green = (bare[box] for bare in sheet.paper)
    paper = find_quantile(np.abs(_find_hue(red, green) - sheet.usual), 0.8)
    clear = ~sheet.printed[box]
    dots = _find_hue(*(tone[box][clear] for tone in sheet.soft))
    all_of_it = find_quantile(np.abs(dots - sheet.usual), 0.5) if clear.any() else 0.0
    return float(green.mean() + 1), max(paper, all_of_it)
