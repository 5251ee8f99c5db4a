"""A blank form shown once: its places found, tied, mended by hand, kept, printed with codes.

The form is drawn here with the words that such papers carry (common practice, no source); the
codes are read by zxing-cpp from the page that pdfium draws.
"""

from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pypdfium2 as pdfium
import pytest
import zxingcpp
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.known_forms import KnownForm, load_known, read_kept
from compliance.app.learned import (
    draw_places,
    learn_form,
    read_blank,
    read_places,
    render_places,
)
from compliance.app.wanted import wanted_blanks
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.forms.model import FormTemplate
from compliance.store.session import open_session

DAY = date(2027, 1, 11)
NAME = "faa-ua-affidavit"
# Place id -> blank, as a person ties them who reads the drawn form.
EXPECTED = {
    "n-number": "n-number",
    "serial-number": "serial",
    "makers-legal-name": "maker",
    "model": "model",
    "class-of-aircraft": "class",
    "maximum-take-off-weight": "max-weight",
    "number-of-engines": "engines",
    "kind-of-engines": "engine-type",
    "owners-full-legal-name": "owner-name",
    "signature-1": "signature",
    "printed-name-1": "printed-name",
    "title-1": "signer-title",
    "date-1": "signed-on",
    "notary-state": "notary-state",
    "notary-county": "notary-county",
    "notary-date": "notary-date",
    "printed-name-2": "notary-signer",
    "notary-signature": "notary-signature",
    "notary-title": "notary-title",
    "notary-expiry": "notary-expiry",
    "notary-stamp": "notary-stamp",
}


def draw_row(canvas: Canvas, y: float, *items: tuple[str, float, float]) -> None:
    """Labels with a line to write on after each."""
    for label, left, right in items:
        canvas.drawString(left, y, label)
        canvas.line(left + canvas.stringWidth(label, "Helvetica", 10) + 4, y - 2, right, y - 2)


def draw_under(canvas: Canvas, y: float, *items: tuple[str, float, float]) -> None:
    """Lines to write on with small print under each."""
    for label, left, right in items:
        canvas.line(left, y, right, y)
        canvas.setFont("Helvetica", 8)
        canvas.drawString(left, y - 10, label)
        canvas.setFont("Helvetica", 10)


def make_affidavit(*corners: tuple[float, float], word: str = "Statement") -> bytes:
    """The form; words stand in the corners given, in the way of a code."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(110, 720, f"{word} of Ownership of an Unmanned Aircraft")
    draw_row(canvas, 660, ("N-number:", 72, 250), ("Serial number:", 270, 540))
    draw_row(canvas, 630, ("Maker's legal name:", 72, 320), ("Model:", 340, 540))
    weight = ("Maximum take-off weight in pounds:", 320, 540)
    draw_row(canvas, 600, ("Class of aircraft:", 72, 300), weight)
    draw_row(canvas, 570, ("Number of engines:", 72, 300), ("Kind of engines:", 320, 540))
    draw_row(canvas, 540, ("Owner's full legal name:", 72, 540))
    draw_under(canvas, 480, ("Signature", 72, 300), ("Printed name", 330, 540))
    draw_under(canvas, 430, ("Title of the signer", 72, 300), ("Date of signing", 330, 540))
    canvas.drawString(72, 385, "Notary's certificate")
    draw_row(canvas, 360, ("State of", 72, 250), ("County of", 270, 450))
    draw_row(canvas, 330, ("Signed and sworn to (or affirmed) before me on", 72, 430))
    draw_row(canvas, 305, ("by", 72, 350))
    canvas.drawString(356, 305, "(name of the person who signed)")
    draw_under(canvas, 240, ("Notary's signature", 300, 540))
    draw_under(canvas, 200, ("Title of office", 300, 540))
    draw_under(canvas, 160, ("My commission expires", 300, 540))
    canvas.rect(72, 150, 180, 110)
    canvas.drawString(110, 245, "(Notary's stamp)")
    for left, bottom in corners:
        canvas.drawString(left, bottom, "FORM")
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


@pytest.fixture(scope="module")
def affidavit() -> bytes:
    return make_affidavit()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("forms")


@pytest.fixture(scope="module")
def template(templates: dict[str, FormTemplate]) -> FormTemplate:
    return templates[NAME]


@pytest.fixture(scope="module")
def learned(affidavit: bytes, template: FormTemplate, folder: Path) -> KnownForm:
    """The form learned once; tests that keep it do so in a database of their own."""
    with open_session(":memory:") as opened:
        return learn_form(opened, template, affidavit, None, folder, DAY)


def read_codes(pdf: bytes) -> list[str]:
    document = pdfium.PdfDocument(pdf)
    picture = document[0].render(scale=3).to_pil().convert("L")
    document.close()
    return sorted(code.text.strip() for code in zxingcpp.read_barcodes(picture))


def test_learn_form_ties_every_place_as_a_person_would(learned: KnownForm) -> None:
    assert {place.region.id: place.blank for place in learned.places} == EXPECTED


def test_learn_form_keeps_the_blank_with_four_codes(learned: KnownForm) -> None:
    assert learned.has_codes
    assert read_codes(read_kept(learned)) == [f"{learned.code}0{corner}" for corner in range(4)]


def test_learn_form_comes_back_from_the_database(
    session: Session, affidavit: bytes, template: FormTemplate, learned: KnownForm, folder: Path
) -> None:
    form = learn_form(session, template, affidavit, learned.places, folder, DAY)

    assert form == learned
    assert load_known(session, NAME) == (learned,)
    assert read_blank(session, template) == read_kept(learned)


def test_learn_form_without_room_for_codes_is_kept_as_it_is(
    session: Session, template: FormTemplate, learned: KnownForm, folder: Path
) -> None:
    edges = [(x, y) for y in range(450, 780, 12) for x in (24, 560)]
    crowded = make_affidavit(*edges, *((x, y) for x in range(40, 580, 30) for y in (740, 760)))
    form = learn_form(session, template, crowded, None, folder, DAY)

    assert not form.has_codes
    assert read_kept(form) == crowded
    assert [place.blank for place in form.places] == [place.blank for place in learned.places]
    assert load_known(session, NAME) == (form,)


def test_learn_form_editions_stand_side_by_side_the_newest_first(
    session: Session, affidavit: bytes, template: FormTemplate, learned: KnownForm, folder: Path
) -> None:
    other = make_affidavit(word="Affidavit")
    older = learn_form(session, template, other, learned.places, folder, DAY)
    later = learn_form(session, template, affidavit, learned.places, folder, DAY)

    assert older.code != later.code
    assert load_known(session, NAME) == (later, older)
    assert read_blank(session, template) == read_kept(later)


def test_learn_form_that_is_a_picture_of_paper_is_refused(
    session: Session, template: FormTemplate, folder: Path
) -> None:
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792))
    canvas.drawImage(ImageReader(Image.new("L", (1275, 1650), 250)), 0, 0, 612, 792)
    canvas.save()

    with pytest.raises(RefusedError):
        learn_form(session, template, buffer.getvalue(), None, folder, DAY)

    assert load_known(session, NAME) == ()


def test_learn_form_with_nothing_to_fill_in_is_refused(
    session: Session, template: FormTemplate, tmp_path: Path
) -> None:
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792))
    canvas.drawString(72, 700, "This notice tells you how the papers are handled.")
    canvas.save()

    with pytest.raises(RefusedError) as caught:
        learn_form(session, template, buffer.getvalue(), None, tmp_path, DAY)

    assert caught.value.message == "no blank was found on this form"
    assert caught.value.hint == "give the agency's own PDF, not a scan of it"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("data", [b"", b"not a form", b"%PDF-1.7\n%%EOF\n"])
@pytest.mark.parametrize("with_places", [True, False])
def test_learn_form_no_pdf_is_refused(
    session: Session,
    template: FormTemplate,
    learned: KnownForm,
    tmp_path: Path,
    data: bytes,
    with_places: bool,
) -> None:
    places = learned.places if with_places else None

    with pytest.raises(RefusedError):
        learn_form(session, template, data, places, tmp_path, DAY)

    assert list(tmp_path.iterdir()) == []


def test_learn_form_place_on_a_page_it_does_not_have_is_refused(
    session: Session, affidavit: bytes, template: FormTemplate, learned: KnownForm, tmp_path: Path
) -> None:
    first, *others = learned.places
    wrong = replace(first, region=replace(first.region, page=1))

    with pytest.raises(RefusedError) as caught:
        learn_form(session, template, affidavit, (wrong, *others), tmp_path, DAY)

    assert caught.value.message == "the form has 1 page; beyond it lies n-number"
    assert list(tmp_path.iterdir()) == []


def test_read_blank_never_shown_says_how(session: Session, template: FormTemplate) -> None:
    with pytest.raises(NotFoundError) as caught:
        read_blank(session, template)

    assert caught.value.message == f"the blank of {template.title} was never shown"
    assert caught.value.hint == f"mailby forms learn BLANK.pdf --form {NAME}"


def test_read_kept_that_is_gone_says_how(learned: KnownForm, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError) as caught:
        read_kept(replace(learned, blank_file=tmp_path / "gone.pdf"))

    assert caught.value.message == f"the blank kept as {tmp_path / 'gone.pdf'} is gone"
    assert caught.value.hint == f"show it again: mailby forms learn BLANK.pdf --form {NAME}"


def write(folder: Path, text: str) -> str:
    path = folder / "places.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_render_places_read_again_gives_the_same_places(
    learned: KnownForm, template: FormTemplate, tmp_path: Path
) -> None:
    read = read_places(write(tmp_path, render_places(learned)), template)

    assert [(one.region.id, one.region.label, one.blank) for one in read] == [
        (one.region.id, one.region.label, one.blank) for one in learned.places
    ]
    for one, other in zip(read, learned.places, strict=True):
        assert (one.region.kind, one.region.page) == (other.region.kind, other.region.page)
        for name in ("left", "bottom", "right", "top"):
            # Written with one place after the point.
            assert abs(getattr(one.region, name) - getattr(other.region, name)) <= 0.05001


def test_read_places_mended_tie_is_taken(
    learned: KnownForm, template: FormTemplate, tmp_path: Path
) -> None:
    text = render_places(learned).replace("blank: notary-signer", "blank: none")
    ties = {one.region.id: one.blank for one in read_places(write(tmp_path, text), template)}

    assert ties == EXPECTED | {"printed-name-2": ""}


def test_read_places_faults_are_all_named_with_their_lines(
    template: FormTemplate, tmp_path: Path
) -> None:
    good = "page: 1, left: 72, bottom: 100, right: 200, top: 120}"
    lines = (
        "form: faa-8050-1",
        "places:",
        "  - {id: a, label: Model, kind: text, blank: model, " + good,
        "  - {id: a, label: Model, kind: text, blank: modle, " + good,
        "  - {id: b, label: Maker, kind: texts, blank: maker, " + good,
        "  - {id: c, kind: text, blank: maker, page: 0, left: 9, bottom: 1, right: 9, top: 2}",
        "  - {id: d, kind: text, blank: maker, page: 1, left: x, bottom: 1, right: 9, top: 2}",
        "  - {id: e, kind: text, blank: maker, page: 1, left: 1, bottom: 1, right: 9}",
        "  - model",
        "colour: red",
    )
    path = write(tmp_path, "\n".join(lines) + "\n")

    with pytest.raises(DataProblemsError) as caught:
        read_places(path, template)

    found = [(problem.place.line, problem.code) for problem in caught.value.problems]
    assert {problem.place.file for problem in caught.value.problems} == {path}
    assert found == [
        (1, "T05"),
        (4, "T21"),
        (4, "T05"),
        (5, "T05"),
        (6, "T22"),
        (6, "T07"),
        (7, "T04"),
        (8, "T03"),
        (9, "T01"),
        (10, "T02"),
    ]


def test_read_places_without_places_is_refused(template: FormTemplate, tmp_path: Path) -> None:
    with pytest.raises(DataProblemsError) as caught:
        read_places(write(tmp_path, f"form: {NAME}\n"), template)

    assert [problem.code for problem in caught.value.problems] == ["T03"]


def test_read_places_no_such_file(template: FormTemplate, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError):
        read_places(str(tmp_path / "none.yaml"), template)


def test_draw_places_gives_one_picture_a_page(learned: KnownForm) -> None:
    (named,) = draw_places(learned).items()
    picture = Image.open(BytesIO(named[1]))

    assert named[0] == f"{NAME}_{learned.code}_page1.png"
    assert picture.size == (935, 1210)  # Letter at 110 dots an inch


def test_wanted_blanks_are_those_of_the_template(template: FormTemplate) -> None:
    wanted = wanted_blanks(template)

    assert [(one.id, one.label, one.kind, one.must, one.note) for one in wanted] == [
        (one.id, one.label, str(one.kind), one.must, one.note) for one in template.blanks
    ]
