"""Try a change: the plan as it is and the plan with it, and keep the change when asked to."""

from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.chances import add_chances
from compliance.app.offices import find_follow_ups, load_seen
from compliance.app.planning import Planned, make_plan, replace_ask_days
from compliance.app.trips import add_trip_days
from compliance.base.problems import RefusedError
from compliance.engine.chances import compute_chances
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.what_if import Changed, Wish, apply_wish
from compliance.store.repository import load_told_on, save_operation


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """The plan before and after, both with chances, and the changes in words."""

    before: Plan
    after: Plan
    words: tuple[str, ...]
    kept: bool


def try_changes(
    session: Session,
    wanted: str | None,
    as_of: date,
    wish: Wish,
    *,
    chance: float,
    keep_as: str | None = None,
) -> Tried:
    """Plan with and without some changes, on the same draws: with it as if it were made.

    *keep_as* is the name space for new ids of a changed operation, and asks to keep the changes.

    Raises:
        NotFoundError: Something named is not known.
        RefusedError: Nothing was asked for, a change makes no sense, or it cannot be kept.
    """
    if wish.is_empty:
        raise RefusedError(
            "nothing to try was given",
            hint="such as --first-spray 2027-06-01, --mail all=express, --office faa.registry=slow",
        )
    planned = make_plan(session, wanted, as_of)
    plan, table = planned.plan, planned.table
    changed = apply_wish(plan, table, planned.log, wish)
    if keep_as is not None and changed.not_kept:
        raise RefusedError(
            f"this cannot be kept: {'; '.join(changed.not_kept)}",
            hint="leave out --keep, or the part that cannot be kept; nothing was changed",
        )
    before = add_chances(session, add_trip_days(planned).plan, table, chance)
    after = _plan_with(session, changed, as_of, chance)
    if keep_as is not None:
        save_operation(session, changed.operation, namespace=keep_as)
    return Tried(before=before, after=after, words=changed.words, kept=keep_as is not None)


def _plan_with(session: Session, changed: Changed, as_of: date, chance: float) -> Plan:
    """Plan with the changes just as `make_plan` does with what is kept.

    What the changes would show of the offices counts too, so that the plan is the one that follows
    when they are made.
    """
    operation, table = changed.operation, changed.table
    log = (*changed.log, *changed.ahead)
    found = load_seen(session, table, as_of, instead=(operation, changed.log))
    tallies = {row: one for row, one in found.seen.tallies.items() if row not in changed.unseen}
    found = replace(found, seen=replace(found.seen, tallies=tallies))
    plan = replace(
        compute_plan(operation, table, log, as_of, by_packet=changed.by_packet),
        told_on=load_told_on(session, operation.id),
    )
    plan = replace_ask_days(plan, find_follow_ups(found, as_of, operation=operation.id))
    planned = Planned(plan=plan, table=table, log=log)
    plan = add_trip_days(planned, by_packet=changed.by_packet).plan
    chances = compute_chances(
        plan, table, seen=found.seen, wanted=chance, by_packet=changed.by_packet
    )
    return replace(plan, chances=chances)
