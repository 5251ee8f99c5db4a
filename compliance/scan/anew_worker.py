"""Write the pages of somebody else's PDF anew, as plain drawings; in the child process only.

What a page shows is kept: print, pictures, filled fields, notes and stamps as they look on the
screen. What a page could do is not: scripts, actions, links, attached files, data about the maker.
"""

from io import BytesIO
from typing import Any

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    StreamObject,
)

from compliance.base.problems import RefusedError
from compliance.scan.anew_names import (
    HIDDEN_LAYERS,
    LOCKED,
    NOT_TO_BE_PRINTED,
    OTHER_LANGUAGE,
    PAGE_FORM,
)
from compliance.scan.pdf_model import PdfKind
from compliance.scan.pdf_objects import items, resolved
from compliance.scan.pdf_places import Frame
from compliance.scan.pdfium_reading import (
    UnreadableError,
    compute_frame,
    compute_kind,
    compute_look,
    copy_unlocked,
    is_locked,
    opened,
)

Answer = tuple[dict[str, Any], bytes]


# ISO 32000-1 table 22: bit 3 allows printing.
_MAY_PRINT = 4
# Scripts, actions, attached files, other files pointed to, and data about who made it and how.
_DROPPED = (
    "/AA",
    "/AF",
    "/Alternates",
    "/EF",
    "/JS",
    "/LastModified",
    "/Metadata",
    "/OpenAction",
    "/OPI",
    "/PieceInfo",
    "/Ref",
    "/StructParent",
    "/StructParents",
)


def answer_anew(data: bytes, most: int) -> Answer:
    """Answer the task ``anew``: the sizes of the pages as shown, and the pages written anew.

    Shape: ``kept_out`` says in words why a sound file cannot be shown (locked, may not be printed,
    a form only some viewers draw); no bytes follow then. Units: PDF points.

    Raises:
        RefusedError: It is damaged, has more than *most* pages, or a page is no sheet.
    """
    try:
        with opened(data, most) as document:
            kept_out = _say_kept_out(document)
            if kept_out:
                return {"pages": [{}] * len(document), "kept_out": kept_out}, b""
            for page in document:
                compute_frame(page)
                _flatten(page)
            frames = [compute_frame(page) for page in document]
            plain = copy_unlocked(document)
    except UnreadableError as error:
        if error.kind is PdfKind.ENCRYPTED:
            return {"pages": [], "kept_out": LOCKED}, b""
        raise
    if not frames:
        raise RefusedError("This PDF has no pages.", hint="Save or download it again.")
    sizes = [{"width": frame.width, "height": frame.height} for frame in frames]
    reader = PdfReader(BytesIO(plain), strict=False)
    # Without the settings of its file a hidden layer would be seen.
    if _list_hidden_layers(reader):
        return {"pages": sizes, "kept_out": HIDDEN_LAYERS}, b""
    return {"pages": sizes, "kept_out": ""}, _write_anew(reader, frames)


def _flatten(page: pdfium.PdfPage) -> None:
    """Draw fields, notes and stamps onto the page itself, as they look on the screen.

    Raises:
        RefusedError: The library cannot.
    """
    # The library's own method works only on files that have a form; notes are in others too.
    done = pdfium_c.FPDFPage_Flatten(page, pdfium_c.FLAT_NORMALDISPLAY)
    if done == pdfium_c.FLATTEN_FAIL:
        raise RefusedError(
            "The fields or notes of this PDF cannot be drawn.",
            hint="Print it as PDF, and attach that.",
        )


def _say_kept_out(document: pdfium.PdfDocument) -> str:
    """Say why a file that opens is not shown, or nothing."""
    if is_locked(document) and not pdfium_c.FPDF_GetDocPermissions(document) & _MAY_PRINT:
        return NOT_TO_BE_PRINTED
    looks = tuple(compute_look(document, page, compute_frame(page)) for page in document)
    if compute_kind(document, looks) is PdfKind.XFA_ONLY:
        return OTHER_LANGUAGE
    return ""


def _write_anew(reader: PdfReader, frames: list[Frame]) -> bytes:
    """Write a PDF whose pages hold one drawing each, upright, with nothing else in the file."""
    writer = PdfWriter()
    for page, frame in zip(reader.pages, frames, strict=True):
        form = _make_form(writer, page, frame)
        sheet = writer.add_blank_page(width=frame.width, height=frame.height)
        forms = DictionaryObject({NameObject(PAGE_FORM): writer._add_object(form)})  # noqa: SLF001 - the library has no public way to add an object
        sheet[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): forms})
        content = StreamObject()
        content.set_data(f"{PAGE_FORM} Do\n".encode())
        sheet[NameObject("/Contents")] = writer._add_object(content)  # noqa: SLF001 - same
        _drop_harm(sheet)
    writer.metadata = None
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def _make_form(writer: PdfWriter, page: PageObject, frame: Frame) -> StreamObject:
    """Give a page's content as a drawing whose lower left corner is at 0, 0, turned upright."""
    content = page.get_contents()
    form = StreamObject()
    form.set_data(content.get_data() if content is not None else b"")
    packed: StreamObject = form.flate_encode()
    packed[NameObject("/Type")] = NameObject("/XObject")
    packed[NameObject("/Subtype")] = NameObject("/Form")
    box = (frame.left, frame.bottom, frame.right, frame.top)
    packed[NameObject("/BBox")] = ArrayObject(FloatObject(side) for side in box)
    packed[NameObject("/Matrix")] = ArrayObject(FloatObject(one) for one in _compute_turn(frame))
    resources = resolved(page.get("/Resources"))
    if isinstance(resources, DictionaryObject):
        packed[NameObject("/Resources")] = resources.clone(writer)
    group = resolved(page.get("/Group"))
    if isinstance(group, DictionaryObject):
        packed[NameObject("/Group")] = group.clone(writer)
    return packed


def _compute_turn(frame: Frame) -> tuple[float, ...]:
    """Give the matrix from a page's own coordinates to the page as it is shown.

    Source: ISO 32000-1 section 8.3.3 and table 30 (a page is turned clockwise).
    """
    return {
        0: (1, 0, 0, 1, -frame.left, -frame.bottom),
        90: (0, -1, 1, 0, -frame.bottom, frame.right),
        180: (-1, 0, 0, -1, frame.right, frame.top),
        270: (0, 1, -1, 0, frame.top, -frame.left),
    }[frame.turned]


def _drop_harm(start: DictionaryObject) -> None:
    """Take scripts, actions, attached files and notes about the maker out of all that is drawn."""
    seen: set[int] = set()
    waiting: list[object] = [start]
    while waiting:
        found = waiting.pop()
        if isinstance(found, IndirectObject):
            if found.idnum in seen:
                continue
            seen.add(found.idnum)
            found = found.get_object()
        if isinstance(found, DictionaryObject):
            for key in _DROPPED:
                found.pop(NameObject(key), None)
            waiting.extend(value for key, value in found.items() if key != "/Parent")
        elif isinstance(found, ArrayObject):
            waiting.extend(found)


def _list_hidden_layers(reader: PdfReader) -> set[int]:
    """Give the object numbers of the layers a viewer does not show at first.

    Source: ISO 32000-1 section 8.11.4.3 (default configuration: BaseState, ON, OFF).
    """
    properties = resolved(reader.root_object.get("/OCProperties"))
    settings = resolved(properties.get("/D")) if isinstance(properties, DictionaryObject) else None
    if not isinstance(properties, DictionaryObject) or not isinstance(settings, DictionaryObject):
        return set()
    known = _numbers(properties.get("/OCGs"))
    shown = _numbers(settings.get("/ON"))
    hidden = known - shown if settings.get("/BaseState") == "/OFF" else set()
    return hidden | _numbers(settings.get("/OFF"))


def _numbers(value: object) -> set[int]:
    return {one.idnum for one in items(value) if isinstance(one, IndirectObject)}
