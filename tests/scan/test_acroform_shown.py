"""What a field holds against what its boxes print, on PDFs made by reportlab and by hand.

Outside checks: pypdf reads the words of the same appearances; the flags of boxes are those of ISO
32000-1 table 165, the rule for missing appearances is that of section 12.7.3.3.
"""

from collections.abc import Callable
from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    PdfObject,
    StreamObject,
    TextStringObject,
)
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from compliance.scan.acroform import read_fields
from compliance.scan.acroform_findings import compute_findings
from compliance.scan.acroform_match import BlankWanted, FieldMatch
from compliance.scan.acroform_read import read_fields_here
from compliance.scan.model import Seen
from compliance.scan.pdf_model import Field, FieldsRead, Shown
from compliance.scan.pdf_objects import resolved

VALUES = {
    "title": "Managing member",
    "phone": "402-555-0143",
    "date": "2026-11-26",
    "weight": "118",
    "long": "2 Invented Road, Burrell Crossing, NE 00000, the white shed behind the yard " * 2,
}
LLC = "llc"
Edit = Callable[[DictionaryObject], None]


def make(*, value: bool = True) -> bytes:
    """A form of our own with writing lines on the page, filled in by the library that draws it."""
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792), invariant=1)
    for row, (name, text) in enumerate(VALUES.items()):
        y = 700 - 30 * row
        canvas.drawString(60, y, f"{name}:")
        canvas.line(200, y, 400, y)
        canvas.acroForm.textfield(
            name=name, x=200, y=y - 5, width=200, height=18, fontSize=9, value=text if value else ""
        )
    canvas.acroForm.checkbox(name=LLC, x=60, y=500, size=12, checked=value)
    for at, kind in enumerate(("New", "Renewal")):
        selected = value and kind == "New"
        canvas.acroForm.radio(
            name="which", value=kind, selected=selected, x=60 + 90 * at, y=470, size=12
        )
    canvas.save()
    return target.getvalue()


def edit(name: str, change: Edit, *, data: bytes | None = None) -> bytes:
    """The same form with one box changed by hand."""
    writer = PdfWriter(clone_from=BytesIO(data or make()))
    for box in list_boxes(writer):
        if box.get("/T") == name:
            change(box)
    return written(writer)


def list_boxes(writer: PdfWriter) -> list[DictionaryObject]:
    return [resolved(item) for item in resolved(writer.pages[0]["/Annots"])]


def drawing_of(box: DictionaryObject) -> StreamObject:
    drawing = resolved(resolved(box["/AP"])["/N"])
    assert isinstance(drawing, StreamObject)
    return drawing


def written(writer: PdfWriter) -> bytes:
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def put(key: str, value: PdfObject) -> Edit:
    def change(box: DictionaryObject) -> None:
        box[NameObject(key)] = value

    return change


def rect(*corners: float) -> Edit:
    return put("/Rect", ArrayObject(FloatObject(number) for number in corners))


def redraw(old: bytes, new: bytes) -> Edit:
    """Change what the appearance of a box draws, not what its field holds."""

    def change(box: DictionaryObject) -> None:
        drawing = drawing_of(box)
        assert old in drawing.get_data()
        drawing.set_data(drawing.get_data().replace(old, new))

    return change


def wipe(box: DictionaryObject) -> None:
    drawing_of(box).set_data(b"/Tx BMC EMC")


def look(data: bytes, name: str) -> Field:
    return next(field for field in read_fields_here(data).fields if field.name == name)


def shown(data: bytes, name: str) -> tuple[Shown, str]:
    field = look(data, name)
    assert not field.is_empty
    return field.shown, field.shown_text


def read_outside(data: bytes, name: str) -> str:
    """The words of a box's appearance as pypdf reads them, put onto a page of their own."""
    writer = PdfWriter(clone_from=BytesIO(data))
    box = next(one for one in list_boxes(writer) if one.get("/T") == name)
    page = writer.add_blank_page(width=612, height=792)
    content = DecodedStreamObject()
    drawing = drawing_of(box)
    content.set_data(drawing.get_data())
    page[NameObject("/Resources")] = drawing["/Resources"]
    page[NameObject("/Contents")] = writer._add_object(content)
    again = PdfReader(BytesIO(written(writer)))
    return again.pages[-1].extract_text().strip()


def test_field_that_prints_what_it_holds_is_as_held() -> None:
    """Text, a tick and a radio button; a second library reads them. The long text is cut."""
    data = make()
    fields = [field for field in read_fields_here(data).fields if not field.is_empty]

    assert {field.name for field in fields} == {*VALUES, LLC, "which"}
    verdicts = {field.name: (field.shown, field.shown_text) for field in fields}
    long, text = verdicts.pop("long")
    assert set(verdicts.values()) == {(Shown.AS_HELD, "")}
    assert (long, VALUES["long"].startswith(text), len(text) > 40) == (Shown.CUT, True, True)
    assert [read_outside(data, name) for name in ("title", "phone")] == [
        VALUES["title"],
        VALUES["phone"],
    ]


@pytest.mark.parametrize("auto", [False, True])
@pytest.mark.parametrize("flatten", [False, True])
def test_form_filled_by_another_library_is_as_held(auto: bool, flatten: bool) -> None:
    """Boxes drawn by pypdf, and put onto the page too."""
    writer = PdfWriter(clone_from=BytesIO(make(value=False)))
    values = {**VALUES, LLC: "/Yes", "which": "/Renewal"}
    writer.update_page_form_field_values(
        writer.pages[0], values, auto_regenerate=auto, flatten=flatten
    )
    fields = [field for field in read_fields_here(written(writer)).fields if not field.is_empty]

    assert {field.name for field in fields} == {*VALUES, LLC, "which"}
    assert {field.name: field.shown for field in fields if field.shown is not Shown.AS_HELD} == {
        "long": Shown.CUT
    }


@pytest.mark.parametrize("turned", [90, 180, 270])
def test_page_that_is_turned(turned: int) -> None:
    """The boxes are found where they lie on the page as it is shown."""
    writer = PdfWriter(clone_from=BytesIO(edit("title", wipe)))
    writer.pages[0].rotate(turned)
    fields = [field for field in read_fields_here(written(writer)).fields if not field.is_empty]

    assert len(fields) == len(VALUES) + 2
    told = {field.name for field in fields if field.shown is not Shown.AS_HELD}
    assert told == {"title", "long"}


@pytest.mark.parametrize(
    "change",
    [
        wipe,
        redraw(b".1 .1 .1 rg", b"1 1 1 rg"),
        redraw(b"BT", b"BT 3 Tr"),
        # Hidden, seen on no screen, and not marked to be printed.
        put("/F", NumberObject(2 + 4)),
        put("/F", NumberObject(32 + 4)),
        put("/F", NumberObject(0)),
        # Beside the page, and without a height.
        rect(1230, 200, 1430, 218),
        rect(200, 695, 400, 695),
    ],
    ids=["wiped", "white", "unseen", "hidden", "no-view", "no-print", "beside", "flat"],
)
def test_field_that_does_not_print_shows_nothing(change: Edit) -> None:
    """The field still holds its value, and the writing line of the page is no ink of it."""
    # A field without a ground of its own: its white letters stand on the white page.
    data = edit("title", redraw(b".8 .843 1 rg", b"1 1 1 rg"))

    assert shown(data, "title") == (Shown.AS_HELD, "")
    assert shown(edit("title", change, data=data), "title") == (Shown.NOTHING, "")


def test_page_cut_to_the_other_side_of_the_field() -> None:
    """A box beyond the crop box is on no page that prints (ISO 32000-1 table 30)."""
    writer = PdfWriter(clone_from=BytesIO(make()))
    writer.pages[0].cropbox.upper_right = (190, 792)

    data = written(writer)
    assert shown(data, "title") == (Shown.NOTHING, "")
    assert shown(data, LLC) == (Shown.AS_HELD, "")


@pytest.mark.parametrize(
    ("name", "old", "new", "other"),
    [
        ("title", b"Managing member", b"Member", "Member"),
        ("title", b"Managing member", b"Managing partner", "Managing partner"),
        ("phone", b"402-555-0143", b"402-555-0134", "402-555-0134"),
        ("date", b"2026-11-26", b"12/26/2026", "12/26/2026"),
        ("weight", b"118", b"18", "18"),
        ("title", b"Managing member", b"MANAGING  MEMBER", ""),
        ("phone", b"402-555-0143", b"\\(402\\) 555-0143", ""),
        ("date", b"2026-11-26", b"November 26, 2026", ""),
        ("date", b"2026-11-26", b"11/26/26", ""),
        ("weight", b"118", b"118.00", ""),
    ],
)
def test_field_that_prints_something_else(name: str, old: bytes, new: bytes, other: str) -> None:
    """Another text is told, the same one written another way is not; pypdf reads it alike."""
    data = edit(name, redraw(b"(" + old, b"(" + new))

    assert shown(data, name) == ((Shown.OTHER, other) if other else (Shown.AS_HELD, ""))
    assert not other or read_outside(data, name) == other


def test_form_that_writes_a_value_another_way_by_itself() -> None:
    """With a script for its format the digits may differ; words may not."""
    actions = DictionaryObject({NameObject("/F"): DictionaryObject()})
    for name, old, new, wanted in (
        ("weight", b"(118", b"(53.5 kg", Shown.AS_HELD),
        ("title", b"(Managing member", b"(Member", Shown.OTHER),
    ):
        data = edit(name, put("/AA", actions), data=edit(name, redraw(old, new)))
        assert shown(data, name)[0] is wanted


@pytest.mark.parametrize("is_wished", [True, False])
def test_value_counts_where_viewers_draw_from_it(is_wished: bool) -> None:
    """With NeedAppearances, and without an appearance, the value is drawn."""
    if is_wished:
        writer = PdfWriter(clone_from=BytesIO(edit("title", wipe)))
        form = writer.root_object["/AcroForm"].get_object()
        assert isinstance(form, DictionaryObject)
        form[NameObject("/NeedAppearances")] = BooleanObject(value=True)
        data = written(writer)
    else:
        data = edit("title", lambda box: box.__delitem__("/AP"))

    assert shown(data, "title") == (Shown.AS_HELD, "")
    assert shown(edit("title", put("/F", NumberObject(6)), data=data), "title")[0] is Shown.NOTHING


@pytest.mark.parametrize("count", [1, 2])
def test_of_several_boxes_those_count_that_print(count: int) -> None:
    """A field with two boxes, one or both of them hidden."""
    data = edit("phone", put("/V", TextStringObject(VALUES["title"])))
    data = edit("phone", redraw(b"402-555-0143", b"Managing member"), data=data)
    data = edit("phone", put("/T", TextStringObject("title")), data=data)
    writer = PdfWriter(clone_from=BytesIO(data))
    for box in [one for one in list_boxes(writer) if one.get("/T") == "title"][:count]:
        box[NameObject("/F")] = NumberObject(6)
    data = written(writer)

    assert len(look(data, "title").places) == 2
    assert shown(data, "title") == ((Shown.AS_HELD, Shown.NOTHING)[count - 1], "")


def test_every_box_of_a_field_that_prints_must_print_it_whole() -> None:
    """A second box with another text on paper is told, though the first one has all of it."""
    data = edit("phone", put("/V", TextStringObject(VALUES["title"])))
    data = edit("phone", redraw(b"402-555-0143", b"Managing mem"), data=data)
    data = edit("phone", put("/T", TextStringObject("title")), data=data)

    assert len(look(data, "title").places) == 2
    assert shown(data, "title") == (Shown.OTHER, "Managing mem")


@pytest.mark.parametrize(
    ("name", "change", "wanted"),
    [
        (LLC, put("/AS", NameObject("/Off")), Shown.NOTHING),
        (LLC, put("/AS", NameObject("/Other")), Shown.NOTHING),
        (LLC, put("/F", NumberObject(2)), Shown.NOTHING),
        (LLC, lambda box: box.__delitem__("/AS"), Shown.AS_HELD),
    ],
    ids=["off", "no-such-state", "hidden", "no-state"],
)
def test_tick_is_drawn_by_its_state(name: str, change: Edit, wanted: Shown) -> None:
    """A box held ticked whose state is another draws no tick (ISO 32000-1 12.7.4.2.3)."""
    assert shown(edit(name, change), name)[0] is wanted


def test_radio_button_that_prints_another_choice() -> None:
    """The value says New, the dot stands in Renewal."""
    writer = PdfWriter(clone_from=BytesIO(make()))
    for box in list_boxes(writer)[-2:]:
        is_new = "/New" in resolved(resolved(box["/AP"])["/N"])
        box[NameObject("/AS")] = NameObject("/Off" if is_new else "/Renewal")

    assert shown(written(writer), "which") == (Shown.OTHER, "Renewal")


def make_narrow(wide: int, text: str = "Sandbur Flats Aerial LLC", **more: object) -> bytes:
    """One box of a width in points."""
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792), invariant=1)
    canvas.drawString(60, 600, "Name:")
    canvas.acroForm.textfield(
        name="name", x=200, y=600, width=wide, height=18, fontSize=9, value=text, **more
    )
    canvas.save()
    return target.getvalue()


NAME_WIDE = stringWidth("Sandbur Flats Aerial LLC", "Helvetica", 9)
# reportlab begins four points from the left edge and cuts two points from the right one.
CUT_AT = {
    NAME_WIDE + 12: "",
    NAME_WIDE + 7: "",
    NAME_WIDE + 1: "Sandbur Flats Aerial LL",
    90: "Sandbur Flats Aerial",
    60: "Sandbur Flats",
}


@pytest.mark.parametrize("wide", CUT_AT)
def test_text_is_cut_where_whole_letters_lie_outside(wide: float) -> None:
    """The widths of Helvetica's letters are those of Adobe's metrics, which reportlab carries."""
    found, text = shown(make_narrow(int(wide)), "name")

    assert (found, text.rstrip()) == (
        (Shown.CUT, CUT_AT[wide]) if CUT_AT[wide] else (Shown.AS_HELD, "")
    )


def drop_drawing(box: DictionaryObject) -> None:
    box.pop("/AP")


def to_the_right(box: DictionaryObject) -> None:
    """ISO 32000-1 table 222: Q is 2 for a text that ends at the right edge."""
    drop_drawing(box)
    box[NameObject("/Q")] = NumberObject(2)


def fit(box: DictionaryObject) -> None:
    """ISO 32000-1 12.7.3.3: with a size of 0 the viewer makes the text fit."""
    drop_drawing(box)
    box[NameObject("/DA")] = TextStringObject("/Helv 0 Tf 0 g")


@pytest.mark.parametrize(
    ("change", "wanted"),
    [
        (drop_drawing, (Shown.CUT, "Sandbur Flats")),
        (to_the_right, (Shown.CUT, "lats Aerial LLC")),
        (fit, (Shown.AS_HELD, "")),
    ],
)
def test_text_that_viewers_draw_is_cut_too(change: Edit, wanted: tuple[Shown, str]) -> None:
    """Drawn anew at the same size it has no more room; a size of 0 is made to fit."""
    found, text = shown(edit("name", change, data=make_narrow(60)), "name")

    assert (found, text.strip()) == wanted


@pytest.mark.parametrize(("wide", "is_cut"), [(60, False), (30, True)])
def test_size_left_to_the_viewer_has_a_smallest(wide: int, is_cut: bool) -> None:
    """What PDFium draws counts: it makes letters smaller to fit, but not without an end."""
    found, text = shown(edit("name", fit, data=make_narrow(wide)), "name")

    assert (found is Shown.CUT, bool(text)) == (is_cut, is_cut)


@pytest.mark.parametrize(
    ("text", "size", "wanted"),
    [
        ("46-00018", 9, Shown.AS_HELD),
        ("46-00018", 14, Shown.AS_HELD),
        ("gypsy", 12, Shown.AS_HELD),
        ("46-00018", 36, Shown.CUT),
        ("46-00018", 40, Shown.CUT),
    ],
)
def test_letters_far_too_tall_for_their_box_are_cut(text: str, size: int, wanted: Shown) -> None:
    """In a box 18 points high; digits of Helvetica are 0.7 of the size high (Adobe's metrics)."""
    grown = redraw(b" 9 Tf", f" {size} Tf".encode())

    assert shown(edit("name", grown, data=make_narrow(200, text)), "name") == (wanted, "")


def test_lines_that_fall_out_of_a_box_are_cut() -> None:
    """Three lines in a box with room for one; one line of two in a comb of cells is whole."""
    lines = "Odile Ferrant\nP.O. Box 0\nBurrell Crossing"
    cells = make_narrow(200, "4025550143", fieldFlags="comb", maxlen=10)

    assert shown(make_narrow(200, lines, fieldFlags="multiline"), "name") == (
        Shown.CUT,
        "Odile Ferrant",
    )
    assert shown(cells, "name") == (Shown.AS_HELD, "")


def test_letters_that_would_print_white_are_no_part_of_the_print() -> None:
    """The last letters have the colour of the paper; the first of them touches a dash with ink."""
    white = redraw(b"(402-555-0143) Tj", b"(402-555-) Tj 1 1 1 rg (0143) Tj")
    ground = redraw(b".8 .843 1 rg", b"1 1 1 rg")
    found, text = shown(edit("phone", white, data=edit("phone", ground)), "phone")

    assert (found, text) == (Shown.OTHER, "402-555-0")


def find_word(read: FieldsRead, name: str, kind: str = "text") -> tuple[Seen, str]:
    blank = BlankWanted(id="one", label="One", kind=kind)
    match = FieldMatch(field=name, blank="one", score=1.0, why="")
    (finding,) = compute_findings(read, (match,), (blank,))
    return finding.seen, finding.why


def test_blank_that_would_not_print_cannot_be_told() -> None:
    """The whole sentences, read in the child process."""
    ask = "would be printed: print it, look, and say what stands there."
    other = read_fields(edit("title", redraw(b"(Managing member", b"(Member")))
    wiped = read_fields(edit("title", wipe, data=edit(LLC, put("/AS", NameObject("/Off")))))

    assert [
        find_word(other, "title"),
        find_word(wiped, "title"),
        find_word(wiped, LLC, "check"),
        find_word(wiped, "phone"),
        find_word(read_fields(make_narrow(60)), "name"),
    ] == [
        (Seen.CANNOT_TELL, f"The file's field says “Managing member”, but “Member” {ask}"),
        (Seen.CANNOT_TELL, f"The file's field says “Managing member”, but nothing {ask}"),
        (Seen.CANNOT_TELL, f"The file's box “Yes” is ticked, but no tick {ask}"),
        (Seen.PRESENT, "“402-555-0143”, the value that the form came with."),
        (
            Seen.CANNOT_TELL,
            (
                "The field's box is too small for “Sandbur Flats Aerial LLC”: only “Sandbur Flats” "
                "would be printed; write it shorter or in smaller letters, or print it and say "
                "what stands there."
            ),
        ),
    ]
