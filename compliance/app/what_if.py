"""Try a change: the plan as it is and the plan with it, and keep the change when asked to."""

from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.offices import load_seen
from compliance.app.planning import make_plan
from compliance.base.problems import RefusedError
from compliance.engine.chances import compute_chances
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.what_if import Wish, apply_wish
from compliance.store.repository import save_operation


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
    """Plan with and without some changes, on the same draws.

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
    seen = load_seen(session, table, as_of).seen
    tallies = {row: one for row, one in seen.tallies.items() if row not in changed.unseen}
    after = compute_plan(
        changed.operation, changed.table, changed.log, as_of, by_packet=changed.by_packet
    )
    drawn = compute_chances(
        after,
        changed.table,
        seen=replace(seen, tallies=tallies),
        wanted=chance,
        by_packet=changed.by_packet,
    )
    if keep_as is not None:
        save_operation(session, changed.operation, namespace=keep_as)
    return Tried(
        before=replace(plan, chances=compute_chances(plan, table, seen=seen, wanted=chance)),
        after=replace(after, chances=drawn),
        words=changed.words,
        kept=keep_as is not None,
    )
