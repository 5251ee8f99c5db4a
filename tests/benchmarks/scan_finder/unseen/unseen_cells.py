"""Forms whose blanks are framed cells, tables, one-letter boxes and check boxes."""

from reportlab.lib.colors import Color, black
from unseen_kit import Sheet, use_own_fonts

from compliance.forms.model import BlankKind as Kind

# Every row: how high, its heading or none, its cells with their widths.
DECLARATION: tuple[tuple[float, str, tuple[tuple[Kind, str, float], ...]], ...] = (
    (30, "", ((Kind.TEXT, "Name of owner (business)", 340), (Kind.NUMBER, "Telephone", 200))),
    (30, "", ((Kind.ADDRESS, "Mailing address (street, box, route)", 540),)),
    (
        30,
        "",
        (
            (Kind.ADDRESS, "City", 260),
            (Kind.ADDRESS, "State", 80),
            (Kind.ADDRESS, "ZIP code", 200),
        ),
    ),
    (14, "SECTION 2.  THE AIRCRAFT", ()),
    (
        30,
        "",
        (
            (Kind.TEXT, "Maker", 180),
            (Kind.TEXT, "Model", 140),
            (Kind.NUMBER, "Serial number", 220),
        ),
    ),
    (
        30,
        "",
        (
            (Kind.NUMBER, "N-number", 120),
            (Kind.NUMBER, "Weight at take-off, lb", 120),
            (Kind.NUMBER, "Tank, gallons", 80),
            (Kind.DATE, "Date bought", 110),
            (Kind.AMOUNT, "Price paid, $", 110),
        ),
    ),
    (14, "SECTION 3.  REMARKS", ()),
    (90, "", ((Kind.TEXT, "Remarks (damage, changes, earlier owners)", 540),)),
    (14, "SECTION 4.  SIGNATURE AND DATE", ()),
    (
        36,
        "",
        ((Kind.SIGNATURE, "Signature (in ink)", 250), (Kind.PRINTED_NAME, "Printed name", 290)),
    ),
    (36, "", ((Kind.TITLE, "Title", 250), (Kind.DATE, "Date signed", 290))),
)


def make_boxed_cells() -> Sheet:
    """A full grid of cells, label at the top left, grey bars as headings."""
    sheet = Sheet(face="Helvetica", text_size=10)
    sheet.text(36, 752, "DECLARATION OF AN UNMANNED AIRCRAFT", 13, "Helvetica-Bold")
    sheet.text(36, 740, "Read the notes before writing. Use black ink.", 7)
    top, number = 728.0, 0
    for high, heading, cells in DECLARATION:
        if heading:
            sheet.shade(36, top - high, 576, top, 0.8)
            sheet.frame(36, top - high, 576, top)
            sheet.text(40, top - 10, heading, 8, "Helvetica-Bold")
        left = 36.0
        for kind, label, wide in cells:
            number += 1
            box = (left, top - high, left + wide, top)
            sheet.cell(kind, label, box, number=f"{number}. ")
            left += wide
        top -= high
    sheet.text(36, top - 12, "Sample DU-4. The date signed may not be before the date bought.", 6.5)
    return sheet


def make_table_rows() -> Sheet:
    """Landscape; a table with rows to fill, and a table of printed figures that is none."""
    sheet = Sheet((792, 612), face="Helvetica", text_size=9)
    sheet.middle(570, "List of aircraft and pilots", 14, "Helvetica-Bold")
    sheet.rule(40, 562, 752, 1)
    sheet.ruled(Kind.TEXT, "Operator", (40, 540, 420))
    sheet.ruled(Kind.NUMBER, "Certificate no.", (440, 540, 752))
    columns = (
        (Kind.TEXT, "Maker", 62.0),
        (Kind.TEXT, "Model", 180.0),
        (Kind.NUMBER, "Serial no.", 270.0),
        (Kind.NUMBER, "N-number", 400.0),
        (Kind.NUMBER, "Weight (lb)", 490.0),
        (Kind.DATE, "In service since", 560.0),
        (Kind.PRINTED_NAME, "Name of pilot", 640.0),
    )
    lefts = (40.0, *(left for _, _, left in columns), 752.0)
    sheet.shade(40, 500, 752, 520, 0.88)
    sheet.grid(lefts, tuple(520 - 20.0 * row for row in range(9)))
    sheet.text(45, 506, "#", 8, "Helvetica-Bold")
    for _, label, left in columns:
        sheet.text(left + 3, 506, label, 8, "Helvetica-Bold")
    for row in range(7):
        bottom = 480 - 20.0 * row
        sheet.text(47, bottom + 6, str(row + 1))
        for spot, (kind, label, left) in enumerate(columns):
            right = lefts[spot + 2]
            sheet.mark(kind, label, (left + 1, bottom + 1, right - 1, bottom + 19))
    sheet.text(40, 336, "Largest weight by tank (for reading, not for writing)", 9)
    sheet.grid((40, 140, 240, 340, 440), (330.0, 312.0, 294.0, 276.0))
    figures = (("Tank, gal", "3", "8", "10"), ("Empty, lb", "31", "62", "74"))
    for row, line in enumerate((*figures, ("Full, lb", "56", "129", "158"))):
        for spot, word in enumerate(line):
            sheet.text(46 + 100 * spot, 317 - 18 * row, word)
    sheet.captioned(Kind.SIGNATURE, "Signature of operator", (40, 190, 330), height=28)
    sheet.captioned(Kind.TITLE, "Title", (350, 190, 540))
    sheet.captioned(Kind.DATE, "Date", (560, 190, 752))
    sheet.rule(40, 50, 752, 0.3)
    sheet.text(40, 40, "Sample LA-9", 7)
    return sheet


def make_comb_boxes() -> Sheet:
    """One-letter boxes for numbers and dates, yes and no pairs, a photo frame to be filled."""
    sheet = Sheet(face="Helvetica", text_size=9)
    sheet.text(48, 748, "PILOT REGISTER CARD", 14, "Helvetica-Bold")
    sheet.text(48, 734, "Write one letter or figure in each box, like this:")
    for spot, letter in enumerate("TG46"):
        sheet.frame(262 + 15 * spot, 730, 277 + 15 * spot, 747)
        sheet.text(266 + 15 * spot, 735, letter, 10, "Courier-Bold")
    sheet.text(48, 706, "Last name")
    sheet.comb(Kind.PRINTED_NAME, "Last name", (48, 684), count=24)
    sheet.text(430, 706, "Initials")
    sheet.comb(Kind.PRINTED_NAME, "Initials", (430, 684), count=4)
    sheet.text(48, 666, "Remote pilot certificate number")
    sheet.comb(Kind.NUMBER, "Remote pilot certificate number", (48, 644), count=10, tooth=0.4)
    sheet.text(300, 666, "Date of certificate (MM DD YYYY)")
    for left, count in ((300.0, 2), (340.0, 2), (380.0, 4)):
        sheet.frame(left, 644, left + 15 * count, 661)
        for step in range(1, count):
            sheet.canvas.line(left + 15 * step, 644, left + 15 * step, 661)
    sheet.mark(Kind.DATE, "Date of certificate", (300, 644, 440, 661))
    sheet.text(48, 626, "Serial number of the aircraft flown most")
    sheet.comb(Kind.NUMBER, "Serial number", (48, 602), count=20, wide=18, height=20)
    sheet.text(48, 584, "Registration number")
    start = sheet.text(48, 566, "N", 14, "Courier-Bold") + 4
    sheet.comb(Kind.NUMBER, "Registration number after the N", (start, 562), count=5, wide=18)
    questions = (
        "Flown at night in the last year?",
        "Flown for hire?",
        "Any accident to report?",
        "Certificate ever suspended?",
    )
    for row, question in enumerate(questions):
        y = 520 - 20 * row
        sheet.text(48, y, f"{row + 1}. {question}")
        sheet.tick("Yes", (300, y), name=f"{question} yes")
        sheet.tick("No", (350, y), name=f"{question} no")
    sheet.text(48, 432, "If any answer is Yes, explain:")
    sheet.frame(48, 350, 564, 426)
    sheet.mark(Kind.TEXT, "Explanation", (49, 351, 563, 425))
    sheet.frame(48, 270, 330, 330)
    sheet.text(52, 321, "Signature (stay inside the frame)", 7)
    sheet.mark(Kind.SIGNATURE, "Signature", (49, 271, 329, 318))
    sheet.text(350, 322, "Today (MM/DD/YYYY)", 7)
    sheet.comb(Kind.DATE, "Today", (350, 290), count=8, wide=20, height=24)
    sheet.text(350, 260, "Cards with pencil marks come back.", 7)
    return sheet


def make_a4_grey() -> Sheet:
    """An A4 page in an embedded face: grey label cells at the left, white cells to fill."""
    use_own_fonts()
    sheet = Sheet((595.28, 841.89), face="Own", text_size=9)
    sheet.text(50, 785, "Operator's statement of storage", 15, "Own-Bold")
    sheet.shade(50, 772, 545, 776, 0.35)
    rows = (
        (Kind.TEXT, "Operator"),
        (Kind.ADDRESS, "Place of storage"),
        (Kind.NUMBER, "Container number"),
        (Kind.TEXT, "Product"),
        (Kind.AMOUNT, "Value (USD)"),
        (Kind.DATE, "Stored since"),
    )
    for row, (kind, label) in enumerate(rows):
        top = 745 - 26.0 * row
        sheet.shade(50, top - 26, 190, top, 0.85)
        sheet.text(56, top - 16, label)
        sheet.frame(50, top - 26, 545, top, 0.5)
        sheet.canvas.line(190, top - 26, 190, top)
        sheet.mark(kind, label, (191, top - 25, 544, top - 1))
    sheet.text(50, 560, "Checked on every visit", 11, "Own-Bold")
    heads = ("Item", "Good", "Bad", "None there")
    lefts = (50.0, 290.0, 370.0, 450.0, 545.0)
    items = ("Lock on the door", "Spill tray", "Fire extinguisher", "Water for washing", "Labels")
    sheet.grid(lefts, tuple(550 - 20.0 * row for row in range(len(items) + 2)), 0.5)
    for spot, head in enumerate(heads):
        sheet.text(lefts[spot] + 5, 536, head, 9, "Own-Bold")
    for row, item in enumerate(items):
        bottom = 510 - 20.0 * row
        sheet.text(55, bottom + 6, item)
        for spot in (1, 2, 3):
            box = (lefts[spot] + 1, bottom + 1, lefts[spot + 1] - 1, bottom + 19)
            sheet.mark(Kind.CHECK, f"{item}: {heads[spot].lower()}", box)
    sheet.text(50, 390, "Remarks:")
    for row in range(3):
        sheet.canvas.rect(50, 370 - 20 * row, 495, 0.4, stroke=0, fill=1)
    sheet.mark(Kind.TEXT, "Remarks", (50, 330, 545, 386))
    places = (
        (Kind.ADDRESS, "Place", 50.0, 150.0),
        (Kind.DATE, "Date", 160.0, 250.0),
        (Kind.SIGNATURE, "Signature", 270.0, 420.0),
        (Kind.PRINTED_NAME, "Name in capitals", 430.0, 545.0),
    )
    for kind, label, left, right in places:
        sheet.captioned(kind, label, (left, 260, right), size=7, height=22)
    return sheet


def make_tinted() -> Sheet:
    """Pale cells without frames, hair lines in color, dashed rules, an X before the signature."""
    sheet = Sheet(face="Helvetica", text_size=9)
    green, pale = Color(0.1, 0.4, 0.2), Color(0.9, 0.96, 0.9)
    sheet.canvas.setFillColor(green)
    sheet.canvas.rect(0, 740, 612, 52, stroke=0, fill=1)
    sheet.canvas.setFillColor(Color(1, 1, 1))
    sheet.text(40, 760, "Map of fields: order for copies", 18, "Helvetica-Bold")
    sheet.canvas.setFillColor(black)
    rows = (
        ((Kind.PRINTED_NAME, "Your name", 40.0, 300.0), (Kind.NUMBER, "Account", 316.0, 572.0)),
        ((Kind.ADDRESS, "Street", 40.0, 300.0), (Kind.ADDRESS, "City, state, ZIP", 316.0, 572.0)),
        ((Kind.TEXT, "Fields wanted", 40.0, 300.0), (Kind.AMOUNT, "Total $", 316.0, 572.0)),
    )
    for row, cells in enumerate(rows):
        bottom = 680 - 46.0 * row
        for kind, label, left, right in cells:
            sheet.text(left, bottom + 26, label, 8, "Helvetica-Bold")
            sheet.canvas.setFillColor(pale)
            sheet.canvas.rect(left, bottom, right - left, 22, stroke=0, fill=1)
            sheet.canvas.setFillColor(black)
            sheet.mark(kind, label, (left, bottom, right, bottom + 22))
    sheet.text(40, 560, "How shall we send the copies?", 9, "Helvetica-Bold")
    for row, words in enumerate(("by mail, folded", "by mail, rolled (adds $4)", "held for you")):
        x, y = 52.0, 540.0 - 20 * row
        sheet.canvas.setStrokeColor(green)
        sheet.canvas.circle(x, y + 3, 5)
        sheet.canvas.setStrokeColor(black)
        sheet.mark(Kind.CHECK, words, (x - 5, y - 2, x + 5, y + 8))
        sheet.text(66, y, words)
    sheet.canvas.setStrokeColor(green)
    sheet.canvas.setDash(3, 2)
    sheet.ruled(Kind.TEXT, "Send to another person", (40, 460, 572))
    sheet.ruled(Kind.DATE, "Needed by", (40, 434, 250))
    sheet.ruled(Kind.NUMBER, "Copies", (266, 434, 400))
    sheet.canvas.setDash()
    sheet.canvas.setLineWidth(0.25)
    sheet.canvas.line(40, 400, 572, 400)
    sheet.text(40, 386, "By signing you agree to pay for the copies on the date they are sent.", 8)
    end = sheet.text(40, 340, "X", 14, "Helvetica-Bold") + 4
    sheet.captioned(Kind.SIGNATURE, "Signature", (end, 338, 330), height=26)
    sheet.captioned(Kind.DATE, "Date", (350, 338, 572))
    return sheet


def make_packed_cells() -> Sheet:
    """A page packed with low cells in small type, check boxes and date parts inside the cells."""
    sheet = Sheet(face="Helvetica", text_size=7)
    sheet.text(30, 762, "CONSOLIDATED STATEMENT FOR APPLICATION FROM THE AIR", 11, "Helvetica-Bold")
    sheet.text(430, 764, "Type or print. Leave no cell without an answer.", 6)
    top = 754.0
    for block in ("A. Applicant", "B. Chief pilot", "C. Contact in the field"):
        sheet.canvas.setFillGray(0)
        sheet.canvas.rect(30, top - 11, 552, 11, stroke=0, fill=1)
        sheet.canvas.setFillGray(1)
        sheet.text(34, top - 8.5, block.upper(), 7, "Helvetica-Bold")
        sheet.canvas.setFillGray(0)
        top -= 11
        lines = (
            (
                (Kind.PRINTED_NAME, "Last name", 150.0),
                (Kind.PRINTED_NAME, "First name", 130.0),
                (Kind.NUMBER, "Certificate no.", 122.0),
                (Kind.NUMBER, "Telephone", 150.0),
            ),
            (
                (Kind.ADDRESS, "Street or box", 232.0),
                (Kind.ADDRESS, "City", 150.0),
                (Kind.ADDRESS, "State", 50.0),
                (Kind.ADDRESS, "ZIP", 120.0),
            ),
        )
        for line in lines:
            left = 30.0
            for kind, label, wide in line:
                sheet.cell(kind, label, (left, top - 23, left + wide, top), size=5.5)
                left += wide
            top -= 23
        _packed_choice(sheet, top, block[0])
        top -= 23
    for row in range(9):
        words = (
            "Each statement is checked against the register. The date of signature decides which"
        )
        sheet.text(34, top - 12 - 9 * row, f"{row + 1}. {words} edition of the rules holds.", 6.5)
    top -= 104
    cells = (
        (Kind.SIGNATURE, "Signature of applicant", (30.0, 250.0)),
        (Kind.TITLE, "Title", (250.0, 380.0)),
        (Kind.DATE, "Date signed", (380.0, 470.0)),
        (Kind.AMOUNT, "Fee enclosed ($)", (470.0, 582.0)),
    )
    for kind, label, (left, right) in cells:
        sheet.cell(kind, label, (left, top - 32, right, top), size=5.5)
    return sheet


def _packed_choice(sheet: Sheet, top: float, part: str) -> None:
    """One line of cells that hold check boxes, a date in parts and a free cell."""
    sheet.frame(30, top - 23, 262, top)
    sheet.text(32.5, top - 6.5, "How should we write to you? (mark all that hold)", 5.5)
    left = 40.0
    for words in ("mail", "e-mail", "telephone", "do not write"):
        left = sheet.tick(words, (left, top - 17), side=7, name=f"{part}: {words}") + 12
    sheet.frame(262, top - 23, 382, top)
    sheet.text(264.5, top - 6.5, "Date of birth or founding", 5.5)
    sheet.text(302, top - 19, "/", 10)
    sheet.text(338, top - 19, "/", 10)
    sheet.mark(Kind.DATE, f"{part}: date of birth or founding", (264, top - 22, 381, top - 8.5))
    box = (382.0, top - 23, 582.0, top)
    sheet.cell(Kind.TEXT, "Other names used", box, size=5.5)
