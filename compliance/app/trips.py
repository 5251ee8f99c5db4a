"""The trips to town of an operation: planned, and named so that the calendar keeps them apart."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from compliance.app.planned import Planned
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.engine.ledger import Entry
from compliance.engine.plan_model import TripDay
from compliance.engine.sooner import Sooner, list_sooner
from compliance.engine.trip_days import apply_trip_days
from compliance.engine.trip_model import TripPlan
from compliance.engine.trip_names import keep_names, list_over, list_without_day, name_trips
from compliance.engine.trip_plan import compute_trip_plan
from compliance.facts.model import MailService
from compliance.outputs.trip_entries import compute_trip_entries
from compliance.outputs.trip_pages import TripPage, compute_trip_pages
from compliance.store.reading import Readable
from compliance.store.trips import load_trips, save_trips

if TYPE_CHECKING:
    from sqlmodel import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class TripEntries:
    """The calendar entries of trips, and the trip's day of each act in town by step id."""

    entries: tuple[Entry, ...]
    days: dict[str, TripDay]


def make_trips(
    planned: Planned,
    *,
    until: date | None = None,
    blocked: Iterable[date] = (),
    compare: bool = True,
) -> TripPlan:
    """Plan the fewest trips; see ``engine.trip_plan``, also for *compare*.

    Raises:
        RefusedError: *until* or a blocked day is past, or an act has no day at all.
    """
    as_of = planned.plan.as_of
    if until is not None and until < as_of:
        raise RefusedError(
            f"the day {say_date(until)} is past; today is {say_date(as_of)}",
            hint="give a day to come with --until, or leave it out",
        )
    days = tuple(blocked)
    past = [day for day in days if day < as_of]
    if past:
        raise RefusedError(
            f"{', '.join(say_date(day) for day in past)} is past; today is {say_date(as_of)}",
            hint="give days to come with --no-trip, or leave it out",
        )
    plan = planned.before_trips or planned.plan
    return compute_trip_plan(plan, planned.table, blocked=days, compare=compare)


def find_pages(planned: Planned) -> tuple[TripPage, ...]:
    """Give the trips in words; none when they cannot be planned, which `mailby trips` explains."""
    try:
        trips = make_trips(planned, compare=False)
    except RefusedError:
        return ()
    return compute_trip_pages(planned.plan, trips, planned.table)


def add_trip_days(
    planned: Planned, *, by_packet: Mapping[str, MailService] | None = None
) -> Planned:
    """Add the trip's day of each act in town to a plan, and what follows from it.

    None when trips cannot be planned. The plan without them is kept beside it, because trips are
    planned from the first day an act can be done. *by_packet* are packets that go by another
    service than the operation's.
    """
    try:
        days = _list_days(make_trips(planned, compare=False))
    except RefusedError:
        days = {}
    plan = apply_trip_days(planned.plan, planned.table, days, by_packet=by_packet)
    return replace(planned, plan=plan, before_trips=planned.before_trips or planned.plan)


def _list_days(trips: TripPlan) -> dict[str, TripDay]:
    return {
        act.step.id: TripDay(first=act.first, on=trip.on, by=act.by, is_safe=act.is_safe)
        for trip in trips.trips
        for act in trip.acts
    }


def find_sooner(session: Readable, planned: Planned, trips: TripPlan) -> tuple[Sooner, ...]:
    """Find what should go sooner than these trips for nine chances in ten, as the plan says it."""
    from compliance.app.chances import add_chances  # noqa: PLC0415 - numpy takes a while to load

    plan = planned.before_trips or planned.plan
    plan = apply_trip_days(plan, planned.table, _list_days(trips))
    return list_sooner(add_chances(session, plan, planned.table))


def make_trip_entries(session: "Session", planned: Planned) -> TripEntries:
    """Make the calendar entries of the trips, and remember which trip is which.

    A trip that is planned anew because something on it was not done stays the same entry.
    """
    plan = planned.plan
    try:
        trips = make_trips(planned, compare=False)
    except RefusedError:  # the calendar has its other entries; mailby trips says what is wrong
        return TripEntries(entries=(), days={})
    known = load_trips(session, plan.operation.id)
    named = name_trips(trips.trips, known)
    without_day = list_without_day(named, known, trips.waiting, plan)
    over = list_over(named, known, plan, without_day)
    save_trips(session, plan.operation.id, keep_names(named, known, plan))
    pages = compute_trip_pages(plan, trips, planned.table)
    return TripEntries(
        entries=compute_trip_entries(
            plan, tuple(one for one, _ in named), pages, over, without_day, trips.waiting
        ),
        days=_list_days(trips),
    )
