"""Checks of the editions of a row: which share a day, which leave days out, which end too soon.

The parts of a paper have its days in force unless they say their own, so that one fault of the
paper's days is one of every part too; it is said once, at the paper.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.base.problems import Problem
from compliance.rules.checks_parts import can_share_days, problem_at, say_place
from compliance.rules.editions import list_holes
from compliance.rules.model import DocumentRow, DutyRow, Row, RulesTable, StepRow

_DAY = timedelta(days=1)
Days = tuple[date | None, date | None]


@dataclass(slots=True)
class _Said:
    """What was said of papers, by the paper's id, so that it is not said of their parts again."""

    shared: dict[str, set[frozenset[Days]]] = field(default_factory=dict)
    holes: dict[str, set[tuple[date, date]]] = field(default_factory=dict)
    swapped: dict[str, set[Days]] = field(default_factory=dict)


def check_ids(table: RulesTable) -> Iterator[Problem]:
    """Editions of a row share no day and leave none out; their days make sense (R31, R32, R95)."""
    kinds: tuple[tuple[str, tuple[Row, ...]], ...] = (
        ("paper", table.papers),
        ("office", table.offices),
        ("mail service", table.services),
        ("step", table.steps),
        ("document", table.documents),
        ("duty", table.duties),
        ("record row", table.records),
        ("gap", table.gaps),
    )
    said = _Said()
    for kind, rows in kinds:
        editions: dict[str, list[Row]] = {}
        for row in rows:
            same = editions.setdefault(row.id, [])
            yield from _check_shared(kind, row, same, said)
            same.append(row)
        for same in editions.values():
            yield from _check_holes(kind, same, said)
        for row in rows:
            yield from _check_swapped(row, said)


def _check_shared(kind: str, row: Row, earlier: list[Row], said: _Said) -> Iterator[Problem]:
    """No two editions are in force on one day (R31)."""
    twice = next((other for other in earlier if can_share_days(row, other)), None)
    if twice is None or not row.id:
        return
    both = frozenset((_days(row), _days(twice)))
    if both in said.shared.get(_paper_of(row), ()):
        return
    if kind == "paper":
        said.shared.setdefault(row.id, set()).add(both)
    sentence = f"the {kind} `{row.id}` stands twice for the same days; "
    sentence += f"first at {say_place(twice.place)}"
    yield problem_at(row.place, "31", sentence, _say_apart(row, twice))


def _say_apart(one: Row, other: Row) -> str:
    """Say how two rows of one id come to have days of their own."""
    first, last = sorted((one, other), key=lambda row: row.applies_from or date.min)
    begins, ends = last.applies_from, first.applies_until
    if begins is None or begins == first.applies_from:
        return "give it another id, or `applies_from` and `applies_until` of its own"
    hint = f"end the earlier one the day before: `applies_until: {begins - _DAY}`"
    if ends is not None and (last.applies_until is None or ends < last.applies_until):
        hint += f"; or begin the later one the day after: `applies_from: {ends + _DAY}`"
    return hint


def _check_holes(kind: str, same: list[Row], said: _Said) -> Iterator[Problem]:
    """No day lies between two editions of a row without one in force (R95)."""
    for first, last in list_holes(same):
        row = next(one for one in same if one.applies_from == last + _DAY)
        if (first, last) in said.holes.get(_paper_of(row), ()):
            continue
        if kind == "paper":
            said.holes.setdefault(row.id, set()).add((first, last))
        span = f"on {say_date(first)}"
        if last > first:
            span = f"from {say_date(first)} to {say_date(last)}"
        sentence = f"no edition of the {kind} `{row.id}` applies {span}, between two others"
        hint = "let one of them apply then; if the rule did not hold, give the later one another id"
        yield problem_at(row.place, "95", sentence, hint)


def _check_swapped(row: Row, said: _Said) -> Iterator[Problem]:
    """An edition does not end before it begins (R32)."""
    start, end = row.applies_from, row.applies_until
    if start is None or end is None or start <= end:
        return
    paper = _paper_of(row)
    if _days(row) in said.swapped.get(paper, ()):
        return
    said.swapped.setdefault(paper or row.id, set()).add(_days(row))
    sentence = f"`{row.id}` applies until {say_date(end)}, "
    sentence += f"before it begins to apply on {say_date(start)}"
    yield problem_at(row.place, "32", sentence, "swap the two days, or correct the year")


def _days(row: Row) -> Days:
    return row.applies_from, row.applies_until


def _paper_of(row: Row) -> str:
    return row.paper if isinstance(row, StepRow | DocumentRow | DutyRow) else ""
