"""Lines straight through a place are not ink of it; what is written there still counts."""

from collections import Counter
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from compliance.scan.blank import INK_DPI, BlankPage, ReadyBlank, prepare_blank
from compliance.scan.decide import judge
from compliance.scan.ink import Ink, find_ink, measure_region
from compliance.scan.model import Region, Seen

WIDTH, HEIGHT = 612, 792
DOT = INK_DPI / 72
FINE = 2
"""The page is drawn finer and made smaller, so that lines have soft edges as in a picture."""
_MM = 72 / 25.4
PLACES = tuple(
    Region(
        id=f"signature-{row}-{column}",
        label="signature",
        kind="signature",
        page=0,
        left=left,
        bottom=HEIGHT - line,
        right=left + wide,
        top=HEIGHT - line + 32,
    )
    for row, line in enumerate(range(110, 750, 90))
    for column, (left, wide) in enumerate(((60.0, 200.0), (330.0, 220.0)))
)


@cache
def draw_blank() -> Image.Image:
    page = Image.new("RGB", (round(WIDTH * DOT * FINE), round(HEIGHT * DOT * FINE)), "white")
    pen, k = ImageDraw.Draw(page), DOT * FINE
    for place in PLACES:
        y = (HEIGHT - place.bottom) * k
        pen.line((place.left * k, y, place.right * k, y), fill="black", width=3)
        pen.text(
            (place.left * k, y + 4), "signature of the owner and day", fill="black", font_size=24
        )
    return page


@cache
def ready() -> ReadyBlank:
    grey = np.asarray(shrink(draw_blank()).convert("L"))
    return prepare_blank(BlankPage(page=0, grey=grey, dpi=INK_DPI, width=WIDTH, height=HEIGHT))


def shrink(page: Image.Image) -> Image.Image:
    return page.reduce(FINE)


def sign(page: Image.Image, place: Region, rng: np.random.Generator) -> None:
    """Write a wavy line with loops, and every other time run over the right end of the place."""
    over = float(rng.choice([0.6, 1.1]))
    t = np.linspace(0, 1, 160)
    turns = rng.uniform(5, 9)
    x = place.left + 12 + (place.right - place.left) * over * t + 5 * np.cos(2 * np.pi * turns * t)
    y = HEIGHT - place.bottom - 13 + rng.uniform(6, 11) * np.sin(2 * np.pi * turns * t + 1) - 3 * t
    points = [(float(a), float(b)) for a, b in zip(x * DOT * FINE, y * DOT * FINE, strict=True)]
    colour = ((28, 44, 140), (20, 20, 22), (110, 110, 112))[int(rng.integers(3))]
    ImageDraw.Draw(page).line(points, fill=colour, width=int(rng.integers(3, 7)))


@dataclass(frozen=True)
class Line:
    """A straight line right across the page, in points from the upper left."""

    x: float
    y: float
    angle: float

    def at(self, far: NDArray[np.float64]) -> NDArray[np.float64]:
        along = np.stack((np.cos(self.angle) * far, np.sin(self.angle) * far), axis=-1)
        return np.asarray(np.array([self.x, self.y]) + along, dtype=np.float64)

    def crosses(self, place: Region) -> bool:
        x, y = self.at(np.arange(-1200.0, 1200.0, 0.5)).T
        inside = (x > place.left) & (x < place.right)
        inside &= (HEIGHT - y > place.bottom) & (HEIGHT - y < place.top)
        return bool(inside.any())


def choose(place: Region, rng: np.random.Generator, off: float) -> Line:
    """Choose a line through a place, up to 10 degrees from level or upright."""
    return Line(
        x=float(rng.uniform(place.left + 3, place.right - 3)),
        y=HEIGHT - float(rng.uniform(place.bottom + 0.5, place.top - 0.5)),
        angle=float(np.radians(off + rng.uniform(-10, 10))),
    )


def streak(line: Line, rng: np.random.Generator) -> NDArray[np.float32]:
    """Give the light left by a line across the page: .2 to 1.5 mm wide, grey 60 to 200."""
    k = DOT * FINE
    ends = [(float(x) * k, float(y) * k) for x, y in line.at(np.array([-1200.0, 1200.0]))]
    mask = Image.new("L", (round(WIDTH * k), round(HEIGHT * k)))
    ImageDraw.Draw(mask).line(ends, fill=255, width=max(1, round(rng.uniform(0.2, 1.5) * _MM * k)))
    soft = shrink(mask).filter(ImageFilter.GaussianBlur(float(rng.choice([0, 0.5, 1.5]))))
    share = np.asarray(soft, dtype=np.float32)[:, :, None] / 255
    return np.asarray(1 - share * (1 - rng.integers(60, 201) / 255), dtype=np.float32)


def measure(page: Image.Image, light: NDArray[np.float32], rng: np.random.Generator) -> list[Ink]:
    """Measure every place of a page with the grain and the blur of a picture."""
    lit = np.asarray(shrink(page), dtype=np.float32) * light
    soft = Image.fromarray(lit.astype(np.uint8)).filter(
        ImageFilter.GaussianBlur(float(rng.uniform(0.2, 0.8)))
    )
    values = np.asarray(soft, dtype=np.float32)
    noisy = values + rng.normal(0, rng.uniform(0.5, 4), (*values.shape[:2], 1))
    image = Image.fromarray(noisy.clip(0, 255).astype(np.uint8))
    inside = np.ones((image.height, image.width), dtype=np.bool_)
    sheet = find_ink(image, inside, ready(), PLACES)
    return [measure_region(sheet, at, place, ready()) for at, place in enumerate(PLACES)]


def judged(ink: Ink) -> Seen:
    return judge(ink, "signature", two_level=False, covered=False).seen


def look_at_streaks(*, signed: bool, off: float, pages: int) -> Counter[Seen]:
    """Count the answers for the places that lines go through; *off* is 0 level, 90 upright.

    Shape: a level line for each row of places, or an upright one for each column.
    """
    answers: Counter[Seen] = Counter()
    for seed in range(pages):
        rng = np.random.default_rng((seed, int(off), int(signed)))
        page = draw_blank().copy()
        if signed:
            for place in PLACES:
                sign(page, place, rng)
        aimed = PLACES[:2] if off else PLACES[int(rng.integers(2)) :: 2]
        lines = [choose(place, rng, off) for place in aimed]
        light = np.ones((1, 1, 1), dtype=np.float32)
        for line in lines:
            light = light * streak(line, rng)
        for place, ink in zip(PLACES, measure(page, light, rng), strict=True):
            if any(line.crosses(place) for line in lines):
                answers[judged(ink)] += 1
    return answers


@pytest.mark.parametrize(("off", "pages", "least"), [(0.0, 5, 50), (90.0, 2, 20)])
def test_a_line_through_an_empty_place_is_never_a_signature(
    off: float, pages: int, least: int
) -> None:
    """Look at empty places with lines of any height, slant, width and shade.

    Run by hand with 21 and 8 pages, at least 300 places: none was taken for a signature.
    """
    answers = look_at_streaks(signed=False, off=off, pages=pages)

    assert answers.total() >= least
    assert answers[Seen.PRESENT] == 0


@pytest.mark.parametrize(("off", "pages", "least"), [(0.0, 3, 30), (90.0, 1, 10)])
def test_a_signature_under_a_line_is_never_missing(off: float, pages: int, least: int) -> None:
    """Look at signed places with lines through them, half of them written over the edge."""
    answers = look_at_streaks(signed=True, off=off, pages=pages)

    assert answers.total() >= least
    assert answers[Seen.MISSING] == 0
    assert answers[Seen.PRESENT] > 0.9 * answers.total()


def one_line(*ends: tuple[float, float], at: int = 0) -> Ink:
    """Measure a place of a page with one black line between points from the upper left."""
    page = draw_blank().copy()
    ImageDraw.Draw(page).line(
        [(x * DOT * FINE, y * DOT * FINE) for x, y in ends], fill=(20, 20, 22), width=6
    )
    return measure(page, np.ones((1, 1, 1), dtype=np.float32), np.random.default_rng(3))[at]


def test_a_line_that_ends_in_the_place_counts() -> None:
    """Keep a straight stroke that leaves the place on one side only: it was written there."""
    ink = one_line((100, 95), (330, 90))

    assert ink.with_line is None
    assert ink.area > 100


def test_a_line_bent_at_the_place_counts() -> None:
    """Keep a stroke that goes far beyond both sides and turns in the place."""
    ink = one_line((10, 60), (160, 100), (310, 60))

    assert ink.with_line is None
    assert ink.area > 100


def test_a_line_through_is_kept_beside_the_ink() -> None:
    """Measure a place with and without the line, and say so when only the line is there."""
    ink = one_line((5, 98), (607, 90), at=1)
    verdict = judge(ink, "signature", two_level=False, covered=False)

    assert ink.area < 3
    assert ink.with_line is not None
    assert ink.with_line.area > 200
    assert (verdict.seen, verdict.why) == (
        Seen.CANNOT_TELL,
        (
            "A straight line runs through here and on beyond both sides, such as a fold or the "
            "edge of a shadow. It does not count, and nothing else is seen. Look at the paper."
        ),
    )
