"""Electronic forms: text fields in boxes, and fields laid over ruled lines."""

from pad import Look, Pad
from parts import Area, bar, blank_field, check_field, frame, under

Row = tuple[tuple[str, str, float], ...]


def permit() -> Pad:
    """Fields with their own borders, labels above or left of them."""
    pad = Pad("field_permit", Look(body=9))
    pad.say(50, 748, "Request for Leave to Fly near an Airfield", 14, bold=True)
    pad.canvas.acroForm.textfield(
        name="fixed", value="77-2027", x=480, y=744, width=82, height=16, fieldFlags="readOnly"
    )
    pad.say(50, 732, "Fill in on the screen, print, sign. Office of Field Aviation, form 77", 8)
    y = 706.0
    rows: tuple[Row, ...] = (
        (("Operator", "text", 300), ("Telephone", "number", 196)),
        (("Street", "address", 250), ("City", "address", 140), ("ZIP", "address", 90)),
        (
            ("Airfield", "text", 200),
            ("Distance, miles", "number", 130),
            ("Height, feet", "number", 150),
        ),
        (("First day", "date", 160), ("Last day", "date", 160), ("Hours of the day", "text", 160)),
        (
            ("Maker and model", "text", 240),
            ("Register number", "number", 120),
            ("Weight, lb", "number", 120),
        ),
    )
    for row in rows:
        x = 50.0
        for label, kind, wide in row:
            pad.say(x, y, label, 8)
            blank_field(pad, kind, label, Area(x, y - 22, wide, 18))
            x += wide + 16
        y -= 42
    pad.say(50, y, "Reasons why the flight cannot be made elsewhere", 8)
    blank_field(pad, "text", "Reasons", Area(50, y - 66, 512, 62))
    y -= 90
    for words in (
        "A watcher stands at the edge of the field.",
        "The tower has been telephoned.",
        "The aircraft has lights that are seen for three miles.",
        "A notice to air missions will be filed.",
    ):
        check_field(pad, words, (50, y))
        y -= 20
    y -= 10
    permit_rest(pad, y)
    return pad


def permit_rest(pad: Pad, y: float) -> None:
    """The lower part of the form."""
    for label, kind in (
        ("Name of pilot", "printed-name"),
        ("Certificate number", "number"),
        ("Name of watcher", "printed-name"),
        ("Title of signer", "title"),
    ):
        pad.say(50, y, label)
        blank_field(pad, kind, label, Area(160, y - 5, 240, 17))
        y -= 25
    under(
        pad,
        (50, y - 40),
        [("Signature (by hand)", "signature", 280), ("Date", "date", 140)],
        size=8,
    )


def renewal() -> Pad:
    """Fields without a border over lines, on two pages; some places have no field."""
    pad = Pad("field_renewal", Look(plain="Times-Roman", bold="Times-Bold", body=11))
    pad.say(306, 744, "Renewal of a Registration", 15, bold=True, at="c")
    pad.say(306, 728, "Prairie Register of Light Aircraft, PR-40", 9, at="c")
    y = 690.0
    rows: tuple[Row, ...] = (
        (("Register number", "number", 120), ("Serial number", "number", 160)),
        (("Owner", "text", 420),),
        (("Address", "address", 410),),
        (("City", "address", 200), ("State", "address", 60), ("ZIP", "address", 80)),
        (("Ends on", "date", 120), ("Fee $", "amount", 100)),
    )
    for row in rows:
        x = 72.0
        for label, kind, wide in row:
            end = pad.say(x, y, label) + 4
            pad.rule(end, y - 2, end + wide)
            blank_field(pad, kind, label, Area(end, y - 2, wide, 16), border=0)
            x = end + wide + 12
        y -= 30
    pad.say(72, y, "The owner is")
    x = 150.0
    for words in ("a citizen", "a company", "a partnership"):
        x = check_field(pad, words, (x, y)) + 16
    pad.say(72, y - 28, "The aircraft was since the last renewal")
    x = 270.0
    for words in ("kept", "sold", "destroyed"):
        x = check_field(pad, words, (x, y - 28)) + 16
    frame(pad, Area(72, y - 118, 468, 66), 0.93)
    pad.say(80, y - 70, "Sold to", 9)
    blank_field(pad, "text", "Sold to", Area(140, y - 76, 390, 18))
    pad.say(80, y - 98, "Address", 9)
    blank_field(pad, "address", "Address", Area(140, y - 104, 390, 18))
    pad.say(306, 40, "1 / 2", 9, at="c")
    renewal_second(pad)
    return pad


def renewal_second(pad: Pad) -> None:
    """The second page, to be filled in by hand and in fields."""
    pad.next_page()
    bar(pad, Area(72, 724, 468, 18), "Names and signatures of all owners")
    y = 696.0
    for number in (1, 2, 3):
        pad.say(72, y, f"Owner {number}", 10, bold=True)
        for down, label, kind in ((24, "Name", "printed-name"), (50, "Title", "title")):
            end = pad.say(72, y - down, label) + 4
            pad.rule(end, y - down - 2, 320)
            blank_field(pad, kind, label, Area(end, y - down - 2, 320 - end, 16), border=0)
        pad.rule(340, y - 52, 540)
        blank_field(pad, "signature", "Signature", Area(340, y - 52, 200, 30), border=0)
        pad.say(340, y - 62, "Signature", 8)
        y -= 92
    y -= 6
    pad.say(72, y, "Changes of address since the last renewal")
    blank_field(pad, "text", "Changes", Area(72, y - 64, 468, 58))
    pad.say(306, 40, "2 / 2", 9, at="c")


FORMS = (permit, renewal)
