"""Forms with notarial certificates.

The parts of a certificate (State of, County of, the act, the day, the notary's signature, title,
stamp and commission end) are common practice, told from memory; the wording around is our own.
"""

from unseen_kit import Gap, Sheet

from compliance.forms.model import BlankKind as Kind

ACT_DAY = "Day of the notarial act"


def _day(first: float, second: float, third: float) -> tuple[str | Gap, ...]:
    """This day of that month, 20-something: three gaps, one blank."""
    return (
        "this ",
        Gap(kind=Kind.NOTARY_DATE, label=ACT_DAY, width=first, join="day"),
        " day of ",
        Gap(kind=Kind.NOTARY_DATE, label=ACT_DAY, width=second, join="day"),
        ", 20",
        Gap(kind=Kind.NOTARY_DATE, label=ACT_DAY, width=third, join="day"),
    )


def make_affidavit() -> Sheet:
    """A sworn statement with numbered paragraphs and a jurat typed with underscores."""
    sheet = Sheet(face="Times-Roman", text_size=11.5)
    sheet.middle(738, "AFFIDAVIT OF BUILDER", 15, "Times-Bold")
    x, right = 72.0, 540.0
    words = (
        "I, ",
        Gap(kind=Kind.PRINTED_NAME, label="Name of the builder", width=200),
        ", being first sworn, state that the aircraft described below was put together from parts ",
        "by the undersigned, that the date and the signature below are true, and that no other ",
        "state or county has a claim on it.",
    )
    y = sheet.flow((x, 700, right), words, leading=18)
    for kind, label in (
        (Kind.TEXT, "Model"),
        (Kind.NUMBER, "Serial Number"),
        (Kind.DATE, "Date finished"),
        (Kind.NUMBER, "Registration Number"),
    ):
        y -= 20
        sheet.text(108, y, f"{label}:")
        start = sheet.text(230, y, "_" * 36)
        sheet.mark(kind, label, (230, y - 2, start, y + 12))
    y -= 56
    sheet.text(300, y, "_" * 41)
    sheet.mark(Kind.SIGNATURE, "Signature of affiant", (300, y - 2, 535.7, y + 24))
    sheet.text(300, y - 13, "(Signature of affiant)", 9)
    y -= 44
    _draw_jurat(sheet, y)
    return sheet


def _draw_jurat(sheet: Sheet, y: float) -> None:
    """The jurat under a line at y, all of it typed."""
    x, right = 72.0, 540.0
    sheet.rule(72, y, 540, 1)
    y -= 22
    sheet.middle(y, "JURAT", 12, "Times-Bold")
    state = Gap(kind=Kind.NOTARY_STATE, label="State", width=130)
    county = Gap(kind=Kind.NOTARY_COUNTY, label="County", width=130)
    y = sheet.flow((x, y - 26, right), ("State of ", state), leading=20)
    y = sheet.flow((x, y, right), ("County of ", county), leading=26)
    pieces = (
        "Subscribed and sworn to (or affirmed) before me ",
        *_day(40, 100, 24),
        ", by ",
        Gap(kind=Kind.PRINTED_NAME, label="Name of the person who swore", width=200),
        ".",
    )
    y = sheet.flow((x, y, right), pieces, leading=20)
    y -= 40
    end = sheet.text(300, y, "_" * 41)
    sheet.mark(Kind.NOTARY_SIGNATURE, "Signature of notary", (300, y - 2, end, y + 22))
    sheet.text(300, y - 12, "Notary Public", 10)
    sheet.text(100, y - 30, "(SEAL)", 12)
    sheet.mark(Kind.NOTARY_STAMP, "Seal", (72, y - 96, 260, y + 10))
    sheet.text(300, y - 36, "My commission expires: ")
    start = 300 + sheet.wide("My commission expires: ")
    end = sheet.text(start, y - 36, "_" * 20)
    sheet.mark(Kind.NOTARY_EXPIRY, "Commission expires", (start, y - 38, end, y - 24))


def make_sale() -> Sheet:
    """A paper of sale with amounts, two sellers side by side and an acknowledgment with a frame."""
    sheet = Sheet(face="Helvetica", text_size=9.5)
    sheet.frame(36, 700, 576, 760, 1)
    sheet.text(44, 742, "PAPER OF SALE", 14, "Helvetica-Bold")
    sheet.text(44, 728, "The seller sells and the buyer buys the aircraft described here.", 9)
    sheet.text(44, 712, "For office stamps see the back. Do not write in the margin.", 7)
    y = sheet.flow(
        (40, 676, 572),
        (
            "For and in consideration of $",
            Gap(kind=Kind.AMOUNT, label="Price", width=90),
            " paid on ",
            Gap(kind=Kind.DATE, label="Date of payment", width=110),
            ", the undersigned seller passes the title to the aircraft, serial number ",
            Gap(kind=Kind.NUMBER, label="Serial number", width=130),
            ", to the buyer:",
        ),
        how="rule",
        leading=20,
        height=14,
    )
    sheet.captioned(Kind.TEXT, "BUYER: NAME OF BUSINESS OR PERSON", (40, y - 12, 572), height=18)
    sheet.captioned(Kind.ADDRESS, "ADDRESS OF BUYER", (40, y - 44, 572), height=18)
    y -= 110
    for left, seller in ((40.0, "first seller"), (316.0, "second seller")):
        end = left + 256
        sheet.captioned(Kind.SIGNATURE, f"SIGNATURE OF {seller.upper()}", (left, y, end), height=24)
        sheet.captioned(Kind.PRINTED_NAME, "PRINTED NAME", (left, y - 34, end), height=18)
        sheet.captioned(Kind.TITLE, "TITLE", (left, y - 66, left + 150), height=18)
        sheet.captioned(Kind.DATE, "DATE", (left + 162, y - 66, end), height=18)
    _draw_acknowledgment(sheet, y - 96)
    return sheet


def _draw_acknowledgment(sheet: Sheet, y: float) -> None:
    """The certificate under a grey bar at y, with a frame for the stamp."""
    sheet.shade(36, y - 4, 576, y + 12, 0.82)
    sheet.text(40, y, "ACKNOWLEDGMENT (filled in by the notary)", 9, "Helvetica-Bold")
    sheet.ruled(Kind.NOTARY_STATE, "STATE OF", (40, y - 28, 220), end="")
    sheet.text(226, y - 28, ")")
    sheet.text(226, y - 40, ")  ss.")
    sheet.ruled(Kind.NOTARY_COUNTY, "COUNTY OF", (40, y - 52, 220), end="")
    sheet.text(226, y - 52, ")")
    pieces = (
        "This record was acknowledged before me on ",
        Gap(kind=Kind.NOTARY_DATE, label=ACT_DAY, width=90),
        " by ",
        Gap(kind=Kind.PRINTED_NAME, label="Name of the signer", width=150),
        " as ",
        Gap(kind=Kind.TITLE, label="Signer acts as", width=80),
        " of ",
        Gap(kind=Kind.TEXT, label="Company signed for", width=150),
        ".",
    )
    y = sheet.flow((40, y - 80, 572), pieces, how="rule", leading=20, height=14)
    sheet.frame(40, y - 106, 240, y, 0.6)
    sheet.text(44, y - 10, "NOTARY STAMP", 6.5)
    sheet.mark(Kind.NOTARY_STAMP, "Notary stamp", (41, y - 105, 239, y - 13))
    place = (270.0, y - 30, 572.0)
    sheet.captioned(Kind.NOTARY_SIGNATURE, "SIGNATURE OF NOTARIAL OFFICER", place, height=22)
    sheet.captioned(Kind.NOTARY_TITLE, "TITLE OF OFFICE", (270, y - 64, 572))
    sheet.captioned(Kind.NOTARY_EXPIRY, "MY COMMISSION EXPIRES", (270, y - 98, 572))


def make_bond() -> Sheet:
    """Cells in the upper half, a notary block drawn once as a reusable piece in the lower half."""
    sheet = Sheet(face="Helvetica", text_size=9)
    sheet.middle(752, "FINANCIAL GUARANTEE FOR APPLICATORS", 13, "Helvetica-Bold")
    sheet.canvas.setLineWidth(0.5)
    sheet.canvas.roundRect(32, 596, 548, 148, 6)
    cells = (
        (Kind.TEXT, "Guarantor", (36.0, 705.0, 576.0, 740.0)),
        (Kind.ADDRESS, "Guarantor's home office", (36.0, 670.0, 400.0, 705.0)),
        (Kind.NUMBER, "Guarantee number", (400.0, 670.0, 576.0, 705.0)),
        (Kind.TEXT, "Applicator", (36.0, 635.0, 400.0, 670.0)),
        (Kind.AMOUNT, "Amount in dollars", (400.0, 635.0, 576.0, 670.0)),
        (Kind.DATE, "In force from", (36.0, 600.0, 306.0, 635.0)),
        (Kind.DATE, "In force through", (306.0, 600.0, 576.0, 635.0)),
    )
    for kind, label, box in cells:
        sheet.cell(kind, label, box, size=7)
    for row, words in enumerate(
        (
            "The guarantor pays what a court of the state awards for harm done by the applicator,",
            "up to the amount above. A signature without the seal of a notary public has no force.",
        )
    ):
        sheet.text(40, 580 - 12 * row, words)
    sheet.captioned(Kind.SIGNATURE, "By (authorized signature)", (40, 510, 300), height=26)
    sheet.captioned(Kind.TITLE, "Title", (320, 510, 470))
    sheet.captioned(Kind.DATE, "Date", (484, 510, 572))
    sheet.captioned(Kind.PRINTED_NAME, "Name, typed", (40, 474, 300))
    sheet.canvas.beginForm("notary_block")
    _draw_block(sheet)
    sheet.canvas.endForm()
    sheet.canvas.doForm("notary_block")
    return sheet


def _draw_block(sheet: Sheet) -> None:
    """The certificate: boxes for the kind of act, the day, the officer."""
    sheet.frame(36, 200, 576, 440, 1.2)
    sheet.text(44, 424, "Notarial certificate", 11, "Helvetica-Bold")
    sheet.ruled(Kind.NOTARY_STATE, "State", (44, 400, 230))
    sheet.ruled(Kind.NOTARY_COUNTY, "County", (246, 400, 430))
    sheet.text(44, 376, "Kind of act:")
    for left, words in (
        (110.0, "acknowledged"),
        (210.0, "signed and sworn to"),
        (340.0, "attested"),
    ):
        sheet.frame(left, 374.5, left + 9, 383.5)
        sheet.mark(Kind.NOTARY_ACT, words, (left, 374.5, left + 9, 383.5))
        sheet.text(left + 13, 376, words)
    pieces = ("before me ", *_day(40, 120, 30), " by the person named above, known to me.")
    sheet.flow((44, 350, 570), pieces, how="rule", leading=18)
    sheet.ruled(Kind.NOTARY_SIGNATURE, "Notary", (44, 300, 320), height=24)
    sheet.ruled(Kind.PRINTED_NAME, "Name of notary, printed", (44, 274, 320))
    sheet.ruled(Kind.NOTARY_TITLE, "Title of office", (44, 248, 320))
    sheet.ruled(Kind.NOTARY_EXPIRY, "Commission ends on", (44, 222, 320))
    sheet.canvas.setDash(2, 2)
    sheet.frame(350, 212, 560, 330, 0.5)
    sheet.canvas.setDash()
    sheet.canvas.setFillGray(0.6)
    sheet.text(420, 268, "Place seal here", 9)
    sheet.canvas.setFillGray(0)
    sheet.mark(Kind.NOTARY_STAMP, "Place seal here", (351, 213, 559, 329))


def make_oath() -> Sheet:
    """A short oath; the certificate is in two columns, the notary's facts under one another."""
    sheet = Sheet(face="Times-Roman", text_size=10.5)
    sheet.middle(740, "OATH OF THE PILOT", 14, "Times-Bold")
    sheet.rule(232, 735, 380, 0.7)
    words = (
        "I swear or affirm that I read the rules on drift, that I signed no paper before the date",
        "printed on it, and that the answers on the sheet of questions are mine.",
    )
    for row, line in enumerate(words):
        sheet.text(72, 706 - 14 * row, line)
    sheet.captioned(Kind.DATE, "(date)", (72, 640, 200), size=8, centred=True)
    place = (240.0, 640.0, 540.0)
    sheet.captioned(
        Kind.SIGNATURE, "(pilot signs before the notary)", place, size=8, height=26, centred=True
    )
    sheet.captioned(
        Kind.PRINTED_NAME, "(pilot's name in print)", (240, 600, 540), size=8, centred=True
    )
    sheet.rule(72, 560, 540, 0.4)
    sheet.rule(72, 557, 540, 0.4)
    sheet.ruled(Kind.NOTARY_STATE, "The State of", (72, 530, 250), how="_", end="")
    sheet.ruled(Kind.NOTARY_COUNTY, "County of", (290, 530, 540), how="_", end="")
    pieces = (
        "Sworn to before me at ",
        Gap(kind=Kind.ADDRESS, label="Place of the act", width=140),
        " on ",
        Gap(kind=Kind.NOTARY_DATE, label=ACT_DAY, width=120),
        ".",
    )
    sheet.flow((72, 500, 540), pieces, leading=18)
    sheet.canvas.setLineWidth(0.8)
    sheet.canvas.circle(150, 400, 66)
    sheet.text(128, 396, "L. S.", 16, "Times-Bold")
    sheet.mark(Kind.NOTARY_STAMP, "L. S. (place of the seal)", (84, 334, 216, 466))
    lines = (
        (Kind.NOTARY_SIGNATURE, "Notary Public, sign", 24.0),
        (Kind.PRINTED_NAME, "Notary Public, print", 16.0),
        (Kind.NUMBER, "Commission No.", 16.0),
        (Kind.NOTARY_EXPIRY, "Commission good through", 16.0),
    )
    for row, (kind, label, high) in enumerate(lines):
        sheet.captioned(kind, label, (290, 440 - 38 * row, 540), size=8, height=high)
    return sheet


def make_members() -> Sheet:
    """Two pages: print and two members' signatures, then a certificate for each of them."""
    sheet = Sheet(face="Courier", text_size=10)
    sheet.text(72, 730, "STATEMENT OF A COMPANY THAT MEMBERS MANAGE", 12, "Courier-Bold")
    company = Gap(kind=Kind.TEXT, label="Name of the company", width=230)
    pieces = (
        "The members of ",
        company,
        " state that the company may own aircraft, that each of them may sign for it, and that the",
        " statement is true on the date beside each signature. The title of each is Member.",
    )
    y = sheet.flow((72, 700, 540), pieces, leading=18)
    for member in ("First member", "Second member"):
        y -= 50
        sheet.text(72, y + 18, member + ":", 10, "Courier-Bold")
        sheet.ruled(Kind.SIGNATURE, "Sign", (72, y - 14, 380), how="_", height=22)
        sheet.ruled(Kind.DATE, "Date", (396, y - 14, 540), how="_")
        sheet.ruled(Kind.PRINTED_NAME, "Print", (72, y - 38, 380), how="_")
        y -= 30
    sheet.text(72, 60, "The notary's part is on the next page.")
    sheet.next_page()
    for top, member in ((720.0, "first"), (380.0, "second")):
        sheet.text(72, top, f"ACKNOWLEDGMENT, {member} member", 10, "Courier-Bold")
        sheet.ruled(Kind.NOTARY_STATE, "STATE OF ", (72, top - 26, 300), how=".", end="")
        sheet.ruled(Kind.NOTARY_COUNTY, "COUNTY OF ", (72, top - 48, 300), how=".", end="")
        sheet.text(310, top - 37, ") ss:")
        signer = Gap(kind=Kind.PRINTED_NAME, label="Name of the signer", width=200)
        y = sheet.flow((72, top - 80, 540), ("On ", *_day(30, 90, 18)), leading=20)
        y = sheet.flow((72, y, 540), ("appeared ", signer, ", a member, and signed."))
        sheet.ruled(Kind.NOTARY_SIGNATURE, "Notary", (72, y - 36, 380), how="_", height=22)
        sheet.ruled(Kind.NOTARY_TITLE, "Rank or title", (72, y - 60, 380), how="_")
        sheet.ruled(Kind.NOTARY_EXPIRY, "Commission ends", (72, y - 84, 380), how="_")
        sheet.text(430, y - 60, "[Stamp]")
        sheet.mark(Kind.NOTARY_STAMP, "[Stamp]", (396, y - 110, 540, y - 10))
    return sheet
