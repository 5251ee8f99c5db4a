"""A canvas for made-up forms that notes the truth about its blanks while it draws."""

from io import BytesIO

from reportlab.lib.colors import black
from reportlab.pdfgen.canvas import Canvas

Row = dict[str, str | int | float]
SANS, BOLD, TYPED = "Helvetica", "Helvetica-Bold", "Courier"


class Sheet:
    """A canvas that notes the truth while it draws; sizes in points."""

    def __init__(self, size: tuple[float, float]) -> None:
        self.buffer = BytesIO()
        self.canvas = Canvas(self.buffer, pagesize=size, invariant=1)
        self.rows: list[Row] = []
        self.page = 0
        self.thick = 0.6

    def say(self, x: float, y: float, text: str, size: float = 10, font: str = SANS) -> float:
        """Print words and give where they end."""
        self.canvas.setFont(font, size)
        self.canvas.drawString(x, y, text)
        return x + float(self.canvas.stringWidth(text, font, size))

    def note(self, kind: str, left: float, bottom: float, right: float, top: float) -> None:
        """Note a true blank."""
        self.rows.append(
            {
                "kind": kind,
                "page": self.page,
                "left": round(left, 1),
                "bottom": round(bottom, 1),
                "right": round(right, 1),
                "top": round(top, 1),
            }
        )

    def rule(self, kind: str, left: float, right: float, y: float, high: float = 18) -> float:
        """Draw a line to write on and give where it ends."""
        self.canvas.setLineWidth(self.thick)
        self.canvas.line(left, y, right, y)
        self.note(kind, left, y, right, y + high)
        return right

    def bar(self, kind: str, left: float, right: float, y: float, high: float = 18) -> None:
        """Draw a line as a thin filled shape."""
        self.canvas.setFillColor(black)
        self.canvas.rect(left, y - 0.3, right - left, 0.6, stroke=0, fill=1)
        self.note(kind, left, y, right, y + high)

    def typed(self, kind: str, x: float, y: float, count: int, size: float = 10) -> float:
        """Type underscores to write on and give where they end."""
        end = self.say(x, y, "_" * count, size, TYPED)
        self.note(kind, x, y - 2, end, y + 14)
        return end

    def square(self, x: float, y: float, side: float = 9) -> None:
        """Draw a check box."""
        self.canvas.setLineWidth(0.7)
        self.canvas.rect(x, y, side, side)
        self.note("check", x, y, x + side, y + side)

    def cell(
        self, kind: str, box: tuple[float, float, float, float], label: str = "", size: float = 6.5
    ) -> None:
        """Draw a box with its label small in the upper left corner; box is x, y, width, height."""
        x, y, wide, high = box
        self.canvas.setLineWidth(0.5)
        self.canvas.rect(x, y, wide, high)
        top = y + high
        if label:
            self.say(x + 3, y + high - size - 2, label, size)
            top -= size + 4
        if kind:
            self.note(kind, x, y, x + wide, top)

    def turn_page(self) -> None:
        """Begin the next page."""
        self.canvas.showPage()
        self.page += 1

    def finish(self) -> bytes:
        """Give the PDF."""
        self.canvas.save()
        return self.buffer.getvalue()
