"""The blanks that a line makes, or several lines for one answer, with the words that name them."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from compliance.scan.finder_kinds import (
    asks_for_seal,
    find_kind,
    is_role,
    may_be_firm,
)
from compliance.scan.finder_labels import as_slot, rest_of_line
from compliance.scan.finder_points import LineCase
from compliance.scan.finder_rows import ONLY_COUNTS
from compliance.scan.finder_settle import ROOM_TO_SIGN
from compliance.scan.finder_shapes import Phrase, Rect, Slot


def make_slots(group: Sequence[LineCase], *, option: bool) -> list[Slot]:
    """Make the blanks of a line or of several lines for one answer."""
    first, last = group[0], group[-1]
    place = Rect(
        left=min(case.rule.left for case in group),
        bottom=last.rule.bottom,
        right=max(case.rule.right for case in group),
        top=first.top,
    )
    sort = "date" if first.rule.parts.count("/") > 1 else ""
    after = first.right.text if first.right else ""
    if option and after:
        return [as_slot(place, "rule", after, sort="check")]
    if first.behind:
        return [as_slot(place, "rule", first.behind, sort=sort)]
    if first.heading:
        return [as_slot(place, "rule", first.heading, after, "person")]
    if first.left is not None:
        label, signs = _say_left(first.left.text, last)
        return [as_slot(place, "rule", label, after, "signature" if signs else sort)]
    under = [] if first.year else _list_under(last, after)
    if under:
        return _split_under(place, under, after)
    label, after = _say_else(group, after)
    return [as_slot(place, "rule", label, after, sort)]


def _say_left(text: str, last: LineCase) -> tuple[str, bool]:
    """Give the words before a line, with small print under it, and whether an X asks to sign."""
    label = rest_of_line(text)
    if not last.under:
        return label, False
    first = last.under[0]
    small = first.size < 0.95 * last.body or first.text.startswith("(")
    if ONLY_COUNTS.match(label):
        return first.text, label.lower() == "x"
    kind = find_kind(label)
    vague = kind == "text" or (kind == "printed-name" and find_kind(first.text) != "text")
    return (f"{label} {first.text}" if small and vague else label), False


def _list_under(last: LineCase, after: str) -> list[Phrase]:
    return [
        phrase
        for phrase in last.under
        if not asks_for_seal(phrase.text)
        and (not after or phrase.size < 0.95 * last.body or phrase.text.startswith("("))
    ]


def _say_else(group: Sequence[LineCase], after: str) -> tuple[str, str]:
    """Give the words for a line without any before or under it, and those after it."""
    first = group[0]
    if first.year:
        return ("title of signer" if after.startswith("of") else "year"), after
    if len(group) == 1 and after.startswith("("):
        return after, ""
    if len(group) == 1 and first.ending is not None:
        return rest_of_line(first.ending, 4), after
    if len(group) == 1 and after:
        return "", after
    return (first.over.text if first.over else ""), after


def hand_down(slots: list[Slot]) -> list[Slot]:
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
        who = under[0].text
        signed = is_role(who) and not may_be_firm(who) and place.height >= ROOM_TO_SIGN
        sort = "role" if signed else ""
        return [as_slot(place, "rule", " ".join(phrase.text for phrase in under), after, sort)]
    cuts = [place.left, *(phrase.left - 4 for phrase in under[1:]), place.right]
    return [
        as_slot(Rect(left=low, right=high, bottom=place.bottom, top=place.top), "rule", phrase.text)
        for phrase, (low, high) in zip(under, pairwise(cuts), strict=True)
    ]
