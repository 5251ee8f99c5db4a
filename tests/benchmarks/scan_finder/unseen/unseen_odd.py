"""Forms that differ in how the page itself is made: turned, cropped, with fields to type in."""

from reportlab.lib.colors import black, white
from unseen_kit import Sheet

from compliance.forms.model import BlankKind as Kind


def make_turned_log() -> Sheet:
    """Stored upright with /Rotate 90: a wide log sheet with a table and two signatures."""
    sheet = Sheet((792, 612), rotate=90, face="Helvetica", text_size=9)
    sheet.text(36, 575, "Record of applications", 15, "Helvetica-Bold")
    sheet.ruled(Kind.PRINTED_NAME, "Pilot in command", (300, 575, 560))
    sheet.ruled(Kind.NUMBER, "Year", (576, 575, 756))
    columns = (
        (Kind.DATE, "Date", 36.0),
        (Kind.TEXT, "Field", 110.0),
        (Kind.TEXT, "Product", 240.0),
        (Kind.NUMBER, "Acres", 390.0),
        (Kind.NUMBER, "Gallons", 450.0),
        (Kind.TEXT, "Wind", 520.0),
        (Kind.TEXT, "Remarks", 590.0),
    )
    lefts = (*(left for _, _, left in columns), 756.0)
    sheet.grid(lefts, (550.0, 530.0, *(530 - 24.0 * row for row in range(1, 7))), 0.7)
    for _, label, left in columns:
        sheet.text(left + 4, 536, label, 9, "Helvetica-Bold")
    for row in range(6):
        bottom = 506 - 24.0 * row
        for spot, (kind, label, left) in enumerate(columns):
            right = lefts[spot + 1]
            sheet.mark(kind, label, (left + 1, bottom + 1, right - 1, bottom + 23))
    sheet.text(36, 360, "The record is kept for three years from the date of each application.")
    for left, who in ((36.0, "Pilot"), (410.0, "Operator")):
        sheet.captioned(
            Kind.SIGNATURE, f"{who}: signature", (left, 290, left + 220), size=7, height=26
        )
        sheet.captioned(Kind.DATE, "Date", (left + 236, 290, left + 346), size=7)
    return sheet


def make_turned_back() -> Sheet:
    """Stored with /Rotate 270: a receipt on half a page."""
    sheet = Sheet((612, 396), rotate=270, face="Times-Roman", text_size=11)
    sheet.middle(360, "RECEIPT FOR PAPERS HANDED IN", 13, "Times-Bold")
    sheet.rule(150, 355, 462, 0.8)
    sheet.ruled(Kind.TEXT, "Handed in by", (40, 320, 572))
    sheet.ruled(Kind.NUMBER, "Number of sheets", (40, 292, 230))
    sheet.ruled(Kind.AMOUNT, "Fee paid: $", (246, 292, 400), end="")
    sheet.ruled(Kind.DATE, "Date", (416, 292, 572))
    sheet.text(40, 262, "Papers:")
    end = sheet.tick("request", (90, 262))
    end = sheet.tick("map", (end + 16, 262))
    end = sheet.tick("proof of cover", (end + 16, 262))
    sheet.tick("check", (end + 16, 262))
    sheet.ruled(Kind.TEXT, "Missing", (40, 232, 572), how="_")
    sheet.captioned(Kind.SIGNATURE, "Signature of clerk", (330, 160, 572), size=8, height=26)
    sheet.captioned(Kind.PRINTED_NAME, "Name of clerk (print)", (40, 160, 300), size=8)
    sheet.middle(60, "This receipt is no license.", 10, "Times-Italic")
    return sheet


def make_cropped() -> Sheet:
    """A page inside a larger medium: crop box off the corner, printer's marks outside of it."""
    sheet = Sheet((700, 880), crop=(50, 40, 662, 832), face="Helvetica", text_size=10)
    canvas = sheet.canvas
    canvas.setLineWidth(0.4)
    for x, y in ((-30, 0), (-30, 792), (622, 0), (622, 792)):
        canvas.line(x, y, x + 20, y)
    sheet.text(-46, 812, "Date ____  Signature ____ (printer's proof)", 7)
    sheet.text(60, 730, "Consent of the landowner", 16, "Helvetica-Bold")
    sheet.rule(60, 722, 552, 3)
    sheet.text(60, 700, "for application of products to the fields listed here")
    sheet.ruled(Kind.PRINTED_NAME, "Landowner", (60, 670, 552))
    sheet.ruled(Kind.ADDRESS, "Address", (60, 644, 552))
    sheet.text(60, 612, "Fields (number, crop, acres)")
    for row in range(4):
        sheet.ruled(Kind.NUMBER, f"Field {row + 1}, number", (60, 590 - 22 * row, 230))
        sheet.ruled(Kind.TEXT, "crop", (240, 590 - 22 * row, 400))
        sheet.ruled(Kind.NUMBER, "acres", (410, 590 - 22 * row, 552))
    sheet.tick("I am the owner of the fields.", (60, 480), side=10)
    sheet.tick("I rent the fields and may consent for the owner.", (60, 460), side=10)
    sheet.tick("Tell me by telephone the day before, at", (60, 440), side=10)
    start = sheet.wide("Tell me by telephone the day before, at") + 90
    sheet.rule(start, 438, 552)
    sheet.mark(Kind.NUMBER, "Telephone", (start, 438, 552, 452))
    sheet.captioned(Kind.SIGNATURE, "Landowner or tenant sign here", (60, 370, 350), height=28)
    sheet.captioned(Kind.DATE, "Date", (370, 370, 552))
    sheet.text(60, 80, "Sample CL-3", 7)
    return sheet


def make_typed_fields() -> Sheet:
    """A form with fields to type in; the signature and its date are plain rules without one."""
    sheet = Sheet(face="Helvetica", text_size=10)
    form = sheet.canvas.acroForm
    sheet.text(54, 740, "Change of address", 16, "Helvetica-Bold")
    sheet.rule(54, 732, 558, 1)
    lines = (
        (Kind.TEXT, "Business", "f1", 160.0, 400.0),
        (Kind.NUMBER, "Certificate number", "f2", 160.0, 200.0),
        (Kind.ADDRESS, "Old address", "f3", 160.0, 400.0),
        (Kind.ADDRESS, "New address", "f4", 160.0, 400.0),
        (Kind.DATE, "In effect from", "f5", 160.0, 120.0),
        (Kind.TEXT, "E-mail", "f6", 160.0, 260.0),
    )
    for row, (kind, label, name, left, wide) in enumerate(lines):
        bottom = 690 - 32.0 * row
        sheet.text(54, bottom + 6, label)
        form.textfield(
            name=name,
            tooltip=label,
            x=left,
            y=bottom,
            width=wide,
            height=20,
            borderWidth=1,
            borderColor=black,
            fillColor=white,
            fontSize=10,
            forceBorder=True,
        )
        sheet.mark(kind, label, (left, bottom, left + wide, bottom + 20))
    _typed_choices(sheet)
    sheet.text(54, 320, "Print the page, then sign and date it by hand.")
    sheet.ruled(Kind.SIGNATURE, "Signature", (54, 280, 340), height=24)
    sheet.ruled(Kind.DATE, "Date", (356, 280, 558))
    sheet.ruled(Kind.TITLE, "Title", (54, 250, 340))
    return sheet


def _typed_choices(sheet: Sheet) -> None:
    """Two check boxes to click and a field of several lines."""
    form = sheet.canvas.acroForm
    sheet.text(54, 496, "The change is for")
    for row, (name, label) in enumerate((("c1", "the mailing address"), ("c2", "the hangar"))):
        bottom = 472 - 22.0 * row
        form.checkbox(
            name=name, tooltip=label, x=70, y=bottom, size=13, borderWidth=1, fillColor=white
        )
        sheet.mark(Kind.CHECK, label, (70, bottom, 83, bottom + 13))
        sheet.text(90, bottom + 3, label)
    sheet.text(54, 424, "Reason for the change (a few words):")
    form.textfield(
        name="f7",
        tooltip="Reason",
        x=54,
        y=350,
        width=504,
        height=66,
        borderWidth=1,
        fontSize=10,
        fieldFlags="multiline",
        fillColor=white,
    )
    sheet.mark(Kind.TEXT, "Reason for the change", (54, 350, 558, 416))


def make_labels_around() -> Sheet:
    """Labels above the rule, at its right end and in brackets behind it; notes in the margin."""
    sheet = Sheet(face="Helvetica", text_size=9)
    sheet.shade(0, 0, 90, 792, 0.93)
    for row, words in enumerate(("Use ink.", "Date every", "signature.", "Keep a copy.")):
        sheet.text(16, 700 - 12 * row, words, 8, "Helvetica-Oblique")
    sheet.text(110, 735, "Report of a change in the crew", 15, "Helvetica-Bold")
    above = (
        (Kind.TEXT, "Company", 110.0, 570.0, 680.0),
        (Kind.PRINTED_NAME, "Pilot who leaves", 110.0, 330.0, 636.0),
        (Kind.DATE, "Last day", 350.0, 570.0, 636.0),
        (Kind.PRINTED_NAME, "Pilot who joins", 110.0, 330.0, 592.0),
        (Kind.DATE, "First day", 350.0, 570.0, 592.0),
    )
    for kind, label, left, right, y in above:
        sheet.text(left, y + 18, label, 8)
        sheet.rule(left, y, right)
        sheet.mark(kind, label, (left, y, right, y + 16))
    behind = (
        (Kind.NUMBER, "(certificate number)", 560.0),
        (Kind.NUMBER, "(hours on this model)", 536.0),
        (Kind.ADDRESS, "(home town)", 512.0),
    )
    for kind, label, y in behind:
        sheet.rule(110, y, 380)
        sheet.text(386, y + 2, label)
        sheet.mark(kind, label, (110, y, 380, y + 15))
    sheet.text(110, 470, "Mark what was handed over:")
    for row, words in enumerate(("keys", "manuals", "the card of the pilot")):
        y = 450 - 18 * row
        sheet.text(130, y, words)
        sheet.frame(260, y - 2, 271, y + 9)
        sheet.mark(Kind.CHECK, words, (260, y - 2, 271, y + 9))
    sheet.text(110, 380, "Remarks (use the back if needed)")
    sheet.canvas.setDash(1, 2)
    for row in range(4):
        sheet.rule(110, 358 - 20 * row, 570, 0.5)
    sheet.canvas.setDash()
    sheet.mark(Kind.TEXT, "Remarks", (110, 298, 570, 376))
    sheet.text(110, 262, "Signature of the chief pilot", 8)
    sheet.rule(110, 226, 360)
    sheet.mark(Kind.SIGNATURE, "Signature of the chief pilot", (110, 226, 360, 258))
    sheet.text(380, 262, "Date", 8)
    sheet.rule(380, 226, 570)
    sheet.mark(Kind.DATE, "Date", (380, 226, 570, 244))
    return sheet


def make_parts_apart() -> Sheet:
    """Dates, telephone numbers and sums whose parts are printed apart by signs."""
    sheet = Sheet(face="Helvetica", text_size=11)
    sheet.middle(740, "Voucher for fees", 17, "Helvetica-Bold")
    sheet.middle(724, "one voucher for every check", 9, "Helvetica-Oblique")

    def pattern(kind: Kind, label: str, x: float, y: float, signs: str) -> None:
        start = sheet.text(x, y, label + "  ")
        end = sheet.text(start, y, signs)
        sheet.mark(kind, label, (start, y - 2, end, y + 13))

    pattern(Kind.DATE, "Date of the check", 60, 680, "____ / ____ / ________")
    pattern(Kind.NUMBER, "Check no.", 380, 680, "______________")
    pattern(Kind.NUMBER, "Telephone", 60, 650, "( ______ ) ______ - ________")
    pattern(Kind.AMOUNT, "Sum in figures  $", 60, 620, "____________ . ____")
    sheet.rule(60, 588, 480)
    sheet.text(486, 590, "dollars")
    sheet.mark(Kind.AMOUNT, "Sum in words", (60, 588, 480, 604))
    pattern(Kind.TEXT, "Pay to", 60, 556, "__________________________________________")
    pattern(Kind.TEXT, "For", 60, 528, "_____________________________________________")
    sheet.text(60, 492, "Paid by")
    end = sheet.tick("check", (120, 492), side=10)
    end = sheet.tick("money order", (end + 18, 492), side=10)
    sheet.tick("card", (end + 18, 492), side=10)
    sheet.text(60, 458, "Month")
    sheet.rule(98, 456, 160)
    sheet.text(166, 458, "Day")
    sheet.rule(192, 456, 230)
    sheet.text(236, 458, "Year")
    sheet.rule(266, 456, 330)
    sheet.mark(Kind.DATE, "Month, day, year (mailed)", (98, 456, 330, 471))
    sheet.text(336, 458, "on which the voucher was mailed")
    sheet.text(60, 400, "Signature")
    sheet.rule(118, 398, 340)
    sheet.mark(Kind.SIGNATURE, "Signature", (118, 398, 340, 424))
    pattern(Kind.DATE, "Dated", 360, 400, "____-____-______")
    sheet.rule(60, 340, 552, 0.5)
    sheet.text(60, 326, "Cut here  - - - - - - - - - - - - - - - - - - - - - - - - - - - -", 9)
    sheet.text(60, 300, "Fees: $10.00 for a map, $5.00 for a copy. No fee: change of address.", 9)
    return sheet
