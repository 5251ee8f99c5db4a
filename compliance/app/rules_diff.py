"""What a change of rules would change, before it is taken."""

from collections.abc import Container, Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.duties import add_duties
from compliance.app.operations import load_with_log
from compliance.app.planning import Planned
from compliance.app.resources import read_rules_files, read_user_text
from compliance.app.tables import load_templates
from compliance.base.problems import DataProblemsError, NotFoundError, Problem
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.record_page import RecordPage, look_at
from compliance.engine.records import RecordRules
from compliance.engine.rules_diff import (
    DateChange,
    RowChange,
    compare_kept,
    compare_plans,
    compare_tables,
)
from compliance.facts.events import find_flights
from compliance.facts.model import Operation
from compliance.facts.packs import KeptPack
from compliance.facts.records import Application
from compliance.rules.checks import check_table
from compliance.rules.model import RulesTable
from compliance.rules.overrides import apply_overrides
from compliance.rules.packs import merge_pack
from compliance.rules.parse import parse_table
from compliance.store.applications import load_records
from compliance.store.events import load_events
from compliance.store.packs import load_packs
from compliance.store.records import load_overrides

_WHOLE_TABLE = "common.yaml"
_UNUSED_FORM = "R43"
_TWICE = "R31"
_SIDES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class RulesDiff:
    """Rows and days that differ; ``operation`` is empty when there is none to plan for."""

    rows: tuple[RowChange, ...]
    dates: tuple[DateChange, ...]
    operation: str


def compare_rules(
    session: Session, old: str | None, new: str, wanted: str | None, as_of: date
) -> RulesDiff:
    """Compare two files or folders of rules; *old* None is the shipped table.

    A file with the name of a shipped one takes its place, any other is taken as a pack; a folder
    that holds ``common.yaml`` is a whole table. Two files that are no shipped ones are two states
    of one pack, whatever they are called. Own values, and packs of other names, count on both
    sides. Nothing is kept.

    Raises:
        NotFoundError: There is no such file or folder, no YAML file in it, or no such operation.
        DataProblemsError: A side cannot be read or is not sound.
    """
    kept = load_packs(session)
    states = [_name_pack(path) for path in (old, new) if path is not None and _is_pack(path)]
    if len(states) == _SIDES:
        kept = tuple(pack for pack in kept if not _is_state(pack, states))
    before = _read_side(session, old, kept)
    after = _read_side(session, new, kept)
    rows = compare_tables(before, after)
    try:
        operation, log = load_with_log(session, wanted)
    except NotFoundError:
        if wanted is not None:
            raise
        return RulesDiff(rows=rows, dates=(), operation="")

    def plan_with(table: RulesTable) -> Plan:
        planned = Planned(plan=compute_plan(operation, table, log, as_of), table=table, log=log)
        return add_duties(session, planned).plan

    dates = (
        *compare_plans(plan_with(before), plan_with(after)),
        *compare_kept(*(_look_at_records(session, operation, one) for one in (before, after))),
    )
    return RulesDiff(rows=rows, dates=dates, operation=operation.legal_name)


def _look_at_records(
    session: Session, operation: Operation, table: RulesTable
) -> tuple[RecordPage, ...]:
    """Ask a table about every record of an operation, by number."""
    flights = find_flights(load_events(session, operation.id))
    rules = RecordRules(table=table, operation=operation, flights=flights)
    grouped: dict[int, list[Application]] = {}
    for one in sorted(load_records(session, operation.id), key=lambda one: one.version):
        grouped.setdefault(one.number, []).append(one)
    return tuple(look_at(rules, tuple(grouped[number])) for number in sorted(grouped))


def _is_pack(path: str) -> bool:
    """Tell whether a path names one file that is taken as a pack."""
    return not Path(path).is_dir() and Path(path).name not in read_rules_files()


def _name_pack(path: str) -> str:
    return Path(path).stem.lower()


def _is_state(pack: KeptPack, names: Iterable[str]) -> bool:
    """Tell whether a kept pack has one of some names, or came from a file of such a name."""
    return pack.name in names or _name_pack(pack.file) in names


def _read_side(session: Session, path: str | None, kept: tuple[KeptPack, ...]) -> RulesTable:
    files = read_rules_files()
    shipped = set(files)
    given = _read_given(path) if path is not None else {}
    packs: dict[str, str] = {}
    if _WHOLE_TABLE in {Path(name).name for name in given}:
        files, given = given, {}
    for name, text in given.items():
        if Path(name).name in shipped:
            del files[Path(name).name]
            files[name] = text
        else:
            packs[name] = text
    table, problems = parse_table(files)
    stems = {_name_pack(name) for name in packs}
    layers = {pack.file: (pack.name, pack.content) for pack in kept if not _is_state(pack, stems)}
    names = {name for name, _ in layers.values()}
    layers.update({name: (_name_pack(name), text) for name, text in packs.items()})
    for file, (name, text) in layers.items():
        own, faults = parse_table({file: text}, files)
        table, wrong = merge_pack(table, own, name)
        problems = (*problems, *faults, *wrong)
    _refuse(problems)
    found = check_table(table, frozenset(load_templates()))
    _refuse(
        tuple(
            _name_state(table, names, problem) for problem in found if problem.code != _UNUSED_FORM
        )
    )
    # A value of the user's own that fits one side alone is left out on the other.
    return apply_overrides(table, load_overrides(session))[0]


def _name_state(table: RulesTable, kept: Container[str], problem: Problem) -> Problem:
    """Say how a file becomes the newer state of a kept pack that has the same row."""
    if problem.code != _TWICE:
        return problem
    place = (problem.place.file, problem.place.line)
    ids = {row.id for row in table.rows if (row.place.file, row.place.line) == place}
    packs = (row.pack for row in table.rows if row.id in ids and row.pack in kept)
    pack = next(packs, "")
    if not pack:
        return problem
    hint = f"if this is a newer state of your pack {pack}, give its file the name {pack}.yaml"
    return replace(problem, hint=f"{hint}; else {problem.hint}")


def _refuse(problems: tuple[Problem, ...]) -> None:
    if problems:
        raise DataProblemsError(problems)


def _read_given(path: str) -> dict[str, str]:
    folder = Path(path)
    if not folder.is_dir():
        return {path: read_user_text(path)}
    names = sorted(one for one in folder.iterdir() if one.name.endswith(".yaml"))
    if not names:
        raise NotFoundError(f"{path} holds no YAML file", hint="name a file or folder of rules")
    return {str(one): read_user_text(str(one)) for one in names}
