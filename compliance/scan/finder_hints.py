"""Pale words inside a blank that only show what to write there, such as "MM/DD/YYYY" in grey."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

from collections.abc import Sequence
from dataclasses import replace

from compliance.scan.finder_kinds import asks_for_seal
from compliance.scan.finder_shapes import Cell, PagePrint, Rect, Word

LOW, HIGH = 10.0, 60.0
"""A box with a hint in it is this high, in points."""
MOST_PALE = 0.4
"""A page with more pale letters than this share is a pale page, not one with hints."""


def drop_hints(page: PagePrint, cells: Sequence[Cell]) -> PagePrint:
    """Give the page without the pale words that stand where the answer goes."""
    pale = [word for word in page.text if word.pale and not asks_for_seal(word.text)]
    letters = sum(len(word.text) for word in page.text)
    if not pale or sum(len(word.text) for word in pale) > MOST_PALE * letters:
        return page
    dark = [word for word in page.text if not word.pale]
    boxes: list[Rect] = [*cells, *(box for box in page.boxes if box.tone > 0.9)]
    places = [
        box
        for box in boxes
        if LOW <= box.height <= HIGH and not any(box.holds(word) for word in dark)
    ]
    hints = {
        word
        for word in pale
        if any(_stands_in(word, place) for place in places) or _stands_on_rule(word, page, dark)
    }
    return replace(page, words=tuple(word for word in page.words if word not in hints))


def _stands_in(word: Word, place: Rect) -> bool:
    """Tell whether a word stands in the middle of a box by height, as an answer does."""
    return place.holds(word) and abs(word.up - place.up) < max(3.0, 0.2 * place.height)


def _stands_on_rule(word: Word, page: PagePrint, dark: Sequence[Word]) -> bool:
    """Tell whether a word stands on a line that no other words stand on."""
    return any(
        -1.5 <= word.base - rule.bottom <= 6
        and rule.width > 60
        and rule.share_across(word) > 0.9 * word.width
        and not any(
            -2 <= other.base - rule.bottom <= 8 and other.share_across(rule) > 3 for other in dark
        )
        for rule in page.rules
        if not rule.typed
    )
