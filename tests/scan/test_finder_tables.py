"""Boxes with their label inside, and tinted areas (common practice of forms, no source)."""

from reportlab.lib.colors import black, lightgrey
from reportlab.pdfgen.canvas import Canvas

from tests.scan.drawn import find, place, say


def draw_boxes(canvas: Canvas, labels: tuple[str, ...], up: float) -> None:
    """Boxes as wide as the form, one under the other, each with small print at its left."""
    canvas.setFont("Helvetica", 7)
    for at, label in enumerate(labels):
        canvas.rect(54, 640 - 26 * at, 504, 26)
        canvas.drawString(58, 640 - 26 * at + up, label)


def test_counted_labels_in_boxes_are_no_headings() -> None:
    """ "1. Operator" asks like the counted labels around it, in the middle of its box."""
    labels = ("1. Operator", "2. Old street", "3. Certificate number", "4. Maker and model")

    regions = find(lambda canvas: draw_boxes(canvas, labels, 10))

    assert say(regions) == [
        ("text", "1. Operator"),
        ("address", "2. Old street"),
        ("number", "3. Certificate number"),
        ("text", "4. Maker and model"),
    ]


def test_counters_with_points_at_the_foot_of_boxes_are_read_past() -> None:
    """ "6.1 Name of pilot" asks for a name, "6.2 Maker and model" for a text over it."""
    labels = ("6.1 Name of pilot", "6.2 Maker and model", "6.3 Serial number")

    regions = find(lambda canvas: draw_boxes(canvas, labels, 3))

    assert say(regions) == [
        ("printed-name", "6.1 Name of pilot"),
        ("text", "6.2 Maker and model"),
        ("number", "6.3 Serial number"),
    ]


def test_labels_set_as_known_labels_are_labels_too() -> None:
    """A word the finder does not know asks where it stands in its box like those it knows."""
    labels = ("Launch crew", "Street", "Telephone number")

    regions = find(lambda canvas: draw_boxes(canvas, labels, 10))

    assert say(regions) == [
        ("text", "Launch crew"),
        ("address", "Street"),
        ("number", "Telephone number"),
    ]


def test_sentences_in_boxes_are_no_labels() -> None:
    """Counted sentences in the same boxes are there to be read."""
    labels = (
        "1. Read the label first.",
        "2. Wear gloves at all times.",
        "3. Rinse the tank twice.",
    )

    assert find(lambda canvas: draw_boxes(canvas, labels, 10)) == ()


def test_large_box_under_one_line_of_words_is_a_blank() -> None:
    """A box to draw in is found, also when its label is long; one with a full stop is not."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Helvetica", 8)
        canvas.rect(54, 540, 300, 92)
        canvas.drawString(58, 623, "Sketch of the field with the north and the wind shown")
        canvas.rect(54, 420, 300, 92)
        canvas.drawString(58, 503, "This box shows the sheet as it looks when it is done.")

    regions = find(draw)

    assert say(regions) == [("text", "Sketch of the field with the north and the wind shown")]
    assert place(regions[0]) == (54, 540, 354)


def test_grey_areas_take_the_heading_over_their_column() -> None:
    """Areas without lines, one under the other, are all named by the words over the first."""

    def draw(canvas: Canvas) -> None:
        for x, wide, head in ((50, 70, "Date"), (124, 150, "Buyer"), (278, 90, "License no.")):
            canvas.drawString(x, 642, head)
            canvas.setFillColor(lightgrey)
            for at in range(3):
                canvas.rect(x, 618 - 22 * at, wide, 19, stroke=0, fill=1)
            canvas.setFillColor(black)

    regions = find(draw)

    assert say(regions) == 3 * [("date", "Date"), ("text", "Buyer"), ("number", "License no")]


def test_panel_around_an_area_does_not_part_it_from_its_label() -> None:
    """White areas on a tinted panel are named by the words left of them on the panel."""

    def draw(canvas: Canvas) -> None:
        canvas.setFillColor(lightgrey)
        canvas.rect(40, 580, 520, 70, stroke=0, fill=1)
        for at, label in enumerate(("Address", "Valid until")):
            canvas.setFillColorRGB(1, 1, 1)
            canvas.rect(170, 622 - 30 * at, 375, 19, stroke=0, fill=1)
            canvas.setFillColor(black)
            canvas.drawString(50, 627 - 30 * at, label)

    assert say(find(draw)) == [("address", "Address"), ("date", "Valid until")]


def test_heading_over_printed_counters_is_no_blank() -> None:
    """ "No." in a tall head leaves room over it, but heads a column that is printed."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Helvetica", 8)
        for x, wide, head in ((54, 30, "No."), (84, 200, "Product"), (284, 120, "Gallons")):
            canvas.rect(x, 600, wide, 26)
            canvas.drawString(x + 4, 603, head)
            for at in range(3):
                canvas.rect(x, 580 - 20 * at, wide, 20)
        for at in range(3):
            canvas.drawString(62, 586 - 20 * at, str(at + 1))

    regions = find(draw)

    assert say(regions) == 3 * [("text", "Product"), ("number", "Gallons")]
