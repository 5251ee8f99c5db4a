"""Ink is told from paper, print, light and dirt. Reference filters: scipy.ndimage."""

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

from compliance.scan.blank import INK_DPI, BlankPage, ReadyBlank, prepare_blank
from compliance.scan.ink import Ink, find_ink, measure_region
from compliance.scan.light import box_sum, compute_paper, running_least, running_most
from compliance.scan.model import Region
from compliance.scan.pieces import find_pieces

WIDTH, HEIGHT = 612, 792
DOT = INK_DPI / 72


def region(kind: str, left: float, bottom: float, right: float, top: float) -> Region:
    return Region(
        id=kind, label=kind, kind=kind, page=0, left=left, bottom=bottom, right=right, top=top
    )


SIGNATURE = region("signature", 72, 300, 332, 335)
DATE = region("date", 340, 300, 480, 325)
BOX = region("check", 100, 600, 112, 612)
STAMP = region("notary-stamp", 72, 100, 252, 220)
ALL = (SIGNATURE, DATE, BOX, STAMP)


def draw_blank() -> Image.Image:
    """Two rules, a box and some words, at INK_DPI."""
    page = Image.new("RGB", (round(WIDTH * DOT), round(HEIGHT * DOT)), "white")
    pen = ImageDraw.Draw(page)
    for left, right in ((72, 332), (340, 480)):
        pen.line((left * DOT, 493 * DOT, right * DOT, 493 * DOT), fill="black", width=2)
    pen.rectangle((100 * DOT, 180 * DOT, 112 * DOT, 192 * DOT), outline="black", width=2)
    pen.text((72 * DOT, 500 * DOT), "signature of the owner and the day", fill="black")
    return page


def pen_of(page: Image.Image) -> ImageDraw.ImageDraw:
    return ImageDraw.Draw(page)


def squiggle(left: float, top: float, wide: float, tall: float) -> list[tuple[float, float]]:
    t = np.linspace(0, 1, 60)
    x, y = left + wide * t, top + tall * (0.5 + 0.5 * np.sin(25 * t))
    return [(float(a) * DOT, float(b) * DOT) for a, b in zip(x, y, strict=True)]


def blank() -> ReadyBlank:
    grey = np.asarray(draw_blank().convert("L"))
    return prepare_blank(BlankPage(page=0, grey=grey, dpi=INK_DPI, width=WIDTH, height=HEIGHT))


def measure(page: Image.Image) -> dict[str, Ink]:
    inside = np.ones((page.height, page.width), dtype=bool)
    ready = blank()
    sheet = find_ink(page, inside, ready, ALL)
    return {
        place.kind: measure_region(sheet, index, place, ready) for index, place in enumerate(ALL)
    }


def shade(page: Image.Image) -> Image.Image:
    """Put a shadow edge across the page and a fall of light down it."""
    values = np.asarray(page, dtype=np.float32).copy()
    values *= np.linspace(1, 0.6, page.height)[:, None, None]
    edge = 1 - 0.45 / (1 + np.exp(-(np.arange(page.width) - 420) / 12))
    return Image.fromarray((values * edge[None, :, None]).astype(np.uint8))


@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.6, 0.95])
def test_find_pieces_agrees_with_scipy(share: float) -> None:
    mask = np.random.default_rng(4).random((90, 131)) < share

    pieces = find_pieces(mask)

    labels, count = ndimage.label(mask, np.ones((3, 3)))
    pairs = {(int(a), int(b)) for a, b in zip(pieces.labels[mask], labels[mask], strict=True)}
    assert (pieces.count, len(pairs)) == (count, count)
    assert (pieces.labels[~mask] == -1).all()
    boxes = ndimage.find_objects(labels)
    for ours, theirs in pairs:
        rows, columns = boxes[theirs - 1]
        assert (pieces.upper[ours], pieces.lower[ours]) == (rows.start, rows.stop)
        assert (pieces.left[ours], pieces.right[ours]) == (columns.start, columns.stop)
        assert pieces.area[ours] == (labels == theirs).sum()


def test_find_pieces_of_an_empty_mask_finds_none() -> None:
    assert find_pieces(np.zeros((5, 7), dtype=bool)).count == 0


@pytest.mark.parametrize("reach", [0, 1, 2, 5, 12])
def test_running_filters_agree_with_scipy(reach: int) -> None:
    values = np.random.default_rng(5).integers(0, 256, (60, 47)).astype(np.uint8)
    side = 2 * reach + 1

    most, least = running_most(values, reach), running_least(values, reach)
    paper = compute_paper(values, reach=reach)

    assert (most == ndimage.maximum_filter(values, side, mode="nearest")).all()
    assert (least == ndimage.minimum_filter(values, side, mode="nearest")).all()
    inner = slice(side, -side) if reach else slice(None)
    closed = ndimage.grey_closing(values, (side, side))
    assert (paper[inner, inner] == closed[inner, inner]).all()


def test_box_sum_agrees_with_adding_up() -> None:
    values = np.random.default_rng(6).random((20, 17)).astype(np.float32)

    summed = box_sum(values, 5)

    assert summed.shape == (16, 13)
    assert summed[3, 7] == pytest.approx(values[3:8, 7:12].sum(), rel=1e-5)


def test_blank_page_has_no_ink() -> None:
    for ink in measure(draw_blank()).values():
        assert (ink.area, ink.count, ink.stain, ink.crossing) == (0, 0, 0, 0)


def test_blank_page_in_uneven_light_has_no_ink() -> None:
    found = measure(shade(draw_blank()))

    assert {kind: ink.area for kind, ink in found.items()} == dict.fromkeys(found, 0.0)


def test_print_that_is_slightly_off_is_not_ink() -> None:
    moved = Image.new("RGB", draw_blank().size, "white")
    moved.paste(draw_blank(), (1, 2))

    found = measure(moved)

    assert max(ink.area for ink in found.values()) < 3


@pytest.mark.parametrize(
    "colour", [(20, 20, 22), (28, 44, 140), (150, 30, 40), (70, 30, 110), (130, 130, 132)]
)
@pytest.mark.parametrize("shaded", [False, True])
def test_writing_of_any_ink_is_measured(colour: tuple[int, int, int], *, shaded: bool) -> None:
    page = draw_blank()
    pen_of(page).line(squiggle(100, 462, 150, 26), fill=colour, width=2)

    ink = measure(shade(page) if shaded else page)["signature"]

    assert ink.cover == pytest.approx(150 / 260, abs=0.05)
    assert ink.extent == pytest.approx(27, abs=3)
    assert ink.diagonal > 140
    assert ink.stain == 0


def test_writing_that_runs_over_from_a_neighbor_is_not_counted() -> None:
    page = draw_blank()
    pen_of(page).line(squiggle(100, 468, 270, 22), fill=(28, 44, 140), width=2)

    found = measure(page)

    assert found["signature"].area > 150
    assert found["date"].area == 0
    assert found["date"].crossing > 5


@pytest.mark.parametrize("colour", [(255, 250, 70), (170, 255, 120)])
def test_felt_pen_is_not_ink(colour: tuple[int, int, int]) -> None:
    page = draw_blank()
    values = np.asarray(page).copy()
    for place in (SIGNATURE, BOX):
        rows = slice(round((HEIGHT - place.top) * DOT), round((HEIGHT - place.bottom) * DOT))
        columns = slice(round(place.left * DOT), round(place.right * DOT))
        values[rows, columns] = np.minimum(values[rows, columns], colour)

    found = measure(Image.fromarray(values))

    assert (found["signature"].area, found["check"].area) == (0, 0)


def test_coffee_is_told_from_ink() -> None:
    page = draw_blank()
    pen_of(page).arc(
        (60 * DOT, 400 * DOT, 260 * DOT, 600 * DOT), 0, 360, fill=(190, 166, 143), width=7
    )

    found = measure(page)

    assert found["signature"].area == 0
    assert found["signature"].stain > 20


def test_mark_in_a_box_is_measured_without_its_frame() -> None:
    page = draw_blank()
    for ends in ((101, 181, 111, 191), (111, 181, 101, 191)):
        pen_of(page).line([value * DOT for value in ends], fill=(20, 20, 22), width=2)

    ink = measure(page)["check"]

    assert ink.area > 8
    assert ink.diagonal < 15


def test_specks_are_not_ink() -> None:
    page = draw_blank()
    for x, y in ((120, 470), (200, 480), (300, 466), (400, 480)):
        pen_of(page).point([(x * DOT, y * DOT), (x * DOT + 1, y * DOT)], fill=(40, 40, 40))

    found = measure(page)

    assert (found["signature"].area, found["date"].area) == (0, 0)


def test_raised_seal_shows_as_relief() -> None:
    rng = np.random.default_rng(8)
    page = np.asarray(draw_blank(), dtype=np.float32) - 30 + rng.normal(0, 1.2, (1320, 1020, 1))
    y, x = np.mgrid[: page.shape[0], : page.shape[1]]
    ring = np.hypot(x - 162 * DOT, y - (HEIGHT - 160) * DOT)
    raised = page + (np.sin(ring / 3) * 9 * (ring < 50 * DOT))[:, :, None]

    flat, seal = (
        measure(Image.fromarray(values.clip(0, 255).astype(np.uint8)))["notary-stamp"]
        for values in (page, raised)
    )

    assert flat.relief == pytest.approx(1, abs=0.25)
    assert seal.relief > 1.6
    assert seal.area < 40


def test_what_lies_outside_the_picture_is_known() -> None:
    page = draw_blank()
    inside = np.ones((page.height, page.width), dtype=bool)
    inside[:, round(272 * DOT) :] = False
    ready = blank()

    sheet = find_ink(page, inside, ready, ALL)
    shares: NDArray[np.float64] = np.array(
        [measure_region(sheet, n, place, ready).outside for n, place in enumerate(ALL)]
    )

    assert shares == pytest.approx([60 / 260, 1, 0, 0], abs=0.01)
