"""Blank forms somebody gives are opened in a process that may be stopped, and refused in words.

The limits are those of the check: ISO 32000 says nothing of them; they are our own.
"""

import time
from collections.abc import Callable
from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter
from reportlab.pdfgen.canvas import Canvas

from compliance.base.problems import RefusedError
from compliance.scan.finder import draw_found, find_blanks
from compliance.scan.form_reading import draw_outlines, print_codes, read_blanks
from compliance.scan.printing import add_codes
from tests.kit_inflating import pack_blanks

LOCKED = "This PDF opens only with a password."
DAMAGED = "This PDF is damaged and cannot be opened."


def make_form(pages: int = 1) -> bytes:
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    for page in range(pages):
        canvas.drawString(110, 720, f"Application, page {page + 1}: answer in plain words")
        canvas.line(72, 600, 330, 600)
        canvas.drawString(72, 588, "Signature")
        canvas.line(350, 600, 540, 600)
        canvas.drawString(350, 588, "Date")
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def lock(data: bytes) -> bytes:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(data)))
    writer.encrypt("a password of their own", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def make_bomb() -> bytes:
    """A page whose drawing inflates to two gigabytes of blanks."""
    packed = pack_blanks(2048)
    page = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Contents 4 0 R>>"
    head = b"<</Length %d/Filter/FlateDecode>>" % len(packed)
    objects = (
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        page,
        b"%b\nstream\n%b\nendstream" % (head, packed),
    )
    out, places = bytearray(b"%PDF-1.7\n"), []
    for number, body in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
    start = len(out)
    out += b"xref\n0 5\n0000000000 65535 f \n"
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    return bytes(out + b"trailer\n<</Size 5/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % start)


def many_pages() -> bytes:
    """A thousand pages that are one object."""
    kids = b"3 0 R " * 1000
    return (
        b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n"
        b"2 0 obj\n<</Type/Pages/Kids["
        + kids
        + b"]/Count 1000>>\nendobj\n3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]>>\n"
        b"endobj\ntrailer\n<</Size 4/Root 1 0 R>>\n%%EOF\n"
    )


def test_reading_gives_what_the_finder_and_the_printer_give() -> None:
    form = make_form(2)
    regions = find_blanks(form)

    assert read_blanks(form) == regions
    assert print_codes(form, "SANDBR", regions) == add_codes(form, "SANDBR", regions)
    assert draw_outlines(form, regions) == draw_found(form, regions)


REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", "This file is empty."),
    "text": (lambda: b"Dear office", "This is not a PDF: it does not begin like one."),
    "picture": (lambda: b"\xff\xd8\xff\xe0" + b"\0" * 99, "This is a JPEG picture, not a PDF."),
    "half": (lambda: make_form()[:300], DAMAGED),
    "locked": (lambda: lock(make_form()), LOCKED),
    "pages": (many_pages, "This PDF has 1000 pages; at most 40 are looked at."),
}


TASKS: dict[str, Callable[[bytes], object]] = {
    "find": read_blanks,
    "print": lambda data: print_codes(data, "SANDBR", ()),
    "draw": lambda data: draw_outlines(data, ()),
}


@pytest.mark.parametrize("name", REFUSED)
@pytest.mark.parametrize("task", TASKS)
def test_reading_refuses_with_the_sentences_of_the_check(name: str, task: str) -> None:
    make, sentence = REFUSED[name]
    data = make()

    with pytest.raises(RefusedError) as caught:
        TASKS[task](data)

    assert caught.value.message == sentence
    assert caught.value.hint


@pytest.mark.slow
def test_reading_a_bomb_ends_soon_in_a_sentence() -> None:
    data = make_bomb()
    began = time.monotonic()

    for work in (TASKS["find"], TASKS["print"]):
        with pytest.raises(RefusedError) as caught:
            work(data)
        assert caught.value.message.startswith("This PDF ")
        assert caught.value.message.endswith(".")

    assert time.monotonic() - began < 2 * 60 + 5
