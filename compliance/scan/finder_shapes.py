"""What is printed on one page of a form, as plain rectangles: words, strokes, boxes, fields.

All rectangles are in PDF points with the origin at the lower left of the page as it is shown.
"""

from dataclasses import dataclass, replace
from typing import TypeVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """A rectangle in points; a stroke across has ``bottom`` equal to ``top``."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Give the width in points."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Give the height in points."""
        return self.top - self.bottom

    @property
    def across(self) -> float:
        """Give the middle from left to right."""
        return (self.left + self.right) / 2

    @property
    def up(self) -> float:
        """Give the middle from bottom to top."""
        return (self.bottom + self.top) / 2

    def share_across(self, other: "Rect") -> float:
        """Give the width in points that both have in common; negative is the gap between them."""
        return min(self.right, other.right) - max(self.left, other.left)

    def share_up(self, other: "Rect") -> float:
        """Give the height in points that both have in common; negative is the gap between them."""
        return min(self.top, other.top) - max(self.bottom, other.bottom)

    def holds(self, other: "Rect") -> bool:
        """Tell whether the middle of the other lies inside."""
        return self.left < other.across < self.right and self.bottom < other.up < self.top


Some = TypeVar("Some", bound="Rect")


@dataclass(frozen=True, slots=True, kw_only=True)
class Word(Rect):
    """Characters without a space between them; ``base`` is the height of the line they stand on.

    ``size`` is the size of the letters in points, ``hidden`` that they are there but not seen,
    ``pale`` that they are grey.
    """

    text: str
    base: float
    size: float
    bold: bool = False
    hidden: bool = False
    pale: bool = False

    @property
    def is_run(self) -> bool:
        """Tell whether it is a row of underscores or dots."""
        return len(self.text) > 1 and not self.text.strip("_.\u2026\u00b7")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke(Rect):
    """A straight line, across or down; ``typed`` when it is made of characters.

    ``parts`` are the signs that part it, such as the slashes of a date, ``count`` the number of
    characters it is typed with.
    """

    thick: float
    typed: bool = False
    dots: bool = False
    parts: str = ""
    count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Box(Rect):
    """A closed shape; ``tone`` is the grey inside, 0 black to 1 white or empty.

    ``drawn`` is True when it has an outline, ``round`` when it has no straight side.
    """

    tone: float = 1.0
    drawn: bool = True
    round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Field(Rect):
    """A form field to be filled in; ``sort`` is ``text``, ``check`` or ``signature``."""

    sort: str
    name: str
    tip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePrint:
    """All print of a page, sizes in points; ``pictures`` are the places of images."""

    width: float
    height: float
    words: tuple[Word, ...]
    rules: tuple[Stroke, ...]
    posts: tuple[Stroke, ...]
    boxes: tuple[Box, ...]
    fields: tuple[Field, ...]
    pictures: tuple[Rect, ...]

    @property
    def text(self) -> tuple[Word, ...]:
        """Give the words that say something, without typed lines."""
        return tuple(word for word in self.words if not word.is_run)

    @property
    def body_size(self) -> float:
        """Give the size in points that most letters have."""
        sizes: dict[float, int] = {}
        for word in self.text:
            size = round(word.size * 2) / 2
            sizes[size] = sizes.get(size, 0) + len(word.text)
        return max(sizes, key=lambda size: (sizes[size], size)) if sizes else 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase(Rect):
    """Words on one line with nothing but common spaces between them."""

    text: str
    base: float
    size: float
    bold: bool

    @property
    def asks(self) -> bool:
        """Tell whether it ends as something to be answered does; ", $" is the unit of a heading."""
        text = self.text.rstrip()
        return text.endswith((":", "?", "$", "#")) and not text.endswith((", $", ",$"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell(Rect):
    """A space closed in by lines on all sides; ``solid`` when nothing is cut out of it."""

    solid: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot(Rect):
    """A place to be filled in before its kind is known.

    ``how`` it was recognised: ``rule``, ``cell``, ``mark``, ``field`` or ``stamp``. ``label`` is
    the print that belongs to it, ``after`` the words that follow it on its line.
    """

    how: str
    label: str = ""
    after: str = ""
    sort: str = ""


def scale_page(page: PagePrint, factor: float) -> PagePrint:
    """Give the page with everything on it larger or smaller by a factor."""

    def _scale(items: tuple[Some, ...]) -> tuple[Some, ...]:
        return tuple(scale_rect(item, factor) for item in items)

    words = tuple(
        replace(word, base=word.base * factor, size=word.size * factor)
        for word in _scale(page.words)
    )
    return PagePrint(
        width=page.width * factor,
        height=page.height * factor,
        words=words,
        rules=_scale(page.rules),
        posts=_scale(page.posts),
        boxes=_scale(page.boxes),
        fields=_scale(page.fields),
        pictures=_scale(page.pictures),
    )


def scale_rect(item: Some, factor: float) -> Some:
    """Give a rectangle larger or smaller by a factor, seen from the lower left of the page."""
    return replace(
        item,
        left=item.left * factor,
        bottom=item.bottom * factor,
        right=item.right * factor,
        top=item.top * factor,
    )


def join_rects(parts: tuple[Rect, ...]) -> Rect:
    """Give the smallest rectangle around all parts."""
    return Rect(
        left=min(part.left for part in parts),
        bottom=min(part.bottom for part in parts),
        right=max(part.right for part in parts),
        top=max(part.top for part in parts),
    )
