"""Draws the four forms the finder was tuned on, with the truth beside each.

Run: ``python tests/benchmarks/scan_finder/layouts.py FOLDER``, then ``score.py FOLDER``. The forms
are invented; each mixes ways of drawing a blank that are common practice on US forms (no single
source). The truth is noted by the same call that draws a blank, by the rules of README.md.
"""

import json
import sys
from io import BytesIO
from pathlib import Path

from layouts_more import draw_above, draw_prose, draw_tables, draw_tinted
from pypdf import PdfReader, PdfWriter
from pypdf.generic import RectangleObject
from reportlab.lib.colors import black, lightgrey
from reportlab.lib.pagesizes import A4, letter
from sheet import BOLD, TYPED, Row, Sheet


def draw_notary(sheet: Sheet, x: float, y: float) -> None:
    """Draw a certificate of a notary in sentences; *y* is its first line."""
    say = sheet.say
    sheet.rule("notary-state", say(x, y, "State of ") + 2, x + 190, y - 2)
    say(x + 194, y, ")")
    say(x + 194, y - 11, ") ss.")
    sheet.rule("notary-county", say(x, y - 22, "County of ") + 2, x + 190, y - 24)
    end = say(x, y - 54, "Subscribed and sworn to (or affirmed) before me this ")
    end = sheet.rule("notary-date", end, end + 40, y - 56)
    end = sheet.rule("notary-date", say(end + 3, y - 54, "day of ") + 1, end + 130, y - 56)
    end = sheet.rule("notary-date", say(end + 2, y - 54, ", 20"), end + 50, y - 56)
    end = sheet.rule("printed-name", say(x, y - 78, "by "), x + 250, y - 80)
    say(end + 2, y - 78, "(name of signer).")
    say(x + 40, y - 128, "(Seal)")
    sheet.note("notary-stamp", x + 54 - 60, y - 125 - 35, x + 54 + 60, y - 125 + 35)
    sheet.rule("notary-signature", x + 250, x + 470, y - 120, 30)
    say(x + 252, y - 130, "Notary Public", 8)
    end = say(x + 250, y - 160, "My commission expires: ")
    sheet.rule("notary-expiry", end, x + 470, y - 162)


def draw_statement() -> tuple[bytes, list[Row]]:
    """Draw a sworn statement: lines with labels left of them and small print under them."""
    sheet = Sheet(letter)
    say, rule = sheet.say, sheet.rule
    say(170, 740, "STATEMENT OF OWNERSHIP", 15, BOLD)
    sheet.canvas.setLineWidth(2)
    sheet.canvas.line(54, 730, 558, 730)
    say(
        54,
        712,
        "Read the instructions on page 2 before you fill in this form. Type or print in ink.",
    )
    say(54, 690, "1. Owner", 11, BOLD)
    sheet.canvas.setLineWidth(0.5)
    sheet.canvas.line(54, 686, 102, 686)
    rule("text", say(54, 662, "Legal name of the company: "), 558, 660)
    rule("address", say(54, 638, "Mailing address "), 558, 636)
    rule("address", say(54, 614, "City "), 290, 612)
    rule("address", say(300, 614, "State "), 400, 612)
    rule("address", say(410, 614, "ZIP "), 558, 612)
    say(54, 590, "2. Describe how the aircraft came to the owner:")
    for y in (568, 546, 524):
        sheet.canvas.line(54, y, 558, y)
    sheet.note("text", 54, 524, 558, 584)
    end = rule("printed-name", say(54, 496, "I, "), 250, 494)
    end = rule("title", say(end + 3, 496, ", being the "), end + 180, 494)
    say(end + 3, 496, "of the owner, declare")
    say(
        54,
        480,
        "under oath that the statements above are true and that the fee of $5.00 is enclosed.",
    )
    rule("signature", 54, 300, 432, 32)
    say(56, 422, "(Signature of owner)", 8)
    rule("date", 340, 558, 432, 32)
    say(342, 422, "(Date)", 8)
    rule("printed-name", 54, 300, 390, 24)
    say(56, 380, "(Printed name)", 8)
    rule("title", 340, 558, 390, 24)
    say(342, 380, "(Title)", 8)
    sheet.canvas.setLineWidth(0.5)
    sheet.canvas.line(54, 362, 558, 362)
    say(54, 346, "NOTARIAL CERTIFICATE", 10, BOLD)
    draw_notary(sheet, 60, 316)
    sheet.canvas.line(54, 60, 558, 60)
    say(54, 48, "Form SF-1 (made up)          Page 1 of 1", 8)
    sheet.turn_page()
    draw_above(sheet)
    return sheet.finish(), sheet.rows


def draw_boxes() -> tuple[bytes, list[Row]]:
    """Draw an application of boxes on a sideways A4 sheet that is turned for reading."""
    wide, high = A4[1], A4[0]
    sheet = Sheet((wide, high))
    say, cell = sheet.say, sheet.cell
    x, right = 40.0, wide - 40
    say(x, high - 50, "APPLICATION FOR A LICENSE TO APPLY PESTICIDES FROM THE AIR", 13, BOLD)
    _shade(sheet, x, high - 80, right - x, "SECTION A. APPLICANT")
    third = (right - x) / 3
    y = high - 110
    cell("text", (x, y, third, 30), "1. Name of business (as registered)")
    cell("address", (x + third, y, third, 30), "2. Street address")
    cell("number", (x + 2 * third, y, third, 30), "3. Telephone number")
    y -= 30
    cell("address", (x, y, third, 30), "4. City, state, ZIP")
    cell("date", (x + third, y, third, 30), "5. Date of birth (MM/DD/YYYY)")
    cell("", (x + 2 * third, y, third, 30), "6. Kind of application (check one)")
    sheet.square(x + 2 * third + 8, y + 5)
    say(x + 2 * third + 21, y + 6, "New", 9)
    sheet.square(x + 2 * third + 70, y + 5)
    say(x + 2 * third + 83, y + 6, "Renewal", 9)
    y -= 40
    _shade(sheet, x, y + 16, right - x, "SECTION B. AIRCRAFT")
    heads = ("Make and model", "Serial number", "Weight, lb", "Registration mark")
    kinds = ("text", "number", "number", "number")
    quarter = (right - x) / 4
    for column, head in enumerate(heads):
        cell("", (x + column * quarter, y, quarter, 16))
        say(x + column * quarter + 30, y + 5, head, 8, BOLD)
    for _ in range(3):
        y -= 20
        for column, kind in enumerate(kinds):
            cell(kind, (x + column * quarter, y, quarter, 20))
    y -= 36
    end = say(x, y + 4, "Federal certificate number: ", 9)
    sheet.canvas.setLineWidth(0.5)
    for place in range(8):
        sheet.canvas.rect(end + 4 + place * 15, y, 15, 18)
    sheet.note("number", end + 4, y, end + 124, y + 18)
    _draw_signing(sheet, x, right, y - 70)
    sheet.turn_page()
    draw_tables(sheet)
    return _turn(sheet.finish(), 90), sheet.rows


def _draw_signing(sheet: Sheet, x: float, right: float, y: float) -> None:
    say, cell = sheet.say, sheet.cell
    cell("signature", (x, y, 300, 44), "Applicant's signature (sign in ink)")
    cell("date", (x + 300, y, 120, 44), "Date signed")
    cell("title", (x + 420, y, 140, 44), "Title")
    sheet.canvas.rect(right - 180, y - 50, 180, 94)
    say(right - 160, y + 34, "FOR OFFICE USE ONLY", 8, BOLD)
    sheet.canvas.line(right - 130, y + 10, right - 10, y + 10)
    say(right - 172, y + 11, "Received", 7)
    sheet.note("ignore", right - 180, y - 50, right, y + 44)
    sheet.canvas.rect(x, y - 90, 150, 80)
    say(x + 40, y - 22, "Notary stamp", 7)
    sheet.note("notary-stamp", x, y - 90, x + 150, y - 10)
    sheet.rule("notary-signature", x + 180, x + 420, y - 50, 30)
    say(x + 180, y - 59, "Signature of notary public", 7)
    sheet.rule("notary-expiry", say(x + 180, y - 86, "Commission expires ", 9) + 2, x + 420, y - 88)


def _shade(sheet: Sheet, x: float, y: float, wide: float, text: str) -> None:
    sheet.canvas.setFillColor(lightgrey)
    sheet.canvas.rect(x, y - 0, wide, 16, stroke=1, fill=1)
    sheet.canvas.setFillColor(black)
    sheet.say(x + 4, y + 5, text, 9, BOLD)


def _turn(pdf: bytes, angle: int) -> bytes:
    """Turn the drawing one way and the page the other: as shown it is the same."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(pdf)))
    for page in writer.pages:
        page.rotate(360 - angle)
        page.transfer_rotation_to_content()
        page.rotate(angle)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def draw_typed() -> tuple[bytes, list[Row]]:
    """Draw a typewriter form of underscores, typed boxes and dots, cut from a larger sheet."""
    sheet = Sheet((letter[0] + 60, letter[1] + 80))
    sheet.canvas.translate(36, 44)
    say, typed = sheet.say, sheet.typed
    say(150, 740, "REQUEST FOR A CERTIFICATE OF INSURANCE", 12, TYPED)
    typed("text", say(54, 700, "Insured: ", 10, TYPED), 700, 40)
    end = typed("number", say(54, 676, "Policy No.: ", 10, TYPED), 676, 18)
    typed("amount", say(end + 12, 676, "Premium: $", 10, TYPED), 676, 12)
    x = say(54, 652, "Policy period from ", 10, TYPED)
    for part in range(3):
        end = say(x, 652, "____" if part == 2 else "__", 10, TYPED)
        x = say(end, 652, "/", 10, TYPED) if part < 2 else end
    sheet.note("date", say(54, 652, "Policy period from ", 10, TYPED), 650, end, 666)
    sheet.note("number", *_phone(sheet, 54, 628))
    say(54, 600, "Coverage asked for (mark all that fit):", 10, TYPED)
    for line, option in enumerate(("Chemical drift", "Property damage", "Bodily injury")):
        y = 582 - 16 * line
        sheet.canvas.setFont("ZapfDingbats", 11)
        sheet.canvas.drawString(60, y, "\u274f")
        sheet.note("check", 60, y - 2, 69, y + 8)
        say(76, y, option, 10, TYPED)
    for line, (what, fee) in enumerate((("Certificate", "$25.00"), ("Copy", "$5.00"))):
        say(54, 520 - 14 * line, f"{what} " + "." * 40 + f" {fee}", 10, TYPED)
    end = say(54, 480, "Is the pilot certificated?  ", 10, TYPED)
    for word in ("Yes", "No"):
        sheet.note("check", end, 478, say(end, 480, "[ ]", 10, TYPED), 490)
        end = say(end + 24, 480, f"{word}   ", 10, TYPED)
    end = typed("check", 54, 456, 3)
    end = typed("check", say(end + 6, 456, "owner   ", 10, TYPED), 456, 3)
    say(end + 6, 456, "operator", 10, TYPED)
    say(54, 430, "Remarks:", 10, TYPED)
    for y in (412, 396):
        say(54, y, "_" * 80, 10, TYPED)
    sheet.note("text", 54, 394, 534, 426)
    end = typed("signature", say(54, 340, "By: ", 10, TYPED), 340, 30)
    typed("date", say(end + 12, 340, "Date: ", 10, TYPED), 340, 14)
    typed("printed-name", say(54, 316, "Typed name: ", 10, TYPED), 316, 30)
    typed("title", say(54, 292, "Title: ", 10, TYPED), 292, 30)
    say(54, 250, "STATE OF NEBRASKA", 10, TYPED)
    typed("notary-county", say(54, 232, "COUNTY OF ", 10, TYPED), 232, 20)
    say(54, 204, "The foregoing instrument was acknowledged before me on", 10, TYPED)
    end = typed("notary-date", 54, 186, 24)
    typed("printed-name", say(end, 186, " by ", 10, TYPED), 186, 30)
    end = typed("notary-signature", 54, 140, 34)
    say(54, 128, "Notary Public", 9, TYPED)
    typed("notary-expiry", say(54, 104, "My commission expires ", 10, TYPED), 104, 20)
    say(400, 140, "[SEAL]", 10, TYPED)
    sheet.note("notary-stamp", 358, 108, 478, 178)
    sheet.turn_page()
    sheet.canvas.translate(36, 44)
    draw_prose(sheet)
    return _crop(sheet.finish(), 36, 44), sheet.rows


def _phone(sheet: Sheet, x: float, y: float) -> tuple[float, float, float, float]:
    left = sheet.say(x, y, "Telephone: ", 10, TYPED)
    return left, y - 2, sheet.say(left, y, "(___) ___-____", 10, TYPED), y + 14


def _crop(pdf: bytes, left: float, bottom: float) -> bytes:
    """Show only a Letter sheet of a larger one, away from its corner."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(pdf)))
    for page in writer.pages:
        page.cropbox = RectangleObject((left, bottom, left + letter[0], bottom + letter[1]))
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def draw_fields() -> tuple[bytes, list[Row]]:
    """Draw a sideways Letter sheet with form fields, tinted areas and thin filled lines."""
    sheet = Sheet((letter[1], letter[0]))
    say, form = sheet.say, sheet.canvas.acroForm
    say(60, 560, "Bill of sale for an unmanned aircraft", 16, BOLD)
    say(60, 530, "Buyer", 9)
    form.textfield(name="buyer", tooltip="Full name of buyer", x=60, y=506, width=300, height=20)
    sheet.note("text", 60, 506, 360, 526)
    say(400, 530, "Serial number", 9)
    form.textfield(name="serial", x=400, y=506, width=200, height=20)
    sheet.note("number", 400, 506, 600, 526)
    form.checkbox(name="paid", tooltip="Paid in full", x=60, y=474, size=12)
    sheet.note("check", 60, 474, 72, 486)
    say(78, 477, "Paid in full", 9)
    for column, (label, kind) in enumerate(
        (("Sale price ($)", "amount"), ("Date of sale", "date"))
    ):
        x = 200 + 200 * column
        say(x, 492, label, 9)
        sheet.canvas.setFillColorRGB(0.9, 0.93, 0.98)
        sheet.canvas.rect(x, 470, 160, 18, stroke=0, fill=1)
        sheet.canvas.setFillColor(black)
        sheet.note(kind, x, 470, x + 160, 488)
    say(
        60,
        440,
        "Seller and buyer agree that the aircraft described above is sold free of any lien.",
        9,
    )
    for column, who in enumerate(("Seller", "Buyer")):
        x = 60 + 350 * column
        say(x, 410, who.upper(), 10, BOLD)
        sheet.bar("signature", x, x + 220, 372, 30)
        say(x, 362, f"{who}'s signature", 7.5)
        sheet.bar("date", x + 235, x + 310, 372, 30)
        say(x + 235, 362, "Date", 7.5)
        sheet.bar("printed-name", x, x + 310, 336, 22)
        say(x, 326, "Name (please print)", 7.5)
    sheet.canvas.setLineWidth(0.8)
    sheet.canvas.rect(60, 60, 310, 240)
    say(70, 284, "Notary for the seller", 10, BOLD)
    sheet.bar("notary-state", say(70, 260, "State of ") + 2, 210, 258)
    sheet.bar("notary-county", say(214, 260, "County of ") + 2, 360, 258)
    say(70, 238, "Signed and sworn before me on", 9)
    sheet.bar("notary-date", 200, 360, 236)
    sheet.bar("notary-signature", 70, 230, 190, 30)
    say(70, 181, "Signature of notary public", 7)
    sheet.canvas.rect(250, 80, 110, 110)
    say(285, 132, "Seal", 8)
    sheet.note("notary-stamp", 250, 80, 360, 190)
    sheet.bar("notary-title", say(70, 150, "Title: ", 9), 230, 148)
    sheet.bar("notary-expiry", say(70, 120, "My commission expires: ", 8), 240, 118)
    say(410, 284, "What is sold with the aircraft", 10, BOLD)
    for line in range(4):
        say(410, 260 - 24 * line, f"{line + 1}.", 9)
        sheet.bar("text", 424, 720, 258 - 24 * line)
    for line, words in enumerate(("Keep one copy for each side.", "A copy goes to the registry.")):
        sheet.canvas.circle(414, 140 - 14 * line, 1.5, stroke=0, fill=1)
        say(422, 137 - 14 * line, words, 9)
    sheet.turn_page()
    draw_tinted(sheet)
    return sheet.finish(), sheet.rows


LAYOUTS = {
    "statement": draw_statement,
    "boxes": draw_boxes,
    "typed": draw_typed,
    "fields": draw_fields,
}


def write_layouts(folder: Path) -> None:
    """Write every layout and its truth."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, draw in LAYOUTS.items():
        pdf, rows = draw()
        (folder / f"{name}.pdf").write_bytes(pdf)
        (folder / f"{name}.json").write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write_layouts(Path(sys.argv[1]))
