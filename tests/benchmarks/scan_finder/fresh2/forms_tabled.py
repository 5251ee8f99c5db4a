"""Forms made of tables: insurance certificate, spray log, schedule, training, inspection."""

from pad import A4, WIDE, Gap, Look, Pad
from parts import (
    Area,
    Table,
    asks,
    bar,
    boxed,
    boxes,
    frame,
    stamp,
    table,
    tick,
    ticks,
    under,
    upto,
)


def cover() -> Pad:
    """A certificate of insurance: insured and insurer side by side, limits in a table."""
    pad = Pad("cover_certificate", Look(plain="Helvetica", bold="Helvetica-Bold", body=9, rule=0.7))
    pad.say(40, 754, "CERTIFICATE OF INSURANCE", 15, bold=True)
    pad.say(572, 762, "Date of issue", 7, at="r")
    boxed(pad, "date", "", Area(472, 738, 100, 20), place="none")
    pad.say(40, 738, "This certificate informs only; it changes no policy.", 8)
    y = boxes(pad, (40, 724), 46, [("INSURED", "text", 266), ("INSURER", "text", 266)])
    y = boxes(
        pad,
        (40, y),
        46,
        [("ADDRESS OF INSURED", "address", 266), ("ADDRESS OF INSURER", "address", 266)],
    )
    y = boxes(
        pad,
        (40, y),
        30,
        [("TELEPHONE", "number", 266), ("NAME OF REPRESENTATIVE", "printed-name", 266)],
    )
    plan = Table(
        widths=(132, 110, 80, 80, 65, 65),
        heads=(
            "Kind of cover",
            "Policy number",
            "In force|from",
            "In force|until",
            "Each event|$",
            "In all|$",
        ),
        kinds=("", "number", "date", "date", "amount", "amount"),
        row=24,
        head=26,
        size=8,
    )
    rows = ["General liability", "Aircraft liability", "Chemical drift", "Hull", "Workers"]
    y = table(pad, (40, y - 12), plan, rows)
    pad.say(40, y - 22, "Aircraft covered (each one by its number)", bold=True)
    cover_rest(pad, y)
    return pad


def cover_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    plan = Table(
        widths=(192, 130, 120, 90),
        heads=("Maker and model", "Serial number", "Register number", "Value $"),
        kinds=("text", "number", "number", "amount"),
        row=20,
        shade=False,
    )
    y = table(pad, (40, y - 28), plan, 4)
    pad.say(40, y - 24, "Does the cover reach the crop that is sprayed?")
    ticks(pad, (262, y - 24), ["Yes", "No"])
    asks(pad, (360, y - 24), [("Deductible $", "amount", 90)])
    pad.sentence(
        [
            "The insurer tells the holder of this certificate ",
            Gap("number", "days", 36),
            " days before the policy ends early.",
        ],
        (40, y - 48, 532),
    )
    boxed(pad, "text", "HOLDER OF THE CERTIFICATE", Area(40, y - 140, 266, 74))
    boxed(pad, "signature", "SIGNATURE OF REPRESENTATIVE", Area(306, y - 140, 266, 74))


def log() -> Pad:
    """A log of loads, landscape, many cells."""
    pad = Pad(
        "load_log", Look(size=WIDE, plain="DejaVuSans", bold="DejaVuSans-Bold", body=8.5, rule=0.4)
    )
    pad.say(36, 576, "DAILY LOG OF LOADS", 14, bold=True)
    asks(
        pad,
        (36, 552),
        [
            ("Date", "date", 90),
            ("Pilot", "printed-name", 170),
            ("Customer", "text", 180),
            ("Sheet no.", "number", 40),
        ],
    )
    asks(
        pad,
        (36, 530),
        [
            ("Field", "text", 150),
            ("Product", "text", 160),
            ("EPA reg. no.", "number", 90),
            ("Re-entry after, h", "number", 40),
        ],
    )
    plan = Table(
        widths=(36, 70, 70, 80, 80, 80, 84, 110, 110),
        heads=(
            "Load",
            "Start",
            "Landed",
            "Gallons",
            "Acres",
            "Wind, mph",
            "Direction",
            "Temperature, F",
            "Battery no.",
        ),
        kinds=("", "text", "text", "number", "number", "number", "text", "number", "number"),
        row=22,
        size=7.5,
    )
    y = table(pad, (36, 514), plan, [str(number) for number in range(1, 15)])
    log_rest(pad, y)
    return pad


def log_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    upto(pad, (36, y - 24), 756, ("Notes on weather or drift", "text"))
    under(
        pad,
        (36, y - 62),
        [
            ("Signature of pilot", "signature", 260),
            ("Signature of supervisor", "signature", 260),
            ("Date", "date", 120),
        ],
    )


def schedule() -> Pad:
    """A schedule of equipment on a turned page."""
    pad = Pad(
        "equipment_schedule",
        Look(size=WIDE, plain="Times-Roman", bold="Times-Bold", body=10, turned=True),
    )
    pad.say(396, 574, "Schedule of Equipment", 15, bold=True, at="c")
    pad.say(396, 558, "enclosed with a petition under 14 CFR part 11", 9, at="c")
    asks(
        pad,
        (40, 530),
        [("Petitioner", "text", 290), ("Docket number", "number", 160), ("Page", "number", 40)],
    )
    plan = Table(
        widths=(30, 150, 120, 110, 90, 90, 122),
        heads=(
            "No.",
            "Maker, model",
            "Serial",
            "Register|number",
            "Empty|lb",
            "Take-off|lb",
            "Bought on",
        ),
        kinds=("", "text", "number", "number", "number", "number", "date"),
        row=26,
        head=28,
        size=8.5,
    )
    y = table(pad, (40, 512), plan, ["1", "2", "3", "4", "5", "6"])
    pad.say(40, y - 24, "Each aircraft above has")
    ticks(
        pad,
        (150, y - 24),
        ["a second link", "a fence in the air", "lights for night", "a parachute"],
        how="[ ]",
    )
    pad.say(40, y - 48, "Batteries and chargers", bold=True)
    schedule_rest(pad, y)
    return pad


def schedule_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    plan = Table(
        widths=(292, 140, 140, 140),
        heads=("Kind", "How many", "Capacity, Ah", "Oldest bought on"),
        kinds=("text", "number", "number", "date"),
        row=22,
        upright=False,
    )
    y = table(pad, (40, y - 56), plan, 3)
    under(
        pad,
        (40, y - 46),
        [
            ("Signature of petitioner", "signature", 250),
            ("Printed name", "printed-name", 200),
            ("Title", "title", 130),
            ("Date", "date", 90),
        ],
    )


def training() -> Pad:
    """A record of training: rows with printed names, a notary at the foot."""
    pad = Pad(
        "training_record", Look(size=A4, plain="DejaVuSerif", bold="DejaVuSerif-Bold", body=9)
    )
    pad.say(50, 794, "Record of Training and Flight Test", 14, bold=True)
    upto(pad, (50, 764), 545, ("Pilot", "printed-name"))
    asks(pad, (50, 740), [("Certificate number", "number", 130), ("Issued on", "date", 110)])
    plan = Table(
        widths=(215, 70, 60, 150),
        heads=("Subject", "Date", "Hours", "Signature of teacher"),
        kinds=("", "date", "number", "signature"),
        row=23,
        size=8.5,
    )
    subjects = [
        "Rules of the air",
        "Labels and drift",
        "Weather in the field",
        "Mixing and loading",
        "Batteries and fire",
        "Loss of link",
        "Take-off and landing at night",
        "Ferry between fields",
    ]
    y = table(pad, (50, 722), plan, subjects)
    asks(pad, (50, y - 26), [("Hours in all", "number", 60), ("of which alone", "number", 60)])
    pad.say(50, y - 50, "Result of the flight test:")
    ticks(pad, (180, y - 50), ["passed", "passed with remarks", "failed"], how="circle")
    boxed(pad, "text", "Remarks", Area(50, y - 110, 495, 48), size=8)
    under(
        pad,
        (50, y - 150),
        [
            ("Signature of examiner", "signature", 230),
            ("Examiner's certificate no.", "number", 140),
            ("Date", "date", 97),
        ],
    )
    training_notary(pad, y - 192)
    return pad


def training_notary(pad: Pad, y: float) -> None:
    """A jurat in a box."""
    frame(pad, Area(50, y - 142, 495, 160))
    asks(pad, (60, y), [("State of", "notary-state", 130), ("County of", "notary-county", 130)])
    low = pad.sentence(
        [
            "Subscribed and sworn to before me this ",
            Gap("notary-date", "day", 36),
            " day of ",
            Gap("notary-date", "month", 100),
            ", 20",
            Gap("notary-date", "year", 30),
            " by ",
            Gap("printed-name", "by", 160),
            ".",
        ],
        (60, y - 26, 475),
        23,
    )
    stamp(pad, Area(60, y - 136, 140, 64), "Official stamp")
    upto(pad, (220, low - 28), 535, ("Notary Public", "notary-signature"))
    upto(pad, (220, low - 50), 535, ("Title and rank", "notary-title"))
    upto(pad, (220, low - 72), 535, ("My commission expires", "notary-expiry"))


def inspection() -> Pad:
    """A list to check off: boxes in columns, a line for a remark in each row."""
    pad = Pad("storage_inspection", Look(plain="Helvetica", bold="Helvetica-Bold", body=9, seed=17))
    pad.say(48, 750, "Inspection of a Store for Pesticides", 14, bold=True)
    pad.say(48, 735, "Inspectorate of Growing Fields, sheet 2 of the yearly report", 8)
    asks(
        pad,
        (48, 708),
        [("Firm", "text", 210), ("Inspected on", "date", 90), ("Visit no.", "number", 40)],
    )
    asks(pad, (48, 684), [("Address of the store", "address", 410)])
    for x, words in ((300, "yes"), (330, "no"), (358, "n/a"), (440, "remark")):
        pad.say(x, 658, words, 8, bold=True)
    points = (
        "The door is locked",
        "The sign can be read from 25 feet",
        "The floor is tight and has a rim",
        "Products stand off the floor",
        "Labels can be read",
        "Seed and feed are kept apart",
        "Water for the eyes is at hand",
        "A fire extinguisher is charged",
        "The list of products is current",
        "Empty containers are rinsed thrice",
        "Spilled product can be taken up",
        "Telephone numbers hang by the door",
    )
    y = 640.0
    for number, point in enumerate(points, 1):
        pad.say(48, y, f"{number}.  {point}")
        for x, answer in ((302, "yes"), (332, "no"), (360, "n/a")):
            tick(pad, (x, y), "", how="square")
            pad.blanks[-1] = type(pad.blanks[-1])(
                kind="check",
                page=pad.page,
                left=x,
                bottom=y - 1,
                right=x + 8,
                top=y + 7,
                label=f"{point} {answer}",
            )
        pad.line("text", f"{point} remark", (384, 564), y - 2)
        y -= 22
    inspection_foot(pad, y - 6)
    return pad


def inspection_foot(pad: Pad, y: float) -> None:
    """What must be mended, and who signs."""
    bar(pad, Area(48, y - 10, 516, 16), "To be mended")
    for number in (1, 2, 3):
        low = y - 8 - 24 * number
        upto(pad, (48, low), 400, (f"{number})", "text"))
        upto(pad, (410, low), 564, ("by (date)", "date"))
    y -= 112
    pad.say(48, y, "Next visit:")
    ticks(pad, (104, y), ["in 30 days", "in 90 days", "next year"], how="(   )")
    under(
        pad,
        (48, y - 50),
        [
            ("Signature of inspector", "signature", 160),
            ("Signature for the firm", "signature", 160),
            ("Printed name", "printed-name", 168),
        ],
    )
    tick(pad, (48, y - 84), "The firm has received a copy of this sheet.")


FORMS = (cover, log, schedule, training, inspection)
