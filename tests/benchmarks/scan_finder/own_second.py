"""Twelve invented forms held out at first, then worked with too; see README.md."""

from own_kit import Pen


def draw_permit() -> Pen:
    """A permit: numbered boxes of unlike widths, options in a box, a block to certify."""
    pen = Pen("Times-Roman", 9)
    pen.head(180, 752, "PERMIT TO OPERATE NEAR A ROAD", 13)
    x, y = 40.0, 740.0
    boxes = (
        (("text", "1. Applicant (business name)", 320), ("number", "2. Federal tax number", 212)),
        (
            ("address", "3. Mailing address", 320),
            ("address", "4. City", 132),
            ("address", "ZIP", 80),
        ),
        (
            ("printed-name", "5. Contact person", 200),
            ("number", "6. Telephone", 120),
            ("text", "7. E-mail address", 212),
        ),
        (("date", "8. Start date", 133), ("date", "9. End date", 133), ("text", "10. Hours", 266)),
    )
    for row in boxes:
        left = x
        for kind, label, wide in row:
            pen.boxed(kind, label, (left, y - 32, left + wide, y))
            left += wide
        y -= 32
    pen.frame((40, y - 40, 572, y))
    pen.put(43, y - 9, "11. Purpose (check all that apply)", 7)
    pen.ticks(("Weed control", "Seeding", "Survey"), 60, y - 30)
    pen.tick("Other (explain)", 330, y - 30)
    pen.rule("text", 415, 566, y - 32, 14)
    y -= 40
    pen.boxed("text", "12. Describe the place of work", (40, y - 70, 572, y))
    y -= 90
    pen.head(40, y, "CERTIFICATION", 10)
    pen.put(40, y - 14, "I certify that the above is true and that I will follow the permit.")
    pen.boxed("signature", "Signature of applicant or agent", (40, y - 60, 300, y - 24))
    pen.boxed("printed-name", "Name (printed)", (300, y - 60, 460, y - 24))
    pen.boxed("date", "Date", (460, y - 60, 572, y - 24))
    y -= 80
    pen.grey((40, y - 100, 572, y), 0.88)
    pen.put(46, y - 12, "FOR AGENCY USE", 8, pen.bold)
    pen.put(46, y - 40, "Permit no.")
    pen.line(96, 240, y - 42)
    pen.put(260, y - 40, "Approved by")
    pen.line(320, 540, y - 42)
    pen.note("ignore", 40, y - 100, 572, y)
    return pen


def draw_power() -> Pen:
    """A power of attorney: long sentences, two witnesses, an acknowledgment in sentences."""
    pen = Pen("Times-Roman", 11)
    pen.head(220, 745, "POWER OF ATTORNEY", 14)
    y = pen.flow(
        72,
        712,
        540,
        "KNOW ALL PERSONS BY THESE PRESENTS, that {text:240}, a company with its principal office "
        "at {address:260}, appoints {printed-name:200} of {address:180} as its agent to receive "
        "court papers in the state.",
        "_",
        20,
    )
    y = pen.flow(72, y, 540, "This appointment is in force from {date:110} until {date:110}.")
    y = pen.flow(
        72, y - 6, 540, "Executed at {address:150} this {date:36} day of {date:100}, 20{date:24}."
    )
    y -= 30
    pen.put(300, y, "By:")
    pen.rule("signature", 320, 540, y - 2, 26)
    pen.put(300, y - 28, "Name:")
    pen.rule("printed-name", 336, 540, y - 30)
    pen.put(300, y - 52, "Its:")
    pen.rule("title", 322, 540, y - 54)
    pen.put(72, y, "Witnesses:")
    pen.rule("signature", 72, 270, y - 30, 24)
    pen.rule("signature", 72, 270, y - 60, 24)
    y -= 100
    pen.put(72, y, "STATE OF")
    pen.rule("notary-state", 130, 260, y - 2)
    pen.put(268, y, ")")
    pen.put(268, y - 11, ")  ss.")
    pen.put(72, y - 22, "COUNTY OF")
    pen.rule("notary-county", 138, 260, y - 24)
    pen.put(268, y - 22, ")")
    y = pen.flow(
        72,
        y - 50,
        540,
        "The foregoing instrument was acknowledged before me this {notary-date:110} by "
        "{printed-name:170}, {title:110} of {text:190}, on behalf of the company.",
        "rule",
        20,
    )
    pen.under("notary-signature", "Notary Public in and for said State", 300, 540, y - 40, 9)
    pen.put(300, y - 76, "My commission expires")
    pen.rule("notary-expiry", 408, 540, y - 78)
    pen.seal(150, y - 50, "(Notary seal)")
    return pen


def draw_lease() -> Pen:
    """A lease of an aircraft: labels over boxes, initials, schedule of payments."""
    pen = Pen("Helvetica", 10)
    pen.head(40, 750, "Aircraft lease, short form", 15)
    pen.line(40, 572, 742, 1)
    for spot, (kind, label) in enumerate(
        (("text", "Lessor"), ("text", "Lessee"), ("text", "Aircraft"), ("number", "Serial no."))
    ):
        x, y = 40 + 272 * (spot % 2), 700 - 44 * (spot // 2)
        pen.put(x, y + 22, label, 8)
        pen.frame((x, y, x + 260, y + 18), 0.5)
        pen.note(kind, x, y, x + 260, y + 18)
    pen.put(40, 634, "Rent")
    pen.rule("amount", 70, 150, 632)
    pen.put(156, 634, "a month, due on day")
    pen.rule("number", 262, 290, 632)
    pen.put(296, 634, "of each month.")
    end = pen.table(
        (
            ("Payment", "number", 80),
            ("Due date", "date", 140),
            ("Amount ($)", "amount", 140),
            ("Received by", "printed-name", 172),
        ),
        40,
        612,
        5,
        20,
    )
    pen.put(40, end - 24, "The lessee has read the limits of the machine.  Initials:")
    pen.rule("text", 310, 360, end - 26)
    pen.put(40, end - 50, "Who insures the aircraft?")
    pen.ticks(("Lessor", "Lessee", "Both"), 180, end - 50, "[ ]")
    pen.put(40, end - 76, "Remarks:")
    pen.lines("text", 40, 572, end - 96, 3)
    y = end - 190
    for x, who in ((40, "Lessor"), (320, "Lessee")):
        pen.under("signature", who, x, x + 180, y, 8)
        pen.under("date", "Date", x + 190, x + 252, y, 8)
        pen.under("printed-name", "Print name", x, x + 252, y - 36, 8)
    pen.put(40, 50, "Page 1 of 1", 7)
    return pen


def draw_exam() -> Pen:
    """A test registration on A4: a comb for the name, a choice of days, small captions."""
    pen = Pen("Helvetica", 9, (595.0, 842.0))
    pen.head(40, 800, "Registration for the written exam", 14)
    pen.put(40, 776, "Name as on your identification (one letter a box)", 8)
    pen.comb("printed-name", 40, 752, 30, 15)
    pen.centred("address", "Street", 40, 300, 720)
    pen.centred("address", "City", 310, 440, 720)
    pen.centred("address", "State", 450, 490, 720)
    pen.centred("address", "ZIP", 500, 555, 720)
    pen.centred("number", "Phone", 40, 160, 688)
    pen.centred("text", "E-mail", 170, 380, 688)
    pen.centred("date", "Date of birth", 390, 555, 688)
    pen.put(40, 656, "Exam place and day (choose one)", 9, pen.bold)
    pen.tick("Burrell Crossing, 3 March", 48, 638, "ring")
    pen.tick("Burrell Crossing, 9 April", 48, 622, "ring")
    pen.tick("another day:", 48, 606, "ring")
    pen.rule("date", 120, 220, 604)
    pen.put(300, 656, "Parts to be taken", 9, pen.bold)
    for row, words in enumerate(("Core", "Aerial", "Rights of way")):
        pen.put(308, 638 - 16 * row, words)
        pen.square(400, 637 - 16 * row)
    pen.put(40, 572, "Employer, if any")
    pen.rule("text", 120, 340, 570)
    pen.put(350, 572, "Supervisor")
    pen.rule("printed-name", 402, 555, 570)
    pen.put(40, 548, "Fee enclosed: $")
    pen.rule("amount", 112, 180, 546)
    pen.put(190, 548, "Check number")
    pen.rule("number", 254, 340, 546)
    pen.put(40, 500, "I took no exam in the last 30 days.")
    pen.put(40, 466, "X")
    pen.rule("signature", 50, 300, 464, 26)
    pen.rule("date", 340, 470, 464, 20)
    pen.put(50, 454, "candidate", 7)
    pen.put(340, 454, "day, month, year", 7)
    pen.line(40, 555, 420, 0.4)
    pen.put(40, 408, "1 Bring the identification whose name is written above.", 7)
    return pen


def draw_members() -> Pen:
    """A statement of members: a list numbered on lines, percent, brackets for the kind."""
    pen = Pen("Courier", 10)
    pen.put(60, 744, "STATEMENT OF THE MEMBERS OF A COMPANY", 12)
    pen.run("text", "Company: ", 60, 716, 50)
    pen.run("text", "Organized in the State of: ", 60, 694, 20)
    pen.run("date", "on: ", 360, 694, 20)
    pen.put(60, 664, "Managed by:")
    pen.ticks(("members", "managers", "officers"), 150, 664, "[ ]")
    pen.put(60, 634, "Members (name, citizenship, share):")
    for row in range(4):
        y = 612 - 22 * row
        pen.put(60, y, f"{row + 1}.")
        pen.run("printed-name", "", 84, y, 34)
        pen.run("text", "", 300, y, 18)
        end = pen.run("number", "", 420, y, 8)
        pen.put(end + 2, y, "%")
    y = pen.flow(
        60,
        506,
        552,
        "Each of the members named above may act alone for the company. This statement is made "
        "on {date:120} at {address:180}.",
        "_",
        18,
    )
    for row, who in enumerate(("First", "Second")):
        z = y - 50 - 70 * row
        pen.run("signature", f"{who} member: ", 60, z, 34)
        pen.run("date", "Date: ", 410, z, 14)
        pen.run("title", "Title: ", 60, z - 24, 30)
    pen.put(60, 200, "NOTARY", 10)
    pen.run("notary-state", "State: ", 60, 180, 20)
    pen.run("notary-county", "County: ", 260, 180, 20)
    pen.flow(
        60,
        154,
        552,
        "Signed and sworn to before me on {notary-date:100} by {printed-name:180}.",
    )
    pen.run("notary-signature", "", 60, 108, 36)
    pen.put(60, 96, "(signature of notary)", 8)
    pen.run("notary-expiry", "Expires: ", 310, 108, 20)
    pen.seal(440, 70, "(stamp)")
    return pen


def draw_record() -> Pen:
    """A spray record: a form of label cells and value cells, with units and a wind table."""
    pen = Pen("Helvetica", 8)
    pen.head(40, 752, "RECORD OF AN APPLICATION", 13)
    rows = (
        (("date", "Date"), ("text", "Start time")),
        (("text", "Product"), ("number", "EPA registration no.")),
        (("number", "Rate per acre"), ("number", "Acres treated")),
        (("text", "Crop and target"), ("address", "Location")),
        (("printed-name", "Pilot"), ("number", "License no.")),
    )
    y = 735.0
    for pair in rows:
        for side, (kind, label) in enumerate(pair):
            x = 40 + 266 * side
            pen.grey((x, y - 22, x + 96, y), 0.9)
            pen.frame((x, y - 22, x + 96, y), 0.5)
            pen.put(x + 4, y - 14, label)
            pen.frame((x + 96, y - 22, x + 266, y), 0.5)
            pen.note(kind, x + 96, y - 22, x + 266, y)
        y -= 22
    y -= 24
    pen.put(40, y, "Weather", 9, pen.bold)
    heads = ("", "Start", "Middle", "End")
    items = ("Wind speed, mph", "Wind from", "Temperature, F")
    for row in range(4):
        for column in range(4):
            x, wide = (40.0, 130.0) if column == 0 else (170.0 + 80 * (column - 1), 80.0)
            low = y - 24 - 18 * row
            pen.frame((x, low, x + wide, low + 18), 0.5)
            if row == 0 and heads[column]:
                pen.put(x + 4, low + 6, heads[column], 8, pen.bold)
            elif column == 0 and row:
                pen.put(x + 4, low + 6, items[row - 1])
            elif row and column:
                pen.note("text" if row == 2 else "number", x, low, x + wide, low + 18)
    y -= 130
    pen.put(40, y, "Drift seen?")
    pen.ticks(("No", "Yes, describe:"), 100, y)
    pen.rule("text", 250, 572, y - 2)
    pen.put(40, y - 30, "Sensitive places within 1,000 feet:")
    pen.ticks(("school", "hives", "stream", "none"), 200, y - 30)
    pen.put(40, y - 70, "Signature of pilot:")
    pen.rule("signature", 114, 330, y - 72, 24)
    pen.put(340, y - 70, "Date of record:")
    pen.rule("date", 400, 500, y - 72)
    return pen


def draw_receipt() -> Pen:
    """Half a sheet: a receipt with boxes at the right edge, sums, and a line to sign."""
    pen = Pen("Helvetica", 11, (612.0, 396.0))
    pen.frame((24, 24, 588, 372), 1.2)
    pen.head(40, 340, "RECEIPT", 18)
    pen.put(380, 344, "No.")
    pen.rule("number", 404, 560, 342)
    pen.put(380, 320, "Date")
    pen.rule("date", 408, 560, 318)
    pen.put(40, 290, "Received from")
    pen.rule("text", 124, 560, 288)
    pen.put(40, 262, "the sum of")
    pen.rule("text", 104, 490, 260)
    pen.put(496, 262, "dollars")
    pen.put(40, 234, "for")
    pen.rule("text", 62, 560, 232)
    pen.ticks(("cash", "check", "money order"), 40, 200)
    pen.put(40, 160, "Amount due")
    pen.rule("amount", 130, 220, 158)
    pen.put(40, 138, "Paid")
    pen.rule("amount", 130, 220, 136)
    pen.put(40, 116, "Balance")
    pen.rule("amount", 130, 220, 114)
    pen.line(300, 560, 90)
    pen.note("signature", 300, 90, 560, 116)
    pen.put(380, 78, "Received by (sign)", 8)
    return pen


def draw_notice() -> Pen:
    """A notice to neighbors: a body of text, dotted blanks, a tear-off reply."""
    pen = Pen("Times-Roman", 11)
    pen.head(72, 744, "Notice of spraying", 16)
    y = pen.flow(
        72,
        712,
        540,
        "Dear neighbor, on or about {date:120} between {text:60} and {text:60} we will treat the "
        "field at {address:230} with {text:160}. Please keep animals and people away.",
        ".",
        20,
    )
    for row in range(4):
        pen.put(72, y - 10 - 14 * row, "If the wind is wrong we come on the next day that is calm.")
    y -= 90
    pen.put(72, y, "Call us at")
    pen.rule("number", 126, 240, y - 2)
    pen.put(246, y, "or write to")
    pen.rule("text", 300, 540, y - 2)
    pen.under("signature", "For the operator", 300, 540, y - 60, 9)
    y -= 110
    pen.canvas.setDash(4, 3)
    pen.line(40, 572, y, 0.6)
    pen.canvas.setDash()
    pen.head(72, y - 24, "REPLY", 11)
    pen.tick("We have bees.", 72, y - 46, "[  ]")
    pen.tick("We have livestock.", 72, y - 64, "[  ]")
    pen.tick("Call us first:", 72, y - 82, "[  ]")
    pen.rule("number", 170, 300, y - 84)
    pen.over("printed-name", "Your name", 72, 300, y - 130)
    pen.over("signature", "Your signature", 320, 540, y - 130)
    pen.over("address", "Your address", 72, 540, y - 170)
    return pen


def draw_insurance() -> Pen:
    """A certificate of insurance: a grid with coverages, limits and dates, a producer's corner."""
    pen = Pen("Helvetica", 8)
    pen.head(40, 752, "CERTIFICATE OF INSURANCE FOR AERIAL APPLICATION", 12)
    pen.boxed("text", "PRODUCER", (40, 680, 306, 740))
    pen.boxed("text", "COMPANY GIVING COVER", (306, 710, 572, 740))
    pen.boxed("number", "COMPANY NO.", (306, 680, 572, 710))
    pen.boxed("text", "INSURED", (40, 640, 306, 680))
    pen.boxed("address", "ADDRESS OF INSURED", (306, 640, 572, 680))
    heads = ("COVERAGE", "POLICY NUMBER", "EFFECTIVE", "EXPIRES", "LIMITS")
    widths = (140, 132, 80, 80, 100)
    kinds = ("", "number", "date", "date", "amount")
    covers = ("Bodily injury", "Property damage", "Chemical drift")
    for row in range(4):
        x, low = 40.0, 600 - 22 * row
        for column, wide in enumerate(widths):
            pen.frame((x, low, x + wide, low + 22), 0.5)
            if row == 0:
                pen.put(x + 3, low + 8, heads[column], 7, pen.bold)
            elif column == 0:
                pen.put(x + 3, low + 8, covers[row - 1])
            else:
                pen.note(kinds[column], x, low, x + wide, low + 22)
            x += wide
    pen.put(40, 510, "Is damage by drifting chemical covered?")
    pen.ticks(("Yes", "No"), 220, 510)
    pen.boxed("text", "AIRCRAFT COVERED (make, model, registration mark)", (40, 420, 572, 490))
    pen.put(40, 400, "The company will tell the holder 30 days before the policy ends.")
    pen.boxed("text", "CERTIFICATE HOLDER", (40, 320, 306, 385))
    pen.boxed("signature", "AUTHORIZED REPRESENTATIVE (signature)", (306, 350, 572, 385))
    pen.boxed("date", "ISSUE DATE", (306, 320, 572, 350))
    return pen


def draw_verify() -> Pen:
    """A sworn answer with two jurats side by side, each with a dashed place for a stamp."""
    pen = Pen("Helvetica", 9)
    pen.head(200, 750, "VERIFICATION", 14)
    y = pen.flow(
        54,
        720,
        558,
        "We, {printed-name:170} and {printed-name:170}, say under oath that the application of "
        "{text:180} dated {date:90} is true.",
        "rule",
        20,
    )
    for x, who in ((54.0, "First"), (318.0, "Second")):
        right = x + 240
        pen.under("signature", f"Signature of {who.lower()} person", x, right, y - 40, 7)
        pen.left("notary-state", "State of", x, y - 80, right)
        pen.left("notary-county", "County of", x, y - 104, right)
        pen.put(x, y - 134, "Subscribed and sworn to before me")
        pen.put(x, y - 152, "this")
        pen.rule("notary-date", x + 20, x + 56, y - 154)
        pen.put(x + 60, y - 152, "day of")
        pen.rule("notary-date", x + 92, x + 180, y - 154)
        pen.put(x + 184, y - 152, ", 20")
        pen.rule("notary-date", x + 200, x + 226, y - 154)
        pen.under("notary-signature", "Notary public", x, right, y - 200, 7)
        pen.left("notary-expiry", "Commission expires", x, y - 232, right)
        pen.canvas.setDash(2, 2)
        pen.frame((x, y - 330, x + 130, y - 250), 0.5)
        pen.canvas.setDash()
        pen.put(x + 40, y - 292, "place stamp", 7)
        pen.note("notary-stamp", x, y - 330, x + 130, y - 250)
    return pen


def draw_inventory() -> Pen:
    """A sideways list ruled across only, its headings in two lines, and a sum at the foot."""
    pen = Pen("Times-Roman", 10, (792, 612))
    pen.head(54, 565, "Inventory of products in the shed", 15)
    pen.left("text", "Shed or truck", 54, 538, 300)
    pen.left("date", "Counted on", 320, 538, 500)
    pen.left("printed-name", "Counted by", 520, 538, 738)
    columns = (
        ("text", 54, 250, "Product"),
        ("number", 250, 380, "Registration number"),
        ("number", 380, 470, "Gallons"),
        ("amount", 470, 580, "Price a gallon"),
        ("text", 580, 738, "Shelf"),
    )
    pen.line(54, 738, 516, 1)
    for _, left, _, words in columns:
        pen.put(left + 3, 503, words, 9, pen.bold)
    pen.line(54, 738, 498, 1)
    for row in range(8):
        low = 476 - 22 * row
        pen.line(54, 738, low, 0.4)
        for kind, left, right, _ in columns:
            pen.note(kind, left, low, right, low + 22)
    pen.put(400, 290, "Value of all products  $")
    pen.rule("amount", 510, 640, 288)
    pen.put(54, 240, "Checked:")
    pen.under("signature", "Manager", 110, 330, 238, 8)
    pen.under("date", "Date", 350, 470, 238, 8)
    return pen


def draw_renewal() -> Pen:
    """A renewal with what is known printed in, changes beside it, and a declaration."""
    pen = Pen("Helvetica", 9)
    pen.head(54, 750, "RENEWAL OF A PILOT'S CERTIFICATE", 13)
    pen.put(54, 730, "Look at what we have. Write only what has changed.", 9)
    for column, words in enumerate(("What we have", "What has changed")):
        pen.put(160 + 200 * column, 706, words, 9, pen.bold)
    for row, (kind, label, known) in enumerate(
        (
            ("printed-name", "Name", "Odile Ferrant"),
            ("address", "Street", "1 Invented Road"),
            ("address", "City", "Burrell Crossing"),
            ("number", "Telephone", "555-0100"),
        )
    ):
        y = 684 - 24 * row
        pen.put(54, y, label)
        pen.put(160, y, known)
        pen.rule(kind, 360, 558, y - 2)
    pen.put(54, 570, "Training done since the last card:")
    pen.under("text", "Course", 54, 250, 536, 8)
    pen.under("text", "School", 270, 420, 536, 8)
    pen.under("date", "Finished on", 440, 558, 536, 8)
    pen.put(
        54, 500, "Has a court found you guilty of breaking a spraying law?   Circle one:   YES   NO"
    )
    pen.put(54, 476, "How many hours did you fly last year?")
    pen.rule("number", 230, 300, 474)
    pen.put(54, 452, "Largest machine flown (take-off weight)")
    pen.rule("number", 230, 300, 450)
    pen.put(304, 452, "lb")
    pen.grey((54, 380, 558, 430), 0.92)
    pen.put(60, 416, "Declaration", 9, pen.bold)
    pen.put(60, 402, "What I wrote is true. I know that the card may be taken if it is not.")
    pen.put(54, 340, "Signature")
    pen.rule("signature", 110, 330, 338, 26)
    pen.put(350, 340, "Date")
    pen.rule("date", 380, 558, 338)
    pen.put(54, 306, "If signed for the pilot: name and relation")
    pen.rule("text", 260, 558, 304)
    pen.line(54, 558, 270, 2)
    pen.put(54, 252, "Mail to: Example Office, Box 0, Burrell Crossing", 9)
    return pen


FORMS = {
    "permit": draw_permit,
    "power": draw_power,
    "lease": draw_lease,
    "exam": draw_exam,
    "company": draw_members,
    "record": draw_record,
    "receipt": draw_receipt,
    "notice": draw_notice,
    "insurance": draw_insurance,
    "verify": draw_verify,
    "inventory": draw_inventory,
    "renewal": draw_renewal,
}
