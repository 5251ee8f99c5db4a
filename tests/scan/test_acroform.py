"""Fields read from PDFs made by reportlab, pypdf and by hand.

Outside check: PDFium's own form code reads name, kind, value and tooltip of every box of the same
files; the fields are read here with pypdf.
"""

import ctypes
from collections.abc import Callable, Sequence
from io import BytesIO

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    TextStringObject,
)
from reportlab.pdfgen.canvas import Canvas

from compliance.scan.acroform import read_fields
from compliance.scan.acroform_read import KIND_WORDS, read_fields_here
from compliance.scan.pdf_model import Field, FieldKind, Mark, PdfKind, Place, Seal, SealState

KINDS = {
    pdfium_c.FPDF_FORMFIELD_TEXTFIELD: FieldKind.TEXT,
    pdfium_c.FPDF_FORMFIELD_CHECKBOX: FieldKind.CHECK,
    pdfium_c.FPDF_FORMFIELD_RADIOBUTTON: FieldKind.RADIO,
    pdfium_c.FPDF_FORMFIELD_COMBOBOX: FieldKind.CHOICE,
    pdfium_c.FPDF_FORMFIELD_LISTBOX: FieldKind.CHOICE,
    pdfium_c.FPDF_FORMFIELD_SIGNATURE: FieldKind.SIGNATURE,
    pdfium_c.FPDF_FORMFIELD_PUSHBUTTON: FieldKind.BUTTON,
}
SIGNATURE_BOX = (230.0, 300.0, 430.0, 330.0)


def make_raw(objects: Sequence[str]) -> bytes:
    """A PDF from the text of its objects 1, 2, 3 ...; the first is the catalog."""
    out = bytearray(b"%PDF-1.7\n")
    places = []
    for number, text in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (number, text.encode("latin-1"))
    start = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    out += b"trailer\n<</Size %d/Root 1 0 R>>\n" % (len(objects) + 1)
    return bytes(out + b"startxref\n%d\n%%%%EOF\n" % start)


def make_form(*, filled: bool) -> bytes:
    """A form of our own with every kind of field, blank or filled in."""
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792), invariant=1)
    form = canvas.acroForm
    words = "Sandbur Flats Aerial LLC" if filled else ""
    canvas.drawString(72, 704, "Owner's full legal name")
    form.textfield(
        name="owner", x=230, y=700, width=200, height=18, value=words, fieldFlags="required"
    )
    canvas.drawString(72, 664, "N-number")
    form.textfield(name="Text2", x=230, y=660, width=200, height=18, tooltip="Registration mark")
    canvas.drawString(90, 622, "Limited liability company")
    form.checkbox(name="llc", x=72, y=620, size=12, checked=filled)
    for number, kind in enumerate(("New", "Renewal")):
        canvas.drawString(90 + 100 * number, 582, kind)
        form.radio(name="which", value=kind, x=72 + 100 * number, y=580, size=12)
    canvas.drawString(72, 544, "State")
    options = [" ", "Nebraska", "South Dakota"]
    form.choice(
        name="state", options=options, value=options[filled], x=230, y=540, width=90, height=18
    )
    canvas.drawString(72, 304, "Signature")
    canvas.save()
    return add_signature_field(target.getvalue())


def add_signature_field(data: bytes, value: DictionaryObject | None = None) -> bytes:
    writer = PdfWriter(clone_from=BytesIO(data))
    field = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Annot"),
            NameObject("/Subtype"): NameObject("/Widget"),
            NameObject("/FT"): NameObject("/Sig"),
            NameObject("/T"): TextStringObject("owner_signature"),
            NameObject("/Ff"): NumberObject(2),
            NameObject("/F"): NumberObject(4),
            NameObject("/Rect"): ArrayObject([FloatObject(number) for number in SIGNATURE_BOX]),
        }
    )
    if value is not None:
        field[NameObject("/V")] = value
    reference = writer._add_object(field)
    page = writer.pages[0]
    page.setdefault(NameObject("/Annots"), ArrayObject()).get_object().append(reference)
    form = writer.root_object["/AcroForm"]
    assert isinstance(form, DictionaryObject)
    listed = form["/Fields"].get_object()
    assert isinstance(listed, ArrayObject)
    listed.append(reference)
    return written(writer)


def written(writer: PdfWriter) -> bytes:
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def add_mark(data: bytes, kind: str, box: Sequence[float]) -> bytes:
    writer = PdfWriter(clone_from=BytesIO(data))
    mark = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Annot"),
            NameObject("/Subtype"): NameObject(kind),
            NameObject("/Rect"): ArrayObject([FloatObject(number) for number in box]),
        }
    )
    listed = writer.pages[0]["/Annots"].get_object()
    assert isinstance(listed, ArrayObject)
    listed.append(writer._add_object(mark))
    return written(writer)


def read_outside(data: bytes) -> list[tuple[str, FieldKind, str, str]]:
    """Name, kind, value and tooltip of every box as PDFium reads them, sorted."""
    document = pdfium.PdfDocument(data)
    document.init_forms()
    found = []
    for page in document:
        for index in range(pdfium_c.FPDFPage_GetAnnotCount(page)):
            box = pdfium_c.FPDFPage_GetAnnot(page, index)
            if pdfium_c.FPDFAnnot_GetSubtype(box) != pdfium_c.FPDF_ANNOT_WIDGET:
                continue
            kind = KINDS[pdfium_c.FPDFAnnot_GetFormFieldType(document.formenv, box)]
            texts = [
                text_outside(document, box, function)
                for function in (
                    pdfium_c.FPDFAnnot_GetFormFieldName,
                    pdfium_c.FPDFAnnot_GetFormFieldValue,
                    pdfium_c.FPDFAnnot_GetFormFieldAlternateName,
                )
            ]
            found.append((texts[0], kind, texts[1], texts[2]))
            pdfium_c.FPDFPage_CloseAnnot(box)
    document.close()
    return sorted(set(found))


def text_outside(document: pdfium.PdfDocument, box: object, function: Callable[..., int]) -> str:
    size = function(document.formenv, box, None, 0)
    buffer = (ctypes.c_ushort * (size // 2 + 1))()
    function(document.formenv, box, buffer, size)
    return bytes(buffer)[:size].decode("utf-16-le").rstrip("\0")


def as_outside(field: Field) -> tuple[str, FieldKind, str, str]:
    # PDFium says Off for a box that is not ticked.
    is_tick = field.kind in (FieldKind.CHECK, FieldKind.RADIO)
    value = "Off" if is_tick and field.is_empty else field.value
    return (field.name, field.kind, value, field.tooltip)


def find(data: bytes, name: str) -> Field:
    return next(field for field in read_fields_here(data).fields if field.name == name)


@pytest.mark.parametrize("filled", [False, True])
def test_read_fields_gives_what_pdfium_reads(filled: bool) -> None:
    data = make_form(filled=filled)

    fields = read_fields(data).fields

    assert sorted(as_outside(field) for field in fields) == read_outside(data)


def test_read_fields_on_a_form_filled_by_another_library() -> None:
    """Filled in with pypdf, as a viewer would do it."""
    writer = PdfWriter(clone_from=BytesIO(make_form(filled=False)))
    values = {"owner": "Odile Ferrant", "Text2": "N000ZZ", "llc": "/Yes", "which": "/Renewal"}
    writer.update_page_form_field_values(writer.pages[0], values)
    data = written(writer)

    fields = read_fields_here(data).fields

    assert sorted(as_outside(field) for field in fields) == read_outside(data)
    assert {field.name: field.value for field in fields if not field.is_empty} == {
        "owner": "Odile Ferrant",
        "Text2": "N000ZZ",
        "llc": "Yes",
        "which": "Renewal",
    }


def test_read_fields_gives_every_field_of_a_blank_form_in_reading_order() -> None:
    read = read_fields(make_form(filled=False))

    assert (read.kind, read.why, read.marks) == (PdfKind.FILLABLE, KIND_WORDS[read.kind], ())
    assert [(field.name, field.kind, field.label_nearby) for field in read.fields] == [
        ("owner", FieldKind.TEXT, "Owner's full legal name"),
        ("Text2", FieldKind.TEXT, "N-number"),
        ("llc", FieldKind.CHECK, "Limited liability company"),
        ("which", FieldKind.RADIO, "New / Renewal"),
        ("state", FieldKind.CHOICE, "State"),
        ("owner_signature", FieldKind.SIGNATURE, "Signature"),
    ]
    assert all(field.is_empty for field in read.fields)


def test_read_fields_gives_a_whole_field() -> None:
    read = read_fields(make_form(filled=True))

    assert read.fields[0] == Field(
        name="owner",
        kind=FieldKind.TEXT,
        value="Sandbur Flats Aerial LLC",
        is_empty=False,
        is_required=True,
        is_preset=True,
        places=(
            Place(
                page=0,
                left=230.0,
                bottom=700.0,
                right=430.0,
                top=718.0,
                label="Owner's full legal name",
            ),
        ),
    )


def test_read_fields_says_the_same_in_and_out_of_the_child_process() -> None:
    data = add_mark(make_form(filled=True), "/Ink", SIGNATURE_BOX)

    assert read_fields(data) == read_fields_here(data)


def tree(fields: str, *more: str) -> bytes:
    catalog = "<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]>>>>"
    page = f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Annots[{fields}]>>"
    return make_raw([catalog, "<</Type/Pages/Kids[3 0 R]/Count 1>>", page, *more])


BOX = "/Type/Annot/Subtype/Widget/Rect[100 100 300 120]"


def test_value_kind_and_name_are_taken_from_the_parent() -> None:
    """ISO 32000-1 section 12.7.3.1: FT, V and Ff are inheritable, names are joined by dots."""
    data = tree(
        "5 0 R",
        "<</T(notary)/FT/Tx/V(Burrell Crossing)/Ff 3/Kids[5 0 R]>>",
        f"<<{BOX}/T(place)/Parent 4 0 R>>",
    )

    field = find(data, "notary.place")

    assert (field.kind, field.value) == (FieldKind.TEXT, "Burrell Crossing")
    assert (field.is_read_only, field.is_required) == (True, True)
    assert read_outside(data) == [("notary.place", FieldKind.TEXT, "Burrell Crossing", "")]


@pytest.mark.parametrize(
    ("entries", "is_empty"),
    [
        ("/FT/Tx", True),
        ("/FT/Tx/V()", True),
        ("/FT/Tx/V(   )", True),
        ("/FT/Tx/V<FEFF00A0>", True),
        ("/FT/Tx/V null", True),
        ("/FT/Tx/V(x)", False),
        ("/FT/Tx/V<FEFF004F00640069006C0065>", False),
        ("/FT/Btn", True),
        ("/FT/Btn/V/Off/AS/Off", True),
        ("/FT/Btn/V/Yes/AS/Yes", False),
        ("/FT/Btn/AS/Yes", False),
        ("/FT/Ch/V()", True),
        ("/FT/Ch/V[(a)(b)]", False),
        ("/FT/Sig", True),
        ("/FT/Sig/V<</Type/Sig/Contents<0000>/ByteRange[0 0 0 0]>>", True),
    ],
)
def test_field_is_empty(entries: str, is_empty: bool) -> None:
    """No value, only blanks, Off, or a place kept free for a signature."""
    field = find(tree("4 0 R", f"<<{BOX}/T(a){entries}>>"), "a")

    assert field.is_empty is is_empty


def test_choice_gives_the_words_shown_and_not_the_code() -> None:
    data = tree("4 0 R", f"<<{BOX}/T(a)/FT/Ch/Ff 131072/Opt[[(NE)(Nebraska)]]/V(NE)>>")

    assert find(data, "a").value == "Nebraska"


@pytest.mark.parametrize("flag", [2, 32])
def test_field_that_is_not_shown_is_hidden(flag: int) -> None:
    """ISO 32000-1 table 165: bit 2 hidden, bit 6 no view."""
    data = tree("4 0 R", f"<<{BOX}/T(a)/FT/Tx/F {flag}>>")

    assert find(data, "a").is_hidden


def test_field_on_no_page_is_read_without_a_place() -> None:
    data = tree("", "<</T(a)/FT/Tx/V(x)>>")

    field = find(data, "a")

    assert (field.value, field.places, field.page) == ("x", (), None)


def test_boxes_left_out_of_the_forms_list_are_read() -> None:
    """Files put together from several often lose the list; viewers show the boxes all the same."""
    page = f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Annots[<<{BOX}/T(a)/FT/Tx/V(x)>>]>>"
    data = make_raw(["<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>", page])

    read = read_fields(data)

    assert (read.kind, [field.value for field in read.fields]) == (PdfKind.FILLABLE, ["x"])


def test_two_boxes_of_one_field_are_one_field() -> None:
    data = tree(
        "5 0 R 6 0 R",
        "<</T(a)/FT/Tx/V(x)/Kids[5 0 R 6 0 R]>>",
        f"<<{BOX}/Parent 4 0 R>>",
        "<</Type/Annot/Subtype/Widget/Rect[100 500 300 520]/Parent 4 0 R>>",
    )

    read = read_fields_here(data)

    assert [(field.name, len(field.places)) for field in read.fields] == [("a", 2)]


@pytest.mark.parametrize(
    ("turn", "place"),
    [
        (0, (80.0, 60.0, 280.0, 80.0)),
        (90, (60.0, 300.0, 80.0, 500.0)),
        (180, (300.0, 620.0, 500.0, 640.0)),
        (270, (620.0, 80.0, 640.0, 280.0)),
    ],
)
def test_place_is_on_the_page_as_it_is_shown(
    turn: int, place: tuple[float, float, float, float]
) -> None:
    """A turned page with a crop box; PDFium draws the box where the place says."""
    catalog = "<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]>>>>"
    page = (
        "<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/CropBox[20 40 600 740]"
        f"/Rotate {turn}/Annots[4 0 R]>>"
    )
    look = f"<<{BOX}/T(a)/FT/Tx/F 4/MK<</BG[0 0 0]>>/AP<</N 5 0 R>>>>"
    entries = "/Type/XObject/Subtype/Form/BBox[0 0 200 20]/Length 19"
    black = f"<<{entries}>>\nstream\n0 g 0 0 200 20 re f\nendstream"
    data = make_raw([catalog, "<</Type/Pages/Kids[3 0 R]/Count 1>>", page, look, black])

    found = find(data, "a").places[0]

    assert (found.left, found.bottom, found.right, found.top) == place
    document = pdfium.PdfDocument(data)
    document.init_forms()
    picture = document[0].render(scale=1, grayscale=True).to_pil()
    dark = picture.point(lambda level: 255 * (level < 128)).getbbox()
    assert dark is not None
    left, top, right, bottom = dark
    assert (left, picture.height - bottom, right, picture.height - top) == place


def test_signature_drawn_with_a_pen_tool_is_drawn() -> None:
    data = add_mark(make_form(filled=True), "/Ink", (240.0, 296.0, 400.0, 340.0))

    read = read_fields_here(data)
    seal = find(data, "owner_signature").seal

    assert seal == Seal(state=SealState.DRAWN, why="Something is drawn on it with a pen tool.")
    assert read.marks == (
        Mark(kind="Ink", place=Place(page=0, left=240.0, bottom=296.0, right=400.0, top=340.0)),
    )


@pytest.mark.parametrize(
    ("kind", "box"),
    [
        ("/Ink", (72.0, 600.0, 200.0, 640.0)),
        ("/Ink", (20.0, 20.0, 590.0, 780.0)),
        ("/Highlight", SIGNATURE_BOX),
        ("/Stamp", SIGNATURE_BOX),
    ],
)
def test_signature_is_not_drawn_by_a_mark_elsewhere_or_of_another_kind(
    kind: str, box: tuple[float, float, float, float]
) -> None:
    data = add_mark(make_form(filled=True), kind, box)

    assert find(data, "owner_signature").seal == Seal(state=SealState.UNSIGNED)


def test_flattened_form_has_no_fields_and_says_so() -> None:
    """Printed to PDF: a check of fields alone would pass it silently."""
    document = pdfium.PdfDocument(make_form(filled=True))
    document.init_forms()
    document[0].flatten()
    target = BytesIO()
    document.save(target)

    read = read_fields(target.getvalue())

    assert (read.kind, read.fields) == (PdfKind.FLATTENED, ())
    assert "no fields" in read.why


def picture_pdf(canvas: Canvas) -> None:
    picture = Image.new("L", (850, 1100), 255)
    ImageDraw.Draw(picture).line((100, 100, 700, 300), fill=0, width=5)
    canvas.drawInlineImage(picture, 0, 0, 612, 792)


@pytest.mark.parametrize("with_words", [False, True])
def test_scan_is_called_scanned(with_words: bool) -> None:
    """A picture of the page, bare or with the invisible words of a text recognizer."""
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792))
    picture_pdf(canvas)
    for line in range(30 * with_words):
        words = canvas.beginText(72, 700 - 20 * line)
        words.setTextRenderMode(3)
        words.textLine("Owner's full legal name")
        canvas.drawText(words)
    canvas.save()

    assert read_fields_here(target.getvalue()).kind is PdfKind.SCANNED


def test_blank_page_is_called_empty() -> None:
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792))
    canvas.showPage()
    canvas.save()

    assert read_fields_here(target.getvalue()).kind is PdfKind.EMPTY


def test_form_in_the_other_language_only_is_called_so() -> None:
    """ISO 32000-1 section 12.7.8: XFA, with the page that asks for another viewer."""
    catalog = (
        "<</Type/Catalog/Pages 2 0 R/NeedsRendering true"
        "/AcroForm<</Fields[]/XFA[(template)4 0 R]>>>>"
    )
    page = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]>>"
    xfa = "<</Length 11>>\nstream\n<template/>\nendstream"
    data = make_raw([catalog, "<</Type/Pages/Kids[3 0 R]/Count 1>>", page, xfa])

    read = read_fields_here(data)

    assert (read.kind, read.has_xfa, read.fields) == (PdfKind.XFA_ONLY, True, ())


def test_form_in_both_languages_is_fillable_and_says_so() -> None:
    catalog = "<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]/XFA[(template)5 0 R]>>>>"
    page = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Annots[4 0 R]>>"
    xfa = "<</Length 11>>\nstream\n<template/>\nendstream"
    field = f"<<{BOX}/T(a)/FT/Tx/V(x)>>"
    data = make_raw([catalog, "<</Type/Pages/Kids[3 0 R]/Count 1>>", page, field, xfa])

    read = read_fields_here(data)

    assert (read.kind, read.has_xfa, read.fields[0].value) == (PdfKind.FILLABLE, True, "x")


def test_form_with_buttons_only_is_not_fillable() -> None:
    """A "print" button does not make a form."""
    data = tree("4 0 R", f"<<{BOX}/T(print)/FT/Btn/Ff 65536>>")

    assert read_fields_here(data).kind is not PdfKind.FILLABLE


def test_pypdf_and_pdfium_agree_that_the_form_is_sound() -> None:
    data = make_form(filled=True)

    assert len(PdfReader(BytesIO(data), strict=True).get_fields() or {}) == 6
    assert len(read_outside(data)) == 6
