"""Own terms of held papers: held against the rules table, and listed beside its rows."""

from compliance.base.problems import Problem
from compliance.base.reading import suggest
from compliance.base.sources import find_place, parse_yaml
from compliance.engine.duty_terms import apply_term
from compliance.facts.model import HeldPaper, Operation
from compliance.outputs.paper_words import say_when
from compliance.outputs.rules_text import HeldTerm
from compliance.rules.checks_duties import find_misfits
from compliance.rules.model import RulesTable
from compliance.store.reading import Readable
from compliance.store.repository import load_operation, load_operation_ids


def check_own_terms(
    operation: Operation, text: str, file: str, table: RulesTable
) -> tuple[Problem, ...]:
    """Check that own terms name duties of the table and count as those can (F63, F64)."""
    root = parse_yaml(text, file)[0]
    if root is None:
        return ()
    duties = {row.id: row for row in table.duties}
    found = []
    for at, held in enumerate(operation.papers):
        for number, term in enumerate(held.own_terms):
            place = find_place(root, "papers", at, "own_terms", number, "duty")
            row = duties.get(term.duty)
            if row is None:
                sentence = f"the duty `{term.duty}` is not in the rules table"
                hint = suggest(term.duty, duties) or "mailby rules list DUTY names them"
                found.append(Problem(place=place, code="F63", sentence=sentence, hint=hint))
                continue
            for misfit, _ in find_misfits(apply_term(row, term)):
                sentence = f"your own term for `{term.duty}` {misfit}"
                hint = (
                    f"read {term.document} again; mailby rules show {term.duty} says how it counts"
                )
                found.append(Problem(place=place, code="F64", sentence=sentence, hint=hint))
    return tuple(found)


def list_held_terms(session: Readable) -> tuple[HeldTerm, ...]:
    """List what the papers in hand of all operations say about duties.

    Shape: in the order of the files, each with the number and the days of its paper.
    """
    ids = load_operation_ids(session)
    operations = [load_operation(session, one) for one in ids]
    return tuple(
        HeldTerm(
            whose=_say_whose(operation, held, one_of_many=len(ids) > 1),
            term=term,
            when=say_when(held),
        )
        for operation in filter(None, operations)
        for held in operation.papers
        for term in held.own_terms
    )


def _say_whose(operation: Operation, held: HeldPaper, *, one_of_many: bool) -> str:
    """Name the holder of a paper; the only operation needs no name."""
    farm = operation.legal_name if one_of_many else ""
    ref = held.holder.ref
    return ", ".join(filter(None, (ref, farm)))
