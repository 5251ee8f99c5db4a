"""What is known of the offices, with the days to ask there that the plans name."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from compliance.app.offices import find_follow_ups, load_seen
from compliance.app.planning import find_ask_day, make_plan
from compliance.app.tables import load_table
from compliance.base.problems import NotFoundError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.follow_up import FollowUp
from compliance.engine.office_report import (
    OfficeReport,
    compute_office_reports,
    find_earlier_editions,
)
from compliance.engine.plan_model import Plan

if TYPE_CHECKING:
    from sqlmodel import Session


def report_offices(
    session: "Session", wanted: str, as_of: date, *, every: bool
) -> tuple[OfficeReport, ...]:
    """Report what is known of the offices whose id, title or steps hold a word.

    Raises:
        NotFoundError: No office is called so.
    """
    table = load_table(session)
    found = load_seen(session, table, as_of)
    reports = compute_office_reports(
        table,
        found.rows,
        found.seen,
        tuple(_with_planned_days(session, find_follow_ups(found, as_of), as_of)),
        found.logs,
        every=every or bool(wanted),
        earlier=find_earlier_editions(found.rows, found.editions, found.observations, as_of),
    )
    if not wanted:
        return reports
    chosen = tuple(
        one
        for one in reports
        if wanted.casefold() in f"{one.office.id} {one.office.title}".casefold()
        or any(wanted == kind.row.id for kind in one.kinds)
    )
    if not chosen:
        ids = [one.office.id for one in reports]
        hint = suggest(wanted, ids) or "mailby offices --all names them"
        raise NotFoundError(f"no office is called {wanted!r}", hint=hint)
    return chosen


def _with_planned_days(
    session: "Session", follow_ups: tuple[FollowUp, ...], as_of: date
) -> Iterator[FollowUp]:
    """Add the days to ask that the plans name, which know when each paper is needed."""
    plans: dict[str, Plan | None] = {}
    for one in follow_ups:
        if one.operation not in plans:
            plans[one.operation] = _plan(session, one.operation, as_of)
        plan = plans[one.operation]
        paper = None if plan is None else plan.find_paper(one.packet)
        yield one if paper is None else replace(one, planned=find_ask_day(one, paper))


def _plan(session: "Session", operation: str, as_of: date) -> Plan | None:
    try:
        return make_plan(session, operation, as_of, with_follow_ups=False).plan
    except RefusedError:  # what was seen of offices is shown without a plan too
        return None
