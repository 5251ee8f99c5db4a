"""Puts the corner codes into the margins of an agency's own blank form.

What the agency printed is not touched: its content streams stay byte for byte as they are, with a
short one before them and one after them that draws the codes. Form fields stay fields.
"""

from collections.abc import Sequence
from io import BytesIO

import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray
from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.errors import PyPdfError
from pypdf.generic import (
    ArrayObject,
    ContentStream,
    DecodedStreamObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    StreamObject,
)

from compliance.base.problems import RefusedError
from compliance.scan.code_places import NAMES, NEEDED, find_code_places
from compliance.scan.finder_text import measure_sheet
from compliance.scan.model import CodedForm, Places, Rect, Region
from compliance.scan.symbol import list_runs, make_code_modules

DOTS = 144
"""Dots an inch at which a margin is looked at; two for each point."""
MOST_DOTS = 36_000_000
"""A page larger than a poster is looked at with fewer."""


def add_codes(pdf: bytes, form_code: str, avoid: Sequence[Region] = ()) -> CodedForm:
    """Add a code near every corner of every page of a blank form that has room for it.

    Shape: every page gets three codes or four. A code moves along the margin to where nothing is
    printed. ``avoid`` are the places where somebody will write. The same input gives the same
    bytes.

    Raises:
        RefusedError: It is no PDF, is locked or signed, or a page has no room for three codes.
    """
    writer = _open(pdf)
    document = _open_to_look(pdf)
    found = []
    try:
        for number, page in enumerate(writer.pages):
            sheet = document[number]
            here = [one for one in avoid if one.page == number]
            places = _find_places(
                sheet, [(one.left, one.bottom, one.right, one.top) for one in here]
            )
            found.append(places)
            if sum(place is not None for place in places) < NEEDED:
                covered = ", ".join(
                    name for name, place in zip(NAMES, places, strict=True) if place is None
                )
                raise RefusedError(
                    f"there is no room for the corner codes on page {number + 1}:"
                    f" print is in the way at {covered}",
                    hint="use the form without codes; it is lined up by its print instead",
                )
            drawing = "".join(
                _draw_code(make_code_modules(form_code, number, corner), place)
                for corner, place in enumerate(places)
                if place is not None
            )
            _add_drawing(writer, page, drawing, _unturn(sheet))
    finally:
        document.close()
    out = BytesIO()
    writer.write(out)
    return CodedForm(pdf=out.getvalue(), places=tuple(found))


def _open_to_look(pdf: bytes) -> pdfium.PdfDocument:
    try:
        document = pdfium.PdfDocument(pdf)
    except pdfium.PdfiumError as error:
        raise RefusedError("this is not a PDF file that can be opened") from error
    document.init_forms()
    return document


def _open(pdf: bytes) -> PdfWriter:
    """Open a blank form for adding to it, if that may be done."""
    try:
        reader = PdfReader(BytesIO(pdf))
        if reader.is_encrypted:
            raise RefusedError(
                "this form is locked against changes, so no codes can be added",
                hint="use the form without codes; it is lined up by its print instead",
            )
        if any(
            field.get("/FT") == "/Sig" and field.get("/V")
            for field in (reader.get_fields() or {}).values()
        ):
            raise RefusedError(
                "this form carries a digital signature, which codes would break",
                hint="take the blank form",
            )
        return PdfWriter(clone_from=reader)
    except (PyPdfError, KeyError, TypeError, ValueError, AttributeError) as error:
        raise RefusedError(
            "this is not a PDF file that can be opened", hint="download the blank form again"
        ) from error


def _find_places(sheet: pdfium.PdfPage, avoid: Sequence[Rect]) -> Places:
    """Look at a page as it prints and find where its codes can stand."""
    width, height = sheet.get_size()
    scale = min(DOTS / 72, (MOST_DOTS / (width * height)) ** 0.5)
    picture = sheet.render(scale=scale, may_draw_forms=True).to_pil().convert("L")
    return find_code_places(np.asarray(picture), (width, height), avoid)


def _draw_code(modules: NDArray[np.bool_], place: Rect) -> str:
    """Draw the black modules as one path, so that no hairlines show between neighbours."""
    parts = [
        f"{left:.3f} {bottom:.3f} {right - left:.3f} {top - bottom:.3f} re\n"
        for left, bottom, right, top in list_runs(modules, place)
    ]
    return "".join(parts) + "f\n"


def _add_drawing(
    writer: PdfWriter,
    page: PageObject,
    drawing: str,
    unturn: tuple[int, int, int, int, float, float],
) -> None:
    """Put a drawing in points as shown over a page, its own streams between two new ones."""
    a, b, c, d, e, f = unturn
    matrix = f"{a} {b} {c} {d} {e:.3f} {f:.3f} cm"
    # What the agency's own streams leave open is closed, or its scale would act on the codes.
    close = "Q " * (1 + _count_open(writer, page))
    before = _make_stream(writer, "q\n")
    after = _make_stream(writer, f"\n{close}q {matrix} 0 g\n{drawing}Q\n")
    page[NameObject("/Contents")] = ArrayObject([before, *_own_streams(writer, page), after])
    if "/Resources" not in page:
        page[NameObject("/Resources")] = DictionaryObject()


def _unturn(sheet: pdfium.PdfPage) -> tuple[int, int, int, int, float, float]:
    """Give the matrix from points as shown to the page's own points."""
    left, bottom, right, top = measure_sheet(sheet)
    return {
        0: (1, 0, 0, 1, left, bottom),
        90: (0, 1, -1, 0, right, bottom),
        180: (-1, 0, 0, -1, right, top),
        270: (0, -1, 1, 0, left, top),
    }[sheet.get_rotation()]


def _own_streams(writer: PdfWriter, page: PageObject) -> list[IndirectObject]:
    """Give the page's own content streams, as they are."""
    raw = page.raw_get("/Contents") if "/Contents" in page else None
    if raw is None:
        return []
    thing = raw.get_object()
    if isinstance(thing, ArrayObject):
        return [item for item in thing if isinstance(item, IndirectObject)]
    if isinstance(raw, IndirectObject):
        return [raw]
    return [writer._add_object(thing)]  # noqa: SLF001 - pypdf has no public name for it


def _make_stream(writer: PdfWriter, text: str) -> IndirectObject:
    stream: StreamObject = DecodedStreamObject()
    stream.set_data(text.encode("ascii"))
    return writer._add_object(stream)  # noqa: SLF001 - pypdf has no public name for it


def _count_open(writer: PdfWriter, page: PageObject) -> int:
    """Count the saved graphics states that the page's own streams leave open."""
    if "/Contents" not in page:
        return 0
    depth = 0
    for _, operator in ContentStream(page["/Contents"], writer).operations:
        if operator == b"q":
            depth += 1
        elif operator == b"Q":
            depth = max(0, depth - 1)
    return depth
