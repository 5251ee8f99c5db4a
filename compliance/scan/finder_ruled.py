"""Tables without upright lines: column headings, and level lines of one length below them."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

from collections.abc import Sequence
from itertools import pairwise

from compliance.scan.finder_labels import as_slot
from compliance.scan.finder_shapes import Phrase, Rect, Slot, Stroke

ROW_LOW, ROW_HIGH = 12.0, 42.0
"""Rows are this high, in points."""
HEAD_ROOM = 11.0
"""A heading nearer to the first line than this, in points, leaves no row over the line."""
COLUMNS_APART = 18.0


def find_ruled_tables(rules: Sequence[Stroke], phrases: Sequence[Phrase]) -> tuple[Slot, ...]:
    """Give a blank for every row and column of tables that are ruled across only."""
    slots: list[Slot] = []
    for group in _gather_rules(rules):
        heads = _find_between(group[0], group[1], phrases) if len(group) > 2 else []
        if len(heads) < 2:
            heads = _find_heads(group[0], phrases) or heads
        if len(heads) > 1:
            slots += _make_rows(group, heads, phrases)
    return tuple(slots)


def _gather_rules(rules: Sequence[Stroke]) -> list[list[Stroke]]:
    """Give the groups of two or more level lines of one length, one under the other."""
    groups: list[list[Stroke]] = []
    for rule in sorted(rules, key=lambda rule: -rule.bottom):
        for group in groups:
            last = group[-1]
            if (
                abs(last.left - rule.left) < 3
                and abs(last.right - rule.right) < 3
                and ROW_LOW < last.bottom - rule.bottom < ROW_HIGH
            ):
                group.append(rule)
                break
        else:
            groups.append([rule])
    return [group for group in groups if len(group) > 1 and group[0].width > 150]


def _find_heads(rule: Stroke, phrases: Sequence[Phrase]) -> list[Phrase]:
    """Give the headings right over a line, or nothing when the words are no headings."""
    near = [
        phrase
        for phrase in phrases
        if 1 < phrase.bottom - rule.bottom < ROW_HIGH - 10
        and rule.left - 4 < phrase.across < rule.right + 4
    ]
    if not near:
        return []
    low = min(phrase.base for phrase in near)
    return _as_heads([phrase for phrase in near if phrase.base < low + 3])


def _find_between(upper: Stroke, lower: Stroke, phrases: Sequence[Phrase]) -> list[Phrase]:
    return _as_heads(
        [
            phrase
            for phrase in phrases
            if lower.bottom < phrase.up < upper.bottom
            and upper.left - 4 < phrase.across < upper.right + 4
        ]
    )


def _as_heads(row: list[Phrase]) -> list[Phrase]:
    row = sorted(row, key=lambda phrase: phrase.left)
    apart = all(two.left - one.right > COLUMNS_APART for one, two in pairwise(row))
    short = all(len(phrase.text.split()) < 6 and not phrase.asks for phrase in row)
    return row if apart and short else []


def _make_rows(group: list[Stroke], heads: list[Phrase], phrases: Sequence[Phrase]) -> list[Slot]:
    first = group[0]
    edges = [first.left, *(head.left - 4 for head in heads[1:]), first.right]
    low = min(head.bottom for head in heads)
    levels = [rule.bottom for rule in group if rule.bottom < low]
    closed = group[0].bottom > low
    step = levels[0] - levels[1] if len(levels) > 1 else ROW_HIGH
    if not closed and low - levels[0] >= max(HEAD_ROOM, 0.7 * step):
        levels.insert(0, low)
    slots = []
    for top, bottom in pairwise(levels):
        row = Rect(left=first.left, right=first.right, bottom=bottom, top=top)
        if any(row.holds(phrase) for phrase in phrases):
            return []  # a list that is printed already
        slots += [
            as_slot(Rect(left=left, right=right, bottom=bottom, top=top), "rule", head.text)
            for head, (left, right) in zip(heads, pairwise(edges), strict=True)
        ]
    return slots
