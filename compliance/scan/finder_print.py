"""Everything printed on the pages of a blank form: words, straight lines, boxes, form fields."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

from collections.abc import Iterator
from ctypes import byref, c_float, c_int, c_uint
from dataclasses import dataclass
from itertools import pairwise

import pypdfium2 as pdfium
import pypdfium2.raw as api

from compliance.base.problems import RefusedError
from compliance.scan.finder_fields import find_form_fields
from compliance.scan.finder_shapes import Box, PagePrint, Rect, Stroke
from compliance.scan.finder_text import (
    Matrix,
    apply_matrix,
    apply_rect,
    ask_matrix,
    ask_point,
    find_words,
    join_matrix,
    measure_sheet,
)

THIN = 3.2
"""A filled shape up to this many points high is a line, not an area."""
LEVEL = 0.8
"""Two ends of a line may differ by this many points in height."""
WHITE = 0.97
MOST = 6000
"""Of more lines and shapes on a page, as a map has, only the largest are looked at."""

Shape = Stroke | Box


@dataclass(frozen=True, slots=True, kw_only=True)
class _Outline:
    """The points of one stroke of the pen, and which of them belong to a curve."""

    points: list[tuple[float, float]]
    bent: list[bool]

    @property
    def closed(self) -> bool:
        """Tell whether it ends where it began."""
        (x1, y1), (x2, y2) = self.points[0], self.points[-1]
        return len(self.points) > 3 and abs(x1 - x2) < LEVEL and abs(y1 - y2) < LEVEL


def parse_pages(pdf: bytes) -> tuple[PagePrint, ...]:
    """Give the print of every page.

    Raises:
        RefusedError: It is no PDF, is locked by a password, or has a page that is a picture.
    """
    try:
        document = pdfium.PdfDocument(pdf)
    except pdfium.PdfiumError as error:
        raise RefusedError(
            "this is not a PDF file that can be opened",
            hint="download the blank form again; a file with a password cannot be used",
        ) from error
    try:
        document.init_forms()
        pages = tuple(_parse_page(document, number) for number in range(len(document)))
        if document.get_formtype() == api.FORMTYPE_XFA_FULL and not any(
            page.fields or page.rules for page in pages
        ):
            raise RefusedError(
                "the pages of this form are put together only by the program it was made for",
                hint='open it there, print it "to PDF", and use that file',
            )
    finally:
        document.close()
    for number, page in enumerate(pages, start=1):
        _check_text(page, number)
    return pages


def _check_text(page: PagePrint, number: int) -> None:
    """Refuse a page that is a picture: what cannot be read must not pass for empty."""
    area = page.width * page.height
    covered = max((item.width * item.height for item in page.pictures), default=0.0)
    hidden = sum(len(word.text) for word in page.words if word.hidden)
    letters = sum(len(word.text) for word in page.words)
    unread = not letters and bool(page.rules or page.boxes) and not page.fields
    pictured = covered > 0.5 * area and letters < 20
    if unread or pictured or 2 * hidden > letters:
        raise RefusedError(
            f"page {number} is a picture: its words cannot be read",
            hint="ask the agency for the form as a PDF with text, not a scan of a paper",
        )


def _parse_page(document: pdfium.PdfDocument, number: int) -> PagePrint:
    page = document[number]
    width, height = page.get_size()
    shown = _make_shown(page)
    shapes: list[Shape] = []
    pictures: list[Rect] = []
    for thing, matrix in _walk(page.raw, None):
        kind = api.FPDFPageObj_GetType(thing)
        full = join_matrix(ask_matrix(thing), join_matrix(matrix, shown))
        if kind == api.FPDF_PAGEOBJ_PATH:
            shapes += _parse_path(thing, full)
        elif kind == api.FPDF_PAGEOBJ_IMAGE:
            pictures.append(apply_rect(full, 0, 0, 1, 1))
    sheet = Rect(left=-1, bottom=-1, right=width + 1, top=height + 1)
    seen = sorted(
        (item for item in shapes if sheet.holds(item)), key=lambda item: -item.width - item.height
    )[:MOST]
    strokes = [item for item in seen if isinstance(item, Stroke)]
    boxes = tuple(item for item in seen if isinstance(item, Box))
    words = tuple(word for word in find_words(page, shown) if sheet.holds(word))
    typed = [
        Stroke(
            left=word.left,
            bottom=min(word.bottom, word.base),
            right=word.right,
            top=min(word.bottom, word.base),
            thick=0.6,
            typed=True,
            dots=word.text[0] != "_",
            count=len(word.text),
        )
        for word in words
        if word.is_run
    ]
    return PagePrint(
        width=width,
        height=height,
        words=tuple(word for word in words if word.text != "_"),
        rules=_join_level([item for item in strokes if item.width >= item.height]) + tuple(typed),
        posts=_join_upright([item for item in strokes if item.height > item.width]),
        boxes=boxes,
        fields=find_form_fields(document, page, shown),
        pictures=tuple(item for item in pictures if sheet.holds(item)),
    )


def _make_shown(page: pdfium.PdfPage) -> Matrix:
    """Give the matrix from the page's own points to points as shown."""
    left, bottom, right, top = measure_sheet(page)
    return {
        0: (1.0, 0.0, 0.0, 1.0, -left, -bottom),
        90: (0.0, -1.0, 1.0, 0.0, -bottom, right),
        180: (-1.0, 0.0, 0.0, -1.0, right, top),
        270: (0.0, 1.0, -1.0, 0.0, top, -left),
    }[page.get_rotation()]


def _walk(
    holder: pdfium.PdfObject, matrix: Matrix | None
) -> Iterator[tuple[pdfium.PdfObject, Matrix]]:
    """Give every object of the page, those inside of others too, each with its outer matrix."""
    outer = matrix or (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    count, get = (
        (api.FPDFPage_CountObjects, api.FPDFPage_GetObject)
        if matrix is None
        else (api.FPDFFormObj_CountObjects, api.FPDFFormObj_GetObject)
    )
    for index in range(count(holder)):
        thing = get(holder, index)
        if api.FPDFPageObj_GetType(thing) == api.FPDF_PAGEOBJ_FORM:
            yield from _walk(thing, join_matrix(ask_matrix(thing), outer))
        else:
            yield thing, outer


def _ask_tone(thing: pdfium.PdfObject, *, fill: bool) -> float:
    """Give the grey of a colour, 0 black to 1 white; see-through counts as white."""
    red, green, blue, alpha = c_uint(), c_uint(), c_uint(), c_uint()
    ask = api.FPDFPageObj_GetFillColor if fill else api.FPDFPageObj_GetStrokeColor
    if not ask(thing, byref(red), byref(green), byref(blue), byref(alpha)):
        return 0.0
    grey = (0.3 * red.value + 0.59 * green.value + 0.11 * blue.value) / 255
    return 1 - (1 - grey) * alpha.value / 255


def _parse_path(thing: pdfium.PdfObject, matrix: Matrix) -> list[Shape]:
    """Give the straight lines and closed shapes of one path."""
    mode, stroked = c_int(), c_int()
    api.FPDFPath_GetDrawMode(thing, byref(mode), byref(stroked))
    tone = _ask_tone(thing, fill=True) if mode.value else 1.0
    drawn = bool(stroked.value) and _ask_tone(thing, fill=False) < WHITE
    thick = c_float()
    api.FPDFPageObj_GetStrokeWidth(thing, byref(thick))
    scale = abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]) ** 0.5
    shapes: list[Shape] = []
    for outline in _parse_outlines(thing, matrix):
        if drawn:
            shapes += _make_strokes(outline, thick.value * scale)
        if mode.value or (drawn and outline.closed):
            shapes += _make_area(outline, tone, outlined=drawn and outline.closed)
    return shapes


def _parse_outlines(thing: pdfium.PdfObject, matrix: Matrix) -> list[_Outline]:
    """Give the outlines of a path, one for each time the pen is set down."""
    outlines: list[_Outline] = []
    for index in range(api.FPDFPath_CountSegments(thing)):
        segment = api.FPDFPath_GetPathSegment(thing, index)
        kind = api.FPDFPathSegment_GetType(segment)
        if kind == api.FPDF_SEGMENT_MOVETO or not outlines:
            outlines.append(_Outline(points=[], bent=[]))
        points, bent = outlines[-1].points, outlines[-1].bent
        points.append(apply_matrix(matrix, *ask_point(segment)))
        bent.append(kind == api.FPDF_SEGMENT_BEZIERTO)
        if api.FPDFPathSegment_GetClose(segment):
            points.append(points[0])
            bent.append(False)
    return [outline for outline in outlines if len(outline.points) > 1]


def _make_strokes(outline: _Outline, thick: float) -> list[Stroke]:
    """Give the level and upright pieces of an outline that are straight."""
    strokes = []
    for ((x1, y1), (x2, y2)), bent in zip(pairwise(outline.points), outline.bent[1:], strict=True):
        if bent:
            continue
        if abs(y1 - y2) < LEVEL < abs(x1 - x2):
            up = (y1 + y2) / 2
            strokes.append(
                Stroke(left=min(x1, x2), right=max(x1, x2), bottom=up, top=up, thick=thick)
            )
        elif abs(x1 - x2) < LEVEL < abs(y1 - y2):
            across = (x1 + x2) / 2
            strokes.append(
                Stroke(left=across, right=across, bottom=min(y1, y2), top=max(y1, y2), thick=thick)
            )
    return strokes


def _make_area(outline: _Outline, tone: float, *, outlined: bool) -> list[Shape]:
    """Give the closed shape of an outline, or the line that a thin filled shape stands for."""
    across, up = [x for x, _ in outline.points], [y for _, y in outline.points]
    left, right, bottom, top = min(across), max(across), min(up), max(up)
    if not outlined and min(right - left, top - bottom) <= THIN:
        if tone >= WHITE:
            return []
        if right - left >= top - bottom:
            middle, thick = (bottom + top) / 2, top - bottom
            return [Stroke(left=left, right=right, bottom=middle, top=middle, thick=thick)]
        middle, thick = (left + right) / 2, right - left
        return [Stroke(left=middle, right=middle, bottom=bottom, top=top, thick=thick)]
    curves = sum(outline.bent) // 3
    ring = curves >= 4 and len(outline.points) <= 3 * curves + 2
    return [
        Box(left=left, bottom=bottom, right=right, top=top, tone=tone, drawn=outlined, round=ring)
    ]


def _join_level(strokes: list[Stroke]) -> tuple[Stroke, ...]:
    """Join the pieces of level lines: dashes, and lines drawn cell by cell."""
    done: list[Stroke] = []
    for item in sorted(strokes, key=lambda item: (round(item.bottom), item.left)):
        for index in range(len(done) - 1, max(-1, len(done) - 40), -1):
            last = done[index]
            room = 4.0 if min(item.width, last.width) < 7 else 1.0
            if (
                abs(last.bottom - item.bottom) < LEVEL
                and item.left - last.right < room
                and item.right > last.left - room
            ):
                done[index] = Stroke(
                    left=min(last.left, item.left),
                    right=max(last.right, item.right),
                    bottom=last.bottom,
                    top=last.bottom,
                    thick=max(last.thick, item.thick),
                )
                break
        else:
            done.append(item)
    return tuple(done)


def _join_upright(strokes: list[Stroke]) -> tuple[Stroke, ...]:
    """Join the pieces of upright lines, by turning them level and back."""
    turned = [_turn(item) for item in strokes]
    return tuple(_turn(item) for item in _join_level(turned))


def _turn(item: Stroke) -> Stroke:
    return Stroke(
        left=item.bottom, right=item.top, bottom=item.left, top=item.right, thick=item.thick
    )
