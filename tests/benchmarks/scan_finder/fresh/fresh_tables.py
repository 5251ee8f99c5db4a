"""Forms of tables: aircraft, people, fees, answers to mark."""

from fresh_kit import BOLD, LETTER, Sheet

GREY = (0.85, 0.85, 0.85)

Column = tuple[str, str, float]


def _table(
    s: Sheet,
    spot: tuple[float, float],
    columns: list[Column],
    count: int,
    *,
    high: float = 20,
    head: float = 22,
    font: str = BOLD,
    numbered: bool = False,
) -> float:
    """Draw a table (kind, head, width) of empty rows as long rules and posts; gives its bottom."""
    x, top = spot
    wide = sum(column[2] for column in columns)
    bottom = top - head - count * high
    s.tint((x, top - head, x + wide, top), GREY)
    s.frame((x, bottom, x + wide, top), 1)
    for n in range(count):
        s.rule(x, x + wide, top - head - n * high, 0.5)
    left = x
    for kind, words, width in columns:
        if left > x:
            s.post(left, bottom, top, 0.5)
        s.text(left + width / 2, top - head / 2 - 3, words, 7.5, font=font, at="middle")
        for n in range(count):
            row = top - head - n * high
            if kind == "":
                label = str(n + 1) if numbered else ""
                s.text(left + width / 2, row - high / 2 - 3, label, 8, at="middle")
            else:
                s.note(kind, (left, row - high, left + width, row), words)
        left += width
    return bottom


def turned_roster() -> int:
    """A wide page, stored upright and turned: a table of aircraft and one of pilots."""
    s = Sheet("turned_roster", (LETTER[1], LETTER[0]), turn=90)
    s.text(40, 572, "Roster of aircraft and pilots", 15, font=BOLD)
    s.text(752, 572, "Interstate Spray Compact, sheet R", 8, at="right")
    s.ahead("text", (40, 400, 544), "Operator")
    s.ahead("number", (420, 752, 544), "Operator number")
    y = _table(
        s,
        (40, 528),
        [
            ("", "No.", 30),
            ("text", "Maker", 130),
            ("text", "Model", 110),
            ("number", "Serial number", 160),
            ("number", "Registration", 110),
            ("number", "Weight (lb)", 72),
            ("date", "Added on", 100),
        ],
        6,
        numbered=True,
    )
    y = _table(
        s,
        (40, y - 24),
        [
            ("", "No.", 30),
            ("text", "Pilot", 200),
            ("number", "Certificate number", 150),
            ("date", "Last training", 110),
            ("signature", "Signature", 222),
        ],
        4,
        high=26,
        numbered=True,
    )
    s.under("signature", (40, 330, y - 50), "Officer of the operator", 30)
    s.under("title", (350, 560, y - 50), "Title", 30)
    s.under("date", (580, 752, y - 50), "Date", 30)
    return s.save()


def walk_round() -> int:
    """A list of checks with three squares a line, and remarks."""
    s = Sheet("walk_round")
    s.text(40, 750, "Walk-round before the season", 15, font=BOLD)
    s.text(40, 736, "Compact sheet C. One sheet for each aircraft.", 8.5)
    s.cells(
        (40, 726, 30),
        [
            ("text", "Aircraft", 200),
            ("number", "Serial number", 172),
            ("date", "Date of check", 160),
        ],
        size=7,
    )
    s.text(300, 676, "good", 8, font=BOLD, at="middle")
    s.text(335, 676, "poor", 8, font=BOLD, at="middle")
    s.text(370, 676, "none", 8, font=BOLD, at="middle")
    s.text(395, 676, "Remark", 8, font=BOLD)
    y: float = 656
    for words in (
        "Arms and hinges",
        "Propellers",
        "Tank and lid",
        "Pump and hoses",
        "Nozzles, all alike",
        "Battery case",
        "Lights",
        "Marks readable",
        "Remote ID sends",
        "Return to home works",
    ):
        s.text(40, y + 2, words, 9)
        end = 48 + s.c.stringWidth(words, "Helvetica", 9)
        s.c.setFillGray(0.5)
        s.text(end, y + 2, "." * int((280 - end) / 2.6), 9)
        s.c.setFillGray(0)
        for x in (300, 335, 370):
            s.pen(0.8)
            s.c.rect(x - 5, y, 10, 10)
            s.note("check", (x - 5, y, x + 5, y + 10), words)
        s.line("text", (395, 572, y), 16, words)
        y -= 24
    return _walk_foot(s, y - 6)


def _walk_foot(s: Sheet, y: float) -> int:
    s.text(40, y + 4, "What was mended:", 9, font=BOLD)
    for n in range(4):
        s.rule(40, 572, y - 18 - n * 20)
    s.note("text", (40, y - 78, 572, y - 2), "What was mended")
    y -= 106
    s.text(40, y, "The aircraft may fly:", 9, font=BOLD)
    end: float = 150
    for words in ("at once", "after the work above", "not this season"):
        end = s.glyph(end, y, words, size=11) + 20
    y -= 50
    s.under("signature", (40, 280, y), "Checked by (signature)", 28)
    s.under("printed-name", (300, 460, y), "Printed name", 28)
    s.under("date", (480, 572, y), "Date", 28)
    return s.save()


def fee_sheet() -> int:
    """Money: printed prices, counts and sums to write, thin filled bars as rules."""
    s = Sheet("fee_sheet")
    s.logo(500, 712, 56, "PLO")
    s.text(56, 748, "Prairie Licensing Office", 11, font="Times-Bold")
    s.text(56, 728, "Fee sheet to go with every application", 15, font="Times-Bold")
    for n, (kind, words) in enumerate(
        (("text", "Payer"), ("address", "Address"), ("number", "Account (if any)"))
    ):
        s.text(56, 694 - n * 24, words, 10, font="Times-Roman")
        s.c.rect(150, 691 - n * 24, 330, 0.8, stroke=0, fill=1)
        s.note(kind, (150, 692 - n * 24, 480, 708 - n * 24), words)
    rows = (
        ("Commercial license, one year", "$120.00"),
        ("Private license, three years", "$ 45.00"),
        ("Each category beyond the first", "$ 20.00"),
        ("Aircraft sticker", "$ 15.00"),
        ("Late charge", "$ 30.00"),
    )
    top = 616.0
    s.frame((56, top - 22 * 7, 556, top), 1)
    for x in (290, 360, 430):
        s.post(x, top - 22 * 6, top, 0.6)
    for x, words in ((173, "What for"), (325, "Each"), (395, "How many"), (493, "Sum")):
        s.text(x, top - 15, words, 9.5, font="Times-Bold", at="middle")
    for n, (words, price) in enumerate(rows):
        y = top - 22 * (n + 1)
        s.rule(56, 556, y, 0.6)
        s.text(62, y - 15, words, 9.5, font="Times-Roman")
        s.text(354, y - 15, price, 9.5, font="Times-Roman", at="right")
        s.note("number", (360, y - 22, 430, y), "How many")
        s.text(434, y - 15, "$", 9.5, font="Times-Roman")
        s.note("amount", (440, y - 22, 556, y), "Sum")
    s.rule(56, 556, top - 22 * 6, 1)
    s.text(424, top - 22 * 7 + 7, "Total enclosed", 10, font="Times-Bold", at="right")
    s.post(430, top - 22 * 7, top - 22 * 6, 0.6)
    s.text(434, top - 22 * 7 + 7, "$", 9.5, font="Times-Roman")
    s.note("amount", (440, top - 22 * 7, 556, top - 22 * 6), "Total")
    return _fee_foot(s)


def _fee_foot(s: Sheet) -> int:
    s.text(56, 436, "I pay by", 10, font="Times-Bold")
    s.square(110, 436, "check, number", font="Times-Roman", size=10)
    s.line("number", (190, 280, 434), 15)
    s.square(296, 436, "money order", font="Times-Roman", size=10)
    s.square(386, 436, "card (call the office)", font="Times-Roman", size=10)
    s.under("signature", (56, 300, 384), "Signature of payer", 28, font="Times-Roman")
    s.under("date", (320, 430, 384), "Date", 28, font="Times-Roman")
    s.rule(56, 556, 352, 0.5)
    s.prose(
        (56, 336, 556),
        "Make the check out to the Prairie Licensing Office. Do not send cash. A check that comes "
        "back costs $25.00 more. Fees are not given back when a license is refused.",
        9,
        font="Times-Italic",
    )
    s.rule(56, 556, 300, 0.5)
    s.tint((56, 200, 556, 280), GREY)
    s.text(62, 266, "Cashier only", 9, font="Times-Bold")
    for n, words in enumerate(("Date received", "Sum", "Receipt")):
        s.text(62 + n * 165, 226, words, 8, font="Times-Roman")
        s.rule(62 + n * 165, 212 + n * 165, 238)
    s.note("ignore", (56, 200, 556, 280))
    return s.save()


FORMS = (turned_roster, walk_round, fee_sheet)
