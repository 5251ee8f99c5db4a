"""The rules table and the templates, checked, with the user's own values in place."""

import re
from collections.abc import Container
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from compliance.app.resources import read_rules_files, read_template_files
from compliance.app.typed import clean_typed
from compliance.base.problems import DataProblemsError, NotFoundError, Problem, RefusedError
from compliance.base.reading import suggest
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.facts.overrides import Override
from compliance.facts.packs import KeptPack
from compliance.facts.states import STATES
from compliance.rules.model import Row, RulesTable
from compliance.rules.parse import parse_table
from compliance.store.packs import load_packs
from compliance.store.reading import Readable
from compliance.store.records import delete_override, load_overrides, save_override

if TYPE_CHECKING:
    from sqlmodel import Session

    from compliance.forms.model import FormTemplate

# Forms, packs, own values and checks are imported where they are used: most runs use none of them.
_STATE_OF_ID = re.compile(r"\b([a-z]{2})\.[a-z]")


def load_shipped_table(states: Container[str] | None = None) -> RulesTable:
    """Load the shipped table as it stands, with *states* without the rows of other states.

    The table is checked as a whole by ``mailby rules check`` and by the tests, not on every start.

    Raises:
        DataProblemsError: The shipped table cannot be read.
    """
    table, problems = _parse_once(tuple(read_rules_files(states).items()))
    if problems:
        raise DataProblemsError(problems)
    return table


@lru_cache(maxsize=4)
def _parse_once(files: tuple[tuple[str, str], ...]) -> tuple[RulesTable, tuple[Problem, ...]]:
    """Parse rules files once a run: a command that plans before and after reads the same text."""
    return parse_table(dict(files))


@lru_cache(maxsize=1)
def _parse_templates_once(
    files: tuple[tuple[str, str], ...],
) -> tuple[tuple["FormTemplate", ...], tuple[Problem, ...]]:
    from compliance.forms.template import parse_templates  # noqa: PLC0415 - as said above

    return parse_templates(dict(files))


def add_packs(table: RulesTable, packs: tuple[KeptPack, ...]) -> RulesTable:
    """Put the user's own packs, which were checked when they were added, into the table.

    Raises:
        DataProblemsError: A pack cannot be read any more.
    """
    if not packs:
        return table
    from compliance.rules.packs import merge_pack  # noqa: PLC0415 - as said above

    beside = read_rules_files(())
    for pack in packs:
        own, problems = parse_table({pack.file: pack.content}, beside)
        if problems:
            raise DataProblemsError(problems)
        table = merge_pack(table, own, pack.name)[0]
    return table


def _load_with_packs(session: Readable, states: set[str] | None = None) -> RulesTable:
    packs = load_packs(session)
    if packs and states is not None:
        # A row of a pack may name a paper of a state that no job is in.
        states = states.union(
            code.upper() for pack in packs for code in _STATE_OF_ID.findall(pack.content)
        )
    return add_packs(load_shipped_table(states), packs)


def load_table(session: Readable) -> RulesTable:
    """Load the shipped table with the user's own packs and values in it.

    Raises:
        DataProblemsError: A value of the user's does not fit the table any more.
    """
    return _with_own_values(_load_with_packs(session), load_overrides(session))


def load_table_for(
    session: Readable, operation: Operation, log: tuple[LogEntry, ...] = ()
) -> RulesTable:
    """Load the rows that can matter to an operation, with the user's own values in them.

    Left out are the rows of states that neither a job, the home nor a paper held or logged names;
    reading all of them each morning would take longer than everything else.

    Raises:
        DataProblemsError: A value of the user's does not fit the table any more.
    """
    papers = (*(held.paper for held in operation.papers), *(entry.paper for entry in log))
    states = {operation.home_state, *(job.state for job in operation.jobs)}
    states.update(map(_state_of, papers))
    table = _load_with_packs(session, states)
    known = {row.id for row in table.rows}
    own = tuple(
        one
        for one in load_overrides(session)
        if one.row in known or _state_of(one.row) not in STATES.keys() - states
    )
    return _with_own_values(table, own)


def _state_of(row: str) -> str:
    """Give the state code a row's id begins with, or the name of another authority."""
    return row.partition(".")[0].upper()


def _with_own_values(table: RulesTable, own: tuple[Override, ...]) -> RulesTable:
    if not own:
        return table
    from compliance.rules.overrides import apply_overrides  # noqa: PLC0415 - as said above

    changed, problems = apply_overrides(table, own)
    if problems:
        raise DataProblemsError(problems)
    return changed


def load_templates() -> dict[str, "FormTemplate"]:
    """Load the shipped form templates by id.

    Raises:
        DataProblemsError: A shipped template cannot be read.
    """
    templates, problems = _parse_templates_once(tuple(read_template_files().items()))
    if problems:
        raise DataProblemsError(problems)
    return {template.id: template for template in templates}


def check_rules() -> tuple[RulesTable, int, tuple[Problem, ...]]:
    """Check the whole shipped table and all templates.

    Shape: the table, the number of templates, every problem sorted by place.
    """
    from compliance.forms.template import parse_templates  # noqa: PLC0415 - as said above
    from compliance.rules.checks import check_table  # noqa: PLC0415

    table, problems = parse_table(read_rules_files())
    templates, faults = parse_templates(read_template_files())
    ids = frozenset(template.id for template in templates)
    found = (*problems, *faults, *check_table(table, ids))
    return table, len(templates), tuple(sorted(found))


def find_rows(table: RulesTable, row_id: str) -> tuple[Row, ...]:
    """Find every edition of a row.

    Raises:
        NotFoundError: No row has that id.
    """
    rows = tuple(row for row in table.rows if row.id == row_id)
    if not rows:
        hint = suggest(row_id, (row.id for row in table.rows)) or "mailby rules list names them all"
        raise NotFoundError(f"no row of the rules table is called {row_id!r}", hint=hint)
    return rows


def set_override(session: "Session", override: Override) -> None:
    """Keep a value of the user's in place of a row's own.

    Raises:
        NotFoundError: There is no such row.
        RefusedError: The row has no such value to replace, or a text cannot be kept.
        DataProblemsError: The value does not fit.
    """
    from compliance.rules.overrides import check_override, find_overridable  # noqa: PLC0415

    override = replace(
        override,
        value=clean_typed(override.value, "value"),
        reason=clean_typed(override.reason, "reason"),
    )
    table = _load_with_packs(session)
    row = find_rows(table, override.row)[0]
    known = find_overridable(row)
    if override.field not in known:
        listed = ", ".join(known) or "nothing"
        raise RefusedError(
            f"{override.row} has no {override.field!r} that can be set",
            hint=suggest(override.field, known) or f"this row knows: {listed}",
        )
    problems = check_override(table, override, load_overrides(session))
    if problems:
        raise DataProblemsError(problems)
    save_override(session, override)


def forget_override(session: "Session", row: str, field: str) -> None:
    """Go back to a row's own value.

    Raises:
        NotFoundError: No value of the user's stands there.
    """
    if not delete_override(session, row, field):
        raise NotFoundError(f"no value of your own is set for {row} {field}")
