"""Forms of lines: captions below, ahead, in running sentences, dotted, typed."""

from fresh_kit import A4, BOLD, Part, Sheet

SERIF, SERIF_BOLD, SERIF_SLANT = "Times-Roman", "Times-Bold", "Times-Italic"


def authority_letter() -> int:
    """A sparse page in the manner of a letter: a few rules with captions below."""
    s = Sheet("authority_letter")
    s.text(306, 730, "GRASSLANDS AVIATION REGISTER", 14, font=SERIF_BOLD, at="middle")
    s.text(306, 714, "Statement of authority to sign", 12, font=SERIF_SLANT, at="middle")
    s.under("date", (400, 540, 668), "Date", font=SERIF)
    s.prose(
        (72, 630, 540),
        "To the Register: The company named below has given the person named below the right to "
        "sign papers that concern its unmanned aircraft, until it tells the Register otherwise in "
        "writing.",
        11.5,
        font=SERIF,
    )
    s.under("text", (72, 540, 544), "Name of the company, as registered", 24, font=SERIF)
    s.under("text", (72, 330, 496), "Name of the person who may sign", 24, font=SERIF)
    s.under("title", (350, 540, 496), "Title", 24, font=SERIF)
    s.under("address", (72, 540, 448), "Street address, city, state, ZIP code", 24, font=SERIF)
    s.prose(
        (72, 412, 540),
        "The right covers applications, bills of sale and notices of a change of address. It does "
        "not cover any loan.",
        11.5,
        font=SERIF,
    )
    s.under("signature", (72, 330, 330), "Signature of the person who may sign", 34, font=SERIF)
    s.under("signature", (72, 330, 264), "Signature of an officer of the company", 34, font=SERIF)
    s.under("date", (350, 540, 330), "Date signed", 34, font=SERIF)
    s.under("date", (350, 540, 264), "Date signed", 34, font=SERIF)
    s.text(306, 40, "GAR 31", 8, font=SERIF, at="middle")
    return s.save()


def sentence_sale() -> int:
    """A sale told in sentences, with drawn rules inside them."""
    s = Sheet("sentence_sale")
    s.frame((54, 60, 558, 748), 2)
    s.frame((58, 64, 554, 744), 0.5)
    s.text(306, 712, "SALE OF AN UNMANNED AIRCRAFT", 16, font=SERIF_BOLD, at="middle")
    s.text(306, 696, "Register of Small Craft, form RSC 9", 9, font=SERIF, at="middle")
    lines: tuple[list[Part], ...] = (
        ["For the sum of $ ", ("amount", 110), " and other good value, the seller ", ("text", 120)],
        ["of ", ("address", 240), " sells and hands over to the buyer"],
        [("text", 250), " the aircraft made by ", ("text", 110)],
        ["model ", ("text", 150), " serial number ", ("number", 180)],
        ["with the registration mark N", ("number", 90), " , free of every claim but these:"],
    )
    y: float = 654
    for parts in lines:
        s.running(80, y, parts, 11.5, font=SERIF, high=17, drawn=True)
        y -= 28
    for _ in range(3):
        s.rule(80, 532, y - 4)
        y -= 24
    s.note("text", (80, y + 20, 532, y + 84), "Claims")
    y -= 10
    s.running(
        80,
        y,
        ["Handed over on the ", ("date", 40), " day of ", ("date", 110), ", 20", ("date", 30), "."],
        11.5,
        font=SERIF,
        high=17,
        drawn=True,
    )
    y -= 44
    for who in ("Seller", "Buyer"):
        s.text(80, y + 8, who, 11, font=SERIF_BOLD)
        s.under("signature", (130, 330, y), "Signature", 28, size=8, font=SERIF_SLANT)
        s.under("title", (350, 532, y), "Title, if for a company", 28, size=8, font=SERIF_SLANT)
        y -= 48
        s.under("printed-name", (130, 330, y), "Printed name", 26, size=8, font=SERIF_SLANT)
        s.under("date", (350, 532, y), "Date", 26, size=8, font=SERIF_SLANT)
        y -= 56
    s.text(
        306, 78, "Keep a copy. The Register gives no advice.", 8.5, font=SERIF_SLANT, at="middle"
    )
    return s.save()


# each line as typed, and its places: kind, first column, column after the last
TYPED: tuple[tuple[str, tuple[tuple[str, int, int], ...]], ...] = (
    ("COUNTY OF LOWER BEND                                    FILE WITH THE CLERK", ()),
    ("NOTICE OF AERIAL WORK NEAR A SCHOOL OR A HOME", ()),
    ("---------------------------------------------------------------------------", ()),
    ("", ()),
    ("Name of applicator: ___________________________________", (("text", 20, 55),)),
    (
        "License No.: ________________  Expires: __/__/____",
        (("number", 13, 29), ("date", 40, 50)),
    ),
    ("Address: ______________________________________________________", (("address", 9, 63),)),
    (
        "City: ____________________  State: ____  Zip: __________",
        (("address", 6, 26), ("address", 35, 39), ("address", 46, 56)),
    ),
    (
        "Telephone: (___) ___-____    Emergency: (___) ___-____",
        (("number", 11, 25), ("number", 40, 54)),
    ),
    ("", ()),
    ("1. Place of the work (mark one or more)", ()),
    (
        "   [ ] school    [ ] day care    [ ] home within 300 feet    [ ] park",
        (("check", 3, 6), ("check", 17, 20), ("check", 33, 36), ("check", 61, 64)),
    ),
    ("   [ ] other: ______________________________", (("check", 3, 6), ("text", 14, 44))),
    ("2. Work will be done by", ()),
    (
        "   [ ] unmanned aircraft    [ ] manned aircraft    [ ] both",
        (("check", 3, 6), ("check", 28, 31), ("check", 51, 54)),
    ),
    (
        "3. Has the neighbor agreed?   [ ] yes   [ ] no   [ ] not asked",
        (("check", 30, 33), ("check", 40, 43), ("check", 49, 52)),
    ),
    ("", ()),
    (
        "4. Product: ______________________  EPA Reg. No.: ____________",
        (("text", 12, 34), ("number", 50, 62)),
    ),
    (
        "5. Acres: ________  Height of flight (feet): ________",
        (("number", 10, 18), ("number", 45, 53)),
    ),
    (
        "6. Day: ______________ 20__  from ______ to ______ o'clock",
        (("date", 8, 22), ("date", 25, 27), ("text", 34, 40), ("text", 44, 50)),
    ),
    ("7. Persons told beforehand:", ()),
    (
        "   a. ______________________________  on ____________",
        (("text", 6, 36), ("date", 41, 53)),
    ),
    (
        "   b. ______________________________  on ____________",
        (("text", 6, 36), ("date", 41, 53)),
    ),
    (
        "   c. ______________________________  on ____________",
        (("text", 6, 36), ("date", 41, 53)),
    ),
    ("", ()),
    ("===========================================================================", ()),
    ("I have read the label of each product and will follow it.", ()),
    ("", ()),
    (
        "____________________________________   ____________________",
        (("signature", 0, 36), ("date", 39, 59)),
    ),
    ("Signature of applicator                Date", ()),
    ("", ()),
    (
        "____________________________________   ____________________",
        (("printed-name", 0, 36), ("title", 39, 59)),
    ),
    ("Name typed or printed                  Title", ()),
)


def typed_brackets() -> int:
    """As from a typewriter: one width of letter, underscores, brackets to mark."""
    s = Sheet("typed_brackets")
    mono = 10.0
    step = 6.0
    y: float = 738
    for words, places in TYPED:
        s.text(72, y, words, mono, font="Courier")
        for kind, first, last in places:
            bottom, top = (y - 2, y + 9) if kind == "check" else (y - 2, y + 12)
            s.note(kind, (72 + first * step, bottom, 72 + last * step, top))
        y -= 20
    return s.save()


def dotted_leaders() -> int:
    """An A4 page of dots: to write on, and, in the table of prices, only to lead the eye."""
    s = Sheet("dotted_leaders", A4)
    s.text(50, 785, "Office of Field Aviation, Lesser Marram", 11, font=BOLD)
    s.text(50, 768, "FA 40: Request for a yearly sticker", 14, font=SERIF_BOLD)
    y: float = 730
    for kind, words in (
        ("text", "Name of the keeper"),
        ("address", "Postal address"),
        ("number", "Telephone"),
        ("text", "Make and type of aircraft"),
        ("number", "Serial number"),
        ("date", "Date of purchase"),
    ):
        end = s.text(50, y, words + " ", 10, font=SERIF)
        count = int((545 - end) / 2.5)
        s.text(end, y, "." * count, 10, font=SERIF)
        s.note(kind, (end, y - 2, end + count * 2.5, y + 14), words)
        y -= 26
    y -= 8
    s.text(50, y, "Fees", 11, font=SERIF_BOLD)
    y -= 18
    for words, price in (("First sticker", "30.00"), ("Each more", "12.50"), ("Lost one", "18.00")):
        end = s.text(70, y, words + " ", 10, font=SERIF)
        s.text(end, y, "." * int((400 - end) / 2.5), 10, font=SERIF)
        s.text(440, y, price, 10, font=SERIF, at="right")
        y -= 15
    return _dotted_foot(s, y - 14)


def _dotted_foot(s: Sheet, y: float) -> int:
    for kind, words in (("number", "Stickers wanted"), ("amount", "I enclose (total)")):
        end = s.text(50, y, words + " ", 10, font=SERIF)
        count = int((300 - end) / 2.5)
        s.text(end, y, "." * count, 10, font=SERIF)
        s.note(kind, (end, y - 2, end + count * 2.5, y + 14), words)
        y -= 24
    for words in ("Send the sticker to the address above.", "I will fetch it at the office."):
        s.glyph(50, y, words, size=12, font=SERIF)
        y -= 20
    y -= 40
    s.c.setDash(1, 2)
    for kind, left, right, words in (
        ("text", 50, 180, "Place"),
        ("date", 195, 290, "Date"),
        ("signature", 305, 545, "Signature of the keeper"),
    ):
        s.under(kind, (left, right, y), words, 26, size=8, font=SERIF)
    s.c.setDash()
    s.frame((50, 70, 545, 190), 0.5)
    s.text(58, 174, "What happens next", 10, font=SERIF_BOLD)
    for n, (words, page) in enumerate((("Your sticker", "2"), ("Your duties", "3"), ("Loss", "5"))):
        end = s.text(58, 152 - n * 18, words + " ", 9, font=SERIF)
        s.text(end, 152 - n * 18, ". " * int((520 - end) / 4.5), 9, font=SERIF)
        s.text(536, 152 - n * 18, page, 9, font=SERIF, at="right")
    return s.save()


FORMS = (authority_letter, sentence_sale, typed_brackets, dotted_leaders)
