"""Forms whose blanks are rules, typed underscores and gaps in sentences."""

from unseen_kit import Gap, Sheet, use_own_fonts

from compliance.forms.model import BlankKind as Kind


def make_ruled_left() -> Sheet:
    """Label at the left of a rule, two and three on a line, a signature block with a date."""
    sheet = Sheet()
    sheet.middle(744, "OFFICE OF AERIAL APPLICATIONS", 15, "Helvetica-Bold")
    sheet.middle(730, "Sample county annex, Burrell Crossing", 9, "Helvetica")
    sheet.rule(54, 722, 558, 2)
    sheet.rule(54, 719, 558, 0.5)
    sheet.middle(700, "Request to apply products from the air", 12, "Helvetica-Bold")
    sheet.text(54, 676, "Print in ink. Sign on the line at the foot of the page.", 9)
    sheet.ruled(Kind.TEXT, "Legal name of business", (54, 650, 558))
    sheet.ruled(Kind.ADDRESS, "Mailing address", (54, 626, 558))
    sheet.ruled(Kind.ADDRESS, "City", (54, 602, 250))
    sheet.ruled(Kind.ADDRESS, "State", (262, 602, 360))
    sheet.ruled(Kind.ADDRESS, "ZIP", (372, 602, 558))
    sheet.ruled(Kind.NUMBER, "Telephone", (54, 578, 300))
    sheet.ruled(Kind.TEXT, "E-mail", (312, 578, 558))
    sheet.text(54, 546, "Aircraft", 11, "Helvetica-Bold")
    sheet.rule(54, 542, 558, 1)
    sheet.ruled(Kind.TEXT, "Maker", (54, 520, 300))
    sheet.ruled(Kind.TEXT, "Model", (312, 520, 558))
    sheet.ruled(Kind.NUMBER, "Serial number", (54, 496, 300))
    sheet.ruled(Kind.NUMBER, "Weight at take-off (lb)", (312, 496, 558))
    sheet.ruled(Kind.DATE, "Date of first application", (54, 472, 300))
    sheet.ruled(Kind.DATE, "Date of last application", (312, 472, 558))
    sheet.text(54, 430, "I have read the conditions printed on the back of this request.", 10)
    sheet.ruled(Kind.SIGNATURE, "Signature of applicant", (54, 380, 380), height=24)
    sheet.ruled(Kind.DATE, "Date", (396, 380, 558))
    sheet.ruled(Kind.PRINTED_NAME, "Printed name", (54, 350, 320))
    sheet.ruled(Kind.TITLE, "Title", (332, 350, 558))
    sheet.rule(54, 60, 558, 0.5)
    sheet.text(54, 50, "Sample OA-1 (edition 3)", 7)
    sheet.text(520, 50, "Page 1 of 1", 7)
    return sheet


def make_captions_under() -> Sheet:
    """Captions in small type under the rules, a serif face, ornaments round the heading."""
    sheet = Sheet(face="Times-Roman", text_size=11)
    sheet.frame(36, 36, 576, 756, 1.5)
    sheet.frame(40, 40, 572, 752, 0.4)
    sheet.middle(716, "Certificate of Instruction", 20, "Times-BoldItalic")
    sheet.rule(206, 708, 406, 0.8)
    sheet.middle(690, "to be given to the pilot and a copy kept for two years", 10, "Times-Italic")
    sheet.captioned(Kind.PRINTED_NAME, "Name of pilot (last, first, middle)", (72, 636, 380))
    sheet.captioned(Kind.NUMBER, "Certificate number", (400, 636, 540))
    sheet.captioned(Kind.ADDRESS, "Street or rural route", (72, 598, 540))
    sheet.captioned(Kind.ADDRESS, "City or town", (72, 560, 300))
    sheet.captioned(Kind.ADDRESS, "State", (316, 560, 400))
    sheet.captioned(Kind.ADDRESS, "ZIP code", (416, 560, 540))
    sheet.text(72, 520, "The pilot named above was taught, and showed by flying:")
    for row, words in enumerate(("starting with a full tank", "drift and wind", "emergency stop")):
        sheet.text(90, 500 - 16 * row, f"{row + 1}.  {words}")
    sheet.captioned(Kind.DATE, "First day of instruction", (72, 420, 216), size=6)
    sheet.captioned(Kind.DATE, "Last day of instruction", (234, 420, 378), size=6)
    sheet.captioned(Kind.NUMBER, "Hours flown", (396, 420, 540), size=6)
    lines = (
        (Kind.SIGNATURE, "Signature of instructor", (72, 330, 330)),
        (Kind.DATE, "Date signed", (360, 330, 540)),
        (Kind.PRINTED_NAME, "Typed or printed name", (72, 288, 330)),
        (Kind.TITLE, "Title", (360, 288, 540)),
        (Kind.SIGNATURE, "Signature of pilot", (72, 220, 330)),
        (Kind.DATE, "Date signed", (360, 220, 540)),
    )
    for kind, label, place in lines:
        height = 28 if kind is Kind.SIGNATURE else 16
        sheet.captioned(kind, label, place, size=7, height=height, centred=True)
    sheet.middle(180, "~  ~  ~", 14, "Times-Roman")
    sheet.rule(206, 172, 406, 0.8)
    return sheet


def make_typed_underscores() -> Sheet:
    """A typewriter sheet: underscores, dot leaders and letters in brackets as boxes."""
    sheet = Sheet(face="Courier", text_size=10)
    sheet.text(60, 740, "BURRELL CROSSING WEED BOARD", 12, "Courier-Bold")
    sheet.text(60, 722, "=" * 82)
    sheet.text(60, 702, "NOTICE OF AERIAL WORK OVER OR NEXT TO A PUBLIC ROAD")
    under = "_"
    sheet.ruled(Kind.TEXT, "1. Operator", (60, 670, 552), how=under)
    sheet.ruled(Kind.NUMBER, "2. License number", (60, 648, 300), how=under)
    sheet.ruled(Kind.DATE, "Expires", (310, 648, 552), how=under)
    sheet.ruled(Kind.TEXT, "3. Road", (60, 626, 300), how=under)
    sheet.ruled(Kind.TEXT, "From", (310, 626, 425), how=under)
    sheet.ruled(Kind.TEXT, "to", (432, 626, 552), how=under, end="")
    sheet.ruled(Kind.TEXT, "4. Product ", (60, 604, 552), how=".", end="")
    sheet.ruled(Kind.NUMBER, "5. Label registration number ", (60, 582, 552), how=".", end="")
    sheet.ruled(Kind.NUMBER, "6. Acres ", (60, 560, 552), how=".", end="")
    sheet.text(60, 530, "7. Kind of work (mark one):")
    ticks = ("weed control", "cover crop seeding", "brush control", "other (say on line 8)")
    for row, words in enumerate(ticks):
        sheet.tick(words, (78, 512 - 16 * row), how="[]", side=12)
    sheet.text(60, 440, "8. Remarks:")
    for row in range(3):
        sheet.text(78, 422 - 18 * row, "_" * 79)
    sheet.mark(Kind.TEXT, "Remarks", (78, 384.5, 552, 434))
    sheet.text(60, 356, "9. Will the road be closed?")
    end = sheet.tick("YES", (250, 356), how="()", side=12, name="Road closed: yes")
    sheet.tick("NO", (end + 14, 356), how="()", side=12, name="Road closed: no")
    sheet.text(60, 326, "Fees:   one road ...............  $10")
    sheet.text(60, 312, "        each further road ......   $5")
    sheet.ruled(Kind.AMOUNT, "10. Fee enclosed: $", (60, 288, 270), how=under, end="")
    sheet.text(60, 262, "The signature and the date below must be written by hand.")
    sheet.ruled(Kind.SIGNATURE, "Signed", (60, 218, 380), how=under, height=22)
    sheet.ruled(Kind.DATE, "Date", (392, 218, 552), how=under)
    sheet.ruled(Kind.PRINTED_NAME, "Name (print)", (60, 192, 380), how=under)
    sheet.text(60, 160, "-" * 82)
    sheet.text(60, 146, "Keep one copy. Send one copy to the board ten days before the work.")
    return sheet


def make_two_columns() -> Sheet:
    """Two columns of small type, each with its own rules, check boxes and remarks lines."""
    use_own_fonts()
    sheet = Sheet(face="Own", text_size=8)
    sheet.text(40, 752, "Field and neighbor sheet", 14, "Own-Bold")
    sheet.rule(40, 745, 572, 1.2)
    sheet.canvas.setLineWidth(0.4)
    sheet.canvas.line(306, 738, 306, 110)
    for left, who in ((40.0, "Landowner"), (318.0, "Neighbor")):
        right = left + 254
        sheet.text(left, 726, who, 10, "Own-Bold")
        thin = "thin box"
        sheet.ruled(Kind.PRINTED_NAME, f"Name of {who.lower()}", (left, 704, right), how=thin)
        sheet.ruled(Kind.ADDRESS, "Address", (left, 686, right), how=thin)
        sheet.ruled(Kind.NUMBER, "Telephone", (left, 668, left + 130), how=thin)
        sheet.ruled(Kind.NUMBER, "Parcel no.", (left + 138, 668, right), how=thin)
        sheet.text(left, 640, "Sensitive places within half a mile:")
        names = ("Bee yard", "Organic field", "Pond", "School", "House", "Vineyard")
        for spot, name in enumerate(names):
            x, y = left + 86 * (spot % 3), 622 - 16 * (spot // 3)
            sheet.tick(name, (x, y), side=8, name=f"{who}: {name}")
        sheet.text(left, 580, "Told about the work by:")
        end = sheet.tick("letter", (left + 96, 580), how="symbol", side=7, name=f"{who}: letter")
        end = sheet.tick("call", (end + 8, 580), how="symbol", side=7, name=f"{who}: call")
        sheet.tick("visit", (end + 8, 580), how="symbol", side=7, name=f"{who}: visit")
        sheet.ruled(Kind.DATE, "Date told", (left, 558, left + 120), how=thin)
        sheet.ruled(Kind.TEXT, "By whom", (left + 128, 558, right), how=thin)
        sheet.text(left, 534, "Remarks")
        for row in range(5):
            sheet.rule(left, 516 - 18 * row, right, 0.4)
        sheet.mark(Kind.TEXT, f"{who}: remarks", (left, 444, right, 531))
        sheet.captioned(Kind.SIGNATURE, f"{who}'s signature", (left, 380, left + 170), height=24)
        sheet.captioned(Kind.DATE, "Date", (left + 182, 380, right))
    for row in range(9):
        sheet.text(40, 350 - 12 * row, "The sheet is kept with the map of the field.")
        sheet.text(318, 350 - 12 * row, "A neighbor's signature is no consent to drift.")
    sheet.rule(40, 70, 572, 0.4)
    sheet.text(40, 60, "Sample sheet FN-2", 7)
    return sheet


def make_dense_traps() -> Sheet:
    """A page of instructions full of the words that mark blanks; only five blanks at the end."""
    sheet = Sheet(face="Times-Roman", text_size=9)
    sheet.middle(752, "INSTRUCTIONS FOR THE AFFIRMATION OF TRAINING", 12, "Times-Bold")
    sheet.rule(180, 748, 432, 0.8)
    heads = ("Signature", "Date", "Printed name and title", "Notary public", "Amount")
    rows = (
        "The signature must be in ink. A signature by stamp, or a signature without a date, sends",
        "the paper back. The date is the day of signing: month, day and year, as 3/14/27. Where a",
        "name is asked for, print it; under it comes the title, such as member or owner. The form",
        "needs no notary public, no seal, no commission date. State and county of the field are on",
        "the map. Fee: $0.00. Serial number and registration number: as on the plate.",
    )
    y = 722.0
    for spot, head in enumerate(heads):
        end = sheet.text(54, y, f"{spot + 1}.  {head}:", 10, "Times-Bold")
        sheet.rule(70, y - 2, end, 0.5)
        for row in (*rows[spot:], *rows[:spot]):
            y -= 12
            sheet.text(70, y, row)
        y -= 22
    sheet.shade(54, y - 46, 558, y + 4, 0.9)
    sheet.text(62, y - 10, "Example of a well filled line (do not write here):", 9, "Times-Italic")
    sheet.text(62, y - 30, "Signature:  see line 1      Date:  see line 2", 9, "Times-Bold")
    y -= 70
    sheet.rule(54, y, 558, 1.5)
    sheet.text(54, y - 16, "AFFIRMATION", 11, "Times-Bold")
    y = sheet.flow(
        (54, y - 36, 558),
        (
            "I, ",
            Gap(kind=Kind.PRINTED_NAME, label="Name", width=170),
            ", finished the yearly training on ",
            Gap(kind=Kind.DATE, label="Day of training", width=90),
            " and keep its record with my papers. My signature and the date follow.",
        ),
        leading=18,
    )
    sheet.captioned(Kind.SIGNATURE, "Sign here", (54, y - 30, 280), height=24)
    sheet.captioned(Kind.DATE, "Date", (296, y - 30, 380))
    sheet.captioned(Kind.TITLE, "Title", (396, y - 30, 558))
    sheet.text(54, y - 62, "_" * 25, 9)
    sheet.text(54, y - 74, "1 Terms are explained on the back: signature, date, seal, title.", 7)
    return sheet


def make_two_pages() -> Sheet:
    """Page one is mostly print with a table of fees; the blanks are on page two."""
    sheet = Sheet(face="Helvetica", text_size=9.5)
    sheet.text(54, 745, "Renewal of an operator's license", 16, "Helvetica-Bold")
    sheet.rule(54, 738, 558, 2.5)
    sheet.text(54, 715, "Who needs it: every business that applies products for others.")
    sheet.ruled(Kind.NUMBER, "License number to be renewed", (54, 690, 400))
    fees = (
        ("Class", "Term", "Fee"),
        ("Ground", "1 year", "$40"),
        ("Air", "1 year", "$90"),
        ("Air, late", "1 year", "$135"),
        ("Copy", "-", "$5"),
    )
    sheet.grid((54, 254, 354, 454), tuple(660 - 18.0 * row for row in range(len(fees) + 1)))
    for row, fee in enumerate(fees):
        face = "Helvetica-Bold" if row == 0 else "Helvetica"
        for spot, word in enumerate(fee):
            sheet.text(58 + (0, 200, 300)[spot], 648 - 18 * row, word, 9, face)
    for row in range(14):
        words = "Send the renewal so that it is here before the license ends; see the date on it."
        sheet.text(54, 540 - 14 * row, words)
    for page in (1, 2):
        sheet.rule(54, 54, 558, 0.5)
        sheet.text(54, 44, "Sample LR-7, signature needed on page 2", 7)
        sheet.text(516, 44, f"Page {page} of 2", 7)
        if page == 1:
            sheet.next_page()
    sheet.text(54, 745, "Part B. What changed since the last renewal", 12, "Helvetica-Bold")
    sheet.text(54, 715, "Has the address changed?")
    end = sheet.tick("Yes", (200, 715), name="Address changed: yes")
    sheet.tick("No", (end + 20, 715), name="Address changed: no")
    sheet.ruled(Kind.ADDRESS, "If yes, new address", (54, 690, 558))
    sheet.text(54, 660, "Has a pilot left or joined?")
    end = sheet.tick("Yes", (200, 660), name="Pilots changed: yes")
    sheet.tick("No", (end + 20, 660), name="Pilots changed: no")
    sheet.text(54, 636, "If yes, names and dates:")
    for row in range(4):
        sheet.rule(54, 612 - 20 * row, 558, 0.5)
    sheet.mark(Kind.TEXT, "Names and dates of pilots", (54, 552, 558, 632))
    sheet.ruled(Kind.AMOUNT, "Amount enclosed  $", (54, 516, 260), end="")
    sheet.ruled(Kind.NUMBER, "Check number", (280, 516, 440))
    sheet.captioned(Kind.SIGNATURE, "Signature of license holder", (54, 440, 300), height=26)
    sheet.captioned(Kind.TITLE, "Title or office held", (314, 440, 444))
    sheet.captioned(Kind.DATE, "Date (month, day, year)", (458, 440, 558))
    return sheet


def make_small_card() -> Sheet:
    """Half a letter page, large type, wide gaps between label and rule."""
    sheet = Sheet((396, 612), face="Helvetica", text_size=12)
    sheet.middle(570, "PILOT'S CARD", 18, "Helvetica-Bold")
    sheet.canvas.setDash(1, 2)
    sheet.rule(30, 560, 366, 0.8)
    sheet.canvas.setDash()
    lines = (
        (Kind.PRINTED_NAME, "Name"),
        (Kind.NUMBER, "Certificate no."),
        (Kind.DATE, "Issued"),
        (Kind.DATE, "Valid through"),
        (Kind.TEXT, "Aircraft"),
        (Kind.NUMBER, "N-number"),
    )
    for row, (kind, label) in enumerate(lines):
        y = 520 - 36 * row
        sheet.text(30, y, label)
        sheet.rule(150, y - 3, 366, 0.8)
        sheet.mark(kind, label, (150, y - 3, 366, y + 17))
    sheet.rule(30, 246, 366, 0.8)
    sheet.middle(230, "Signed in the presence of the operator", 9, "Helvetica-Oblique")
    sheet.captioned(Kind.SIGNATURE, "Pilot", (30, 180, 240), size=9, height=30)
    sheet.captioned(Kind.DATE, "Date", (256, 180, 366), size=9)
    sheet.captioned(Kind.SIGNATURE, "Operator", (30, 120, 240), size=9, height=30)
    sheet.captioned(Kind.DATE, "Date", (256, 120, 366), size=9)
    sheet.middle(40, "Carry this card in the field.", 10, "Helvetica-Bold")
    return sheet


def make_cover_letter() -> Sheet:
    """An insurer's letter: the blanks are gaps in its sentences, drawn as rules."""
    sheet = Sheet(face="Times-Roman", text_size=12)
    sheet.text(72, 720, "CERTIFICATE OF COVER", 14, "Times-Bold")
    end = sheet.text(72, 690, "Date: ")
    sheet.rule(end, 688, 260)
    sheet.mark(Kind.DATE, "Date of the certificate", (end, 688, 260, 704))
    gap = Gap
    pieces: tuple[str | Gap, ...] = (
        "This is to certify that ",
        gap(kind=Kind.TEXT, label="Insurer", width=200),
        " has issued to ",
        gap(kind=Kind.TEXT, label="Insured", width=210),
        ", of ",
        gap(kind=Kind.ADDRESS, label="Address of the insured", width=260),
        ", the policy numbered ",
        gap(kind=Kind.NUMBER, label="Policy number", width=120),
        ", in force from ",
        gap(kind=Kind.DATE, label="In force from", width=90),
        " through ",
        gap(kind=Kind.DATE, label="In force through", width=90),
        ", covering the aircraft with registration number ",
        gap(kind=Kind.NUMBER, label="Registration number", width=100),
        " for application of products from the air, with limits of not less than $",
        gap(kind=Kind.AMOUNT, label="Limit, bodily injury", width=90),
        " for injury to persons and $",
        gap(kind=Kind.AMOUNT, label="Limit, property", width=90),
        " for harm to property. The insurer will give the office ",
        gap(kind=Kind.NUMBER, label="Days of notice", width=40),
        " days' notice by mail before the cover ends.",
    )
    y = sheet.flow((72, 650, 540), pieces, how="rule", leading=24, height=15)
    y = sheet.flow((72, y - 10, 540), ("This certificate changes no term of the policy.",))
    sheet.text(300, y - 50, "By:")
    sheet.captioned(Kind.SIGNATURE, "Authorized signature", (322, y - 52, 540), height=26)
    sheet.captioned(Kind.PRINTED_NAME, "Name, printed", (322, y - 92, 540), height=18)
    sheet.captioned(Kind.TITLE, "Title", (322, y - 128, 540), height=18)
    return sheet
