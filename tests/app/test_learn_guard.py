"""A form to be learned must be empty and the one it is said to be.

The forms are drawn here with the words of the application from memory (common practice, no
source); what a blank form looks like when somebody filled it in is drawn by reportlab.
"""

from collections.abc import Iterator
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.known_forms import load_known
from compliance.app.learn_guard import learn_empty_form, refuse_filled
from compliance.base.problems import RefusedError
from compliance.forms.model import FormTemplate
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, PdfKind, Place
from compliance.store.session import open_session

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


@pytest.fixture
def session() -> Iterator[Session]:
    with open_session(":memory:") as opened:
        yield opened


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
    form = learn_empty_form(session, templates[FORM], make({}, fields=fields), None, tmp_path, DAY)

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
    read = FieldsRead(
        kind=PdfKind.FILLABLE,
        why="",
        fields=tuple(
            Field(
                name=f"T{at}",
                kind=FieldKind.TEXT,
                value=value,
                is_empty=not value.strip(),
                is_preset=preset,
                places=(Place(page=0, left=0, bottom=0, right=9, top=9),),
            )
            for at in range(count)
        ),
    )
    if refused:
        with pytest.raises(RefusedError):
            refuse_filled(b"", read, (), templates[FORM])
    else:
        refuse_filled(b"", read, (), templates[FORM])
