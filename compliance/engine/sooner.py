"""Packets whose day for a wanted chance is sooner than the trip to town they are planned on."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from compliance.engine.agenda import find_sending_day
from compliance.engine.network import IN_HAND
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Sooner:
    """A packet to be sent off sooner than the trips let it go, for the wanted chance.

    ``by`` is the last day for that chance, inclusive, ``planned_on`` the day of the plan with its
    trips, ``left`` the chance on that. ``if_back`` tells that all of it is of coming back once.
    ``on_trip`` tells that ``planned_on`` is the packet's own trip, and not a day after one.
    ``first`` are acts in town that must come before it and are planned on a trip after ``by``,
    with the day of that trip.
    """

    paper: PaperPlan
    wanted: float
    by: date
    planned_on: date
    left: float
    if_back: bool
    on_trip: bool
    first: tuple[tuple[StepPlan, date], ...] = ()


def list_sooner(plan: Plan) -> tuple[Sooner, ...]:
    """List what asks to go sooner than its trip, of a plan with chances and trip days.

    Shape: in the order of the papers, the day for the plain chance before that of a return.
    """
    return tuple(one for paper in plan.papers for one in _list_of(plan, paper))


def _list_of(plan: Plan, paper: PaperPlan) -> Iterator[Sooner]:
    sending = find_sending_day(plan, paper)
    if plan.chances is None or sending is None:
        return
    for chance in plan.chances.packets:
        if chance.packet != paper.id:
            continue
        for by, chance_on, if_back in (
            (chance.mail_by, chance.chance_on, False),
            (chance.mail_by_with_return, chance.chance_with_return_on, True),
        ):
            if by is not None and by < sending:
                yield Sooner(
                    paper=paper,
                    wanted=plan.chances.wanted,
                    by=by,
                    planned_on=sending,
                    left=chance_on(sending) or 0.0,
                    if_back=if_back,
                    on_trip=paper.mail_step in plan.trip_days,
                    first=tuple(
                        (act, trip.on)
                        for act in _list_before(plan, paper)
                        if (trip := plan.trip_days.get(act.id)) is not None and trip.on > by
                    ),
                )


def _list_before(plan: Plan, paper: PaperPlan) -> tuple[StepPlan, ...]:
    """List the steps that come before a packet is sent off: its own acts, and what sets its day."""
    sending = plan.find_step(paper.mail_step)
    if sending is None:
        return ()
    found = {act.id: act for act in paper.acts_before(sending)}
    name, seen = sending.earliest_by, set[str]()
    while name and name not in seen:
        seen.add(name)
        step, other = plan.find_step(name), plan.find_paper(name.partition("/")[0])
        if step is not None:
            found.setdefault(step.id, step)
            name = step.earliest_by
        else:
            is_paper = other is not None and name.endswith(f"/{IN_HAND}")
            name = other.ready_bound_by if other is not None and is_paper else ""
    return tuple(found.values())
