"""A facts file: read, checked against the rules table, kept."""

from datetime import date

from sqlmodel import Session

from compliance.app.mail_services import hold_mailings
from compliance.app.own_terms import check_own_terms
from compliance.app.resources import read_user_text
from compliance.base.ids import is_dotted_id
from compliance.base.problems import DataProblemsError, Problem
from compliance.base.reading import suggest
from compliance.base.sources import Mapping, Node, Scalar, Sequence, find_place, parse_yaml
from compliance.facts.compare import Change, compare_operations
from compliance.facts.model import HolderKind, Operation
from compliance.facts.parse import parse_operation
from compliance.rules.model import RulesTable
from compliance.store.repository import load_operation, save_operation


def load_file(
    session: Session, path: str, table: RulesTable, *, namespace: str, today: date | None = None
) -> tuple[Operation, tuple[Change, ...]]:
    """Read a facts file and keep it in place of what was known of that operation.

    *today* is the day from which on it is known, where that counts.

    Shape: the operation and what changed, in the order of the file.

    Raises:
        NotFoundError: There is no such file.
        DataProblemsError: The file has faults; nothing was kept.
    """
    operation = parse_facts(read_user_text(path), path, table)
    old = load_operation(session, operation.id)
    hold_mailings(session, old, operation, table)
    save_operation(session, operation, namespace=namespace, told_on=today)
    return operation, compare_operations(old, operation)


def parse_facts(text: str, file: str, table: RulesTable) -> Operation:
    """Parse a facts text and check the papers it names against the rules table.

    Raises:
        DataProblemsError: The text has faults, all of them listed.
    """
    operation, problems = parse_operation(text, file)
    found = (*problems, *check_papers_known(text, file, table))
    if operation is not None:
        found = (*found, *check_own_terms(operation, text, file, table))
    if operation is None or found:
        raise DataProblemsError(found)
    return operation


def check_papers_known(text: str, file: str, table: RulesTable) -> tuple[Problem, ...]:
    """Check that held papers are of the table and belong to the right kind of holder.

    It reads the text itself, so that it speaks up beside other faults and at the right line.
    Codes F41 (unknown paper), F42 (wrong kind of holder).
    """
    root = parse_yaml(text, file)[0]
    if not isinstance(root, Mapping):
        return ()
    kinds = dict.fromkeys(_values(root, "aircraft", "id"), HolderKind.AIRCRAFT)
    kinds |= dict.fromkeys(_values(root, "pilots", "id"), HolderKind.PILOT)
    papers = {row.id: row for row in table.papers}
    problems = []
    for node in _items(root, "papers"):
        paper, holder = _value(node, "paper"), _value(node, "holder") or "operation"
        place = find_place(node, "paper")
        kind = HolderKind.OPERATION if holder == "operation" else kinds.get(holder)
        row = papers.get(paper)
        if row is None and is_dotted_id(paper):
            hint = suggest(paper, papers) or "mailby rules list names the papers"
            sentence = f"the paper `{paper}` is not in the rules table"
            problems.append(Problem(place=place, code="F41", sentence=sentence, hint=hint))
        elif row is not None and kind is not None and row.holder is not kind:
            sentence = f"`{paper}` belongs to {_say_kind(row.holder)}, not to `{holder}`"
            hint = "set `holder` to the id of the aircraft or pilot; leave it out for the operation"
            problems.append(Problem(place=place, code="F42", sentence=sentence, hint=hint))
    return tuple(problems)


def _items(root: Mapping, key: str) -> tuple[Node, ...]:
    entry = root.entries.get(key)
    return entry[1].items if entry is not None and isinstance(entry[1], Sequence) else ()


def _value(node: Node, key: str) -> str:
    entry = node.entries.get(key) if isinstance(node, Mapping) else None
    return entry[1].text.strip() if entry is not None and isinstance(entry[1], Scalar) else ""


def _values(root: Mapping, key: str, part: str) -> tuple[str, ...]:
    return tuple(filter(None, (_value(node, part) for node in _items(root, key))))


def _say_kind(kind: HolderKind) -> str:
    return {
        HolderKind.AIRCRAFT: "an aircraft",
        HolderKind.PILOT: "a pilot",
        HolderKind.OPERATION: "the operation",
    }[kind]
