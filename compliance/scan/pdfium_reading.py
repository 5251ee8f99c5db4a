"""Open, measure and draw PDF pages and read the words on them; runs in the child process only.

Scripts in a PDF are never run and attached files never opened: the library build in use has no
script engine, and one that has is refused.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from io import BytesIO
from typing import Any

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c

from compliance.base.problems import RefusedError
from compliance.scan.pdf_model import PageSize, PdfFacts, PdfKind
from compliance.scan.pdf_places import Box, Frame, Phrase, group_phrases

MAX_PAGES = 40
# A0 and a bit; the least is smaller than a stamp.
MAX_SIDE_POINTS = 3456.0
MIN_SIDE_POINTS = 36.0
# ISO 32000-1 annex C.2 (from memory): 200 inches. A photo saved as PDF takes an inch for 72 dots.
MAX_PICTURE_POINTS = 14_400.0
MAX_PIXELS = 36_000_000
MAX_OBJECTS = 200_000
MAX_CHARACTERS = 30_000
# A scanning app's line of advertising does not make a scan a printed page.
FEW_TEXTS = 3
PICTURE_SHARE = 0.5
_POINTS_PER_INCH = 72.0
_SCRIPT_BUILDS = {"V8", "XFA"}
# Half of a letter that takes two numbers; alone it is no letter.
_HALVES = range(0xD800, 0xE000)


class UnreadableError(RefusedError):
    """The PDF cannot be opened; ``kind`` says whether it is locked or damaged."""

    def __init__(self, kind: PdfKind, message: str, *, hint: str) -> None:
        super().__init__(message, hint=hint)
        self.kind = kind


@dataclass(frozen=True, slots=True, kw_only=True)
class PageLook:
    """What is on a page: fields, print, pictures over most of it."""

    has_fields: bool
    has_print: bool
    has_picture: bool


@contextmanager
def opened(data: bytes, most: int = MAX_PAGES) -> Iterator[pdfium.PdfDocument]:
    """Open a PDF with its form ready to be drawn, and close it.

    Raises:
        UnreadableError: It needs a password or is damaged.
        RefusedError: More than *most* pages.
    """
    if _SCRIPT_BUILDS & set(pdfium.PDFIUM_INFO.flags):
        raise RefusedError(
            "The PDF library installed here can run the scripts inside PDFs.",
            hint="Install the usual build of it: pip install --force-reinstall pypdfium2",
        )
    try:
        document = pdfium.PdfDocument(data)
    except pdfium.PdfiumError as error:
        raise _unreadable(error) from error
    try:
        if len(document) > most:
            raise RefusedError(
                f"This PDF has {len(document)} pages; at most {most} are looked at.",
                hint="Save only the pages of the form as a PDF of their own.",
            )
        document.init_forms()
        yield document
    except pdfium.PdfiumError as error:
        raise _unreadable(error) from error
    finally:
        document.close()


def _unreadable(error: pdfium.PdfiumError) -> UnreadableError:
    code = getattr(error, "err_code", None)
    if code == pdfium_c.FPDF_ERR_PASSWORD:
        return UnreadableError(
            PdfKind.ENCRYPTED,
            "This PDF opens only with a password.",
            hint="Open it with the password and save or print it as a PDF without one.",
        )
    if code == pdfium_c.FPDF_ERR_SECURITY:
        return UnreadableError(
            PdfKind.ENCRYPTED,
            "This PDF is locked in a way that cannot be opened here.",
            hint="Open it in the program it was made for and print it as PDF.",
        )
    return UnreadableError(
        PdfKind.DAMAGED,
        "This PDF is damaged and cannot be opened.",
        hint="Download or save it again, or print it and take a photo of it.",
    )


def is_locked(document: pdfium.PdfDocument) -> bool:
    """Tell whether the file is encrypted, even if it opens without a password."""
    return bool(pdfium_c.FPDF_GetSecurityHandlerRevision(document) != -1)


def copy_unlocked(document: pdfium.PdfDocument) -> bytes:
    """Give the same document written anew and without encryption, for a reader without ciphers."""
    target = BytesIO()
    document.save(target, flags=pdfium_c.FPDF_REMOVE_SECURITY)
    return target.getvalue()


def compute_frame(page: pdfium.PdfPage) -> Frame:
    """Give how a page's own coordinates lie on the page as it is shown.

    Raises:
        RefusedError: A side is shorter or longer than any sheet, and the page is no picture.
    """
    left, bottom, right, top = page.get_bbox()
    sides = (right - left, top - bottom)
    is_long = max(sides) > MAX_SIDE_POINTS and not _is_picture(page, sides[0] * sides[1])
    if min(sides) < MIN_SIDE_POINTS or max(sides) > MAX_PICTURE_POINTS or is_long:
        inches = " by ".join(f"{side / _POINTS_PER_INCH:.4g}" for side in sides)
        raise RefusedError(
            f"A page of this PDF measures {inches} inches; no form has that size.",
            hint="Print it to PDF on Letter paper.",
        )
    return Frame(left=left, bottom=bottom, right=right, top=top, turned=page.get_rotation())


def _is_picture(page: pdfium.PdfPage, paper: float) -> bool:
    """Tell whether one picture takes most of a page, as a scan or a photo does."""
    things = page.get_objects(filter=[pdfium_c.FPDF_PAGEOBJ_IMAGE], max_depth=8)
    for count, thing in enumerate(things):
        if count >= MAX_OBJECTS:
            break
        left, bottom, right, top = thing.get_bounds()
        if (right - left) * (top - bottom) >= PICTURE_SHARE * paper:
            return True
    return False


def compute_look(document: pdfium.PdfDocument, page: pdfium.PdfPage, frame: Frame) -> PageLook:
    """Tell what is on a page, without drawing it."""
    paper = (frame.right - frame.left) * (frame.top - frame.bottom)
    pictures = 0.0
    texts = paths = 0
    for count, thing in enumerate(page.get_objects(max_depth=8)):
        if count >= MAX_OBJECTS:
            break
        if thing.type == pdfium_c.FPDF_PAGEOBJ_IMAGE:
            left, bottom, right, top = thing.get_bounds()
            pictures += max(0.0, right - left) * max(0.0, top - bottom)
        elif thing.type == pdfium_c.FPDF_PAGEOBJ_TEXT:
            mode = pdfium_c.FPDFTextObj_GetTextRenderMode(thing)
            # A scan with a layer of recognized words carries them as invisible text.
            texts += mode != pdfium_c.FPDF_TEXTRENDERMODE_INVISIBLE
        elif thing.type in (pdfium_c.FPDF_PAGEOBJ_PATH, pdfium_c.FPDF_PAGEOBJ_SHADING):
            paths += 1
    has_picture = pictures >= PICTURE_SHARE * paper
    has_print = texts > FEW_TEXTS if has_picture else texts + paths > 0 or pictures > 0
    return PageLook(
        has_fields=_has_fields(document, page), has_print=has_print, has_picture=has_picture
    )


def _has_fields(document: pdfium.PdfDocument, page: pdfium.PdfPage) -> bool:
    for index in range(min(pdfium_c.FPDFPage_GetAnnotCount(page), MAX_OBJECTS)):
        annotation = pdfium_c.FPDFPage_GetAnnot(page, index)
        if not annotation:
            continue
        is_box = pdfium_c.FPDFAnnot_GetSubtype(annotation) == pdfium_c.FPDF_ANNOT_WIDGET
        # Without a form environment the kind is unknown; a box is then taken for a field.
        kind = (
            is_box
            and document.formenv
            and pdfium_c.FPDFAnnot_GetFormFieldType(document.formenv, annotation)
        )
        pdfium_c.FPDFPage_CloseAnnot(annotation)
        if is_box and kind != pdfium_c.FPDF_FORMFIELD_PUSHBUTTON:
            return True
    return False


def compute_kind(document: pdfium.PdfDocument, looks: tuple[PageLook, ...]) -> PdfKind:
    """Tell what sort of PDF it is from what is on its pages."""
    if any(look.has_fields for look in looks):
        return PdfKind.FILLABLE
    if has_xfa(document):
        return PdfKind.XFA_ONLY
    if any(look.has_print for look in looks):
        return PdfKind.FLATTENED
    return PdfKind.SCANNED if any(look.has_picture for look in looks) else PdfKind.EMPTY


def has_xfa(document: pdfium.PdfDocument) -> bool:
    """Tell whether the form is kept in the other form language too, or only in it."""
    return document.get_formtype() in (
        pdfium_c.FORMTYPE_XFA_FULL,
        pdfium_c.FORMTYPE_XFA_FOREGROUND,
    )


def read_phrases(page: pdfium.PdfPage, frame: Frame) -> tuple[Phrase, ...]:
    """Read the words printed on a page, joined to phrases; form fields are left out.

    Source: a gap wider than a letter is high parts two phrases (common practice, no source).
    """
    text = page.get_textpage()
    count = min(text.count_chars(), MAX_CHARACTERS)
    characters: list[tuple[str, Box]] = []
    for index in range(count):
        code = pdfium_c.FPDFText_GetUnicode(text, index)
        letter = chr(code) if 0 < code <= sys.maxunicode and code not in _HALVES else " "
        characters.append((letter, frame.to_shown(text.get_charbox(index))))
    text.close()
    return group_phrases(characters)


def answer_facts(data: bytes) -> tuple[dict[str, Any], bytes]:
    """Answer the task ``facts``."""
    with opened(data) as document:
        sizes, looks = [], []
        for page in document:
            frame = compute_frame(page)
            sizes.append(PageSize(width=frame.width, height=frame.height))
            looks.append(compute_look(document, page, frame))
        facts = PdfFacts(
            kind=compute_kind(document, tuple(looks)),
            pages=tuple(sizes),
            is_encrypted=is_locked(document),
        )
    return asdict(facts), b""


def answer_page(data: bytes, page: int, dpi: int, colour: bool) -> tuple[dict[str, Any], bytes]:  # noqa: FBT001
    """Answer the task ``page``: its size in pixels, and the pixels row by row.

    Raises:
        RefusedError: No such page, or too many pixels.
    """
    with opened(data) as document:
        if not 0 <= page < len(document):
            raise RefusedError(
                f"This PDF has no page {page + 1}.", hint=f"It has {len(document)} pages."
            )
        sheet = document[page]
        frame = compute_frame(sheet)
        scale = dpi / _POINTS_PER_INCH
        pixels = frame.width * frame.height * scale * scale
        if pixels > MAX_PIXELS:
            raise RefusedError(
                f"This page at {dpi} dots an inch has {pixels / 1e6:.0f} million dots; at most "
                f"{MAX_PIXELS // 10**6} million are drawn.",
                hint="Use fewer dots an inch.",
            )
        # A hair less, or rounding up turns 11 inches at 150 dots into 1651 rows.
        bitmap = sheet.render(scale=scale * (1 - 1e-9), grayscale=not colour, rev_byteorder=colour)
        depth = 3 if colour else 1
        row = bitmap.width * depth
        raw = bytes(bitmap.buffer)
        rows = [raw[at : at + row] for at in range(0, bitmap.stride * bitmap.height, bitmap.stride)]
        size = {"width": bitmap.width, "height": bitmap.height, "depth": depth}
    return size, b"".join(rows)
