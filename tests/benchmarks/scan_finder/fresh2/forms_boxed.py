"""Boxed forms: labels inside boxes, boxes with numbers, shaded bands."""

from pad import A4, Look, Pad
from parts import (
    Area,
    bar,
    boxed,
    boxes,
    frame,
    office,
    ticks,
    under,
)

Bands = tuple[tuple[str, tuple[tuple[str, str, float], ...]], ...]


def register() -> Pad:
    """An application to the register: labels in the upper corner of each box."""
    pad = Pad("register_application", Look(rule=0.8))
    pad.say(36, 756, "Prairie Register of Light Aircraft", 9)
    pad.say(36, 738, "APPLICATION FOR REGISTRATION", 15, bold=True)
    office(pad, Area(400, 728, 176, 40), ("Rec'd", "Fee", "By"))
    bar(pad, Area(36, 702, 540, 16), "1  AIRCRAFT", dark=True)
    y = boxes(
        pad,
        (36, 702),
        34,
        [
            ("Register number wanted", "number", 180),
            ("Second choice of number", "number", 180),
            ("Third choice of number", "number", 180),
        ],
    )
    y = boxes(
        pad,
        (36, y),
        34,
        [("Maker", "text", 200), ("Model", "text", 160), ("Serial number", "number", 180)],
    )
    y = boxes(
        pad,
        (36, y),
        34,
        [
            ("Number of motors", "number", 110),
            ("Empty weight (lb)", "number", 110),
            ("Take-off weight (lb)", "number", 140),
            ("Date bought", "date", 180),
        ],
    )
    bar(pad, Area(36, y - 16, 540, 16), "2  KIND OF OWNER (check one)", dark=True)
    frame(pad, Area(36, y - 64, 540, 48))
    ticks(
        pad,
        (46, y - 35),
        ["Person", "Partnership", "Corporation", "Co-owners", "Company with members"],
        space=20,
    )
    ticks(pad, (46, y - 54), ["Government", "Trust", "Non-citizen corporation"], space=20)
    bar(pad, Area(36, y - 80, 540, 16), "3  OWNER", dark=True)
    register_rest(pad, y)
    return pad


def register_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    y = boxes(
        pad,
        (36, y - 80),
        36,
        [("Name of owner, as it stands on the proof of ownership", "text", 540)],
    )
    y = boxes(
        pad,
        (36, y),
        36,
        [("Mailing address (number and street, or box)", "address", 340), ("City", "address", 200)],
    )
    y = boxes(
        pad,
        (36, y),
        36,
        [
            ("State", "address", 90),
            ("ZIP", "address", 110),
            ("Telephone", "number", 150),
            ("E-mail", "text", 190),
        ],
    )
    y = boxes(
        pad, (36, y), 36, [("Physical location, if the mailing address is a box", "address", 540)]
    )
    bar(pad, Area(36, y - 16, 540, 16), "4  SIGNATURES - all co-owners sign", dark=True)
    y -= 16
    for number in (1, 2, 3):
        first = f"Signature {number}"
        y = boxes(
            pad,
            (36, y),
            38,
            [
                (first, "signature", 190),
                ("Typed or printed name", "printed-name", 160),
                ("Title", "title", 100),
                ("Date", "date", 90),
            ],
        )
    pad.say(
        36,
        y - 14,
        "The register sends back an application with an empty box. Keep the second sheet.",
        8,
    )


def numbered() -> Pad:
    """Boxes with numbers on A4, the labels at the left or the foot of each."""
    pad = Pad("numbered_boxes", Look(size=A4, plain="DejaVuSans", bold="DejaVuSans-Bold", body=8.5))
    pad.say(297, 796, "Notice of Change in an Operator's Record", 13, bold=True, at="c")
    pad.say(297, 780, "Division of Field Flight - send within thirty days of the change", 8, at="c")
    y = boxes(pad, (45, 762), 26, [("1. Operator", "text", 505)], place="left")
    y = boxes(
        pad,
        (45, y),
        26,
        [("2. Certificate no.", "number", 250), ("3. Valid until", "date", 255)],
        place="left",
    )
    y = boxes(pad, (45, y), 26, [("4a. Old street", "address", 505)], place="left")
    y = boxes(
        pad,
        (45, y),
        26,
        [
            ("4b. Old city", "address", 250),
            ("4c. State", "address", 100),
            ("4d. ZIP", "address", 155),
        ],
        place="left",
    )
    y = boxes(pad, (45, y), 26, [("5a. New street", "address", 505)], place="left")
    y = boxes(
        pad,
        (45, y),
        26,
        [
            ("5b. New city", "address", 250),
            ("5c. State", "address", 100),
            ("5d. ZIP", "address", 155),
        ],
        place="left",
    )
    pad.say(45, y - 22, "Pilots added or taken off since the last notice", bold=True)
    y -= 30
    numbered_rest(pad, y)
    return pad


def numbered_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    for number in range(1, 5):
        y = boxes(
            pad,
            (45, y),
            30,
            [
                (f"6.{number} Name of pilot", "printed-name", 200),
                ("Certificate no.", "number", 125),
                ("Added on", "date", 90),
                ("Taken off on", "date", 90),
            ],
            place="foot",
        )
    pad.say(45, y - 22, "Aircraft", bold=True)
    y -= 30
    for number in range(1, 4):
        y = boxes(
            pad,
            (45, y),
            30,
            [
                (f"7.{number} Make and model", "text", 200),
                ("Serial no.", "number", 125),
                ("Register no.", "number", 90),
                ("Weight, lb", "number", 90),
            ],
            place="foot",
        )
    pad.say(45, y - 24, "8. Reason for the change:")
    ticks(pad, (190, y - 24), ["moved", "sold", "bought", "lost", "other"], how="ballot", space=12)
    boxed(pad, "text", "9. If other, say what", Area(45, y - 92, 505, 54))
    y -= 92
    boxed(pad, "signature", "10. Signature", Area(45, y - 44, 260, 44))
    boxed(pad, "date", "11. Date", Area(305, y - 44, 100, 44))
    boxed(pad, "title", "12. Title", Area(405, y - 44, 145, 44))


def shaded() -> Pad:
    """White boxes without a frame on grey bands, the labels above them."""
    pad = Pad("shaded_permit", Look(body=9, seed=5))
    pad.say(50, 748, "Permit to Spray near Water", 16, bold=True)
    pad.say(50, 733, "State Board of Aerial Application", 9)
    y = 718.0
    bands: Bands = (
        (
            "Who asks",
            (
                ("Name of firm", "text", 220),
                ("Licence number", "number", 120),
                ("Telephone", "number", 120),
            ),
        ),
        (
            "Where",
            (
                ("Landowner", "text", 200),
                ("Section", "text", 80),
                ("Acres", "number", 80),
                ("Water body", "text", 88),
            ),
        ),
        (
            "What",
            (
                ("Product", "text", 200),
                ("Pints per acre", "number", 120),
                ("Gallons in all", "number", 140),
            ),
        ),
        (
            "When",
            (
                ("First day", "date", 145),
                ("Last day", "date", 145),
                ("Hours of the day", "text", 158),
            ),
        ),
    )
    shaded_rest(pad, bands, y)
    return pad


def shaded_rest(pad: Pad, bands: Bands, y: float) -> None:
    """The lower part of the form."""
    for words, parts in bands:
        frame(pad, Area(50, y - 72, 512, 64), 0.85, stroke=False)
        pad.say(58, y - 24, words, 10, bold=True)
        x = 58.0
        for label, kind, wide in parts:
            pad.say(x, y - 38, label, 8)
            frame(pad, Area(x, y - 64, wide, 21), stroke=False)
            pad.note(kind, label, (x, y - 64, x + wide, y - 43))
            x += wide + 10
        y -= 76
    frame(pad, Area(50, y - 100, 512, 92), 0.85, stroke=False)
    pad.say(58, y - 24, "Ways to keep drift from the water", 10, bold=True)
    frame(pad, Area(58, y - 92, 492, 60), stroke=False)
    pad.note("text", "Ways to keep drift from the water", (58, y - 92, 550, y - 32))
    y -= 124
    pad.say(50, y, "The firm has", bold=True)
    ticks(pad, (120, y), ["told the neighbours", "marked the edge", "a buffer of 100 feet"])
    y -= 40
    under(
        pad,
        (50, y),
        [
            ("Signature of licence holder", "signature", 240),
            ("Printed name", "printed-name", 150),
            ("Date", "date", 94),
        ],
        size=8,
    )
    office(pad, Area(50, y - 70, 512, 34), ("Permit no.", "Granted", "Refused", "Inspector"))


FORMS = (register, numbered, shaded)
