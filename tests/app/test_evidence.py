"""Filled PDFs and pictures as answers: forms drawn here, ink drawn with Pillow on the coded blank.

The ink is drawn apart from the reader; what is drawn where is the truth it is held against. The
digital signature is made by pyHanko.
"""

import stat
import struct
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12
from cryptography.x509.oid import NameOID
from PIL import Image, ImageDraw, ImageFont
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import signers
from pyhanko.sign.fields import SigFieldSpec, append_signature_field
from pypdf import PdfReader, PdfWriter
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.checking import Checking
from compliance.app.earlier_pictures import mark_earlier
from compliance.app.evidence import (
    choose_document,
    take_pdf,
    take_pictures,
)
from compliance.app.kept_files import keep_copies, list_pictures
from compliance.app.known_forms import KnownForm
from compliance.app.learned import learn_form
from compliance.app.new_print import mark_print
from compliance.app.resources import read_binary
from compliance.base.problems import NotFoundError, OutputError, RefusedError
from compliance.engine.plan_model import Plan
from compliance.facts.answers import Answer, Source, Status
from compliance.forms.model import FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.pdf_objects import resolved
from compliance.store.session import open_session
from tests.kit_checking import make_checking

DAY = date(2027, 1, 11)
PACKET = "sd.commercial-applicator:odile"
FORM = "sd-commercial-application"
DPI = 150
INK = (25, 35, 110)
# Blank of the template -> its words on the form, its line from left to right, how high it lies.
LINES = {
    "pilot-name": ("Applicant's full name", 72, 540, 660),
    "birth-date": ("Date of birth", 350, 540, 485),
    "home-address": ("Home address", 72, 540, 590),
    "business": ("Name of the business", 72, 540, 555),
    "business-address": ("Address of the business", 72, 540, 520),
    "exams": ("Exams passed:", 150, 330, 485),
    "signature": ("Signature", 72, 330, 420),
    "signed-on": ("Date of signing", 350, 540, 420),
    "printed-name": ("Printed name of the signer", 72, 330, 370),
}
FIELDS = {
    "pilot-name": "Odile Ferrant",
    "birth-date": "",
    "home-address": "1 Invented Road, Burrell Crossing, NE 00000",
    "business": "Sandbur Flats Aerial LLC",
    "business-address": "P.O. Box 0, Burrell Crossing, NE 00000",
    "exams": "5 January 2027",
    "signed-on": "2027-01-11",
    "printed-name": "Odile Ferrant",
}


UNTIED = (
    "not looked at in this picture, because no place on the learned form is tied to them: still to "
    "be answered: Categories, aerial among them; to tie them: mailby forms learn BLANK.pdf --form "
    "sd-commercial-application --write-places FILE, write them behind `blank` in that file, then "
    "mailby forms learn BLANK.pdf --form sd-commercial-application --places FILE"
)


def make_blank(heading: str = "Commercial applicator license application") -> bytes:
    """The form as the agency prints it."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 11)
    canvas.drawString(110, 730, heading)
    canvas.drawString(110, 712, "Answer all that is asked on this paper in plain words.")
    canvas.setFont("Helvetica", 9)
    for label, left, right, y in LINES.values():
        canvas.line(left, y, right, y)
        beside = label.endswith(":")
        canvas.drawString(72 if beside else left, y if beside else y - 10, label)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def make_fillable(values: Mapping[str, str], *, required: Iterable[str] = ()) -> bytes:
    """The form with fields, filled in; tooltips say what a field is for, as forms do."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(110, 730, "Commercial applicator license application")
    for number, (blank, value) in enumerate(values.items()):
        label, left, right, y = LINES[blank]
        canvas.drawString(left, y - 10, label)
        canvas.acroForm.textfield(
            name=f"Text{number}",
            tooltip=label,
            value=value,
            x=left,
            y=y,
            width=right - left,
            height=18,
            fieldFlags="required" if blank in required else "",
        )
    canvas.save()
    return buffer.getvalue()


def draw_text(picture: Image.Image, blank: str, text: str) -> None:
    _, left, _, y = LINES[blank]
    pen = ImageDraw.Draw(picture)
    where = ((left + 8) * DPI / 72, (792 - y - 3) * DPI / 72)
    font = ImageFont.load_default(13 * DPI / 72)
    pen.text(where, text, fill=INK, font=font, anchor="ls")


def draw_signature(picture: Image.Image) -> None:
    _, left, _, y = LINES["signature"]
    t = np.linspace(0, 1, 80)
    x, high = left + 20 + 120 * t, y + 11 + 8 * np.sin(30 * t)
    points = [
        (float(a) * DPI / 72, (792 - float(b)) * DPI / 72) for a, b in zip(x, high, strict=True)
    ]
    ImageDraw.Draw(picture).line(points, fill=INK, width=3)


def make_two_pages() -> bytes:
    """The form on two pages: who on the first, the signing on the second."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    for low, high, words in ((480, 700, "Who applies"), (300, 480, "Who signs")):
        canvas.setFont("Helvetica", 11)
        canvas.drawString(110, 730, f"Commercial applicator license application: {words}")
        canvas.drawString(110, 712, "Answer all that is asked on this paper in plain words.")
        canvas.setFont("Helvetica", 9)
        for label, left, right, y in LINES.values():
            if low <= y < high:
                canvas.line(left, y, right, y)
                beside = label.endswith(":")
                canvas.drawString(72 if beside else left, y if beside else y - 10, label)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def make_photo(pdf: bytes, *blanks: str, page: int = 0) -> bytes:
    """The printed page with ink in the blanks given, as a JPEG."""
    document = pdfium.PdfDocument(pdf)
    picture = document[page].render(scale=DPI / 72).to_pil().convert("RGB")
    document.close()
    for blank in blanks:
        if blank == "signature":
            draw_signature(picture)
        else:
            draw_text(picture, blank, FIELDS[blank] or "3 February 1990")
    buffer = BytesIO()
    picture.save(buffer, "JPEG", quality=85)
    return buffer.getvalue()


@dataclass(frozen=True)
class Shown:
    """A database in which the form was learned, and its blank with codes."""

    session: Session
    form: KnownForm
    coded: bytes


@pytest.fixture(scope="module")
def shown(
    templates: dict[str, FormTemplate], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Shown]:
    folder = tmp_path_factory.mktemp("forms")
    with open_session(":memory:") as session:
        form = learn_form(session, templates[FORM], make_blank(), None, folder, DAY)
        yield Shown(session=session, form=form, coded=form.blank_file.read_bytes())


@pytest.fixture(scope="module")
def checking(demo_plan: Plan, templates: dict[str, FormTemplate]) -> Checking:
    return make_checking(demo_plan, templates, PACKET, DAY)


def save(folder: Path, data: bytes, name: str = "application.pdf") -> str:
    path = folder / name
    path.write_bytes(data)
    return str(path)


def states(checking: Checking) -> dict[str, Status]:
    return {one.blank: one.status for one in checking.context.answers}


def expect(*filled: str) -> dict[str, Status]:
    return {blank: Status.FILLED if blank in filled else Status.EMPTY for blank in LINES}


def test_choose_document_is_not_needed_when_there_is_one(
    demo_plan: Plan, templates: dict[str, FormTemplate]
) -> None:
    checking = make_checking(demo_plan, templates, "faa.ag-operator", DAY)

    assert choose_document(checking, "") == ("application", templates["faa-8710-3"])


@pytest.mark.parametrize(
    ("wanted", "message", "hint"),
    [
        ("", f"{PACKET} has 2 documents", "name one with --document: application, fee-check"),
        (
            "aplication",
            f"no document of {PACKET} is called 'aplication'",
            "did you mean `application`?",
        ),
        (
            "bill",
            f"no document of {PACKET} is called 'bill'",
            "name one with --document: application, fee-check",
        ),
    ],
)
def test_choose_document_says_which_there_are(
    checking: Checking, wanted: str, message: str, hint: str
) -> None:
    with pytest.raises(NotFoundError) as caught:
        choose_document(checking, wanted)

    assert (caught.value.message, caught.value.hint) == (message, hint)


def test_take_pdf_first_time_only_proposes_the_tie(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    path = save(tmp_path, make_fillable(FIELDS))
    looked = take_pdf(session, checking, path, "application", 1, confirm=False)

    assert {one.field: one.blank for one in looked.unconfirmed} == {
        f"Text{number}": blank for number, blank in enumerate(FIELDS)
    }
    assert looked.checking == checking


def test_take_pdf_confirmed_takes_the_fields(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    data = make_fillable(FIELDS)
    looked = take_pdf(
        session, checking, save(tmp_path, data), "application", 1, confirm=True
    ).checking
    digest = sha256(data).hexdigest()
    found = {one.blank: one for one in looked.context.answers}

    assert states(looked) == {
        **dict.fromkeys(FIELDS, Status.FILLED),
        "birth-date": Status.EMPTY,
        # For signature and categories no field was found: nothing is said of them.
    }
    assert found["business"] == Answer(
        document="application",
        blank="business",
        status=Status.FILLED,
        says="Sandbur Flats Aerial LLC",
        source=Source.PDF,
        seen_in=digest,
    )
    assert [(one.sha256, one.document, one.sheet, one.kind) for one in looked.files] == [
        (digest, "application", 1, "pdf")
    ]


def test_take_pdf_confirmed_once_is_known_for_the_edition(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    first = save(tmp_path, make_fillable(FIELDS))
    take_pdf(session, checking, first, "application", 1, confirm=True)
    again = save(tmp_path, make_fillable(dict.fromkeys(FIELDS, "")), "empty.pdf")
    fewer = {name: value for name, value in FIELDS.items() if name != "exams"}
    other = save(tmp_path, make_fillable(fewer), "other.pdf")

    known = take_pdf(session, checking, again, "application", 1, confirm=False)
    unknown = take_pdf(session, checking, other, "application", 1, confirm=False)

    assert known.unconfirmed == ()
    assert set(states(known.checking).values()) == {Status.EMPTY}
    assert {one.blank for one in unknown.unconfirmed} == set(fewer)


def test_take_pdf_required_field_left_empty_is_missing(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    data = make_fillable(FIELDS | {"exams": ""}, required=("exams", "birth-date"))
    looked = take_pdf(session, checking, save(tmp_path, data), "application", 1, confirm=True)

    assert states(looked.checking)["exams"] is Status.EMPTY
    assert states(looked.checking)["birth-date"] is Status.EMPTY


def test_take_pdf_mended_replaces_what_was_empty(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    empty = save(tmp_path, make_fillable(FIELDS | {"exams": ""}))
    before = take_pdf(session, checking, empty, "application", 1, confirm=True).checking
    full = save(tmp_path, make_fillable(FIELDS), "mended.pdf")
    after = take_pdf(session, before, full, "application", 1, confirm=False).checking

    assert states(before)["exams"] is Status.EMPTY
    assert states(after)["exams"] is Status.FILLED
    assert [Path(one.path).name for one in after.files] == ["mended.pdf"]


def test_take_pdf_flattened_is_looked_at_as_a_picture(
    shown: Shown, checking: Checking, tmp_path: Path
) -> None:
    path = save(tmp_path, make_blank())
    looked = take_pdf(shown.session, checking, path, "application", 1, confirm=False)

    assert looked.lines[0] == (
        f"{path}: This PDF has print but no fields: it was printed to PDF or flattened. "
        "Only its picture can be judged."
    )
    assert states(looked.checking) == expect()
    assert {one.source for one in looked.checking.context.answers} == {Source.PHOTO}


def test_take_pdf_flattened_needs_the_learned_blank(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    path = save(tmp_path, make_blank())

    with pytest.raises(RefusedError) as caught:
        take_pdf(session, checking, path, "application", 1, confirm=False)

    assert caught.value.message == (
        f"{path}: This PDF has print but no fields: it was printed to PDF or flattened. Only its "
        "picture can be judged. But the blank of Commercial applicator license application is "
        "needed to read a picture of it"
    )
    assert caught.value.hint == (
        f"mailby forms learn BLANK.pdf --form {FORM}; then mailby check {PACKET} --scan {path}"
    )


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF"])
def test_take_pdf_names_the_option_for_a_picture(
    session: Session, checking: Checking, tmp_path: Path, kind: str
) -> None:
    out = BytesIO()
    Image.new("L", (80, 100), 255).save(out, kind)
    path = save(tmp_path, out.getvalue())

    with pytest.raises(RefusedError) as caught:
        take_pdf(session, checking, path, "application", 1, confirm=False)

    assert caught.value.message == f"{path}: This is a {kind} picture, not a PDF."
    assert caught.value.hint == f"give it as a picture: mailby check {PACKET} --scan {path}"


def lock(data: bytes) -> bytes:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(data)))
    writer.encrypt("a password of their own", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize("kind", ["locked", "damaged", "no pages", "text", "nothing"])
def test_take_pdf_that_cannot_be_used_is_one_sentence(
    session: Session, checking: Checking, tmp_path: Path, kind: str
) -> None:
    whole = make_fillable(FIELDS)
    data = {
        "locked": lock(whole),
        "damaged": whole[:400],
        "no pages": b"%PDF-1.7\n%%EOF\n",
        "text": b"Dear office, here is my application",
        "nothing": b"",
    }[kind]

    path = save(tmp_path, data)

    with pytest.raises(RefusedError) as caught:
        take_pdf(session, checking, path, "application", 1, confirm=True)

    assert caught.value.message.startswith(f"{path}: This ")
    assert len(caught.value.message.replace(str(tmp_path), "")) < 200
    assert "\n" not in caught.value.message


def make_signer() -> signers.SimpleSigner:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Odile Ferrant")])
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(datetime(2026, 1, 1, tzinfo=UTC))
        .not_valid_after(datetime(2046, 1, 1, tzinfo=UTC))
        .sign(key, hashes.SHA256())
    )
    lock_word = b"test"
    box = pkcs12.serialize_key_and_certificates(
        b"test", key, certificate, None, BestAvailableEncryption(lock_word)
    )
    signer = signers.SimpleSigner.load_pkcs12_data(box, [], passphrase=lock_word)
    assert isinstance(signer, signers.SimpleSigner)
    return signer


def test_take_pdf_digital_signature_is_told_and_not_judged(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    writer = IncrementalPdfFileWriter(BytesIO(make_fillable(FIELDS)))
    append_signature_field(writer, SigFieldSpec("Signature", box=(72, 420, 330, 450)))
    metadata = signers.PdfSignatureMetadata(field_name="Signature", md_algorithm="sha256")
    signed = signers.sign_pdf(writer, metadata, signer=make_signer()).getvalue()
    changed = signed.replace(b"(5 January 2027)", b"(6 January 2027)")
    lines = []
    for data in (signed, changed):
        looked = take_pdf(session, checking, save(tmp_path, data), "application", 1, confirm=True)
        lines += [(*looked.lines, str(states(looked.checking)["signature"]))]

    no_field = "no field in this PDF, so it is still to be answered: Categories, aerial among them"
    unprinted = (
        "Dates of the general and category exams passed: The file's field says “6 January 2027”, "
        "but “5 January 2027” would be printed: print it, look, and say what stands there."
    )
    present = "Signature: a digital signature is present; "

    assert changed != signed
    assert lines == [
        (
            f"{present}the signed bytes are intact; the certificate was not judged",
            no_field,
            "filled",
        ),
        (
            unprinted,
            f"{present}the signed bytes were CHANGED; the certificate was not judged",
            no_field,
            "unclear",
        ),
    ]


@pytest.mark.parametrize(
    "filled",
    [
        (),
        ("pilot-name", "home-address", "signature", "signed-on", "printed-name"),
        tuple(LINES),
    ],
)
def test_take_pictures_finds_what_was_drawn(
    shown: Shown, checking: Checking, filled: tuple[str, ...]
) -> None:
    photo = make_photo(shown.coded, *filled)
    looked = take_pictures(shown.session, checking, (("page.jpg", photo),), "application", 1)

    assert states(looked.checking) == expect(*filled)
    assert {(one.source, one.seen_in) for one in looked.checking.context.answers} == {
        (Source.PHOTO, sha256(photo).hexdigest())
    }
    assert [(page.page, page.how) for page in looked.pages] == [(0, "codes")]
    assert len(looked.lines) == len(LINES) - len(filled) + 1
    assert looked.lines[-1] == UNTIED


def test_take_pictures_says_what_to_do_about_a_missing_blank(
    shown: Shown, checking: Checking
) -> None:
    blanks = tuple(blank for blank in LINES if blank != "signature")
    photo = make_photo(shown.coded, *blanks)
    looked = take_pictures(shown.session, checking, (("page.jpg", photo),), "application", 1)

    line, untied = looked.lines
    assert untied == UNTIED
    assert line == (
        "Signature: missing; No signature seen here. Sign, and take the picture again before you "
        "mail it."
    )


def test_take_pictures_print_without_codes_is_lined_up_by_its_print(
    shown: Shown, checking: Checking
) -> None:
    photo = make_photo(make_blank(), "signature", "exams")
    looked = take_pictures(shown.session, checking, (("page.jpg", photo),), "application", 1)

    assert states(looked.checking) == expect("signature", "exams")
    assert [page.how for page in looked.pages] == ["print"]


def test_take_pictures_of_an_earlier_print_says_nothing_of_the_new_one(
    shown: Shown, checking: Checking
) -> None:
    """The same bytes; another picture beside it is looked at."""
    old, new = (
        ("old.jpg", make_photo(shown.coded, "signature")),
        ("new.jpg", make_photo(shown.coded)),
    )
    first = take_pictures(shown.session, checking, (old,), "application", 1).checking
    reprinted = replace(
        mark_earlier(first, frozenset(), ("application", 1)), files=(), context=checking.context
    )

    again = take_pictures(shown.session, reprinted, (old,), "application", 1)
    both = take_pictures(shown.session, reprinted, (old, new), "application", 1)

    assert (again.checking, len(again.lines)) == (reprinted, 1)
    assert again.lines[0].startswith("old.jpg: this picture is of the earlier print, seen on ")
    assert both.lines[0] == again.lines[0]
    assert states(both.checking) == expect()


def test_take_pictures_takes_a_word_back_and_leaves_what_was_read(
    shown: Shown, checking: Checking
) -> None:
    word = Answer(document="application", blank="", status=Status.FILLED, says="as on the paper")
    names = ("business", "exams")
    words = tuple(replace(word, blank=name) for name in names)
    said = replace(checking, context=replace(checking.context, answers=words))
    photo = make_photo(shown.coded, "business")
    looked = take_pictures(shown.session, said, (("page.jpg", photo),), "application", 1)
    found = {one.blank: one for one in looked.checking.context.answers}

    assert found["business"] == words[0]
    assert (found["exams"].status, found["exams"].source) == (Status.EMPTY, Source.PHOTO)


def make_foreign() -> bytes:
    """A picture of a field, with no page in it."""
    noise = np.random.default_rng(7).integers(60, 180, (90, 70, 3), dtype=np.uint8)
    buffer = BytesIO()
    Image.fromarray(noise).resize((1000, 1300)).save(buffer, "JPEG")
    return buffer.getvalue()


def make_other_form(tmp_path: Path, template: FormTemplate) -> bytes:
    """A page of another edition, with its own codes."""
    with open_session(":memory:") as opened:
        other = learn_form(opened, template, make_blank("Renewal"), None, tmp_path, DAY)
    return make_photo(other.blank_file.read_bytes(), "signature")


def test_take_pictures_foreign_picture_is_refused_in_words(
    shown: Shown, checking: Checking
) -> None:
    files = (("field.jpg", make_foreign()),)

    with pytest.raises(RefusedError) as caught:
        take_pictures(shown.session, checking, files, "application", 1)

    assert caught.value.message.startswith("field.jpg: No corner codes were found ")
    assert "Take it again from straight above" in caught.value.message


def test_take_pictures_of_another_edition_is_refused(
    shown: Shown, checking: Checking, tmp_path: Path, templates: dict[str, FormTemplate]
) -> None:
    files = (("old.jpg", make_other_form(tmp_path, templates[FORM])),)

    with pytest.raises(RefusedError, match="form or an edition that is not known here"):
        take_pictures(shown.session, checking, files, "application", 1)


def test_take_pictures_several_one_bad_does_not_spoil_the_others(
    shown: Shown, checking: Checking
) -> None:
    good = make_photo(shown.coded, *LINES)
    files = (("field.jpg", make_foreign()), ("empty.jpg", b""), ("page.jpg", good))
    looked = take_pictures(shown.session, checking, files, "application", 1)

    assert states(looked.checking) == expect(*LINES)
    assert [line.split()[0] for line in looked.lines] == ["field.jpg:", "empty.jpg", "not"]
    # No verdict rests on a file that showed nothing.
    assert [Path(one.path).name for one in looked.checking.files] == ["page.jpg"]


def test_take_pictures_of_the_same_page_that_differ_are_left_to_the_person(
    shown: Shown, checking: Checking
) -> None:
    """Ink in one picture and none in the other cannot both be the paper in the envelope."""
    before = make_photo(shown.coded, "exams")
    after = make_photo(shown.coded, "exams", "signature")
    files = (("before.jpg", before), ("after.jpg", after))
    looked = take_pictures(shown.session, checking, files, "application", 1)

    assert states(looked.checking) == expect("exams") | {"signature": Status.UNCLEAR}
    assert (
        "Signature: cannot tell; The pictures differ: there is ink here in after.jpg and none in "
        "before.jpg. Look at the paper."
    ) in looked.lines
    assert [Path(one.path).name for one in looked.checking.files] == ["before.jpg", "after.jpg"]


def cover(photo: bytes, blank: str, *, above: float = 25) -> bytes:
    """Put a dark thing on the paper over a blank, as a thumb or a pen left lying there."""
    _, left, right, y = LINES[blank]
    picture = Image.open(BytesIO(photo))
    box = (left - 60, 792 - y - above, right + 20, 792 - y + 12)
    ImageDraw.Draw(picture).rectangle([at * DPI / 72 for at in box], fill=(70, 50, 40))
    buffer = BytesIO()
    picture.save(buffer, "JPEG", quality=85)
    return buffer.getvalue()


@pytest.mark.parametrize("filled", [(), ("signature",)])
def test_take_pictures_of_the_same_page_one_covered_takes_the_other(
    shown: Shown, checking: Checking, filled: tuple[str, ...]
) -> None:
    """A thumb over a place in one picture takes nothing away from what the other shows."""
    whole = make_photo(shown.coded, *filled)
    covered = (("covered.jpg", cover(whole, "signature")),)
    alone = take_pictures(shown.session, checking, covered, "application", 1)
    both = take_pictures(
        shown.session, checking, (*covered, ("whole.jpg", whole)), "application", 1
    )

    assert states(alone.checking)["signature"] is Status.UNCLEAR
    assert states(both.checking)["signature"] is expect(*filled)["signature"]


def test_take_pictures_a_later_look_that_cannot_tell_leaves_the_earlier(
    shown: Shown, checking: Checking
) -> None:
    whole = make_photo(shown.coded, *LINES)
    first = take_pictures(shown.session, checking, (("first.jpg", whole),), "application", 1)
    covered = (("second.jpg", cover(whole, "signature")),)
    second = take_pictures(shown.session, first.checking, covered, "application", 1)
    found = {one.blank: one for one in second.checking.context.answers}

    assert states(second.checking) == expect(*LINES)
    assert found["signature"].seen_in == sha256(whole).hexdigest()
    assert second.lines[-2] == (
        "Signature: not to be seen in second.jpg; what first.jpg shows there counts"
    )
    # The verdict rests on both: the signature on the first, the rest on the second.
    assert [(Path(one.path).name, set(one.blanks)) for one in second.checking.files] == [
        ("first.jpg", {"signature"}),
        ("second.jpg", set(LINES) - {"signature"}),
    ]


def test_take_pictures_a_later_look_that_differs_is_left_to_the_person(
    shown: Shown, checking: Checking
) -> None:
    files = (("signed.jpg", make_photo(shown.coded, *LINES)),)
    before = take_pictures(shown.session, checking, files, "application", 1).checking
    rest = tuple(blank for blank in LINES if blank != "signature")
    files = (("unsigned.jpg", make_photo(shown.coded, *rest)),)
    after = take_pictures(shown.session, before, files, "application", 1)

    assert states(after.checking)["signature"] is Status.UNCLEAR
    assert after.lines[-2] == (
        "Signature: the pictures differ: there is ink here in signed.jpg and none in unsigned.jpg; "
        "look at the paper"
    )


def test_take_pictures_of_two_pages_one_after_the_other_keeps_both(
    templates: dict[str, FormTemplate], checking: Checking, tmp_path: Path
) -> None:
    """The second page says nothing about the first, whose file the verdict still rests on."""
    with open_session(":memory:") as opened:
        form = learn_form(opened, templates[FORM], make_two_pages(), None, tmp_path, DAY)
        coded = form.blank_file.read_bytes()
        first = make_photo(coded, "pilot-name", "business")
        second = make_photo(coded, "signature", page=1)
        one = take_pictures(opened, checking, (("one.jpg", first),), "application", 1).checking
        two = take_pictures(opened, one, (("two.jpg", second),), "application", 1).checking
        both = take_pictures(
            opened, checking, (("one.jpg", first), ("two.jpg", second)), "application", 1
        ).checking

    assert {
        blank: states(two)[blank] for blank in ("pilot-name", "business", "exams", "signature")
    } == {
        "pilot-name": Status.FILLED,
        "business": Status.FILLED,
        "exams": Status.EMPTY,
        "signature": Status.FILLED,
    }
    assert [Path(one.path).name for one in two.files] == ["one.jpg", "two.jpg"]
    assert (states(both), both.files) == (states(two), two.files)


def test_take_pictures_a_name_used_again_keeps_the_copy_of_the_first(
    shown: Shown, checking: Checking, tmp_path: Path
) -> None:
    """A phone gives every picture the same name; what the first showed is kept in its copy."""
    whole = make_photo(shown.coded, *LINES)
    path = save(tmp_path, whole, "page.jpg")
    first = take_pictures(shown.session, checking, ((path, whole),), "application", 1).checking
    kept = keep_copies(first, tmp_path / "sent")
    covered = cover(whole, "signature")
    save(tmp_path, covered, "page.jpg")
    again = take_pictures(shown.session, kept, ((path, covered),), "application", 1).checking
    old, new = again.files

    assert old.path == kept.files[0].kept
    assert sha256(Path(old.path).read_bytes()).hexdigest() == old.sha256
    assert (new.path, new.sha256) == (path, sha256(covered).hexdigest())


def test_take_pictures_a_later_look_replaces_the_earlier(shown: Shown, checking: Checking) -> None:
    files = (("before.jpg", make_photo(shown.coded)),)
    before = take_pictures(shown.session, checking, files, "application", 1).checking
    files = (("after.jpg", make_photo(shown.coded, *LINES)),)
    after = take_pictures(shown.session, before, files, "application", 1).checking

    assert states(before) == expect()
    assert states(after) == expect(*LINES)
    assert [Path(one.path).name for one in after.files] == ["after.jpg"]


def declare_size(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it is huge; chunks as in the PNG standard, section 5."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IDAT", zlib.compress(b"\0" * 100))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"Dear office, here is my application", "is not a picture that can be read here"),
        # The first bytes of a picture by a common phone (ISO/IEC 23008-12, brand heic).
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 64, "is a HEIC picture"),
        (declare_size(60_000, 60_000), "60000 by 60000 dots, too large to look at"),
        (declare_size(40, 40), "only 40 by 40 dots, too small to read"),
        (make_foreign()[:2000], "is damaged or cut short"),
    ],
)
def test_take_pictures_bad_file_is_one_clear_message(
    shown: Shown, checking: Checking, data: bytes, words: str
) -> None:
    with pytest.raises(RefusedError) as caught:
        take_pictures(shown.session, checking, (("page.jpg", data),), "application", 1)

    assert words in caught.value.message
    assert "\n" not in caught.value.message


def test_take_pictures_of_a_sheet_beyond_the_next_is_refused(
    shown: Shown, checking: Checking
) -> None:
    files = (("page.jpg", make_photo(shown.coded)),)

    with pytest.raises(RefusedError) as caught:
        take_pictures(shown.session, checking, files, "application", 3)

    assert caught.value.message == "application has 1 sheet so far, not 3"
    assert caught.value.hint == "the next one is --sheet 2"


def test_keep_copies_for_the_owner_alone(shown: Shown, checking: Checking, tmp_path: Path) -> None:
    data = make_photo(shown.coded, "signature")
    path = save(tmp_path, data, "page.jpg")
    looked = take_pictures(shown.session, checking, ((path, data),), "application", 1).checking
    folder = tmp_path / "kept" / "mailby.sqlite.sent"
    kept = keep_copies(looked, folder)
    (file,) = kept.files
    copy = Path(file.kept)

    assert copy.parent == folder
    assert copy.name == f"sd.commercial-applicator_odile_1_{sha256(data).hexdigest()[:16]}.jpg"
    assert copy.read_bytes() == data
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert keep_copies(kept, folder) == kept
    assert kept == replace(looked, files=(replace(file, kept=str(copy)),))


def test_keep_copies_where_nothing_can_be_written(
    shown: Shown, checking: Checking, tmp_path: Path
) -> None:
    data = make_photo(shown.coded)
    path = save(tmp_path, data, "page.jpg")
    looked = take_pictures(shown.session, checking, ((path, data),), "application", 1).checking

    with pytest.raises(OutputError, match="cannot be made"):
        keep_copies(looked, Path(path) / "sent")


def test_list_pictures_gives_the_page_and_what_is_not_plainly_there(
    shown: Shown, checking: Checking
) -> None:
    blanks = tuple(blank for blank in LINES if blank not in {"signature", "exams"})
    photo = make_photo(shown.coded, *blanks)
    looked = take_pictures(shown.session, checking, (("page.jpg", photo),), "application", 1)
    made = list_pictures(looked.pages, "packet")
    ids = {place.blank: place.region.id for place in shown.form.places}

    assert set(made) == {
        "packet_page1.png",
        f"packet_page1_{ids['signature']}.png",
        f"packet_page1_{ids['exams']}.png",
    }
    assert {Image.open(BytesIO(data)).format for data in made.values()} == {"PNG"}


def test_read_binary_of_no_file_and_of_a_folder(tmp_path: Path) -> None:
    for path in (tmp_path / "none.jpg", tmp_path):
        with pytest.raises(NotFoundError, match="cannot be read: "):
            read_binary(str(path))


def test_take_pdf_print_that_differs_from_its_fields_is_asked(
    session: Session, checking: Checking, tmp_path: Path
) -> None:
    """The same form with one appearance wiped is another print, and its blank is unclear."""
    plain = make_fillable(FIELDS)
    writer = PdfWriter(clone_from=BytesIO(plain))
    for item in resolved(writer.pages[0]["/Annots"]):
        box = resolved(item)
        if box.get("/V") == "5 January 2027":
            resolved(box["/AP"]["/N"]).set_data(b"/Tx BMC EMC")
            break
    target = BytesIO()
    writer.write(target)
    found = []
    for data in (plain, target.getvalue()):
        looked = take_pdf(session, checking, save(tmp_path, data), "application", 1, confirm=True)
        found.append((states(looked.checking)["exams"], looked.lines[0]))
    no_field = "no field in this PDF, so it is still to be answered: "

    assert found[0][0] == "filled"
    assert found[0][1].startswith(no_field)
    assert found[1][0] == "unclear"
    assert found[1][1] == (
        "Dates of the general and category exams passed: The file's field says “5 January 2027”, "
        "but nothing would be printed: print it, look, and say what stands there."
    )
    marks = [mark_print(read_fields(data)) for data in (plain, target.getvalue())]
    assert marks[0] != marks[1]
