"""Tables ruled across only (common practice of forms, no source)."""

from reportlab.pdfgen.canvas import Canvas

from tests.scan.drawn import find, say

ROWS = ("Permit", "Added field", "Late notice", "Sum")


def draw_table(canvas: Canvas, heads: tuple[str, ...], middles: tuple[int, ...]) -> None:
    """A boxed head, level lines 20 points apart and a printed first column."""
    canvas.setFont("Helvetica-Bold", 9)
    canvas.rect(54, 640, 504, 18)
    for head, middle in zip(heads, middles, strict=True):
        canvas.drawCentredString(middle, 646, head)
    canvas.setFont("Helvetica", 9)
    for at, row in enumerate(ROWS):
        canvas.line(54, 620 - 20 * at, 558, 620 - 20 * at)
        canvas.drawString(58, 627 - 20 * at, row)


def test_printed_first_column_leaves_the_other_columns_to_fill_in() -> None:
    """Each row gives a blank for each further heading, named by the column and the row."""
    regions = find(
        lambda canvas: draw_table(
            canvas, ("Item", "How many", "Each, $", "Amount, $"), (179, 344, 424, 511)
        )
    )

    assert say(regions) == [
        (kind, f"{head}, {row}")
        for row in ROWS
        for kind, head in (
            ("number", "How many"),
            ("amount", "Each, $"),
            ("amount", "Amount, $"),
        )
    ]
    assert [round(region.left) for region in regions[:3]] == [304, 384, 464]


def test_list_printed_in_every_column_has_no_blanks() -> None:
    """A price list under the same lines is there to be read."""

    def draw(canvas: Canvas) -> None:
        draw_table(canvas, ("Item", "Fee", "Due on"), (179, 344, 480))
        for at in range(len(ROWS)):
            canvas.drawCentredString(344, 627 - 20 * at, "free")
            canvas.drawCentredString(480, 627 - 20 * at, "1 March")

    assert find(draw) == ()
