"""Twelve invented forms that the finder was worked on with; see README.md."""

from own_kit import Pen


def draw_license() -> Pen:
    """A state license application: sections on tint, boxes with labels, question list."""
    pen = Pen("Helvetica", 9)
    pen.head(150, 750, "APPLICATION FOR AN AERIAL APPLICATOR LICENSE", 13)
    pen.grey((36, 722, 576, 738), 0.85)
    pen.head(40, 726, "1. APPLICANT", 9)
    pen.boxed("printed-name", "Last name", (36, 690, 216, 722))
    pen.boxed("printed-name", "First name", (216, 690, 396, 722))
    pen.boxed("date", "Birth date", (396, 690, 576, 722))
    pen.boxed("address", "Home address (street, city, state, ZIP)", (36, 658, 396, 690))
    pen.boxed("number", "Daytime phone", (396, 658, 576, 690))
    pen.boxed("text", "Employer", (36, 626, 300, 658))
    pen.boxed("text", "E-mail", (300, 626, 576, 658))
    pen.grey((36, 596, 576, 612), 0.85)
    pen.head(40, 600, "2. QUESTIONS (answer each)", 9)
    for row, words in enumerate(
        (
            "Have you held a license in another state?",
            "Was a license of yours ever suspended?",
            "Do you carry liability insurance?",
        )
    ):
        y = 580 - 18 * row
        pen.put(40, y, words)
        pen.tick("Yes", 460, y)
        pen.tick("No", 510, y)
    pen.put(40, 522, "If you answered yes to any question, explain:")
    pen.lines("text", 40, 572, 502, 3)
    pen.grey((36, 432, 576, 448), 0.85)
    pen.head(40, 436, "3. CATEGORIES", 9)
    names = ("Agricultural plant", "Forest", "Right of way", "Aquatic", "Public health", "Aerial")
    for spot, name in enumerate(names):
        pen.tick(name, 44 + 180 * (spot % 3), 416 - 16 * (spot // 3))
    pen.grey((36, 368, 576, 384), 0.85)
    pen.head(40, 372, "4. SIGNATURE", 9)
    for row, words in enumerate(
        (
            "I declare under penalty of perjury that what I wrote on this application is true.",
            "I will tell the office of any change of address within 30 days.",
        )
    ):
        pen.put(40, 352 - 12 * row, words)
    pen.under("signature", "Applicant's signature", 40, 330, 296)
    pen.under("date", "Date", 360, 560, 296)
    pen.frame((36, 180, 576, 260))
    pen.put(40, 248, "OFFICE USE ONLY", 8)
    pen.line(100, 250, 214)
    pen.put(42, 216, "Received by", 8)
    pen.note("ignore", 36, 180, 576, 260)
    return pen


def draw_affidavit() -> Pen:
    """An affidavit on ruled pleading paper: line numbers, an edge line, blanks in sentences."""
    pen = Pen("Times-Roman", 12)
    pen.canvas.setLineWidth(0.7)
    for x in (64, 67, 566):
        pen.canvas.line(x, 30, x, 770)
    for row in range(28):
        pen.put(46, 740 - 24 * row, f"{row + 1}", 10)
    pen.head(230, 740, "AFFIDAVIT OF OWNERSHIP", 12)
    y = pen.flow(
        76,
        692,
        556,
        "I, {printed-name:190}, of {address:220}, being duly sworn, depose and say:",
        leading=24,
    )
    y = pen.flow(
        76,
        y,
        556,
        "1. That I am the {title:110} of {text:200}, which owns the aircraft with serial number "
        "{number:120}.",
        leading=24,
    )
    y = pen.flow(
        76,
        y,
        556,
        "2. That the aircraft was bought on {date:110} from {text:190} for the sum of "
        "${amount:80}.",
        leading=24,
    )
    y = pen.flow(76, y, 556, "Dated this {date:40} day of {date:110}, 20{date:26}.", leading=48)
    pen.run("signature", "", 310, y, 40)
    pen.put(400, y - 12, "Affiant", 10)
    y -= 48
    pen.run("notary-state", "STATE OF ", 76, y, 22)
    pen.put(310, y, ")")
    pen.put(310, y - 12, ") SS.")
    pen.run("notary-county", "COUNTY OF ", 76, y - 24, 20)
    pen.put(310, y - 24, ")")
    y = pen.flow(
        76,
        y - 60,
        556,
        "SUBSCRIBED AND SWORN to before me by {printed-name:180} on {notary-date:120}.",
        leading=48,
    )
    pen.run("notary-signature", "", 310, y, 40)
    pen.put(370, y - 12, "Notary Public", 10)
    pen.run("notary-expiry", "My appointment expires: ", 310, y - 40, 18)
    pen.seal(160, y - 20, "[Seal]")
    return pen


def draw_sale() -> Pen:
    """A bill of sale: sentences with rules, labels over lines, parties side by side."""
    pen = Pen("Helvetica", 10)
    pen.head(230, 750, "Bill of Sale", 18)
    pen.line(36, 576, 742, 1.5)
    y = pen.flow(
        40,
        712,
        572,
        "For the sum of {amount:90} dollars the seller named below sells to {text:200} whose "
        "address is {address:260} the unmanned aircraft described here.",
        "rule",
        22,
    )
    for spot, (kind, label) in enumerate(
        (("text", "Make"), ("text", "Model"), ("number", "Serial number"), ("number", "Year built"))
    ):
        pen.over(kind, label, 40 + 135 * spot, 160 + 135 * spot, y - 30)
    y -= 60
    pen.put(40, y, "The aircraft is sold (mark one):")
    pen.ticks(("as it is", "with a warranty", "other:"), 200, y, "[  ]")
    pen.rule("text", 440, 572, y - 2, 14)
    y -= 60
    for x, who in ((40, "SELLER"), (320, "BUYER")):
        pen.head(x, y, who, 10)
        pen.left("signature", "Signed:", x, y - 34, x + 240, 26)
        pen.left("printed-name", "Print name:", x, y - 58, x + 240)
        pen.left("title", "Title:", x, y - 82, x + 130)
        pen.left("date", "Date:", x + 140, y - 82, x + 240)
    y -= 120
    pen.line(36, 576, y, 0.4)
    pen.put(40, y - 14, "Witnesses", 9, pen.bold)
    for row in range(2):
        z = y - 44 - 34 * row
        pen.put(40, z + 2, f"{row + 1}.")
        pen.under("signature", "Witness", 56, 290, z)
        pen.under("address", "Address of witness", 320, 572, z)
    pen.put(40, 60, "Keep one copy each. A copy goes to the registry with the application.", 8)
    return pen


def draw_request() -> Pen:
    """A request for a certificate: typed dots, bracketed blanks, a letter's frame."""
    pen = Pen("Courier", 10)
    pen.put(60, 740, "REQUEST FOR A CERTIFICATE OF INSURANCE", 12)
    pen.run("date", "Date ", 400, 715, 20, ".")
    pen.run("text", "Insured ", 60, 690, 60, ".")
    pen.run("number", "Policy number ", 60, 668, 30, ".")
    pen.put(60, 636, "Please send a certificate to the office named here:")
    pen.put(60, 614, "Office: [")
    pen.note("text", pen.wide("Office: [") + 60, 611, 420, 625)
    pen.put(420, 614, "]")
    pen.put(60, 592, "City:   [")
    pen.note("address", pen.wide("City:   [") + 60, 589, 420, 603)
    pen.put(420, 592, "]")
    pen.put(60, 560, "The certificate must show:")
    for row, (what, limit) in enumerate(
        (("Each person", "$100,000"), ("Each accident", "$300,000"), ("Property", "$100,000"))
    ):
        pen.put(80, 542 - 14 * row, f"{what} ".ljust(40, ".") + f" {limit}")
    pen.put(60, 488, "How shall it be sent?  (put an X)")
    pen.tick("by mail", 80, 470, "(   )")
    pen.tick("by fax to:", 80, 452, "(   )")
    pen.run("number", "", 240, 452, 20)
    pen.tick("to the insured", 80, 434, "(   )")
    pen.put(60, 404, "Special wording wanted:")
    for row in range(2):
        pen.put(60, 386 - 16 * row, "_" * 78)
    pen.note("text", 60, 368, 528, 399)
    pen.run("signature", "X", 60, 320, 36)
    pen.put(72, 308, "signature of the insured", 8)
    pen.run("number", "Tel. ", 340, 320, 20)
    pen.put(60, 270, "-" * 80)
    pen.put(60, 254, "For the agent:")
    pen.run("printed-name", "Agent's name ", 60, 230, 30)
    pen.run("number", "Agent no. ", 340, 230, 16)
    return pen


def draw_roster() -> Pen:
    """A table of persons on a sideways page, a row of totals, initials, small check boxes."""
    pen = Pen("Helvetica", 9, (792, 612))
    pen.head(40, 570, "ROSTER OF PILOTS AND GROUND CREW", 14)
    pen.left("text", "Name of operation", 40, 545, 420)
    pen.left("number", "Season (year)", 440, 545, 752)
    end = pen.table(
        (
            ("Name of person", "printed-name", 170),
            ("Certificate no.", "number", 100),
            ("Date issued", "date", 80),
            ("Address", "address", 190),
            ("Telephone", "number", 90),
            ("Initials", "text", 82),
        ),
        40,
        525,
        6,
        24,
    )
    pen.put(40, end - 20, "Number of persons in all")
    pen.frame((180, end - 26, 240, end - 8))
    pen.note("number", 180, end - 26, 240, end - 8)
    pen.put(260, end - 20, "Sheets added")
    pen.frame((340, end - 26, 400, end - 8))
    pen.note("number", 340, end - 26, 400, end - 8)
    y = end - 56
    pen.put(40, y, "Each person named above (check all that are true):")
    for row, words in enumerate(
        ("is at least 18 years old", "passed the knowledge test", "was shown the emergency stop")
    ):
        pen.tick(words, 56, y - 18 - 16 * row)
    y -= 100
    pen.centred("signature", "Chief pilot", 40, 300, y)
    pen.centred("printed-name", "Printed name", 320, 540, y)
    pen.centred("date", "Date", 560, 752, y)
    pen.put(40, 40, "Form RP-3 (made up)", 7)
    pen.put(700, 40, "Sheet 1 of 1", 7)
    return pen


def draw_columns() -> Pen:
    """Two columns of small print, each with labels over lines, lists and a remark."""
    pen = Pen("Times-Roman", 9)
    pen.head(40, 755, "FIELD ORDER", 15)
    pen.line(40, 572, 748, 1)
    pen.canvas.setLineWidth(0.5)
    pen.canvas.line(306, 740, 306, 90)
    for x, who in ((40.0, "Customer"), (318.0, "Field")):
        right = x + 252
        pen.head(x, 728, who, 10)
        if who == "Customer":
            rows = (("text", "Name of farm"), ("address", "Address"), ("number", "Phone"))
        else:
            rows = (("text", "Field name"), ("number", "Acres"), ("text", "Crop"))
        for row, (kind, label) in enumerate(rows):
            pen.over(kind, label, x, right, 690 - 38 * row)
        pen.put(x, 590, "Notes")
        pen.lines("text", x, right, 572, 4)
        pen.put(x, 496, "Mark what applies:")
        words = (
            ("bees near", "water near", "houses near") if who == "Field" else ("owner", "tenant")
        )
        for row, word in enumerate(words):
            pen.tick(word, x + 8, 478 - 15 * row)
        pen.left("date", "Date", x, 400, x + 110)
        pen.left("text", "Time", x + 120, 400, right)
        pen.under("signature", f"Signature for the {who.lower()}", x, right, 350, 7)
    for row in range(12):
        for x in (40, 318):
            pen.put(x, 310 - 11 * row, "An order may be withdrawn up to a day before the work.", 8)
    pen.line(40, 180, 70, 0.4)
    pen.put(40, 60, "1 Signature and date are needed on both sides.", 7)
    return pen


def draw_combs() -> Pen:
    """Comb boxes, dates in three combs, boxes beside labels, rings to fill."""
    pen = Pen("Helvetica", 9)
    pen.head(40, 750, "CHANGE OF ADDRESS", 14)
    pen.put(40, 728, "Print one letter in each box.", 8)
    pen.put(40, 706, "Registration number")
    pen.put(150, 706, "N", 10)
    pen.comb("number", 162, 701, 5)
    pen.put(40, 678, "Last name")
    pen.comb("printed-name", 150, 673, 20)
    pen.put(40, 650, "New street")
    pen.comb("address", 150, 645, 26)
    pen.put(40, 622, "ZIP code")
    end = pen.comb("number", 150, 617, 5)
    pen.rows.pop()
    pen.put(end + 3, 621, "-", 10)
    end2 = pen.comb("number", end + 10, 617, 4)
    pen.rows.pop()
    pen.note("address", 150, 617, end2, 633)
    pen.put(40, 590, "Valid from")
    x = 150.0
    for count, label in ((2, "MM"), (2, "DD"), (4, "YYYY")):
        end = x + 14 * count
        for place in range(count):
            pen.canvas.rect(x + 14 * place, 585, 14, 16)
        pen.put((x + end) / 2 - 6, 576, label, 6)
        x = end + 8
    pen.note("date", 150, 585, x - 8, 601)
    pen.put(40, 550, "The old address is")
    pen.ticks(("given up", "kept for mail"), 150, 550, "ring")
    pen.beside("text", "County", 40, 520, (150, 300))
    pen.beside("number", "Box number", 320, 520, (400, 500))
    pen.beside("text", "E-mail address", 40, 494, (150, 500))
    pen.put(40, 460, "Reason for the change (two lines at most)")
    pen.frame((40, 410, 572, 452))
    pen.note("text", 40, 410, 572, 452)
    pen.frame((40, 340, 300, 390))
    pen.put(44, 380, "Sign in this box", 7)
    pen.note("signature", 40, 340, 300, 378)
    pen.frame((320, 340, 460, 390))
    pen.put(324, 380, "Date signed (MM/DD/YYYY)", 7)
    pen.note("date", 320, 340, 460, 378)
    pen.tick("I want a new card", 480, 360)
    return pen


def draw_hints() -> Pen:
    """Boxes with pale words in them that show what to write, and a tinted page."""
    pen = Pen("Helvetica", 9)
    pen.grey((0, 0, 612, 792), 0.97)
    pen.head(40, 752, "Online style sheet for a drone card", 14)
    rows = (
        ("printed-name", "Your name", "First Last", 300),
        ("text", "Company", "Company name", 300),
        ("number", "Phone", "(555) 555-0100", 160),
        ("date", "Date of birth", "MM/DD/YYYY", 160),
        ("address", "Street", "123 Example Street", 300),
        ("number", "Take-off weight", "lb", 100),
    )
    for row, (kind, label, hint, wide) in enumerate(rows):
        y = 700 - 40 * row
        pen.put(40, y + 24, label)
        pen.tint(1)
        pen.canvas.rect(40, y, wide, 20, stroke=1, fill=1)
        pen.tint(0.6)
        pen.put(46, y + 6, hint)
        pen.tint(0)
        pen.note(kind, 40, y, 40 + wide, y + 20)
    pen.put(40, 460, "Which card do you want?")
    pen.ticks(("Plastic", "Paper", "None"), 180, 460, "ring")
    pen.put(40, 430, "Comments")
    pen.tint(1)
    pen.canvas.roundRect(40, 350, 400, 74, 6, stroke=1, fill=1)
    pen.tint(0)
    pen.note("text", 40, 350, 440, 424)
    pen.put(40, 300, "Type your name to sign")
    pen.tint(1)
    pen.canvas.rect(180, 294, 220, 22, stroke=1, fill=1)
    pen.tint(0)
    pen.note("signature", 180, 294, 400, 316)
    return pen


def draw_checklist() -> Pen:
    """A check-box list in three ways, tick lines, and a table of yes and no columns."""
    pen = Pen("Helvetica", 10)
    pen.head(54, 750, "PRE-SEASON CHECKLIST", 14)
    pen.put(54, 730, "Tick each item; sign at the foot of the page.")
    for row, words in enumerate(
        ("Batteries tested", "Tank and nozzles rinsed", "Records of last year kept")
    ):
        pen.tick(words, 60, 706 - 18 * row, "line")
    for row, words in enumerate(("Insurance card on board", "Registration mark on hull")):
        pen.put(330, 706 - 18 * row, words)
        pen.square(520, 705 - 18 * row, 10)
    left, top, high = 54.0, 640.0, 20.0
    widths = (300, 60, 60, 84)
    heads = ("Item", "Good", "Bad", "Checked on")
    items = ("Propellers", "Motors", "Landing gear", "Radio link", "Pump")
    for row in range(len(items) + 1):
        x = left
        for column, wide in enumerate(widths):
            low = top - high * (row + 1)
            pen.frame((x, low, x + wide, low + high), 0.5)
            if row == 0:
                pen.put(x + 4, low + 6, heads[column], 9, pen.bold)
            elif column == 0:
                pen.put(x + 4, low + 6, items[row - 1], 9)
            else:
                kind = "date" if column == 3 else "check"
                pen.note(kind, x, low, x + wide, low + high)
            x += wide
    y = 490
    pen.put(54, y, "Total flight hours at the start of the season")
    pen.rule("number", 270, 340, y - 2)
    pen.put(344, y, "hours")
    pen.put(54, y - 26, "Weight with full tank")
    pen.rule("number", 270, 340, y - 28)
    pen.put(344, y - 26, "lb, of which product")
    pen.rule("number", 446, 500, y - 28)
    pen.put(504, y - 26, "lb")
    pen.put(54, y - 60, "School attended")
    pen.rule("text", 140, 400, y - 62)
    pen.under("text", "Exams passed", 54, 290, y - 100, 9)
    pen.under("date", "Last exam taken on", 310, 540, y - 100, 9)
    pen.under("text", "Instructor and place", 54, 540, y - 140, 9)
    pen.put(54, 300, "Inspected by:")
    pen.under("signature", "(signature)", 130, 340, 298)
    pen.under("title", "(position)", 360, 540, 298)
    return pen


def draw_certificate() -> Pen:
    """A company's acknowledgment beside a frame for the stamp, all of it in one frame."""
    pen = Pen("Times-Roman", 11)
    pen.head(150, 745, "CERTIFICATE OF AUTHORITY TO SIGN", 14)
    y = pen.flow(
        60,
        710,
        552,
        "The undersigned, secretary of {text:230}, certifies that {printed-name:190} holds the "
        "office of {title:120} and may sign all papers that concern the registration of aircraft.",
    )
    pen.put(60, y - 10, "IN WITNESS WHEREOF, the secretary signs on")
    pen.rule("date", 278, 400, y - 12)
    pen.under("signature", "Secretary", 300, 552, y - 60)
    pen.under("printed-name", "Typed name", 300, 552, y - 96)
    pen.seal(150, y - 70, "(Corporate seal)")
    pen.rows[-1]["kind"] = "notary-stamp"
    top = y - 130
    pen.frame((54, top - 250, 558, top), 1)
    pen.head(64, top - 20, "ACKNOWLEDGMENT", 11)
    pen.left("notary-state", "State of", 64, top - 44, 260)
    pen.left("notary-county", "County of", 280, top - 44, 540)
    y = pen.flow(
        64,
        top - 74,
        548,
        "On the {notary-date:40} day of {notary-date:100} in the year {notary-date:60} before me, "
        "the undersigned, personally appeared {printed-name:190}, known to me to be the person "
        "who signed this paper.",
        "rule",
        20,
    )
    pen.frame((64, y - 110, 210, y - 4), 0.5)
    pen.put(92, y - 60, "Notary's stamp here", 8)
    pen.note("notary-stamp", 64, y - 110, 210, y - 4)
    pen.under("notary-signature", "Notary's signature", 240, 540, y - 30)
    pen.under("printed-name", "Notary's name in print", 240, 540, y - 62)
    pen.under("notary-expiry", "Commission expiration date", 240, 400, y - 94)
    pen.under("number", "Commission number", 420, 540, y - 94)
    return pen


def draw_coupon() -> Pen:
    """A notice with a printed example and a coupon below a cut line; captions right of lines."""
    pen = Pen("Helvetica", 10)
    pen.head(54, 748, "Fee notice", 16)
    pen.line(54, 558, 740, 2)
    for row in range(5):
        pen.put(54, 716 - 14 * row, "Fees are due on the first day of the year. Pay by check only.")
    pen.head(54, 630, "Fees", 11)
    pen.line(54, 90, 627, 0.5)
    for row, (what, fee) in enumerate((("License", "$50.00"), ("Aircraft, each", "$10.00"))):
        pen.put(54, 610 - 16 * row, what)
        pen.put(300, 610 - 16 * row, fee)
        pen.line(54, 340, 606 - 16 * row, 0.3)
    pen.put(54, 556, "License fee")
    pen.rule("amount", 200, 280, 554)
    pen.put(54, 536, "Aircraft: number")
    end = pen.rule("number", 140, 170, 534)
    pen.put(end + 4, 536, "x $10 = $")
    pen.rule("amount", 222, 280, 534)
    pen.put(54, 516, "Total")
    pen.rule("amount", 200, 280, 514)
    pen.canvas.setDash(3, 3)
    pen.line(30, 582, 470, 0.5)
    pen.canvas.setDash()
    pen.put(250, 474, "cut here and send in", 7)
    for row, (kind, label) in enumerate(
        (("text", "name of license holder"), ("number", "license number"), ("address", "address"))
    ):
        pen.rule(kind, 54, 330, 430 - 26 * row)
        pen.put(336, 432 - 26 * row, label, 9)
    pen.put(54, 340, "Check no.")
    pen.rule("number", 110, 200, 338)
    pen.put(210, 340, "dated")
    pen.rule("date", 244, 330, 338)
    pen.put(54, 306, "Signed")
    pen.rule("signature", 110, 330, 304, 24)
    pen.frame((400, 300, 558, 440), 0.5)
    pen.put(410, 426, "Do not write in this space", 8)
    pen.note("ignore", 400, 300, 558, 440)
    return pen


def draw_zebra() -> Pen:
    """A table of shaded rows without upright lines, a grid without an outer frame."""
    pen = Pen("Helvetica", 9)
    pen.head(40, 750, "Log of aircraft and batteries", 14)
    pen.left("text", "Operator:", 40, 722, 320)
    pen.left("text", "Base:", 340, 722, 572)
    heads = (
        ("Maker and model", 40, "text"),
        ("Serial number", 220, "number"),
        ("Bought on", 340, "date"),
    )
    pen.grey((40, 684, 572, 702), 0.75)
    for words, x, _ in heads:
        pen.put(x + 2, 689, words, 9, pen.bold)
    pen.put(462, 689, "Remarks", 9, pen.bold)
    for row in range(6):
        low = 664 - 20 * row
        pen.line(40, 572, low, 0.5)
        for kind, left, right in (
            ("text", 40, 216),
            ("number", 216, 336),
            ("date", 336, 458),
            ("text", 458, 572),
        ):
            pen.note(kind, left, low, right, low + 20)
    y = 520
    for x in (200, 340, 460):
        pen.canvas.line(x, y, x, y - 100)
    for row in range(6):
        pen.line(40, 572, y - 20 * row, 0.5)
    for x, words in ((44, "Battery"), (204, "Charged on"), (344, "Cycles"), (464, "Cells good")):
        pen.put(x, y - 14, words, 9)
    for row in range(4):
        low = y - 40 - 20 * row
        for kind, left, right in (
            ("text", 40, 200),
            ("date", 200, 340),
            ("number", 340, 460),
            ("text", 460, 572),
        ):
            pen.note(kind, left, low, right, low + 20)
    pen.put(40, 380, "Kept by")
    pen.rule("printed-name", 90, 300, 378)
    pen.put(310, 380, "on")
    pen.rule("date", 326, 420, 378)
    return pen


FORMS = {
    "license": draw_license,
    "pleading": draw_affidavit,
    "sale": draw_sale,
    "request": draw_request,
    "roster": draw_roster,
    "columns": draw_columns,
    "combs": draw_combs,
    "hints": draw_hints,
    "checklist": draw_checklist,
    "certificate": draw_certificate,
    "coupon": draw_coupon,
    "zebra": draw_zebra,
}
