"""Drawing commands in points: what a picture is made of before it is SVG, PDF or PNG.

``x`` runs to the right and ``y`` down from the upper left corner of the page.
"""

import unicodedata
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeAlias

from compliance.outputs.pdf_kit import measure_text

BLACK = "#111111"
GREY = "#555555"
PALE = "#c8c8c8"
FAINT = "#e4e4e4"
WHITE = "#ffffff"
WARM = "#8f1d14"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A straight line; ``dash`` are the lengths of ink and gap in turn, none for a whole line."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float = 0.5
    color: str = BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A closed outline of corners, filled and then drawn round; an empty colour leaves it out."""

    corners: tuple[tuple[float, float], ...]
    fill: str = WHITE
    color: str = BLACK
    width: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A circle round a point."""

    x: float
    y: float
    radius: float
    fill: str = WHITE
    color: str = BLACK
    width: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text; ``x`` is its left end, ``y`` the line it stands on.

    ``width`` is its measured length, so that every writer can keep to it. ``paper`` puts a white
    ground under it.
    """

    x: float
    y: float
    text: str
    size: float
    width: float
    bold: bool = False
    color: str = BLACK
    paper: bool = False

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Give left, top, right and bottom of the room it takes."""
        return (
            self.x,
            self.y - ASCENT * self.size,
            self.x + self.width,
            self.y + DESCENT * self.size,
        )


Ink: TypeAlias = Stroke | Shape | Dot | Text

# Of the shipped font's letters, as parts of its size: the tallest capital with accent left out.
ASCENT = 0.78
DESCENT = 0.22


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Ink drawn from its own upper edge, with the height it takes.

    ``again`` is set for a heading: how it looks where it is repeated on the next page.
    """

    height: float
    ink: tuple[Ink, ...]
    again: tuple[Ink, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One sheet with its size and its ink, both in points."""

    width: float
    height: float
    ink: tuple[Ink, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture of one page or more; ``description`` says it in words."""

    title: str
    description: str
    pages: tuple[Page, ...]


@lru_cache(maxsize=20_000)
def clean_text(text: str) -> str:
    """Make any text one line that every writer can hold.

    Letters and their accents become one; what cannot be shown becomes the replacement character.
    """
    joined = " ".join(unicodedata.normalize("NFC", text).split())
    return "".join(
        "\ufffd" if unicodedata.category(char) in {"Cc", "Cs"} else char for char in joined
    )


@lru_cache(maxsize=20_000)
def measure(text: str, size: float, bold: bool = False) -> float:  # noqa: FBT001, FBT002 - the cache is quicker without keywords
    """Measure a cleaned text in points."""
    return measure_text(text, size, bold=bold)


def make_line(
    x: float,
    y: float,
    text: str,
    size: float,
    *,
    bold: bool = False,
    color: str = BLACK,
    paper: bool = False,
) -> Text:
    """Make a line of text that begins at *x*."""
    shown = clean_text(text)
    return Text(
        x=x,
        y=y,
        text=shown,
        size=size,
        width=measure(shown, size, bold),
        bold=bold,
        color=color,
        paper=paper,
    )


def wrap_text(text: str, size: float, room: float, *, bold: bool = False) -> tuple[str, ...]:
    """Break a text into lines of at most *room* points; a word longer than that is broken too.

    Shape: at least one line; no letter is lost.
    """
    lines: list[str] = []
    line = ""
    for word in clean_text(text).split(" "):
        joined = f"{line} {word}" if line else word
        if measure(joined, size, bold) <= room:
            line = joined
            continue
        if line:
            lines.append(line)
        rest = word
        while measure(rest, size, bold) > room and len(rest) > 1:
            fits = _letters_that_fit(rest, size, room, bold=bold)
            lines.append(rest[:fits])
            rest = rest[fits:]
        line = rest
    return (*lines, line)


def _letters_that_fit(word: str, size: float, room: float, *, bold: bool) -> int:
    count = len(word)
    while count > 1 and measure(word[:count], size, bold) > room:
        count -= 1
    return count


def move_ink(ink: tuple[Ink, ...], across: float, down: float) -> tuple[Ink, ...]:
    """Move ink by points."""
    return tuple(_map(one, 1.0, across, down) for one in ink)


def scale_ink(ink: tuple[Ink, ...], factor: float) -> tuple[Ink, ...]:
    """Make ink larger or smaller from the upper left corner, line widths and letters included."""
    return tuple(_map(one, factor, 0.0, 0.0) for one in ink)


def _map(one: Ink, factor: float, across: float, down: float) -> Ink:
    def at(x: float, y: float) -> tuple[float, float]:
        return (x * factor + across, y * factor + down)

    match one:
        case Stroke():
            (x1, y1), (x2, y2) = at(one.x1, one.y1), at(one.x2, one.y2)
            dash = tuple(length * factor for length in one.dash)
            return replace(one, x1=x1, y1=y1, x2=x2, y2=y2, width=one.width * factor, dash=dash)
        case Shape():
            corners = tuple(at(x, y) for x, y in one.corners)
            return replace(one, corners=corners, width=one.width * factor)
        case Dot():
            x, y = at(one.x, one.y)
            return replace(one, x=x, y=y, radius=one.radius * factor, width=one.width * factor)
        case Text():
            x, y = at(one.x, one.y)
            return replace(one, x=x, y=y, size=one.size * factor, width=one.width * factor)
