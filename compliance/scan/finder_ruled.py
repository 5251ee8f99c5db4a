"""Tables without upright lines: column headings, and level lines of one length below them."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

from collections.abc import Sequence
from itertools import pairwise

from compliance.scan.finder_kinds import find_kind
from compliance.scan.finder_labels import as_slot
from compliance.scan.finder_shapes import Phrase, Rect, Slot, Stroke

ROW_LOW, ROW_HIGH = 12.0, 42.0
"""Rows are this high, in points."""
HEAD_ROOM = 11.0
"""A heading nearer to the first line than this, in points, leaves no row over the line."""
COLUMNS_APART = 18.0
CENTRED = 15.0
"""A first heading further inside than this, in points, stands in the middle of its column."""


def find_ruled_tables(rules: Sequence[Stroke], phrases: Sequence[Phrase]) -> tuple[Slot, ...]:
    """Give a blank for every row and column of tables that are ruled across only."""
    slots: list[Slot] = []
    for group in _gather_rules(rules):
        heads = _find_between(group[0], group[1], phrases) if len(group) > 2 else []
        if len(heads) < 2:
            heads = _find_heads(group[0], phrases) or heads
        if len(heads) < 2:
            heads = _find_heads_over_print(group, phrases)
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


def _find_heads_over_print(group: Sequence[Stroke], phrases: Sequence[Phrase]) -> list[Phrase]:
    """Give the headings one row over the first line, when that row and the next begin with print.

    Words at the beginning of one row alone are as likely a label over its line.
    """
    first = group[0]
    step = first.bottom - group[1].bottom
    top = Stroke(
        left=first.left,
        right=first.right,
        bottom=first.bottom + step,
        top=first.bottom + step,
        thick=first.thick,
    )
    rows = [_list_between(upper, lower, phrases) for upper, lower in pairwise([top, *group])]
    begun = [row for row in rows if len(row) == 1 and row[0].left - first.left < CENTRED]
    if len(rows) < 3 or not rows[0] or len(begun) < len(rows) or _are_asked(begun):
        return []
    level = max(row[0].top for row in begun)
    heads = _find_heads(top, [phrase for phrase in phrases if phrase.bottom > level])
    beyond = max(row[0].right for row in begun)
    return heads if len(heads) > 1 and heads[-1].left > beyond else []


def _are_asked(rows: Sequence[Sequence[Phrase]]) -> bool:
    """Tell whether printed words that begin rows ask to be answered beside them."""
    return any(phrase.asks for row in rows for phrase in row)


def _find_between(upper: Stroke, lower: Stroke, phrases: Sequence[Phrase]) -> list[Phrase]:
    return _as_heads(_list_between(upper, lower, phrases))


def _list_between(upper: Stroke, lower: Stroke, phrases: Sequence[Phrase]) -> list[Phrase]:
    return [
        phrase
        for phrase in phrases
        if lower.bottom < phrase.up < upper.bottom
        and upper.left - 4 < phrase.across < upper.right + 4
    ]


def _as_heads(row: list[Phrase]) -> list[Phrase]:
    row = sorted(row, key=lambda phrase: phrase.left)
    apart = all(two.left - one.right > COLUMNS_APART for one, two in pairwise(row))
    short = all(len(phrase.text.split()) < 6 and not phrase.asks for phrase in row)
    return row if apart and short else []


def _make_rows(group: list[Stroke], heads: list[Phrase], phrases: Sequence[Phrase]) -> list[Slot]:
    first = group[0]
    edges = _find_edges(first, heads)
    low = min(head.bottom for head in heads)
    levels = [rule.bottom for rule in group if rule.bottom < low]
    closed = group[0].bottom > low
    step = levels[0] - levels[1] if len(levels) > 1 else ROW_HIGH
    if not closed and low - levels[0] >= max(HEAD_ROOM, 0.7 * step):
        levels.insert(0, low)
    rows = [
        Rect(left=first.left, right=first.right, bottom=bottom, top=top)
        for top, bottom in pairwise(levels)
    ]
    print_of = [[phrase for phrase in phrases if row.holds(phrase)] for row in rows]
    if any(phrase.right > edges[1] for printed in print_of for phrase in printed):
        return []  # a list that is printed already
    if any(print_of) and not (all(print_of) and len(rows) > 2):
        return []  # small print under lines, or labels over some of them
    slots = []
    for row, printed in zip(rows, print_of, strict=True):
        said = " ".join(phrase.text for phrase in printed)
        slots += [
            as_slot(
                Rect(left=left, right=right, bottom=row.bottom, top=row.top),
                "rule",
                _say_both(head.text, said),
            )
            for head, (left, right) in zip(heads, pairwise(edges), strict=True)
            if not (printed and left < edges[1])
        ]
    return slots


def _find_edges(rule: Stroke, heads: Sequence[Phrase]) -> list[float]:
    """Give where the columns begin and end: at their headings, or around centred ones."""
    if heads[0].left - rule.left > CENTRED:
        edges = [rule.left]
        for head in heads:
            edges.append(2 * head.across - edges[-1])
        parted = all(
            one.right < edge < two.left
            for (one, two), edge in zip(pairwise(heads), edges[1:], strict=False)
        )
        if parted and abs(edges[-1] - rule.right) < 8:
            return [*edges[:-1], rule.right]
    return [rule.left, *(head.left - 4 for head in heads[1:]), rule.right]


def _say_both(column: str, row: str) -> str:
    """Give the words of the column and of the row, first those that tell what to write."""
    if not row:
        return column
    return f"{column}, {row}" if find_kind(column) != "text" else f"{row}, {column}"
