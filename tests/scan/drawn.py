"""Forms drawn for the tests of the blank finder, with reportlab and apart from the finder."""

from collections.abc import Callable
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from compliance.scan.finder import find_blanks
from compliance.scan.model import Region

Draw = Callable[[Canvas], None]


def find(draw: Draw) -> tuple[Region, ...]:
    """The blanks of a Letter page with a line of words at its top and a drawing."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(72, 732, "Answer all that is asked on this paper in plain words.")
    draw(canvas)
    canvas.save()
    return find_blanks(buffer.getvalue())


def say(regions: tuple[Region, ...]) -> list[tuple[str, str]]:
    """Kind and label of each region, in reading order."""
    return [(region.kind, region.label) for region in regions]


def place(region: Region) -> tuple[int, int, int]:
    """Left, bottom and right end, in whole points."""
    return round(region.left), round(region.bottom), round(region.right)
