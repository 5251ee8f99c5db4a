"""Forms that a notary completes: jurat, acknowledgments, a bond, a power of attorney."""

from fresh_kit import BOLD, Part, Sheet

SERIF, SERIF_BOLD, SERIF_SLANT = "Times-Roman", "Times-Bold", "Times-Italic"


def _lines(
    s: Sheet, spot: tuple[float, float], rows: tuple[list[Part], ...], size: float, lead: float
) -> float:
    """Sentences with underscores, line below line; gives the next baseline."""
    x, y = spot
    for parts in rows:
        s.running(x, y, parts, size, font=SERIF, high=min(lead - 4, 16))
        y -= lead
    return y


def jurat_prose() -> int:
    """A sworn statement in prose with a jurat whose county lines stand left of a bracket."""
    s = Sheet("jurat_prose")
    s.text(306, 744, "SWORN STATEMENT OF A BUILDER", 14, font=SERIF_BOLD, at="middle")
    s.text(306, 728, "Register of Small Craft, form RSC 14", 9, font=SERIF, at="middle")
    y = _lines(
        s,
        (72, 694),
        (
            ["I, ", ("text", 210), ", being duly sworn, say that I built the"],
            ["unmanned aircraft known as ", ("text", 140), ", model ", ("text", 110), ","],
            ["serial number ", ("number", 130), ", at ", ("address", 190), ","],
            ["between ", ("date", 100), " and ", ("date", 100), ", out of parts bought new,"],
            [
                "and that it weighs ",
                ("number", 60),
                " pounds empty and ",
                ("number", 60),
                " pounds",
            ],
            [
                "at take-off. Its engines are ",
                ("text", 150),
                " and there are ",
                ("number", 40),
                ".",
            ],
            ["No person but the undersigned has a claim on it, except ", ("text", 150), "."],
        ),
        11.5,
        22,
    )
    s.under("signature", (300, 540, y - 26), "Signature of builder", 30, font=SERIF_SLANT)
    s.under("printed-name", (300, 540, y - 66), "Typed or printed name", 26, font=SERIF_SLANT)
    s.under("address", (300, 540, y - 104), "Mailing address", 24, font=SERIF_SLANT)
    return _jurat(s, y - 140)


def _jurat(s: Sheet, y: float) -> int:
    s.rule(72, 540, y, 1.4)
    y -= 26
    s.running(72, y, ["STATE OF ", ("notary-state", 150)], 11, font=SERIF, high=15)
    for n in range(3):
        s.text(300, y - n * 12, ")", 11, font=SERIF)
    s.text(316, y - 12, "ss.", 11, font=SERIF)
    s.running(72, y - 24, ["COUNTY OF ", ("notary-county", 142)], 11, font=SERIF, high=15)
    y = _lines(
        s,
        (72, y - 58),
        (
            [
                "Subscribed and sworn to before me this ",
                ("notary-date", 50),
                " day of ",
                ("notary-date", 110),
                ", 20",
                ("notary-date", 28),
            ],
            ["by ", ("printed-name", 240), "."],
        ),
        11,
        22,
    )
    s.under("notary-signature", (300, 540, y - 34), "Notary Public", 30, font=SERIF_SLANT)
    s.running(
        300, y - 66, ["My commission expires: ", ("notary-expiry", 130)], 10, font=SERIF, high=15
    )
    s.text(150, y - 40, "(seal)", 10, font=SERIF_SLANT, at="middle")
    s.note("notary-stamp", (90, y - 73, 210, y - 3))
    return s.save()


def twin_certificate() -> int:
    """Two acknowledgments side by side, for a person and for a company, boxes for stamps."""
    s = Sheet("twin_certificate")
    s.text(36, 750, "Prairie Lien Office", 10, font=BOLD)
    s.text(36, 734, "PL-6  RELEASE OF A CLAIM ON AN AIRCRAFT", 13, font=BOLD)
    s.ahead("text", (36, 306, 704), "Holder of the claim:")
    s.ahead("number", (318, 576, 704), "Recorded under number:")
    s.ahead("text", (36, 306, 680), "Owner:")
    s.ahead("number", (318, 576, 680), "Registration mark:")
    s.ahead("amount", (36, 306, 656), "Amount that was owed: $")
    s.ahead("date", (318, 576, 656), "Paid in full on:")
    s.prose(
        (36, 632, 576),
        "The holder gives up the claim in full and asks that the record be closed.",
        9.5,
    )
    s.under("signature", (36, 230, 582), "Signature of the holder or its officer", 30)
    s.under("printed-name", (245, 420, 582), "Printed name", 30)
    s.under("title", (435, 576, 582), "Title", 30)
    for x, who in ((36, "OF A PERSON"), (314, "OF A COMPANY")):
        s.frame((x, 130, x + 262, 556), 1)
        s.tint((x, 538, x + 262, 556), (0.88, 0.88, 0.88))
        s.text(x + 131, 543, f"ACKNOWLEDGMENT {who}", 9, font=BOLD, at="middle")
        s.ahead("notary-state", (x + 8, x + 180, 512), "State of")
        s.ahead("notary-county", (x + 8, x + 180, 490), "County of")
        s.text(x + 8, 468, "This record was acknowledged before me on", 9)
        s.ahead("notary-date", (x + 8, x + 140, 446), "the date of", 16)
        s.ahead("printed-name", (x + 8, x + 254, 422), "by", 16)
        if who == "OF A COMPANY":
            s.ahead("title", (x + 8, x + 254, 398), "as", 16)
            s.ahead("text", (x + 8, x + 254, 374), "of", 16)
        else:
            s.text(x + 8, 398, "who proved to be the person by", 9)
            s.square(x + 16, 378, "an identity card", side=8)
            s.square(x + 120, 378, "my own knowledge", side=8)
        s.under("notary-signature", (x + 8, x + 254, 330), "Signature of notarial officer", 28)
        s.under("notary-title", (x + 8, x + 140, 296), "Title (and rank)", 22)
        s.under("notary-expiry", (x + 150, x + 254, 296), "Commission expires", 22)
        s.frame((x + 61, 140, x + 201, 260), 0.5)
        s.text(x + 131, 264, "Official stamp", 7, at="middle")
        s.note("notary-stamp", (x + 61, 140, x + 201, 260))
    s.text(36, 112, "Use one of the two certificates and cross out the other.", 8)
    return s.save()


def bond_papers() -> int:
    """A bond on two pages; the second is the certificate for the surety."""
    s = Sheet("bond_papers")
    s.text(306, 740, "BOND OF A COMMERCIAL AERIAL APPLICATOR", 14, font=SERIF_BOLD, at="middle")
    s.running(400, 712, ["Bond No. ", ("number", 110)], 10.5, font=SERIF)
    y = _lines(
        s,
        (72, 676),
        (
            ["KNOW ALL BY THIS PAPER, that we, ", ("text", 270), ","],
            ["of ", ("address", 300), ", as principal,"],
            ["and ", ("text", 300), ", a surety company of"],
            ["the State of ", ("text", 130), ", as surety, are bound to the people of"],
            ["Tamarisk in the sum of ", ("amount", 200), " dollars ($", ("amount", 80), "),"],
            ["for which we bind ourselves and those who come after us."],
            [],
            ["This bond begins on ", ("date", 110), " and ends on ", ("date", 110), "."],
            ["The surety may withdraw by telling the Bureau in writing ", ("number", 40), " days"],
            ["beforehand."],
        ),
        12,
        23,
    )
    y -= 8
    s.running(
        72,
        y,
        ["Signed and sealed this ", ("date", 40), " day of ", ("date", 120), ", ", ("date", 50)],
        12,
        font=SERIF,
    )
    y -= 54
    for who in ("Principal", "Surety"):
        s.text(72, y + 6, "By", 11, font=SERIF)
        s.under("signature", (92, 320, y), f"{who}: signature", 30, size=8, font=SERIF)
        s.under("printed-name", (340, 540, y), "Printed name", 30, size=8, font=SERIF)
        y -= 44
        s.under("title", (92, 320, y), "Title", 26, size=8, font=SERIF)
        s.under("date", (340, 540, y), "Date", 26, size=8, font=SERIF)
        y -= 52
    s.text(306, 40, "page 1 of 2", 8, font=SERIF, at="middle")
    s.next_page()
    return _bond_back(s)


def _bond_back(s: Sheet) -> int:
    s.text(306, 740, "Certificate of the surety's officer", 13, font=SERIF_BOLD, at="middle")
    y = _lines(
        s,
        (72, 700),
        (
            ["State of ", ("notary-state", 140), "          County of ", ("notary-county", 140)],
            [],
            ["On ", ("notary-date", 130), ", before me, ", ("text", 180), ","],
            ["appeared ", ("printed-name", 200), ", who is known to me"],
            ["to be the ", ("title", 130), " of ", ("text", 200)],
            ["and who said that the seal was set by order of its board."],
        ),
        12,
        24,
    )
    s.frame((72, y - 120, 252, y - 10), 0.8)
    s.text(162, y - 68, "Place stamp here", 9, font=SERIF_SLANT, at="middle")
    s.note("notary-stamp", (72, y - 120, 252, y - 10))
    s.under("notary-signature", (290, 540, y - 50), "(signature of notary)", 30, font=SERIF)
    s.ahead("notary-title", (290, 540, y - 84), "Title:", 18, font=SERIF)
    s.ahead("notary-expiry", (290, 540, y - 112), "My commission expires:", 18, font=SERIF)
    s.rule(72, 540, y - 150, 2)
    s.prose(
        (72, y - 170, 540),
        "Instructions. Attach the power of attorney of the person who signs for the surety. A bond "
        "without it comes back. Send the first copy to the Bureau, keep the second, and give the "
        "third to the surety.",
        10,
        font=SERIF,
    )
    s.frame((72, 60, 540, 130), 0.6)
    s.text(80, 116, "Bureau use only", 8, font=SERIF_BOLD)
    s.text(80, 96, "Approved as to form: ________________   Filed: ____________", 9, font=SERIF)
    s.note("ignore", (72, 60, 540, 130))
    s.text(306, 40, "page 2 of 2", 8, font=SERIF, at="middle")
    return s.save()


def attorney_power() -> int:
    """A power of attorney in embedded sans letters: glyph boxes, witnesses, an acknowledgment."""
    s = Sheet("attorney_power")
    s.text(50, 748, "POWER OF ATTORNEY FOR FIELD WORK PAPERS", 13, font="VeraBd")
    s.text(562, 730, "Upper Bend Agriculture Council  |  UB 77", 7, font="Vera", at="right")
    s.rule(50, 562, 724, 1.2)
    s.ahead("text", (50, 562, 700), "I (we),", font="Vera")
    s.ahead("address", (50, 380, 676), "living at", font="Vera")
    s.ahead("number", (390, 562, 676), "telephone", font="Vera")
    s.ahead("text", (50, 562, 652), "name as my agent", font="Vera")
    s.ahead("address", (50, 562, 628), "whose address is", font="Vera")
    s.text(50, 606, "to act for me before the council in these matters:", 9, font="Vera")
    y: float = 588
    for left, right in (
        ("licenses and renewals", "fees and refunds"),
        ("inspections of aircraft", "records of work"),
        ("complaints and hearings", "all of these"),
    ):
        s.text(62, y, "\u2610", 11, font="Cond")
        s.note("check", (62, y - 1.5, 72, y + 8.5))
        s.text(78, y, left, 9, font="Vera")
        s.text(312, y, "\u2610", 11, font="Cond")
        s.note("check", (312, y - 1.5, 322, y + 8.5))
        s.text(328, y, right, 9, font="Vera")
        y -= 17
    s.ahead("date", (50, 300, y - 8), "This power begins on", font="Vera")
    s.ahead("date", (312, 562, y - 8), "and ends on", font="Vera")
    y -= 54
    s.under("signature", (50, 300, y), "Signature of the person giving the power", 28, font="Vera")
    s.under("date", (312, 420, y), "Date", 28, font="Vera")
    y -= 44
    for n in (1, 2):
        s.under("signature", (50, 220, y), f"Witness {n}: signature", 26, font="Vera")
        s.under("printed-name", (232, 400, y), f"Witness {n}: name", 26, font="Vera")
        s.under("address", (412, 562, y), f"Witness {n}: town", 26, font="Vera")
        y -= 40
    return _attorney_notary(s, y + 8)


def _attorney_notary(s: Sheet, y: float) -> int:
    s.frame((50, y - 190, 562, y), 1)
    s.text(58, y - 14, "Notary", 9, font="VeraBd")
    s.text(58, y - 38, "State of", 9, font="Vera")
    s.line("notary-state", (100, 230, y - 40))
    s.text(240, y - 38, ", county of", 9, font="Vera")
    s.line("notary-county", (292, 420, y - 40))
    s.text(428, y - 38, ", ss:", 9, font="Vera")
    s.text(58, y - 64, "Signed before me on", 9, font="Vera")
    s.line("notary-date", (154, 280, y - 66))
    s.text(288, y - 64, "by", 9, font="Vera")
    s.line("printed-name", (304, 552, y - 66))
    s.under("notary-signature", (58, 300, y - 120), "Signature of notary", 32, font="Vera")
    s.under("notary-expiry", (58, 300, y - 160), "Commission expires on", 24, font="Vera")
    s.c.setDash(3, 3)
    s.frame((340, y - 182, 552, y - 80), 0.6)
    s.c.setDash()
    s.text(446, y - 92, "STAMP", 7, font="Vera", at="middle")
    s.note("notary-stamp", (340, y - 182, 552, y - 80))
    return s.save()


FORMS = (jurat_prose, twin_certificate, bond_papers, attorney_power)
