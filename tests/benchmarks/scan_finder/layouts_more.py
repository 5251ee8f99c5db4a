"""Second pages of the tuning layouts: what is met less often on forms, and what only looks it.

The same rules as in ``layouts.py``: a call that draws a blank notes it; the rest are traps.
"""

from reportlab.lib.colors import black, white
from sheet import BOLD, SANS, Sheet


def draw_above(sheet: Sheet) -> None:
    """Labels over their lines, several captions under one row, page frame, footnote, leaders."""
    say, rule, canvas = sheet.say, sheet.rule, sheet.canvas
    canvas.setLineWidth(1.2)
    canvas.rect(36, 36, 540, 720)
    say(54, 730, "PART III  PARTICULARS", 12, BOLD)
    canvas.setLineWidth(0.7)
    canvas.line(54, 726, 558, 726)
    y = 704
    for label, kind in (
        ("Full name of the operator", "text"),
        ("Physical address of the base", "address"),
        ("Registration number of the aircraft", "number"),
    ):
        say(54, y, label, 9)
        rule(kind, 54, 360, y - 22)
        y -= 44
    x = 54.0
    for label, kind, wide in (
        ("City", "address", 200),
        ("State", "address", 80),
        ("ZIP code", "address", 90),
        ("County", "text", 100),
    ):
        rule(kind, x, x + wide, y)
        say(x + wide / 2 - 12, y - 9, label, 7)
        x += wide + 8
    y -= 40
    say(54, y, "Number of pilots", 9)
    end = rule("number", 130, 190, y - 2)
    say(end + 6, y, "and number of aircraft", 9)
    rule("number", 300, 360, y - 2)
    y -= 30
    for n, who in enumerate(("First member", "Second member")):
        say(54, y - 34 * n, f"{n + 1}.", 9)
        rule("signature", 70, 300, y - 2 - 34 * n, 24)
        say(72, y - 10 - 34 * n, f"Signature of {who.lower()}", 7)
        rule("date", 330, 450, y - 2 - 34 * n, 24)
        say(332, y - 10 - 34 * n, "Date", 7)
    y -= 90
    say(54, y, "Words that are underlined are explained in the instructions:", 9)
    end = say(54, y - 14, "aircraft", 9)
    canvas.line(54, y - 16, end, y - 16)
    end2 = say(end + 20, y - 14, "owner", 9)
    canvas.line(end + 20, y - 16, end2, y - 16)
    y -= 44
    for n, row in enumerate(
        (("Item", "Limit", "Rule"), ("Height", "400 ft", "107.51"), ("Speed", "100 mph", "107.51"))
    ):
        for column, words in enumerate(row):
            say(60 + 120 * column, y - 16 * n, words, 9, BOLD if n == 0 else SANS)
        canvas.line(54, y - 5 - 16 * n, 420, y - 5 - 16 * n)
    y -= 80
    end = say(54, y, "The consideration paid is $", 9)
    end = rule("amount", end, end + 80, y - 2)
    end = say(end + 2, y, ", receipt of which is acknowledged on this", 9)
    end = rule("date", end + 2, end + 40, y - 2)
    end = say(end + 2, y, "day of", 9)
    rule("date", end + 2, 558, y - 2)
    end = rule("date", 54, 120, y - 20)
    say(end + 2, y - 18, "at the place of business of the seller named above.", 9)
    canvas.line(54, 84, 198, 84)
    say(54, 74, "1 See the instructions for the meaning of operator.", 7)
    say(54, 44, "Rev. 01/2027", 7)
    say(520, 44, "Page 2", 7)


def draw_tables(sheet: Sheet) -> None:
    """Tables: label beside blank, headings dark, ruled across only, preprinted rows, yes and no."""
    say, canvas, cell = sheet.say, sheet.canvas, sheet.cell
    high = 595
    y = high - 60
    for label, kind in (
        ("Legal name", "text"),
        ("Mailing address", "address"),
        ("Telephone", "number"),
        ("Signature of applicant", "signature"),
    ):
        y -= 24
        cell("", (40, y, 110, 24))
        say(44, y + 8, label, 9)
        cell(kind, (150, y, 230, 24))
    y = high - 60
    canvas.setFillColor(black)
    canvas.rect(420, y - 18, 380, 18, stroke=1, fill=1)
    canvas.setFillColor(white)
    say(426, y - 13, "PILOTS", 9, BOLD)
    canvas.setFillColor(black)
    widths, heads = (200, 90, 90), ("Name", "Certificate no.", "Expires")
    kinds = ("printed-name", "number", "date")
    for line in range(4):
        x = 420.0
        for wide, head, kind in zip(widths, heads, kinds, strict=True):
            cell("" if line == 0 else kind, (x, y - 38 - 20 * line, wide, 20))
            if line == 0:
                say(x + 4, y - 32, head, 8)
            x += wide
    draw_questions(sheet, high - 200)
    draw_ruled(sheet)


def draw_questions(sheet: Sheet, y: float) -> None:
    """Draw questions with a column for yes and one for no, and a list of prices beside them."""
    say, cell = sheet.say, sheet.cell
    say(40, y, "Answer every question.", 9)
    questions = (
        "Is every pilot certificated?",
        "Has a certificate been revoked?",
        "Is the fee enclosed?",
    )
    for n, words in enumerate(("Question", "Yes", "No")):
        x = (40, 300, 340)[n]
        cell("", (x, y - 24, (260, 40, 40)[n], 16))
        say(x + 4, y - 20, words, 8, BOLD)
    for n, words in enumerate(questions):
        low = y - 44 - 20 * n
        cell("", (40, low, 260, 20))
        say(44, low + 6, words, 9)
        cell("check", (300, low, 40, 20))
        cell("check", (340, low, 40, 20))
    for n, (words, fee) in enumerate(
        (("License, one year", "$95"), ("Late fee", "$25"), ("Copy", "$5"))
    ):
        low = y - 24 - 16 * n
        cell("", (420, low, 280, 16))
        say(424, low + 5, words, 8)
        cell("", (700, low, 100, 16))
        say(704, low + 5, fee, 8)
    low = y - 90
    cell("", (420, low, 280, 20))
    say(424, low + 6, "Fee enclosed", 8, BOLD)
    cell("", (700, low, 100, 20))
    say(704, low + 6, "$", 9)
    sheet.note("amount", 700, low, 800, low + 20)


def draw_ruled(sheet: Sheet) -> None:
    """Draw a table open at its sides, a box with round corners, rings, and boxes for digits."""
    say, canvas = sheet.say, sheet.canvas
    y = 230
    canvas.line(40, y, 800, y)
    for x, head in ((44, "Field or farm"), (300, "Acres"), (400, "Date sprayed"), (560, "Remarks")):
        say(x, y - 12, head, 8)
    canvas.line(40, y - 16, 800, y - 16)
    for line in range(1, 4):
        low = y - 16 - 22 * line
        canvas.line(40, low, 800, low)
        for x, right, kind in (
            (40, 296, "text"),
            (296, 396, "number"),
            (396, 556, "date"),
            (556, 800, "text"),
        ):
            sheet.note(kind, x, low, right, low + 22)
    for x in (296, 396, 556):
        canvas.line(x, y, x, y - 82)
    canvas.roundRect(40, 60, 300, 60, 6)
    say(46, 108, "Remarks:", 8)
    sheet.note("text", 40, 60, 340, 106)
    for n, words in enumerate(("Ground", "Air", "Both")):
        canvas.circle(400 + 90 * n, 90, 5)
        sheet.note("check", 395 + 90 * n, 85, 405 + 90 * n, 95)
        say(409 + 90 * n, 87, words, 9)
    for n in range(9):
        canvas.rect(660 + 15 * n, 84, 12, 14)
    say(620, 88, "Tax ID", 8)
    sheet.note("number", 660, 84, 792, 98)


def draw_prose(sheet: Sheet) -> None:
    """Sentences with typed lines that run over the end of a line, an acknowledgment, a list."""
    say, typed = sheet.say, sheet.typed
    mono = "Courier"
    say(230, 740, "POWER OF ATTORNEY", 12, mono)
    end = typed("text", say(54, 700, "KNOW ALL by these presents that ", 10, mono), 700, 30)
    end = say(54, 684, "(the owner), of ", 10, mono)
    end = typed("text", end, 684, 40)
    say(end, 684, ", appoints", 10, mono)
    end = typed("text", 54, 668, 34)
    say(end, 668, " to act in all matters before the registry,", 10, mono)
    say(54, 652, "until this power is taken back in writing.", 10, mono)
    say(54, 636, "-" * 80, 10, mono)
    say(54, 612, "IN WITNESS WHEREOF, signed this ", 10, mono)
    end = typed("date", say(54, 612, "IN WITNESS WHEREOF, signed this ", 10, mono), 612, 6)
    end = typed("date", say(end, 612, " day of ", 10, mono), 612, 14)
    end = typed("date", say(end, 612, ", 20", 10, mono), 612, 4)
    say(end, 612, ".", 10, mono)
    typed("signature", 270, 570, 40)
    say(270, 559, "(Owner sign here)", 9, mono)
    typed("printed-name", 270, 528, 40)
    say(270, 517, "(Type or print name)", 9, mono)
    end = typed("notary-state", say(54, 470, "State of ", 10, mono), 470, 20)
    say(end, 470, " )", 10, mono)
    say(end, 458, " ) ss", 10, mono)
    end = typed("notary-county", say(54, 446, "County of ", 10, mono), 446, 19)
    say(end, 446, " )", 10, mono)
    end = typed("notary-date", say(54, 412, "On this ", 10, mono), 412, 6)
    end = typed("notary-date", say(end, 412, " day of ", 10, mono), 412, 14)
    end = typed("notary-date", say(end, 412, ", ", 10, mono), 412, 6)
    say(end, 412, ", before me personally", 10, mono)
    end = typed("printed-name", say(54, 396, "appeared ", 10, mono), 396, 30)
    say(end, 396, ", known to me to be the person who", 10, mono)
    say(54, 380, "signed the foregoing instrument.", 10, mono)
    typed("notary-signature", 54, 330, 36)
    say(54, 319, "Signature of Notary", 9, mono)
    typed("notary-title", 54, 296, 36)
    say(54, 285, "Title and rank", 9, mono)
    end = typed("notary-expiry", say(54, 260, "Commission expires: ", 10, mono), 260, 14)
    sheet.canvas.setDash(3, 3)
    sheet.canvas.rect(360, 240, 180, 100)
    sheet.canvas.setDash()
    say(400, 326, "(notary stamp here)", 8, mono)
    sheet.note("notary-stamp", 360, 240, 540, 340)
    say(54, 220, "Enclosures (tick what you send):", 10, mono)
    for n, words in enumerate(
        ("copy of the certificate", "proof of insurance", "check or money order")
    ):
        sheet.canvas.rect(58, 200 - 16 * n, 8, 8)
        sheet.note("check", 58, 200 - 16 * n, 66, 208 - 16 * n)
        say(76, 200 - 16 * n, words, 10, mono)
    say(54, 130, "Send to:", 10, mono)
    say(54, 116, "Aircraft Registration Branch", 10, mono)
    say(54, 102, "P.O. Box 5555, Burrell Crossing", 10, mono)


def draw_tinted(sheet: Sheet) -> None:
    """White boxes on a tinted panel, a ring for a seal, colons in cells, a label without a line."""
    say, canvas, cell = sheet.say, sheet.canvas, sheet.cell
    canvas.setFillColorRGB(0.88, 0.92, 0.88)
    canvas.rect(50, 430, 692, 120, stroke=0, fill=1)
    for n, (label, kind) in enumerate(
        (
            ("First name", "printed-name"),
            ("Last name", "printed-name"),
            ("Street", "address"),
            ("Phone", "number"),
        )
    ):
        x, y = 60 + 340 * (n % 2), 500 - 50 * (n // 2)
        canvas.setFillColor(black)
        say(x, y + 24, label, 8)
        canvas.setFillColor(white)
        canvas.rect(x, y, 320, 20, stroke=0, fill=1)
        sheet.note(kind, x, y, x + 320, y + 20)
    canvas.setFillColor(black)
    labels = (("Date:", "date"), ("Serial No.:", "number"), ("Model:", "text"))
    for n, (label, kind) in enumerate(labels):
        cell("", (50 + 230 * n, 380, 230, 22))
        end = say(54 + 230 * n, 387, label, 9)
        sheet.note(kind, end + 2, 380, 280 + 230 * n, 402)
    cell("", (50, 340, 690, 22))
    say(54, 347, "Part B. To be filled in by the maker or its dealer", 9, BOLD)
    cell("", (50, 250, 345, 90))
    say(54, 330, "I state that the machine was sold new and that no lien is known to me.", 8)
    say(54, 320, "A false statement is punished by fine or imprisonment, or both.", 8)
    sheet.rule("signature", 60, 240, 280, 26)
    say(60, 272, "Dealer's signature", 7)
    sheet.rule("date", 255, 385, 280, 26)
    say(255, 272, "Date", 7)
    cell("text", (395, 250, 345, 90), "Describe any change made to the machine")
    canvas.circle(640, 150, 50)
    say(616, 147, "Notary seal", 9)
    sheet.note("notary-stamp", 590, 100, 690, 200)
    say(50, 220, "STATE OF NEBRASKA, COUNTY OF", 9)
    sheet.rule("notary-county", 200, 330, 218)
    say(332, 220, ", SS:", 9)
    end = say(50, 190, "Acknowledged before me on", 9)
    end = sheet.rule("notary-date", end + 4, 300, 188)
    say(304, 190, "by the person named above.", 9)
    sheet.rule("notary-signature", 50, 250, 140, 28)
    say(50, 131, "Notary public", 7)
    sheet.rule("printed-name", 280, 480, 140, 28)
    say(280, 131, "Notary's printed name", 7)
    sheet.rule("notary-expiry", say(50, 104, "My commission expires on", 9) + 3, 330, 102)
    canvas.setLineWidth(1.5)
    canvas.line(50, 80, 742, 80)
    say(50, 66, "Department of Agriculture of a made-up state, form SF-4, page 2", 8)
