"""Scores the finder on many short forms whose type, size, spacing and lines are drawn by lot.

Run: ``python tests/benchmarks/scan_finder/variations.py [SEED [COUNT]]``. Ten ways to draw the same
six blanks, common practice on US forms, each in random type, size, spacing, offset and thickness.
The finder's author wrote these too: they show how steady it is, not how it does on forms of others.
"""

import random
import sys
from collections.abc import Callable
from dataclasses import dataclass

from reportlab.lib.pagesizes import letter
from score import Score, Truth, add_scores, say_score, score_layout
from sheet import Sheet

from compliance.scan.finder import find_blanks

LABELS = (
    ("Name of company", "text"),
    ("Street address", "address"),
    ("Telephone number", "number"),
    ("Title", "title"),
    ("Date", "date"),
    ("Signature of owner", "signature"),
)
PROSE = (
    "I certify that the statements on this form are true and complete to the best of my",
    "knowledge, and that I am allowed to sign for the company that is named above. A false",
    "statement may be punished by a fine.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How one form is drawn; lengths in points."""

    font: str
    size: float
    under: float
    step: float
    gap: float
    thick: float
    colon: str

    @property
    def line_step(self) -> float:
        """Rows far enough apart to write in."""
        return max(self.step, 1.7 * self.size)


def pick_style(dice: random.Random) -> Style:
    """A style by lot."""
    return Style(
        font=dice.choice(["Helvetica", "Times-Roman", "Courier", "Times-Bold"]),
        size=dice.choice([6, 7.5, 8, 9, 10, 11, 12]),
        under=dice.choice([0, 1, 2, 3, 4, 5]),
        step=dice.choice([16, 18, 20, 24, 30, 36]),
        gap=dice.choice([1, 3, 6, 12]),
        thick=dice.choice([0.25, 0.5, 0.75, 1, 1.25]),
        colon=dice.choice(["", ":"]),
    )


def draw_prose(sheet: Sheet, style: Style, y: float) -> float:
    """Three lines of print, which have nothing to fill in."""
    for line in PROSE:
        sheet.say(54, y, line, style.size, style.font)
        y -= 1.25 * style.size
    return y


def draw_left(sheet: Sheet, style: Style, y: float) -> float:
    """A label right before each line."""
    for label, kind in LABELS:
        end = sheet.say(54, y, label + style.colon, style.size, style.font)
        sheet.rule(kind, end + style.gap, 400, y - style.under, 14)
        y -= style.line_step
    return y


def draw_pairs(sheet: Sheet, style: Style, y: float) -> float:
    """Two labelled lines in a row."""
    for index, (label, kind) in enumerate(LABELS):
        x = 54 + 260 * (index % 2)
        end = sheet.say(x, y, label + style.colon, style.size, style.font)
        sheet.rule(kind, end + style.gap, x + 245, y - style.under, 14)
        y -= style.line_step * (index % 2)
    return y


def draw_column(sheet: Sheet, style: Style, y: float) -> float:
    """Labels in one column, lines in another."""
    for label, kind in LABELS:
        sheet.say(54, y, label + style.colon, style.size, style.font)
        sheet.rule(kind, 190, 420, y - style.under, 14)
        y -= style.line_step
    return y


def draw_under(sheet: Sheet, style: Style, y: float) -> float:
    """Small print under each line."""
    size = 0.85 * style.size
    y -= 14
    for index, (label, kind) in enumerate(LABELS):
        x = 54 + 260 * (index % 2)
        text = f"({label})" if style.colon else label
        sheet.rule(kind, x, x + 230, y, 14)
        sheet.say(x, y - 0.8 * size - 0.6 * style.under, text, size, style.font)
        y -= (style.step + style.size) * (index % 2)
    return y


def draw_over(sheet: Sheet, style: Style, y: float) -> float:
    """A label over each line."""
    room = 0.6 * style.step + 6
    for label, kind in LABELS:
        sheet.say(54, y, label + style.colon, style.size, style.font)
        sheet.rule(kind, 54, 350, y - room, room - 3)
        y -= style.step + 16 + style.under
    return y


def draw_boxes(sheet: Sheet, style: Style, y: float) -> float:
    """A label in the upper left corner of each box."""
    high = style.step + style.size
    for index, (label, kind) in enumerate(LABELS):
        box = (54 + 250 * (index % 2), y - high, 250, high)
        sheet.cell(kind, box, label + style.colon, 0.8 * style.size)
        y -= high * (index % 2)
    return y


def draw_beside(sheet: Sheet, style: Style, y: float) -> float:
    """A table with the labels in its first column."""
    for label, kind in LABELS:
        y -= style.step
        sheet.cell("", (54, y, 150, style.step))
        sheet.say(58, y + 0.5 * style.step - 0.35 * style.size, label, style.size, style.font)
        sheet.cell(kind, (204, y, 250, style.step))
    return y


def draw_typed(sheet: Sheet, style: Style, y: float) -> float:
    """Underscores after a label and in a sentence."""
    count = {"text": 30, "date": 12}
    for label, kind in LABELS:
        end = sheet.say(54, y, f"{label}{style.colon} ", style.size, style.font)
        type_run(sheet, style, (kind, end, y), count.get(kind, 20))
        y -= style.line_step
    end = sheet.say(54, y, "Signed this ", style.size, style.font)
    end = type_run(sheet, style, ("date", end, y), 5)
    end = sheet.say(end, y, " day of ", style.size, style.font)
    end = type_run(sheet, style, ("date", end, y), 14)
    end = sheet.say(end, y, ", 20", style.size, style.font)
    type_run(sheet, style, ("date", end, y), 2)
    return y - style.line_step


def type_run(sheet: Sheet, style: Style, what: tuple[str, float, float], count: int) -> float:
    """Type underscores in the style's type; what is the kind and the place."""
    kind, x, y = what
    end = sheet.say(x, y, "_" * count, style.size, style.font)
    sheet.note(kind, x, y - 2, end, y + 12)
    return end


def draw_ticks(sheet: Sheet, style: Style, y: float) -> float:
    """Boxes to tick, drawn and typed."""
    x = sheet.say(54, y, "Kind of owner:", style.size, style.font) + 14
    for option in ("Individual", "Partnership", "Company"):
        sheet.square(x, y - 1, style.size)
        end = sheet.say(x + style.size + style.gap, y, option, style.size, style.font)
        x = end + 16
    y -= style.line_step
    x = sheet.say(54, y, "Is the fee enclosed?", style.size, style.font) + 14
    for option in ("Yes", "No"):
        end = sheet.say(x, y, "[ ]", style.size, style.font)
        sheet.note("check", x, y - 2, end, y + style.size)
        x = sheet.say(end + style.gap, y, option, style.size, style.font) + 16
    return y - style.line_step


def draw_table(sheet: Sheet, style: Style, y: float) -> float:
    """A table with the labels in its first row."""
    heads = (("Make", "text"), ("Serial no.", "number"), ("Weight", "number"), ("Bought", "text"))
    for row in range(4):
        y -= style.step
        for column, (head, kind) in enumerate(heads):
            sheet.cell(kind if row else "", (54 + 120 * column, y, 120, style.step))
            if row == 0:
                up = 0.5 * style.step - 0.35 * style.size
                sheet.say(57 + 120 * column, y + up, head, style.size, style.font)
    return y


WAYS: tuple[Callable[[Sheet, Style, float], float], ...] = (
    draw_left,
    draw_pairs,
    draw_column,
    draw_under,
    draw_over,
    draw_boxes,
    draw_beside,
    draw_typed,
    draw_ticks,
    draw_table,
)


def score_one(way: Callable[[Sheet, Style, float], float], dice: random.Random) -> Score:
    """Draw one form and score it."""
    style = pick_style(dice)
    sheet = Sheet(letter)
    sheet.thick = style.thick
    y = draw_prose(sheet, style, 740) - style.line_step - 10
    draw_prose(sheet, style, way(sheet, style, y) - 20)
    truths = tuple(Truth(**row) for row in sheet.rows)  # type: ignore[arg-type]
    return score_layout(truths, find_blanks(sheet.finish()))


def main(seed: int, count: int) -> None:
    """Print the counts of every way and their sum."""
    dice = random.Random(seed)  # noqa: S311 - no secret
    scores: dict[str, list[Score]] = {}
    for index in range(count):
        way = WAYS[index % len(WAYS)]
        scores.setdefault(way.__name__.removeprefix("draw_"), []).append(score_one(way, dice))
    for name, parts in scores.items():
        print(say_score(name, add_scores(parts)))
    print(
        say_score(f"all {count}", add_scores([part for parts in scores.values() for part in parts]))
    )


if __name__ == "__main__":
    main(*(int(value) for value in (sys.argv[1:] + ["1", "500"][len(sys.argv) - 1 :])))
