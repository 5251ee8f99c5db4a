"""Which files are one print, which a new one, which another page. Common practice, no source."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest

from compliance.app.changed_files import drop_changed
from compliance.app.checking import Checking, SeenFile, merge_answers
from compliance.app.new_print import Print, leave_earlier, list_prints, mark_print
from compliance.app.sightings import keep_counting
from compliance.engine.check_model import CheckContext
from compliance.engine.plan_model import Plan
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Source, Status
from compliance.forms.model import FormTemplate
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, PdfKind, Place

DAY = date(2027, 1, 11)
PACKET = "sd.commercial-applicator:odile"
SHEET = ("application", 1)
TYPED = ("pilot-name", "home-address", "business", "exams")
INK = ("signature", "signed-on")


@pytest.fixture
def form(templates: Mapping[str, FormTemplate]) -> FormTemplate:
    return templates["sd-commercial-application"]


@pytest.fixture
def checking(demo_plan: Plan, templates: Mapping[str, FormTemplate]) -> Checking:
    """A packet about which a person has said nothing but that the application is enclosed."""
    paper = demo_plan.find_paper(PACKET)
    assert paper is not None
    context = CheckContext(
        operation=demo_plan.operation,
        paper=paper,
        templates=templates,
        answers=(tell(ENCLOSED),),
        envelope=EnvelopeAnswers(no_corrections=True, signature_kind="ink", notary_name="A"),
        as_of=DAY,
        mail_on=DAY,
        others=demo_plan.papers,
    )
    return Checking(operation_id="own", turn=1, context=context, files=())


def tell(blank: str, source: Source = Source.PERSON, status: Status = Status.FILLED) -> Answer:
    return Answer(document=SHEET[0], blank=blank, status=status, source=source)


def say(checking: Checking, *blanks: str) -> Checking:
    return put(checking, tuple(tell(blank) for blank in blanks))


def put(checking: Checking, said: tuple[Answer, ...], *files: SeenFile) -> Checking:
    answers = merge_answers(checking.context.answers, said)
    kept = keep_counting(checking.files, files) if files else checking.files
    return replace(checking, context=replace(checking.context, answers=answers), files=kept)


def give(
    checking: Checking,
    form: FormTemplate,
    name: str,
    mark: str = "",
    blanks: tuple[str, ...] = TYPED,
    empty: tuple[str, ...] = (),
) -> tuple[Checking, tuple[str, ...]]:
    """Give a filled PDF; its *mark*, when none is named, is its name."""
    digest, mark = sha256(name.encode()).hexdigest(), mark or name
    said = (
        *(tell(blank, Source.PDF) for blank in blanks),
        *(tell(blank, Source.PDF, Status.EMPTY) for blank in empty),
    )
    given = Print(sheet=SHEET, digest=digest, mark=mark)
    left, said, lines = leave_earlier(checking, given, said, form)
    return put(left, said, seen(name, digest, "pdf", blanks + empty, (mark,))), lines


def take_photo(checking: Checking, name: str, *blanks: str) -> Checking:
    said = tuple(tell(blank, Source.PHOTO) for blank in blanks)
    return put(
        checking, said, seen(name, name, "photo", blanks, list_prints(checking.files, SHEET))
    )


def seen(
    name: str, digest: str, kind: str, blanks: tuple[str, ...], prints: tuple[str, ...]
) -> SeenFile:
    return SeenFile(
        path=name, sha256=digest, document=SHEET[0], sheet=SHEET[1], kind=kind, kept="",
        blanks=blanks, prints=prints,
    )  # fmt: skip


def filled(checking: Checking) -> set[str]:
    answers = checking.context.answers
    return {one.blank for one in answers if one.status is Status.FILLED} - {ENCLOSED}


def test_a_new_name_with_other_texts_asks_the_ink_again(
    checking: Checking, form: FormTemplate
) -> None:
    first = say(give(checking, form, "old.pdf")[0], *INK)

    after, lines = give(first, form, "fixed.pdf")

    assert filled(after) == set(TYPED)
    assert " ".join(lines) == (
        f"You gave a new print of `{form.title}`; what you said of `Signature`, `Date of signing` "
        "was of the earlier one. Asked again."
    )
    assert [one.path for one in after.files] == ["fixed.pdf"]
    assert tell(ENCLOSED) in after.context.answers
    assert after.context.envelope == EnvelopeAnswers(notary_name="A")


@pytest.mark.parametrize(("name", "mark"), [("old.pdf", ""), ("resaved.pdf", "old.pdf")])
def test_the_same_print_under_any_name_takes_nothing_back(
    checking: Checking, form: FormTemplate, name: str, mark: str
) -> None:
    """Nor does its field for the date, empty for the pen, once the date was written."""
    first, _ = give(checking, form, "old.pdf", empty=("signed-on",))
    assert filled(first) == set(TYPED)
    signed = say(first, *INK)

    after, lines = give(signed, form, name, mark, empty=("signed-on",))

    assert (filled(after), lines) == ({*TYPED, *INK}, ())
    assert after.context.envelope == checking.context.envelope


def test_the_first_file_leaves_what_was_said_of_the_paper_in_hand(
    checking: Checking, form: FormTemplate
) -> None:
    after, lines = give(say(checking, *INK), form, "first.pdf")

    assert (filled(after), lines) == ({*TYPED, *INK}, ())


def test_a_photo_after_the_pdf_shows_its_print(checking: Checking, form: FormTemplate) -> None:
    """It takes nothing back, and the PDF given once more takes nothing from the photo."""
    printed, _ = give(checking, form, "old.pdf")
    shown = take_photo(say(printed, "categories"), "signed.jpg", *TYPED, *INK)
    assert filled(shown) == {*TYPED, *INK, "categories"}
    assert [one.path for one in shown.files] == ["signed.jpg"]

    after, lines = give(shown, form, "old.pdf")

    assert (filled(after), lines) == ({*TYPED, *INK, "categories"}, ())


@pytest.mark.parametrize("photographed", [(*TYPED, *INK), INK])
def test_a_new_print_after_the_photo_asks_what_the_photo_showed(
    checking: Checking, form: FormTemplate, photographed: tuple[str, ...]
) -> None:
    """Whichever page the photo was of."""
    printed, _ = give(checking, form, "old.pdf")
    shown = take_photo(printed, "signed.jpg", *photographed)

    after, lines = give(shown, form, "fixed.pdf")

    assert filled(after) == set(TYPED)
    assert [one.path for one in after.files] == ["fixed.pdf"]
    assert " ".join(lines) == (
        f"You gave a new print of `{form.title}`; what you said or a file showed of `Signature`, "
        "`Date of signing` was of the earlier one. Asked again."
    )


@pytest.mark.parametrize("photographed", [(*TYPED, *INK), INK])
def test_the_first_pdf_after_a_photo_asks(
    checking: Checking, form: FormTemplate, photographed: tuple[str, ...]
) -> None:
    """Whoever fills the form in once the signed paper was photographed will print it anew."""
    shown = take_photo(checking, "signed.jpg", *photographed)

    assert filled(give(shown, form, "typed.pdf")[0]) == set(TYPED)


def test_pages_of_one_document_leave_each_other_alone(
    checking: Checking, form: FormTemplate
) -> None:
    """Two PDFs or two photos, a page each; the owner's name stands on both."""
    one, two = ("pilot-name", "home-address", "business"), ("pilot-name", "exams", "printed-name")
    first = say(give(checking, form, "page1.pdf", blanks=one)[0], *INK)
    both, lines = give(first, form, "page2.pdf", blanks=two)
    again, more = give(both, form, "page1.pdf", blanks=one)
    photos = take_photo(take_photo(checking, "page1.jpg", *one), "page2.jpg", *INK)

    assert (filled(both), lines) == ({*one, *two, *INK}, ())
    assert (filled(again), more) == ({*one, *two, *INK}, ())
    assert filled(photos) == {*one, *INK}


def test_a_new_print_of_one_page_leaves_what_the_other_page_shows(
    checking: Checking, form: FormTemplate
) -> None:
    """Where the pen was put nobody can tell, so the ink is asked."""
    one, two = ("pilot-name", "home-address", "business"), ("exams", "printed-name")
    both = give(give(checking, form, "page1.pdf", blanks=one)[0], form, "page2.pdf", blanks=two)[0]

    after, _ = give(say(both, *INK), form, "page1-fixed.pdf", blanks=one)

    assert filled(after) == {*one, *two}
    assert [one.path for one in after.files] == ["page2.pdf", "page1-fixed.pdf"]


def test_mark_print_is_what_the_paper_says_not_how_it_was_saved() -> None:
    """The order of fields and places on the page may differ; a text or a printed word may not."""

    def read(value: str, words: str, left: float = 1, *names: str) -> str:
        field = Field(name="a", kind=FieldKind.TEXT, value=value, is_empty=False)
        more = tuple(replace(field, name=name) for name in names)
        place = Place(page=0, left=left, bottom=1, right=2, top=2, label=words)
        return mark_print(
            FieldsRead(kind=PdfKind.FILLABLE, why="", fields=(field, *more), printed=(place,))
        )

    assert read("TG-46", "Model") == read(" TG-46 ", "Model", 1.5)
    assert read("TG-46", "Model", 1, "b", "c") == read("TG-46", "Model", 1, "c", "b")
    assert len({read("TG-46", "Model"), read("TG-18", "Model"), read("TG-46", "Maker")}) == 3


@pytest.mark.parametrize("by_photo", [False, True])
def test_a_pdf_overwritten_takes_the_ink_on_its_print_along(
    checking: Checking, tmp_path: Path, by_photo: bool
) -> None:
    """Whether a person said what is written there, its date too, or a photo showed it."""
    pdf, photo = tmp_path / "form.pdf", tmp_path / "signed.jpg"
    for path in (pdf, photo):
        path.write_bytes(b"as it was")
    digest = sha256(b"as it was").hexdigest()
    files = [seen(str(pdf), digest, "pdf", TYPED, ("mark",))]
    if by_photo:
        files.append(seen(str(photo), digest, "photo", INK, ("mark",)))
    said = (tell(blank, Source.PHOTO if by_photo else Source.PERSON) for blank in INK)
    typed = (tell(blank, Source.PDF) for blank in TYPED)
    before = replace(put(checking, (*typed, *said)), files=tuple(files))
    assert drop_changed(before) == (before, ())
    pdf.write_bytes(b"as it is now")

    after, lines = drop_changed(before)

    assert (filled(after), after.files) == (set(), ())
    assert "so is what was said or seen of the paper printed from it: Signature, Date" in lines[0]
