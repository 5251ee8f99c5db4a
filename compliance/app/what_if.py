"""Try a change: the plan as it is and the plan with it, and keep the change when asked to."""

from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.chances import add_chances
from compliance.app.mail_services import hold_mailings
from compliance.app.offices import find_follow_ups, load_seen
from compliance.app.planning import Planned, make_plan, replace_ask_days
from compliance.app.trips import add_trip_days
from compliance.base.problems import RefusedError
from compliance.engine.chance_model import Chances, Tweaks
from compliance.engine.chances import compute_chances
from compliance.engine.later_trips import list_later_trips
from compliance.engine.plan_model import Plan
from compliance.engine.trip_days import apply_trip_days
from compliance.engine.what_if import Changed, apply_wish, plan_days_with
from compliance.engine.wish import Wish
from compliance.store.repository import load_told_on, save_operation


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """The plan before and after, both with chances, and the changes in words.

    ``remarks`` say why a change that sounds good makes a day later, or a bad one a chance higher.
    """

    before: Plan
    after: Plan
    words: tuple[str, ...]
    kept: bool
    remarks: tuple[str, ...] = ()


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
    changed = apply_wish(
        plan, table, planned.log, wish, lambda one: _plan_days(session, one, as_of).plan
    )
    if keep_as is not None and changed.not_kept:
        raise RefusedError(
            f"this cannot be kept: {'; '.join(changed.not_kept)}",
            hint="leave out --keep, or the part that cannot be kept; nothing was changed",
        )
    before = add_trip_days(planned)
    with_chances = add_chances(session, before.plan, table, chance)
    drawn = _plan_days(session, replace(changed, ahead=()), as_of)
    after = drawn
    if changed.ahead:
        after = _keep_trips(_plan_days(session, changed, as_of), drawn.plan, changed)
    chances = _draw(session, changed, drawn.plan, chance)
    tried = Tried(
        before=with_chances,
        after=replace(after.plan, chances=chances),
        words=changed.words,
        kept=keep_as is not None,
    )
    later = list_later_trips(_sides(before), _sides(after))
    rises = _say_rises(tried) if wish == Wish(returned=wish.returned) else ()
    if keep_as is not None:
        hold_mailings(session, plan.operation, changed.operation, table)
        save_operation(session, changed.operation, namespace=keep_as)
    return replace(tried, remarks=(*rises, *later))


def _sides(planned: Planned) -> tuple[Plan, Plan]:
    """Give a plan with its trips, and as it was before them."""
    return planned.plan, planned.before_trips or planned.plan


def _plan_days(session: Session, changed: Changed, as_of: date) -> Planned:
    """Plan with the changes and the trips, just as `make_plan` does with what is kept."""
    operation = changed.operation
    found = load_seen(session, changed.table, as_of, instead=(operation, changed.log))
    plan = replace(plan_days_with(changed, as_of), told_on=load_told_on(session, operation.id))
    plan = replace_ask_days(plan, find_follow_ups(found, as_of, operation=operation.id))
    planned = Planned(plan=plan, table=changed.table, log=(*changed.log, *changed.ahead))
    return add_trip_days(planned, by_packet=changed.by_packet)


def _keep_trips(after: Planned, drawn: Plan, changed: Changed) -> Planned:
    """Leave every act on the trip it has before the return to come, where it can go on that trip.

    What is only taken to happen has its errands done; without them other errands would move.
    """
    alone = after.before_trips or after.plan
    days = dict(after.plan.trip_days)
    for name, trip in drawn.trip_days.items():
        step = alone.find_step(name)
        if step is not None and step.done_on is None and step.earliest <= trip.on:
            days[name] = trip
    plan = apply_trip_days(alone, changed.table, days, by_packet=changed.by_packet)
    return replace(after, plan=plan)


def _draw(session: Session, changed: Changed, plan: Plan, chance: float) -> Chances:
    """Draw the chances from what would have happened by today.

    What the changes would show of the offices counts too, so that the plan is the one that follows
    when they are made. A return to come is certain in each draw, but its day is not.
    """
    operation, table = changed.operation, changed.table
    seen = load_seen(session, table, plan.as_of, instead=(operation, changed.log)).seen
    tallies = {row: one for row, one in seen.tallies.items() if row not in changed.unseen}
    return compute_chances(
        plan,
        table,
        seen=replace(seen, tallies=tallies),
        wanted=chance,
        tweaks=Tweaks(by_packet=changed.by_packet, back=changed.back),
    )


def _say_rises(tried: Tried) -> tuple[str, ...]:
    """Say why a return can make a chance higher, where one does.

    Only one that is known today can: a return to come leaves all before it as uncertain as it is.
    """
    before, after = tried.before.chances, tried.after.chances
    if before is None or after is None:
        return ()
    old = {one.job: one.on_first_day for one in before.jobs}
    ready = {one.packet: one.ready for one in before.packets}
    rises = any(one.on_first_day > old.get(one.job, 1) for one in after.jobs)
    sooner = any(
        new < was
        for one in after.packets
        for new, was in zip(one.ready, ready.get(one.packet, one.ready), strict=True)
    )
    if not rises and not sooner:
        return ()
    why = "it ends a wait that might have gone on for long, and tells how quick the office is"
    return (f"a return today can make a chance higher or a likely day sooner: {why}",)
