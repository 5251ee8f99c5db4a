"""Pages written anew show what the file showed, by another library's eye, and do nothing else.

Rotation, crop box, annotations and layers are those of ISO 32000-1 (7.7.3, 12.5.5, 8.11).
"""

import hashlib
from collections.abc import Iterator
from datetime import date
from io import BytesIO

import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.constants import UserAccessPermissions
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NumberObject,
    RectangleObject,
    StreamObject,
    TextStringObject,
)
from reportlab.pdfgen.canvas import Canvas

from compliance.base.problems import RefusedError
from compliance.scan.anew import make_page_pictures, place_pages, write_pages_anew
from compliance.scan.anew_names import HIDDEN_LAYERS, LOCKED, NOT_TO_BE_PRINTED, PlacedPage

DAY = date(2027, 1, 11)


def make_card(size: tuple[int, int] = (612, 792)) -> bytes:
    """A page with print, a drawing off the middle, and a filled field."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=size, invariant=1)
    canvas.setFont("Helvetica", 20)
    canvas.drawString(40, size[1] - 60, "Invented certificate")
    canvas.setFillColorRGB(0.8, 0.1, 0.1)
    canvas.rect(60, 90, 150, 40, fill=1)
    canvas.acroForm.textfield(name="who", value="Odile Ferrant", x=60, y=200, width=200, height=24)
    canvas.save()
    return buffer.getvalue()


def change(
    data: bytes, turn: int = 0, crop: tuple[float, float, float, float] | None = None
) -> bytes:
    """The same page turned, or cut to a part of it."""
    writer = PdfWriter(clone_from=BytesIO(data))
    for page in writer.pages:
        if turn:
            page.rotate(turn)
        if crop is not None:
            page.cropbox = RectangleObject(crop)
    return write(writer)


def write(writer: PdfWriter) -> bytes:
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def draw(data: bytes, page: int = 0) -> NDArray[np.float64]:
    """A page as pypdfium2 draws it, forms and annotations included, in grey."""
    document = pdfium.PdfDocument(data)
    document.init_forms()
    picture = document[page].render(scale=1.0, grayscale=True).to_numpy().astype(float)
    document.close()
    return np.asarray(picture).reshape(picture.shape[:2])


def make_stamped() -> bytes:
    """A page without a form that carries a stamp (ISO 32000-1, 12.5.6.12) with its appearance."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(40, 740, "A letter without fields, of one line only, as it was received.")
    canvas.save()
    writer = PdfWriter(clone_from=buffer)
    look = StreamObject()
    look.set_data(b"0 0 1 rg 0 0 50 20 re f")
    look[NameObject("/Subtype")] = NameObject("/Form")
    look[NameObject("/BBox")] = RectangleObject((0, 0, 50, 20))
    stamp = DictionaryObject(
        {
            NameObject("/Subtype"): NameObject("/Stamp"),
            NameObject("/Rect"): RectangleObject((300, 300, 400, 340)),
            NameObject("/F"): NumberObject(4),
            NameObject("/AP"): DictionaryObject({NameObject("/N"): writer._add_object(look)}),
        }
    )
    writer.pages[0][NameObject("/Annots")] = ArrayObject([writer._add_object(stamp)])
    return write(writer)


ODD = {
    "stamped": make_stamped(),
    "plain": make_card(),
    "turned-90": change(make_card(), 90),
    "turned-180": change(make_card(), 180),
    "turned-270": change(make_card(), 270),
    "cropped": change(make_card(), crop=(30, 60, 400, 500)),
    "cropped-and-turned": change(make_card(), 90, crop=(30, 60, 400, 500)),
    "small": make_card((288, 288)),
    "large": make_card((1224, 1584)),
}


@pytest.mark.parametrize("name", ODD)
def test_page_anew_looks_as_before(name: str) -> None:
    """Drawn by PDFium, before and after: hardly a dot differs."""
    before = draw(ODD[name])

    anew = write_pages_anew(ODD[name])
    after = draw(anew.pdf)

    assert (anew.count, anew.kept_out) == (1, "")
    assert after.shape == before.shape
    # The field's tint is the viewer's own and not part of the page.
    assert (np.abs(after - before) > 60).mean() < 0.002
    assert (before < 128).sum() > 1000


def test_words_of_fields_are_on_the_page() -> None:
    """A filled field is print afterwards, and the page has no field left."""
    anew = write_pages_anew(make_card())
    reader = PdfReader(BytesIO(anew.pdf))

    assert "Invented certificate" in reader.pages[0].extract_text()
    assert "Odile Ferrant" in reader.pages[0].extract_text()
    assert reader.get_fields() in (None, {})


def list_keys(reader: PdfReader) -> Iterator[str]:
    """Every key of every dictionary that the file's root leads to."""
    seen: set[int] = set()
    waiting: list[object] = [reader.trailer]
    while waiting:
        found = waiting.pop()
        if isinstance(found, IndirectObject):
            if found.idnum in seen:
                continue
            seen.add(found.idnum)
            found = found.get_object()
        if isinstance(found, DictionaryObject):
            yield from found
            waiting.extend(found.values())
        elif isinstance(found, ArrayObject):
            waiting.extend(found)


def test_scripts_and_attached_files_are_gone() -> None:
    """A script on opening, one on a page, an attached file and a web link do not come along."""
    writer = PdfWriter(clone_from=BytesIO(make_card()))
    script = DictionaryObject(
        {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("x()")}
    )
    writer.root_object[NameObject("/OpenAction")] = script
    writer.pages[0][NameObject("/AA")] = DictionaryObject({NameObject("/O"): script})
    writer.add_attachment("run.bat", b"HARMFUL WORDS")
    data = write(writer)
    assert {"/JS", "/EF"} <= set(list_keys(PdfReader(BytesIO(data))))

    anew = write_pages_anew(data)

    keys = set(list_keys(PdfReader(BytesIO(anew.pdf))))
    assert keys & {"/JS", "/AA", "/OpenAction", "/EF", "/Names", "/Annots", "/AcroForm"} == set()
    assert b"HARMFUL" not in anew.pdf


def lock(user: str, permissions: UserAccessPermissions) -> bytes:
    writer = PdfWriter(clone_from=BytesIO(make_card()))
    writer.encrypt(user, "owner", algorithm="AES-256", permissions_flag=permissions)
    return write(writer)


def test_locked_file_is_kept_out_and_one_that_may_be_printed_is_not() -> None:
    """Three files: a password to open, printing forbidden, printing allowed and changes not."""
    may_print = UserAccessPermissions.PRINT | UserAccessPermissions.PRINT_TO_REPRESENTATION
    may_not = UserAccessPermissions.EXTRACT

    said = [
        write_pages_anew(data).kept_out
        for data in (lock("secret", may_print), lock("", may_not), lock("", may_print))
    ]

    assert said == [LOCKED, NOT_TO_BE_PRINTED, ""]


def test_hidden_layers_are_kept_out() -> None:
    """A layer that is off at first (ISO 32000-1, 8.11.4.3) would be seen without its settings."""
    writer = PdfWriter(clone_from=BytesIO(make_card()))
    layer = writer._add_object(DictionaryObject({NameObject("/Type"): NameObject("/OCG")}))
    settings = DictionaryObject({NameObject("/OFF"): ArrayObject([layer])})
    writer.root_object[NameObject("/OCProperties")] = DictionaryObject(
        {NameObject("/OCGs"): ArrayObject([layer]), NameObject("/D"): settings}
    )

    assert write_pages_anew(write(writer)).kept_out == HIDDEN_LAYERS


def test_too_many_pages_are_refused() -> None:
    """201 pages are one too many."""
    writer = PdfWriter()
    for _ in range(201):
        writer.add_blank_page(612, 792)

    with pytest.raises(RefusedError) as caught:
        write_pages_anew(write(writer))

    assert caught.value.message == "This PDF has 201 pages; at most 200 are looked at."


def test_picture_is_turned_and_tells_nothing_about_the_camera() -> None:
    """Exif orientation 6 (CIPA DC-008, from memory): the camera was held on its side."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "INVENTED CAMERA"
    lying = Image.new("RGB", (900, 600), "white")
    lying.paste("red", (0, 0, 100, 600))
    stream = BytesIO()
    lying.save(stream, "JPEG", exif=exif)

    ((size, data),) = make_page_pictures("card.jpg", stream.getvalue())
    shown = Image.open(BytesIO(data)).convert("RGB")

    assert (shown.width, shown.height) == (600, 900)
    assert (round(size.width), round(size.height)) == (432, 648)
    top, bottom = shown.getpixel((300, 20)), shown.getpixel((300, 880))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[1] < 60
    assert bottom[1] > 200
    assert b"INVENTED CAMERA" not in data
    assert not Image.open(BytesIO(data)).getexif()


def test_place_pages_puts_each_where_it_belongs_with_equal_bytes() -> None:
    """Two copies on the second and third sheet of three, at half their size."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    for number in range(3):
        canvas.drawString(300, 20, f"sheet {number + 1}")
        canvas.showPage()
    canvas.save()
    files = [write_pages_anew(ODD[name]).pdf for name in ("plain", "turned-90")]
    placed = [
        PlacedPage(sheet=at + 1, file=at, page=0, left=100, bottom=100, scale=0.5) for at in (0, 1)
    ]

    first, second = (place_pages(buffer.getvalue(), files, placed, DAY) for _ in range(2))
    texts = [page.extract_text() for page in PdfReader(BytesIO(first)).pages]

    assert hashlib.sha256(first).digest() == hashlib.sha256(second).digest()
    assert ["Odile Ferrant" in text for text in texts] == [False, True, True]
    assert [f"sheet {at}" in text for at, text in enumerate(texts, 1)] == [True, True, True]
    dark = draw(first, 1) < 128
    assert dark[: 792 - 100 - 396].sum() == 0  # nothing above half a page's height
    assert PdfReader(BytesIO(first)).metadata == {
        **(PdfReader(buffer).metadata or {}),
        "/CreationDate": "D:20270111",
        "/ModDate": "D:20270111",
    }


def test_place_pages_refuses_a_file_that_was_not_written_anew() -> None:
    """A PDF straight from somebody has no drawing of ours in it."""
    with pytest.raises(RefusedError) as caught:
        place_pages(
            make_card(),
            [make_card()],
            [PlacedPage(sheet=0, file=0, page=0, left=0, bottom=0, scale=1.0)],
            DAY,
        )

    assert caught.value.message == "A page that was to be shown is gone."
