"""Sworn and acknowledged papers: bill of sale, affidavits, company statement, power of agent."""

from pad import A4, Gap, Look, Pad
from parts import Area, Table, asks, bar, boxed, frame, stamp, table, tick, ticks, under, upto

DAY = (
    Gap("notary-date", "this day", 32),
    Gap("notary-date", "day of", 90),
    Gap("notary-date", "20", 26),
)


def sale() -> Pad:
    """Sentences with ruled gaps, a table of sellers, an acknowledgment under its own rules."""
    pad = Pad("sale_of_aircraft", Look(plain="Times-Roman", bold="Times-Bold", body=11, seed=3))
    pad.say(306, 740, "OFFICE OF FIELD AVIATION", 13, bold=True, at="c")
    pad.say(306, 722, "Bill of Sale of an Unmanned Field Aircraft", 12, at="c")
    pad.rule(72, 714, 540, 1.4)
    y = pad.sentence(
        [
            "For and in consideration of $ ",
            Gap("amount", "consideration", 90),
            " the undersigned, owner of the full legal title of the aircraft described as follows:",
        ],
        (72, 690, 468),
        24,
    )
    asks(pad, (72, y - 30), [("Maker", "text", 170), ("Model", "text", 150)])
    asks(pad, (72, y - 56), [("Serial number", "number", 140), ("Register number", "number", 130)])
    y = pad.sentence(
        [
            "does this ",
            Gap("date", "day", 30),
            " day of ",
            Gap("date", "month", 110),
            ", 20",
            Gap("date", "year", 28),
            ", hereby sell, grant and deliver all rights in that aircraft unto",
        ],
        (72, y - 88, 468),
        24,
    )
    under(
        pad,
        (72, y - 40),
        [("Buyer (name of person or company)", "text", 280), ("Telephone", "number", 174)],
        size=8,
    )
    under(pad, (72, y - 78), [("Address of buyer: street, city, state, ZIP", "address", 468)])
    pad.say(72, y - 112, "Signed by each seller, with the printed name beside the signature:")
    plan = Table(
        widths=(150, 150, 98, 70),
        heads=("Name of seller (print)", "Signature", "Title, if a company", "Date"),
        kinds=("printed-name", "signature", "title", "date"),
        row=25,
        size=8.5,
        shade=False,
    )
    y = table(pad, (72, y - 122), plan, 3)
    sale_notary(pad, y - 26)
    return pad


def sale_notary(pad: Pad, y: float) -> None:
    """The acknowledgment of the bill of sale."""
    pad.say(306, y, "ACKNOWLEDGMENT", bold=True, at="c")
    asks(
        pad, (72, y - 24), [("State of", "notary-state", 130), ("County of", "notary-county", 140)]
    )
    y = pad.sentence(
        [
            "On this ",
            DAY[0],
            " day of ",
            DAY[1],
            ", 20",
            DAY[2],
            ", before me personally appeared ",
            Gap("printed-name", "appeared", 190),
            ", known to me to be the person who executed this instrument.",
        ],
        (72, y - 50, 468),
        24,
    )
    under(
        pad,
        (72, y - 38),
        [("Signature of notary", "notary-signature", 220), ("Title", "notary-title", 120)],
    )
    asks(pad, (72, y - 66), [("My commission expires", "notary-expiry", 110)])
    stamp(pad, Area(450, y - 78, 90, 70), "(stamp)")


def ownership() -> Pad:
    """Gaps of underscores in running words, a venue of brackets, a jurat."""
    pad = Pad("ownership_affidavit", Look(plain="DejaVuSerif", bold="DejaVuSerif-Bold", body=9.5))
    pad.say(306, 742, "AFFIDAVIT OF OWNERSHIP", 14, bold=True, at="c")
    pad.say(306, 726, "Prairie Register of Light Aircraft, Form PR-31", 9, at="c")
    y = 690.0
    for words, kind in (("STATE OF ", "notary-state"), ("COUNTY OF ", "notary-county")):
        pad.sentence([words, Gap(kind, words.strip(), 160)], (72, y, 250), 0, "score")
        pad.say(310, y, ")")
        y -= 22
    pad.say(310, 679, ")  ss.")
    score: list[str | Gap] = [
        "I, ",
        Gap("printed-name", "I,", 190),
        ", being first duly sworn, state that I am the ",
        Gap("title", "I am the", 120),
        " of ",
        Gap("text", "company", 230),
        ", a company formed in the state of ",
        Gap("text", "state formed in", 110),
        " under file number ",
        Gap("number", "file number", 90),
        ".",
    ]
    y = pad.sentence(score, (72, 632, 468), 23, "score")
    y = pad.sentence(
        [
            "1.  The company owns the aircraft made by ",
            Gap("text", "made by", 170),
            ", model ",
            Gap("text", "model", 90),
            ", serial number ",
            Gap("number", "serial number", 140),
            ", which weighs ",
            Gap("number", "weighs", 60),
            " pounds at take-off.",
        ],
        (72, y - 34, 468),
        23,
        "score",
    )
    ownership_rest(pad, y)
    return pad


def ownership_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    y = pad.sentence(
        [
            "2.  It was bought on ",
            Gap("date", "bought on", 110),
            " from ",
            Gap("text", "bought from", 190),
            " and no bill of sale can be had because ",
            Gap("text", "because", 220),
            ".",
        ],
        (72, y - 34, 468),
        23,
        "score",
    )
    y = pad.sentence(
        ["3.  It is kept at ", Gap("address", "kept at", 330), "."], (72, y - 34, 468), 0, "score"
    )
    pad.line("signature", "Signature of affiant", (310, 540), y - 56, "score")
    pad.say(310, y - 68, "Signature of affiant", 8)
    pad.line("printed-name", "Printed name", (310, 540), y - 100, "score")
    pad.say(310, y - 112, "Printed name", 8)
    ownership_jurat(pad, y - 146)


def ownership_jurat(pad: Pad, y: float) -> None:
    """Signed and sworn to, in underscores."""
    y = pad.sentence(
        [
            "Signed and sworn to (or affirmed) before me on ",
            Gap("notary-date", "before me on", 120),
            " by ",
            Gap("printed-name", "by", 200),
            ".",
        ],
        (72, y, 468),
        23,
        "score",
    )
    stamp(pad, Area(80, y - 110, 120, 70), "(Seal)", box=False)
    for down, words, kind in (
        (44, "Notary Public", "notary-signature"),
        (80, "Title of office", "notary-title"),
    ):
        pad.line(kind, words, (310, 540), y - down, "score")
        pad.say(310, y - down - 12, words, 8)
    pad.sentence(
        ["My commission expires: ", Gap("notary-expiry", "expires", 110)],
        (310, y - 116, 240),
        0,
        "score",
    )


def certificates() -> Pad:
    """Three loose certificates on one page, typewritten, each between thick rules."""
    pad = Pad("loose_certificates", Look(plain="Courier", bold="Courier-Bold", body=9, rule=0.8))
    pad.say(54, 752, "LOOSE CERTIFICATES - cut along the rule, attach to one paper each", bold=True)
    y = 736.0
    plans: tuple[tuple[str, list[str | Gap]], ...] = (
        ("FOR A PERSON", ["This record was acknowledged before me on "]),
        ("FOR A COMPANY", ["This record was acknowledged before me on "]),
        ("FOR AN OATH", ["Signed and sworn to (or affirmed) before me on "]),
    )
    for words, parts in plans:
        pad.rule(54, y, 558, 1.5)
        pad.say(54, y - 16, words, bold=True)
        asks(
            pad,
            (54, y - 38),
            [("State of", "notary-state", 150), ("County of", "notary-county", 150)],
            "score",
        )
        more: list[str | Gap] = [
            *parts,
            Gap("notary-date", "before me on", 100),
            " by ",
            Gap("printed-name", "by", 190),
        ]
        if words == "FOR A COMPANY":
            more += [
                " as ",
                Gap("title", "as", 120),
                " of ",
                Gap("text", "of", 190),
            ]
        low = pad.sentence([*more, "."], (54, y - 64, 504), 22, "score")
        stamp(pad, Area(54, low - 92, 150, 76), "Stamp")
        upto(pad, (230, low - 36), 558, ("Signature of officer:", "notary-signature"))
        upto(pad, (230, low - 62), 558, ("Title of office:", "notary-title"))
        upto(pad, (230, low - 88), 558, ("My commission expires:", "notary-expiry"))
        y = low - 112
    pad.rule(54, y, 558, 1.5)
    return pad


def company() -> Pad:
    """Numbered statements with check boxes, dotted lines to write on, A4."""
    pad = Pad("company_statement", Look(size=A4, body=10, rule=0.5))
    pad.say(
        60, 790, "Statement in Support of Registering to a Limited Liability Company", 13, bold=True
    )
    pad.say(
        60, 774, "To be sent with the application. Answer each number. One statement a company.", 9
    )
    upto(pad, (60, 738), 535, ("1.  Full name of the company", "text"), "dash")
    asks(
        pad,
        (60, 708),
        [("2.  Formed in the state of", "text", 120), ("on (date)", "date", 110)],
        "dash",
    )
    pad.say(60, 678, "3.  The company is managed by")
    ticks(pad, (215, 678), ["its members", "one or more managers", "officers"])
    pad.say(60, 648, "4.  Is each member or manager a citizen or a permanent resident?")
    ticks(pad, (380, 648), ["Yes", "No", "Not known"], how="circle")
    pad.say(60, 618, "5.  Members of the company and what part of it each holds:")
    y = 592.0
    for letter in "abcd":
        asks(
            pad,
            (76, y),
            [
                (f"{letter})", "printed-name", 200),
                ("holds", "number", 50),
                ("% and votes", "number", 60),
            ],
            "dash",
        )
        y -= 27
    pad.say(60, y, "6.  If a member is itself a company, name it and say who manages it:")
    low = pad.answer("text", "member company", (76, 535), y - 24, (3, 22))
    tick(pad, (60, low - 34), "7.  No other person may direct the company's affairs.", how="square")
    tick(pad, (60, low - 54), "8.  The papers of formation are enclosed.", how="square")
    y = low - 82
    company_rest(pad, y)
    return pad


def company_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    pad.sentence(
        [
            "I sign for the company as its (member, manager or officer) ",
            Gap("title", "as its", 150),
            ".",
        ],
        (60, y, 475),
        0,
        "dash",
    )
    under(
        pad,
        (60, y - 56),
        [
            ("Signature", "signature", 190),
            ("Typed or printed name", "printed-name", 170),
            ("Date", "date", 87),
        ],
    )
    frame(pad, Area(60, 60, 475, 40), 0.93)
    pad.say(
        66, 86, "A statement without a date, or signed by somebody who may not bind the company,", 8
    )
    pad.say(66, 74, "is sent back together with the application. Keep a copy.", 8)


def agent() -> Pad:
    """Two owners appoint an agent; two acknowledgments side by side."""
    pad = Pad("agent_power", Look(plain="Times-Roman", bold="Times-Bold", body=10.5, rule=0.7))
    pad.say(54, 748, "Appointment of an Agent", 15, bold=True)
    pad.say(558, 748, "Form FA-9 (Rev. 2026)", 8, at="r")
    bar(pad, Area(54, 716, 504, 18), "A.  Owners")
    y = pad.sentence(
        [
            "We, ",
            Gap("printed-name", "first owner", 190),
            " and ",
            Gap("printed-name", "second owner", 190),
            ", co-owners of the aircraft with the register number ",
            Gap("number", "register number", 90),
            ", name as our agent ",
            Gap("printed-name", "agent", 200),
            " of ",
            Gap("address", "agent's address", 260),
            " to sign any paper for its registration from ",
            Gap("date", "from", 80),
            " through ",
            Gap("date", "through", 80),
            ".",
        ],
        (54, 694, 504),
        25,
    )
    bar(pad, Area(54, y - 40, 504, 18), "B.  Signatures")
    for left, words in ((54, "First owner"), (318, "Second owner")):
        pad.say(left, y - 56, words, bold=True)
        upto(pad, (left, y - 82), left + 240, ("Signature", "signature"))
        upto(pad, (left, y - 106), left + 240, ("Printed name", "printed-name"))
        upto(pad, (left, y - 130), left + 240, ("Date signed", "date"))
    bar(pad, Area(54, y - 168, 504, 18), "C.  Notary")
    for left in (54, 318):
        agent_notary(pad, left, y - 190)
    boxed(pad, "text", "D.  Remarks of the owners", Area(54, 54, 504, 50), size=8)
    return pad


def agent_notary(pad: Pad, x: float, y: float) -> None:
    """One of the two acknowledgments."""
    upto(pad, (x, y), x + 240, ("State of", "notary-state"))
    upto(pad, (x, y - 24), x + 240, ("County of", "notary-county"))
    low = pad.sentence(
        [
            "Acknowledged before me this ",
            DAY[0],
            " day of ",
            DAY[1],
            ", 20",
            DAY[2],
            " by ",
            Gap("printed-name", "by", 130),
            ".",
        ],
        (x, y - 50, 240),
        23,
    )
    under(pad, (x, low - 34), [("Notary Public", "notary-signature", 240)], size=8)
    upto(pad, (x, low - 64), x + 240, ("Commission number", "number"))
    upto(pad, (x, low - 88), x + 240, ("Commission expires", "notary-expiry"))
    stamp(pad, Area(x + 60, low - 170, 120, 70), "(place seal here)", box=False)


FORMS = (sale, ownership, certificates, company, agent)
