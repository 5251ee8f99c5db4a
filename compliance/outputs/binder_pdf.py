"""A binder as pages: cover, contents, sections, room for the copies, outline, page numbers."""

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO

from reportlab.lib.pagesizes import landscape, letter
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
)

from compliance.base.dates import say_date
from compliance.outputs.binder_flow import (
    CONTENTS,
    SECTION,
    Known,
    Marked,
    PageOfCopy,
    Under,
    make_blocks,
    make_contents,
    make_cover,
)
from compliance.outputs.binder_model import Binder, Copy, Entry, Words
from compliance.outputs.pdf_kit import FONT, FONT_BOLD, HEADING, MARGIN, TEXT_WIDTH, measure_text
from compliance.scan.anew_names import PlacedPage

# A quarter of an inch from the edge, because many printers leave that much white.
_HEAD_AT = 26.0
_FOOT_AT = 19.0
_TOP = 46.0
_BOTTOM = 42.0
_COPY_TOP = 34.0
_COPY_BOTTOM = 31.0
_COPY_SIDE = 18.0
_SIZE = 8.0
_LEAST_SIZE = 4.5
FOOT = "A planning aid, not legal advice. Agency, label, local codes and your own papers decide."


@dataclass(frozen=True, slots=True, kw_only=True)
class BinderPages:
    """The pages of a binder; ``placings`` say where pages of copies are still to be drawn."""

    pdf: bytes
    placings: tuple[PlacedPage, ...]
    pages: int


def render_binder(binder: Binder) -> BinderPages:
    """Lay a binder out on US Letter pages, copies of wide pages on their side.

    Laid out first to learn on which page everything is, then again with those numbers. Equal input
    gives equal bytes. The pages of copies that are no pictures are left blank; ``placings`` has
    their places.

    Raises:
        RuntimeError: The second layout differs from the first.
    """
    measure_text("", _SIZE)  # the fonts are there from the first measuring on
    first = Under(known=Known(total=0, pages={}))
    _lay_out(BytesIO(), binder, first, draw=False)
    under = Under(known=first.found)
    buffer = BytesIO()
    _lay_out(buffer, binder, under, draw=True)
    if under.found != first.found:
        raise RuntimeError("the pages of a binder came out differently the second time")
    return BinderPages(
        pdf=buffer.getvalue(), placings=tuple(under.placings), pages=under.found.total
    )


def _lay_out(buffer: BytesIO, binder: Binder, under: Under, *, draw: bool) -> None:
    document = BaseDocTemplate(
        buffer,
        pagesize=letter,
        pageTemplates=list(_make_templates(binder, under)),
        invariant=1,
        pageCompression=1,
        initialFontName=FONT,
        title=f"Papers of {binder.name}, as of {say_date(binder.as_of)}",
        author="",
        subject=binder.caution,
        creator="mailby",
        lang="en-US",
    )
    document.build(list(_tell(binder, under, draw=draw)))


def _make_templates(binder: Binder, under: Under) -> Iterator[PageTemplate]:
    def finish(canvas: Canvas, _document: BaseDocTemplate) -> None:
        under.found.total = max(under.found.total, canvas.getPageNumber())
        _draw_edges(canvas, binder, under)
        under.right = ""

    def show_outline(canvas: Canvas, _document: BaseDocTemplate) -> None:
        canvas.showOutline()

    for name, size in (("plain", letter), ("upright", letter), ("wide", landscape(letter))):
        width, height = size
        if name == "plain":
            room = (MARGIN, _BOTTOM, TEXT_WIDTH, height - _TOP - _BOTTOM)
        else:
            tall = height - _COPY_TOP - _COPY_BOTTOM
            room = (_COPY_SIDE, _COPY_BOTTOM, width - 2 * _COPY_SIDE, tall)
        frame = Frame(*room, 0, 0, 0, 0)
        yield PageTemplate(
            id=name, frames=[frame], pagesize=size, onPage=show_outline, onPageEnd=finish
        )


def _draw_edges(canvas: Canvas, binder: Binder, under: Under) -> None:
    """Draw the head and the foot of a page, a line each, whatever is on it."""
    width, height = canvas._pagesize  # noqa: SLF001 - the library tells the size nowhere else
    side = MARGIN / 2
    room = width - 2 * side
    left = f"{binder.name} · as of {say_date(binder.as_of)}"
    _draw_line(canvas, left, side, height - _HEAD_AT, room * 0.6, bold=True)
    _draw_line(canvas, under.right, width - side, height - _HEAD_AT, room * 0.38, at_right=True)
    numbers = f"{canvas.getPageNumber()} of {under.known.total}"
    _draw_line(canvas, FOOT, side, _FOOT_AT, room * 0.85)
    _draw_line(canvas, numbers, width - side, _FOOT_AT, room * 0.14, bold=True, at_right=True)


def _draw_line(
    canvas: Canvas,
    text: str,
    x: float,
    y: float,
    room: float,
    *,
    bold: bool = False,
    at_right: bool = False,
) -> None:
    """Draw one line in the room there is: smaller letters first, then its end left out."""
    size = _SIZE
    while size > _LEAST_SIZE and measure_text(text, size, bold=bold) > room:
        size -= 0.5
    shown = text
    while shown and measure_text(shown, size, bold=bold) > room:
        shown = shown.removesuffix("…")[:-1] + "…" if len(shown) > 1 else ""
    canvas.setFillGray(0)
    canvas.setFont(FONT_BOLD if bold else FONT, size)
    (canvas.drawRightString if at_right else canvas.drawString)(x, y, shown)


def _tell(binder: Binder, under: Under, *, draw: bool) -> Iterator[Flowable]:
    """Give everything in order: cover, contents, sections with their entries and copies."""
    yield from make_cover(binder)
    yield PageBreak()
    yield Marked(CONTENTS, "contents", 0, under.found, SECTION)
    yield from make_contents(binder, under.known)
    for at, section in enumerate(binder.sections, 1):
        yield PageBreak()
        yield Marked(f"{at}. {section.title}", f"s{at}", 0, under.found, SECTION)
        yield from make_blocks(section.blocks)
        broken = False
        for number, entry in enumerate(section.entries, 1):
            if broken:
                yield PageBreak()
            heading = Marked(entry.title, f"s{at}e{number}", 1, under.found, HEADING)
            yield KeepTogether([heading, *make_blocks(entry.blocks), *_tell_kept_out(entry)])
            broken = any(copy.pages for copy in entry.copies)
            for copy in entry.copies:
                yield from _tell_copy(copy, under, draw=draw)
            if broken:
                yield NextPageTemplate("plain")


def _tell_kept_out(entry: Entry) -> Iterator[Flowable]:
    for copy in entry.copies:
        if not copy.pages:
            yield from make_blocks(say_kept_out(copy))


def say_kept_out(copy: Copy) -> tuple[Words, ...]:
    """Say that a copy exists which the binder cannot show, and why."""
    return (Words(text=f"Copy {copy.number}, {copy.title}, is not shown here: {copy.kept_out}."),)


def _tell_copy(copy: Copy, under: Under, *, draw: bool) -> Iterator[Flowable]:
    for at, page in enumerate(copy.pages, 1):
        yield NextPageTemplate("wide" if page.width > page.height else "upright")
        yield PageBreak()
        yield PageOfCopy(copy, at, under, draw=draw)
