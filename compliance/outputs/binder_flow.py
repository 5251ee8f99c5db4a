"""What flows onto the pages of a binder: marked headings, blocks, contents, pages of copies."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from compliance.base.dates import say_date
from compliance.outputs.binder_model import Binder, Block, Copy, Fact, Grid, Words
from compliance.outputs.pdf_kit import (
    BODY,
    BODY_BOLD,
    FONT,
    FONT_BOLD,
    RIGHT,
    SMALL,
    TEXT_WIDTH,
    escape_text,
    make_block,
    make_table,
    make_text,
)
from compliance.scan.anew_names import PlacedPage

CONTENTS = "Contents"
SECTION = ParagraphStyle(
    "section",
    parent=BODY,
    fontName=FONT_BOLD,
    fontSize=17,
    leading=21,
    spaceAfter=8,
    keepWithNext=1,
)
_COVER_TITLE = ParagraphStyle("cover title", parent=SECTION, fontSize=26, leading=32, spaceAfter=16)
_COVER_NAME = ParagraphStyle("cover name", parent=SECTION, fontSize=19, leading=24, spaceAfter=22)
_TELLING = ParagraphStyle("telling", parent=BODY, spaceAfter=6)
_TELLING_BOLD = ParagraphStyle("telling bold", parent=BODY_BOLD, spaceAfter=6)
_LINE = (
    ParagraphStyle("line 0", parent=BODY_BOLD, spaceBefore=4),
    ParagraphStyle("line 1", parent=SMALL, leftIndent=14),
    ParagraphStyle("line 2", parent=SMALL, leftIndent=28),
)
_NUMBER_WIDTH = 44.0
_HUNDRED = 100.0
_PERCENT = 100


@dataclass(slots=True, kw_only=True)
class Known:
    """On which page everything is: number of pages in all, and key of a heading -> page from 1."""

    total: int
    pages: dict[str, int]


@dataclass(slots=True, kw_only=True)
class Under:
    """What a layout under way knows from the one before, and notes down for the next.

    ``right`` stands at the right of the head of the page being made.
    """

    known: Known
    found: Known = field(default_factory=lambda: Known(total=0, pages={}))
    placings: list[PlacedPage] = field(default_factory=list)
    right: str = ""


class Marked(Paragraph):  # type: ignore[misc]  # the library has no types
    """A heading that becomes an entry of the outline where it comes to stand."""

    def __init__(
        self, text: str, key: str, level: int, found: Known, style: ParagraphStyle
    ) -> None:
        super().__init__(escape_text(text), style)
        self._title, self._key, self._level, self._found = text, key, level, found

    def draw(self) -> None:
        """Draw the heading and mark its place."""
        _mark(self.canv, self._found, self._title, self._key, self._level, self.height)
        super().draw()


def _mark(canvas: Canvas, found: Known, title: str, key: str, level: int, height: float) -> None:
    top = canvas.absolutePosition(0, height)[1]
    canvas.bookmarkPage(key, fit="XYZ", left=0, top=top + 6)
    canvas.addOutlineEntry(title, key, level, closed=level > 0)
    found.pages[key] = canvas.getPageNumber()


class PageOfCopy(Flowable):  # type: ignore[misc]  # the library has no types
    """One page of a copy, as large as fits and never larger than it is."""

    def __init__(self, copy: Copy, at: int, under: Under, *, draw: bool) -> None:
        super().__init__()
        self._copy, self._at, self._under, self._is_drawn = copy, at, under, draw
        self._page = copy.pages[at - 1]

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take all the room of the page."""
        self.width, self.height = width, height
        return width, height

    def draw(self) -> None:
        """Draw a picture, or note down where the page of a PDF goes."""
        page, copy, under = self._page, self._copy, self._under
        scale = min(1.0, self.width / page.width, self.height / page.height)
        wide, tall = page.width * scale, page.height * scale
        left, bottom = (self.width - wide) / 2, self.height - tall
        if self._at == 1:
            title = say_copy(copy)
            _mark(self.canv, under.found, title, f"c{copy.number}", 2, self.height)
        of = f", page {self._at} of {len(copy.pages)}" if len(copy.pages) > 1 else ""
        percent = f", at {round(scale * _PERCENT)} %" if not page.picture else ""
        under.right = f"{say_copy(copy)}{of}{percent}"
        if page.picture and self._is_drawn:
            self.canv.drawImage(ImageReader(BytesIO(page.picture)), left, bottom, wide, tall)
        elif not page.picture:
            at_x, at_y = self.canv.absolutePosition(left, bottom)
            under.placings.append(
                PlacedPage(
                    sheet=self.canv.getPageNumber() - 1,
                    file=page.file,
                    page=page.page,
                    left=at_x,
                    bottom=at_y,
                    scale=scale,
                )
            )


def say_copy(copy: Copy) -> str:
    """Name a copy in the outline, the contents and the head of its pages."""
    return f"copy {copy.number}: {copy.title}"


def make_blocks(blocks: tuple[Block, ...]) -> Iterator[Flowable]:
    """Make what stands in a section or entry."""
    for block in blocks:
        match block:
            case Words():
                yield make_text(block.text, _TELLING_BOLD if block.strong else _TELLING)
            case Fact():
                yield from make_block(block.label, block.lines)
            case Grid():
                widths = tuple(share * TEXT_WIDTH / _HUNDRED for share in block.shares)
                yield make_table(block.heads, block.rows, widths)
                yield Spacer(0, 10)


def make_cover(binder: Binder) -> Iterator[Flowable]:
    """Make the cover: whose papers, what for, as of which day."""
    yield Spacer(0, 120)
    yield make_text("Papers for inspection", _COVER_TITLE)
    yield make_text(binder.name, _COVER_NAME)
    yield from make_block("As of", (say_date(binder.as_of),))
    for fact in binder.cover:
        yield from make_block(fact.label, fact.lines)
    yield Spacer(0, 40)
    yield make_text(binder.caution, _TELLING)


def make_contents(binder: Binder, known: Known) -> Iterator[Flowable]:
    """Make the contents; each line leads to its page."""
    rows = [
        [
            Paragraph(f'<a href="#{key}">{escape_text(title)}</a>', _LINE[level]),
            make_text(str(known.pages.get(key, "")), RIGHT),
        ]
        for level, key, title in _list_lines(binder)
    ]
    style = [
        ("FONTNAME", (0, 0), (-1, -1), FONT),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
    ]
    widths = (TEXT_WIDTH - _NUMBER_WIDTH, _NUMBER_WIDTH)
    yield Table(rows, colWidths=widths, style=style, hAlign="LEFT")


def _list_lines(binder: Binder) -> Iterator[tuple[int, str, str]]:
    """List what the contents name: level, key and title, in order."""
    for at, section in enumerate(binder.sections, 1):
        yield 0, f"s{at}", f"{at}. {section.title}"
        for number, entry in enumerate(section.entries, 1):
            yield 1, f"s{at}e{number}", entry.title
            for copy in entry.copies:
                if copy.pages:
                    yield 2, f"c{copy.number}", say_copy(copy)
