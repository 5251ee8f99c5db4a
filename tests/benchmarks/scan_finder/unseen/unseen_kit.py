"""A sheet that draws blank forms and writes down, as it draws, where the ink will go.

The page is always drawn as it is shown: rotation and the crop box are put under the drawing, so
every rectangle is in points from the lower left corner of the page as a reader sees it.
"""

from dataclasses import asdict, dataclass
from io import BytesIO
from pathlib import Path

from reportlab.lib.colors import Color, black
from reportlab.pdfbase.pdfmetrics import getRegisteredFontNames, registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from compliance.forms.model import BlankKind

LETTER = (612.0, 792.0)
FONTS = Path(__file__).parents[4] / "compliance" / "outputs" / "fonts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the ink of one blank goes, in points from the lower left of the page as shown."""

    kind: str
    page: int
    left: float
    bottom: float
    right: float
    top: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A blank inside a sentence; gaps with one ``join`` word are one blank, on one line."""

    kind: BlankKind
    label: str
    width: float
    join: str = ""


def use_own_fonts() -> None:
    """Make the two shipped font files known as ``Own`` and ``Own-Bold``."""
    if "Own" not in getRegisteredFontNames():
        registerFont(TTFont("Own", str(FONTS / "DejaVuSansCondensed.ttf")))
        registerFont(TTFont("Own-Bold", str(FONTS / "DejaVuSansCondensed-Bold.ttf")))


class Sheet:
    """One form under the pen."""

    def __init__(
        self,
        size: tuple[float, float] = LETTER,
        *,
        rotate: int = 0,
        crop: tuple[float, float, float, float] | None = None,
        face: str = "Helvetica",
        text_size: float = 10,
    ) -> None:
        """Start a form; ``size`` is as shown when turned, the whole medium when cropped."""
        self.buffer = BytesIO()
        medium = (size[1], size[0]) if rotate else size
        # reportlab turns the medium itself, so it is given the page as shown
        self.canvas = Canvas(self.buffer, pagesize=size, invariant=1)
        self.medium, self.rotate, self.crop = medium, rotate, crop
        self.shown = (crop[2] - crop[0], crop[3] - crop[1]) if crop else size
        self.face, self.size = face, text_size
        self.page = 0
        self.places: list[Place] = []
        self._lay()

    def _lay(self) -> None:
        if self.rotate == 90:
            self.canvas.setPageRotation(90)
            self.canvas.transform(0, 1, -1, 0, self.medium[0], 0)
        if self.rotate == 270:
            self.canvas.setPageRotation(270)
            self.canvas.transform(0, -1, 1, 0, 0, self.medium[1])
        if self.crop:
            self.canvas.setCropBox(self.crop)
            self.canvas.translate(self.crop[0], self.crop[1])

    def next_page(self) -> None:
        """Go on to the next page."""
        self.canvas.showPage()
        self.page += 1
        self._lay()

    def finish(self) -> tuple[bytes, list[dict[str, str | int | float]]]:
        """Give the bytes of the form and its truth, after checking that the truth can be."""
        self.canvas.save()
        for one in self.places:
            inside = one.left >= 0 and one.bottom >= 0 and one.top <= self.shown[1]
            if not inside or one.right > self.shown[0]:
                raise ValueError(f"off the page: {one}")
            if one.right - one.left < 5 or one.top - one.bottom < 5:
                raise ValueError(f"too small for ink: {one}")
            for other in self.places:
                apart = one.right <= other.left or other.right <= one.left
                apart = apart or one.top <= other.bottom or other.top <= one.bottom
                if one is not other and one.page == other.page and not apart:
                    raise ValueError(f"two blanks in one place: {one} {other}")
        return self.buffer.getvalue(), [asdict(one) for one in self.places]

    # What is printed and is no blank.

    def wide(self, words: str, size: float | None = None, face: str | None = None) -> float:
        """Tell how wide words are."""
        return float(stringWidth(words, face or self.face, size or self.size))

    def text(
        self, x: float, y: float, words: str, size: float | None = None, face: str | None = None
    ) -> float:
        """Print words and give the x where they end."""
        self.canvas.setFont(face or self.face, size or self.size)
        self.canvas.drawString(x, y, words)
        return x + self.wide(words, size, face)

    def middle(self, y: float, words: str, size: float, face: str) -> None:
        """Print words in the middle of the page."""
        self.text((self.shown[0] - self.wide(words, size, face)) / 2, y, words, size, face)

    def rule(self, left: float, y: float, right: float, width: float = 0.6) -> None:
        """Draw a level line."""
        self.canvas.setLineWidth(width)
        self.canvas.line(left, y, right, y)

    def shade(self, left: float, bottom: float, right: float, top: float, grey: float) -> None:
        """Fill a rectangle with grey, 0 black to 1 white."""
        self.canvas.setFillColor(Color(grey, grey, grey))
        self.canvas.rect(left, bottom, right - left, top - bottom, stroke=0, fill=1)
        self.canvas.setFillColor(black)

    def frame(
        self, left: float, bottom: float, right: float, top: float, width: float = 0.6
    ) -> None:
        """Draw a rectangle."""
        self.canvas.setLineWidth(width)
        self.canvas.rect(left, bottom, right - left, top - bottom)

    def grid(self, lefts: tuple[float, ...], tops: tuple[float, ...], width: float = 0.5) -> None:
        """Draw a table's lines."""
        self.canvas.setLineWidth(width)
        for x in lefts:
            self.canvas.line(x, tops[0], x, tops[-1])
        for y in tops:
            self.canvas.line(lefts[0], y, lefts[-1], y)

    # Blanks.

    def mark(
        self,
        kind: BlankKind,
        label: str,
        box: tuple[float, float, float, float],
    ) -> None:
        """Write down a blank: left, bottom, right, top."""
        left, bottom, right, top = (round(edge, 1) for edge in box)
        self.places.append(
            Place(
                kind=kind.value,
                page=self.page,
                left=left,
                bottom=bottom,
                right=right,
                top=top,
                label=label.strip(),
            )
        )

    def ruled(
        self,
        kind: BlankKind,
        label: str,
        place: tuple[float, float, float],
        *,
        how: str = "line",
        height: float = 14,
        end: str = ":",
        size: float | None = None,
    ) -> float:
        """Label, then its rule, from x at y to the right edge; give that edge."""
        x, y, right = place
        start = self.text(x, y, label + end, size) + 4
        if how == "line":
            self.rule(start, y - 2, right)
        elif how == "thin box":  # many word processors print a rule as a flat filled rectangle
            self.canvas.rect(start, y - 2.4, right - start, 0.5, stroke=0, fill=1)
        else:
            letter = how
            count = int((right - start) / self.wide(letter, size))
            right = self.text(start, y, letter * count, size)
        self.mark(kind, label, (start, y - 2, right, y - 2 + height))
        return right

    def captioned(
        self,
        kind: BlankKind,
        label: str,
        place: tuple[float, float, float],
        *,
        size: float = 6.5,
        height: float = 16,
        centred: bool = False,
    ) -> None:
        """A rule from x at y to the right edge with its caption under it."""
        x, y, right = place
        self.rule(x, y, right)
        start = (x + right - self.wide(label, size)) / 2 if centred else x + 1
        self.text(start, y - size - 1.5, label, size)
        self.mark(kind, label, (x, y, right, y + height))

    def cell(
        self,
        kind: BlankKind,
        label: str,
        box: tuple[float, float, float, float],
        *,
        size: float = 6.5,
        number: str = "",
    ) -> None:
        """A framed cell with its label at the top left; box is left, bottom, right, top."""
        left, bottom, right, top = box
        self.frame(left, bottom, right, top)
        self.text(left + 2.5, top - size - 1, number + label, size)
        self.mark(kind, label, (left + 1.5, bottom + 1, right - 1.5, top - size - 3))

    def tick(
        self,
        label: str,
        place: tuple[float, float],
        *,
        how: str = "square",
        side: float = 9,
        size: float | None = None,
        name: str = "",
    ) -> float:
        """A check box with its label at the right; give the x where the label ends."""
        x, y = place
        end = x + side
        if how == "square":
            self.frame(x, y - 1.5, end, y - 1.5 + side)
            box = (x, y - 1.5, end, y - 1.5 + side)
        elif how == "symbol":  # the shadowed square of the standard symbol font
            end = self.text(x, y, "\u274f", side + 3, "ZapfDingbats")
            box = (x + 0.4, y - 0.4, end - 0.4, y + side + 0.4)
        else:
            inner = self.text(x, y, how[0], size)
            close = inner + side
            end = self.text(close, y, how[1], size)
            box = (inner, y - 1.5, close, y + 8)
        self.mark(BlankKind.CHECK, name or label, box)
        return self.text(end + 4, y, label, size)

    def comb(
        self,
        kind: BlankKind,
        label: str,
        place: tuple[float, float],
        *,
        count: int,
        wide: float = 15,
        height: float = 17,
        tooth: float = 1,
    ) -> float:
        """A row of small boxes, one letter each; ``tooth`` is the share of the height drawn."""
        x, y = place
        self.frame(x, y, x + count * wide, y + height)
        for step in range(1, count):
            at = x + step * wide
            self.canvas.line(at, y, at, y + height * tooth)
        self.mark(kind, label, (x, y, x + count * wide, y + height))
        return x + count * wide

    def flow(
        self,
        place: tuple[float, float, float],
        pieces: tuple[str | Gap, ...],
        *,
        how: str = "under",
        leading: float = 15,
        height: float = 12,
    ) -> float:
        """Sentences with gaps, from x at y, broken at the right edge; give the next line's y."""
        x, y, right = place
        lines: list[list[str | Gap]] = [[]]
        used = 0.0
        for chunk in _chunks(pieces):
            wide = sum(self._wide(part) for part in chunk)
            if used and used + wide > right - x:
                lines.append([])
                used = 0.0
            lines[-1].extend((*chunk, " "))
            used += wide + self.wide(" ")
        for line in lines:
            self._flow_line(x, y, line, how, height)
            y -= leading
        return y

    def _wide(self, part: str | Gap) -> float:
        if isinstance(part, str):
            return self.wide(part)
        return round(part.width / self.wide("_")) * self.wide("_")

    def _flow_line(
        self, x: float, y: float, line: list[str | Gap], how: str, height: float
    ) -> None:
        words = ""
        joined: dict[str, tuple[Gap, float, float]] = {}
        for part in line:
            if isinstance(part, str):
                if how != "under" and part != " ":
                    self.text(x + self.wide(words), y, part)
                words += part
                continue
            start = x + self.wide(words)
            end = start + self._wide(part)
            words += "_" * round(part.width / self.wide("_"))
            if how != "under":
                self.rule(start, y - 1.5, end)
            first = joined.get(part.join or f"{start}", (part, start, end))
            joined[part.join or f"{start}"] = (first[0], first[1], end)
        if how == "under":
            self.text(x, y, words.rstrip())
        for gap, start, end in joined.values():
            self.mark(gap.kind, gap.label, (start, y - 1.5, end, y - 1.5 + height))


def _chunks(pieces: tuple[str | Gap, ...]) -> list[list[str | Gap]]:
    """Cut sentences at their spaces; what no space parts stays together."""
    chunks: list[list[str | Gap]] = []
    glue = False
    for piece in pieces:
        if isinstance(piece, Gap):
            if glue:
                chunks[-1].append(piece)
            else:
                chunks.append([piece])
            glue = True
            continue
        for spot, word in enumerate(piece.split()):
            if spot == 0 and glue and not piece.startswith(" "):
                chunks[-1].append(word)
            else:
                chunks.append([word])
        glue = not piece.endswith(" ")
    return chunks
