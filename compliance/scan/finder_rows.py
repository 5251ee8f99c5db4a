"""Lines side by side or under one another, whose words only the whole row or column explains.

The words of a row may stand behind its lines, a row of short lines may be one of options to be
ticked, and a list of lines that are only counted takes its meaning from the heading over it.
"""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from compliance.scan.finder_kinds import find_kind, names_people
from compliance.scan.finder_points import LineCase
from compliance.scan.finder_shapes import Phrase, Stroke

ONLY_COUNTS = re.compile(r"^\(?\w{1,3}[.)]$|^\d{1,2}$|^x$", re.IGNORECASE)
SHORT, TICKED = 34.0, 9.0
"""A line to be ticked is at most this long; its words follow within so many points."""
HEAD_ROOM = 32.0
"""A heading stands at most this many points over the first line of its list."""
ROWS_APART = 60.0
_OPTION = re.compile(r"^(yes|no|n/?a|none|other|true|false|initial|new|renewal)\b", re.IGNORECASE)
_IN_BRACKETS = re.compile(r"^\([^()]{3,}\)[.,;]?$")
_GOES_ON = re.compile(r"^(of|by|to|at|on|in|from|for|that|the|is|with|and|as|per|a|an)\b|[,;]$")
_HEAD_END = re.compile(r"[:;,(]| (and|or|who|whose|which|with) ")


def tie_behind(cases: Sequence[LineCase]) -> list[LineCase]:
    """Give lines the words behind them that name them: ``____ (name)  ____ (signature)``."""
    behind: dict[int, str] = {}
    for row in _chain_rows(cases):
        if len(row) < 2 or row[-1].right is None:
            continue
        words = [case.right for case in row if case.right is not None]
        named = all(_IN_BRACKETS.match(phrase.text) for phrase in words)
        first = row[0].left
        free = first is None or ONLY_COUNTS.match(first.text) is not None
        if named or (free and _keeps_near(row)):
            lead = first.text if first is not None and not free else ""
            said = _say_row(lead, [phrase.text for phrase in words])
            behind.update((id(case), text) for case, text in zip(row, said, strict=True))
    return [replace(case, behind=behind.get(id(case), "")) for case in cases]


def _say_row(lead: str, words: Sequence[str]) -> list[str]:
    """Give the words of each line; those before the row go with all that say little alone.

    >>> _say_row("Name", ("(first)", "(last)")), _say_row("Buyer", ("(name)", "(date)"))
    (['Name (first)', 'Name (last)'], ['Buyer (name)', '(date)'])
    """
    if not lead:
        return list(words)
    tells = find_kind(lead) != "text"
    return [
        f"{lead} {text}" if at == 0 or (tells and find_kind(text) == "text") else text
        for at, text in enumerate(words)
    ]


def _chain_rows(cases: Sequence[LineCase]) -> list[list[LineCase]]:
    """Give the lines of each row, parted where more stands between two than one phrase."""
    chains: list[list[LineCase]] = []
    for case in sorted(cases, key=lambda case: (-case.rule.bottom, case.rule.left)):
        for chain in chains:
            last = chain[-1]
            if (
                abs(last.rule.bottom - case.rule.bottom) < 2
                and last.right is not None
                and case.left is not None
                and last.right.left == case.left.left
                and last.right.base == case.left.base
            ):
                chain.append(case)
                break
        else:
            chains.append([case])
    return chains


def _keeps_near(row: Sequence[LineCase]) -> bool:
    """Tell whether all words between two lines keep to the one before them."""
    return all(
        two.rule.left - one.right.right > 1.8 * max(0.0, one.right.left - one.rule.right) + 2
        for one, two in pairwise(row)
        if one.right is not None
    )


def find_options(kept: Sequence[LineCase], is_after_mark: Sequence[bool]) -> list[Stroke]:
    """Give the short lines to be ticked: the words they choose follow them.

    *is_after_mark* tells for each line whether a box to be ticked stands before it in its row.
    """
    options: list[Stroke] = []
    short = [
        (case, marked)
        for case, marked in zip(kept, is_after_mark, strict=True)
        if case.rule.width <= SHORT
        and case.right is not None
        and case.right.left - case.rule.right <= TICKED
    ]
    for row in _chain_rows([case for case, _ in short]):
        if _is_row_of_options(row):
            options += [case.rule for case in row]
    for case, marked in short:
        after = case.right.text if case.right else ""
        starts = case.left is None or case.left.asks
        joined = marked or any(
            other.rule in options
            and other.rule.right < case.rule.left
            and abs(other.rule.bottom - case.rule.bottom) < 2
            for other in kept
        )
        dated = find_kind("", after) != "text"
        if _OPTION.match(after) or (not dated and (starts or joined) and case.rule.width < 32):
            options.append(case.rule)
    columns = [case.rule for case, _ in short if _is_in_column(case.rule, options)]
    return [*options, *columns]


def _is_row_of_options(row: Sequence[LineCase]) -> bool:
    """Tell whether short lines of one length, each with words behind it, are a choice."""
    wide = [case.rule.width for case in row]
    words = [case.right.text for case in row if case.right is not None]
    return (
        (len(row) > 2 or (len(row) == 2 and _keeps_near(row)))
        and max(wide) - min(wide) < 2
        and not any(_GOES_ON.search(text) or len(text.split()) > 5 for text in words)
        and all(find_kind("", text) in {"text", "check"} for text in words)
    )


def _is_in_column(rule: Stroke, options: Sequence[Stroke]) -> bool:
    """Tell whether two lines to be ticked stand over or under a line, just as long."""
    return (
        sum(
            abs(other.left - rule.left) < 2
            and abs(other.right - rule.right) < 2
            and abs(other.bottom - rule.bottom) < ROWS_APART
            for other in options
            if other is not rule
        )
        > 1
    )


def name_by_heading(cases: Sequence[LineCase], phrases: Sequence[Phrase]) -> list[LineCase]:
    """Give lines that are only counted, "a) ____", the heading over them when it is of persons."""
    done: list[LineCase] = []
    for case in sorted(cases, key=lambda case: -case.rule.bottom):
        if not _is_only_counted(case):
            done.append(case)
            continue
        over = [
            other
            for other in done
            if abs(other.rule.left - case.rule.left) < 3
            and other.rule.bottom - case.rule.bottom < ROWS_APART
            and _is_only_counted(other)
        ]
        heading = over[-1].heading if over else _find_heading(case, phrases)
        done.append(replace(case, heading=heading))
    return done


def _is_only_counted(case: LineCase) -> bool:
    return (
        case.left is not None
        and ONLY_COUNTS.match(case.left.text) is not None
        and not case.under
        and not case.behind
    )


def _find_heading(case: LineCase, phrases: Sequence[Phrase]) -> str:
    """Give the heading of persons over the first line of a list, empty when there is none."""
    count = case.left
    over = [
        phrase
        for phrase in phrases
        if count is not None
        and 4 < phrase.base - count.base < HEAD_ROOM
        and phrase.left < case.rule.left + 12
        and phrase.right > count.left
    ]
    nearest = min(over, key=lambda phrase: phrase.base, default=None)
    text = _HEAD_END.split(nearest.text, maxsplit=1)[0] if nearest is not None else ""
    return text if names_people(text) else ""
