"""Read the fields of a PDF and say what sort of PDF it is; in the child process only."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from io import BytesIO
from typing import Any

import pypdf
from pypdf.errors import PyPdfError

from compliance.scan.acroform_seals import add_seals, read_marks
from compliance.scan.acroform_shown import add_shown
from compliance.scan.acroform_walk import MAX_FIELDS, Sheet, grouped, read_field
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, Mark, PdfKind, Place
from compliance.scan.pdf_objects import MAX_DEPTH
from compliance.scan.pdfium_reading import (
    MAX_PAGES,
    UnreadableError,
    compute_frame,
    compute_kind,
    compute_look,
    copy_unlocked,
    has_xfa,
    is_locked,
    opened,
    read_phrases,
)

_LIMITS: dict[str, Any] = {
    "zlib_maximum_output_length": 40_000_000,
    "lzw_maximum_output_length": 40_000_000,
    "run_length_maximum_output_length": 40_000_000,
    "page_tree_maximum_entries": 2000,
    "page_tree_maximum_page_entries": 40_000,
    "form_fields_maximum_entries": MAX_FIELDS,
    "form_fields_maximum_depth": MAX_DEPTH,
    # No other program is started on a file of somebody else's.
    "jbig2dec_binary": None,
}
# What the library raises on objects of the wrong sort, its own errors and the language's.
_PROVOKED = (
    PyPdfError,
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    RecursionError,
    TypeError,
    ValueError,
)
_FIELDS_UNREADABLE = (
    "This PDF opens, but its fields are damaged and cannot be read. Print it to PDF, and only its "
    "picture is judged."
)
# Boxes of one line are seldom drawn at quite the same height, in points.
_LINE = 6.0

_UPPER = 2 / 3
_MOST_HEADING = 2000
_MOST_PHRASES = 2000
KIND_WORDS = {
    PdfKind.FILLABLE: "The fields of this PDF were read.",
    PdfKind.FLATTENED: "This PDF has print but no fields: it was printed to PDF or flattened. "
    "Only its picture can be judged.",
    PdfKind.SCANNED: "The pages of this PDF are pictures. Only they can be judged.",
    PdfKind.XFA_ONLY: "This PDF keeps its fields in a form language (XFA) that is not read here. "
    "Open it in the program it was made for and print it as PDF.",
    PdfKind.EMPTY: "There is nothing on the pages of this PDF.",
}


def answer_fields(data: bytes) -> tuple[dict[str, Any], bytes]:
    """Answer the task ``fields``."""
    return asdict(read_fields_here(data)), b""


def read_fields_here(data: bytes) -> FieldsRead:
    """Read the fields of a PDF in this process, without the limits of time and memory.

    Raises:
        RefusedError: Too many pages or fields, or a page of no sheet's size.
    """
    try:
        with opened(data) as document:
            sheets, looks = [], []
            for page in document:
                frame = compute_frame(page)
                looks.append(compute_look(document, page, frame))
                sheets.append(Sheet(frame=frame, phrases=read_phrases(page, frame)))
            kind, xfa = compute_kind(document, tuple(looks)), has_xfa(document)
            unlocked = copy_unlocked(document) if is_locked(document) else data
    except UnreadableError as error:
        return FieldsRead(kind=error.kind, why=f"{error.message} {error.hint}")
    try:
        fields, marks = _read(unlocked, data, sheets)
    except _PROVOKED:
        # The library that draws mends more broken files than the one that reads fields.
        try:
            fields, marks = _read(_mended(data), data, sheets)
        except _PROVOKED as error:
            what = type(error).__name__
            return FieldsRead(kind=PdfKind.DAMAGED, why=f"{_FIELDS_UNREADABLE} ({what}.)")
    # Boxes that were left out of the form's own list are still drawn and still get filled in.
    if any(field.places and field.kind is not FieldKind.BUTTON for field in fields):
        kind = PdfKind.FILLABLE
    return FieldsRead(
        kind=kind,
        why=KIND_WORDS[kind],
        fields=fields,
        marks=marks,
        has_xfa=xfa,
        heading=_read_heading(sheets),
        printed=tuple(_list_printed(sheets)),
    )


def _list_printed(sheets: list[Sheet]) -> Iterator[Place]:
    for page, sheet in enumerate(sheets):
        for phrase in sheet.phrases[:_MOST_PHRASES]:
            left, bottom, right, top = phrase.box
            yield Place(
                page=page, left=left, bottom=bottom, right=right, top=top, label=phrase.text
            )


def _read_heading(sheets: list[Sheet]) -> str:
    if not sheets:
        return ""
    first = sheets[0]
    words = " ".join(
        phrase.text for phrase in first.phrases if phrase.box[1] > first.frame.height * _UPPER
    )
    return words[:_MOST_HEADING]


def _mended(data: bytes) -> bytes:
    with opened(data) as document:
        return copy_unlocked(document)


def _read(
    unlocked: bytes, data: bytes, sheets: Sequence[Sheet]
) -> tuple[tuple[Field, ...], tuple[Mark, ...]]:
    with pypdf.apply_configuration(**_LIMITS):
        reader = pypdf.PdfReader(BytesIO(unlocked))
        marks = tuple(read_marks(reader, sheets))
        groups = grouped(reader)
        fields = tuple(read_field(name, boxes, sheets) for name, boxes in groups.items())
        fields = add_seals(fields, groups, marks, data)
        fields = add_shown(fields, groups, reader, unlocked, sheets)
    return tuple(sorted(fields, key=_reading_order)), marks


def _reading_order(field: Field) -> tuple[int, float, float]:
    if not field.places:
        return (MAX_PAGES, 0.0, 0.0)
    place = field.places[0]
    return (place.page, -round(place.top / _LINE), place.left)
