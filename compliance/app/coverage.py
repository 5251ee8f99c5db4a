"""What the table knows of the states, the user's own rules and values included."""

from datetime import date

from sqlmodel import Session

from compliance.app.tables import load_table
from compliance.base.problems import NotFoundError
from compliance.base.reading import suggest
from compliance.engine.coverage import FEDERAL, Coverage, compute_coverage
from compliance.facts.states import STATES


def look_at_coverage(session: Session, wanted: str, as_of: date) -> tuple[Coverage, ...]:
    """Give what is known of every state, or of the one named by code or name; US is federal.

    Raises:
        NotFoundError: No state has that code or name.
    """
    coverage = compute_coverage(load_table(session), as_of)
    if not wanted.strip():
        return coverage
    code = _find_code(wanted.strip())
    return tuple(one for one in coverage if one.state == code)


def _find_code(wanted: str) -> str:
    if wanted.upper() == "US":
        return FEDERAL
    names = {name.lower(): code for code, name in STATES.items()}
    code = names.get(wanted.lower(), wanted.upper())
    if code not in STATES:
        known = (*STATES, *STATES.values())
        hint = suggest(wanted.title(), known) or "write a code such as NE, or US for federal rules"
        raise NotFoundError(f"no state is called {wanted!r}", hint=hint)
    return code
