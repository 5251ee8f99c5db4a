"""Lined forms: labels under lines, dotted leaders, two columns, long answers."""

from pad import A4, Gap, Look, Pad
from parts import Area, Part, asks, bar, boxed, frame, office, tick, ticks, under, upto


def consent() -> Pad:
    """Every label stands under its line, in small print, lines of lengths by lot."""
    pad = Pad("landowner_consent", Look(plain="Helvetica", bold="Helvetica-Bold", body=10, seed=11))
    pad.say(306, 744, "Consent of a Landowner to Aerial Application", 14, bold=True, at="c")
    pad.say(306, 728, "County Desk for Field Aviation, Form 14-C", 8, at="c")
    y = 690.0
    rows: tuple[tuple[tuple[str, str, float], ...], ...] = (
        (("Name of landowner", "text", 0.6), ("Telephone", "number", 0.4)),
        (("Street", "address", 0.5), ("City", "address", 0.3), ("ZIP", "address", 0.2)),
        (("Legal description of the field", "text", 1.0),),
        (
            ("Acres", "number", 0.2),
            ("Crop or cover", "text", 0.4),
            ("Nearest house (feet)", "number", 0.4),
        ),
        (("Name of tenant, if any", "printed-name", 0.6), ("Telephone of tenant", "number", 0.4)),
        (("Product", "text", 0.5), ("Registration number of the product", "number", 0.5)),
        (
            ("From (date)", "date", 0.3),
            ("To (date)", "date", 0.3),
            ("Price per acre", "amount", 0.4),
        ),
    )
    for row in rows:
        space = pad.lot.choice((10, 14, 20))
        whole = 468 - space * (len(row) - 1) - pad.lot.choice((0, 12, 30))
        parts: list[Part] = [(label, kind, whole * share) for label, kind, share in row]
        under(pad, (72, y), parts, size=pad.lot.choice((7, 7.5, 8)), space=space)
        y -= pad.lot.choice((36, 38, 42))
    for words in (
        "The landowner lets the applicator named below fly over and treat the field, and says",
        "that the bees, wells and gardens within a quarter mile have been named on the map.",
    ):
        pad.say(72, y, words)
        y -= 14
    y -= 44
    for who in ("Landowner", "Applicator", "Witness"):
        parts = [
            (f"{who}: signature", "signature", 210),
            ("Printed name", "printed-name", 150),
            ("Date", "date", 80),
        ]
        under(pad, (72, y), parts)
        y -= 42
    return pad


def letter() -> Pad:
    """A letter with a column of answers at the right of the text."""
    pad = Pad("two_column_letter", Look(plain="Times-Roman", bold="Times-Bold", body=10, seed=13))
    pad.say(60, 744, "OFFICE OF FIELD AVIATION", 12, bold=True)
    pad.say(60, 730, "Box 5, Burrell Crossing", 9)
    pad.say(552, 744, "Our letter of 11 January 2027", 9, at="r")
    pad.rule(60, 722, 552, 0.8)
    left = (
        "Dear operator,",
        "",
        "your application cannot be worked on yet. Please",
        "answer in the right column and return this letter",
        "within sixty days. A letter that is not returned",
        "closes the matter, and the fee is lost.",
        "",
        "1.  Say what the aircraft weighs with all that is",
        "fixed to it, with full tanks and batteries.",
        "",
        "2.  The serial number on the application and the",
        "one on the affidavit differ. Copy it from the plate.",
        "",
        "3.  The affidavit bears no stamp. Name the notary",
        "and the day on which the commission ends.",
        "",
        "4.  Name the person who may bind the company, and",
        "say by what right.",
    )
    for number, words in enumerate(left):
        pad.say(60, 700 - number * 15, words)
    pad.canvas.line(312, 424, 312, 712)
    y = 692.0
    right = (
        ("Name of operator", "text"),
        ("File number", "number"),
        ("Empty weight, lb", "number"),
        ("Take-off weight, lb", "number"),
        ("Serial number on the plate", "number"),
        ("Name of notary", "printed-name"),
        ("Commission ends", "date"),
        ("Name", "printed-name"),
        ("Title", "title"),
        ("Since (date)", "date"),
    )
    letter_rest(pad, right, y)
    return pad


def letter_rest(pad: Pad, right: tuple[tuple[str, str], ...], y: float) -> None:
    """The lower part of the form."""
    for label, kind in right:
        upto(pad, (326, y), 552, (label, kind))
        y -= 26
    pad.say(60, 396, "5.  The following papers are missing. Tick those which you enclose:")
    papers = (
        "bill of sale",
        "affidavit",
        "statement of the company",
        "fee",
        "map",
        "photograph of the plate",
    )
    for number, paper in enumerate(papers):
        tick(pad, (76 + number // 3 * 240, 374 - number % 3 * 19), paper, how="blank")
    pad.say(60, 304, "6.  Explain any paper that you cannot send:")
    low = pad.answer("text", "cannot send", (76, 552), 280, (4, 21))
    letter_foot(pad, low - 40)


def letter_foot(pad: Pad, y: float) -> None:
    """The answers at the foot, in two columns."""
    for x, who in ((60, "For the operator"), (318, "For the preparer of the answer")):
        pad.say(x, y, who, bold=True)
        upto(pad, (x, y - 24), x + 234, ("Signature", "signature"))
        upto(pad, (x, y - 46), x + 234, ("Name in print", "printed-name"))
        upto(pad, (x, y - 68), x + 234, ("Date", "date"))


def dotted() -> Pad:
    """Dotted leaders to write on, made of full stops; a list of fees with leaders that are none."""
    pad = Pad("dotted_request", Look(size=A4, plain="Helvetica", bold="Helvetica-Bold", body=10))
    pad.say(60, 792, "Request for Copies of a Record", 15, bold=True)
    pad.say(60, 776, "Archive of the Division of Field Flight", 9)
    fees = (
        ("Copy of one page", "1.00"),
        ("Copy of a certificate", "5.00"),
        ("Certified copy", "12.00"),
    )
    for number, (words, price) in enumerate(fees):
        y = 748.0 - number * 15
        end = pad.say(60, y, words)
        dots = "." * int((300 - end) / pad.width("."))
        pad.say(end + 2, y, dots)
        pad.say(340, y, price, at="r")
    y = 678.0
    rows: tuple[list[Part], ...] = (
        [("Name", "printed-name", 430)],
        [("Firm", "text", 250), ("Telephone", "number", 110)],
        [("Street", "address", 210), ("City", "address", 180)],
        [("Register number of the aircraft", "number", 110), ("Serial number", "number", 110)],
        [("Record dated from", "date", 110), ("until", "date", 110)],
        [
            ("Number of copies", "number", 60),
            ("of which certified", "number", 60),
            ("Fee sent $", "amount", 70),
        ],
    )
    for row in rows:
        asks(pad, (60, y), row, "dots")
        y -= 28
    y = pad.sentence(
        [
            "I need the record because ",
            Gap("text", "because", 300),
            " and will use it only for ",
            Gap("text", "only for", 230),
            ".",
        ],
        (60, y - 8, 475),
        26,
        "dots",
    )
    dotted_rest(pad, y)
    return pad


def dotted_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    pad.say(60, y - 34, "The copies shall be")
    ticks(pad, (160, y - 34), ["sent by mail", "fetched", "sent as a file"], how="ballot")
    y -= 74
    asks(pad, (60, y), [("Signed", "signature", 220), ("on", "date", 100)], "dots")
    y -= 40
    frame(pad, Area(60, y - 130, 475, 130))
    pad.say(
        66,
        y - 14,
        "To be filled in by the owner of the aircraft, if another person asks",
        bold=True,
    )
    asks(pad, (70, y - 42), [("Owner", "text", 380)], "dots")
    pad.sentence(
        ["lets ", Gap("printed-name", "lets", 180), " have the record."],
        (70, y - 70, 450),
        0,
        "dots",
    )
    asks(
        pad, (70, y - 98), [("Signature of owner", "signature", 190), ("Date", "date", 100)], "dots"
    )


def incident() -> Pad:
    """A report with long answers, times and underscores before the options."""
    pad = Pad(
        "incident_report",
        Look(plain="DejaVuSansCondensed", bold="DejaVuSansCondensed-Bold", body=9.5),
    )
    pad.say(54, 748, "Report of a Mishap or of Drift", 16, bold=True)
    pad.say(558, 748, "send within 10 days", 8, at="r")
    bar(pad, Area(54, 718, 504, 17), "The event")
    asks(
        pad,
        (54, 696),
        [
            ("Date", "date", 100),
            ("Time", "text", 70),
            ("Wind, mph", "number", 50),
            ("Temperature", "number", 60),
        ],
    )
    upto(pad, (54, 672), 558, ("Place (nearest road crossing)", "text"))
    pad.say(54, 648, "It was a")
    ticks(
        pad,
        (104, 648),
        ["crash", "drift", "spill", "near miss", "lost link"],
        how="blank",
        space=12,
    )
    pad.say(54, 624, "What happened? Begin with the take-off.")
    y = pad.answer("text", "What happened?", (54, 558), 602, (5, 20))
    pad.say(54, y - 22, "What was damaged, and whose is it?")
    y = pad.answer("text", "What was damaged", (54, 558), y - 44, (3, 20))
    asks(
        pad,
        (54, y - 28),
        [
            ("Persons hurt (number)", "number", 50),
            ("Loss, about $", "amount", 90),
            ("Acres touched", "number", 60),
        ],
    )
    y -= 52
    bar(pad, Area(54, y, 504, 17), "The aircraft and its crew")
    incident_rest(pad, y)
    return pad


def incident_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    for number in (1, 2):
        asks(
            pad,
            (54, y - 24),
            [
                (f"Pilot {number}", "printed-name", 190),
                ("Certificate no.", "number", 100),
                ("Hours flown", "number", 50),
            ],
        )
        y -= 25
    asks(
        pad,
        (54, y - 24),
        [
            ("Maker, model", "text", 150),
            ("Serial no.", "number", 105),
            ("Register no.", "number", 60),
        ],
    )
    asks(
        pad,
        (54, y - 49),
        [("Product", "text", 180), ("EPA reg. no.", "number", 110), ("Gallons left", "number", 50)],
    )
    y -= 66
    boxed(
        pad,
        "text",
        "Sketch of the field, with north and the wind",
        Area(54, y - 92, 300, 92),
        size=8,
    )
    boxed(
        pad, "text", "Names and telephones of those who saw it", Area(354, y - 92, 204, 92), size=8
    )
    y -= 124
    under(
        pad,
        (54, y),
        [
            ("Signature of the person reporting", "signature", 220),
            ("Printed name", "printed-name", 160),
            ("Date", "date", 96),
        ],
    )
    office(pad, Area(54, 40, 504, 30), ("Case", "Officer", "Closed"))


FORMS = (consent, letter, dotted, incident)
