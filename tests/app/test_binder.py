"""A binder of the demo farm, read back by two other libraries (pypdf, pypdfium2)."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import Destination
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.attachments import attach_file, detach
from compliance.app.binder import BinderWritten, Wish, gather, render_whole, write_binder
from compliance.app.demo import DEMO_DAY
from compliance.base.problems import RefusedError
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, MailService, Operation
from compliance.facts.own_terms import OwnTerm
from compliance.outputs.binder import compute_binder
from compliance.outputs.binder_model import Fact
from compliance.outputs.binder_pdf import FOOT
from compliance.store.attachments import load_attachments
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

WISH = Wish(as_of=DEMO_DAY, printed_on=date(2027, 1, 12))
SECTIONS = (
    "1. Cautions",
    "2. Operation and people",
    "3. Aircraft",
    "4. Papers in force",
    "5. Conditions that carry dates",
    "6. Pilots and currency",
    "7. Insurance",
    "8. Application records",
    "9. Mailing history",
    "10. Copies kept",
    "11. Open items",
)
EXEMPTION_TERM = OwnTerm(
    duty="faa.exemption.extension", document="grant, condition 9", count=100, unit="days"
)


def make_pdf(words: str, pages: int, size: tuple[int, int] = (612, 792)) -> bytes:
    """A PDF that says on each page which one it is, from edge to edge."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=size, invariant=1)
    for page in range(pages):
        canvas.rect(1, 1, size[0] - 2, size[1] - 2)
        canvas.drawString(72, size[1] - 72, f"{words}, sheet {page + 1}")
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


@pytest.fixture
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    """The demo's operation and log in a database of its own."""
    with open_session(":memory:") as session:
        save_operation(session, demo_operation, namespace="n")
        append_log(session, demo_operation.id, demo_log)
        yield session


Attach = Callable[[str, str, bytes], int]


@pytest.fixture
def attach(session: Session, tmp_path: Path) -> Attach:
    """Attach bytes under a file name to a paper; gives the copy's number."""

    def attach_bytes(packet: str, name: str, data: bytes) -> int:
        path = tmp_path / name
        path.write_bytes(data)
        done = attach_file(session, None, packet, str(path), "", tmp_path / "kept", DEMO_DAY)
        return done.attachment.number

    return attach_bytes


def make(session: Session, tmp_path: Path, wish: Wish = WISH) -> tuple[BinderWritten, PdfReader]:
    written = write_binder(session, None, wish, tmp_path / "kept", tmp_path / "binder.pdf")
    return written, PdfReader(written.path)


def walk(outline: Sequence[object]) -> Iterator[Destination]:
    """Every entry, whatever its depth."""
    for one in outline:
        if isinstance(one, list):
            yield from walk(one)
        else:
            assert isinstance(one, Destination)
            yield one


def read_outline(reader: PdfReader) -> dict[str, int]:
    """Title -> page from 0, as pypdf finds it."""
    found = {}
    for one in walk(reader.outline):
        page = reader.get_destination_page_number(one)
        assert page is not None
        found[str(one.title)] = page
    return found


def read_outline_with_pdfium(path: Path) -> dict[str, int]:
    """Title -> page from 0, as PDFium finds it."""
    document = pdfium.PdfDocument(path)
    found = {}
    for one in document.get_toc():
        target = one.get_dest()
        assert target is not None
        found[one.get_title()] = target.get_index()
    document.close()
    return found


def one_line(text: str) -> str:
    return " ".join(text.split())


def read_section(reader: PdfReader, title: str) -> str:
    """The words of a section, from its page to the next section's."""
    starts = read_outline(reader)
    ends = [starts[one] for one in SECTIONS if starts[one] > starts[title]]
    pages = reader.pages[starts[title] : min(ends, default=len(reader.pages))]
    return one_line(" ".join(page.extract_text() for page in pages))


def test_outline_contents_and_page_numbers_agree(
    session: Session, attach: Attach, tmp_path: Path
) -> None:
    """Every entry of the outline leads to a page that has its title, by pypdf and by PDFium."""
    attach("ins.liability", "certificate.pdf", make_pdf("Policy", 2))
    attach("faa.registration-small:tg18", "wide.pdf", make_pdf("Wide", 1, (792, 612)))

    written, reader = make(session, tmp_path)
    outline = read_outline(reader)
    texts = [one_line(page.extract_text()) for page in reader.pages]
    contents = texts[outline["Contents"]]

    assert outline == read_outline_with_pdfium(written.path)
    assert tuple(title for title in outline if title in SECTIONS) == SECTIONS
    assert [title for title, page in outline.items() if title not in texts[page]] == []
    assert [
        title
        for title, page in outline.items()
        if title != "Contents" and f"{title} {page + 1}" not in contents
    ] == []
    count = len(reader.pages)
    assert written.pages == count
    assert [at for at, text in enumerate(texts, 1) if f"{at} of {count}" not in text] == []
    assert [text for text in texts if FOOT not in text] == []
    head = "Sandbur Flats Aerial LLC · as of Mon 11 Jan 2027"
    assert [text for text in texts if head not in text] == []


def test_copies_follow_their_paper(session: Session, attach: Attach, tmp_path: Path) -> None:
    """Copies stand after their paper in the order attached, and wide ones lie on their side."""
    attach("faa.registration-small:tg18", "first.pdf", make_pdf("First", 2))
    attach("faa.registration-small:tg18", "second.pdf", make_pdf("Second", 1, (1584, 1224)))

    written, reader = make(session, tmp_path)
    outline = read_outline(reader)
    paper = outline["Registration of a small aircraft (Part 48, online), TG-18 18-00204"]
    pages = [reader.pages[outline["copy 1: first.pdf"] + at] for at in range(3)]
    texts = [one_line(page.extract_text()) for page in pages]

    assert [len(copy.pages) for copy in written.shown] == [2, 1]
    assert outline["copy 1: first.pdf"] == paper + 1
    assert outline["copy 2: second.pdf"] == paper + 3
    assert [
        words in text
        for words, text in zip(
            ("First, sheet 1", "First, sheet 2", "Second, sheet 1"), texts, strict=True
        )
    ] == [True, True, True]
    assert "copy 1: first.pdf, page 2 of 2, at 92 %" in texts[1]
    assert [(page.mediabox.width, page.mediabox.height) for page in pages] == [
        (612, 792),
        (612, 792),
        (792, 612),
    ]


def test_head_and_foot_cover_nothing_of_a_copy(
    session: Session, attach: Attach, tmp_path: Path
) -> None:
    """A page black to its edges leaves the bands of head and foot white but for their letters."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.rect(0, 0, 612, 792, fill=1, stroke=0)
    canvas.save()
    attach("ins.liability", "black.pdf", buffer.getvalue())

    written, reader = make(session, tmp_path)
    at = read_outline(reader)["copy 1: black.pdf"]
    document = pdfium.PdfDocument(written.path)
    dots = document[at].render(scale=2.0, grayscale=True).to_numpy()
    document.close()
    rows = (dots.reshape(dots.shape[:2]) < 128).mean(axis=1)

    black = [row for row, share in enumerate(rows) if share > 0.9]
    # Head: baseline 26 points below the edge; foot: baseline 19 above it. Two dots a point.
    assert min(black) >= 2 * 30
    assert max(black) <= 2 * (792 - 30)
    assert len(black) > 2 * 700
    assert rows[: 2 * 30].max() > 0
    assert rows[2 * (792 - 30) :].max() > 0


def test_photo_is_shown_upright(session: Session, attach: Attach, tmp_path: Path) -> None:
    """Exif orientation 6 (CIPA DC-008, from memory): the left side of the file is the top."""
    exif = Image.Exif()
    exif[0x0112] = 6
    lying = Image.new("RGB", (900, 600), "white")
    lying.paste("black", (0, 0, 450, 600))
    stream = BytesIO()
    lying.save(stream, "JPEG", exif=exif)
    attach("ins.liability", "card.jpg", stream.getvalue())

    written, reader = make(session, tmp_path)
    at = read_outline(reader)["copy 1: card.jpg"]
    document = pdfium.PdfDocument(written.path)
    dots = document[at].render(scale=1.0, grayscale=True).to_numpy()
    document.close()

    assert (dots.shape[0], dots.shape[1]) == (792, 612)
    assert dots[100, 306] < 60
    assert dots[600, 306] > 200


def test_equal_input_gives_equal_bytes(session: Session, attach: Attach, tmp_path: Path) -> None:
    """The same facts, copies and days give the same file; another day of printing another one."""
    attach("ins.liability", "certificate.pdf", make_pdf("Policy", 1))
    ground, anew = gather(session, None, WISH, tmp_path / "kept")
    again, anew_again = gather(session, None, WISH, tmp_path / "kept")
    later = replace(ground, printed_on=date(2027, 1, 13))

    assert render_whole(ground, anew) == render_whole(again, anew_again)
    assert render_whole(later, anew)[0] != render_whole(ground, anew)[0]


def test_each_section_says_what_is_known(session: Session, tmp_path: Path) -> None:
    """Words of the demo's files, section by section."""
    _, reader = make(session, tmp_path)
    cover = one_line(reader.pages[0].extract_text())
    said = {title: read_section(reader, title) for title in SECTIONS}

    assert "Papers for inspection Sandbur Flats Aerial LLC" in cover
    assert "Printed on Tue 12 Jan 2027" in cover
    expected = {
        "1. Cautions": ("The label is the law", "No paper makes a flight safe", "not legal advice"),
        "2. Operation and people": ("llc, managed by members", "402-555-0143", "Wren Castellow"),
        "3. Aircraft": ("Tallgrass Rotorworks TG-46, serial 46-00017", "118 lb", "FA-INVENTED-18"),
        "4. Papers in force": ("FA-INVENTED-18 Sat 10 Jun 2028 in force", "14 CFR 48", "NOT HELD"),
        "6. Pilots and currency": ("INVENTED-0002", "in force, but ends before a job does"),
        "7. Insurance": ("INVENTED-POLICY-7", "Sun 31 Oct 2027"),
        "8. Application records": ("No application record is kept for it.",),
        "9. Mailing history": (
            "tracking INVENTED-MAIL-0001",
            "why: notary block: commission expiry left empty",
        ),
        "10. Copies kept": ("No copy is attached to the papers of this binder.",),
        "11. Open items": ("came back", "mailby attach ins.liability FILE"),
    }
    missing = [
        (title, words)
        for title, wanted in expected.items()
        for words in wanted
        if words not in said[title]
    ]
    assert missing == []


def test_own_terms_stand_in_place_of_the_tables(
    session: Session, demo_operation: Operation, tmp_path: Path
) -> None:
    """A term of the holder's own grant shows with its document."""
    papers = tuple(
        replace(one, own_terms=(EXEMPTION_TERM,)) if one.paper == "ins.liability" else one
        for one in demo_operation.papers
    )
    save_operation(session, replace(demo_operation, papers=papers), namespace="n")

    _, reader = make(session, tmp_path)

    words = (
        "Sandbur Flats Aerial LLC, while no. INVENTED-POLICY-7 is in force, from Sun 1 Nov 2026 "
        "through Sun 31 Oct 2027: faa.exemption.extension 100 days (grant, condition 9)"
    )
    assert words in read_section(reader, "5. Conditions that carry dates")


def test_a_copy_that_is_gone_or_changed_is_listed_with_the_reason(
    session: Session, attach: Attach, tmp_path: Path
) -> None:
    """Nothing is lost without a word: the list and the open items name both."""
    attach("ins.liability", "gone.pdf", make_pdf("Gone", 1))
    attach("ins.liability", "changed.pdf", make_pdf("Changed", 1))
    attach("ins.liability", "sound.pdf", make_pdf("Sound", 1))
    gone, changed, _ = load_attachments(session, "sandbur-flats")
    (tmp_path / "kept" / gone.kept_name).unlink()
    with (tmp_path / "kept" / changed.kept_name).open("ab") as stream:
        stream.write(b"%")

    written, reader = make(session, tmp_path)
    listed = read_section(reader, "10. Copies kept")

    assert [(copy.number, copy.kept_out) for copy in written.kept_out] == [
        (1, "the copy kept of it is gone; attach the file again"),
        (2, "the copy kept of it has been changed; attach the file again"),
    ]
    assert [copy.number for copy in written.shown] == [3]
    for copy in written.kept_out:
        assert f"NOT SHOWN: {copy.kept_out}" in listed
        assert f"Copy {copy.number}, {copy.title}, is not shown here" in read_section(
            reader, "7. Insurance"
        )
        assert f"copy {copy.number} is not shown" in read_section(reader, "11. Open items")


def test_detached_copies_are_left_out(session: Session, attach: Attach, tmp_path: Path) -> None:
    """A detached copy is not in the binder, and its file is still there."""
    number = attach("ins.liability", "old.pdf", make_pdf("Old", 1))
    detach(session, None, number, "last year's", DEMO_DAY)

    written, reader = make(session, tmp_path)
    (kept,) = load_attachments(session, "sandbur-flats")

    assert (written.shown, written.kept_out) == ((), ())
    assert "old.pdf" not in " ".join(page.extract_text() for page in reader.pages)
    assert (tmp_path / "kept" / kept.kept_name).is_file()


def test_copy_attached_after_the_day_of_the_binder_says_so(
    session: Session, attach: Attach, tmp_path: Path
) -> None:
    """As of its own day nothing is said; as of a day before the day it was attached is."""
    attach("ins.liability", "policy.pdf", make_pdf("Policy", 1))

    (before,) = make(session, tmp_path, replace(WISH, as_of=date(2027, 1, 10)))[0].shown
    (then,) = make(session, tmp_path)[0].shown

    assert before.title == "policy.pdf (attached later, on Mon 11 Jan 2027)"
    assert then.title == "policy.pdf"


def test_binder_of_one_job_has_only_its_papers(
    session: Session, attach: Attach, tmp_path: Path
) -> None:
    """The pastures in Nebraska need no South Dakota licence."""
    attach("sd.commercial-applicator:wren", "sd.pdf", make_pdf("Dakota", 1))
    attach("ins.liability", "policy.pdf", make_pdf("Policy", 1))

    written, reader = make(session, tmp_path, replace(WISH, job="pasture-ne"))
    text = one_line(" ".join(page.extract_text() for page in reader.pages))

    assert written.left_out == 1
    assert [copy.title for copy in written.shown] == ["policy.pdf"]
    assert "South Dakota commercial applicator" not in text
    assert "1 copy of another paper is kept too, and not part of this binder." in text
    assert "For the job pasture-ne, NE, Mon 24 May 2027 to Sat 12 Jun 2027" in text


def test_mailing_history_names_the_mail_service(session: Session, tmp_path: Path) -> None:
    """As the story of the packet does."""
    entry = LogEntry(
        number=90,
        kind=EventKind.MAILED,
        paper="ne.aerial-business",
        holder=Holder(kind=HolderKind.OPERATION),
        happened_on=date(2027, 1, 8),
        service=MailService.COURIER,
        tracking="INVENTED-2",
        reason="tried",
    )
    append_log(session, "sandbur-flats", (entry,))

    _, reader = make(session, tmp_path)

    assert ("Fri 8 Jan 2027 mailed by courier; tracking INVENTED-2; why: tried 90") in read_section(
        reader, "9. Mailing history"
    )


def test_period_bounds_the_mailing_history(session: Session, tmp_path: Path) -> None:
    """From 1 December 2026 only the return of 6 January 2027 is left."""
    _, reader = make(session, tmp_path, replace(WISH, first=date(2026, 12, 1)))
    mailed = read_section(reader, "9. Mailing history")

    assert "returned" in mailed
    assert "INVENTED-MAIL-0001" not in mailed


def test_what_was_logged_later_is_left_out(session: Session, tmp_path: Path) -> None:
    """As of 1 December 2026 the packet had not come back."""
    _, reader = make(session, tmp_path, replace(WISH, as_of=date(2026, 12, 1)))
    mailed = read_section(reader, "9. Mailing history")

    assert "INVENTED-MAIL-0001" in mailed
    assert "returned" not in mailed


def test_wrong_days_are_refused(session: Session, tmp_path: Path) -> None:
    """A period that ends before it begins is refused, and nothing is written."""
    wish = replace(WISH, first=date(2027, 1, 5), last=date(2027, 1, 4))

    with pytest.raises(RefusedError) as caught:
        make(session, tmp_path, wish)

    assert caught.value.message == (
        "the period ends on Mon 4 Jan 2027, before it begins on Tue 5 Jan 2027"
    )
    assert not (tmp_path / "binder.pdf").exists()


def test_name_without_a_letter_in_the_font_is_refused(
    session: Session, demo_operation: Operation, tmp_path: Path
) -> None:
    """A name that would print as empty boxes is refused before anything is written."""
    save_operation(session, replace(demo_operation, contact_name="雨"), namespace="n")

    with pytest.raises(RefusedError) as caught:
        make(session, tmp_path)

    assert re.search("雨, which the printed font does not have$", caught.value.message)
    assert not (tmp_path / "binder.pdf").exists()


@pytest.mark.parametrize(
    ("number", "through", "said"),
    [
        ("INVENTED-N", date(2034, 3, 31), "INVENTED-N"),
        ("INVENTED-N", date(2027, 1, 10), "none yet"),
        ("", date(2034, 3, 31), "number not written down"),
    ],
)
def test_registration_in_hand_gives_the_number_of_the_aircraft(
    number: str, through: date, said: str, demo_operation: Operation, tmp_path: Path
) -> None:
    """An aircraft is not said to have none while its registration is a paper in force."""
    held = HeldPaper(
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        number=number,
        issued_on=date(2026, 12, 1),
        valid_through=through,
    )
    operation = replace(demo_operation, papers=(*demo_operation.papers, held))
    with open_session(":memory:") as session:
        save_operation(session, operation, namespace="n")
        ground, _ = gather(session, None, WISH, tmp_path / "kept")
    aircraft = next(one for one in compute_binder(ground).sections if one.title == "Aircraft")

    assert [one.blocks[0] for one in aircraft.entries] == [
        Fact(label="Registration", lines=(said,)),
        Fact(label="Registration", lines=("FA-INVENTED-18",)),
    ]
