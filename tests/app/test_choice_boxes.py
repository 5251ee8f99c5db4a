"""Several boxes on the paper, one blank of the template: any mark fills it, none leaves it empty.

The form is drawn here in the words of an application to register (common practice, no source);
the ink is drawn with Pillow on the blank that was learned, apart from what reads it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from PIL import ImageDraw
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.checking import Checking
from compliance.app.evidence import take_pictures
from compliance.app.known_forms import KnownForm, load_known
from compliance.app.learned import learn_form
from compliance.app.picture_answers import PictureAnswer
from compliance.app.settling import settle_with_earlier
from compliance.app.tables import load_templates
from compliance.app.ticked import has_both_marked, read_marks
from compliance.engine.check import compute_check
from compliance.engine.choices import find_boxes
from compliance.engine.plan_model import Plan
from compliance.facts.answers import Answer, Source, Status
from compliance.facts.reply_words import Meaning, read_meaning
from compliance.forms.model import BlankKind, FormTemplate, Supplier
from compliance.outputs.own_wording import WORDINGS, list_choices
from compliance.scan.model import Region, RegionFinding, Seen
from compliance.store.session import open_session
from tests.kit_checking import make_checking

DAY = date(2027, 1, 11)
FORM = "faa-8050-1"
PACKET = "faa.registration-n:tg46"
DPI = 150
OPTIONS = ("Individual", "Partnership", "Corporation", "Co-owner", "LLC")
TOP, LEFT, STEP, SIDE = 600, 90, 90, 12


def make_blank() -> bytes:
    """A form with five boxes in a row, two lines, and a line to sign on."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 11)
    canvas.drawString(110, 720, "Application to register an aircraft")
    canvas.drawString(110, 702, "Answer all that is asked on this paper in plain words.")
    canvas.setFont("Helvetica", 9)
    canvas.drawString(72, TOP + 26, "Kind of owner (mark one):")
    for at, option in enumerate(OPTIONS):
        canvas.rect(LEFT + STEP * at, TOP, SIDE, SIDE)
        canvas.drawString(LEFT + STEP * at + SIDE + 4, TOP + 2, option)
    for y, label in ((550, "Serial number"), (500, "Owner's full legal name"), (400, "Signature")):
        canvas.line(72, y, 400, y)
        canvas.drawString(72, y - 10, label)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


@dataclass(frozen=True)
class Shown:
    """A database in which the form was learned."""

    session: Session
    form: KnownForm


@pytest.fixture(scope="module")
def shown(
    templates: dict[str, FormTemplate], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Shown]:
    with open_session(":memory:") as session:
        folder = tmp_path_factory.mktemp("forms")
        learn_form(session, templates[FORM], make_blank(), None, folder, DAY)
        yield Shown(session=session, form=load_known(session, FORM)[0])


@pytest.fixture(scope="module")
def checking(demo_plan: Plan, templates: dict[str, FormTemplate]) -> Checking:
    return make_checking(demo_plan, templates, PACKET, DAY)


def make_photo(pdf: bytes, *marked: int) -> bytes:
    """The page with a cross in the boxes given, as a PNG."""
    document = pdfium.PdfDocument(pdf)
    picture = document[0].render(scale=DPI / 72).to_pil().convert("RGB")
    document.close()
    pen = ImageDraw.Draw(picture)
    for at in marked:
        left, top = (LEFT + STEP * at + 1) * DPI / 72, (792 - TOP - SIDE + 1) * DPI / 72
        right, low = left + (SIDE - 2) * DPI / 72, top + (SIDE - 2) * DPI / 72
        pen.line((left, top, right, low), fill=(20, 30, 110), width=4)
        pen.line((left, low, right, top), fill=(20, 30, 110), width=4)
    buffer = BytesIO()
    picture.save(buffer, "PNG")
    return buffer.getvalue()


def look(shown: Shown, checking: Checking, *marked: int) -> Answer:
    """What a photo with those boxes marked says about the kind of owner."""
    answers = take(shown, checking, *marked).context.answers
    return next(one for one in answers if one.blank == "registration-type")


def take(shown: Shown, checking: Checking, *marked: int) -> Checking:
    """The check after a photo with those boxes marked."""
    photo = make_photo(Path(shown.form.blank_file).read_bytes(), *marked)
    documents = {
        row.template: row.id.rpartition(".")[2] for row in checking.context.paper.packet.documents
    }
    return take_pictures(
        shown.session, checking, (("photo.png", photo),), documents[FORM], sheet=1
    ).checking


def findings(checking: Checking) -> list[str]:
    """What the check says about the kind of owner."""
    result = compute_check(checking.context)
    return [
        f"{one.severity}: {one.sentence.partition(': ')[2]} {one.todo}"
        for one in result.findings
        if one.blank == "registration-type"
    ]


def test_all_boxes_of_a_choice_are_one_blank(shown: Shown) -> None:
    """All five are tied, as ways of one answer."""
    boxes = [place for place in shown.form.places if place.region.kind == "check"]

    assert [place.region.label for place in boxes] == list(OPTIONS)
    assert {place.blank for place in boxes} == {"registration-type"}
    assert {place.region.part_of for place in boxes} == {"registration-type"}


@pytest.mark.parametrize("marked", [0, 2, 4])
def test_one_mark_in_any_box_fills_the_blank(shown: Shown, checking: Checking, marked: int) -> None:
    """Whichever box it is, the other four may stay empty; it is taken as that choice."""
    answer = look(shown, checking, marked)

    assert answer.status is Status.FILLED
    assert answer.says == OPTIONS[marked].lower()


def test_no_mark_in_any_box_leaves_the_blank_empty(shown: Shown, checking: Checking) -> None:
    """With every box of the choice known, none marked means missing and not unclear."""
    answer = look(shown, checking)

    assert (answer.status, answer.says) == (Status.EMPTY, "")


def test_two_marks_are_two_boxes(shown: Shown, checking: Checking) -> None:
    """Of the kinds of owner one is to be marked (14 CFR 47.31(b)(1); boxes from memory)."""
    assert findings(take(shown, checking, 2, 4)) == [
        (
            "stop: `Kind of owner, one box`: 2 boxes are ticked (`corporation`, `llc`), only one "
            "may be. Fill in a fresh form and tick one box."
        )
    ]


def test_a_person_who_read_one_box_is_contradicted_by_two(shown: Shown, checking: Checking) -> None:
    """What somebody said does not hide the second mark (14 CFR 47.31(b)(1); boxes from memory)."""
    said = Answer(
        document=look(shown, checking, 4).document,
        blank="registration-type",
        status=Status.FILLED,
        says="llc",
    )
    before = replace(checking, context=replace(checking.context, answers=(said,)))

    assert look(shown, before, 0, 4).says == "individual; llc"
    assert look(shown, before, 4) == said


def test_the_wrong_mark_contradicts_the_facts(shown: Shown, checking: Checking) -> None:
    """The demo's operation is an LLC; a photo of another box is taken as a PDF would be."""
    assert findings(take(shown, checking, 0)) == [
        (
            "stop: `Kind of owner, one box`: the box `individual` is ticked, the facts say `llc`. "
            "Tick the box that fits, on a fresh form."
        )
    ]
    assert findings(take(shown, checking, 4)) == []


@pytest.mark.parametrize(
    ("labels", "signs", "says"),
    [
        ("LLC|Corporation", "+-", "llc"),
        ("LLC|Corporation", "++", "llc; corporation"),
        ("LLC|Corporation|Individual", "++?", "llc; corporation"),
        ("LLC|Corporation", "+~", ""),  # one of them may be no mark
        ("LLC|Corporation", "~-", "llc"),
        ("LLC|Corporation|Individual", "+++", ""),  # rather tinted boxes than three marks
        ("LLC|Corporation", "+?", ""),  # the other may be ticked too
        ("LLC|Corporation", "?-", ""),
        ("LLC|Corporation", "--", ""),
        ("LLC", "+", ""),  # one place for the whole choice
        ("LLC|LLC", "++", ""),  # two places of one box
        ("here|there", "+-", ""),  # nobody knows which it is
        ("LLC|there", "++", "llc; there"),
        ("here|there", "++", "here; there"),
        ("LLC|", "++", "llc; box 2 of 2"),
        ("LLC|LLC or corporation", "++", "llc; box 2 of 2"),  # its words would be two boxes
        ("LLC|yes; " + "no " * 30, "++", "llc; yes " + "no " * 18 + "..."),
    ],
)
def test_read_marks(templates: dict[str, FormTemplate], labels: str, signs: str, says: str) -> None:
    """Only what is plain is taken; two plain marks are two, whatever stands beside them."""
    states = {"+": Seen.PRESENT, "~": Seen.PRESENT, "-": Seen.MISSING, "?": Seen.CANNOT_TELL}
    scores = {"+": 0.99, "~": 0.96, "-": 0.01, "?": 0.5}
    boxes = [
        RegionFinding(
            region=Region(
                id=str(at), label=label, kind="check", page=0, left=0, bottom=0, right=9, top=9
            ),
            seen=states[sign],
            why="",
            score=scores[sign],
        )
        for at, (label, sign) in enumerate(zip(labels.split("|"), signs, strict=True))
    ]
    wanted = templates[FORM].find_blank("registration-type")

    assert read_marks(boxes, wanted) == says
    assert read_marks(boxes, None) == ""


@pytest.mark.parametrize(
    ("labels", "signs", "both"),
    [
        ("Yes|No", "++", True),
        ("Yes|No", "+-", False),
        ("Yes|No", "+?", False),
        ("Yes|LLC", "++", False),
    ],
)
def test_has_both_marked(labels: str, signs: str, both: bool) -> None:
    """Yes and no both marked say nothing."""
    states = {"+": Seen.PRESENT, "-": Seen.MISSING, "?": Seen.CANNOT_TELL}
    boxes = [
        RegionFinding(
            region=Region(
                id=label, label=label, kind="check", page=0, left=0, bottom=0, right=9, top=9
            ),
            seen=states[sign],
            why="",
            score=0.5,
        )
        for label, sign in zip(labels.split("|"), signs, strict=True)
    ]

    assert has_both_marked(boxes) is both


def test_a_picture_that_does_not_tell_the_box_leaves_the_one_that_did() -> None:
    """A second, dimmer photo of the same paper does not hide that two boxes were ticked."""
    told = Answer(
        document="application",
        blank="registration-type",
        status=Status.FILLED,
        says="individual; llc",
        source=Source.PHOTO,
    )

    dim = PictureAnswer(answer=replace(told, says=""), picture="dim.jpg")
    assert settle_with_earlier((told,), (dim,), {}) == ((), ())
    again = replace(told, says="llc")
    shown = PictureAnswer(answer=again, picture="again.jpg")
    assert settle_with_earlier((told,), (shown,), {}) == ((again,), ())


def test_boxes_of_our_own_pages_are_told_apart_by_their_words() -> None:
    """Where exactly one may be marked each box has a word of its own, which is no mere reply."""
    free = {"how", "proof"}
    for template in load_templates().values():
        checks = [blank for blank in template.blanks if blank.kind is BlankKind.CHECK]
        for blank in checks if template.supplied_by is Supplier.OURS else ():
            printed = list_choices(WORDINGS[template.id], blank)
            named = [find_boxes(blank, text) for text in printed]

            assert bool(blank.one_of) is (blank.id not in free), (template.id, blank.id)
            if blank.one_of:
                assert named == [(one,) for one in blank.one_of], (template.id, blank.id)
                assert {read_meaning(one) for one in blank.one_of} == {Meaning.TEXT}
