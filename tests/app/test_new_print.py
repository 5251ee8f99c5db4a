"""Which files are one print, which a new one, which another page. Common practice, no source."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest

from compliance.app.changed_files import drop_changed
from compliance.app.checking import Checking, merge_answers
from compliance.app.earlier_pictures import leave_out_earlier, note_pictures
from compliance.app.new_print import Print, leave_earlier, list_prints, mark_print
from compliance.app.seen import SeenFile, SeenPicture
from compliance.app.sightings import keep_counting
from compliance.engine.plan_model import Plan
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import PacketAnswers
from compliance.forms.model import FormTemplate
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, PdfKind, Place
from tests.kit_checking import make_checking

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
    bare = make_checking(demo_plan, templates, PACKET, DAY)
    envelope = EnvelopeAnswers(no_corrections=True, signature_kind="ink", notary_name="A")
    return replace(
        bare, context=replace(bare.context, answers=(tell(ENCLOSED),), envelope=envelope)
    )


def tell(
    blank: str,
    source: Source = Source.PERSON,
    status: Status = Status.FILLED,
    says: str = "",
    on: date | None = None,
) -> Answer:
    return Answer(document=SHEET[0], blank=blank, status=status, source=source, says=says, on=on)


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
    digest, prints = sha256(name.encode()).hexdigest(), list_prints(checking.files, SHEET)
    picture = SeenPicture(
        sha256=digest, document=SHEET[0], sheet=SHEET[1], seen_on=DAY.isoformat(), prints=prints
    )
    taken = put(checking, said, seen(name, digest, "photo", blanks, prints))
    return note_pictures(taken, (picture,))


def give_text(
    checking: Checking, form: FormTemplate, *said: Answer, name: str = "first.pdf"
) -> tuple[Checking, tuple[str, ...]]:
    """Give a filled PDF that shows these texts."""
    given = Print(sheet=SHEET, digest=name, mark=name)
    left, said, lines = leave_earlier(checking, given, said, form)
    blanks = tuple(one.blank for one in said)
    return put(left, said, seen(name, name, "pdf", blanks, (name,))), lines


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


@pytest.mark.parametrize(
    ("person", "file", "why"),
    [
        (
            tell("business", says="Sandbur Flats Aerial, LLC"),
            tell("business", Source.PDF, says="Sandbur Flats Aerial LLC"),
            "has `Sandbur Flats Aerial LLC` under `{}`, you said `Sandbur Flats Aerial, LLC`",
        ),
        (
            tell("business", status=Status.EMPTY),
            tell("business", Source.PDF, says="Sandbur Flats Aerial LLC"),
            "has `Sandbur Flats Aerial LLC` under `{}`, you said empty",
        ),
        (
            tell("home-address", says="1 Invented Road"),
            tell("home-address", Source.PDF, says="2 Invented Road"),
            "has `2 Invented Road` under `{}`, you said `1 Invented Road`",
        ),
        (
            tell("signed-on", on=date(2027, 1, 8)),
            tell("signed-on", Source.PDF, says="01/11/2027", on=DAY),
            "has `01/11/2027` under `{}`, you said `2027-01-08`",
        ),
    ],
)
def test_a_first_pdf_with_another_text_than_was_said_is_another_print(
    checking: Checking, form: FormTemplate, person: Answer, file: Answer, why: str
) -> None:
    """What the person said of the ink was of a paper with that other text."""
    after, lines = give_text(put(checking, (tell("signature"), person)), form, file)
    label = next(blank.label for blank in form.blanks if blank.id == person.blank)

    assert "signature" not in filled(after)
    assert after.context.envelope == EnvelopeAnswers(notary_name="A")
    assert lines == (
        (
            f"`{form.title}` {why.format(label)}: another print than the one you spoke of. "
            "What was said of `Signature` is asked again."
        ),
    )


@pytest.mark.parametrize(
    ("person", "file"),
    [
        (tell("business", says="Sandbur LLC"), tell("business", Source.PDF, says="Sandbur LLC")),
        (tell("business"), tell("business", Source.PDF, says="Sandbur LLC")),
        (
            tell("home-address", says="P.O. Box 0, Burrell Crossing"),
            tell("home-address", Source.PDF, says="PO Box 0 Burrell Crossing"),
        ),
        (
            tell("signed-on", on=DAY),
            tell("signed-on", Source.PDF, status=Status.EMPTY),
        ),
        (
            tell("birth-date", status=Status.STRUCK),
            tell("birth-date", Source.PDF, says="N/A"),
        ),
    ],
)
def test_a_first_pdf_that_agrees_leaves_the_word_on_the_ink(
    checking: Checking, form: FormTemplate, person: Answer, file: Answer
) -> None:
    """So does one where no text was given, or whose field is empty for the pen."""
    after, lines = give_text(put(checking, (tell("signature"), person)), form, file)

    assert ("signature" in filled(after), lines) == (True, ())


@pytest.mark.parametrize(("says", "stays"), [("Wren Castellow", True), ("Odile Ferrant", False)])
def test_answers_given_together_with_a_new_print_are_of_that_print(
    checking: Checking, form: FormTemplate, says: str, stays: bool
) -> None:
    """Unless they give another text than it shows: then they are of another paper."""
    first, _ = give(checking, form, "old.pdf")
    new = (tell("signature"), tell("signed-on", on=DAY), tell("printed-name", says=says))
    said = PacketAnswers(packet=PACKET, answers=new, envelope=EnvelopeAnswers(no_corrections=True))
    together = replace(put(first, new), given=said)
    shown = (
        *(tell(blank, Source.PDF) for blank in TYPED),
        tell("printed-name", Source.PDF, says="Wren Castellow"),
        tell("signed-on", Source.PDF, Status.EMPTY),
    )

    after, _ = give_text(together, form, *shown, name="fixed.pdf")

    assert filled(after).issuperset(INK) is stays
    assert ("signature" in filled(after)) is stays
    assert after.context.envelope.no_corrections is (True if stays else None)


def test_a_picture_of_the_earlier_print_does_not_vouch_for_the_new_one(
    checking: Checking, form: FormTemplate
) -> None:
    """Also once newer pictures took its place; where the earlier print comes back it counts."""
    old, new = (("old.jpg", b"old.jpg"), ("new.jpg", b"new.jpg"))
    printed, _ = give(checking, form, "old.pdf")
    shown = take_photo(take_photo(printed, "old.jpg", *TYPED, *INK), "two.jpg", *TYPED, *INK)
    assert leave_out_earlier(shown, (old, new), SHEET) == ((old, new), ())

    after, _ = give(shown, form, "fixed.pdf")
    back, _ = give(after, form, "old.pdf")

    assert leave_out_earlier(after, (old, new), SHEET) == (
        (new,),
        (
            (
                "old.jpg: this picture is of the earlier print, seen on Mon 11 Jan 2027, so it "
                "says nothing of the new one; take a picture of the paper as it is now, or answer "
                "the questions"
            ),
        ),
    )
    assert leave_out_earlier(after, (old,), (SHEET[0], 2)) == ((old,), ())
    assert leave_out_earlier(back, (old,), SHEET) == ((old,), ())


def test_a_picture_of_the_print_of_an_overwritten_pdf_is_known_again(
    checking: Checking, tmp_path: Path
) -> None:
    """The PDF overwritten takes its pictures along, and they stay known."""
    pdf = tmp_path / "form.pdf"
    pdf.write_bytes(b"as it was")
    digest = sha256(b"as it was").hexdigest()
    printed = replace(checking, files=(seen(str(pdf), digest, "pdf", TYPED, ("mark",)),))
    shown = take_photo(printed, "signed.jpg", *INK)
    pdf.write_bytes(b"as it is now")

    after, _ = drop_changed(shown)

    assert leave_out_earlier(after, (("signed.jpg", b"signed.jpg"),), SHEET)[0] == ()
