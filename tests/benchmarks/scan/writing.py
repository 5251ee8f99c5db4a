"""Ink for the picture benchmark: writing by pen and machine, ticks, stamps, and what misleads."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import reportlab
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from sklearn.datasets import load_digits

from compliance.scan.model import Region
from tests.benchmarks.scan.layouts import HEIGHT, PAGE_DPI

Rng = np.random.Generator
SCALE = PAGE_DPI / 72
PENS = (
    (24, 26, 30),
    (20, 20, 22),
    (28, 44, 140),
    (40, 70, 170),
    (70, 30, 110),
    (150, 30, 40),
    (95, 95, 98),
)
PENCIL = PENS[-1]
STAMPS = ((25, 40, 130), (22, 22, 26), (170, 30, 40), (90, 40, 120))
_FONTS = Path(reportlab.__file__).parent / "fonts"
_DIGITS = load_digits().images / 16.0
# Plain letters as strokes on a square of side 1, y down; our own.
_LETTERS = (
    ((0, 1, 0.5, 0), (0.5, 0, 1, 1), (0.2, 0.6, 0.8, 0.6)),
    ((0, 0, 0, 1), (0, 0.5, 0.8, 0.5), (0.8, 0, 0.8, 1)),
    ((0.9, 0.1, 0.2, 0.2), (0.2, 0.2, 0.1, 0.8), (0.1, 0.8, 0.9, 0.9)),
    ((0, 0, 0, 1), (0, 1, 0.8, 1)),
    ((0, 1, 0.1, 0), (0.1, 0, 0.5, 0.7), (0.5, 0.7, 0.9, 0), (0.9, 0, 1, 1)),
    ((0, 1, 0, 0), (0, 0, 0.9, 1), (0.9, 1, 0.9, 0)),
    ((0.4, 0, 0.4, 1), (0, 0, 0.8, 0)),
    ((0, 0.5, 0.1, 1), (0.1, 1, 0.6, 0.9), (0.6, 0.9, 0.6, 0.5), (0.6, 0.5, 0.1, 0.5)),
    ((0.1, 0.4, 0.1, 1), (0.1, 0.5, 0.6, 0.4)),
    ((0.1, 0.5, 0.5, 1), (0.5, 1, 0.9, 0.4)),
    ((0.5, 0.4, 0.1, 0.7), (0.1, 0.7, 0.5, 1), (0.5, 1, 0.9, 0.7), (0.9, 0.7, 0.5, 0.4)),
    ((0.2, 0, 0.2, 1),),
)
_NAMES = ("Odile Ferrant", "Wren Castellow", "Sandbur Flats Aerial LLC", "Burrell Crossing, NE")


@dataclass
class Paper:
    """The written page as colour at PAGE_DPI, values 0 to 255."""

    image: Image.Image
    rng: Rng

    def lay(self, mask: Image.Image, at: tuple[float, float], colour: tuple[int, int, int]) -> None:
        """Lay ink of a colour where the mask is; it multiplies with what is under it."""
        box = (round(at[0]), round(at[1]), round(at[0]) + mask.width, round(at[1]) + mask.height)
        under = self.image.crop(box)
        ink = np.asarray(mask, dtype=np.float32)[:, :, None] / 255
        shade = 1 - ink * (1 - np.array(colour, dtype=np.float32) / 255)
        done = np.asarray(under, dtype=np.float32) * shade
        self.image.paste(Image.fromarray(done.astype(np.uint8)), box[:2])


def place(region: Region) -> tuple[float, float, float, float]:
    """Give the region as left, upper, width, height in page dots."""
    return (
        region.left * SCALE,
        (HEIGHT - region.top) * SCALE,
        (region.right - region.left) * SCALE,
        (region.top - region.bottom) * SCALE,
    )


def draw_strokes(
    strokes: list[NDArray[np.float64]], size: tuple[float, float], width: float, rng: Rng
) -> Image.Image:
    """Draw polylines given in page dots into a mask, with the pressure of a hand."""
    big = Image.new("L", (max(2, int(size[0] * 2)), max(2, int(size[1] * 2))))
    pen = ImageDraw.Draw(big)
    for line in strokes:
        press = rng.uniform(190, 255)
        pen.line(
            [(float(x) * 2, float(y) * 2) for x, y in line],
            fill=int(press),
            width=max(1, round(width * 2)),
            joint="curve",
        )
    return big.resize((max(1, big.width // 2), max(1, big.height // 2)), Image.Resampling.BOX)


def curve(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Round a polyline through its points (Catmull-Rom)."""
    p = np.concatenate((points[:1], points, points[-1:]))
    t = np.linspace(0, 1, 8)[:, None]
    parts = []
    for a, b, c, d in zip(p, p[1:], p[2:], p[3:], strict=False):
        parts.append(
            0.5
            * (
                2 * b
                + (c - a) * t
                + (2 * a - 5 * b + 4 * c - d) * t**2
                + (3 * b - a - 3 * c + d) * t**3
            )
        )
    return np.concatenate(parts)


def sign(paper: Paper, region: Region, colour: tuple[int, int, int], *, wild: bool) -> None:
    """Write a signature; a wild one leaves its place on the right and below."""
    rng = paper.rng
    left, top, width, height = place(region)
    long = min(width * rng.uniform(0.35, 0.9), 190 * SCALE) * (1.25 if wild else 1)
    tall = min(height * rng.uniform(0.5, 0.95), 34 * SCALE) * (1.5 if wild else 1)
    count = int(rng.integers(9, 26))
    x = np.sort(rng.uniform(0, 1, count)) + rng.normal(0, 0.04, count)
    y = 0.5 + rng.uniform(-0.5, 0.5, count) * np.where(rng.random(count) < 0.3, 1, 0.5)
    pad = 14.0
    points = np.stack((pad + np.clip(x, 0, 1) * long, pad + np.clip(y, 0, 1) * tall), axis=1)
    strokes = [curve(points)]
    if rng.random() < 0.4:
        strokes.append(np.array([(pad, pad + tall * 0.8), (pad + long, pad + tall * 0.7)]))
    mask = draw_strokes(
        strokes, (long + 2 * pad, tall + 2 * pad), rng.uniform(0.7, 1.8) * SCALE * 0.8, rng
    )
    x0 = left + rng.uniform(0, 0.25) * (width - min(long, width)) + rng.uniform(0, 12)
    y0 = top + height - tall + rng.uniform(-0.25, 0.08) * height
    paper.lay(mask, (x0 - pad, y0 - pad), colour)


def hand_print(paper: Paper, region: Region, colour: tuple[int, int, int], letters: int) -> None:
    """Write letters one by one."""
    rng = paper.rng
    left, top, width, height = place(region)
    tall = min(height * 0.62, rng.uniform(8, 13) * SCALE)
    advance = min(tall * rng.uniform(0.7, 0.95), (width - 8) / max(letters, 1))
    strokes = []
    for n in range(letters):
        if letters > 6 and rng.random() < 0.1:
            continue
        for stroke in _LETTERS[int(rng.integers(len(_LETTERS)))]:
            line = np.array(stroke).reshape(2, 2) + rng.normal(0, 0.05, (2, 2))
            strokes.append(8 + np.array([n * advance, 0]) + line * (advance * 0.8, tall))
    size = (letters * advance + 16, tall + 16)
    mask = draw_strokes(strokes, size, rng.uniform(0.6, 1.5) * SCALE * 0.8, rng)
    x0 = left + rng.uniform(2, max(3, min(width * 0.3, width - size[0])))
    y0 = top + height - tall - rng.uniform(0.02, 0.2) * height
    paper.lay(mask, (x0 - 8, y0 - 8), colour)


def digits(paper: Paper, region: Region, colour: tuple[int, int, int], count: int) -> None:
    """Write real handwritten digits (scikit-learn), with slashes as in a date."""
    rng = paper.rng
    left, top, width, height = place(region)
    tall = min(height * 0.7, rng.uniform(9, 14) * SCALE)
    wide = min(tall * 0.75, (width - 6) / count)
    x0 = left + rng.uniform(2, max(3.0, (width - wide * count) * 0.5))
    y0 = top + height - tall - rng.uniform(0.02, 0.2) * height
    for n in range(count):
        if count > 5 and n in {2, 5}:
            line = np.array([(wide * 0.75, 3), (wide * 0.25, tall)])
            mask = draw_strokes([line], (wide + 4, tall + 4), 1.1 * SCALE * 0.8, rng)
        else:
            values = _DIGITS[int(rng.integers(len(_DIGITS)))]
            drawn = Image.fromarray((values * 255).astype(np.uint8)).resize(
                (max(4, int(wide)), max(4, int(tall))), Image.Resampling.BICUBIC
            )
            mask = drawn.point(lambda v: min(255, max(0, int((v - 110) * 2.4))))
        paper.lay(mask, (x0 + n * wide, y0), colour)


def machine_text(paper: Paper, region: Region, words: str) -> None:
    """Type words, as printed from a computer onto the form."""
    rng = paper.rng
    left, top, _, height = place(region)
    name = rng.choice(["Vera.ttf", "VeraIt.ttf", "VeraBd.ttf"])
    font = ImageFont.truetype(str(_FONTS / str(name)), int(rng.uniform(8.5, 11) * SCALE))
    box = font.getbbox(words)
    mask = Image.new("L", (int(box[2]) + 4, int(box[3]) + 4))
    ImageDraw.Draw(mask).text((0, 0), words, fill=245, font=font)
    room = int(place(region)[2])
    paper.lay(
        mask.crop((0, 0, min(mask.width, room), mask.height)),
        (left + rng.uniform(2, 10), top + height - mask.height - rng.uniform(1, 0.15 * height + 1)),
        (30, 30, 32),
    )


def script_text(paper: Paper, region: Region, words: str, colour: tuple[int, int, int]) -> None:
    """Write words in a script face, leaning a little."""
    rng = paper.rng
    left, top, width, height = place(region)
    font = ImageFont.truetype(str(_FONTS / "callig15.pfb"), int(rng.uniform(11, 17) * SCALE))
    box = font.getbbox(words)
    mask = Image.new("L", (int(box[2]) + 20, int(box[3]) + 20))
    ImageDraw.Draw(mask).text((8, 8), words, fill=245, font=font)
    mask = mask.rotate(float(rng.normal(0, 2)), Image.Resampling.BILINEAR)
    ink = mask.crop(mask.getbbox())
    ink = ink.crop((0, 0, min(ink.width, int(width)), ink.height))
    rest = max(4.0, (width - ink.width) * 0.5)
    paper.lay(
        ink, (left + rng.uniform(2, rest), top + height - ink.height - rng.uniform(0, 6)), colour
    )


def tick(paper: Paper, region: Region, colour: tuple[int, int, int]) -> None:
    """Mark a box: a cross, a tick, a stroke, or filled in."""
    rng = paper.rng
    left, top, width, height = place(region)
    pad, spread = width * 0.6, rng.uniform(0.7, 1.35)
    shapes = {
        "cross": [[(0.1, 0.1), (0.9, 0.9)], [(0.9, 0.1), (0.1, 0.9)]],
        "tick": [[(0.1, 0.5), (0.4, 0.9), (1.05, -0.05)]],
        "stroke": [[(0.1, 0.9), (0.9, 0.1)]],
        "fill": [[(0.15, 0.2 + 0.12 * n), (0.85, 0.25 + 0.12 * n)] for n in range(6)],
    }
    kind = str(rng.choice(list(shapes), p=[0.45, 0.35, 0.08, 0.12]))
    strokes = []
    for shape in shapes[kind]:
        line = (np.array(shape) - 0.5) * spread + 0.5 + rng.normal(0, 0.04, (len(shape), 2))
        strokes.append(pad + line * (width, height))
    mask = draw_strokes(
        strokes, (width + 2 * pad, height + 2 * pad), rng.uniform(0.7, 1.6) * SCALE * 0.8, rng
    )
    shift = rng.normal(0, 0.07 * width, 2)
    paper.lay(mask, (left - pad + shift[0], top - pad + shift[1]), colour)


def stamp(paper: Paper, region: Region, *, embossed: bool, off: float) -> None:
    """Press a stamp: inked with patches left dry, or raised without ink."""
    rng = paper.rng
    left, top, width, height = place(region)
    kind = rng.choice(["round", "oval", "rect", "text"])
    w = int(min(width, height * (1 if kind == "round" else 1.6)) * rng.uniform(0.75, 0.98))
    h = w if kind == "round" else int(min(height * 0.95, w * rng.uniform(0.35, 0.6)))
    mask = Image.new("L", (w + 8, h + 8))
    pen = ImageDraw.Draw(mask)
    edge = max(2, int(rng.uniform(0.8, 1.6) * SCALE))
    if kind in {"round", "oval"}:
        pen.ellipse((2, 2, w, h), outline=255, width=edge)
        pen.ellipse((w * 0.14, h * 0.14, w * 0.86, h * 0.86), outline=255, width=edge // 2 + 1)
    elif kind == "rect":
        pen.rectangle((2, 2, w, h), outline=255, width=edge)
    font = ImageFont.truetype(str(_FONTS / "VeraBd.ttf"), max(10, int(h / 6.5)))
    for n, line in enumerate(("NOTARY PUBLIC", "Sample State", "No. 555 0100")):
        pen.text((w / 2, h * (0.3 + 0.2 * n)), line, fill=255, font=font, anchor="mm")
    mask = mask.rotate(float(rng.normal(0, 5)), Image.Resampling.BILINEAR, expand=True)
    x = left + (width - mask.width) / 2 + rng.uniform(-1, 1) * off * SCALE
    y = top + (height - mask.height) / 2 + rng.uniform(-1, 1) * off * SCALE
    if embossed:
        _emboss(paper, mask, (x, y))
        return
    patch = Image.fromarray(rng.uniform(40, 300, (6, 9)).clip(0, 255).astype(np.uint8))
    dry = np.asarray(patch.resize(mask.size, Image.Resampling.BICUBIC), dtype=np.float32) / 255
    press = rng.uniform(0.55, 0.95)
    inked = np.asarray(mask, dtype=np.float32) * np.clip(dry + 0.25, 0, 1) * press
    paper.lay(Image.fromarray(inked.astype(np.uint8)), (x, y), STAMPS[int(rng.integers(4))])


def _emboss(paper: Paper, mask: Image.Image, at: tuple[float, float]) -> None:
    """Raised paper: bright towards the light, dark away from it, no ink."""
    soft = np.asarray(mask.filter(ImageFilter.GaussianBlur(1.6)), dtype=np.float32) / 255
    slope = np.roll(soft, (-2, -2), (0, 1)) - np.roll(soft, (2, 2), (0, 1))
    box = (round(at[0]), round(at[1]), round(at[0]) + mask.width, round(at[1]) + mask.height)
    under = np.asarray(paper.image.crop(box), dtype=np.float32)
    shade = under + (slope * paper.rng.uniform(12, 38))[:, :, None]
    paper.image.paste(Image.fromarray(shade.clip(0, 255).astype(np.uint8)), box[:2])


def highlight(paper: Paper, region: Region) -> None:
    """Mark the place with a yellow, green or pink felt pen."""
    left, top, width, height = place(region)
    mask = Image.new("L", (int(width * 0.9), int(height * 0.8)), 200)
    colours = ((255, 250, 70), (255, 240, 60), (170, 255, 120), (255, 140, 195))
    colour = colours[int(paper.rng.choice(4, p=[0.4, 0.25, 0.2, 0.15]))]
    paper.lay(mask, (left + width * 0.05, top + height * 0.1), colour)


def thin_cross(paper: Paper, region: Region) -> None:
    """Put the small cross with which a sender shows where to sign."""
    rng = paper.rng
    left, top, _, height = place(region)
    side = rng.uniform(6, 9) * SCALE
    lines = [np.array([(4, 4), (4 + side, 4 + side)]), np.array([(4 + side, 4), (4, 4 + side)])]
    mask = draw_strokes(lines, (side + 8, side + 8), rng.uniform(0.6, 1.0) * SCALE * 0.8, rng)
    paper.lay(mask, (left + rng.uniform(0, 6), top + height - side - 8), PENS[int(rng.integers(5))])


def coffee_ring(paper: Paper) -> None:
    """Set down a cup somewhere on the page."""
    rng = paper.rng
    radius = rng.uniform(80, 115) * SCALE
    size = int(2 * radius + 20)
    mask = Image.new("L", (size, size))
    pen = ImageDraw.Draw(mask)
    wide = int(rng.uniform(2.5, 6) * SCALE)
    pen.ellipse((10, 10, size - 10, size - 10), outline=int(rng.uniform(90, 190)), width=wide)
    patch = Image.fromarray(rng.uniform(0, 330, (5, 5)).clip(0, 255).astype(np.uint8))
    dry = np.asarray(patch.resize(mask.size, Image.Resampling.BICUBIC), dtype=np.float32) / 255
    done = np.asarray(mask.filter(ImageFilter.GaussianBlur(2)), dtype=np.float32) * dry
    x = rng.uniform(0, max(1, paper.image.width - size))
    y = rng.uniform(0, max(1, paper.image.height - size))
    paper.lay(Image.fromarray(done.astype(np.uint8)), (x, y), (120, 80, 40))


def fold(paper: Paper) -> None:
    """Fold the sheet as for an envelope: two soft lines across."""
    rng = paper.rng
    image = np.asarray(paper.image, dtype=np.float32).copy()
    for share in (1 / 3, 2 / 3):
        row = int(image.shape[0] * share + rng.normal(0, 12))
        for off in range(-4, 5):
            image[row + off] *= 1 - rng.uniform(0.04, 0.14) * np.exp(-(off**2) / 4)
    paper.image.paste(Image.fromarray(image.clip(0, 255).astype(np.uint8)))


def specks(paper: Paper) -> None:
    """Scatter dust."""
    rng = paper.rng
    pen = ImageDraw.Draw(paper.image)
    for _ in range(int(rng.integers(10, 50))):
        x, y = rng.uniform(0, paper.image.width), rng.uniform(0, paper.image.height)
        r = rng.uniform(0.2, 0.6) * SCALE
        pen.ellipse((x - r, y - r, x + r, y + r), fill=(70, 66, 60))


def words_for(rng: Rng) -> str:
    """Pick some words to type."""
    return str(rng.choice(_NAMES))
