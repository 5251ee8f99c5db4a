"""Odd forms: patterns of strokes, labels after their lines, cells of grey, a half sheet twice."""

from pad import HALF, Gap, Look, Open, Pad
from parts import Area, asks, frame, tick, under, upto

FOR_DAY, FOR_PHONE = "____/____/______", "(_____) _____-________"


def waiver() -> Pad:
    """Dates and telephones as patterns, units after the lines, corners that are round."""
    pad = Pad("short_waiver", Look(plain="Helvetica", bold="Helvetica-Bold", body=10, rule=0.75))
    pad.say(60, 744, "WAIVER OF NOTICE TO NEIGHBORS", 14, bold=True)
    pad.say(60, 729, "Inspectorate of Growing Fields", 9)
    y = 696.0
    for label, kind, pattern, more in (
        ("Date of request:", "date", FOR_DAY, "Request no."),
        ("Spraying begins:", "date", FOR_DAY, "Permit no."),
        ("Telephone:", "number", FOR_PHONE, "Fax no."),
    ):
        start = pad.say(60, y, label) + 5
        end = start + pad.width(pattern)
        pad.say(start, y, pattern)
        pad.open.append(_open(kind, label, (start, end), y))
        upto(pad, (340, y), 552, (more, "number"))
        y -= 27
    rows: tuple[list[str | Gap], ...] = (
        [
            "The field lies in section ",
            Gap("text", "section", 60),
            " and has ",
            Gap("number", "has", 60),
            " acres.",
        ],
        [
            "The wind shall be at most ",
            Gap("number", "at most", 50),
            " mph, the drops not below ",
            Gap("number", "not below", 60),
            " microns.",
        ],
        [
            "The tank holds ",
            Gap("number", "holds", 60),
            " gallons; a fee of ",
            Gap("amount", "a fee of", 70),
            " dollars is enclosed.",
        ],
    )
    for row in rows:
        pad.sentence(row, (60, y, 492))
        y -= 27
    y = _rounded(pad, y)
    waiver_rest(pad, y)
    return pad


def waiver_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    pad.say(60, y - 24, "Neighbors within a quarter mile, each of whom signs:", bold=True)
    y -= 50
    for number in (1, 2, 3, 4):
        end = pad.say(60, y, f"{number}.") + 4
        pad.line("printed-name", f"{number}. name", (end, 220), y - 1.5)
        pad.say(222, y, "(name)", 7)
        pad.line("signature", f"{number}. signature", (256, 440), y - 1.5)
        pad.say(442, y, "(signature)", 7)
        pad.line("date", f"{number}. date", (486, 530), y - 1.5)
        pad.say(532, y, "(date)", 7)
        y -= 28
    pad.sentence(
        ["Signed at ", Gap("address", "Signed at (city and state)", 200), " (city and state)."],
        (60, y - 8, 492),
    )
    under(
        pad,
        (60, y - 56),
        [
            ("Applicator's signature", "signature", 230),
            ("Applicator's printed name", "printed-name", 240),
        ],
        size=8,
    )


def _open(kind: str, label: str, span: tuple[float, float], y: float) -> Open:
    return Open(kind, label, span[0], span[1], y - 1, y - 1)


def _rounded(pad: Pad, y: float) -> float:
    """Boxes with round corners, their labels above the upper edge."""
    x = 60.0
    for label, kind, wide in (
        ("Crop", "text", 150.0),
        ("Product", "text", 190.0),
        ("EPA reg. no.", "number", 128.0),
    ):
        pad.say(x + 3, y - 6, label, 8)
        pad.canvas.roundRect(x, y - 34, wide, 23, 5)
        for edge in (y - 34, y - 11):
            pad.prints.append((x, edge, x + wide, edge))
        pad.note(kind, label, (x, y - 34, x + wide, y - 11))
        x += wide + 12
    return y - 34


def dealer() -> Pad:
    """Dark label cells at the left, white cells at the right; grey cells without any line."""
    pad = Pad(
        "dealer_record",
        Look(plain="DejaVuSansCondensed", bold="DejaVuSansCondensed-Bold", body=9, seed=19),
    )
    pad.say(50, 748, "Record of Sales of Restricted Products", 14, bold=True)
    pad.say(50, 733, "Division of Growing Field Inspection, yearly return of a dealer", 8)
    y = 712.0
    for label, kind in (
        ("Dealer", "text"),
        ("Licence number", "number"),
        ("Street address", "address"),
        ("City, state, ZIP", "address"),
        ("Contact person", "printed-name"),
        ("Year ends on", "date"),
    ):
        frame(pad, Area(50, y - 22, 130, 22), 0.3)
        pad.canvas.setFillGray(1)
        pad.say(56, y - 15, label, bold=True)
        pad.canvas.setFillGray(0)
        frame(pad, Area(180, y - 22, 380, 22))
        pad.note(kind, label, (180, y - 22, 560, y))
        y -= 22
    heads = (
        ("Date", "date", 70.0),
        ("Buyer", "text", 150.0),
        ("Licence no.", "number", 90.0),
        ("Product", "text", 120.0),
        ("Gallons", "number", 70.0),
    )
    y -= 24
    x = 50.0
    for head, _, wide in heads:
        pad.say(x, y, head, 8, bold=True)
        x += wide + 2.5
    for _ in range(9):
        y -= 23
        x = 50.0
        for head, kind, wide in heads:
            frame(pad, Area(x, y, wide, 19), 0.9, stroke=False)
            pad.note(kind, head, (x, y, x + wide, y + 19))
            x += wide + 2.5
    y -= 30
    dealer_rest(pad, y)
    return pad


def dealer_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    pad.say(50, y, "Products were sold to")
    x = 160.0
    for words in ("licence holders only", "others as well"):
        x = tick(pad, (x, y), words, how="circle") + 16
    pad.rule(50, y - 14, 560)
    pad.rule(50, y - 16.5, 560)
    asks(
        pad,
        (50, y - 44),
        [("Signature", "signature", 210), ("Title", "title", 110), ("Date", "date", 80)],
    )


def receipt() -> Pad:
    """Two receipts on one half sheet, one for each side."""
    pad = Pad(
        "fee_receipt", Look(size=HALF, plain="Courier", bold="Courier-Bold", body=9, rule=0.5)
    )
    for top, words in ((570.0, "COPY FOR THE OFFICE"), (278.0, "COPY FOR THE PAYER")):
        pad.say(30, top, "RECEIPT FOR A FEE", 12, bold=True)
        pad.say(390, top, words, 7, at="r")
        asks(pad, (30, top - 28), [("No.", "number", 90), ("Date", "date", 120)])
        low = pad.sentence(
            [
                "Received from ",
                Gap("text", "Received from", 210),
                " the sum of $",
                Gap("amount", "the sum of", 80),
                " for ",
                Gap("text", "for", 160),
                " by ",
            ],
            (30, top - 58, 360),
            24,
        )
        x = 30.0
        for kind in ("cash", "check", "card"):
            x = tick(pad, (x, low - 24), kind, how="[ ]") + 14
        upto(pad, (x, low - 24), 390, ("check no.", "number"))
        upto(pad, (30, low - 52), 390, ("Received by (signature)", "signature"))
        upto(pad, (30, low - 78), 390, ("Name in print", "printed-name"))
    pad.canvas.setDash(4, 3)
    pad.canvas.line(12, 297, 408, 297)
    pad.canvas.setDash()
    pad.prints.append((12, 297, 408, 297))
    return pad


FORMS = (waiver, dealer, receipt)
