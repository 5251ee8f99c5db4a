"""Blanks in closed spaces: empty cells of tables, and boxes with their label inside."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from itertools import pairwise

from compliance.scan.finder_kinds import find_kind
from compliance.scan.finder_labels import as_slot
from compliance.scan.finder_marks import say_around
from compliance.scan.finder_print import WHITE
from compliance.scan.finder_settle import are_choices
from compliance.scan.finder_shapes import Cell, PagePrint, Phrase, Rect, Slot
from compliance.scan.finder_tinted import COUNTER, DARK, LOW, find_tinted

NARROW = 12.0
"""A space narrower than this, in points, is not written in."""
ROOM_UNDER = 10.5
ROOM_BESIDE = 38.0
COUNTERS = 60.0
"""A column of counters is narrower than this, in points."""
TALL_LABEL = 14
"""Over much free room a label has at most this many words."""
GREY = 0.9
"""Where other free spaces are white, a light grey is "not here", as a dark one always is."""
_UNIT = re.compile(
    r"^[\s$%/().\-\u2013]*(lbs?|pounds|acres|hours|ft|feet|gal|%|/)?[\s$%/().\-\u2013]*$"
)
_SUM = re.compile(r"(sub|grand )?total\b|amount due\b", re.IGNORECASE)
_IMPRINT = re.compile(r"(form|rev(ised)?|page|omb|approved|instructions|note)\b", re.IGNORECASE)
_FIGURE = re.compile(r"(?<!^)\d|^\d+$|\$\d")
_NUMBERED = re.compile(r"^\(?(\d{1,2}(\.\d{1,2})*[a-z]?|[a-z])[.)]?\s+(?=[A-Z])")
"""The counter before a label, as in "7.1 Maker" or "4a. Street"."""
_COUNTED = re.compile(r"^\(?\d{1,3}[.)]?$")


class CellTable:
    """The closed spaces of one page with the words in each, and their neighbours."""

    def __init__(self, page: PagePrint, cells: Sequence[Cell], phrases: Sequence[Phrase]) -> None:
        self.page = page
        self.cells = [cell for cell in cells if cell.height >= 6 and cell.width >= 6]
        self.words = {
            cell: [phrase for phrase in phrases if cell.holds(phrase)] for cell in self.cells
        }
        self.phrases = phrases
        self.has_white = any(
            not self.words[cell]
            and cell.height >= LOW
            and not any(box.tone < WHITE and box.holds(cell) for box in page.boxes)
            for cell in self.cells
        )

    def is_empty(self, cell: Cell) -> bool:
        """Tell whether a space is free, white and large enough to write in."""
        return (
            not self.words[cell]
            and not any(cell.holds(word) for word in self.page.text)
            and cell.solid
            and cell.height >= LOW
            and cell.width >= NARROW
            and not self.is_dark(cell)
        )

    def is_dark(self, cell: Cell) -> bool:
        """Tell whether a space is filled with grey or black."""
        tones = [
            box.tone
            for box in self.page.boxes
            if box.holds(cell) and box.share_across(cell) > 0.8 * cell.width
        ]
        return min(tones, default=1.0) < (GREY if self.has_white else DARK)

    def find_beside(self, cell: Cell, *, left: bool) -> Cell | None:
        """Give the neighbour on one side."""
        near = [
            other
            for other in self.cells
            if abs((other.right - cell.left) if left else (other.left - cell.right)) < 3
            and other.share_up(cell) > 0.6 * min(other.height, cell.height)
        ]
        return max(near, key=lambda other: other.share_up(cell), default=None)

    def find_stacked(self, cell: Cell, *, over: bool) -> Cell | None:
        """Give the neighbour above or below."""
        near = [
            other
            for other in self.cells
            if abs((other.bottom - cell.top) if over else (other.top - cell.bottom)) < 3
            and other.share_across(cell) > 0.6 * min(other.width, cell.width)
        ]
        return max(near, key=lambda other: other.share_across(cell), default=None)

    def is_heading(self, cell: Cell) -> bool:
        """Tell whether a space with words is the heading of an empty one right of it or below."""
        right = self.find_beside(cell, left=False)
        below = self.find_stacked(cell, over=False)
        return (right is not None and self.is_empty(right)) or (
            below is not None and self.is_empty(below) and below.width < 1.15 * cell.width
        )

    def say_label(self, cell: Cell) -> str:
        """Give the words of the row and of the column of an empty space."""
        row = self._walk(cell, left=True)
        column = self._walk(cell, left=False)
        if not row and not column:
            return say_around(cell, self.phrases, self.cells)
        if not row or COUNTER.match(row):
            return column or row
        if not column:
            return row
        return f"{column}, {row}" if find_kind(column) != "text" else f"{row}, {column}"

    def is_choice(self, cell: Cell) -> bool:
        """Tell whether an empty space is one of several answers of its row, one to be ticked."""
        row = [cell]
        for left in (True, False):
            here: Cell | None = cell
            while here is not None and len(row) < 12:
                here = self.find_beside(here, left=left)
                if here is None or not self.is_empty(here) or here in row:
                    break
                if not 0.6 < here.width / cell.width < 1.7:
                    break
                row.append(here)
        heads = [self._walk(place, left=False) for place in row]
        mine = heads[0]
        return bool(self._walk(cell, left=True) and mine) and are_choices(
            [head for head in heads if head and find_kind(head) in {"text", "check"}]
            if find_kind(mine) in {"text", "check"}
            else []
        )

    def _walk(self, cell: Cell, *, left: bool) -> str:
        """Go from an empty space over empty ones to the first with words."""
        here: Cell | None = cell
        for _ in range(60):
            if here is None:
                break
            here = self.find_beside(here, left=True) if left else self.find_stacked(here, over=True)
            if here is None or (not left and here.width > 1.3 * cell.width):
                break
            if self.words[here]:
                return " ".join(phrase.text for phrase in self.words[here])
        return ""


def find_cell_slots(
    page: PagePrint, cells: Sequence[Cell], phrases: Sequence[Phrase], taken: Sequence[Rect]
) -> tuple[Slot, ...]:
    """Give the blanks in closed spaces; *taken* are the blanks already found."""
    table = CellTable(page, cells, phrases)
    slots: list[Slot] = []
    for cell in table.cells:
        if any(cell.holds(place) or _covers(place, cell) for place in taken):
            continue
        if _has_lines(cell, page) or cell.width * cell.height > 0.5 * page.width * page.height:
            continue
        if table.is_empty(cell):
            if not (_is_corner(cell, table) or _is_filler(cell, table)):
                sort = "check" if table.is_choice(cell) else ""
                slots.append(as_slot(cell, "cell", table.say_label(cell), sort=sort))
        elif cell.solid and table.words[cell] and not table.is_dark(cell):
            slots += _find_rest(cell, table)
    slots += find_tinted(page, [*slots, *taken, *table.cells], phrases)
    return tuple(slots)


def _covers(place: Rect, cell: Rect) -> bool:
    return place.holds(cell)


def _has_lines(cell: Cell, page: PagePrint) -> bool:
    """Tell whether lines to write on are drawn inside, so that those are the blanks."""
    return any(
        cell.bottom + 3 < rule.bottom < cell.top - 3
        and rule.left > cell.left - 1
        and rule.right < cell.right + 1
        and rule.width > 12
        for rule in page.rules
    )


def _is_corner(cell: Cell, table: CellTable) -> bool:
    """Tell whether an empty space is the upper left corner of a table with headings."""
    right = table.find_beside(cell, left=False)
    below = table.find_stacked(cell, over=False)
    if right is None or below is None or table.find_beside(cell, left=True) is not None:
        return False
    return bool(
        table.words[right]
        and table.words[below]
        and table.is_heading(right)
        and table.is_heading(below)
    )


def _is_filler(cell: Cell, table: CellTable) -> bool:
    """Tell whether an empty space only fills the row up to the word "Total"."""
    right = table.find_beside(cell, left=False)
    words = table.words[right] if right else []
    return bool(words) and _SUM.match(words[0].text) is not None


def _find_rest(cell: Cell, table: CellTable) -> list[Slot]:
    """Give the free part of a space that has its label inside."""
    words = table.words[cell]
    text = " ".join(phrase.text for phrase in words)
    if _UNIT.match(text):
        return [as_slot(cell, "cell", f"{table.say_label(cell)} {text}")]
    if table.is_heading(cell) or _heads_counters(cell, table):
        return []
    low = min(phrase.bottom for phrase in words)
    high = max(phrase.top for phrase in words)
    under, over = low - cell.bottom, cell.top - high
    asks = any(phrase.asks for phrase in words)
    known = find_kind(text) != "text" or "name" in text.lower()
    known = known or _is_numbered(words, table) or _is_set_alike(cell, table)
    count = len(text.split())
    titled = all(phrase.bold for phrase in words) and not asks and not known
    long = count > 24 and not asks and under < 24
    big = max(phrase.size for phrase in words) > 1.3 * table.page.body_size
    if long or titled or big or _IMPRINT.match(text):
        return []
    if over >= 14 and under < 6 and known and count < 8:
        place = Rect(left=cell.left, right=cell.right, bottom=high, top=cell.top)
        return [as_slot(place, "cell", text)]
    room = max(7.0, min(ROOM_UNDER, 1.3 * max(phrase.size for phrase in words)))
    roomy = under >= room and under > 1.6 * over and over < 12
    # A box several lines high under one line of words is there to be filled in.
    tall = under > 3 * room and high - low < room and not text.endswith(".")
    if roomy and (asks or known or count <= (TALL_LABEL if tall else 7)):
        return _make_under(cell, words, low)
    alone = not (table.find_beside(cell, left=True) or table.find_beside(cell, left=False))
    known = known and _is_row_of_labels(cell, table)
    return _find_beside(cell, words, known=known, alone=alone)


def _heads_counters(cell: Cell, table: CellTable) -> bool:
    """Tell whether a space with words is the heading of a column of printed counters."""
    below = table.find_stacked(cell, over=False)
    words = table.words[below] if below is not None else []
    return cell.width < COUNTERS and len(words) == 1 and _COUNTED.match(words[0].text) is not None


def _is_numbered(words: Sequence[Phrase], table: CellTable) -> bool:
    """Tell whether a space holds a short label with a counter, as at least two others do."""
    if len(words) != 1 or words[0].bold or not _NUMBERED.match(words[0].text):
        return False
    if len(words[0].text.split()) > 6 or words[0].text.endswith("."):
        return False
    numbered = [
        said for said in table.words.values() if said and _NUMBERED.match(said[0].text) is not None
    ]
    return len(numbered) > 2


def _is_set_alike(cell: Cell, table: CellTable) -> bool:
    """Tell whether a short label stands in its space just as two known labels do in theirs."""

    def place(other: Cell) -> tuple[float, float, float]:
        said = table.words[other][0]
        return other.height, said.left - other.left, said.base - other.bottom

    words = table.words[cell]
    if len(words) != 1 or words[0].bold or len(words[0].text.split()) > 5:
        return False
    if words[0].text.endswith("."):
        return False
    alike = [
        other
        for other, said in table.words.items()
        if other is not cell
        and len(said) == 1
        and find_kind(said[0].text) not in {"text", "check"}
        and said[0].size == words[0].size
        and not table.is_heading(other)
        and max(abs(a - b) for a, b in zip(place(other), place(cell), strict=True)) < 2
    ]
    return len(alike) > 1


def _is_row_of_labels(cell: Cell, table: CellTable) -> bool:
    """Tell whether no space of the row holds a figure, as the rows of a price list do."""
    row = [
        other
        for other in table.cells
        if abs(other.top - cell.top) < 2 and abs(other.bottom - cell.bottom) < 2
    ]
    return not any(
        _FIGURE.search(_NUMBERED.sub("", phrase.text))
        for other in row
        for phrase in table.words[other]
    )


def _make_under(cell: Cell, words: Sequence[Phrase], low: float) -> list[Slot]:
    """Give the space under the label, or one for each label when several stand side by side."""
    row = [phrase for phrase in words if phrase.bottom < low + 4]
    apart = all(two.left - one.right > 40 for one, two in pairwise(row))
    kinds = {find_kind(phrase.text) for phrase in row}
    text = " ".join(phrase.text for phrase in words)
    if len(row) == 1 or not apart or len(kinds) < len(row):
        place = Rect(left=cell.left, right=cell.right, bottom=cell.bottom, top=low)
        return [as_slot(place, "cell", text)]
    cuts = [cell.left, *(phrase.left - 3 for phrase in row[1:]), cell.right]
    return [
        as_slot(Rect(left=one, right=two, bottom=cell.bottom, top=low), "cell", phrase.text)
        for phrase, (one, two) in zip(row, pairwise(cuts), strict=True)
    ]


def _find_beside(cell: Cell, words: Sequence[Phrase], *, known: bool, alone: bool) -> list[Slot]:
    """Give the space right of each label in a space one line high."""
    slots = []
    last = max(words, key=lambda phrase: phrase.right)
    level = min(phrase.base for phrase in words)
    row = sorted(
        (phrase for phrase in words if phrase.base < level + 3), key=lambda phrase: phrase.left
    )
    for index, phrase in enumerate(row):
        end = row[index + 1].left if index + 1 < len(row) else cell.right
        room = end - phrase.right
        starts = phrase.left - cell.left < 14
        named = known and phrase is last and starts and len(row) == 1 and not phrase.bold
        counted = alone and COUNTER.match(phrase.text) and cell.width > 100 and len(row) == 1
        if room >= ROOM_BESIDE and (phrase.asks or counted or (named and room > 0.4 * cell.width)):
            place = Rect(
                left=phrase.right + 2,
                right=end - 2 * (end < cell.right),
                bottom=cell.bottom,
                top=min(cell.top, cell.bottom + 40),
            )
            slots.append(as_slot(place, "cell", phrase.text))
    return slots
