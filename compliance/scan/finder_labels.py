"""Which words of a page belong to a blank: left of it, under it, over it or after it."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Iterable, Sequence

from compliance.scan.finder_shapes import PagePrint, Phrase, Rect, Slot, Stroke, Word, join_rects
from compliance.scan.finder_text import SQUARES

LEFT_REACH = 40.0
"""A label stands at most this many points left of its line, or further with a colon."""
COLON_REACH, COLUMN_REACH = 190.0, 190.0
"""Labels in a column of their own are short and may stand far from their lines."""
UNDER_REACH = 11.5
"""The top of small print under a line is at most this far below the line."""
FAR_COLUMN = 420.0
"""So far when more lines stand right under or over the blank, as amounts do at the right edge."""
OVER_REACH = 42.0
_RUNS_ON = re.compile(
    r"(^|[\s,])(of|by|to|at|on|in|from|for|that|the|is|with|and|as|before|between|until|through|"
    r"this|an?|named|numbered)$",
    re.IGNORECASE,
)
_SAYS = re.compile(
    rf"[\w$#%:?*\u2020\u2021{SQUARES}]"
)  # lone dashes, slashes, brackets and bullets say nothing


def make_phrases(page: PagePrint) -> tuple[Phrase, ...]:
    """Give the words joined where only a common space is between them, top line first."""
    rows: list[list[Word]] = []
    for word in sorted(page.words, key=lambda word: (-word.base, word.left)):
        if word.is_run or not _SAYS.search(word.text):
            continue
        for row in rows[-3:]:
            if abs(row[0].base - word.base) < 0.2 * word.size:
                row.append(word)
                break
        else:
            rows.append([word])
    phrases = [
        _make_phrase(part)
        for row in rows
        for part in _cut_row(sorted(row, key=lambda word: word.left), page)
    ]
    return tuple(sorted(phrases, key=lambda phrase: (-phrase.base, phrase.left)))


def _cut_row(row: list[Word], page: PagePrint) -> list[list[Word]]:
    parts: list[list[Word]] = []
    for word in row:
        if word.text in SQUARES:
            parts.append([])
            continue
        last = parts[-1][-1] if parts and parts[-1] else None
        if last is not None and word.left - last.right < 0.95 * word.size:
            gap = Rect(left=last.right - 1, right=word.left + 1, bottom=word.bottom, top=word.top)
            if not _crosses(gap, page):
                parts[-1].append(word)
                continue
        if not parts or parts[-1]:
            parts.append([])
        parts[-1].append(word)
    return [part for part in parts if part]


def _crosses(gap: Rect, page: PagePrint) -> bool:
    """Tell whether an upright line or a typed line lies between two words."""
    return any(
        gap.left < post.left < gap.right and post.share_up(gap) > 0.5 * gap.height
        for post in page.posts
    ) or any(
        rule.typed and gap.left < rule.across < gap.right and abs(rule.bottom - gap.bottom) < 6
        for rule in page.rules
    )


def _make_phrase(words: list[Word]) -> Phrase:
    hull = join_rects(tuple(words))
    return Phrase(
        left=hull.left,
        bottom=hull.bottom,
        right=hull.right,
        top=hull.top,
        text=" ".join(word.text for word in words),
        base=words[0].base,
        size=max(word.size for word in words),
        bold=all(word.bold for word in words),
    )


def find_left(
    place: Rect,
    base: float,
    phrases: Iterable[Phrase],
    others: Sequence[Rect],
    walls: Sequence[Rect] = (),
    column: float = COLUMN_REACH,
) -> Phrase | None:
    """Give the nearest phrase left of a blank on its line, with no other blank between.

    *base* is the height of the blank's line; *others* are the other blanks and lines, *walls* the
    upright lines that no label reaches across, *column* how far left a short label may stand.
    """
    best: Phrase | None = None
    for phrase in phrases:
        gap = place.left - phrase.right
        short = len(phrase.text.split()) < 6
        short = short and _RUNS_ON.fullmatch(phrase.text) is None  # "by" ends a line elsewhere
        reach = max(COLON_REACH, column) if phrase.asks else (column if short else LEFT_REACH)
        level = base - 3.5 <= phrase.base <= base + 8 or (
            place.height > 9 and place.bottom < (phrase.base + phrase.top) / 2 < place.top
        )
        if level and -4 <= gap <= reach and (best is None or phrase.right > best.right):
            best = phrase
    if best is None:
        return None
    between = Rect(left=best.right, right=place.left, bottom=base - 4, top=base + 8)
    blocked = between.width > 2 and any(
        other.share_across(between) > 2 and other.share_up(between) >= 0
        for other in others
        if other is not best
    )
    walled = any(
        between.left < wall.left < between.right - 2
        and wall.share_up(between) > 0.7 * between.height
        for wall in walls
    )
    return None if blocked or walled else best


def list_walls(page: PagePrint) -> tuple[Rect, ...]:
    """Give the upright lines of a page and the sides of its tinted areas."""
    sides = [
        Rect(left=x, right=x, bottom=box.bottom, top=box.top)
        for box in page.boxes
        if box.tone < 0.97 and box.height > 30
        for x in (box.left, box.right)
    ]
    return (*page.posts, *sides)


def find_right(
    place: Rect, base: float, phrases: Iterable[Phrase], reach: float = 14.0
) -> Phrase | None:
    """Give the nearest phrase right of a blank on its line, at most *reach* points away."""
    near = [
        phrase
        for phrase in phrases
        if -3 <= phrase.left - place.right <= reach
        and (
            base - 3.5 <= phrase.base <= base + 8
            or place.bottom - 2 < (phrase.base + phrase.top) / 2 < place.top + 2
        )
    ]
    return min(near, key=lambda phrase: phrase.left, default=None)


def find_under(
    place: Rect, phrases: Iterable[Phrase], reach: float = UNDER_REACH
) -> tuple[Phrase, ...]:
    """Give the phrases printed directly under the bottom of a blank, from left to right."""
    return tuple(
        sorted(
            (
                phrase
                for phrase in phrases
                if -1 <= place.bottom - phrase.top <= reach
                and place.left - 6 <= phrase.across <= place.right + 6
                and phrase.share_across(place) > 0.7 * phrase.width
            ),
            key=lambda phrase: phrase.left,
        )
    )


def find_over(place: Rect, phrases: Iterable[Phrase], reach: float = OVER_REACH) -> Phrase | None:
    """Give the nearest phrase above the bottom of a blank that begins over it."""
    near = [
        phrase
        for phrase in phrases
        if 4 <= phrase.bottom - place.bottom <= max(reach, place.height + 14)
        and phrase.share_across(place) > 0.3 * min(phrase.width, place.width)
        and phrase.left < place.right
    ]
    return min(near, key=lambda phrase: (phrase.bottom, phrase.left), default=None)


def find_line_end(
    place: Rect, base: float, phrases: Sequence[Phrase], rules: Sequence[Rect]
) -> str | None:
    """Give the end of the line of print above, for a blank that begins a line of a sentence.

    None when that line does not run on. When it ends with a blank, the words before that blank.
    """
    above = [
        phrase
        for phrase in phrases
        if base + 9 < phrase.base < base + 36 and phrase.right > place.left - 6
    ]
    if not above:
        return None
    line = min(phrase.base for phrase in above)
    row: list[Rect] = [phrase for phrase in above if phrase.base - line < 3]
    row += [
        rule for rule in rules if line - 6 < rule.bottom < line + 3 and rule.right > place.left - 6
    ]
    row.sort(key=lambda item: item.left)
    if not -40 < row[0].left - place.left < 14:
        return None
    chain = row[:1]
    for item in row[1:]:
        if item.left - chain[-1].right > 24:
            break
        chain.append(item)
    said = [item.text for item in chain if isinstance(item, Phrase)]
    last, text = chain[-1], said[-1].rstrip() if said else ""
    edge = max(phrase.right for phrase in phrases)
    far = last.right > 0.6 * edge and len(" ".join(said).split()) > 3
    if not isinstance(last, Phrase):
        return text if far and len(said) > 1 else None
    runs = _RUNS_ON.search(text) is not None and last.right > place.left + 60
    return text if (far and not text.endswith((".", ":"))) or runs else None


def find_clear_top(
    rule: Rect, page: PagePrint, phrases: Iterable[Phrase], cap: float = 40.0
) -> float:
    """Give how high the ink over a line may go: to the next print above, *cap* at most."""
    tops = [rule.bottom + cap, page.height]
    span = Rect(left=rule.left + 2, right=rule.right - 2, bottom=0, top=0)
    # A label may reach a little into its own line.
    tops += [
        phrase.bottom
        for phrase in phrases
        if phrase.share_across(span) > 4 and phrase.up > rule.bottom + 2
    ]
    tops += [
        other.bottom
        for other in page.rules
        if other.share_across(span) > 0.2 * min(span.width, other.width)
        and other.bottom > rule.bottom + 1.5
    ]
    return min(tops)


def on_line(rule: Stroke, phrases: Iterable[Phrase]) -> tuple[Phrase, ...]:
    """Give the phrases that stand on a line, as underlined words do."""
    return tuple(
        phrase
        for phrase in phrases
        if -1.5 <= phrase.base - rule.bottom <= 6.5 and phrase.share_across(rule) > 3
    )


def clean_label(text: str) -> str:
    """Give a label as a person would say it: without colons, lines and doubled spaces.

    >>> clean_label("(Owner's  signature):")
    "Owner's signature"
    """
    text = re.sub(r"[_\u2026]+|\.{3,}", " ", text)
    text = re.sub(r"\s+", " ", text).strip(" :*.,;-\u2013")
    if text.startswith(("(", "[")) and text.endswith((")", "]")):
        text = text[1:-1].strip()
    words = text.split()
    while words and len(" ".join(words)) > 70:
        words.pop(0)
    return " ".join(words)


def rest_of_line(text: str, words: int = 7) -> str:
    """Give the last words before a blank in a sentence, from the last full stop on."""
    tail = re.split(r"(?<=[a-z)]{3}[.;]) ", text)[-1]
    return " ".join(tail.split()[-words:])


def as_slot(place: Rect, how: str, label: str = "", after: str = "", sort: str = "") -> Slot:
    """Make a place to be filled in out of a rectangle."""
    return Slot(
        left=place.left,
        bottom=place.bottom,
        right=place.right,
        top=place.top,
        how=how,
        label=label,
        after=after,
        sort=sort,
    )
