"""Our own papers from the printer to the check: written, photographed, looked at, never learned.

pdfium draws the page; ink is drawn with Pillow where a person would write, not where the program
says that the places are, except for the boxes, which are found by the words beside them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from sqlmodel import Session

from compliance.app.checking import Checking, keep_checking, open_checking
from compliance.app.evidence import Looked, take_pictures
from compliance.app.known_forms import load_known, read_kept
from compliance.app.own_papers import OwnPaper, keep_own_papers
from compliance.app.packet_files import write_packet
from compliance.app.planning import Planned
from compliance.base.problems import RefusedError
from compliance.engine.check import compute_check
from compliance.engine.plan import compute_plan
from compliance.facts.answers import Answer, Source, Status
from compliance.facts.log import LogEntry
from compliance.facts.model import Address, Operation
from compliance.rules.model import RulesTable
from compliance.store.repository import save_operation
from compliance.store.session import open_session

DAY = date(2027, 1, 11)
PACKET = "faa.registration-n:tg46"
STATEMENT = "faa.registration-n_tg46_llc-statement.pdf"
SCALE = 2.2
INK = (25, 35, 110)
HOW = "--document unsworn-declaration"
PRINTED = {
    "owner-name": "Sandbur Flats Aerial LLC",
    "managed-by": "members",
    "managers": "Does not apply: the members manage the company.",
    "signer-title": "Member",
}
OPEN = (
    "organized-in",
    "organized-on",
    "members",
    "may-act-alone",
    "signature",
    "printed-name",
    "signed-on",
)


@dataclass(frozen=True)
class Printer:
    """A database that kept what was printed, and the folder it was written to."""

    session: Session
    planned: Planned
    folder: Path

    def write(self, planned: Planned | None = None, packet: str = PACKET) -> None:
        def keep(papers: tuple[OwnPaper, ...]) -> None:
            keep_own_papers(self.session, papers, self.folder / "kept", DAY)

        write_packet(planned or self.planned, packet, self.folder, keep=keep)

    def open(self, planned: Planned | None = None) -> Checking:
        return open_checking(self.session, planned or self.planned, PACKET)


@pytest.fixture
def printer(demo_planned: Planned, tmp_path: Path) -> Iterator[Printer]:
    with open_session(":memory:") as session:
        save_operation(session, demo_planned.plan.operation, namespace="test")
        printer = Printer(session=session, planned=demo_planned, folder=tmp_path)
        printer.write()
        yield printer


def plan_for(operation: Operation, table: RulesTable, log: tuple[LogEntry, ...]) -> Planned:
    return Planned(plan=compute_plan(operation, table, log, DAY), table=table, log=log)


@dataclass
class Paper:
    """A printed page that can be written on, found by the words on it."""

    page: pypdfium2.PdfPage
    image: Image.Image

    def find(self, words: str) -> tuple[float, float, float]:
        """Left, right and foot of the last place words stand at, in dots."""
        text = self.page.get_textpage()
        search = text.search(words, match_case=True)
        at = None
        while (found := search.get_next()) is not None:
            at = found
        assert at is not None, words
        left, bottom, _, _ = text.get_charbox(at[0])
        _, _, right, _ = text.get_charbox(at[0] + at[1] - 1)
        height = self.page.get_height()
        return left * SCALE, right * SCALE, (height - bottom) * SCALE

    def write(self, label: str, words: str, *, down: float = 0, right: float = 10) -> None:
        """Write words by hand on the line under or beside a label."""
        left, _, foot = self.find(label)
        pen = ImageDraw.Draw(self.image)
        at = (left + right * SCALE, foot + down * SCALE)
        pen.text(at, words, fill=INK, font=ImageFont.load_default(13 * SCALE), anchor="ls")

    def sign(self, label: str) -> None:
        left, _, foot = self.find(label)
        t = np.linspace(0, 1, 90)
        x, y = left + (185 + 130 * t) * SCALE, foot - (9 + 9 * np.sin(31 * t)) * SCALE
        points = [(float(a), float(b)) for a, b in zip(x, y, strict=True)]
        ImageDraw.Draw(self.image).line(points, fill=INK, width=4)

    def tick(self, words: str) -> None:
        """Cross the box to the left of words."""
        left, _, foot = self.find(words)
        x, y = left - 20 * SCALE, foot - 9 * SCALE
        pen = ImageDraw.Draw(self.image)
        side = 11 * SCALE
        pen.line((x, y, x + side, y + side), fill=INK, width=4)
        pen.line((x + side, y, x, y + side), fill=INK, width=4)

    def fill(self) -> None:
        """Fill in everything the statement leaves open."""
        self.write("State the company was organized in", "Nebraska", down=21)
        self.write("Date the company was organized", "3 March 2024", down=21)
        self.write("Full name of the member", "Odile Ferrant", down=24)
        self.write("Kind of member", "individual", down=24)
        self.write("Citizenship", "U.S.", down=24)
        self.tick("Each of them may act alone")
        self.sign("Signature")
        self.write("Typed or printed name", "Odile Ferrant", down=12, right=180)
        self.write("Date of signing", "Jan 12, 2027", down=6, right=180)

    def photograph(self, *, turned: bool = False) -> bytes:
        """A tilted, soft photo on a brown desk, as a JPEG."""
        wide, high = self.image.size
        seen = [(120, 90), (wide + 60, 140), (wide + 130, high + 100), (60, high + 130)]
        flat = [(0, 0), (wide, 0), (wide, high), (0, high)]
        rows = []
        for (x, y), (u, v) in zip(seen, flat, strict=True):
            rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        way = np.linalg.solve(np.array(rows, dtype=float), np.array(flat, dtype=float).ravel())
        picture = self.image.transform(
            (wide + 200, high + 240),
            Image.Transform.PERSPECTIVE,
            [float(value) for value in way],
            Image.Resampling.BICUBIC,
            fillcolor=(92, 70, 48),
        ).filter(ImageFilter.GaussianBlur(0.8))
        if turned:
            picture = picture.rotate(97, expand=True, fillcolor=(92, 70, 48))
        buffer = BytesIO()
        picture.save(buffer, "JPEG", quality=85)
        return buffer.getvalue()


def take_out(path: Path, page: int = 0) -> Paper:
    """The page from the printer."""
    sheet = pypdfium2.PdfDocument(path.read_bytes())[page]
    return Paper(page=sheet, image=sheet.render(scale=SCALE).to_pil().convert("RGB"))


def look(printer: Printer, data: bytes, checking: Checking | None = None) -> Looked:
    files = (("photo.jpg", data),)
    opened = checking or printer.open()
    return take_pictures(printer.session, opened, files, "llc-statement", 1)


def states(looked: Looked) -> dict[str, Status]:
    return {one.blank: one.status for one in looked.checking.context.answers}


@pytest.mark.parametrize("turned", [False, True])
def test_take_pictures_empty_page_of_ours_is_missing_what_is_open(
    printer: Printer, turned: bool
) -> None:
    photo = take_out(printer.folder / STATEMENT).photograph(turned=turned)

    looked = look(printer, photo)

    assert states(looked) == {
        **dict.fromkeys(OPEN, Status.EMPTY),
        **dict.fromkeys(PRINTED, Status.FILLED),
    }
    assert [line.split(": ")[0] for line in looked.lines] == [
        "State the company was organized in",
        "Date the company was organized",
        *["Each member, with kind (individual, corporation, LLC ...) and citizenship"] * 3,
        "Whether each may act alone",
        "Signature",
        "Typed or printed name beside the signature",
        "Date of signing",
    ]


def test_take_pictures_filled_page_of_ours_is_all_there(printer: Printer) -> None:
    paper = take_out(printer.folder / STATEMENT)
    paper.fill()

    looked = look(printer, paper.photograph())

    assert states(looked) == dict.fromkeys((*OPEN, *PRINTED), Status.FILLED)
    assert looked.lines == ()
    # Empty spare rows and the box that is not ticked are nobody's business.
    assert [one.region.id for page in looked.pages for one in page.findings if one.crop] == []


def test_take_pictures_both_boxes_of_our_page_are_two(printer: Printer) -> None:
    """What excludes each other is marked both: the check names both boxes as a fault."""
    paper = take_out(printer.folder / STATEMENT)
    paper.fill()
    paper.tick("They must act together")

    looked = look(printer, paper.photograph())
    answers = {one.blank: one.says for one in looked.checking.context.answers}
    found = [
        (str(one.severity), one.sentence.partition(": ")[2])
        for one in compute_check(looked.checking.context).findings
        if one.blank == "may-act-alone"
    ]

    assert answers["may-act-alone"] == "alone; together"
    sentence = (
        "`Whether each may act alone`: 2 boxes are ticked (`alone`, `together`), only one may be."
    )
    assert found == [("stop", sentence)]


def test_take_pictures_row_begun_and_not_finished_is_missing(printer: Printer) -> None:
    paper = take_out(printer.folder / STATEMENT)
    paper.write("Full name of the member", "Odile Ferrant", down=24)

    looked = look(printer, paper.photograph())

    assert states(looked)["members"] is Status.EMPTY


def test_take_pictures_takes_what_the_page_says_in_print(printer: Printer) -> None:
    """What mailby printed needs no ink and no question; it is kept with what was read."""
    looked = look(printer, take_out(printer.folder / STATEMENT).photograph())
    said = {one.blank: one.says for one in looked.checking.context.answers if one.says}
    keep_checking(printer.session, looked.checking)

    assert said == PRINTED
    again = {one.blank: one for one in printer.open().context.answers}
    assert again["signer-title"] == Answer(
        document="llc-statement",
        blank="signer-title",
        status=Status.FILLED,
        says="Member",
        source=Source.PHOTO,
        seen_in=looked.checking.files[0].sha256,
    )


def test_take_pictures_page_printed_from_other_facts_lines_up_and_is_told(
    printer: Printer,
    demo_operation: Operation,
    table: RulesTable,
    demo_log: tuple[LogEntry, ...],
) -> None:
    """A page printed before the address changed is read as printed, and the change is told."""
    moved = replace(
        demo_operation, mailing_address=Address(lines=("P.O. Box 7", "Burrell Crossing, NE 00000"))
    )
    later = plan_for(moved, table, demo_log)
    printer.write(later)
    known = load_known(printer.session, "faa-llc-statement")
    old = Paper(
        page=(page := pypdfium2.PdfDocument(read_kept(known[1]))[0]),
        image=page.render(scale=SCALE).to_pil().convert("RGB"),
    )
    old.sign("Signature")

    looked = look(printer, old.photograph(), printer.open(later))

    assert looked.lines[0] == (
        "this page was printed on Mon 11 Jan 2027 and would say something else today; "
        f"hold it against a new one: mailby packet {PACKET}"
    )
    assert states(looked)["signature"] is Status.FILLED
    assert states(looked)["printed-name"] is Status.EMPTY


def test_take_pictures_page_of_an_edition_not_known_is_refused(
    printer: Printer, demo_planned: Planned, tmp_path: Path
) -> None:
    """A page that another database printed."""
    with open_session(":memory:") as session:
        other = Printer(session=session, planned=demo_planned, folder=tmp_path / "other")
        facts = replace(demo_planned.plan.operation, legal_name="Sandbur Flats Seeding LLC")
        other.write(replace(demo_planned, plan=replace(demo_planned.plan, operation=facts)))
    photo = take_out(tmp_path / "other" / STATEMENT).photograph()

    with pytest.raises(RefusedError) as caught:
        look(printer, photo)

    start = "photo.jpg: this page is of a form or an edition that is not known here (its corner "
    assert caught.value.message.startswith(f"{start}codes say ")
    assert caught.value.hint == f"mailby packet {PACKET} prints it; fill that page in and check it"
    assert printer.open().context.answers == ()


@pytest.mark.parametrize(
    ("name", "message"),
    [
        (
            "notary-visit",
            "photo.jpg: this is the page for the notary visit; it stays at home and is not checked",
        ),
        (
            "unsworn-declaration",
            f"photo.jpg: this is the unsworn declaration; look at it with {HOW}",
        ),
    ],
)
def test_take_pictures_other_page_of_ours_is_called_by_its_name(
    printer: Printer, name: str, message: str
) -> None:
    photo = take_out(printer.folder / f"faa.registration-n_tg46_{name}.pdf").photograph()

    with pytest.raises(RefusedError) as caught:
        look(printer, photo)

    assert caught.value.message == message


def test_take_pictures_declaration_is_kept_like_any_document(printer: Printer) -> None:
    """What it lacks is said, and kept: the packet is not ready without it."""
    paper = take_out(printer.folder / "faa.registration-n_tg46_unsworn-declaration.pdf", 1)
    paper.sign("Signature")
    files = (("photo.jpg", paper.photograph()),)

    looked = take_pictures(printer.session, printer.open(), files, "unsworn-declaration", 1)

    assert [line.split(";")[0] for line in looked.lines] == [
        "Executed on (date): missing",
        "Printed name: missing",
    ]
    kept = {one.blank: one.status for one in looked.checking.context.answers}
    assert kept == {
        "signed-on": Status.EMPTY,
        "signature": Status.FILLED,
        "printed-name": Status.EMPTY,
        "signer-title": Status.FILLED,
    }
    assert {one.says for one in looked.checking.context.answers} == {"", "Member"}
    result = keep_checking(printer.session, looked.checking)
    of_it = [one for one in result.findings if one.document == "unsworn-declaration"]
    assert [(str(one.severity), one.sentence) for one in of_it if one.blank == "signed-on"] == [
        (
            "stop",
            "Unsworn declaration under penalty of perjury: `Executed on (date)` is empty.",
        )
    ]
    again = printer.open()
    assert again.context.answers == looked.checking.context.answers
    assert [(one.document, bool(one.form)) for one in again.files] == [
        ("unsworn-declaration", True)
    ]


def test_take_pictures_first_page_of_the_declaration_has_nothing_to_fill_in(
    printer: Printer,
) -> None:
    paper = take_out(printer.folder / "faa.registration-n_tg46_unsworn-declaration.pdf", 0)
    files = (("photo.jpg", paper.photograph()),)

    looked = take_pictures(printer.session, printer.open(), files, "unsworn-declaration", 1)

    assert looked.lines == (
        "nothing on this page is to be filled in; the sheet to sign is the next one",
    )


def test_take_pictures_page_of_another_packet_is_refused(printer: Printer) -> None:
    printer.write(packet="faa.exemption")
    photo = take_out(printer.folder / "faa.exemption_petition.pdf").photograph()

    with pytest.raises(RefusedError) as caught:
        look(printer, photo)

    assert caught.value.message == (
        "photo.jpg: this page of Petition for exemption was printed for faa.exemption, "
        f"not for {PACKET}"
    )


def test_take_pictures_own_paper_never_printed_says_how(
    demo_planned: Planned, tmp_path: Path
) -> None:
    with open_session(":memory:") as session:
        printer = Printer(session=session, planned=demo_planned, folder=tmp_path)
        with pytest.raises(RefusedError) as caught:
            look(printer, b"")

    assert caught.value.hint == f"mailby packet {PACKET} prints it; fill that page in and check it"


def test_keep_own_papers_are_readable_by_the_owner_alone(printer: Printer) -> None:
    """They show names and addresses."""
    (form,) = load_known(printer.session, "faa-llc-statement")

    assert form.blank_file.stat().st_mode & 0o777 == 0o600
    assert form.blank_file.parent.stat().st_mode & 0o777 == 0o700
    assert read_kept(form) == (printer.folder / STATEMENT).read_bytes()
    assert form.packet == PACKET
