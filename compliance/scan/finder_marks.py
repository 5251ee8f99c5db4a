"""Check boxes, rows of letter boxes, form fields and places for a stamp."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from itertools import pairwise

from compliance.scan.finder_kinds import asks_for_seal
from compliance.scan.finder_labels import (
    as_slot,
    find_left,
    find_over,
    find_right,
    find_under,
)
from compliance.scan.finder_shapes import Box, Cell, PagePrint, Phrase, Rect, Slot, join_rects
from compliance.scan.finder_text import SQUARES

SMALL, LARGE = 4.5, 20.0
"""A check box measures between these, in points."""
BESIDE = 26.0
"""A label stands at most this many points left of its box."""
STAMP_WIDTH, STAMP_HEIGHT = 120.0, 70.0
_BRACKETS = re.compile(r"^[\[(]\s*[\])]$")


def find_squares(page: PagePrint) -> tuple[Box, ...]:
    """Give the small empty shapes that stand alone, so that they are no cells of a table."""
    small = _unlike(
        [
            box
            for box in page.boxes
            if SMALL <= box.width <= LARGE
            and SMALL <= box.height <= LARGE
            and 0.7 < box.width / box.height < 1.43
            and (box.drawn or _lies_on_tone(box, page))
            and box.tone > 0.8
            and not any(box.holds(word) for word in page.words)
        ]
    )
    return tuple(box for box in small if not _touches_lines(box, page))


def _lies_on_tone(box: Box, page: PagePrint) -> bool:
    """Tell whether a white shape without outline shows, because it lies on a tinted one."""
    return any(
        other.tone < 0.97 and other.holds(box) and other.width > box.width for other in page.boxes
    )


def _unlike(boxes: Sequence[Box]) -> list[Box]:
    """Leave out shapes drawn twice in one place."""
    done: list[Box] = []
    for box in boxes:
        if not any(
            abs(box.left - other.left) < 2 and abs(box.bottom - other.bottom) < 2 for other in done
        ):
            done.append(box)
    return done


def _touches_lines(box: Box, page: PagePrint) -> bool:
    """Tell whether a side of the shape goes on beyond it, as the lines of a table do."""
    level = any(
        (rule.left < box.left - 2 or rule.right > box.right + 2)
        and rule.share_across(box) > 0.7 * box.width
        and min(abs(rule.bottom - box.bottom), abs(rule.bottom - box.top)) < 1.5
        for rule in page.rules
        if not rule.typed
    )
    upright = any(
        (post.bottom < box.bottom - 2 or post.top > box.top + 2)
        and post.share_up(box) > 0.7 * box.height
        and min(abs(post.left - box.left), abs(post.left - box.right)) < 1.5
        for post in page.posts
    )
    return level or upright


def find_marks(
    page: PagePrint, squares: Sequence[Box], cells: Sequence[Cell], phrases: Sequence[Phrase]
) -> tuple[Slot, ...]:
    """Give the check boxes, drawn or typed, and the rows of boxes for one letter each."""
    lone = [
        cell
        for cell in cells
        if SMALL <= cell.width <= LARGE
        and SMALL <= cell.height <= LARGE
        and 0.7 < cell.width / cell.height < 1.43
        and not any(cell.holds(word) for word in page.words)
        and not any(
            other is not cell
            and other.solid
            and other.share_up(cell) > 0.5 * cell.height
            and abs(other.share_across(cell)) < 1
            for other in cells
        )
    ]
    typed = [word for word in page.words if word.text in SQUARES or _BRACKETS.match(word.text)]
    typed_pairs = [
        join_rects((one, two))
        for one, two in pairwise(page.words)
        if one.text in "[("
        and two.text in "])"
        and two.left - one.right < 3.4 * one.size
        and abs(one.base - two.base) < 1
    ]
    places: list[Rect] = [*squares, *lone, *typed, *typed_pairs]
    combs = find_combs([*squares, *_comb_cells(cells, page)], phrases)
    loose = [place for place in places if not any(comb.holds(place) for comb in combs)]
    checks = [
        as_slot(place, "mark", _say_option(place, phrases, places), sort="check") for place in loose
    ]
    wide = _find_bracketed(page, phrases, combs)
    return (
        *checks,
        *wide,
        *(as_slot(comb, "comb", say_around(comb, phrases, places)) for comb in combs),
    )


def _find_bracketed(
    page: PagePrint, phrases: Sequence[Phrase], others: Sequence[Rect]
) -> list[Slot]:
    """Give the wide spaces between brackets, which are written in like a line."""
    slots = []
    for one, two in pairwise(page.words):
        gap = two.left - one.right
        opens = one.text[-1:] in "[(" and two.text[:1] in "])"
        if opens and gap >= 3.4 * one.size and gap > 40 and abs(one.base - two.base) < 1:
            place = Rect(
                left=one.right, right=two.left, bottom=one.base - 2, top=one.base + 1.2 * one.size
            )
            label = find_left(one, one.base, phrases, others)
            slots.append(as_slot(place, "mark", label.text if label else ""))
    return slots


def _comb_cells(cells: Sequence[Cell], page: PagePrint) -> list[Cell]:
    return [
        cell
        for cell in cells
        if cell.solid
        and 7 <= cell.width <= 24
        and 9 <= cell.height <= 30
        and not any(cell.holds(word) for word in page.words)
    ]


def find_combs(boxes: Sequence[Rect], phrases: Sequence[Phrase]) -> tuple[Rect, ...]:
    """Give the rows of three or more equal boxes side by side without words between them."""
    rows: list[list[Rect]] = []
    for box in sorted(boxes, key=lambda box: (round(-box.bottom), box.left)):
        last = rows[-1][-1] if rows else None
        if (
            last is not None
            and abs(last.bottom - box.bottom) < 1.5
            and abs(last.height - box.height) < 1.5
            and abs(last.width - box.width) < 2
            and -2 < box.left - last.right < 11
            and not _words_between(last, box, phrases)
        ):
            rows[-1].append(box)
        else:
            rows.append([box])
    long = [join_rects(tuple(row)) for row in rows if len(row) >= 3]
    # Equal rows right under one another are the columns of a table, not letters of a word.
    return tuple(
        comb
        for comb in long
        if not any(
            other is not comb
            and abs(other.left - comb.left) < 2
            and abs(other.right - comb.right) < 2
            and abs(other.share_up(comb)) < 2
            for other in long
        )
    )


def _words_between(one: Rect, two: Rect, phrases: Sequence[Phrase]) -> bool:
    gap = Rect(left=one.right - 1, right=two.left + 1, bottom=one.bottom, top=one.top)
    return any(
        gap.holds(phrase) and any(sign.isalnum() for sign in phrase.text) for phrase in phrases
    )


def _say_option(place: Rect, phrases: Sequence[Phrase], places: Sequence[Rect]) -> str:
    """Give the words a check box stands before, or else those it stands after."""
    base = place.bottom
    after = find_right(place, base, phrases, reach=24)
    if after is not None:
        return after.text
    before = find_left(place, base, phrases, places)
    over = find_over(place, phrases)
    return before.text if before else (over.text if over else "")


def find_fields(page: PagePrint, phrases: Sequence[Phrase]) -> tuple[Slot, ...]:
    """Give the form fields, each with its own words and the print around it."""
    slots = []
    for field in page.fields:
        if field.sort == "check":
            printed = _say_option(field, phrases, page.fields)
        else:
            printed = say_around(field, phrases, page.fields)
        named = re.sub(r"[_.\[\]\d]+", " ", re.sub(r"(?<=[a-z])(?=[A-Z])", " ", field.name))
        slots.append(as_slot(field, "field", field.tip or printed or named, sort=field.sort))
    return tuple(slots)


def say_around(place: Rect, phrases: Sequence[Phrase], others: Sequence[Rect]) -> str:
    """Give the words that belong to a place with four sides."""
    inside = [phrase for phrase in phrases if place.holds(phrase)]
    if inside:
        return " ".join(phrase.text for phrase in inside)
    # A tinted panel around a place and its words does not part them.
    rest = [other for other in others if other is not place and not _lies_around(other, place)]
    left = find_left(place, place.bottom + 2, phrases, rest)
    if left is not None and len(left.text) < 3:
        before = find_left(left, left.base, phrases, rest)
        return f"{before.text} {left.text}" if before else left.text
    if left is not None and place.left - left.right < BESIDE:
        return left.text
    over = [
        phrase
        for phrase in phrases
        if -2 <= phrase.bottom - place.top <= 14
        and phrase.share_across(place) > 0.5 * min(phrase.width, place.width)
    ]
    if left is not None and not any(phrase.left - place.left < 8 for phrase in over):
        over = []
    under = find_under(place, phrases)
    near = [(phrase.bottom - place.top, phrase.text) for phrase in over]
    near = near or [(place.bottom - phrase.top, phrase.text) for phrase in under]
    return min(near, default=(0.0, left.text if left else ""))[1]


def _lies_around(outer: Rect, place: Rect) -> bool:
    return outer.holds(place) and outer.width > place.width and outer.height > place.height


def find_stamps(
    page: PagePrint, cells: Sequence[Cell], phrases: Sequence[Phrase], taken: Sequence[Rect]
) -> tuple[Slot, ...]:
    """Give the places for a stamp: boxes that say so, else the space around "(seal)"."""
    slots: list[Slot] = []
    frames = [*cells, *(box for box in page.boxes if box.tone > 0.8 and not _is_page(box, page))]
    for phrase in phrases:
        if not _names_stamp(phrase) or any(slot.holds(phrase) for slot in slots):
            continue
        place = _find_frame(phrase, frames, phrases, taken)
        if place is None and len(phrase.text.split()) <= 7 and not _ends_line(phrase, taken):
            place = _make_space(phrase, page, phrases)
        if place is not None:
            slots.append(as_slot(place, "stamp", phrase.text, sort="stamp"))
    return tuple(slots)


def _is_page(box: Box, page: PagePrint) -> bool:
    return box.width > 0.8 * page.width


def _names_stamp(phrase: Phrase) -> bool:
    """Tell whether a phrase only names a stamp; a sentence about one does not."""
    text = phrase.text.strip()
    return (
        asks_for_seal(text)
        and len(text.split()) <= 16
        and not (text.endswith((".", ",")) and len(text.split()) > 2)
        and "signature" not in text.lower()
    )


def _find_frame(
    phrase: Phrase, frames: Sequence[Rect], phrases: Sequence[Phrase], taken: Sequence[Rect]
) -> Rect | None:
    """Give the smallest frame that holds or adjoins the words and little else."""
    fit = [
        frame
        for frame in frames
        if frame.width >= 45
        and frame.height >= 36
        and (
            frame.holds(phrase)
            or (
                phrase.share_across(frame) > 0.8 * phrase.width
                and max(phrase.bottom - frame.top, frame.bottom - phrase.top) < 12
                and not any(frame.holds(other) for other in phrases)
                and frame.width <= 260
            )
        )
        and sum(len(other.text) for other in phrases if frame.holds(other)) < 140
        and not any(frame.holds(slot) for slot in taken)
    ]
    return min(fit, key=lambda frame: frame.width * frame.height, default=None)


def _make_space(phrase: Phrase, page: PagePrint, phrases: Sequence[Phrase]) -> Rect | None:
    """Give the space around words without a frame, if there is free paper around them."""
    width = max(STAMP_WIDTH, phrase.width + 8)
    left = max(0.0, phrase.across - width / 2)
    place = Rect(
        left=left,
        bottom=max(0.0, phrase.up - STAMP_HEIGHT / 2),
        right=min(page.width, left + width),
        top=min(page.height, phrase.up + STAMP_HEIGHT / 2),
    )
    crowd = sum(
        max(0.0, other.share_across(place)) * max(0.0, other.share_up(place))
        for other in phrases
        if other is not phrase
    )
    return place if crowd < 0.3 * place.width * place.height else None


def _ends_line(phrase: Phrase, taken: Sequence[Rect]) -> bool:
    """Tell whether "(seal)" follows a line to sign on, where it takes the place of a seal."""
    return any(
        -2 < phrase.left - place.right < 14 and abs(phrase.base - place.bottom) < 8
        for place in taken
    )
