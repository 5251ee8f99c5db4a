"""Blanks made of a level line, drawn or typed, one line or several for one answer."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from compliance.scan.finder_kinds import asks_for_seal, find_kind, is_role
from compliance.scan.finder_labels import (
    as_slot,
    find_clear_top,
    find_left,
    find_line_end,
    find_over,
    find_right,
    find_under,
    rest_of_line,
)
from compliance.scan.finder_lines import LEAST, find_open_lines, join_parts, trim_labels
from compliance.scan.finder_points import ENOUGH, LineCase, count_points, settle_labels
from compliance.scan.finder_ruled import find_ruled_tables
from compliance.scan.finder_shapes import Cell, PagePrint, Phrase, Rect, Slot, Stroke

CLEAR = 6.5
"""Free paper needed over a line, in points."""
TEXT_SHARE = 0.72
"""The text of a page is taken to be at least this wide, as a share of the page."""
_OPTION = re.compile(r"^(yes|no|n/?a|none|other|true|false|initial|new|renewal)\b", re.IGNORECASE)


def find_rule_slots(
    page: PagePrint, phrases: Sequence[Phrase], cells: Sequence[Cell], taken: Sequence[Rect]
) -> tuple[Slot, ...]:
    """Give the blanks made of a line, drawn or typed; *taken* are blanks found already."""
    rules = join_parts(find_open_lines(page, cells, taken), page.words)
    tables = find_ruled_tables(rules, phrases)
    rules = [
        rule
        for rule in rules
        if not any(
            slot.share_across(rule) > 0 and slot.bottom - 2 < rule.bottom < slot.top + 2
            for slot in tables
        )
    ]
    rules = trim_labels(rules, phrases)
    cases = settle_labels([_make_case(rule, rules, page, phrases) for rule in rules])
    kept = [
        case
        for case in cases
        if case.top - case.rule.bottom >= CLEAR and count_points(case) >= ENOUGH
    ]
    short = _find_options([case for case in kept if case.rule.width <= 34], kept, taken)
    slots = list(tables)
    for group in _stack_up(kept):
        if not _is_labelled(group):
            continue
        slots += _make_slots(group, phrases, option=group[0].rule in short)
    return tuple(_hand_down(slots))


def _is_labelled(group: list[LineCase]) -> bool:
    """Tell whether any words belong to the lines, or they are typed, which is never ornament."""
    return any(
        case.left or case.under or case.over or case.right or case.mates or case.rule.typed
        for case in group
    )


def _make_case(
    rule: Stroke, rules: Sequence[Stroke], page: PagePrint, phrases: Sequence[Phrase]
) -> LineCase:
    top = find_clear_top(rule, page, phrases)
    hull = Rect(left=rule.left, bottom=rule.bottom, right=rule.right, top=rule.bottom)
    others = [other for other in rules if other is not rule]
    spread = [*phrases, *page.rules]
    content = max(item.right for item in spread) - min(item.left for item in spread)
    content = max(content, TEXT_SHARE * page.width)
    stack = [
        other
        for other in others
        if abs(other.left - rule.left) < 3
        and abs(other.right - rule.right) < 3
        and 11 < abs(other.bottom - rule.bottom) < 42
        and not _words_between(rule, other, phrases)
    ]
    under = tuple(phrase for phrase in find_under(hull, phrases) if not _labels_next(phrase, rules))
    return LineCase(
        rule=rule,
        top=top,
        left=find_left(hull, rule.bottom, phrases, others),
        right=find_right(hull, rule.bottom, phrases),
        under=under,
        over=find_over(hull, phrases),
        mates=sum(
            abs(other.bottom - rule.bottom) < 1.5 and other.share_across(rule) < 0
            for other in others
        ),
        stack=len(stack),
        wide=rule.width / content,
        twin=any(
            other is not rule
            and abs(other.bottom - rule.bottom) < 4.5
            and other.share_across(rule) > 0.8 * rule.width
            for other in page.rules
        ),
        body=page.body_size,
        foot=all(phrase.base >= min(item.base for item in under) - 1 for phrase in phrases)
        if under
        else False,
        year=_goes_on(rule, others, page),
    )


def _goes_on(rule: Stroke, others: Sequence[Stroke], page: PagePrint) -> bool:
    """Tell whether only a comma parts a line from the one before, as a day from its year."""
    before = [
        other
        for other in others
        if abs(other.bottom - rule.bottom) < 2 and 0 < rule.left - other.right < 16
    ]
    return any(
        word.text == ","
        for other in before
        for word in page.words
        if other.right - 2 < word.across < rule.left + 2 and -4 < word.base - rule.bottom < 8
    )


def _words_between(one: Stroke, two: Stroke, phrases: Sequence[Phrase]) -> bool:
    low, high = sorted((one.bottom, two.bottom))
    return any(
        low - 2 < phrase.up < high + 2 and phrase.share_across(one) > 0 for phrase in phrases
    )


def _labels_next(phrase: Phrase, rules: Sequence[Stroke]) -> bool:
    """Tell whether print under one line is the label left of another line."""
    return any(
        -3.5 <= phrase.base - other.bottom <= 8 and -4 <= other.left - phrase.right <= LEAST
        for other in rules
    )


def _find_options(
    short: list[LineCase], kept: list[LineCase], taken: Sequence[Rect]
) -> list[Stroke]:
    """Give the short lines to be ticked: the words they choose follow them."""
    options: list[Stroke] = []
    for case in short:
        if case.right is None or case.right.left - case.rule.right > 9:
            continue
        row = [
            other
            for other in kept
            if other is not case and abs(other.rule.bottom - case.rule.bottom) < 2
        ]
        starts = case.left is None or case.left.asks
        joined = any(
            other.rule in options and other.rule.right < case.rule.left for other in row
        ) or any(
            mark.right < case.rule.left and abs(mark.bottom - case.rule.bottom) < 5
            for mark in taken
        )
        dated = find_kind("", case.right.text) != "text"
        if _OPTION.match(case.right.text) or (
            not dated and (starts or joined) and case.rule.width < 32
        ):
            options.append(case.rule)
    return options


def _stack_up(cases: list[LineCase]) -> list[list[LineCase]]:
    """Put lines for one long answer together: same end, one under the other, no words between."""
    groups: list[list[LineCase]] = []
    for case in sorted(cases, key=lambda case: (-case.rule.bottom, case.rule.left)):
        for group in groups:
            last = group[-1]
            step = last.rule.bottom - case.rule.bottom
            if (
                11 < step < 32
                and abs(last.rule.right - case.rule.right) < 4
                and case.rule.left <= last.rule.left + 3
                and case.left is None
                and not last.under
                and not (last.left is not None and case.under)
                and not (case.mates and last.mates)
                and case.top > last.rule.bottom - 3
                and (len(group) < 2 or abs(group[-2].rule.bottom - last.rule.bottom - step) < 4)
                and case.rule.width > 90
            ):
                group.append(case)
                break
        else:
            groups.append([case])
    return groups


def _make_slots(group: list[LineCase], phrases: Sequence[Phrase], *, option: bool) -> list[Slot]:
    """Make the blanks of a line or of several lines for one answer."""
    first, last = group[0], group[-1]
    place = Rect(
        left=min(case.rule.left for case in group),
        bottom=last.rule.bottom,
        right=max(case.rule.right for case in group),
        top=first.top,
    )
    sort = "date" if first.rule.parts.count("/") > 1 else ""
    if option and first.right is not None:
        return [as_slot(place, "rule", first.right.text, sort="check")]
    after = first.right.text if first.right else ""
    if first.year and first.left is None:
        return [as_slot(place, "rule", "year", after, sort)]
    if first.left is not None:
        label = rest_of_line(first.left.text)
        small = last.under and (
            last.under[0].size < 0.95 * first.body
            or last.under[0].text.startswith("(")
            or len(label) < 3
        )
        under = last.under[0].text if small else ""
        vague = find_kind(label) == "text" and under
        return [as_slot(place, "rule", f"{label} {under}" if vague else label, after, sort)]
    under_row = [
        phrase
        for phrase in last.under
        if not asks_for_seal(phrase.text)
        and (not after or phrase.size < 0.95 * first.body or phrase.text.startswith("("))
    ]
    if under_row:
        return _split_under(place, under_row, after)
    if after and len(group) == 1:
        ending = rest_of_line(find_line_end(place, first.rule.bottom, phrases), 3)
        if after.startswith("("):
            ending, after = after, ""
        return [as_slot(place, "rule", ending, after, sort)]
    over = first.over.text if first.over else ""
    return [as_slot(place, "rule", over, after, sort)]


def _hand_down(slots: list[Slot]) -> list[Slot]:
    """Give blanks without words the label of the blank over them, as in columns of lines."""
    done: list[Slot] = []
    for slot in sorted(slots, key=lambda slot: -slot.bottom):
        above = [
            other
            for other in done
            if abs(other.left - slot.left) < 4
            and abs(other.right - slot.right) < 4
            and 0 < other.bottom - slot.bottom < 45
        ]
        if not slot.label and not slot.after and above:
            done.append(replace(slot, label=above[-1].label, sort=above[-1].sort))
        else:
            done.append(slot)
    return done


def _split_under(place: Rect, under: list[Phrase], after: str) -> list[Slot]:
    """Cut a line at the small print under it when that names different things."""
    kinds = [find_kind(phrase.text) for phrase in under]
    apart = all(two.left - one.right > 30 for one, two in pairwise(under))
    if len(under) == 1 or len(set(kinds)) < len(kinds) or not apart or place.width < 240:
        sort = "signature" if is_role(under[0].text) else ""
        return [as_slot(place, "rule", " ".join(phrase.text for phrase in under), after, sort)]
    cuts = [place.left, *(phrase.left - 4 for phrase in under[1:]), place.right]
    return [
        as_slot(Rect(left=low, right=high, bottom=place.bottom, top=place.top), "rule", phrase.text)
        for phrase, (low, high) in zip(under, pairwise(cuts), strict=True)
    ]
