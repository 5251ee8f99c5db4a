"""A pen for forms of our own: it notes each blank's kind, place and template blank as it draws.

The counting rules are those of README.md beside this file.
"""

import re

from reportlab.lib.colors import Color, black
from sheet import Sheet

LETTER = (612.0, 792.0)
Box = tuple[float, float, float, float]
_GAP = re.compile(r"\{([a-z-]+):(\d+)\}")


class Pen(Sheet):
    """A sheet with the ways of drawing a blank that forms have; sizes in points."""

    def __init__(
        self, face: str = "Helvetica", size: float = 10, page: tuple[float, float] = LETTER
    ) -> None:
        super().__init__(page)
        self.face, self.size = face, size
        self.bold = {"Times-Roman": "Times-Bold"}.get(face, f"{face}-Bold")

    def put(self, x: float, y: float, text: str, size: float = 0, font: str = "") -> float:
        """Print words in the form's own type and give where they end."""
        return self.say(x, y, text, size or self.size, font or self.face)

    def head(self, x: float, y: float, text: str, size: float = 0) -> float:
        """Print a heading."""
        return self.put(x, y, text, size or self.size + 2, self.bold)

    def wide(self, text: str, size: float = 0) -> float:
        """Tell how wide words are."""
        return float(self.canvas.stringWidth(text, self.face, size or self.size))

    def tint(self, grey: float) -> None:
        """Set the tone of what is filled and printed next."""
        self.canvas.setFillColor(Color(grey, grey, grey) if grey else black)

    def grey(self, box: Box, tone: float) -> None:
        """Fill a rectangle; box is left, bottom, right, top."""
        self.tint(tone)
        self.canvas.rect(box[0], box[1], box[2] - box[0], box[3] - box[1], stroke=0, fill=1)
        self.tint(0)

    def frame(self, box: Box, thick: float = 0.6) -> None:
        """Draw a rectangle; box is left, bottom, right, top."""
        self.canvas.setLineWidth(thick)
        self.canvas.rect(box[0], box[1], box[2] - box[0], box[3] - box[1])

    def line(self, left: float, right: float, y: float, thick: float = 0.6) -> None:
        """Draw a level line that is no blank by itself."""
        self.canvas.setLineWidth(thick)
        self.canvas.line(left, y, right, y)

    def left(
        self, kind: str, label: str, x: float, y: float, right: float, high: float = 16
    ) -> float:
        """A label, then its line."""
        return self.rule(kind, self.put(x, y, label) + 4, right, y - 2, high)

    def run(self, kind: str, label: str, x: float, y: float, count: int, sign: str = "_") -> float:
        """A label, then a typed line."""
        start = self.put(x, y, label)
        end = self.put(start, y, sign * count)
        self.note(kind, start, y - 2, end, y + 13)
        return end

    def under(
        self, kind: str, label: str, left: float, right: float, y: float, size: float = 7.5
    ) -> None:
        """A line with its caption under it."""
        self.rule(kind, left, right, y, 26 if kind.endswith("signature") else 16)
        self.put(left + 1, y - size - 1.5, label, size)

    def centred(
        self, kind: str, label: str, left: float, right: float, y: float, size: float = 8
    ) -> None:
        """A line with its caption in the middle under it."""
        self.rule(kind, left, right, y, 26 if kind.endswith("signature") else 16)
        self.put((left + right - self.wide(label, size)) / 2, y - size - 1.5, label, size)

    def over(self, kind: str, label: str, left: float, right: float, y: float) -> None:
        """A line with its label over its beginning."""
        self.put(left, y + 17, label, self.size - 1)
        self.rule(kind, left, right, y, 15)

    def boxed(self, kind: str, label: str, box: Box, size: float = 7) -> None:
        """A box with its label small in the corner; box is left, bottom, right, top."""
        left, bottom, right, top = box
        self.cell(kind, (left, bottom, right - left, top - bottom), label, size)

    def beside(self, kind: str, label: str, x: float, y: float, box: tuple[float, float]) -> None:
        """A label and an empty box on its line; box is left and right."""
        self.put(x, y, label)
        self.frame((box[0], y - 5, box[1], y + 13))
        self.note(kind, box[0], y - 5, box[1], y + 13)

    def tick(self, label: str, x: float, y: float, how: str = "square") -> float:
        """A check box before its words; gives where the words end."""
        if how == "square":
            self.square(x, y - 1, 9)
            end = x + 9
        elif how == "ring":
            self.canvas.circle(x + 4.5, y + 3, 4.5)
            self.note("check", x, y - 1.5, x + 9, y + 7.5)
            end = x + 9
        elif how == "line":
            end = self.put(x, y, "____")
            self.note("check", x, y - 2, end, y + 10)
        else:
            end = self.put(x, y, how)
            self.note("check", x, y - 2, end, y + 9)
        return self.put(end + 4, y, label)

    def ticks(self, labels: tuple[str, ...], x: float, y: float, how: str = "square") -> float:
        """Check boxes in a row."""
        for label in labels:
            x = self.tick(label, x, y, how) + 16
        return x

    def lines(self, kind: str, left: float, right: float, y: float, count: int) -> None:
        """Several lines for one long answer, the first at y, 18 points apart."""
        for row in range(count):
            self.line(left, right, y - 18 * row, 0.5)
        self.note(kind, left, y - 18 * (count - 1), right, y + 15)

    def comb(self, kind: str, x: float, y: float, count: int, wide: float = 14) -> float:
        """Small boxes for a letter each."""
        for place in range(count):
            self.canvas.rect(x + place * wide, y, wide, 16)
        self.note(kind, x, y, x + count * wide, y + 16)
        return x + count * wide

    def table(
        self, heads: tuple[tuple[str, str, float], ...], x: float, y: float, rows: int, high: float
    ) -> float:
        """A table with headings (words, kind, width) and empty rows; y is its top."""
        left = x
        for words, kind, wide in heads:
            self.frame((left, y - 16, left + wide, y), 0.5)
            self.put(left + 3, y - 11, words, 7.5, self.bold)
            for row in range(rows):
                low = y - 16 - high * (row + 1)
                self.frame((left, low, left + wide, low + high), 0.5)
                self.note(kind, left, low, left + wide, low + high)
            left += wide
        return y - 16 - high * rows

    def flow(
        self, x: float, y: float, right: float, text: str, how: str = "_", leading: float = 18
    ) -> float:
        """Sentences with blanks written {kind:width}; gives the height of the next line."""
        at, space = x, self.wide(" ")
        for chunk in text.split(" "):
            wide = sum(
                float(part) if spot % 3 == 2 else self.wide(part) if spot % 3 == 0 else 0.0
                for spot, part in enumerate(_GAP.split(chunk))
            )
            if at > x and at + wide > right:
                at, y = x, y - leading
            parts = _GAP.split(chunk)
            for spot in range(0, len(parts), 3):
                at = self.put(at, y, parts[spot]) if parts[spot] else at
                if spot + 1 < len(parts):
                    at = self._gap(parts[spot + 1], at, y, float(parts[spot + 2]), how)
            at += space
        return y - leading

    def _gap(self, kind: str, x: float, y: float, wide: float, how: str) -> float:
        if how == "rule":
            return self.rule(kind, x, x + wide, y - 2, 13)
        signs = round(wide / self.wide(how))
        end = self.put(x, y, how * signs)
        self.note(kind, x, y - 2, end, y + 11)
        return end

    def seal(self, x: float, y: float, words: str, radius: float = 0) -> None:
        """A place for a stamp round x, y: the words, in a ring when there is a radius."""
        self.put(x - self.wide(words, 8) / 2, y - 3, words, 8)
        if radius:
            self.canvas.setLineWidth(0.7)
            self.canvas.circle(x, y, radius)
            self.note("notary-stamp", x - radius, y - radius, x + radius, y + radius)
        else:
            self.note("notary-stamp", x - 60, y - 35, x + 60, y + 35)
