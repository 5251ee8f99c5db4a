"""Tinted boxes, as the fields of a fillable PDF are printed: the tint is no mark, ink on it is.

Boxes and marks are drawn with Pillow, apart from what reads them; the tints are common practice.
"""

import numpy as np
import pytest
from PIL import Image, ImageDraw

from compliance.scan.blank import INK_DPI, BlankPage, prepare_blank
from compliance.scan.decide import judge
from compliance.scan.ink import find_ink, measure_region
from compliance.scan.model import Region, Seen
from compliance.scan.tint import find_tint, lay_tint

DOT = INK_DPI / 72
WIDE, TALL = 240, 200
TINTS = [(204, 215, 255), (222, 235, 255), (217, 217, 217), (255, 247, 204)]
SIDES = [8, 10, 12, 14]


def place(side: int) -> Region:
    return Region(
        id="a", label="a", kind="check", page=0, left=90, bottom=100, right=90 + side,
        top=100 + side,
    )  # fmt: skip


def draw(side: int, tint: tuple[int, int, int]) -> tuple[Image.Image, tuple[float, ...]]:
    """A page with a line of words and one box; its box in dots."""
    page = Image.new("RGB", (round(WIDE * DOT), round(TALL * DOT)), (255, 255, 255))
    pen = ImageDraw.Draw(page)
    pen.text((40, 40), "Kind of owner, mark one", fill=(0, 0, 0))
    box = (90 * DOT, (TALL - 100 - side) * DOT, (90 + side) * DOT, (TALL - 100) * DOT)
    pen.rectangle(box, fill=tint, outline=(0, 0, 0), width=2)
    return page, box


def look(page: Image.Image, side: int, tint: tuple[int, int, int], fade: float) -> Seen:
    """What is seen in the box on a page taken in shade, its light colors faded or deepened."""
    blank = draw(side, tint)[0].convert("L")
    ready = prepare_blank(
        BlankPage(page=0, grey=np.asarray(blank), dpi=INK_DPI, width=WIDE, height=TALL)
    )
    values = 255 * (np.asarray(page, dtype=np.float32) / 255) ** fade
    values *= np.linspace(0.9, 0.65, page.width)[None, :, None]
    shot = Image.fromarray(values.astype(np.uint8))
    inside = np.ones((shot.height, shot.width), dtype=bool)
    sheet = find_ink(shot, inside, ready, (place(side),))
    ink = measure_region(sheet, 0, place(side), ready)
    return judge(ink, "check", two_level=False, covered=False).seen


@pytest.mark.parametrize("fade", [0.6, 1.0, 1.3])
@pytest.mark.parametrize("tint", TINTS)
@pytest.mark.parametrize("side", SIDES)
def test_the_tint_of_a_box_is_no_mark(side: int, tint: tuple[int, int, int], fade: float) -> None:
    """However strong the printer and the camera made it."""
    assert look(draw(side, tint)[0], side, tint, fade) is Seen.MISSING


@pytest.mark.parametrize("tint", TINTS)
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("pen", [(20, 30, 110), (95, 95, 98)])
def test_a_mark_on_a_tint_is_seen(
    side: int, tint: tuple[int, int, int], pen: tuple[int, int, int]
) -> None:
    """By pen and by pencil; a box filled with color all over may be covered by something."""
    crossed, (left, top, right, low) = draw(side, tint)
    ink = ImageDraw.Draw(crossed)
    ink.line((left + 2, top + 2, right - 2, low - 2), fill=pen, width=2)
    ink.line((left + 2, low - 2, right - 2, top + 2), fill=pen, width=2)
    full, _ = draw(side, tint)
    ImageDraw.Draw(full).rectangle((left + 3, top + 3, right - 3, low - 3), fill=pen)

    assert look(crossed, side, tint, 1.0) is Seen.PRESENT
    assert look(full, side, tint, 1.0) is not Seen.MISSING


def test_a_box_printed_without_its_tint_is_looked_at_as_white() -> None:
    """Some programs print no colors of fields."""
    white = (255, 255, 255)

    assert look(draw(12, white)[0], 12, TINTS[0], 1.0) is Seen.MISSING


def test_letters_rules_and_black_bars_are_no_tint() -> None:
    """Only what is light and even."""
    page, _ = draw(12, (255, 255, 255))
    ImageDraw.Draw(page).rectangle((20, 80, 60, 100), fill=(20, 20, 20))
    grey = np.asarray(page.convert("L"))

    assert not find_tint(grey).any()
    assert lay_tint(grey, grey, find_tint(grey), ((slice(0, 9), slice(0, 9)),)) is grey
