"""A sheet of paper to draw invented forms on, that notes every place to fill in.

All places are in points from the lower left corner of the page as it is shown, also on turned
pages. How high, how wide and of what kind a place is follows README.md one folder up.
"""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from compliance import outputs

__all__ = ["A4", "LETTER", "Part", "Sheet"]

SANS, BOLD = "Helvetica", "Helvetica-Bold"
FONTS = Path(outputs.__path__[0]) / "fonts"

# a word that is printed, or (kind, width) of a place to fill in
Part = str | tuple[str, float]


class Sheet:
    """One form: its pages and its true places."""

    def __init__(self, name: str, size: tuple[float, float] = LETTER, *, turn: int = 0) -> None:
        for font, file in (
            ("Vera", "Vera.ttf"),
            ("VeraBd", "VeraBd.ttf"),
            ("Cond", str(FONTS / "DejaVuSansCondensed.ttf")),
            ("CondBd", str(FONTS / "DejaVuSansCondensed-Bold.ttf")),
        ):
            if font not in pdfmetrics.getRegisteredFontNames():
                pdfmetrics.registerFont(TTFont(font, file))
        self.name = name
        self.wide, self.high = size
        self.turn = turn
        self.page = 0
        self.truths: list[dict[str, Any]] = []
        folder = Path(__file__).parent
        self.c = Canvas(
            str(folder / f"{name}.pdf"), pagesize=size, invariant=1
        )  # it swaps the sides of a turned page itself
        self.c.setTitle(f"Invented form {name}")
        self._begin()

    def _begin(self) -> None:
        self.c.setPageRotation(self.turn)
        if self.turn == 90:
            self.c.transform(0, 1, -1, 0, self.high, 0)
        elif self.turn == 180:
            self.c.transform(-1, 0, 0, -1, self.wide, self.high)
        elif self.turn == 270:
            self.c.transform(0, -1, 1, 0, 0, self.wide)

    def next_page(self) -> None:
        self.c.showPage()
        self.page += 1
        self._begin()

    def save(self) -> int:
        self.c.showPage()
        self.c.save()
        rows = ",\n".join(json.dumps(row) for row in self.truths)
        path = Path(__file__).parent / f"{self.name}.json"
        path.write_text(f"[\n{rows}\n]\n", encoding="utf-8")
        return sum(row["kind"] != "ignore" for row in self.truths)

    def note(self, kind: str, box: tuple[float, float, float, float], label: str = "") -> None:
        left, bottom, right, top = (round(value, 1) for value in box)
        self.truths.append(
            {
                "kind": kind,
                "page": self.page,
                "left": left,
                "bottom": bottom,
                "right": right,
                "top": top,
                "label": label,
            }
        )

    def text(
        self, x: float, y: float, words: str, size: float = 9, *, font: str = SANS, at: str = "left"
    ) -> float:
        """Print words; gives their right end (for words at the left)."""
        self.c.setFont(font, size)
        if at == "middle":
            self.c.drawCentredString(x, y, words)
        elif at == "right":
            self.c.drawRightString(x, y, words)
        else:
            self.c.drawString(x, y, words)
        end: float = x + pdfmetrics.stringWidth(words, font, size)
        return end

    def runs(self, x: float, y: float, words: str, size: float = 9, *, font: str = SANS) -> float:
        """Print words as several pieces, cut in mid-word as some programs do, last piece first."""
        pieces = [words[n : n + 3] for n in range(0, len(words), 3)]
        places = []
        for piece in pieces:
            places.append((x, piece))
            x += pdfmetrics.stringWidth(piece, font, size)
        for place, piece in reversed(places):
            self.text(place, y, piece, size, font=font)
        return x

    def prose(
        self,
        box: tuple[float, float, float],
        words: str,
        size: float = 9,
        *,
        font: str = SANS,
        lead: float = 0,
    ) -> float:
        """Print prose from (left, baseline of the first line, right); gives the next baseline."""
        left, y, right = box
        for line in simpleSplit(words, font, size, right - left):
            self.text(left, y, line, size, font=font)
            y -= lead or size * 1.25
        return y

    def pen(self, wide: float = 0.7, grey: float = 0) -> None:
        self.c.setLineWidth(wide)
        self.c.setStrokeGray(grey)

    def rule(self, left: float, right: float, y: float, wide: float = 0.7) -> None:
        self.pen(wide)
        self.c.line(left, y, right, y)

    def post(self, x: float, bottom: float, top: float, wide: float = 0.7) -> None:
        self.pen(wide)
        self.c.line(x, bottom, x, top)

    def frame(self, box: tuple[float, float, float, float], wide: float = 0.7) -> None:
        left, bottom, right, top = box
        self.pen(wide)
        self.c.rect(left, bottom, right - left, top - bottom)

    def tint(
        self, box: tuple[float, float, float, float], shade: tuple[float, float, float]
    ) -> None:
        left, bottom, right, top = box
        self.c.setFillColorRGB(*shade)
        self.c.rect(left, bottom, right - left, top - bottom, stroke=0, fill=1)
        self.c.setFillGray(0)

    def line(
        self, kind: str, span: tuple[float, float, float], high: float = 16, label: str = ""
    ) -> None:
        """Draw a rule (left, right, y) to write on, ``high`` points free above it."""
        left, right, y = span
        self.rule(left, right, y)
        self.note(kind, (left, y, right, y + high), label)

    def under(
        self,
        kind: str,
        span: tuple[float, float, float],
        caption: str,
        high: float = 20,
        *,
        size: float = 7,
        font: str = SANS,
    ) -> None:
        """Draw a rule with its caption below."""
        self.line(kind, span, high, caption)
        self.text(span[0], span[2] - size - 1, caption, size, font=font)

    def ahead(
        self,
        kind: str,
        span: tuple[float, float, float],
        caption: str,
        high: float = 15,
        *,
        size: float = 9,
        font: str = SANS,
    ) -> None:
        """Print a caption and draw a rule from its end to the right."""
        left, right, y = span
        end = self.text(left, y + 2, caption, size, font=font)
        self.line(kind, (end + 3, right, y), high, caption)

    def cell(
        self,
        kind: str,
        box: tuple[float, float, float, float],
        caption: str,
        *,
        size: float = 6.5,
        font: str = SANS,
        split: bool = False,
    ) -> None:
        """Draw a box with a small caption in its upper left corner."""
        left, bottom, right, top = box
        self.frame(box)
        show = self.runs if split else self.text
        show(left + 2.5, top - size - 1, caption, size, font=font)
        self.note(kind, (left, bottom, right, top - size - 3), caption)

    def cells(
        self,
        row: tuple[float, float, float],
        parts: Sequence[tuple[str, str, float]],
        *,
        size: float = 6.5,
        font: str = SANS,
        split: bool = False,
    ) -> float:
        """Draw a row (left, top, height) of boxes (kind, caption, width); gives its bottom."""
        left, top, high = row
        for kind, caption, wide in parts:
            box = (left, top - high, left + wide, top)
            self.cell(kind, box, caption, size=size, font=font, split=split)
            left += wide
        return top - high

    def square(
        self,
        x: float,
        y: float,
        words: str,
        *,
        side: float = 8,
        size: float = 8.5,
        font: str = SANS,
    ) -> float:
        """Draw a small square and words after it; gives their end."""
        self.pen()
        self.c.rect(x, y - 1, side, side)
        self.note("check", (x, y - 1, x + side, y - 1 + side), words)
        return self.text(x + side + 4, y, words, size, font=font)

    def glyph(self, x: float, y: float, words: str, *, size: float = 10, font: str = SANS) -> float:
        """Print a box out of a font of signs and words after it; gives their end."""
        end = self.text(x, y, "\u25a1", size, font="Cond")
        self.note("check", (x, y - 1, end, y + size * 0.75), words)
        return self.text(end + 4, y, words, size - 1, font=font)

    def running(
        self,
        x: float,
        y: float,
        parts: list[Part],
        size: float = 10.5,
        *,
        font: str = "Times-Roman",
        high: float = 14,
        drawn: bool = False,
    ) -> float:
        """Print one line of words and places, of underscores or of drawn rules; gives the end."""
        stroke = pdfmetrics.stringWidth("_", font, size)
        whole = ""
        start = x
        for part in parts:
            if isinstance(part, str):
                whole += part
                x += pdfmetrics.stringWidth(part, font, size)
                continue
            kind, wide = part
            if drawn:
                self.text(start, y, whole, size, font=font)
                self.line(kind, (x, x + wide, y - 2), high)
                x += wide
                start, whole = x, ""
                continue
            count = round(wide / stroke)
            whole += "_" * count
            self.note(kind, (x, y - 2, x + count * stroke, y - 2 + high))
            x += count * stroke
        self.text(start, y, whole, size, font=font)
        return x

    def comb(
        self,
        kind: str,
        spot: tuple[float, float],
        count: int,
        *,
        step: float = 15,
        high: float = 18,
        label: str = "",
    ) -> float:
        """Draw a row of small boxes for one sign each, from its lower left; gives its end."""
        x, y = spot
        self.pen()
        for n in range(count):
            self.c.rect(x + n * step, y, step, high)
        self.note(kind, (x, y, x + count * step, y + high), label)
        return x + count * step

    def bars(self, x: float, y: float, count: int = 40, high: float = 26) -> None:
        """Draw what looks like a bar code."""
        self.c.setFillGray(0)
        for n in range(count):
            wide = 1 + (n * n * 7 + n * 3) % 4 * 0.6
            self.c.rect(x + n * 3.4, y, wide, high, stroke=0, fill=1)

    def logo(self, x: float, y: float, side: float, words: str) -> None:
        """Draw a mark of an agency: a circle in a box, and letters."""
        self.frame((x, y, x + side, y + side), 1.2)
        self.pen(0.8)
        self.c.circle(x + side / 2, y + side / 2, side * 0.4)
        self.text(x + side / 2, y + side / 2 - 3, words, side / 5, font=BOLD, at="middle")
