"""The parts every printed page shares: fonts, safe text, blocks, tables, QR and the footer."""

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files
from io import BytesIO
from xml.sax.saxutils import escape

import segno
from reportlab.lib.colors import black
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    HRFlowable,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from compliance.base.dates import say_date

FONT = "DejaVuSansCondensed"
FONT_BOLD = "DejaVuSansCondensed-Bold"

PAGE_WIDTH, PAGE_HEIGHT = letter
MARGIN = 54.0
MARGIN_TOP = 43.0
FOOT_BOTTOM = 32.0
TEXT_WIDTH = PAGE_WIDTH - 2 * MARGIN
LABEL_WIDTH = 104.0
QR_SIDE = 70.0
FOOTER_ROOM = 144.0
"""The footer may not eat more of the page than this, in points."""
ROW_ROOM = 480.0
"""A table row up to this height fits on any page, below the head and above the tallest footer."""

BODY = ParagraphStyle("body", fontName=FONT, bulletFontName=FONT, fontSize=10.5, leading=13.5)
BODY_BOLD = ParagraphStyle("body bold", parent=BODY, fontName=FONT_BOLD)
SMALL = ParagraphStyle("small", parent=BODY, fontSize=10, leading=12.5)
RIGHT = ParagraphStyle("right", parent=SMALL, alignment=TA_RIGHT)
TITLE = ParagraphStyle("title", parent=BODY, fontName=FONT_BOLD, fontSize=21, leading=25)
HEADING = ParagraphStyle(
    "heading",
    parent=BODY,
    fontName=FONT_BOLD,
    fontSize=12.5,
    leading=16,
    spaceBefore=11,
    spaceAfter=4,
    keepWithNext=1,
)
BLOCK = ParagraphStyle(
    "block",
    parent=BODY,
    leftIndent=LABEL_WIDTH,
    bulletIndent=0,
    bulletFontName=FONT_BOLD,
    bulletFontSize=10.5,
)
BLOCK_STRONG = ParagraphStyle(
    "block strong", parent=BLOCK, fontName=FONT_BOLD, fontSize=13, leading=16
)
CELL_HEAD = ParagraphStyle("cell head", parent=SMALL, fontName=FONT_BOLD)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A run of pages that is numbered by itself, such as the sheet that goes into the envelope.

    Shape: ``build`` makes a fresh list of flowables each time it is called, because laying out a
    page uses them up; ``name`` stands before the page number.
    """

    name: str
    build: Callable[[], list[Flowable]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Footer:
    """What stands at the foot of every page; ``as_of`` is the day the facts were looked at."""

    packet_id: str
    as_of: date
    caution: str


@cache
def _faces() -> tuple[TTFont, ...]:
    """Register the two shipped fonts with reportlab, once."""
    folder = files("compliance.outputs") / "fonts"
    faces = tuple(
        TTFont(name, BytesIO((folder / f"{name}.ttf").read_bytes())) for name in (FONT, FONT_BOLD)
    )
    for face in faces:
        registerFont(face)
    registerFontFamily(FONT, normal=FONT, bold=FONT_BOLD, italic=FONT, boldItalic=FONT_BOLD)
    registerFontFamily(FONT_BOLD, normal=FONT_BOLD, bold=FONT_BOLD, italic=FONT_BOLD)
    return faces


def measure_text(text: str, size: float, *, bold: bool = False) -> float:
    """Measure a line of text in points, set in the shipped font at *size* points."""
    _faces()
    return float(stringWidth(text, FONT_BOLD if bold else FONT, size))


def check_glyphs(text: str) -> tuple[str, ...]:
    """List the characters of *text* that the printed pages cannot show.

    Shape: each character once, in the order met. Line breaks and tabs are fine. A letter and an
    accent typed apart count as the one letter they make.

    Example:
        >>> check_glyphs("Łódź, 5½ gal → tank ☐")
        ()
    """
    faces = [face.face.charToGlyph for face in _faces()]
    missing = (
        char
        for char in unicodedata.normalize("NFC", text)
        if char not in "\n\r\t" and not all(ord(char) in glyphs for glyphs in faces)
    )
    return tuple(dict.fromkeys(missing))


def escape_text(text: str) -> str:
    """Make any text safe inside a reportlab paragraph, line breaks kept.

    Control characters and halves of a surrogate pair cannot be stored in a page; they become the
    replacement character, so that something visible stands in their place.
    """
    lines = unicodedata.normalize("NFC", text).splitlines() or [""]
    shown = (
        "".join(
            "\ufffd" if unicodedata.category(char) in {"Cc", "Cs"} and char != "\t" else char
            for char in line
        )
        for line in lines
    )
    return "<br/>".join(escape(line) for line in shown)


def make_text(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """Make a paragraph of outside text; long words are broken, nothing is cut."""
    return Paragraph(escape_text(text), style)


def make_heading(text: str, level_style: ParagraphStyle = HEADING) -> list[Flowable]:
    """Make a heading with a thin rule under it, both kept with what follows."""
    rule = HRFlowable(width="100%", thickness=0.6, color=black, spaceBefore=0, spaceAfter=5)
    rule.keepWithNext = True
    return [make_text(text, level_style), rule]


def make_block(label: str, lines: tuple[str, ...], style: ParagraphStyle = BLOCK) -> list[Flowable]:
    """Make a label on the left with its lines beside it; empty when there are no lines.

    Each line is a paragraph of its own and not a table row: a paragraph can go on to the next
    page at any line, a table row cannot.
    """
    if not lines:
        return []
    first, *rest = lines
    return [
        Paragraph(escape_text(first), style, bulletText=label),
        *(make_text(line, style) for line in rest),
        Spacer(0, 4),
    ]


def make_table(
    heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...], widths: tuple[float, ...]
) -> Table:
    """Make a ruled table whose head repeats on the next page; widths are in points.

    Rows stay whole, unless one of them would not fit on a page by itself.
    """
    cells = [
        [make_text(head, CELL_HEAD) for head in heads],
        *([make_text(cell, SMALL) for cell in row] for row in rows),
    ]
    style = [
        ("FONTNAME", (0, 0), (-1, -1), FONT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, 0), 1.2, black),
        ("LINEBELOW", (0, 1), (-1, -1), 0.4, black),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 8),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
    ]
    tallest = max(
        cell.wrap(width - 8, PAGE_HEIGHT)[1]
        for row in cells
        for cell, width in zip(row, widths, strict=True)
    )
    # Told to split inside rows, the layout does so at every page end and repeats the head.
    split = int(tallest > ROW_ROOM)
    return Table(
        cells, colWidths=widths, style=style, repeatRows=1, splitInRow=split, hAlign="LEFT"
    )


def make_write_lines(rows: tuple[tuple[str, ...], ...], *, height: float = 25.0) -> Table:
    """Make rows of one or two labels, each with a line to write on; *height* of a row in points."""
    cells = [[cell for label in row for cell in (make_text(label), "")] for row in rows]
    style = [
        ("FONTNAME", (0, 0), (-1, -1), FONT),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("LEFTPADDING", (2, 0), (2, -1), 12),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
        ("LINEBELOW", (1, 0), (1, -1), 0.6, black),
    ]
    for down, row in enumerate(rows):
        if len(row) == 1:
            style += [
                ("SPAN", (1, down), (3, down)),
                ("LINEBELOW", (1, down), (3, down), 0.6, black),
            ]
            cells[down] += ["", ""]
        else:
            style.append(("LINEBELOW", (3, down), (3, down), 0.6, black))
    label = LABEL_WIDTH + 2
    line = TEXT_WIDTH / 2 - label
    widths = (label, line, label, line)
    return Table(cells, colWidths=widths, rowHeights=height, style=style, hAlign="LEFT")


def make_banner(title: str, packet_id: str, under: tuple[str, ...] = ()) -> list[Flowable]:
    """Make the head of a part: title, packet id and lines under it, room for the QR code."""
    left = [
        make_text(title, TITLE),
        make_text(f"Packet {packet_id}", BODY_BOLD),
        *(make_text(line, BODY) for line in under),
    ]
    style = [
        ("FONTNAME", (0, 0), (-1, -1), FONT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("TOPPADDING", (0, 0), (-1, -1), 0),
        ("LINEBELOW", (0, 0), (-1, -1), 2.5, black),
    ]
    table = Table(
        [[left, ""]],
        colWidths=(TEXT_WIDTH - QR_SIDE - 12, QR_SIDE + 12),
        style=style,
        minRowHeights=[QR_SIDE + 4],
        splitInRow=1,
    )
    return [table, Spacer(0, 8)]


def draw_qr(canvas: Canvas, text: str, left: float, bottom: float) -> None:
    """Draw *text* as a QR code ``QR_SIDE`` points wide, its quiet zone included.

    All modules are one path, so that no hairline shows between neighbours.

    Raises:
        ValueError: if the text is empty or too long for a QR code.
    Source: ISO/IEC 18004 (quiet zone of four modules), from memory.
    """
    if not text:
        raise ValueError("a QR code needs some text")
    rows = tuple(segno.make(text, error="m", micro=False).matrix_iter(border=4))
    module = QR_SIDE / len(rows)
    path = canvas.beginPath()
    for up, row in enumerate(reversed(rows)):
        for across, dark in enumerate(row):
            if dark:
                path.rect(left + across * module, bottom + up * module, module, module)
    canvas.setFillColor(black)
    canvas.drawPath(path, stroke=0, fill=1)


def render_pages(title: str, footer: Footer, parts: tuple[Part, ...]) -> bytes:
    """Lay the parts out on US Letter pages; each part starts a new page.

    Each part begins with a banner, beside which the packet id is drawn as a QR code. Laid out
    twice: the first time only to learn how many pages each part takes, for "page n of m". Equal
    input gives equal bytes.

    Raises:
        ValueError: if the packet id is empty or too long for a QR code, or if the footer would
            take more than 2 inches of the page.
    """
    _faces()
    totals = _lay_out(BytesIO(), title, footer, parts, tuple(1 for _ in parts))
    buffer = BytesIO()
    _lay_out(buffer, title, footer, parts, totals)
    return buffer.getvalue()


def _lay_out(
    buffer: BytesIO, title: str, footer: Footer, parts: tuple[Part, ...], totals: tuple[int, ...]
) -> tuple[int, ...]:
    """Write the pages into *buffer* and give the number of pages of each part."""
    counts = [0 for _ in parts]
    bottom = FOOT_BOTTOM + _measure_footer(footer) + 8

    def _make_page(number: int) -> PageTemplate:
        def _finish(canvas: Canvas, _document: BaseDocTemplate) -> None:
            counts[number] += 1
            if counts[number] == 1:
                left = PAGE_WIDTH - MARGIN - QR_SIDE
                draw_qr(canvas, footer.packet_id, left, PAGE_HEIGHT - MARGIN_TOP - QR_SIDE)
            page_of = f"{parts[number].name}, page {counts[number]} of {totals[number]}"
            table = _make_footer(footer, page_of)
            table.wrapOn(canvas, TEXT_WIDTH, PAGE_HEIGHT)
            table.drawOn(canvas, MARGIN, FOOT_BOTTOM)

        height = PAGE_HEIGHT - MARGIN_TOP - bottom
        frame = Frame(MARGIN, bottom, TEXT_WIDTH, height, 0, 0, 0, 0)
        return PageTemplate(id=str(number), frames=[frame], onPageEnd=_finish)

    story: list[Flowable] = []
    for number, part in enumerate(parts):
        story += [NextPageTemplate(str(number)), PageBreak()] if number else []
        story += part.build()
    document = BaseDocTemplate(
        buffer,
        pagesize=letter,
        pageTemplates=[_make_page(number) for number in range(len(parts))],
        invariant=1,
        initialFontName=FONT,
        title=title,
        author="",
        subject=footer.packet_id,
        creator="mailby",
        lang="en-US",
    )
    document.build(story)
    return tuple(counts)


def _measure_footer(footer: Footer) -> float:
    height = float(_make_footer(footer, "").wrap(TEXT_WIDTH, PAGE_HEIGHT)[1])
    if height > FOOTER_ROOM:
        raise ValueError("the caution or the packet id is too long for the foot of a page")
    return height


def _make_footer(footer: Footer, page_of: str) -> Table:
    left = f"Packet {footer.packet_id} · as of {say_date(footer.as_of)}"
    cells = [
        [make_text(footer.caution, SMALL), ""],
        [make_text(left, SMALL), make_text(page_of, RIGHT)],
    ]
    style = [
        ("SPAN", (0, 0), (1, 0)),
        ("LINEABOVE", (0, 0), (-1, 0), 0.6, black),
        ("FONTNAME", (0, 0), (-1, -1), FONT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ]
    return Table(cells, colWidths=(TEXT_WIDTH - 190, 190), style=style)
