"""Corner codes on an agency's blank form: what was there stays, what was added can be read.

Judged from outside: pypdf and pdfium read the file, pdfium draws it, zxing-cpp reads the symbols.
"""

from collections.abc import Callable
from io import BytesIO

import numpy as np
import pypdfium2 as pdfium
import pytest
import zxingcpp
from numpy.typing import NDArray
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    RectangleObject,
    StreamObject,
    TextStringObject,
)
from reportlab.lib.pagesizes import A4, landscape, letter
from reportlab.pdfgen.canvas import Canvas

from compliance.base.problems import RefusedError
from compliance.scan.codes import read_codes
from compliance.scan.model import Region
from compliance.scan.printing import add_codes
from compliance.scan.symbol import CODE_MARGIN, CODE_QUIET, CODE_SIDE, code_rects

CODE = "SANDBR"
SCALE = 3.0
Draw = Callable[[Canvas], None]


def make_form(draw: Draw | None = None, *, size: tuple[float, float] = letter) -> bytes:
    """A form of two pages with words, a line and a field, its corners free."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=size, invariant=1, pageCompression=1)
    for page in range(2):
        canvas.drawString(120, size[1] - 100, f"Statement of ownership, page {page + 1}")
        canvas.line(120, 200, 400, 200)
        canvas.acroForm.textfield(name=f"owner{page}", tooltip="Owner", x=120, y=220, width=200)
        if draw is not None:
            draw(canvas)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def render(pdf: bytes, page: int = 0) -> NDArray[np.uint8]:
    """The page as a grey picture."""
    document = pdfium.PdfDocument(pdf)
    document.init_forms()
    picture = np.asarray(document[page].render(scale=SCALE).to_pil().convert("L"))
    document.close()
    return picture


def read_streams(pdf: bytes, page: int) -> list[bytes]:
    """The content streams of a page, still packed as in the file."""
    holder = PdfReader(BytesIO(pdf)).pages[page]["/Contents"]
    items = holder if isinstance(holder, ArrayObject) else [holder]
    streams = [item.get_object() for item in items]
    return [stream._data for stream in streams if isinstance(stream, StreamObject)]


def turn(pdf: bytes, angle: int, cut: float = 0.0) -> bytes:
    """The same form turned in the file and turned back when shown, and cut to a smaller sheet."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(pdf)))
    for page in writer.pages:
        page.rotate((360 - angle) % 360)
        page.transfer_rotation_to_content()
        page.rotate(angle)
        box = page.mediabox
        page.cropbox = RectangleObject((box.left + cut, box.bottom + cut, box.right, box.top))
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def test_add_codes_own_streams_unchanged() -> None:
    form = make_form()

    coded = add_codes(form, CODE).pdf

    for page in range(2):
        old, new = read_streams(form, page), read_streams(coded, page)
        assert new[1:-1] == old
        assert len(new) == len(old) + 2


def test_add_codes_text_and_fields_unchanged() -> None:
    form = make_form()
    old = PdfReader(BytesIO(form))

    new = PdfReader(BytesIO(add_codes(form, CODE).pdf))

    assert [page.extract_text() for page in new.pages] == [
        page.extract_text() for page in old.pages
    ]
    assert set(new.get_fields() or {}) == {"owner0", "owner1"}
    assert [len(page.annotations or ()) for page in new.pages] == [1, 1]


@pytest.mark.parametrize("size", [letter, landscape(letter), A4])
def test_add_codes_picture_differs_only_at_the_codes(size: tuple[float, float]) -> None:
    form = make_form(size=size)

    coded = add_codes(form, CODE)

    for page in range(2):
        changed = render(form, page) != render(coded.pdf, page)
        assert changed.any()
        for place in coded.places[page]:
            assert place is not None
            left, bottom, right, top = place
            rows = slice(int((size[1] - top) * SCALE) - 1, int((size[1] - bottom) * SCALE) + 2)
            columns = slice(int(left * SCALE) - 1, int(right * SCALE) + 2)
            assert changed[rows, columns].any()
            changed[rows, columns] = False
        assert not changed.any()


@pytest.mark.parametrize("angle", [0, 90, 180, 270])
@pytest.mark.parametrize("cut", [0.0, 50.0])
def test_add_codes_each_corner_says_page_and_corner(angle: int, cut: float) -> None:
    form = turn(make_form(), angle, cut)

    coded = add_codes(form, CODE)

    for page in range(2):
        picture = render(coded.pdf, page)
        found = read_codes(picture)
        assert [(code.form_code, code.page, code.corner) for code in found] == [
            (CODE, page, corner) for corner in range(4)
        ]
        for code in found:
            place = coded.places[page][code.corner]
            assert place is not None
            left, _, _, top = place
            want = (left * SCALE, picture.shape[0] - top * SCALE)
            assert np.abs(np.subtract(code.quad[0], want)).max() < 3


def test_add_codes_read_by_zxing_alone() -> None:
    texts = sorted(
        code.text.strip()
        for code in zxingcpp.read_barcodes(render(add_codes(make_form(), CODE).pdf, 1))
    )

    assert texts == [f"{CODE}1{corner}" for corner in range(4)]


def fill_upper(canvas: Canvas) -> None:
    """Print from edge to edge over the upper part of the page."""
    for y in range(460, 790, 8):
        canvas.drawString(14, y, "Answer all that is asked. " * 5)


def near(places: tuple[tuple[float, float, float, float] | None, ...]) -> list[bool]:
    """Whether each code stands at its usual place, within a point."""
    usual = code_rects(*letter)
    return [
        one is not None and np.abs(np.subtract(one, usually)).max() < 1
        for one, usually in zip(places, usual, strict=True)
    ]


def test_add_codes_stand_at_the_corners_where_they_are_free() -> None:
    assert [near(places) for places in add_codes(make_form(), CODE).places] == [[True] * 4] * 2


def test_add_codes_moves_along_the_edge_past_print() -> None:
    form = make_form(lambda canvas: canvas.drawString(36, 40, "Form SF-1"))

    coded = add_codes(form, CODE)

    assert near(coded.places[0]) == [True, True, True, False]
    assert [code.corner for code in read_codes(render(coded.pdf))] == [0, 1, 2, 3]
    moved = coded.places[0][3]
    assert moved is not None
    rows = slice(int((792 - moved[3] - 2.2) * SCALE), int((792 - moved[1] + 2.2) * SCALE))
    columns = slice(int((moved[0] - 2.2) * SCALE), int((moved[2] + 2.2) * SCALE))
    assert (render(form)[rows, columns] == 255).all()  # a module of quiet zone is clear as well
    assert min(moved[0], moved[1]) >= CODE_MARGIN - 0.5
    assert min(moved[0], moved[1]) + CODE_SIDE + CODE_QUIET <= 72


def test_add_codes_stay_out_of_frames() -> None:
    """A frame is room that belongs to somebody, such as an office's stamp."""
    places = add_codes(make_form(lambda canvas: canvas.rect(10, 10, 75, 75)), CODE).places[0]

    assert near(places) == [True, True, True, False]
    assert places[3] is not None
    assert max(places[3][:2]) > 85


def test_add_codes_leaves_room_to_write() -> None:
    place = Region(
        id="a", label="", kind="text", page=1, left=560, bottom=20, right=600, top=60, must=True
    )

    first, second = add_codes(make_form(), CODE, (place,)).places

    assert near(first) == [True] * 4
    assert near(second) == [True, True, False, True]


def test_add_codes_one_corner_without_room_gets_none() -> None:
    def draw(canvas: Canvas) -> None:
        for y in range(10, 340, 8):
            canvas.drawString(10, y, "Answer all that is asked here. " * 2)

    coded = add_codes(make_form(draw), CODE)

    assert coded.places[0][3] is None
    assert [code.corner for code in read_codes(render(coded.pdf))] == [0, 1, 2]


def test_add_codes_two_corners_without_room_are_refused_by_name() -> None:
    with pytest.raises(RefusedError) as caught:
        add_codes(make_form(fill_upper), CODE)

    assert caught.value.message == (
        "there is no room for the corner codes on page 1:"
        " print is in the way at upper left, upper right"
    )


def test_add_codes_field_in_the_corner_counts_as_print() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.acroForm.textfield(name="corner", x=30, y=30, width=60, height=40)

    assert near(add_codes(make_form(draw), CODE).places[0]) == [True, True, True, False]


def test_add_codes_pale_words_in_the_corner_count_as_print() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFillGray(0.85)
        canvas.drawString(36, 40, "Form SF-1")

    assert near(add_codes(make_form(draw), CODE).places[0]) == [True, True, True, False]


def test_add_codes_tinted_paper_is_free() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.saveState()
        canvas.setFillColorRGB(0.97, 0.97, 0.88)
        canvas.rect(0, 0, 612, 110, stroke=0, fill=1)
        canvas.restoreState()

    assert near(add_codes(make_form(draw), CODE).places[0]) == [True] * 4


def test_add_codes_scale_left_open_by_the_form_does_not_move_them() -> None:
    def draw(canvas: Canvas) -> None:
        canvas._code.append("q 0.5 0 0 0.5 10 10 cm q 1 0 0 rg")

    coded = add_codes(make_form(draw), CODE).pdf

    found = read_codes(render(coded))
    assert [code.corner for code in found] == [0, 1, 2, 3]
    for code, (left, _, _, top) in zip(found, code_rects(*letter), strict=True):
        assert np.abs(np.subtract(code.quad[0], (left * SCALE, (792 - top) * SCALE))).max() < 3


def test_add_codes_twice_gives_equal_bytes() -> None:
    form = make_form()

    assert add_codes(form, CODE) == add_codes(form, CODE)


def test_add_codes_page_without_content() -> None:
    writer = PdfWriter()
    writer.add_blank_page(612, 792)
    out = BytesIO()
    writer.write(out)

    coded = add_codes(out.getvalue(), CODE).pdf

    assert [code.corner for code in read_codes(render(coded))] == [0, 1, 2, 3]


def test_add_codes_locked_form_is_refused() -> None:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(make_form())))
    writer.encrypt("", "agency", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)

    with pytest.raises(RefusedError) as caught:
        add_codes(out.getvalue(), CODE)

    assert caught.value.message == "this form is locked against changes, so no codes can be added"


def test_add_codes_signed_form_is_refused() -> None:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(make_form())))
    field = (writer.pages[0].annotations or ArrayObject())[0].get_object()
    assert isinstance(field, DictionaryObject)
    field[NameObject("/FT")] = NameObject("/Sig")
    field[NameObject("/V")] = TextStringObject("a signature")
    out = BytesIO()
    writer.write(out)

    with pytest.raises(RefusedError) as caught:
        add_codes(out.getvalue(), CODE)

    assert caught.value.hint == "take the blank form"


@pytest.mark.parametrize("data", [b"", b"not a form", b"%PDF-1.7\n%%EOF\n"])
def test_add_codes_no_pdf_is_refused(data: bytes) -> None:
    with pytest.raises(RefusedError) as caught:
        add_codes(data, CODE)

    assert caught.value.message == "this is not a PDF file that can be opened"


def test_add_codes_bad_form_code_is_refused() -> None:
    with pytest.raises(RefusedError):
        add_codes(make_form(), "sandbur 1")
