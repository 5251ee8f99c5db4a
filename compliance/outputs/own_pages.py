"""The plain pages of our own papers: clear corners, lines to write on, boxes, a one-line foot."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from io import BytesIO
from typing import Any, TypeAlias

from reportlab.lib.colors import black
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from compliance.base.dates import say_date
from compliance.outputs.own_model import Lines, OwnChoice, OwnPages, OwnSignLine, OwnSpot
from compliance.outputs.own_places import PlaceCanvas, Spot, draw_codes
from compliance.outputs.pdf_kit import (
    BODY,
    FONT,
    FONT_BOLD,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    RIGHT,
    ROW_ROOM,
    check_glyphs,
    escape_text,
    make_text,
)
from compliance.scan.model import Places
from compliance.scan.symbol import make_form_code

SIDE = 68.0
"""Clear of the corner codes, which reach 52 points from the edges, and of their quiet zone."""
TOP = 36.0
FOOT_BOTTOM = 27.0
WIDTH = PAGE_WIDTH - 2 * SIDE
ROW = 22.0
"""Height of a line to write on, in points."""
BOX = 12.0
GAP = 14.0
"""Clear paper at the ends of a line to write on; 12 points are asked for by the photo check."""
SIGN_ROW = 38.0
_SIGN_LABEL = 150.0
_PAGE_OF = 120.0
_NARROW = 40.0

HEAD = ParagraphStyle("own head", parent=BODY, fontName=FONT_BOLD, fontSize=16, leading=20)
FINE = ParagraphStyle("own fine", parent=BODY, fontSize=9, leading=11)
FINE_RIGHT = ParagraphStyle("own fine right", parent=RIGHT, fontSize=9, leading=11)
LABEL = ParagraphStyle("own label", parent=BODY, fontName=FONT_BOLD, fontSize=10, leading=12.5)
KNOWN = ParagraphStyle("own known", parent=BODY, fontSize=11, leading=14)
SECTION = ParagraphStyle(
    "own section", parent=BODY, fontName=FONT_BOLD, fontSize=12, leading=15, spaceBefore=8
)
_BESIDE = ParagraphStyle("own beside", parent=BODY, leftIndent=60, bulletFontName=FONT_BOLD)

_Cell: TypeAlias = Flowable | str | list[Flowable]
_Style: TypeAlias = list[tuple[Any, ...]]
"""Commands of a reportlab table."""

_TABLE: _Style = [
    ("FONTNAME", (0, 0), (-1, -1), FONT),
    ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
]


class CheckBox(Flowable):  # type: ignore[misc]  # reportlab has no types
    """An empty square of ``BOX`` points, or one with a cross in it."""

    def __init__(self, *, ticked: bool, spot: OwnSpot | None = None) -> None:
        super().__init__()
        self.width = self.height = BOX
        self.ticked = ticked
        self.spot = spot

    def draw(self) -> None:
        """Draw the square, and the cross as a letter so that text readers see it."""
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, 0, BOX, BOX)
        if self.ticked:
            self.canv.setFont(FONT_BOLD, 11)
            self.canv.drawCentredString(BOX / 2, 2, "X")
        if self.spot is not None:
            self.canv.note_place(self.spot, BOX, BOX)


def make_beside(label: str, lines: Lines) -> list[Flowable]:
    """Make a short label with lines beside it; empty when there are no lines."""
    if not lines:
        return []
    first, *rest = lines
    return [
        Paragraph(escape_text(first), _BESIDE, bulletText=label),
        *(make_text(line, _BESIDE) for line in rest),
        Spacer(0, 5),
    ]


def make_rules(count: int, spot: OwnSpot | None = None) -> Table:
    """Make empty lines to write on, ``ROW`` points apart, over the whole width.

    Writing on one of them is enough for the blank of *spot*.
    """
    style = [*_TABLE, ("LINEBELOW", (0, 0), (-1, -1), 0.6, black)]
    cells = [[_mark(spot, ROW, f"line {line}" if count > 1 else "")] for line in range(count)]
    return Table(cells, colWidths=(WIDTH,), rowHeights=ROW, style=style, hAlign="LEFT")


def make_boxes(choices: tuple[OwnChoice, ...], spot: OwnSpot | None = None) -> Table:
    """Make boxes to tick in one row, the words to the right of each.

    One ticked box is enough for the blank of *spot*; a box ticked here settles it.
    """
    settled = next((one.text for one in choices if one.ticked), "")
    cells: list[list[Flowable]] = [[]]
    for at, one in enumerate(choices):
        mark = None
        if spot is not None and one.ticked >= bool(settled):
            mark = replace(spot, label=one.text, way=f"box {at}", printed=settled)
        cells[0] += [CheckBox(ticked=one.ticked, spot=mark), _box_text(one)]
    style = [*_TABLE, ("VALIGN", (0, 0), (-1, -1), "TOP"), ("TOPPADDING", (0, 0), (-1, -1), 4)]
    each = WIDTH / len(choices)
    widths = (BOX + 8, each - BOX - 8) * len(choices)
    return Table(cells, colWidths=widths, style=style, hAlign="LEFT")


def _box_text(choice: OwnChoice) -> Table:
    """Make the words beside a box, clear of the next box."""
    style = [*_TABLE, ("TOPPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), GAP)]
    return Table([[make_text(choice.text)]], style=style)


def make_write_table(heads: Lines, rows: tuple[Lines, ...], spot: OwnSpot | None = None) -> Table:
    """Make a table whose cells are lines: filled with what is known, or empty to write on.

    Clear paper stands between the columns; the heads come again on the next page. For the blank of
    *spot* one row written whole is enough where nothing is known; what is known is made whole.
    """
    columns = _share_width(heads, rows)
    widths = _between(list(columns), GAP)
    cells = [
        _between([make_text(head, FINE) for head in heads], ""),
        *(_between(cells_of, "") for cells_of in _make_rows(heads, rows, spot)),
    ]
    style = [*_TABLE]
    style += [("LINEBELOW", (at, 1), (at, -1), 0.6, black) for at in range(0, len(widths), 2)]
    heights = [0.0, *(ROW for _ in rows)]
    tallest = max(
        cell.wrap(width, PAGE_HEIGHT)[1]
        for row in cells
        for cell, width in zip(row, widths, strict=True)
        if isinstance(cell, Paragraph)
    )
    return Table(
        cells,
        colWidths=widths,
        minRowHeights=heights,
        style=style,
        repeatRows=1,
        splitInRow=int(tallest > ROW_ROOM),
        hAlign="LEFT",
    )


def _make_rows(heads: Lines, rows: tuple[Lines, ...], spot: OwnSpot | None) -> list[list[_Cell]]:
    """Make the cells of the rows; an empty one marks its place."""
    is_known = any(cell for row in rows for cell in row)
    made: list[list[_Cell]] = []
    for at, row in enumerate(rows):
        way = "" if is_known or len(rows) == 1 else f"row {at}"
        cells: list[_Cell] = []
        for head, cell in zip(heads, row, strict=True):
            one = spot and replace(spot, label=f"{spot.label}: {head}")
            cells.append(make_text(cell, KNOWN) if cell else _mark(one, ROW, way))
        made.append(cells)
    return made


def _mark(spot: OwnSpot | None, height: float, way: str = "") -> Flowable | str:
    """Mark a cell as a place to write in, up to a point under what stands above."""
    if spot is None or not spot.blank:
        return ""
    padding = 2.0
    return Spot(replace(spot, way=way), height - 1, below=padding)


def _share_width(heads: Lines, rows: tuple[Lines, ...]) -> tuple[float, ...]:
    """Share the width among columns: what each needs and an equal part of the rest.

    When the texts need more than there is, the longer ones wrap in the wider columns.
    """
    room = WIDTH - GAP * (len(heads) - 1)
    needs = [
        max(
            stringWidth(head, FONT, FINE.fontSize),
            *(stringWidth(row[at], FONT, KNOWN.fontSize) for row in rows),
        )
        + 2
        for at, head in enumerate(heads)
    ]
    spare = room - sum(needs)
    if spare < 0:
        share = (room - _NARROW * len(needs)) / sum(needs)
        return tuple(_NARROW + need * share for need in needs)
    return tuple(need + spare / len(needs) for need in needs)


def make_sign_block(lines: tuple[OwnSignLine, ...], *, label_width: float = _SIGN_LABEL) -> Table:
    """Make labelled lines under one another: signature, name, title, date.

    Nothing stands to the right of a line, so that a long signature hides nothing.
    """
    cells = []
    for line in lines:
        label = [make_text(line.label), *([make_text(line.note, FINE)] if line.note else [])]
        cells.append([label, "", _sign_cell(line)])
    style = [*_TABLE, ("LINEBELOW", (2, 0), (2, -1), 0.6, black)]
    heights = [SIGN_ROW if line.tall else ROW + 8 for line in lines]
    widths = (label_width, GAP, WIDTH - label_width - GAP)
    return Table(cells, colWidths=widths, minRowHeights=heights, style=style, hAlign="LEFT")


def _sign_cell(line: OwnSignLine) -> _Cell:
    spot = OwnSpot(blank=line.blank, kind=line.kind, label=line.label, printed=line.known)
    if not line.known:
        return _mark(spot, SIGN_ROW if line.tall else ROW + 8)
    known = make_text(line.known, KNOWN)
    return [Spot(spot), known] if line.blank else known


def render_own_pages(
    title: str, packet_id: str, as_of: date, foot: str, build: Callable[[], list[Flowable]]
) -> OwnPages:
    """Lay out US Letter pages with a code in each corner, the foot in one line of caution.

    Laid out twice, the first time to count the pages and to name the edition after what they say.
    Equal input gives equal bytes.
    """
    check_glyphs("")  # registers the two shipped fonts
    named = f"Packet {packet_id} · as of {say_date(as_of)}"
    first = _lay_out(title, (foot, named), build(), 0, "")
    return _lay_out(title, (foot, named), build(), len(first.codes), make_form_code(first.pdf))


def _lay_out(
    title: str, foot: tuple[str, str], story: list[Flowable], total: int, code: str
) -> OwnPages:
    """Write the pages; without a *code* there are none in the corners."""
    buffer = BytesIO()
    codes: list[Places] = []
    canvases: list[PlaceCanvas] = []
    bottom = FOOT_BOTTOM + float(_make_foot(foot, "").wrap(WIDTH, PAGE_HEIGHT)[1]) + 8

    def _finish(canvas: Canvas, _document: BaseDocTemplate) -> None:
        table = _make_foot(foot, f"page {canvas.getPageNumber()} of {total}")
        table.wrapOn(canvas, WIDTH, PAGE_HEIGHT)
        table.drawOn(canvas, SIDE, FOOT_BOTTOM)
        codes.append(draw_codes(canvas, code, (PAGE_WIDTH, PAGE_HEIGHT)) if code else ())

    def _make_canvas(*given: Any, **named: Any) -> PlaceCanvas:  # noqa: ANN401 - reportlab's own
        canvases.append(PlaceCanvas(*given, **named))
        return canvases[-1]

    frame = Frame(SIDE, bottom, WIDTH, PAGE_HEIGHT - TOP - bottom, 0, 0, 0, 0)
    document = BaseDocTemplate(
        buffer,
        pagesize=letter,
        pageTemplates=[PageTemplate(id="page", frames=[frame], onPageEnd=_finish)],
        invariant=1,
        initialFontName=FONT,
        title=title,
        author="",
        subject=foot[1],
        creator="mailby",
        lang="en-US",
    )
    document.build(story, canvasmaker=_make_canvas)
    places = tuple(place for canvas in canvases for place in canvas.places)
    return OwnPages(pdf=buffer.getvalue(), code=code, codes=tuple(codes), places=places)


def _make_foot(foot: tuple[str, str], page_of: str) -> Table:
    caution, named = foot
    cells = [
        [make_text(caution, FINE), ""],
        [make_text(named, FINE), make_text(page_of, FINE_RIGHT)],
    ]
    style = [
        *_TABLE,
        ("SPAN", (0, 0), (1, 0)),
        ("LINEABOVE", (0, 0), (-1, 0), 0.6, black),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ]
    return Table(cells, colWidths=(WIDTH - _PAGE_OF, _PAGE_OF), style=style)


def _between(items: list, gap: object) -> list:  # type: ignore[type-arg]  # cells of any kind
    """Put a gap between the items of a list."""
    spread = [one for item in items for one in (item, gap)]
    return spread[:-1]
