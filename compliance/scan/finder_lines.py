"""The level lines of a page that may be blanks: no side of a box, and without their label."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence

from compliance.scan.finder_kinds import find_kind
from compliance.scan.finder_labels import on_line
from compliance.scan.finder_print import WHITE
from compliance.scan.finder_shapes import Cell, PagePrint, Phrase, Rect, Stroke, Word

LEAST = 15.0
"""A line shorter than this many points is no blank."""
LEAST_TYPED = 5.0
_SEPARATORS = re.compile(r"^[\s/\-\u2013.()|]*$")


def find_open_lines(page: PagePrint, cells: Sequence[Cell], taken: Sequence[Rect]) -> list[Stroke]:
    """Give the lines that are no side of a closed space and not part of a blank."""
    rules = []
    for rule in page.rules:
        borders = [
            cell
            for cell in cells
            if min(abs(rule.bottom - cell.bottom), abs(rule.bottom - cell.top)) < 2
            and rule.share_across(cell) > 0.5 * min(rule.width, cell.width)
        ]
        covered = sum(max(0.0, rule.share_across(cell)) for cell in borders) / 2
        sides = any(
            place.left - 2 <= rule.left
            and rule.right <= place.right + 2
            and place.bottom - 3 <= rule.bottom <= place.top + 3
            for place in taken
        )
        on_border = not rule.typed and covered > 0.35 * rule.width
        on_shape = not rule.typed and any(
            min(abs(rule.bottom - box.bottom), abs(rule.bottom - box.top)) < 1.5
            and abs(rule.left - box.left) < 14
            and abs(rule.right - box.right) < 14
            and box.height > 4
            for box in page.boxes
            if box.drawn or box.tone < WHITE
        )
        dots = rule.dots and rule.width < 30
        if rule.width >= (LEAST_TYPED if rule.typed else LEAST) and not (
            on_border or on_shape or sides or dots
        ):
            rules.append(rule)
    return rules


def join_parts(rules: list[Stroke], words: Sequence[Word]) -> list[Stroke]:
    """Join the parts of a date or telephone number, which only signs part: 03 / 04 / 2027."""
    done: list[Stroke] = []
    for rule in sorted(rules, key=lambda rule: (round(-rule.bottom / 3), rule.left)):
        last = done[-1] if done else None
        if last is not None and abs(last.bottom - rule.bottom) < 3:
            gap = rule.left - last.right
            between = [
                word.text
                for word in words
                if -4 < word.base - rule.bottom < 8
                and last.right - 2 < word.across < rule.left + 2
                and not word.is_run
            ]
            if 0 < gap < 16 and between and _SEPARATORS.match("".join(between)):
                done[-1] = Stroke(
                    left=last.left,
                    right=rule.right,
                    bottom=last.bottom,
                    top=last.bottom,
                    thick=last.thick,
                    typed=last.typed,
                    count=last.count + rule.count,
                    parts=last.parts + "".join(between),
                )
                continue
        done.append(rule)
    return [rule for rule in done if not _is_in_word(rule, words)]


def _is_in_word(rule: Stroke, words: Sequence[Word]) -> bool:
    """Tell whether two underscores are letters of a word and no year to be written, as in 20__."""
    return (
        rule.typed
        and rule.count < 3
        and not rule.parts
        and not any(
            word.text.endswith(("20", "$", ":")) and -3 < rule.left - word.right < 6
            for word in words
            if abs(word.base - rule.bottom) < 4
        )
    )


def trim_labels(rules: list[Stroke], phrases: Sequence[Phrase]) -> list[Stroke]:
    """Cut off the part of a line that a label stands on; leave out underlined words."""
    done = []
    for rule in rules:
        words = [
            word
            for word in on_line(rule, phrases)
            if not rule.typed and word.share_across(rule) > min(6, 0.5 * word.width)
        ]
        edges = [
            rule.left,
            *(edge for word in words for edge in (word.left, word.right)),
            rule.right,
        ]
        if not words:
            done.append(rule)
            continue
        spaces = [
            (high - low, low, high) for low, high in zip(edges[::2], edges[1::2], strict=True)
        ]
        width, low, high = max(spaces)
        asks = all(word.asks or word.text in {"20", ".", ","} for word in words)
        # A heading with a line under it keeps further off the line, or is set in capitals.
        known = any(
            find_kind(word.text) != "text"
            and not (word.bold or word.text.isupper() or word.base - rule.bottom > 3.5)
            for word in words
        )
        if width >= 0.35 * rule.width and width > 30 and (asks or known):
            left = low + (3 if low > rule.left else 0)
            done.append(
                Stroke(left=left, right=high, bottom=rule.bottom, top=rule.top, thick=rule.thick)
            )
    return done
