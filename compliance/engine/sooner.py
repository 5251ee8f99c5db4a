"""Packets whose day for a wanted chance is sooner than the trip to town they are planned on."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from compliance.engine.agenda import find_sending_day
from compliance.engine.plan_model import PaperPlan, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Sooner:
    """A packet to be sent off sooner than the trips let it go, for the wanted chance.

    ``by`` is the last day for that chance, inclusive, ``planned_on`` the day of the plan with its
    trips, ``left`` the chance on that. ``if_back`` tells that all of it is of coming back once.
    ``on_trip`` tells that ``planned_on`` is the packet's own trip, and not a day after one.
    """

    paper: PaperPlan
    wanted: float
    by: date
    planned_on: date
    left: float
    if_back: bool
    on_trip: bool


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
                )
