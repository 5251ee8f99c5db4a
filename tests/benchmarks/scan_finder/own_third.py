"""Ten invented forms written after the finder was done, to see how it does; never worked with."""

from own_kit import Pen


def draw_claim() -> Pen:
    """A claim for damage: a dark band with white words, a sketch, a long answer."""
    pen = Pen("Helvetica", 9)
    pen.grey((0, 750, 612, 792), 0.1)
    pen.tint(1)
    pen.head(40, 764, "Claim for damage by drift", 15)
    pen.tint(0)
    pen.put(40, 728, "Part 1. Who claims", 10, pen.bold)
    pen.left("printed-name", "Full name", 40, 706, 300)
    pen.left("number", "Phone", 316, 706, 430)
    pen.left("text", "E-mail", 440, 706, 572)
    pen.left("address", "Street or rural route", 40, 684, 300)
    pen.left("address", "City", 316, 684, 430)
    pen.left("address", "State", 436, 684, 490)
    pen.left("address", "ZIP", 496, 684, 572)
    pen.put(40, 656, "Part 2. What happened", 10, pen.bold)
    pen.put(40, 636, "On (date)")
    pen.rule("date", 84, 170, 634)
    pen.put(176, 636, "at about (time)")
    pen.rule("text", 242, 310, 634)
    pen.put(316, 636, "wind was from the")
    pen.rule("text", 394, 450, 634)
    pen.put(456, 636, "at")
    pen.rule("number", 468, 510, 634)
    pen.put(514, 636, "mph.")
    pen.put(40, 612, "Tell what you saw. Use more paper if you need it.")
    pen.lines("text", 40, 572, 592, 5)
    pen.put(40, 494, "Crop harmed")
    pen.rule("text", 100, 250, 492)
    pen.put(260, 494, "Acres harmed")
    pen.rule("number", 324, 400, 492)
    pen.put(410, 494, "Loss  $")
    pen.rule("amount", 444, 572, 492)
    pen.put(40, 466, "Were pictures taken?")
    pen.ticks(("Yes", "No"), 140, 466)
    pen.put(240, 466, "Was the crop insured?")
    pen.ticks(("Yes", "No"), 340, 466)
    pen.frame((40, 260, 572, 440))
    pen.put(46, 426, "Sketch of the field (show north)", 8)
    pen.note("text", 40, 260, 572, 422)
    pen.under("signature", "Claimant's signature", 40, 300, 200)
    pen.under("date", "Date signed", 330, 460, 200)
    return pen


def draw_jurat_page() -> Pen:
    """One page with nothing but a certificate, its kind marked in a box, in two type sizes."""
    pen = Pen("Times-Roman", 12)
    pen.head(220, 740, "NOTARY PAGE", 16)
    pen.put(72, 700, "State of Nebraska")
    pen.left("notary-county", "County of", 72, 676, 280)
    pen.put(72, 640, "The attached paper of")
    pen.rule("number", 186, 220, 638)
    pen.put(226, 640, "pages, dated")
    pen.rule("date", 296, 400, 638)
    pen.put(404, 640, ", was")
    pen.tick("acknowledged", 90, 612)
    pen.rows[-1]["kind"] = "notary-act"
    pen.tick("signed and sworn to (or affirmed)", 90, 592)
    pen.rows[-1]["kind"] = "notary-act"
    pen.flow(72, 562, 540, "before me on {notary-date:130} by {printed-name:220}.", "rule")
    pen.rule("notary-signature", 72, 320, 480, 30)
    pen.put(72, 466, "Signature of notarial officer", 9)
    pen.rule("printed-name", 72, 320, 430, 20)
    pen.put(72, 418, "Printed name of notarial officer", 9)
    pen.rule("notary-title", 72, 320, 382, 20)
    pen.put(72, 370, "Title of office", 9)
    pen.rule("notary-expiry", 72, 320, 334, 20)
    pen.put(72, 322, "My commission expires", 9)
    pen.frame((360, 320, 540, 500))
    pen.put(410, 404, "(official stamp)", 9)
    pen.note("notary-stamp", 360, 320, 540, 500)
    return pen


def draw_card() -> Pen:
    """Four small cards on a sheet, alike but for their place."""
    pen = Pen("Helvetica", 8)
    for x, y in ((36, 420), (316, 420), (36, 120), (316, 120)):
        pen.frame((x, y, x + 260, y + 270), 1)
        pen.head(x + 12, y + 250, "FIELD TAG", 10)
        pen.left("text", "Field", x + 12, y + 226, x + 248)
        pen.left("text", "Product", x + 12, y + 204, x + 248)
        pen.left("date", "Sprayed on", x + 12, y + 182, x + 130)
        pen.left("text", "at", x + 140, y + 182, x + 248)
        pen.put(x + 12, y + 158, "Keep out until")
        pen.rule("date", x + 70, x + 248, y + 156)
        pen.tick("read the label", x + 12, y + 130)
        pen.tick("bees told", x + 120, y + 130)
        pen.under("signature", "Applicator's signature", x + 12, x + 248, y + 80, 7)
        pen.put(x + 12, y + 20, "Leave this tag on the gate.", 7)
    return pen


def draw_budget() -> Pen:
    """A list of costs with a column of lines at the right, sums, and a rate in a sentence."""
    pen = Pen("Helvetica", 10)
    pen.head(60, 748, "Estimate of costs", 15)
    pen.left("text", "Prepared for:", 60, 720, 340)
    pen.left("date", "Date:", 360, 720, 552)
    pen.put(60, 690, "Cost", 10, pen.bold)
    pen.put(470, 690, "Dollars", 10, pen.bold)
    for row, words in enumerate(("Water and mixing", "Product", "Labor", "Travel", "Fees")):
        pen.put(60, 666 - 22 * row, words)
        pen.rule("amount", 450, 552, 664 - 22 * row)
    pen.put(360, 548, "Total", 10, pen.bold)
    pen.rule("amount", 450, 552, 546)
    pen.flow(
        60,
        510,
        552,
        "This estimate holds for {number:40} days. A deposit of ${amount:80} is due when the work "
        "is ordered.",
        "_",
        18,
    )
    pen.put(60, 440, "Accepted:")
    pen.under("signature", "Signature of customer", 130, 360, 438, 8)
    pen.under("date", "Date", 380, 552, 438, 8)
    pen.under("printed-name", "Printed name", 130, 360, 400, 8)
    pen.line(60, 552, 90, 0.5)
    pen.put(60, 76, "Sandbur Flats Aerial LLC, 555-0100, Burrell Crossing", 8)
    return pen


def draw_training() -> Pen:
    """A training record: a table with headings over two rows and a column of initials."""
    pen = Pen("Times-Roman", 10)
    pen.head(54, 748, "Record of supervised hours", 15)
    pen.left("printed-name", "Name of trainee", 54, 722, 320)
    pen.left("number", "Certificate number", 334, 722, 558)
    pen.left("printed-name", "Name of trainer", 54, 698, 320)
    pen.left("number", "Trainer's license no.", 334, 698, 558)
    columns = ((54, "Date", "date"), (134, "Aircraft", "text"), (254, "Place", "address"))
    more = ((374, "Hours", "number"), (434, "Loads", "number"), (494, "Initials", "text"))
    edges = [54, 134, 254, 374, 434, 494, 558]
    top = 676.0
    for index, (x, words, kind) in enumerate((*columns, *more)):
        right = edges[index + 1]
        pen.grey((x, top - 18, right, top), 0.85)
        pen.frame((x, top - 18, right, top), 0.5)
        pen.put(x + 3, top - 12, words, 9, pen.bold)
        for row in range(10):
            low = top - 18 - 20 * (row + 1)
            pen.frame((x, low, right, low + 20), 0.5)
            pen.note(kind, x, low, right, low + 20)
    low = top - 18 - 200
    pen.put(300, low - 16, "Sum of hours", 9, pen.bold)
    pen.frame((374, low - 22, 434, low - 2), 0.5)
    pen.note("number", 374, low - 22, 434, low - 2)
    pen.put(54, low - 60, "I trained the person named above and saw the hours flown.")
    pen.centred("signature", "(trainer's signature)", 54, 280, low - 110)
    pen.centred("date", "(date)", 300, 400, low - 110)
    pen.centred("signature", "(trainee's signature)", 54, 280, low - 160)
    pen.centred("date", "(date)", 300, 400, low - 160)
    return pen


def draw_agreement() -> Pen:
    """A contract whose blanks stand in numbered sentences, with two parties signing."""
    pen = Pen("Times-Roman", 11)
    pen.head(180, 744, "AGREEMENT FOR AERIAL WORK", 14)
    y = pen.flow(
        72,
        714,
        540,
        "This agreement is made on {date:110} between {text:180} (the operator) and {text:180} "
        "(the grower).",
        "_",
        18,
    )
    y = pen.flow(
        72,
        y - 6,
        540,
        "1. The operator will spray about {number:60} acres of {text:110} in section {number:40}, "
        "township {number:40}, county of {text:110}.",
        "_",
        18,
    )
    y = pen.flow(
        72,
        y - 6,
        540,
        "2. The grower pays ${amount:60} an acre, within {number:30} days after the work.",
        "_",
        18,
    )
    y = pen.flow(
        72, y - 6, 540, "3. Work begins not before {date:100} and ends by {date:100}.", "_", 18
    )
    pen.put(72, y - 20, "OPERATOR", 11, pen.bold)
    pen.put(320, y - 20, "GROWER", 11, pen.bold)
    for x in (72.0, 320.0):
        pen.put(x, y - 60, "By")
        pen.rule("signature", x + 18, x + 220, y - 62, 28)
        pen.put(x, y - 86, "Name")
        pen.rule("printed-name", x + 34, x + 220, y - 88)
        pen.put(x, y - 110, "Title")
        pen.rule("title", x + 30, x + 220, y - 112)
        pen.put(x, y - 134, "Date")
        pen.rule("date", x + 30, x + 220, y - 136)
    return pen


def draw_status() -> Pen:
    """Check boxes after their words, in a ruled list, then boxes in a frame with a heading."""
    pen = Pen("Helvetica", 10)
    pen.head(54, 748, "Status of the aircraft", 15)
    pen.left("number", "Registration mark:", 54, 722, 280)
    pen.left("number", "Hours on airframe:", 300, 722, 540)
    for row, words in enumerate(("Airworthy", "Waiting for parts", "Sold", "Destroyed")):
        y = 690 - 22 * row
        pen.put(54, y, words)
        pen.square(200, y - 1)
        pen.line(54, 240, y - 6, 0.3)
    pen.frame((300, 610, 540, 705))
    pen.put(308, 690, "What is sent with this form", 9, pen.bold)
    for row, words in enumerate(("old certificate", "letter", "photo")):
        pen.tick(words, 312, 668 - 18 * row)
    pen.put(54, 570, "If sold, name and address of the buyer:")
    pen.lines("text", 54, 540, 550, 2)
    pen.put(54, 500, "Date of sale or loss")
    pen.rule("date", 160, 280, 498)
    pen.put(54, 470, "I am (check one)")
    pen.ticks(("the owner", "an officer of the owner", "an agent"), 150, 470, "ring")
    pen.put(54, 420, "Signature")
    pen.rule("signature", 110, 330, 418, 24)
    pen.put(350, 420, "Tel.")
    pen.rule("number", 376, 540, 418)
    pen.put(54, 394, "Print name")
    pen.rule("printed-name", 116, 330, 392)
    return pen


def draw_statement() -> Pen:
    """An unsworn statement in one paragraph, place and day of signing, then small captions."""
    pen = Pen("Courier", 10)
    pen.put(72, 740, "STATEMENT UNDER PENALTY OF PERJURY", 12)
    y = pen.flow(
        72,
        706,
        540,
        "I, {printed-name:180}, am {title:120} of {text:180}, and state: the paper with the number "
        "{number:90} was lost on or about {date:100}.",
        "_",
        20,
    )
    pen.put(72, y - 4, "It was lost in this way:")
    for row in range(3):
        pen.put(72, y - 24 - 18 * row, "_" * 76)
    pen.note("text", 72, y - 62, 528, y - 10)
    y -= 92
    pen.put(72, y, "I declare under penalty of perjury that the foregoing is true.")
    y = pen.flow(72, y - 30, 540, "Executed on {date:110} at {address:180}.", "_", 20)
    pen.run("signature", "", 72, y - 40, 40)
    pen.put(72, y - 52, "(signature)", 8)
    pen.run("number", "Telephone: ", 340, y - 40, 18)
    return pen


def draw_route() -> Pen:
    """A sideways request with boxes of several lines and a table whose first column is printed."""
    pen = Pen("Helvetica", 9, (792, 612))
    pen.head(40, 570, "REQUEST FOR AIRSPACE", 14)
    pen.boxed("text", "Operation", (40, 510, 300, 555))
    pen.boxed("number", "Telephone on the day", (300, 510, 500, 555))
    pen.boxed("date", "First day", (500, 510, 626, 555))
    pen.boxed("date", "Last day", (626, 510, 752, 555))
    pen.boxed("text", "Describe the route", (40, 440, 400, 510))
    pen.boxed("text", "Nearest airport and class of airspace", (400, 440, 752, 510))
    heads = (("Corner", 100), ("Latitude", 200), ("Longitude", 200), ("Height, ft", 100))
    for row in range(5):
        x = 40.0
        for column, (words, wide) in enumerate(heads):
            low = 400 - 20 * row
            pen.frame((x, low, x + wide, low + 20), 0.5)
            if row == 0:
                pen.put(x + 4, low + 6, words, 9, pen.bold)
            elif column == 0:
                pen.put(x + 4, low + 6, "ABCD"[row - 1], 9)
            else:
                pen.note("number", x, low, x + wide, low + 20)
            x += wide
    pen.put(40, 280, "Aircraft used:")
    for row in range(2):
        pen.put(60, 258 - 22 * row, f"{row + 1}.")
        pen.rule("text", 76, 300, 256 - 22 * row)
        pen.put(310, 258 - 22 * row, "weight")
        pen.rule("number", 346, 420, 256 - 22 * row)
        pen.put(424, 258 - 22 * row, "lb")
    pen.put(40, 190, "Signature of pilot in command")
    pen.rule("signature", 180, 420, 188, 26)
    pen.put(440, 190, "Date")
    pen.rule("date", 466, 580, 188)
    pen.frame((600, 150, 752, 260), 0.8)
    pen.put(606, 248, "FOR OFFICIAL USE", 7)
    pen.note("ignore", 600, 150, 752, 260)
    return pen


def draw_survey() -> Pen:
    """Questions with answers to be ticked in columns, a scale, and lines after "other"."""
    pen = Pen("Helvetica", 9)
    pen.head(54, 748, "Season survey", 15)
    pen.put(54, 724, "1. How did you hear of us?")
    for row, words in enumerate(("from a neighbor", "at the fair", "other:")):
        pen.tick(words, 66, 706 - 16 * row, "[ ]")
    pen.rule("text", 130, 300, 672, 14)
    pen.put(54, 644, "2. Mark one box in each row.")
    heads = ("", "Good", "Fair", "Poor")
    items = ("Timing", "Coverage", "Price")
    for row in range(4):
        x = 66.0
        for column, wide in enumerate((180, 60, 60, 60)):
            low = 616 - 18 * row
            pen.frame((x, low, x + wide, low + 18), 0.5)
            if row == 0 and column:
                pen.put(x + 4, low + 6, heads[column], 8, pen.bold)
            elif column == 0 and row:
                pen.put(x + 4, low + 6, items[row - 1], 8)
            elif row and column:
                pen.note("check", x, low, x + wide, low + 18)
            x += wide
    pen.put(54, 530, "3. How many acres do you farm?")
    pen.rule("number", 200, 280, 528)
    pen.put(54, 506, "4. What should be better?")
    pen.lines("text", 66, 540, 486, 3)
    pen.put(54, 420, "5. May we call you?")
    pen.ticks(("No", "Yes, at"), 150, 420, "[ ]")
    pen.rule("number", 250, 380, 418)
    pen.put(54, 390, "Name (you may leave this out)")
    pen.rule("printed-name", 200, 400, 388)
    return pen


FORMS = {
    "claim": draw_claim,
    "jurat_page": draw_jurat_page,
    "cards": draw_card,
    "budget": draw_budget,
    "training": draw_training,
    "agreement": draw_agreement,
    "status": draw_status,
    "unsworn": draw_statement,
    "route": draw_route,
    "survey": draw_survey,
}
