"""Renewals: from the database to the ends of papers in the years ahead."""

from datetime import date

from sqlmodel import Session

from compliance.app.operations import load_with_log
from compliance.app.tables import load_table_for
from compliance.base.dates import LAST_YEAR
from compliance.base.problems import RefusedError
from compliance.engine.renewals import YearsAhead, compute_years_ahead
from compliance.facts.model import Operation

MOST_YEARS = 10


def look_ahead(
    session: Session, wanted: str | None, as_of: date, years: int
) -> tuple[Operation, YearsAhead]:
    """Give the ends of all papers within some years, and what their renewals need.

    Raises:
        NotFoundError: No such operation.
        RefusedError: Too many years or none, or no day satisfies the rules.
    """
    if not 1 <= years <= MOST_YEARS or as_of.year + years + 3 > LAST_YEAR:
        raise RefusedError(
            f"renewals cannot be looked at {years} years ahead",
            hint=f"give from 1 to {MOST_YEARS} years, and a day before {LAST_YEAR - MOST_YEARS}",
        )
    operation, log = load_with_log(session, wanted)
    table = load_table_for(session, operation, log)
    return operation, compute_years_ahead(operation, table, log, as_of, years)
