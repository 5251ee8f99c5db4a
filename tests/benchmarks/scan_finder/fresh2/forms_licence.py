"""A licence application on two pages, and a card to renew it."""

from pad import CARD, LETTER, Gap, Look, Pad
from parts import (
    Area,
    Table,
    asks,
    boxed,
    comb,
    office,
    table,
    tick,
    ticks,
    under,
    upto,
)


def licence() -> Pad:
    """A licence application on two pages: check boxes, combs, tables."""
    pad = Pad(
        "licence_application", Look(size=LETTER, plain="Times-Roman", bold="Times-Bold", body=10)
    )
    pad.say(306, 752, "STATE BOARD OF AERIAL APPLICATION", 13, bold=True, at="c")
    pad.say(306, 736, "Application for a Commercial Applicator Licence", 11, at="c")
    pad.say(54, 706, "Kind of application:", bold=True)
    ticks(pad, (160, 706), ["New", "Renewal", "Added category", "Change of employer"], how="[  ]")
    for y, label, kind, count in (
        (676, "Last name", "printed-name", 22),
        (650, "First name", "printed-name", 22),
    ):
        pad.say(54, y, label)
        comb(pad, kind, label, Area(140, y - 4, count * 16, 17), count)
    pad.say(54, 624, "Date of birth")
    comb(pad, "date", "Date of birth", Area(140, 620, 8 * 16, 17), 8)
    pad.say(300, 624, "Licence no.")
    comb(pad, "number", "Licence no.", Area(364, 620, 8 * 16, 17), 8)
    pad.say(54, 598, "ZIP code")
    comb(pad, "address", "ZIP code", Area(140, 594, 5 * 16, 17), 5)
    upto(pad, (54, 570), 558, ("Street address", "address"))
    asks(pad, (54, 546), [("City", "address", 230), ("State", "address", 50)])
    upto(pad, (54, 522), 558, ("Employer (name of business)", "text"))
    pad.say(54, 494, "Categories asked for (check all that apply):", bold=True)
    names = (
        "Field crops",
        "Fruit and vegetables",
        "Pasture and range",
        "Forest",
        "Ornamental and turf",
        "Seed treatment",
        "Aquatic",
        "Right-of-way",
        "Public health",
        "Aerial",
        "Research",
        "Fumigation",
    )
    for number, name in enumerate(names):
        tick(pad, (64 + number % 3 * 165, 474 - number // 3 * 18), name)
    pad.say(54, 396, "Examinations passed", bold=True)
    licence_rest(pad)
    return pad


def licence_rest(pad: Pad) -> None:
    """The lower part of the form."""
    plan = Table(
        widths=(204, 100, 100, 100),
        heads=("Examination", "Place", "Date passed", "Score"),
        kinds=("", "text", "date", "number"),
        row=19,
        size=9,
    )
    y = table(pad, (54, 388), plan, ["Core", "Aerial", "Pasture and range", "Field crops"])
    y = licence_yes(pad, y - 24)
    licence_second(pad)


def licence_yes(pad: Pad, y: float) -> float:
    """Questions with Yes and No at the right edge."""
    questions = (
        "Have you ever held a licence in another state?",
        "Has a licence of yours ever been suspended or revoked?",
        "Do you apply for hire?",
        "Do you fly the aircraft yourself?",
        "Is each aircraft registered?",
    )
    for question in questions:
        pad.say(54, y, question)
        ticks(pad, (470, y), ["Yes", "No"])
        y -= 17
    upto(pad, (70, y - 6), 558, ("If revoked, say when and where:", "text"))
    pad.say(306, 40, "Page 1 of 2", 8, at="c")
    return y


def licence_second(pad: Pad) -> None:
    """The second page."""
    pad.next_page()
    pad.say(54, 748, "Application for a Commercial Applicator Licence, continued", 11, bold=True)
    pad.say(54, 722, "Fees sent with this application", bold=True)
    plan = Table(
        widths=(250, 80, 80, 94),
        heads=("Item", "How many", "Each, $", "Amount, $"),
        kinds=("", "number", "amount", "amount"),
        row=20,
        size=9,
        upright=False,
    )
    y = table(
        pad,
        (54, 714),
        plan,
        ["Licence", "Added category", "Late fee", "Copy of the licence", "Sum"],
    )
    pad.say(54, y - 28, "Aircraft used", bold=True)
    plan = Table(
        widths=(24, 130, 120, 120, 110),
        heads=("", "Maker and model", "Serial number", "Register number", "Take-off weight"),
        kinds=("", "text", "number", "number", "number"),
        row=21,
    )
    y = table(pad, (54, y - 36), plan, ["1", "2", "3", "4", "5"])
    pad.say(54, y - 30, "Proof of financial responsibility", bold=True)
    asks(pad, (54, y - 54), [("Insurer", "text", 190), ("Policy number", "number", 180)])
    asks(
        pad,
        (54, y - 80),
        [("In force from", "date", 110), ("until", "date", 110), ("Limit $", "amount", 100)],
    )
    licence_second_rest(pad, y)


def licence_second_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    y = pad.sentence(
        [
            "I, ",
            Gap("printed-name", "I,", 200),
            ", say under penalty of perjury that all answers are true and correct. Executed on ",
            Gap("date", "Executed on", 110),
            ".",
        ],
        (54, y - 120, 504),
        24,
    )
    under(
        pad,
        (54, y - 50),
        [("Signature of applicant", "signature", 270), ("Title, if for a firm", "title", 220)],
        size=8,
    )
    office(pad, Area(54, 60, 504, 44), ("Cash", "Check no.", "Issued", "Clerk"))
    pad.say(306, 40, "Page 2 of 2", 8, at="c")


def card() -> Pad:
    """A small card for renewals, front and back."""
    pad = Pad("renewal_card", Look(size=CARD, body=8, rule=0.5, seed=7))
    pad.say(18, 266, "RENEWAL CARD", 12, bold=True)
    pad.say(414, 268, "Return before 31 December", 8, at="r")
    pad.rule(18, 258, 414, 1)
    asks(pad, (18, 238), [("Name", "printed-name", 200), ("Licence no.", "number", 100)])
    asks(pad, (18, 214), [("Street", "address", 368)])
    asks(
        pad, (18, 190), [("City", "address", 180), ("State", "address", 50), ("ZIP", "address", 80)]
    )
    pad.say(18, 168, "Renew my licence for")
    ticks(pad, (112, 168), ["one year", "two years", "three years"], how="circle")
    pad.say(18, 148, "New address?")
    ticks(pad, (112, 148), ["yes", "no"], how="circle")
    boxed(pad, "amount", "Fee enclosed $", Area(18, 96, 120, 32))
    boxed(pad, "number", "Check number", Area(138, 96, 120, 32))
    boxed(pad, "number", "Telephone", Area(258, 96, 156, 32))
    under(pad, (18, 50), [("Signature", "signature", 240), ("Date", "date", 142)])
    pad.next_page()
    pad.say(18, 266, "Hours of training since the last renewal", 10, bold=True)
    plan = Table(
        widths=(60, 190, 86, 60),
        heads=("Date", "Course", "Teacher", "Hours"),
        kinds=("date", "text", "printed-name", "number"),
        row=22,
    )
    table(pad, (18, 256), plan, 7)
    asks(
        pad,
        (18, 40),
        [("Hours in all", "number", 60), ("Place where certificates are kept", "text", 120)],
    )
    return pad


FORMS = (licence, card)
