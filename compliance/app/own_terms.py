"""Own terms of held papers against the rules table: the duty exists and the numbers fit it."""

from compliance.base.problems import Problem
from compliance.base.reading import suggest
from compliance.base.sources import find_place, parse_yaml
from compliance.engine.duties_due import apply_term
from compliance.facts.model import Operation
from compliance.rules.checks_duties import find_misfits
from compliance.rules.model import RulesTable


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
