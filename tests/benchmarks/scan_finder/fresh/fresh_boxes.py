"""Forms of boxes: captions in the corner, boxes for letters, tinted places, two tight columns."""

from fresh_kit import A4, BOLD, Sheet

GREY = (0.82, 0.82, 0.82)
BLUE = (0.86, 0.92, 0.98)
SAND = (0.96, 0.93, 0.84)


def permit_grid() -> int:
    """A full Letter page of boxes that share their sides."""
    s = Sheet("permit_grid")
    s.logo(36, 728, 40, "TB")
    s.text(84, 752, "Commonwealth of Tamarisk", 9)
    s.text(84, 738, "APPLICATION FOR A LOW FLIGHT SPRAYING PERMIT", 13, font=BOLD)
    s.text(576, 752, "Form TB-114 (rev. 3)", 7, at="right")
    s.tint((36, 690, 576, 722), GREY)
    s.frame((36, 690, 576, 722))
    for x, words in ((39, "BUREAU USE ONLY"), (200, "Received"), (330, "Batch"), (450, "Clerk")):
        s.text(x, 713, words, 6, font=BOLD)
    s.note("ignore", (36, 690, 576, 722))
    s.tint((36, 674, 576, 686), (0.15, 0.15, 0.15))
    s.c.setFillGray(1)
    s.text(40, 677, "PART A   WHO APPLIES", 8, font=BOLD)
    s.c.setFillGray(0)
    y: float = 674
    for row in (
        [
            ("text", "1. LAST NAME OR NAME OF BUSINESS", 280),
            ("text", "2. FIRST NAME", 180),
            ("text", "3. MIDDLE", 80),
        ],
        [
            ("address", "4. STREET OR BOX", 240),
            ("address", "5. CITY OR TOWN", 140),
            ("address", "6. STATE", 60),
            ("address", "7. ZIP CODE", 100),
        ],
        [
            ("number", "8. DAYTIME TELEPHONE", 135),
            ("number", "9. FAX", 135),
            ("text", "10. ELECTRONIC MAIL", 270),
        ],
        [
            ("date", "11. DATE OF BIRTH", 135),
            ("number", "12. APPLICATOR LICENSE NO.", 135),
            ("text", "13. CATEGORIES", 170),
            ("date", "14. EXPIRES", 100),
        ],
    ):
        y = s.cells((36, y, 28), row, split=True)
    s.tint((36, y - 16, 576, y - 4), (0.15, 0.15, 0.15))
    s.c.setFillGray(1)
    s.text(40, y - 13, "PART B   AIRCRAFT AND FIELD", 8, font=BOLD)
    s.c.setFillGray(0)
    return _permit_rest(s, y - 16)


def _permit_rest(s: Sheet, y: float) -> int:
    for row in (
        [("text", "15. MAKER", 180), ("text", "16. MODEL", 180), ("number", "17. SERIAL NO.", 180)],
        [
            ("number", "18. REGISTRATION MARK", 180),
            ("number", "19. TAKE-OFF WEIGHT (LB)", 180),
            ("number", "20. TANK SIZE (GAL)", 180),
        ],
    ):
        y = s.cells((36, y, 30), row, split=True)
    s.frame((36, y - 34, 576, y))
    s.runs(38.5, y - 8, "21. KIND OF WORK (MARK ALL THAT APPLY)", 6.5)
    x: float = 44
    for words in ("Weeds", "Insects", "Crop disease", "Seeding", "Defoliation", "Other"):
        x = s.square(x, y - 25, words) + 22
    y -= 34
    s.frame((36, y - 22, 270, y))
    s.text(38.5, y - 14, "22. Over a congested area?", 8)
    s.square(180, y - 14, "Yes")
    s.square(225, y - 14, "No")
    s.cell("number", (270, y - 22, 423, y), "23. ACRES")
    s.cell("date", (423, y - 22, 576, y), "24. FIRST FLIGHT")
    y -= 22
    s.cell("text", (36, y - 84, 576, y), "25. DESCRIBE THE FIELDS AND WHAT LIES AROUND THEM")
    y -= 84
    s.prose(
        (36, y - 14, 576),
        "I declare that the above is true and that I hold every paper this permit builds upon. A "
        "false statement may end the permit. This permit does not stand in for any label.",
        7.5,
    )
    y -= 36
    y = s.cells(
        (36, y, 40),
        [
            ("signature", "26. SIGNATURE OF APPLICANT", 300),
            ("title", "27. TITLE", 130),
            ("date", "28. DATE", 110),
        ],
    )
    s.text(36, y - 20, "Mail to: Bureau of Low Flight, Box 12, Tamarisk Ferry", 7)
    s.bars(430, 40)
    s.text(430, 32, "TB-114-03-0001", 6)
    return s.save()


def letter_combs() -> int:
    """An A4 page of small boxes for one letter each."""
    s = Sheet("letter_combs", A4)
    s.text(42, 790, "Agency for Rural Air Work", 16, font="VeraBd")
    s.text(42, 774, "ARAW 7/b    Notice of a new remote pilot", 10, font="Vera")
    s.prose(
        (42, 752, 553),
        "Use capital letters and black ink. Write one sign in each box. Leave a box empty between "
        "words. Do not write outside the boxes.",
        8,
        font="Vera",
    )
    y: float = 706
    for kind, words, count in (
        ("text", "Surname", 24),
        ("text", "Given names", 24),
        ("address", "Street and number", 24),
        ("address", "Town", 18),
        ("text", "E-mail", 30),
    ):
        s.text(42, y + 5, words, 8.5, font="Vera")
        s.comb(kind, (140, y), count, step=13.5, high=17, label=words)
        y -= 29
    s.text(42, y + 5, "Postcode", 8.5, font="Vera")
    s.comb("address", (140, y), 6, step=13.5, high=17)
    s.text(260, y + 5, "Telephone", 8.5, font="Vera")
    s.comb("number", (325, y), 11, step=13.5, high=17)
    y -= 34
    s.text(42, y + 5, "Born on", 8.5, font="Vera")
    end = s.comb("date", (140, y), 8, step=14, high=17)
    s.text(end + 6, y + 5, "DDMMYYYY", 6, font="Vera")
    s.text(325, y + 5, "Certificate", 8.5, font="Vera")
    s.comb("number", (400, y), 7, step=14, high=17)
    y -= 40
    s.text(42, y, "Aircraft flown", 10, font="VeraBd")
    for n in range(3):
        y -= 28
        s.text(42, y + 5, f"{n + 1}  Serial number", 8.5, font="Vera")
        end = s.comb("number", (140, y), 14, step=13.5, high=17)
        s.text(end + 10, y + 5, "Mass (kg)", 8.5, font="Vera")
        s.comb("number", (end + 60, y), 4, step=13.5, high=17)
    return _combs_foot(s, y - 36)


def _combs_foot(s: Sheet, y: float) -> int:
    s.text(42, y, "Flights", 10, font="VeraBd")
    for words in ("by day", "by night", "with more than one aircraft", "with an observer"):
        y -= 18
        s.square(140, y, words, side=10, font="Vera")
    y -= 50
    s.frame((42, y - 20, 300, y + 30), 1)
    s.note("signature", (42, y - 20, 300, y + 30), "Signature")
    s.text(42, y - 30, "Signature (keep inside the frame)", 7, font="Vera")
    s.text(330, y + 20, "Signed on", 8.5, font="Vera")
    s.comb("date", (330, y - 6), 8, step=14, high=17)
    s.rule(42, 553, 60, 1.5)
    s.text(42, 48, "Return both sheets. ARAW, Dune Road 1, Lesser Marram", 7, font="Vera")
    return s.save()


def tinted_panels() -> int:
    """Places without any line: white on a tinted panel above, tinted on white below."""
    s = Sheet("tinted_panels", A4)
    s.tint((0, 782, 595, 842), (0.13, 0.3, 0.42))
    s.c.setFillGray(1)
    s.text(40, 812, "Marram Valley Water Board", 17, font=BOLD)
    s.text(40, 794, "Consent to spray near open water  |  W-22", 10)
    s.c.setFillGray(0)
    s.tint((40, 566, 555, 764), SAND)
    s.text(50, 748, "1  The person in charge", 11, font=BOLD)
    y: float = 722
    for kind, words in (
        ("text", "Full name"),
        ("text", "Trading as"),
        ("address", "Address"),
        ("number", "Mobile number"),
        ("number", "Certificate number"),
        ("date", "Valid until"),
    ):
        s.text(50, y + 5, words, 9)
        s.tint((170, y, 545, y + 19), (1, 1, 1))
        s.note(kind, (170, y, 545, y + 19), words)
        y -= 26
    s.text(40, 550, "2  The water", 11, font=BOLD)
    y = 512
    for left, right in (
        (("text", "Name of the water"), ("text", "Kind of water")),
        (("number", "Distance in metres"), ("number", "Length in metres")),
        (("text", "Product"), ("number", "Approval number")),
        (("number", "Litres per hectare"), ("amount", "Fee paid")),
        (("date", "From (date)"), ("date", "To (date)")),
    ):
        for x, (kind, words) in ((40, left), (305, right)):
            s.text(x, y + 22, words, 7.5)
            s.tint((x, y, x + 250, y + 18), BLUE)
            s.note(kind, (x, y, x + 250, y + 18), words)
        y -= 40
    return _panels_foot(s, y)


def _panels_foot(s: Sheet, y: float) -> int:
    s.tint((40, y - 28, 555, y + 22), (0.93, 0.93, 0.93))
    s.prose(
        (50, y + 8, 545),
        "Note: no consent is given for days on which the board has warned of high water. The board "
        "may come and look at any time. Keep this sheet with the aircraft.",
        8.5,
    )
    y -= 60
    s.text(40, y + 10, "3  Signed", 11, font=BOLD)
    for x, wide, kind, words in (
        (40, 240, "signature", "Signature"),
        (295, 150, "printed-name", "Name in capitals"),
        (460, 95, "date", "Date"),
    ):
        s.tint((x, y - 36, x + wide, y - 4), BLUE)
        s.note(kind, (x, y - 36, x + wide, y - 4), words)
        s.text(x, y - 46, words, 7.5)
    return s.save()


def _section(s: Sheet, x: float, span: tuple[float, float], words: str) -> None:
    """A black strip with words going up the side of a section."""
    bottom, top = span
    s.tint((x, bottom, x + 12, top), (0.2, 0.2, 0.2))
    s.c.saveState()
    s.c.translate(x + 9, (bottom + top) / 2)
    s.c.rotate(90)
    s.c.setFillGray(1)
    s.c.setFont("CondBd", 6)
    s.c.drawCentredString(0, 0, words)
    s.c.restoreState()
    s.c.setFillGray(0)


def tight_columns() -> int:
    """Two columns of tiny boxes with strips of turned words."""
    s = Sheet("tight_columns")
    s.text(30, 760, "JOINT PESTICIDE OFFICE OF THE SEVEN COUNTIES", 8, font="CondBd")
    s.text(30, 749, "Yearly return of an aerial applicator", 12, font="CondBd")
    s.text(582, 760, "JPO 5-A", 8, font="CondBd", at="right")
    s.text(582, 750, "Page 1 of 1", 6, font="Cond", at="right")
    rows = (
        (
            "APPLICATOR",
            [("text", "a Name", 130), ("number", "b License no.", 120)],
            [("address", "c Mailing address", 170), ("address", "d ZIP", 80)],
            [("number", "e Telephone", 125), ("text", "f E-mail", 125)],
        ),
        (
            "AIRCRAFT",
            [("text", "g Maker", 90), ("text", "h Model", 80), ("number", "i Serial", 80)],
            [("number", "j Mark", 90), ("date", "k Last inspection", 160)],
            [("number", "l Hours flown", 90), ("number", "m Weight, lb", 160)],
        ),
        (
            "COVER",
            [("text", "n Insurer", 160), ("number", "o Policy no.", 90)],
            [
                ("date", "p In force from", 80),
                ("date", "q to", 80),
                ("amount", "r Each event $", 90),
            ],
            [("text", "s Agent", 125), ("number", "t Agent's telephone", 125)],
        ),
        (
            "PRODUCT",
            [("text", "u Product name", 160), ("number", "v Reg. no.", 90)],
            [("number", "w Acres", 80), ("number", "x Gallons", 80), ("number", "y Pounds", 90)],
            [("text", "z Remarks", 250)],
        ),
    )
    for x, columns in ((30, ("1", "2")), (312, ("3", "4"))):
        y: float = 738
        for number in columns:
            for name, *lines in rows[:2] if x == 30 else rows[2:]:
                top = y
                for line in lines:
                    y = s.cells((x + 12, y, 22), line, size=5.5, font="Cond")
                _section(s, x, (y, top), f"{name} {number}")
                y -= 6
    return _tight_foot(s)


def _tight_foot(s: Sheet) -> int:
    s.frame((30, 372, 582, 440), 1.5)
    s.text(36, 428, "BEFORE YOU SEND THIS", 7, font="CondBd")
    y = s.prose(
        (36, 418, 576),
        "A return is due for every license, also when nothing was sprayed. Count acres once for "
        "each pass. Round gallons up. The office keeps a return for five years.",
        6,
        font="Cond",
    )
    s.rule(36, 576, y + 3, 0.4)
    s.prose((36, y - 6, 576), "Late returns cost $25 for each month begun.", 6, font="Cond")
    s.text(30, 356, "Nothing was sprayed this year", 7, font="Cond")
    s.square(140, 355, "true", side=6, size=6.5, font="Cond")
    s.square(170, 355, "not true", side=6, size=6.5, font="Cond")
    s.text(312, 356, "Copies sent to", 7, font="Cond")
    x: float = 372
    for words in ("county", "water office", "bee keepers"):
        x = s.square(x, 355, words, side=6, size=6.5, font="Cond") + 10
    s.cells(
        (30, 340, 30),
        [
            ("signature", "Signed by the applicator or an officer", 220),
            ("printed-name", "Name, printed", 140),
            ("title", "Office held", 96),
            ("date", "Day", 96),
        ],
        size=5.5,
        font="Cond",
    )
    s.tint((30, 250, 582, 296), GREY)
    for n, words in enumerate(("Checked", "Entered", "Fee", "Action")):
        s.frame((30 + n * 138, 250, 168 + n * 138, 296), 0.5)
        s.text(33 + n * 138, 288, words, 5.5, font="Cond")
    s.text(30, 299, "FOR OFFICE USE", 5.5, font="CondBd")
    s.note("ignore", (30, 250, 582, 296))
    return s.save()


FORMS = (permit_grid, letter_combs, tinted_panels, tight_columns)
