"""Blanks made of a level line, drawn or typed, one line or several for one answer."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from dataclasses import replace

from compliance.scan.finder_kinds import is_sworn_role, names_seal_only
from compliance.scan.finder_labels import (
    COLUMN_REACH,
    FAR_COLUMN,
    UNDER_REACH,
    find_clear_top,
    find_left,
    find_line_end,
    find_over,
    find_right,
    find_under,
    list_walls,
)
from compliance.scan.finder_lines import LEAST, find_open_lines, join_parts, trim_labels
from compliance.scan.finder_points import (
    ENOUGH,
    LineCase,
    count_points,
    settle_labels,
    starts_note,
    vote_captions,
)
from compliance.scan.finder_rows import find_options, name_by_heading, tie_behind
from compliance.scan.finder_ruled import find_ruled_tables
from compliance.scan.finder_shapes import Cell, PagePrint, Phrase, Rect, Slot, Stroke
from compliance.scan.finder_slots import hand_down, make_slots

CLEAR = 6.5
"""Free paper needed over a line, in points."""
TEXT_SHARE = 0.72
"""The text of a page is taken to be at least this wide, as a share of the page."""
TYPED_LOWER = 3.0
"""Words under typed lines stand on lines of print, so much further down, in points."""
LED = 60.0
"""Dots, or the row of a list, reach a box to be ticked within so many points."""
SEAL_APART = 24.0
_FIGURE = re.compile(r"^\W*\d[\d,.]*\W*$")
_LONG = re.compile(
    r"\b(remarks?|comments?|notes?|describe|description|explain|explanation|details?|reasons?|"
    r"directions|instructions|other information|give|list)\b",
    re.IGNORECASE,
)


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
    walls = list_walls(page)
    cases = settle_labels([_make_case(rule, rules, page, phrases, walls) for rule in rules])
    cases = name_by_heading(tie_behind(vote_captions(cases)), phrases)
    kept = [
        case
        for case in cases
        if case.top - case.rule.bottom >= CLEAR
        and count_points(case) >= ENOUGH
        and not (case.rule.dots and _leads_to_mark(case.rule, taken))
    ]
    short = find_options(kept, [_is_after_mark(case.rule, taken) for case in kept])
    slots = list(tables)
    listed = [case.rule for case in kept if _stands_after_mark(case.rule, taken)]
    for group in _stack_up(kept, page.posts, listed):
        named = any(_asks_several(case) and _follows(group[0], case) for case in kept)
        if not (_is_labelled(group) or named or group[0].rule in listed):
            continue
        slots += make_slots(group, option=group[0].rule in short)
    return tuple(hand_down(slots))


def _follows(case: LineCase, upper: LineCase) -> bool:
    """Tell whether a line stands right under another of its length."""
    rule, other = case.rule, upper.rule
    alike = abs(other.left - rule.left) < 3 and abs(other.right - rule.right) < 3
    return alike and 11 < other.bottom - rule.bottom < 90


def _is_labelled(group: list[LineCase]) -> bool:
    """Tell whether any words belong to the lines, or they are typed, which is never ornament."""
    return any(
        case.left or case.under or case.over or case.right or case.mates or case.rule.typed
        for case in group
    )


def _make_case(
    rule: Stroke,
    rules: Sequence[Stroke],
    page: PagePrint,
    phrases: Sequence[Phrase],
    walls: Sequence[Rect],
) -> LineCase:
    top = find_clear_top(rule, page, phrases)
    hull = Rect(left=rule.left, bottom=rule.bottom, right=rule.right, top=rule.bottom)
    others = [other for other in rules if other is not rule]
    spread = [*phrases, *page.rules]
    content = max(item.right for item in spread) - min(item.left for item in spread)
    content = max(content, TEXT_SHARE * page.width)
    reach = UNDER_REACH + (TYPED_LOWER if rule.typed else 0.0)
    under = tuple(
        phrase for phrase in find_under(hull, phrases, reach) if not _labels_next(phrase, rules)
    )
    return LineCase(
        rule=rule,
        top=top,
        left=_with_comma(_find_label(rule, rules, phrases, walls), page),
        right=find_right(hull, rule.bottom, phrases),
        under=under,
        over=find_over(hull, phrases),
        mates=sum(
            abs(other.bottom - rule.bottom) < 1.5 and other.share_across(rule) < 0
            for other in others
        ),
        stack=_count_stack(rule, others, phrases),
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
        ending=find_line_end(hull, rule.bottom, phrases, others),
        note=starts_note(rule, phrases, page.body_size) and not under,
        leads=rule.dots and _leads_on(hull, rule.bottom, phrases),
    )


def _count_stack(rule: Stroke, others: Sequence[Stroke], phrases: Sequence[Phrase]) -> int:
    """Count the lines of the same length right over or under a line without words between."""
    return sum(
        abs(other.left - rule.left) < 3
        and abs(other.right - rule.right) < 3
        and 11 < abs(other.bottom - rule.bottom) < 42
        and not _words_between(rule, other, phrases)
        for other in others
    )


def _find_label(
    rule: Stroke, rules: Sequence[Stroke], phrases: Sequence[Phrase], walls: Sequence[Rect]
) -> Phrase | None:
    """Give the words left of a line; a bare "(seal)" further off names another place."""
    hull = Rect(left=rule.left, bottom=rule.bottom, right=rule.right, top=rule.bottom)
    others = [other for other in rules if other is not rule]
    found = find_left(hull, rule.bottom, phrases, others, walls, _column_reach(rule, rules))
    far = found is not None and rule.left - found.right > SEAL_APART
    return None if found is not None and far and names_seal_only(found.text) else found


def _column_reach(rule: Stroke, rules: Sequence[Stroke]) -> float:
    """Give how far left of a line its label may stand: far when it is one of a narrow column."""
    column = [
        other
        for other in rules
        if abs(other.left - rule.left) < 3
        and abs(other.right - rule.right) < 3
        and abs(other.bottom - rule.bottom) < 120
    ]
    return FAR_COLUMN if len(column) > 2 and rule.width < 160 else COLUMN_REACH


def _with_comma(phrase: Phrase | None, page: PagePrint) -> Phrase | None:
    """Give words after a comma with that comma, which parts them from the blank before."""
    if phrase is None or len(phrase.text) > 3:
        return phrase
    parted = any(
        word.text == "," and abs(word.base - phrase.base) < 1 and 0 <= phrase.left - word.right < 8
        for word in page.words
    )
    return replace(phrase, text=f", {phrase.text}") if parted else phrase


def _leads_on(hull: Rect, base: float, phrases: Sequence[Phrase]) -> bool:
    """Tell whether dots lead to nothing but a figure, as in a list of prices."""
    found = find_right(hull, base, phrases, 60.0)
    return found is not None and _FIGURE.match(found.text) is not None


def _leads_to_mark(rule: Stroke, marks: Sequence[Rect]) -> bool:
    """Tell whether dots lead the eye to a box to be ticked, as in a list of things to look at."""
    return any(
        0 <= mark.left - rule.right < LED and mark.bottom - 2 < rule.bottom < mark.top + 2
        for mark in marks
    )


def _stands_after_mark(rule: Stroke, marks: Sequence[Rect]) -> bool:
    """Tell whether a line follows a box to be ticked on its height."""
    return any(
        0 <= rule.left - mark.right < LED and mark.bottom - 6 < rule.bottom < mark.top + 2
        for mark in marks
    )


def _is_after_mark(rule: Stroke, marks: Sequence[Rect]) -> bool:
    """Tell whether a box to be ticked stands anywhere before a line on its height."""
    return any(mark.right < rule.left and abs(mark.bottom - rule.bottom) < 5 for mark in marks)


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


def _stack_up(
    cases: list[LineCase], posts: Sequence[Stroke], listed: Sequence[Stroke]
) -> list[list[LineCase]]:
    """Put lines for one long answer together: same end, one under the other, no words between.

    Of two *listed* lines each belongs to the row of its own boxes.
    """
    columns = [_is_alone(case, posts) for case in cases]
    alone = {id(case): is_alone for case, is_alone in zip(cases, columns, strict=True)}
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
                and not _asks_several(group[0])
                and (alone[id(case)] or alone[id(last)] or _asks_at_length(group[0]))
                and last.right is None
                and case.top > last.rule.bottom - 3
                and (len(group) < 2 or abs(group[-2].rule.bottom - last.rule.bottom - step) < 4)
                and case.rule.width > 90
                and not (case.rule in listed and last.rule in listed)
            ):
                group.append(case)
                break
        else:
            groups.append([case])
    return groups


def _is_alone(case: LineCase, posts: Sequence[Stroke]) -> bool:
    """Tell whether a line has no neighbour on its height, or an upright line parts them."""
    rule = case.rule
    return not case.mates or any(
        post.bottom < rule.bottom < post.top
        and post.height > 100
        and min(abs(post.left - rule.left), abs(post.left - rule.right)) < 40
        for post in posts
    )


def _asks_several(case: LineCase) -> bool:
    """Tell whether the words over or before lines are of several people who sign, one a line."""
    label = case.left or case.over
    return label is not None and is_sworn_role(re.sub(r"e?s\W*$", "", label.text))


def _asks_at_length(case: LineCase) -> bool:
    """Tell whether the words over or before a line ask for more than fits on one."""
    label = case.left or case.over
    return label is not None and _LONG.search(label.text) is not None
