"""Paper to draw a form on, which writes down every blank while it draws it."""

import json
import random
import re
from dataclasses import asdict, dataclass, field
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

HERE = Path(__file__).parent
LETTER, A4, CARD = (612.0, 792.0), (595.28, 841.89), (432.0, 288.0)
HALF = (419.53, 595.28)
WIDE = (792.0, 612.0)
LOWEST, HIGHEST = 12.0, 40.0
# The edges of U+2610 in DejaVu Sans, in parts of the size, as Pillow draws it.
BALLOT = (0.09, 0.0, 0.81, 0.73)


def load_fonts(folder: Path) -> None:
    """Make the DejaVu fonts of a folder known under their file names."""
    names = (
        "DejaVuSans DejaVuSans-Bold DejaVuSerif DejaVuSerif-Bold"
        " DejaVuSansCondensed DejaVuSansCondensed-Bold DejaVuSansMono DejaVuSansMono-Bold"
    )
    for name in names.split():
        pdfmetrics.registerFont(TTFont(name, str(folder / f"{name}.ttf")))


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a form looks; ``rule`` is the thickness of its lines in points."""

    size: tuple[float, float] = LETTER
    plain: str = "Helvetica"
    bold: str = "Helvetica-Bold"
    body: float = 10.0
    rule: float = 0.6
    seed: int = 1
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One true blank, in points of the page as shown."""

    kind: str
    page: int
    left: float
    bottom: float
    right: float
    top: float
    label: str


@dataclass(frozen=True, slots=True)
class Gap:
    """A blank within a sentence, ``wide`` points wide or a little more."""

    kind: str
    label: str
    wide: float
    style: str = ""


@dataclass(slots=True)
class Run:
    """A line of a sentence while it is filled."""

    text: str = ""
    gaps: list[tuple[int, int, Gap]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Open:
    """A line whose upper end waits for the print above it; ``low`` is the lowest line of many."""

    kind: str
    label: str
    left: float
    right: float
    high: float
    low: float


class Pad:
    """Draw a form and its truth."""

    def __init__(self, name: str, look: Look) -> None:
        self.name, self.look = name, look
        self.wide, self.high = look.size
        self.canvas = Canvas(str(HERE / f"{name}.pdf"), pagesize=look.size, invariant=1)
        self.canvas.setTitle(name.replace("_", " "))
        self.lot = random.Random(look.seed)  # noqa: S311 - lengths of lines, no secret
        self.page, self.fields = 0, 0
        self.blanks: list[Blank] = []
        self.prints: list[tuple[float, float, float, float]] = []
        self.open: list[Open] = []
        self._start()

    def _start(self) -> None:
        if self.look.turned:
            self.canvas.setPageRotation(90)
            self.canvas.transform(0, 1, -1, 0, self.high, 0)
        self.canvas.setLineWidth(self.look.rule)

    def next_page(self) -> None:
        """End the page."""
        self._close()
        self.canvas.showPage()
        self.page += 1
        self._start()

    def save(self) -> int:
        """Write the form and its truth; return how many blanks it has."""
        self._close()
        self.canvas.save()
        rows = [asdict(blank) for blank in self.blanks]
        lines = ",\n".join(json.dumps(row) for row in rows)
        (HERE / f"{self.name}.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")
        return sum(blank.kind != "ignore" for blank in self.blanks)

    def _close(self) -> None:
        for one in self.open:
            above = [
                low
                for left, low, right, _ in self.prints
                if low > one.high + 3 and min(right, one.right) - max(left, one.left) > 1
            ]
            top = min([one.high + HIGHEST, *above])
            top = max(top, one.high + LOWEST)
            self.note(one.kind, one.label, (one.left, one.low, one.right, top))
        self.open, self.prints = [], []

    def note(self, kind: str, label: str, rect: tuple[float, float, float, float]) -> None:
        """Write a blank down."""
        left, bottom, right, top = (round(edge, 1) for edge in rect)
        self.blanks.append(
            Blank(
                kind=kind,
                page=self.page,
                left=left,
                bottom=bottom,
                right=right,
                top=top,
                label=label,
            )
        )

    def width(self, words: str, size: float = 0, *, bold: bool = False) -> float:
        """How wide words come out."""
        font = self.look.bold if bold else self.look.plain
        return float(pdfmetrics.stringWidth(words, font, size or self.look.body))

    def say(
        self, x: float, y: float, words: str, size: float = 0, *, bold: bool = False, at: str = "l"
    ) -> float:
        """Print words from, around or up to ``x``; return where they end."""
        size = size or self.look.body
        wide = self.width(words, size, bold=bold)
        x -= {"l": 0, "c": wide / 2, "r": wide}[at]
        self.canvas.setFont(self.look.bold if bold else self.look.plain, size)
        self.canvas.drawString(x, y, words)
        self.prints.append((x, y - 0.2 * size, x + wide, y + 0.72 * size))
        return x + wide

    def rule(self, x: float, y: float, right: float, thick: float = 0) -> None:
        """Draw a line that only divides."""
        self.canvas.saveState()
        self.canvas.setLineWidth(thick or self.look.rule)
        self.canvas.line(x, y, right, y)
        self.canvas.restoreState()
        self.prints.append((x, y, right, y))

    def line(
        self, kind: str, label: str, span: tuple[float, float], y: float, style: str = "rule"
    ) -> None:
        """Draw a line to write on."""
        left, right = span
        if style in {"score", "dots"}:
            sign = "_" if style == "score" else "."
            count = int((right - left) / self.width(sign))
            right = left + count * self.width(sign)
            self.canvas.setFont(self.look.plain, self.look.body)
            self.canvas.drawString(left, y, sign * count)
        else:
            self.canvas.saveState()
            if style == "dash":
                self.canvas.setDash(1, 2)
            self.canvas.line(left, y, right, y)
            self.canvas.restoreState()
        self.prints.append((left, y, right, y))
        self.open.append(Open(kind, label, left, right, y, y))

    def answer(
        self, kind: str, label: str, span: tuple[float, float], y: float, more: tuple[int, float]
    ) -> float:
        """Draw lines for one long answer, the first at ``y``; return the lowest."""
        count, pitch = more
        for number in range(count):
            self.rule(span[0], y - number * pitch, span[1])
        low = y - (count - 1) * pitch
        self.open.append(Open(kind, label, span[0], span[1], y, low))
        return low

    def sentence(
        self,
        parts: list[str | Gap],
        spot: tuple[float, float, float],
        pitch: float = 0,
        style: str = "rule",
    ) -> float:
        """Flow words and gaps from ``spot`` (left, baseline, width); return the last baseline."""
        x, y, wide = spot
        run, spaced = Run(), False
        for part in parts:
            atoms: list[tuple[bool, str | Gap]] = [(spaced, part)]
            if isinstance(part, str):
                pieces = re.finditer(r"(\s*)(\S+)", part)
                atoms = [(bool(piece[1]), piece[2]) for piece in pieces]
                spaced = part.endswith(" ")
            else:
                spaced = False
            for space, atom in atoms:
                text = atom if isinstance(atom, str) else self._fill(atom, style)
                lead = " " if space and run.text else ""
                if run.text and self.width(run.text + lead + text) > wide:
                    self._put(run, (x, y), style)
                    run, lead = Run(), ""
                    y -= pitch or self.look.body * 1.9
                start = len(run.text + lead)
                run.text += lead + text
                if isinstance(atom, Gap):
                    run.gaps.append((start, len(run.text), atom))
        self._put(run, (x, y), style)
        return y

    def _fill(self, gap: Gap, style: str) -> str:
        sign = {"score": "_", "dots": "."}.get(gap.style or style, "\u00a0")
        return sign * max(1, round(gap.wide / self.width(sign)))

    def _put(self, run: Run, spot: tuple[float, float], style: str) -> None:
        x, y = spot
        start = 0
        for begin, end, gap in run.gaps:
            left, right = x + self.width(run.text[:begin]), x + self.width(run.text[:end])
            how = gap.style or style
            if how in {"rule", "dash"}:
                self._words(run.text[start:begin], x + self.width(run.text[:start]), y)
                start = end
                self.line(gap.kind, gap.label, (left, right), y - 1.5, how)
            else:
                self.open.append(Open(gap.kind, gap.label, left, right, y - 1, y - 1))
        self._words(run.text[start:], x + self.width(run.text[:start]), y)

    def _words(self, words: str, x: float, y: float) -> None:
        bare = words.lstrip(" ")
        if bare.rstrip(" "):
            self.say(x + self.width(words) - self.width(bare), y, bare.rstrip(" "))
