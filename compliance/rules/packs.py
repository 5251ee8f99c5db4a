"""Packs: rules of the user's or an adviser's own, put beside the shipped ones or in their place."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeVar

from compliance.base.problems import Problem
from compliance.base.reading import suggest
from compliance.rules.checks_parts import problem_at
from compliance.rules.model import DocumentRow, DutyRow, PaperRow, Row, RulesTable, StepRow

AnyRow = TypeVar("AnyRow", bound=Row)
Part = DutyRow | DocumentRow | StepRow
_DAY = timedelta(days=1)

OF_ROWS = (
    "offices",
    "services",
    "papers",
    "steps",
    "documents",
    "duties",
    "gaps",
    "records",
)
"""The kinds of rows of a table, by the names of its fields."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A duty or document that goes with the paper a pack replaces.

    ``back_on`` is the first day on which the pack's own one counts, None when it has none.
    """

    row: DutyRow | DocumentRow
    back_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsMoved:
    """Steps, documents and duties of a paper that a pack itself asks for up to, or from, a day.

    ``gone`` are not asked for any more from ``first`` on, ``come`` not before it.
    """

    paper: str
    first: date
    gone: tuple[Part, ...]
    come: tuple[Part, ...]


def merge_pack(
    table: RulesTable, pack: RulesTable, name: str
) -> tuple[RulesTable, tuple[Problem, ...]]:
    """Put the rows of a pack into a table, and take out the rows that they replace.

    A row that replaces has the id of the one it replaces and says why; a paper replaces the paper
    with all its steps, documents and duties, but for the duties and documents that it names under
    ``keeps``; what one edition of it keeps, all keep.
    Shape: the rows of the pack stand last, each with ``pack``; problems R91 to R96, sorted. A row
    with the id of another that does not say ``replaces`` is left beside it, for ``check_table``.
    """
    problems = tuple(sorted(find_pack_faults(table, pack)))
    papers = _list_kept(pack)
    merged = {
        kind: (
            *_keep(getattr(table, kind), getattr(pack, kind), papers),
            *(replace(row, pack=name) for row in getattr(pack, kind)),
        )
        for kind in OF_ROWS
    }
    states = tuple(dict.fromkeys((*table.states, *pack.states)))
    authorities = (*table.authorities, *pack.authorities)
    return replace(table, **merged, states=states, authorities=authorities), problems


def _keep(
    rows: tuple[AnyRow, ...], own: tuple[AnyRow, ...], papers: Mapping[str, tuple[str, ...]]
) -> Iterator[AnyRow]:
    gone = {row.replaces for row in own if row.replaces}
    for row in rows:
        of_paper = row.paper if isinstance(row, StepRow | DocumentRow | DutyRow) else ""
        kept = papers.get(of_paper, ())
        stays = isinstance(row, DutyRow | DocumentRow) and name_part(row) in kept
        if row.id not in gone and (not of_paper or of_paper not in papers or stays):
            yield row


def name_part(row: Part) -> str:
    """Give the name of a step, document or duty without that of its paper."""
    return row.id.removeprefix(f"{row.paper}.")


def find_left_out(table: RulesTable, pack: RulesTable) -> tuple[LeftOut, ...]:
    """Find the duties, then the documents, that go with the papers a pack replaces.

    Shape: those of the table of which the pack keeps none, and has none of the same id from the
    first day of its paper on, or of the table's own.
    """
    keeps = _list_kept(pack)
    gone: dict[str, LeftOut] = {}
    parts: tuple[DutyRow | DocumentRow, ...] = (*table.duties, *table.documents)
    for row in parts:
        if row.paper not in keeps or name_part(row) in keeps[row.paper]:
            continue
        own = [one for one in (*pack.duties, *pack.documents) if one.id == row.id]
        begins = min((_first(one) for one in own), default=None)
        paper = min(_first(one) for one in pack.papers if one.id == row.paper)
        if begins is None or begins > max(paper, _first(row)):
            gone[row.id] = LeftOut(row=row, back_on=begins)
    return tuple(gone.values())


def _first(row: Row) -> date:
    return row.applies_from or date.min


def find_moved(rows: tuple[Row, ...]) -> tuple[PartsMoved, ...]:
    """Find what a later edition of a pack's paper does not ask for any more, or asks for anew.

    Shape: by paper in the order of *rows*, then by day; only while editions of the paper are in
    force on both sides of that day.
    """
    parts = [row for row in rows if isinstance(row, Part) and row.paper]
    papers = [row for row in rows if isinstance(row, PaperRow)]
    found = []
    for name in dict.fromkeys(row.id for row in papers):
        own = [row for row in parts if row.paper == name]
        for first in sorted(_list_changes(own)):
            before = first - _DAY
            if all(
                any(one.id == name and one.in_force_on(day) for one in papers)
                for day in (before, first)
            ):
                gone = _only_on(own, before, first)
                come = _only_on(own, first, before)
                if gone or come:
                    found.append(PartsMoved(paper=name, first=first, gone=gone, come=come))
    return tuple(found)


def _list_changes(rows: list[Part]) -> set[date]:
    """List the first days on which parts are asked for, or are not any more."""
    begins = (row.applies_from for row in rows)
    ends = (row.applies_until for row in rows)
    return {
        *(day for day in begins if day is not None and day > date.min),
        *(day + _DAY for day in ends if day is not None and day < date.max),
    }


def _only_on(rows: list[Part], day: date, other: date) -> tuple[Part, ...]:
    """Give the parts of one day that no edition asks for on another."""
    there = {row.id for row in rows if row.in_force_on(other)}
    return tuple(row for row in rows if row.in_force_on(day) and row.id not in there)


def list_parts_on(table: RulesTable, paper: str, day: date) -> tuple[tuple[Part, ...], ...]:
    """List the steps, the documents and the duties of a paper in force on a day."""
    kinds: tuple[tuple[Part, ...], ...] = (table.steps, table.documents, table.duties)
    return tuple(
        tuple(row for row in rows if row.paper == paper and row.in_force_on(day)) for rows in kinds
    )


def _list_kept(pack: RulesTable) -> dict[str, tuple[str, ...]]:
    """List what each paper of a pack keeps of the one it replaces, by any of its editions."""
    keeps: dict[str, tuple[str, ...]] = {}
    for row in pack.papers:
        if row.replaces:
            keeps[row.id] = (*keeps.get(row.id, ()), *row.keeps)
    return keeps


def find_pack_faults(table: RulesTable, pack: RulesTable) -> Iterator[Problem]:
    """Find rows of a pack that replace nothing there is, only a part, or without saying why."""
    papers = {row.id for row in pack.papers}
    for kind in OF_ROWS:
        known = {row.id: row.pack for row in getattr(table, kind)}
        for row in getattr(pack, kind):
            yield from _check(row, known, papers)
    for paper in pack.papers:
        yield from _check_kept(paper, table)


def _check_kept(paper: PaperRow, table: RulesTable) -> Iterator[Problem]:
    """Only duties and documents of the paper it replaces are kept (R96)."""
    parts: tuple[DutyRow | DocumentRow, ...] = (*table.duties, *table.documents)
    known = list(dict.fromkeys(name_part(row) for row in parts if row.paper == paper.replaces))
    for name in paper.keeps:
        if not paper.replaces:
            sentence = f"paper `{paper.id}` keeps `{name}`, but replaces no paper"
            hint = "add `replaces` and `because`, or write it under `duties` or `documents`"
            yield problem_at(paper.place, "96", sentence, hint)
        elif name not in known:
            sentence = f"paper `{paper.id}` keeps `{name}`, "
            sentence += "which is no duty or document of the paper it replaces"
            hint = suggest(name, known) or f"it has: {', '.join(known) or 'none'}"
            yield problem_at(paper.place, "96", sentence, hint)


def say_in_place(pack: str, *others: str) -> str:
    """Say how a file takes the place of a whole pack, and of *others* that must go first."""
    names = " and ".join(f"`{one}`" for one in (pack, *others))
    named = f"packs {names}" if others else f"pack {names}"
    dropped = "".join(f"`mailby rules drop {one}`, " for one in others)
    return (
        f"if this file is to stand in place of your whole {named}, "
        f"{dropped}{'then ' if dropped else ''}`mailby rules add FILE --as {pack}`"
    )


def _check(row: Row, known: Mapping[str, str], papers: set[str]) -> Iterator[Problem]:
    of_paper = row.paper if isinstance(row, StepRow | DocumentRow | DutyRow) else ""
    if not row.replaces:
        if row.because:
            sentence = f"`{row.id}` says `because`, but replaces nothing"
            hint = "add `replaces` with the id of the row, or write it as `note`"
            yield problem_at(row.place, "93", sentence, hint)
        return
    if of_paper in papers:
        sentence = f"`{row.id}` is a part of the paper `{of_paper}` and cannot be replaced alone"
        hint = "write `replaces` and `because` at the paper, and the paper with all its parts"
        yield problem_at(row.place, "92", sentence, hint)
    elif row.replaces != row.id:
        sentence = f"`{row.id}` replaces `{row.replaces}`, a row with another id"
        yield problem_at(row.place, "92", sentence, "give it the id of the row it replaces")
    elif row.replaces not in known:
        sentence = f"`{row.id}` replaces a row that is not there"
        hint = suggest(row.replaces, known) or "take `replaces` out; `mailby rules list` names rows"
        yield problem_at(row.place, "91", sentence, hint)
    elif known[row.replaces]:
        sentence = f"`{row.id}` replaces a row of your own pack `{known[row.replaces]}`"
        hint = say_in_place(known[row.replaces])
        yield problem_at(row.place, "91", sentence, f"{hint}; if not, change the row in that pack")
    if not row.because.strip():
        sentence = f"`{row.id}` replaces a row of the table without saying why"
        hint = "add `because:` with the reason, and who told you"
        yield problem_at(row.place, "93", sentence, hint)
