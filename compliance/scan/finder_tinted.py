"""Blanks that are areas of a tint, or white on one, or outlined with round corners."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from dataclasses import replace

from compliance.scan.finder_labels import as_slot
from compliance.scan.finder_marks import say_around
from compliance.scan.finder_shapes import Box, PagePrint, Phrase, Rect, Slot

LOW = 9.0
"""A space lower than this, in points, is not written in."""
DARK = 0.8
"""Darker spaces are headings."""
COUNTER = re.compile(r"^\(?\w{1,3}[.)]?$")


def find_tinted(page: PagePrint, known: Sequence[Rect], phrases: Sequence[Phrase]) -> list[Slot]:
    """Give the areas that are only tinted, or white on a tint, or outlined with round corners."""
    slots: list[Slot] = []
    for box in page.boxes:
        shown = box.drawn or 0.8 < box.tone < 0.97 or _lies_on_tint(box, page)
        if (
            not shown
            or box.tone <= DARK
            or box.width < 20
            or not LOW <= box.height < 0.4 * page.height
            or any(box.holds(phrase) for phrase in phrases)
            or any(box.holds(place) or place.holds(box) for place in (*known, *slots))
            or any(box.holds(rule) and rule.width > 12 for rule in page.rules)
        ):
            continue
        slots.append(as_slot(box, "cell", say_around(box, phrases, page.boxes)))
    return _name_by_column(slots)


def _name_by_column(slots: Sequence[Slot]) -> list[Slot]:
    """Give areas without words of their own those of the area of their width right over them."""
    done: list[Slot] = []
    for slot in sorted(slots, key=lambda slot: -slot.bottom):
        over = [
            other
            for other in done
            if max(abs(other.left - slot.left), abs(other.right - slot.right)) < 2
            and -2 < other.bottom - slot.top < 0.7 * slot.height
        ]
        bare = not slot.label or COUNTER.match(slot.label)
        done.append(replace(slot, label=over[-1].label) if bare and over else slot)
    return done


def _lies_on_tint(box: Box, page: PagePrint) -> bool:
    return any(
        other.tone < 0.97
        and other.holds(box)
        and other.width > box.width + 2
        and other.height > box.height + 2
        for other in page.boxes
    )
