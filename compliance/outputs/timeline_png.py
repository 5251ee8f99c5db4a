"""A picture as PNG, drawn twice as fine as it is kept, so that slanted edges are smooth."""

from functools import cache
from importlib.resources import files
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from compliance.outputs.pdf_kit import FONT, FONT_BOLD
from compliance.outputs.timeline_ink import Dot, Ink, Picture, Shape, Stroke, Text, measure

PIXELS = 2.0
"""Pixels a point of the file: 144 to the inch."""
_FINER = 2
TALLEST = 6_000.0
"""A page may be this many points high, so that drawing it takes a few hundred megabytes at most."""


def render_timeline_png(picture: Picture) -> bytes:
    """Make the PNG of a picture of one page; equal input gives equal bytes.

    Raises:
        ValueError: The picture has several pages, or one taller than ``TALLEST`` points.
    """
    if len(picture.pages) != 1 or picture.pages[0].height > TALLEST:
        raise ValueError("a PNG file holds one page of no more than 6,000 points")
    page = picture.pages[0]
    width, height = round(page.width * PIXELS), round(page.height * PIXELS)
    image = Image.new("RGB", (width * _FINER, height * _FINER), "#ffffff")
    draw = ImageDraw.Draw(image)
    for one in page.ink:
        _draw(draw, one)
    small = image.resize((width, height), Image.Resampling.BOX)
    buffer = BytesIO()
    dots = round(72 * PIXELS)
    small.save(buffer, "PNG", dpi=(dots, dots), optimize=False)
    return buffer.getvalue()


def _px(points: float) -> float:
    return points * PIXELS * _FINER


def _draw(draw: ImageDraw.ImageDraw, one: Ink) -> None:
    match one:
        case Stroke():
            for start, end in _pieces(one):
                draw.line((*start, *end), fill=one.color, width=max(round(_px(one.width)), 1))
        case Shape():
            corners = [(_px(x), _px(y)) for x, y in one.corners]
            width = max(round(_px(one.width)), 1)
            if one.fill:
                draw.polygon(corners, fill=one.fill)
            if one.color:
                draw.line([*corners, corners[0]], fill=one.color, width=width, joint="curve")
        case Dot():
            x, y, radius = _px(one.x), _px(one.y), _px(one.radius + one.width / 2)
            box = (x - radius, y - radius, x + radius, y + radius)
            draw.ellipse(
                box,
                fill=one.fill or None,
                outline=one.color or None,
                width=max(round(_px(one.width)), 1),
            )
        case Text():
            if one.paper:
                left, top, right, bottom = one.box
                draw.rectangle(
                    (_px(left - 1), _px(top), _px(right + 1), _px(bottom)), fill="#ffffff"
                )
            font = _font(FONT_BOLD if one.bold else FONT, _px(one.size))
            # A letter by itself: those of a picture are whole pixels wide, which over a long line
            # adds up to more than was measured.
            for at, letter in enumerate(one.text):
                x = one.x + measure(one.text[:at], one.size, one.bold)
                draw.text((_px(x), _px(one.y)), letter, fill=one.color, font=font, anchor="ls")


def _pieces(stroke: Stroke) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Give the inked pieces of a line; the last may be cut short."""
    start, end = (_px(stroke.x1), _px(stroke.y1)), (_px(stroke.x2), _px(stroke.y2))
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    if not stroke.dash or length == 0:
        return [(start, end)]

    def along(way: float) -> tuple[float, float]:
        part = min(way / length, 1.0)
        return (
            start[0] + (end[0] - start[0]) * part,
            start[1] + (end[1] - start[1]) * part,
        )

    pieces = []
    way, at = 0.0, 0
    while way < length:
        step = _px(stroke.dash[at % len(stroke.dash)])
        if at % 2 == 0:
            pieces.append((along(way), along(way + step)))
        way += step
        at += 1
    return pieces


@cache
def _font(name: str, size: float) -> ImageFont.FreeTypeFont:
    data = (files("compliance.outputs") / "fonts" / f"{name}.ttf").read_bytes()
    return ImageFont.truetype(BytesIO(data), size, layout_engine=ImageFont.Layout.BASIC)
