"""Forms that are odd: a card, a narrative, a two-page renewal, grids of cover, a turned slip."""

from fresh_kit import A4, BOLD, Sheet

SERIF, SERIF_BOLD = "Times-Roman", "Times-Bold"


def post_card() -> int:
    """A small card with a place for postage, bars and a cut line."""
    s = Sheet("post_card", (432, 288))
    s.frame((366, 222, 420, 276), 0.6)
    for n, words in enumerate(("PLACE", "POSTAGE", "HERE")):
        s.text(393, 254 - n * 9, words, 6, at="middle")
    s.text(16, 264, "Beekeeper notice card", 11, font=BOLD)
    s.text(16, 253, "Seven Counties Pollinator Desk, card 3", 6.5)
    s.ahead("text", (16, 350, 226), "Applicator", 14, size=7.5)
    s.ahead("number", (16, 190, 206), "License", 14, size=7.5)
    s.ahead("number", (200, 350, 206), "Call", 14, size=7.5)
    s.ahead("date", (16, 190, 186), "Spray day", 14, size=7.5)
    s.ahead("text", (200, 350, 186), "Hour", 14, size=7.5)
    s.ahead("text", (16, 350, 166), "Product", 14, size=7.5)
    s.ahead("address", (16, 350, 146), "Field is at", 14, size=7.5)
    s.square(16, 124, "in bloom", side=7, size=7.5)
    s.square(80, 124, "not in bloom", side=7, size=7.5)
    s.square(160, 124, "covered hives asked for", side=7, size=7.5)
    s.c.setDash(4, 3)
    s.rule(0, 432, 108, 0.6)
    s.c.setDash()
    s.text(416, 100, "cut here", 5.5, at="right")
    s.text(16, 88, "Receipt of the beekeeper", 9, font=BOLD)
    s.under("printed-name", (16, 160, 56), "Name", 20, size=6)
    s.under("signature", (172, 320, 56), "Signature", 20, size=6)
    s.under("date", (332, 416, 56), "Date", 20, size=6)
    s.bars(16, 12, 60, 22)
    return s.save()


def mishap_report() -> int:
    """A mishap told at length: big boxes, long answers, a sketch, a warning in a frame."""
    s = Sheet("mishap_report")
    s.text(
        306, 752, "REPORT OF A MISHAP WITH AN UNMANNED SPRAYER", 13, font=SERIF_BOLD, at="middle"
    )
    s.frame((50, 700, 562, 742), 1.6)
    s.prose(
        (58, 728, 554),
        "If somebody is hurt or has breathed or touched spray, call for help first. This report "
        "can wait until everybody is safe. The number for poison help is on the label.",
        10,
        font=SERIF_BOLD,
    )
    y: float = 676
    for left, right in (
        (("date", "Day of the mishap"), ("text", "Hour")),
        (("text", "Pilot"), ("number", "Certificate number")),
        (("number", "Serial number"), ("text", "Model")),
        (("address", "Nearest town"), ("text", "County")),
    ):
        s.ahead(left[0], (50, 320, y), f"{left[1]}:", 16, size=10, font=SERIF)
        s.ahead(right[0], (332, 562, y), f"{right[1]}:", 16, size=10, font=SERIF)
        y -= 24
    s.text(50, y, "Was anybody hurt?", 10, font=SERIF)
    s.text(160, y, "( ) yes", 10, font=SERIF)
    s.note("check", (160, y - 2, 169, y + 8))
    s.text(210, y, "( ) no", 10, font=SERIF)
    s.note("check", (210, y - 2, 219, y + 8))
    s.ahead("number", (270, 562, y - 2), "If so, how many persons:", 16, size=10, font=SERIF)
    return _mishap_rest(s, y - 26)


def _mishap_rest(s: Sheet, y: float) -> int:
    s.text(50, y, "A. Tell what happened, in the order it happened.", 10, font=SERIF_BOLD)
    for n in range(6):
        s.rule(50, 562, y - 22 - n * 19, 0.5)
    s.note("text", (50, y - 117, 562, y - 4))
    y -= 142
    s.text(50, y, "B. Product and amount lost", 10, font=SERIF_BOLD)
    s.text(312, y, "C. Sketch of the place (show north)", 10, font=SERIF_BOLD)
    s.frame((50, y - 130, 300, y - 6))
    s.note("text", (50, y - 130, 300, y - 6))
    s.frame((312, y - 130, 562, y - 6))
    s.note("text", (312, y - 130, 562, y - 6))
    y -= 156
    s.ahead("amount", (50, 300, y), "Damage, about $", 16, size=10, font=SERIF)
    s.ahead("date", (312, 562, y), "Insurer told on", 16, size=10, font=SERIF)
    s.under("signature", (50, 250, y - 52), "Signature of pilot", 30, size=8, font=SERIF)
    s.under("printed-name", (264, 440, y - 52), "Name of pilot", 30, size=8, font=SERIF)
    s.under("date", (454, 562, y - 52), "Date", 30, size=8, font=SERIF)
    s.rule(50, 562, 56, 0.5)
    s.text(50, 44, "Seven Counties Aviation Desk, SC-M1. This desk gives no legal advice.", 8)
    return s.save()


def renewal_pages() -> int:
    """A renewal on two pages: numbered questions, then signing; captions right of the squares."""
    s = Sheet("renewal_pages", A4)
    s.text(50, 790, "RENEWAL OF AN OPERATOR'S CERTIFICATE", 13, font="CondBd")
    s.text(545, 790, "N.B. 2", 9, font="Cond", at="right")
    s.rule(50, 545, 782, 1.6)
    y: float = 752
    for number, kind, words in (
        (1, "text", "Operator as on the certificate"),
        (2, "number", "Number of the certificate"),
        (3, "date", "Last day it is valid"),
        (4, "text", "Chief pilot"),
        (5, "number", "Telephone of the chief pilot"),
        (6, "address", "Place where records are kept"),
    ):
        s.text(50, y, f"{number}.", 10, font="CondBd")
        s.runs(70, y, words, 10, font="Cond")
        s.line(kind, (260, 545, y - 3), 18, words)
        y -= 27
    for number, words in (
        (7, "Has the address changed since the last renewal?"),
        (8, "Has an aircraft been added or sold?"),
        (9, "Has any certificate been suspended or taken away?"),
        (10, "Is the insurance in force without a break?"),
        (11, "Has every pilot passed the yearly training?"),
    ):
        s.text(50, y, f"{number}.", 10, font="CondBd")
        s.text(70, y, words, 10, font="Cond")
        s.square(440, y, "Yes", side=9, font="Cond")
        s.square(490, y, "No", side=9, font="Cond")
        y -= 22
    s.text(70, y, "If yes to 7, 8 or 9, explain:", 10, font="Cond")
    for n in range(3):
        s.rule(70, 545, y - 20 - n * 20, 0.5)
    s.note("text", (70, y - 60, 545, y - 4))
    y -= 92
    s.text(50, y, "12.", 10, font="CondBd")
    s.text(70, y, "Aircraft kept (one for each line)", 10, font="Cond")
    for n in range(4):
        y -= 24
        s.text(70, y + 3, "abcd"[n] + ")", 9, font="Cond")
        for kind, left, right in (("text", 88, 250), ("number", 262, 410), ("number", 422, 545)):
            s.line(kind, (left, right, y), 18)
    for x, words in ((88, "maker and model"), (262, "serial number"), (422, "weight in kg")):
        s.text(x, y - 9, words, 7, font="Cond")
    s.text(545, 40, "turn over", 8, font="Cond", at="right")
    s.next_page()
    return _renewal_back(s)


def _renewal_back(s: Sheet) -> int:
    s.text(50, 790, "N.B. 2, second page", 9, font="Cond")
    s.ahead("text", (50, 545, 760), "Operator again:", 16, font="Cond")
    s.frame((50, 600, 545, 736), 0.8)
    s.text(58, 720, "Please read", 10, font="CondBd")
    y = s.prose(
        (58, 704, 537),
        "The certificate goes on for two years. It ends at once when the insurance ends. Send the "
        "renewal sixty days before the last day. A renewal that comes late is treated as a new "
        "application, with the fee of a new application.",
        9,
        font="Cond",
    )
    s.rule(58, 537, y, 0.4)
    s.prose(
        (58, y - 14, 537),
        "Send with it: the certificate of insurance, the roster of pilots, the record of training "
        "and the fee. Copies are enough; the office returns no paper.",
        9,
        font="Cond",
    )
    s.text(50, 572, "Enclosed", 10, font="CondBd")
    for n, words in enumerate(("insurance", "roster", "record of training", "fee", "other:")):
        end = s.square(70, 552 - n * 18, words, side=9, font="Cond")
    s.line("text", (end + 4, 300, 478), 14)
    s.under("signature", (50, 280, 410), "Signature of chief pilot", 32, font="Cond")
    s.under("printed-name", (295, 440, 410), "Name", 32, font="Cond")
    s.under("date", (455, 545, 410), "Date", 32, font="Cond")
    s.under("signature", (50, 280, 356), "Signature for the operator", 32, font="Cond")
    s.under("printed-name", (295, 440, 356), "Name", 32, font="Cond")
    s.under("date", (455, 545, 356), "Date", 32, font="Cond")
    s.tint((50, 210, 545, 310), (0.9, 0.9, 0.9))
    s.frame((50, 210, 545, 310))
    s.text(58, 296, "To be completed by the office", 9, font="CondBd")
    for n, words in enumerate(("Arrived", "Complete", "Certificate sent")):
        s.text(58, 272 - n * 22, words, 8.5, font="Cond")
        s.rule(150, 300, 270 - n * 22)
    s.text(420, 256, "Stamp of the office", 8, font="Cond", at="middle")
    s.note("ignore", (50, 210, 545, 310))
    return s.save()


def cover_grid() -> int:
    """Proof of insurance: a grid of cover, limits with a dollar sign, and a signing box."""
    s = Sheet("cover_grid")
    s.text(40, 750, "PROOF OF INSURANCE FOR AERIAL APPLICATION", 12, font=BOLD)
    s.text(572, 750, "Tamarisk TB-40", 7, at="right")
    s.cells((40, 738, 44), [("text", "Insured (name)", 266), ("text", "Insurer", 266)], size=7)
    s.cells(
        (40, 694, 44),
        [("address", "Address of the insured", 266), ("text", "Agent or broker", 266)],
        size=7,
    )
    y = s.cells(
        (40, 650, 28),
        [
            ("number", "Policy number", 200),
            ("date", "Begins", 110),
            ("date", "Ends", 110),
            ("number", "Agent's telephone", 112),
        ],
        size=7,
    )
    y -= 14
    s.frame((40, y - 6 * 24, 572, y), 1)
    for x in (330, 450):
        s.post(x, y - 6 * 24, y, 0.6)
    for x, words in ((46, "Kind of cover"), (336, "Each event"), (456, "Whole year")):
        s.text(x, y - 15, words, 8.5, font=BOLD)
    for n, words in enumerate(
        (
            "Injury to persons",
            "Damage to property",
            "Drift of chemicals",
            "Damage to crops of others",
            "Aircraft itself",
        )
    ):
        row = y - 24 * (n + 1)
        s.rule(40, 572, row, 0.6)
        s.square(46, row - 15, words, side=8)
        for left, right in ((330, 450), (450, 572)):
            s.text(left + 4, row - 16, "$", 9)
            s.note("amount", (left + 10, row - 24, right, row), words)
    return _cover_foot(s, y - 6 * 24)


def _cover_foot(s: Sheet, y: float) -> int:
    s.cell("amount", (40, y - 30, 330, y), "Part the insured bears in each event", size=7)
    s.cell("text", (330, y - 30, 572, y), "Left out of the cover", size=7)
    y -= 48
    s.prose(
        (40, y, 572),
        "The insurer will tell the Bureau in writing at least ten days before the policy ends or "
        "is changed. This proof changes nothing in the policy.",
        8,
    )
    y -= 28
    s.frame((40, y - 66, 572, y), 1)
    s.text(46, y - 10, "For the insurer", 7, font=BOLD)
    s.under("signature", (46, 240, y - 48), "Authorized signature", 30)
    s.under("printed-name", (252, 400, y - 48), "Name", 30)
    s.under("title", (412, 490, y - 48), "Title", 30)
    s.under("date", (502, 566, y - 48), "Date", 30)
    s.bars(40, 60, 50)
    s.text(40, 52, "* T B 4 0 *", 6)
    return s.save()


def turned_slip() -> int:
    """A slip stored upside down, with rules left of their captions and a box for a photo."""
    s = Sheet("turned_slip", (612, 396), turn=180)
    s.text(36, 362, "Application for a helper's card", 15, font=SERIF_BOLD)
    s.text(
        36, 347, "For persons who load, mix or watch. Upper Bend Agriculture Council, UB 12", 8.5
    )
    s.frame((470, 236, 576, 372), 0.8)
    s.text(523, 312, "Photo", 9, at="middle")
    s.text(523, 300, "35 x 45 mm", 7, at="middle")
    s.note("ignore", (470, 236, 576, 372))
    y: float = 316
    for row in (
        (("text", "family name", 36, 300), ("text", "first name", 310, 455)),
        (("address", "home address", 36, 455),),
        (
            ("date", "born on", 36, 160),
            ("number", "telephone", 170, 300),
            ("number", "weight lifted (lb)", 310, 455),
        ),
    ):
        for kind, words, left, right in row:
            s.under(kind, (left, right, y), words, 18, size=7.5, font="Times-Italic")
        y -= 34
    s.text(36, 206, "I will", 10, font=SERIF_BOLD)
    x: float = 76
    for words in ("load", "mix", "watch the air", "drive"):
        x = s.square(x, 206, words, font=SERIF, size=10) + 16
    s.text(36, 182, "I work for", 10, font=SERIF)
    s.line("text", (84, 330, 180))
    s.text(336, 182, "license", 10, font=SERIF)
    s.line("number", (372, 576, 180))
    s.prose(
        (36, 156, 576),
        "Wear what the label asks for. A helper under sixteen may not handle any product. The card "
        "is good for one season and is shown on request.",
        9,
        font=SERIF,
    )
    s.under("signature", (36, 250, 92), "signature of the helper", 28, size=7.5, font=SERIF)
    s.under("signature", (264, 470, 92), "signature of the employer", 28, size=7.5, font=SERIF)
    s.under("date", (484, 576, 92), "date", 28, size=7.5, font=SERIF)
    s.frame((36, 22, 576, 66), 0.5)
    s.text(42, 55, "Council only:  card no.                     sent on", 7.5, font=SERIF_BOLD)
    s.note("ignore", (36, 22, 576, 66))
    return s.save()


FORMS = (post_card, mishap_report, renewal_pages, cover_grid, turned_slip)
