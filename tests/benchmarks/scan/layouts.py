"""Eight invented paper forms for the picture benchmark, drawn with reportlab.

Layouts 0 to 3 are for tuning and calibration; 4 to 7 are looked at in the report only.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

from compliance.scan.blank import BlankPage
from compliance.scan.model import Region
from compliance.scan.symbol import code_rects, make_code_modules, make_form_code

WIDTH, HEIGHT = letter
PAGE_DPI = 220
BLANK_DPI = 144
TUNING = (0, 1, 2, 3)
HELD_OUT = (4, 5, 6, 7)

_TEXT = (
    "the operator states under penalty of law that the aircraft named above will be flown only by "
    "persons who hold the papers asked for in this part and that each record of work is kept for "
    "three years at the address given and shown to an officer on request the licensee shall give "
    "notice in writing before the first day of spraying in each county and again within ten days "
    "when any fact in this statement changes"
)
_WORDS = _TEXT.split()


@dataclass
class Sheet:
    """A page under construction and its regions."""

    canvas: Canvas
    rng: random.Random
    regions: list[Region] = field(default_factory=list)

    def text(self, x: float, y: float, words: str, size: float = 9, *, bold: bool = False) -> None:
        self.canvas.setFont("Helvetica-Bold" if bold else "Helvetica", size)
        self.canvas.drawString(x, y, words)

    def paragraph(self, x: float, y: float, width: float, lines: int, size: float = 9) -> float:
        self.canvas.setFont("Times-Roman", size)
        for _ in range(lines):
            said = ""
            while self.canvas.stringWidth(said, "Times-Roman", size) < width - 40:
                said += self.rng.choice(_WORDS) + " "
            self.canvas.drawString(x, y, said)
            y -= size * 1.25
        return y

    def add(self, kind: str, left: float, bottom: float, right: float, top: float) -> None:
        name = f"{kind}-{len(self.regions)}"
        self.regions.append(
            Region(
                id=name,
                label=name.replace("-", " "),
                kind=kind,
                page=0,
                left=left,
                bottom=bottom,
                right=right,
                top=top,
            )
        )

    def rule(self, kind: str, label: str, x: float, y: float, width: float, rise: float) -> None:
        """A rule to write on with its label below."""
        self.canvas.setLineWidth(0.7)
        self.canvas.line(x, y, x + width, y)
        self.text(x, y - 9, label, 7)
        self.add(kind, x, y + 1, x + width, y + rise)

    def cell(self, kind: str, label: str, x: float, y: float, width: float, height: float) -> None:
        """A ruled cell with a small label inside at the top; the region is the whole cell."""
        self.canvas.setLineWidth(0.8)
        self.canvas.rect(x, y, width, height)
        self.text(x + 3, y + height - 8, label, 6)
        self.add(kind, x + 1, y + 1, x + width - 1, y + height - 1)

    def tick(self, label: str, x: float, y: float, side: float = 11) -> None:
        self.canvas.setLineWidth(0.9)
        self.canvas.rect(x, y, side, side)
        self.text(x + side + 4, y + 2, label, 8)
        self.add("check", x, y, x + side, y + side)

    def stamp(self, x: float, y: float, width: float, height: float, label: str) -> None:
        """Corner ticks round the place of a stamp."""
        self.canvas.setLineWidth(0.8)
        for cx, dx in ((x, 8), (x + width, -8)):
            for cy, dy in ((y, 8), (y + height, -8)):
                self.canvas.line(cx, cy, cx + dx, cy)
                self.canvas.line(cx, cy, cx, cy + dy)
        self.text(x, y - 9, label, 6.5)
        self.add("notary-stamp", x, y, x + width, y + height)


def _application(s: Sheet) -> None:
    s.text(150, 738, "Application for a Certificate of Field Work", 15, bold=True)
    s.paragraph(72, 716, 468, 4, 8)
    y = 632.0
    kinds = ("text", "text", "number", "address", "printed-name", "text", "amount", "number")
    for row in range(4):
        s.cell(kinds[2 * row], f"{row + 1}a. Entry of the applicant", 72, y, 280, 30)
        s.cell(kinds[2 * row + 1], f"{row + 1}b. As shown on record", 352, y, 188, 30)
        y -= 30
    s.text(72, 500, "5. Class of work (mark all that apply)", 9, bold=True)
    for n in range(6):
        s.tick(
            f"Class {n + 1} {_WORDS[n]} {_WORDS[n + 9]}", 80 + 156 * (n % 3), 478 - 20 * (n // 3)
        )
    s.paragraph(72, 430, 468, 14, 8.5)
    s.rule("printed-name", "Name in print", 72, 236, 210, 22)
    s.rule("title", "Title", 310, 236, 230, 22)
    s.rule("signature", "Signature of applicant", 72, 176, 260, 34)
    s.rule("date", "Date", 400, 176, 140, 24)
    s.paragraph(72, 140, 468, 3, 7)


def _sparse(s: Sheet) -> None:
    s.text(72, 560, "Signatures", 12)
    s.rule("signature", "Owner", 72, 470, 250, 36)
    s.rule("date", "Date", 390, 470, 130, 26)
    s.rule("printed-name", "Name", 72, 390, 250, 26)


def _acknowledgment(s: Sheet) -> None:
    s.text(220, 700, "ACKNOWLEDGMENT", 14, bold=True)
    s.text(72, 660, "State of", 10)
    s.rule("notary-state", "", 116, 658, 160, 22)
    s.text(72, 628, "County of", 10)
    s.rule("notary-county", "", 122, 626, 154, 22)
    s.paragraph(72, 580, 468, 4, 11)
    s.rule("notary-date", "date of the act", 72, 480, 150, 24)
    s.rule("printed-name", "name of signer", 260, 480, 280, 24)
    s.rule("notary-signature", "Signature of notary", 300, 380, 240, 36)
    s.rule("notary-title", "Title of office", 300, 320, 240, 24)
    s.rule("notary-expiry", "My commission expires", 300, 264, 180, 24)
    s.stamp(72, 250, 180, 120, "Stamp. If the seal is raised, shade it with a pencil.")


def _letter(s: Sheet) -> None:
    s.text(72, 720, "Sandbur Flats Aerial LLC", 13, bold=True)
    s.text(72, 706, "Burrell Crossing, Nebraska", 9)
    y = 660.0
    for lines in (5, 7, 4):
        y = s.paragraph(72, y, 468, lines, 11) - 12
    s.tick("We keep a copy.", 90, y - 8, 10)
    s.tick("We ask for the originals back.", 90, y - 28, 10)
    s.rule("number", "Number on file", 330, y - 20, 180, 22)
    s.rule("signature", "Signed for the company", 72, 240, 230, 40)
    s.rule("title", "Title", 72, 190, 230, 22)
    s.rule("date", "Date", 360, 190, 150, 22)


def _two_columns(s: Sheet) -> None:
    s.text(90, 744, "Yearly Report of Aerial Work and Renewal", 13, bold=True)
    s.paragraph(72, 712, 220, 22, 7.5)
    s.paragraph(318, 712, 220, 12, 7.5)
    for n in range(5):
        s.cell("number", f"Line {n + 1}", 318, 564 - 26 * n, 222, 26)
    for n in range(4):
        s.tick(f"Kind {n + 1} {_WORDS[n + 20]}", 76, 480 - 17 * n, 9)
    s.cell("printed-name", "Licensee, last name first", 72, 380, 300, 32)
    s.cell("date", "Date of birth", 372, 380, 168, 32)
    s.cell("address", "Mailing address", 72, 348, 468, 32)
    s.paragraph(72, 330, 468, 9, 8)
    s.cell("signature", "Signature", 72, 180, 300, 44)
    s.cell("date", "Date signed", 372, 180, 168, 44)
    s.paragraph(72, 160, 468, 4, 6.5)


def _sparse_notary(s: Sheet) -> None:
    s.text(80, 650, "Sworn before me", 11)
    s.rule("notary-date", "on", 80, 560, 150, 26)
    s.rule("notary-signature", "Notary", 300, 560, 230, 38)
    s.stamp(90, 330, 160, 110, "Official stamp")
    s.rule("notary-expiry", "Expires", 300, 400, 160, 26)


def _shaded(s: Sheet) -> None:
    for y, name in ((700, "Part 1  The aircraft"), (500, "Part 2  The pilot"), (320, "Part 3")):
        s.canvas.setFillGray(0.82)
        s.canvas.rect(72, y, 468, 18, fill=1, stroke=0)
        s.canvas.setFillGray(0)
        s.text(78, y + 5, name, 10, bold=True)
    for n in range(3):
        s.cell("text", f"{n + 1}. Entry", 72, 650 - 36 * n, 234, 36)
        s.cell("amount", f"{n + 4}. Amount", 306, 650 - 36 * n, 234, 36)
    s.rule("printed-name", "Pilot", 72, 450, 240, 24)
    s.rule("number", "Certificate", 340, 450, 200, 24)
    for n in range(3):
        s.tick(f"Answer {n + 1}", 80 + 120 * n, 400, 12)
    s.paragraph(72, 300, 468, 6, 9)
    s.rule("signature", "Sign here", 72, 170, 280, 32)
    s.rule("date", "Day", 400, 170, 140, 24)


def _affidavit(s: Sheet) -> None:
    s.text(240, 706, "AFFIDAVIT", 15, bold=True)
    s.text(72, 668, "I,", 11)
    s.rule("printed-name", "", 86, 666, 240, 20)
    s.text(330, 668, ", being sworn, say that on", 11)
    s.rule("date", "", 72, 632, 150, 20)
    s.text(226, 634, "I flew over the land of", 11)
    s.rule("text", "", 336, 632, 200, 20)
    s.paragraph(72, 600, 468, 10, 11)
    s.rule("signature", "Affiant", 300, 400, 240, 34)
    s.text(72, 350, "Sworn to before me in the county of", 10)
    s.rule("notary-county", "", 240, 348, 140, 20)
    s.rule("notary-date", "Date", 410, 348, 130, 20)
    s.rule("notary-signature", "Notary", 300, 270, 240, 34)
    s.rule("notary-act", "Kind of act", 300, 214, 240, 20)
    s.stamp(72, 180, 190, 120, "Notary stamp")


DRAWERS: tuple[Callable[[Sheet], None], ...] = (
    _application,
    _sparse,
    _acknowledgment,
    _letter,
    _two_columns,
    _sparse_notary,
    _shaded,
    _affidavit,
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Layout:
    """A form: its blank for the check, a sharp rendering to write on, its regions."""

    number: int
    form_code: str
    blank: BlankPage
    paper: NDArray[np.uint8]
    regions: tuple[Region, ...]


def make_layout(number: int, *, codes: bool = True) -> Layout:
    """Draw and render one form."""
    form_code = make_form_code(f"benchmark layout {number}".encode())
    rects = code_rects(WIDTH, HEIGHT) if codes else ()
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=letter, invariant=1)
    sheet = Sheet(canvas=canvas, rng=random.Random(number))  # noqa: S311 - words of a form
    DRAWERS[number](sheet)
    for corner, (left, bottom, right, top) in enumerate(rects):
        modules = make_code_modules(form_code, 0, corner)
        side = (right - left) / len(modules)
        for row, column in np.argwhere(modules):
            canvas.rect(left + column * side, top - (row + 1) * side, side, side, fill=1, stroke=0)
        assert bottom < top
    canvas.showPage()
    canvas.save()
    page = pypdfium2.PdfDocument(stream.getvalue())[0]
    blank, paper = (
        np.asarray(page.render(scale=dpi / 72, grayscale=True).to_pil().convert("L"))
        for dpi in (BLANK_DPI, PAGE_DPI)
    )
    return Layout(
        number=number,
        form_code=form_code,
        blank=BlankPage(page=0, grey=blank, dpi=BLANK_DPI, width=WIDTH, height=HEIGHT, codes=rects),
        paper=paper,
        regions=tuple(sheet.regions),
    )
