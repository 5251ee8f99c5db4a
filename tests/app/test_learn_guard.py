"""A form to be learned must be empty and the one it is said to be.

The forms are drawn here with the words of the application from memory (common practice, no
source); what a blank form looks like when somebody filled it in is drawn by reportlab.
"""

from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.known_forms import load_known
from compliance.app.learn_guard import learn_empty_form, load_own_texts, refuse_filled
from compliance.base.problems import RefusedError
from compliance.facts.model import Operation
from compliance.forms.model import FormTemplate
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, PdfKind, Place
from compliance.store.repository import save_operation

DAY = date(2027, 1, 11)
FORM = "faa-8050-1"
LABELS = {
    "Manufacturer": "Tallgrass Rotorworks",
    "Model": "TG-46",
    "Serial number": "46-00018",
    "Owner's full legal name": "Sandbur Flats Aerial LLC",
    "Mailing address": "P.O. Box 0, Burrell Crossing",
    "Telephone number": "555-0143",
    "Typed or printed name": "Odile Ferrant",
    "Title": "Member",
    "Date signed": "11 January 2027",
    "Signature": "",
}
BOXES = ("Individual", "Partnership", "Corporation", "Co-owner", "LLC")
AFTER = (
    "Its data would stand on every copy printed, and photos of them would be misread; nothing was"
    " kept"
)


def make(values: dict[str, str], *, fields: bool = False, ticked: str = "") -> bytes:
    """The application with lines or with fields, filled in with the values given."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(110, 740, "Aircraft Registration Application")
    for at, label in enumerate(LABELS):
        y = 700 - 32 * at
        canvas.drawString(60, y, f"{label}:")
        value = values.get(label, "")
        if fields:
            canvas.acroForm.textfield(
                name=f"T{at}", tooltip=label, x=230, y=y - 5, width=300, height=18, value=value
            )
        else:
            canvas.line(230, y - 4, 530, y - 4)
            canvas.drawString(234, y, value)
    for at, label in enumerate(BOXES):
        canvas.rect(60 + 95 * at, 300, 12, 12)
        canvas.drawString(76 + 95 * at, 302, label)
        if label == ticked:
            canvas.line(60 + 95 * at, 300, 72 + 95 * at, 312)
            canvas.line(60 + 95 * at, 312, 72 + 95 * at, 300)
    canvas.save()
    return buffer.getvalue()


def refuse(session: Session, template: FormTemplate, pdf: bytes, folder: Path) -> RefusedError:
    """What is said when the form is refused; nothing of it may be kept."""
    with pytest.raises(RefusedError) as caught:
        learn_empty_form(session, template, pdf, None, folder, DAY)

    assert load_known(session, template.id) == ()
    assert list(folder.iterdir()) == []
    return caught.value


@pytest.mark.parametrize("fields", [False, True])
def test_an_empty_form_is_learned(
    session: Session, templates: dict[str, FormTemplate], tmp_path: Path, fields: bool
) -> None:
    """Lines, fields and boxes without anything in them raise no objection."""
    form, doubts = learn_empty_form(
        session, templates[FORM], make({}, fields=fields), None, tmp_path, DAY
    )

    assert doubts == ()
    assert [one.code for one in load_known(session, FORM)] == [form.code]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (True, "`Manufacturer:` holds `Tallgrass Rotorworks`; `Model:` holds `TG-46`"),
        (
            False,
            "`Manufacturer` is followed by `Tallgrass Rotorworks`; `Model` is followed by `TG-46`",
        ),
    ],
)
def test_a_filled_form_is_refused_and_nothing_kept(
    session: Session,
    templates: dict[str, FormTemplate],
    tmp_path: Path,
    fields: bool,
    words: str,
) -> None:
    """Say what stands on it, whether in fields or typed over lines; --anyway keeps it."""
    pdf = make(LABELS, fields=fields)
    error = refuse(session, templates[FORM], pdf, tmp_path)

    assert error.message.startswith(f"this form seems to be filled in already: {words}; ")
    assert error.message.endswith(f" more. {AFTER}")
    assert error.hint == "fetch the empty form; if it is empty, learn it with --anyway"
    learn_empty_form(session, templates[FORM], pdf, None, tmp_path, DAY, anyway=True)
    assert len(load_known(session, FORM)) == 1


def test_one_marked_box_is_enough(
    session: Session, templates: dict[str, FormTemplate], tmp_path: Path
) -> None:
    """A cross in one box of an otherwise empty page was made by somebody."""
    error = refuse(session, templates[FORM], make({}, ticked="LLC"), tmp_path)

    assert error.message == (
        f"this form seems to be filled in already: the box `LLC` is marked. {AFTER}"
    )


def test_another_form_is_named(
    session: Session, templates: dict[str, FormTemplate], tmp_path: Path
) -> None:
    """An application shown as the affidavit is refused with the name it has."""
    error = refuse(session, templates["faa-ua-affidavit"], make({}), tmp_path)
    title = "Affidavit of ownership for an unmanned aircraft"

    assert error.message == (
        f"this looks more like `Aircraft Registration Application` than like `{title}`; nothing was"
        " kept"
    )
    assert error.hint == (
        f"learn it with --form {FORM}; if it is `{title}` after all, with --anyway"
    )


def read_texts(*names: str, value: str, preset: bool) -> FieldsRead:
    """A PDF of text fields that hold the same."""
    return FieldsRead(
        kind=PdfKind.FILLABLE,
        why="",
        fields=tuple(
            Field(
                name=name,
                kind=FieldKind.TEXT,
                value=value,
                is_empty=not value.strip(),
                is_preset=preset,
                places=(Place(page=0, left=0, bottom=0, right=9, top=9, label=name),),
            )
            for name in names
        ),
    )


@pytest.mark.parametrize(
    ("count", "value", "preset", "refused"),
    [
        (1, "USA", True, False),
        (3, "USA", True, True),
        (1, "Odile Ferrant", False, True),
        (3, "MM/DD/YYYY", False, False),
        (3, "  ", False, False),
    ],
)
def test_texts_that_a_form_comes_with(
    templates: dict[str, FormTemplate], count: int, value: str, preset: bool, refused: bool
) -> None:
    """A text or two that the form came with, hints and blanks are nobody's data."""
    read = read_texts(*[f"T{at}" for at in range(count)], value=value, preset=preset)
    if refused:
        with pytest.raises(RefusedError):
            refuse_filled(b"", read, (), templates[FORM])
    else:
        refuse_filled(b"", read, (), templates[FORM])


@pytest.mark.parametrize(
    ("label", "value", "refused"),
    [
        ("Signature", "Odile Ferrant", True),
        ("Signature", "Somebody Else", True),
        ("Signature", "Sign here", False),
        ("Signature", "X", False),
        ("Printed name", "Odile Ferrant", True),
        ("Owner", "SANDBUR FLATS AERIAL, LLC", True),
        ("Serial number", "INVENTED-TG46-00017", True),
        ("Telephone", "(402) 555-0143", True),
        ("Address", "1 Invented Road", True),
        ("State", "NE", False),
        ("Hired", "No", False),
        ("Country", "USA", False),
        ("Maker", "Tallgrass Rotorworks", False),
        ("Date", "MM/DD/YYYY", False),
        ("Signature", "Not valid unless signed in ink", False),
        ("Signature", "Original ink signature required", False),
        ("Serial number", "S/N INVENTED-TG46-00017", True),
        ("Telephone", "+1 (402) 555-0143", True),
        ("Printed name", "Ferrant, Odile", True),
        ("Printed name", "Strange, Odile", True),
        ("Printed name", "O. Ferrant", True),
        ("Remarks", "O. Ferrant", True),
        ("Address", "1 INVENTED RD.", True),
        ("Applicant's full name", "Juniper Draw Farms LLC", True),
        ("Printed name", "(print your name)", False),
        ("Agency name", "Invented Agency", False),
        ("Date signed", "26 Nov 2026", True),
        ("Date signed", "11/26/2026", True),
        ("Form date", "11/26/2026", False),
    ],
)
def test_one_text_of_a_person_is_enough(
    session: Session,
    demo_operation: Operation,
    templates: dict[str, FormTemplate],
    label: str,
    value: str,
    refused: bool,
) -> None:
    """Even where the form came with it; what any form may come with is nobody's."""
    save_operation(session, demo_operation, namespace="n")
    own, read = load_own_texts(session), read_texts(label, value=value, preset=True)

    if not refused:
        refuse_filled(b"", read, (), templates[FORM], own)
        return
    with pytest.raises(RefusedError) as caught:
        refuse_filled(b"", read, (), templates[FORM], own)
    assert f"`{label}` holds `{value}`" in caught.value.message


def test_own_text_in_print_is_enough_on_a_flat_form(
    session: Session,
    demo_operation: Operation,
    templates: dict[str, FormTemplate],
    tmp_path: Path,
) -> None:
    """One line is filled in: nobody's data unless it is the farm's own."""
    save_operation(session, demo_operation, namespace="n")
    pdf = make({"Owner's full legal name": "Sandbur Flats Aerial LLC"})

    error = refuse(session, templates[FORM], pdf, tmp_path)

    assert "`Sandbur Flats Aerial LLC` is printed on it" in error.message


def make_without_colons(style: str, values: dict[str, str]) -> bytes:
    """The application with labels beside their lines, under them, or small in their cells."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(110, 740, "Aircraft Registration Application")
    for at, label in enumerate(LABELS):
        y = 700 - 40 * at
        canvas.setFont("Helvetica", 10 if style == "beside" else 7)
        canvas.drawString(60, y - 10 if style == "under" else y, label)
        canvas.setFont("Helvetica", 10)
        if style == "beside":
            canvas.line(230, y - 4, 530, y - 4)
        elif style == "under":
            canvas.line(60, y, 400, y)
        else:
            canvas.rect(57, y - 27, 400, 36)
        x, up = {"beside": (234, 0), "under": (64, 3), "cell": (64, -19)}[style]
        canvas.drawString(x, y + up, values.get(label, ""))
    canvas.save()
    return buffer.getvalue()


@pytest.mark.parametrize("style", ["beside", "under", "cell"])
def test_texts_on_lines_are_found_by_labels_without_a_colon(
    session: Session, templates: dict[str, FormTemplate], tmp_path: Path, style: str
) -> None:
    """Two texts are refused, one cannot be told, and the empty form raises no objection."""
    told: list[str] = []
    model = {"Model": "TG-46"}
    two = {**model, "Manufacturer": "Tallgrass Rotorworks"}

    error = refuse(session, templates[FORM], make_without_colons(style, two), tmp_path)
    for values in (model, {}):
        pdf = make_without_colons(style, values)
        told += learn_empty_form(session, templates[FORM], pdf, None, tmp_path, DAY)[1]

    assert error.message == (
        "this form seems to be filled in already: `Manufacturer` stands beside "
        f"`Tallgrass Rotorworks`; `Model` stands beside `TG-46`. {AFTER}"
    )
    assert told == [
        "cannot tell whether somebody typed it, look at the form: `Model` stands beside `TG-46`"
    ]
    assert len(load_known(session, FORM)) == 2


def test_text_that_stands_on_no_line_is_not_called_typed(
    session: Session, templates: dict[str, FormTemplate], tmp_path: Path
) -> None:
    """Words beside the labels of an article that has no lines at all are its own."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    for at, (label, value) in enumerate(LABELS.items()):
        canvas.drawString(60, 700 - 30 * at, label)
        canvas.drawString(260, 700 - 30 * at, value)
    canvas.line(200, 200, 400, 200)
    canvas.drawString(60, 200, "County")
    canvas.save()

    _, doubts = learn_empty_form(session, templates[FORM], buffer.getvalue(), None, tmp_path, DAY)

    assert doubts == ()


@pytest.mark.parametrize(
    ("values", "refused"),
    [
        (("N", "(   )   -    ", "__/__/____", "NE"), False),
        (("NE", "mm/dd/yyyy", "Select one", "XX-XXXX"), False),
        (("NE", "USA", "TG-46"), True),
    ],
)
def test_masks_hints_and_the_prefix_of_an_n_number_are_no_data(
    templates: dict[str, FormTemplate], values: tuple[str, ...], refused: bool
) -> None:
    """They are not counted with the texts of its own that a form comes with."""
    fields = tuple(
        replace(read_texts(f"T{at}", value=value, preset=True).fields[0])
        for at, value in enumerate(values)
    )
    read = replace(read_texts("T", value="", preset=True), fields=fields)

    if not refused:
        assert refuse_filled(b"", read, (), templates[FORM]) == ()
        return
    with pytest.raises(RefusedError):
        refuse_filled(b"", read, (), templates[FORM])


def test_the_town_of_an_office_is_not_the_farm_s_own_text(
    session: Session, demo_operation: Operation, templates: dict[str, FormTemplate]
) -> None:
    """An office of the same town prints its own address; a street line is the farm's alone."""
    save_operation(session, demo_operation, namespace="n")
    own, empty = load_own_texts(session), read_texts("T", value="", preset=False)

    def refuse_print(text: str) -> tuple[str, ...]:
        place = Place(page=0, left=0, bottom=0, right=9, top=9, label=text)
        return refuse_filled(b"", replace(empty, printed=(place,)), (), templates[FORM], own)

    assert refuse_print("Burrell Crossing, NE 00000") == ()
    assert refuse_print("Invented Office, Burrell Crossing, NE 00000") == ()
    with pytest.raises(RefusedError):
        refuse_print("1 Invented Road")
