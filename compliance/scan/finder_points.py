"""How much speaks for a line being there to be written on, and how much against it.

Every line gets points for what speaks for a blank (a label left of it, small print under it, a
neighbour of its kind) and against one (thick, as wide as the page, a heading over it). The points
are our own, set by trying on forms; there is no source.
"""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from compliance.scan.finder_kinds import find_kind, find_notary_kind, is_role
from compliance.scan.finder_shapes import Phrase, Rect, Stroke

ENOUGH = 2.0
UNLIKE = 5.0
"""Words this much higher or lower over a line than others over theirs, in points, are not its."""
NEXT = 4.5
"""Words nearer than this under a line, in points, belong to it."""
ROOM = 12.0
"""Under words over a line this much is left free to write in, in points."""
COLUMN = 110.0
"""Lines further apart than this, in points, say nothing about each other's words."""
CLOSE = 5.5
"""Small print keeps nearer to its line than this, in points."""


_LED_TO, _DOTTED_TO = re.compile(r"\$ ?\d"), re.compile(r"\W*\d")
_IMPRINT = re.compile(r"(form|rev\.?|revised|page|omb|edition)\b", re.IGNORECASE)
_CUT = re.compile(r"\b(cut|fold|tear|detach|perforat\w+)\b", re.IGNORECASE)
_FOOTNOTE = re.compile(r"^(\d{1,2}|\*+|[a-z])[ .)]")


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCase:
    """One line with everything it is judged by.

    ``behind`` are the words right of it when those name it, ``heading`` those over its list.
    """

    rule: Stroke
    top: float
    left: Phrase | None
    right: Phrase | None
    under: tuple[Phrase, ...]
    over: Phrase | None
    mates: int
    stack: int
    wide: float
    twin: bool
    body: float
    foot: bool
    year: bool
    ending: str | None
    leads: bool
    note: bool
    styled: bool = False
    behind: str = ""
    heading: str = ""


def settle_labels(cases: list[LineCase]) -> list[LineCase]:
    """Decide for lines under one another whether the words between name the upper or the lower one.

    Words that are near enough to both belong to the lower line when in its column more lines have
    words over them than under them, or as many and the words keep off the upper line.
    """
    done = []
    for case in cases:
        column = [
            other
            for other in cases
            if abs(other.rule.left - case.rule.left) < 3
            and abs(other.rule.bottom - case.rule.bottom) < COLUMN
        ]
        starts = [other for other in column if _starts_with(other)]
        usual = median([_drop(other) for other in starts] or [0.0])
        shared = [
            other.over
            for other in starts
            if other.over in case.under
            and abs(_drop(other) - usual) < UNLIKE
            and not _hangs_close(case, other)
        ]
        over = len(starts)
        under = [other for other in column if other.under]
        apart = median([other.rule.bottom - other.under[0].top for other in under] or [0.0])
        if shared and (over > len(under) or (over == len(under) and apart > CLOSE)):
            case = replace(case, under=())  # noqa: PLW2901 - the same case, seen better
        done.append(case)
    return done


def _hangs_close(upper: LineCase, lower: LineCase) -> bool:
    """Tell whether small print keeps to the line over it and far off the one under it."""
    first = upper.under[0]
    gap = upper.rule.bottom - first.top
    return (
        gap < CLOSE
        and first.size < 0.93 * upper.body
        and first.bottom - lower.rule.bottom > 3 * max(gap, 4.0)
    )


def vote_captions(cases: list[LineCase]) -> list[LineCase]:
    """Mark the lines whose small print is set like that of lines that are blanks beyond doubt."""
    sure = [
        case
        for case in cases
        if case.under and case.left is None and count_points(case) >= ENOUGH + 1
    ]
    return [
        replace(case, styled=True)
        if (case.under and _is_caption(case) and any(_is_alike(case, other) for other in sure))
        or _is_one_of_many(case, cases)
        else case
        for case in cases
    ]


def _is_one_of_many(case: LineCase, cases: list[LineCase]) -> bool:
    """Tell whether a line has short words over its beginning just as other lines have."""
    if not _has_head(case):
        return False
    gaps = [_drop(other) for other in cases if other is not case and _has_head(other)]
    return sum(abs(gap - _drop(case)) < 1.6 for gap in gaps) > 1


def _has_head(case: LineCase) -> bool:
    """Tell whether nothing but words over its beginning belongs to a line, with room between."""
    return (
        case.left is None
        and not case.under
        and case.over is not None
        and _starts_with(case)
        and _drop(case) >= ROOM
        and not _ends_sentence(case.over.text)
    )


def _drop(case: LineCase) -> float:
    """Give how far the words over a line stand above it, in points."""
    return case.over.base - case.rule.bottom if case.over else 0.0


def _is_caption(case: LineCase) -> bool:
    """Tell whether short words stand under the beginning or the middle of a line."""
    first = case.under[0]
    starts = -4 < first.left - case.rule.left < 10
    centred = abs(first.across - case.rule.across) < 12
    return (starts or centred) and len(first.text.split()) < 9 and not _ends_sentence(first.text)


def _ends_sentence(text: str) -> bool:
    """Tell whether words end with a full stop that is not of an abbreviation, as in "No."."""
    return text.endswith(".") and len(text.split()) > 4


def _is_alike(one: LineCase, two: LineCase) -> bool:
    drop = (one.rule.bottom - one.under[0].top) - (two.rule.bottom - two.under[0].top)
    return one is not two and abs(drop) < 1.6 and abs(one.under[0].size - two.under[0].size) < 0.7


def _starts_with(case: LineCase) -> bool:
    """Tell whether short words stand over the beginning of a line."""
    over = case.over
    return (
        over is not None
        and abs(over.left - case.rule.left) < 6
        and over.bottom - case.rule.bottom < 32
        and len(over.text.split()) < 9
    )


def count_points(case: LineCase) -> float:
    """Add up what speaks for a blank and against it."""
    rule = case.rule
    points = 2.5 if rule.typed else 0.0
    if case.left is not None:
        points += 4.0 if case.left.asks else 3.0
    elif case.year or (case.ending is not None and case.right is not None):
        points += 3.0
    elif case.right is not None:
        points += 2.0
    under = _points_under(case)
    points += under if case.left is None else max(0.0, under)
    points += _points_over(case)
    points += 1.0 * bool(case.mates) + 2.5 * bool(case.stack)
    if rule.thick >= 1.4 and not rule.typed:
        points -= 2.0
    points -= _points_wide(case)
    if case.right is not None and (_DOTTED_TO if rule.dots else _LED_TO).match(case.right.text):
        return -9.0  # dots or a line that lead to a price or a page number
    if case.leads or case.note or _is_cut(case):
        return -9.0
    if case.styled and not (case.foot and not case.mates):
        points += 2.5
    if case.twin:
        points -= 3.0
    return points


def _is_cut(case: LineCase) -> bool:
    """Tell whether the words at a line say that the paper is cut or folded there."""
    near = (case.over, case.right, case.left, *case.under)
    return case.wide > 0.6 and any(
        phrase is not None and len(phrase.text.split()) < 9 and _CUT.search(phrase.text)
        for phrase in near
    )


def starts_note(rule: Rect, phrases: Sequence[Phrase], body: float) -> bool:
    """Tell whether a line parts the text from notes in small print under its beginning."""
    return any(
        abs(phrase.left - rule.left) < 4
        and -1 < rule.bottom - phrase.top < 14
        and phrase.size < 0.95 * body
        and len(phrase.text.split()) > 4
        and _FOOTNOTE.match(phrase.text) is not None
        for phrase in phrases
    )


def _points_wide(case: LineCase) -> float:
    """A line as wide as the text divides it, unless something names it or it is one of several."""
    if case.wide <= 0.88 or case.left is not None or (case.styled and not case.foot):
        return 0.0
    if case.stack or (case.over is not None and case.over.asks):
        return 0.5
    if not case.under or case.under[0].bold:
        return 3.0
    text = case.under[0].text
    brief = len(text.split()) < 5 and re.search(r"[\d:]", text) is None
    if case.under[0].size >= 0.93 * case.body:
        close = case.rule.bottom - case.under[0].top < CLOSE
        return 0.5 if close and brief and _is_known(text) else 3.0
    if case.foot:
        return 0.5 if brief and _is_known(text) else 3.0
    return 0.5 if _is_known(text) or (brief and not _IMPRINT.match(text)) else 3.0


def _is_known(text: str) -> bool:
    """Tell whether words are those of a label."""
    return not _IMPRINT.match(text) and (
        find_kind(text) != "text"
        or find_notary_kind(text) != "text"
        or "name" in text.lower()
        or is_role(text)
    )


def _points_under(case: LineCase) -> float:
    """Small print under a line speaks for a blank, a paragraph or a heading does not."""
    if not case.under:
        return 0.0
    first = case.under[0]
    points = 0.5
    if first.size < 0.93 * case.body:
        points += 2.0 if len(first.text.split()) < 4 else 1.5
    if first.text.startswith("("):
        points += 1.5
    text = first.text
    if _is_known(text):
        points += 2.0
    elif (
        _is_caption(case)
        and case.rule.bottom - first.top < NEXT
        and not (first.bold or (case.foot and not case.mates) or case.wide > 0.88)
        and len(text.split()) < 6
    ):
        points += 1.5
    if len(case.under) > 1:
        points += 0.5
    if len(text.split()) > 9 or first.size > 1.15 * case.body:
        points -= 3.0
    if len(text.split()) > 4 and (_FOOTNOTE.match(text) or (case.foot and text.endswith("."))):
        points -= 4.0
    if first.bold and case.wide > 0.8 and not case.styled:
        points -= 2.0
    return points


def _points_over(case: LineCase) -> float:
    """A label or question over a line speaks for a blank, a heading close to it does not."""
    over = case.over
    if over is None:
        return 0.0 if case.left or case.under or case.stack else -1.0
    gap = over.bottom - case.rule.bottom
    if gap < 9 and case.left is None and not case.rule.typed:
        return -1.5
    if case.left is not None or case.under:
        return 0.0
    starts = abs(over.left - case.rule.left) < 6
    if over.asks:
        return 3.0
    plain = not over.bold or case.wide < 0.6
    known = _is_known(over.text)
    if not starts and over.left > case.rule.left - 3 and over.right < case.rule.right + 3:
        return 2.0 if known and plain and len(over.text.split()) < 6 else 0.0
    return 2.0 if starts and len(over.text.split()) < 9 and (known or plain) else 0.0
