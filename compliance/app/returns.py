"""Log that a packet came back, and give what it changes."""

from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.logbook import TYPED, Happened, add_entry, find_judging_plan
from compliance.app.planning import find_paper, make_plan
from compliance.app.tables import load_templates
from compliance.app.trips import add_trip_days
from compliance.base.problems import DataProblemsError, RefusedError
from compliance.engine.plan_model import Plan
from compliance.engine.returned import (
    compute_still_good,
    find_doubts,
    find_overruled,
    find_twins,
    resolve_blanks,
    resolve_steps,
)
from compliance.facts.log import LogEntry


@dataclass(frozen=True, slots=True, kw_only=True)
class Returned:
    """A logged return with the plan before and after it.

    ``doubts`` are warnings about what is left as it is, and what a person overruled.
    ``judged_on`` is the day of the earlier plan it was judged by; None when today's judged it.
    """

    entry: LogEntry
    before: Plan
    after: Plan
    doubts: tuple[str, ...]
    judged_on: date | None = None


def log_return(
    session: Session,
    wanted: str | None,
    happened: Happened,
    as_of: date,
    *,
    again: tuple[str, ...] = (),
) -> Returned:
    """Log a return; the blanks at fault decide what must be done again, unless a person does.

    ``happened.blanks`` and ``still_good`` are words as they were typed; *again* names steps that
    are to be done again in any case.

    Raises:
        NotFoundError: No such packet is needed.
        RefusedError: A step is both to be left and to be done again.
        DataProblemsError: A word names no blank or step, or the return cannot have happened so.
    """
    before = add_trip_days(make_plan(session, wanted, as_of)).plan
    judging = find_judging_plan(session, wanted, happened, as_of).plan
    packet = find_paper(judging, happened.packet).packet
    templates = load_templates()
    blanks, faults = resolve_blanks(packet, templates, happened.blanks, TYPED)
    kept, more = resolve_steps(packet, happened.still_good, TYPED)
    redone, rest = resolve_steps(packet, again, TYPED)
    if faults or more or rest:
        raise DataProblemsError((*faults, *more, *rest))
    both = set(kept) & set(redone)
    if both:
        raise RefusedError(
            f"{', '.join(sorted(both))} cannot be still good and be done again",
            hint="leave one of the two options out",
        )
    sound = compute_still_good(packet, templates, blanks)
    still_good = tuple(
        row.name for row in packet.steps if row.name in {*sound, *kept} and row.name not in redone
    )
    doubts = (
        *find_doubts(packet, templates, blanks, kept),
        *find_overruled(packet, templates, blanks, kept=kept, redone=redone),
        *find_twins(packet, templates, blanks, still_good),
    )
    ready = replace(happened, blanks=blanks, still_good=still_good)
    added = add_entry(session, wanted, ready, as_of)
    # With its trips, so that the days are those that the plan shows.
    after = add_trip_days(make_plan(session, wanted, as_of)).plan
    return Returned(
        entry=added.entry, before=before, after=after, doubts=doubts, judged_on=added.judged_on
    )
