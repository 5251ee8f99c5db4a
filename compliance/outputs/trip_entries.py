"""Trips to town as entries for a phone's calendar."""

from compliance.base.dates import say_date
from compliance.engine.ledger import Entry, EntryState
from compliance.engine.plan_model import Plan
from compliance.facts.trip_names import NamedTrip
from compliance.outputs.calendar_entries import ALARMS
from compliance.outputs.trip_pages import TripPage
from compliance.outputs.trips_text import list_trip_lines
from compliance.outputs.words import CAUTION

_NO_DAY = (
    "Nothing on it can be done before a paper is here that an office is overdue with.\n"
    f"Why: mailby trips\n{CAUTION}"
)


def compute_trip_entries(
    plan: Plan,
    named: tuple[NamedTrip, ...],
    pages: tuple[TripPage, ...],
    over: tuple[NamedTrip, ...],
) -> tuple[Entry, ...]:
    """Give an entry for each trip, and one that is done for each that is over.

    *named* and *pages* are the same trips in the same order. The key is the trip's number, so a
    trip that moves to another day stays the same entry. A trip on which nothing can be done before
    an overdue paper is here has no day.
    """
    entries = [
        Entry(
            key=("trip", plan.operation.id, str(name.number)),
            on=page.on,
            title=f"Trip to town: {_say_places(page)}",
            text=_NO_DAY if page.is_hoped else _say_trip(plan, page),
            alarms=ALARMS,
            state=EntryState.NO_DAY if page.is_hoped else EntryState.LIVE,
        )
        for name, page in zip(named, pages, strict=True)
    ]
    entries.extend(
        Entry(
            key=("trip", plan.operation.id, str(name.number)),
            on=name.planned_on,
            title="Trip to town",
            text=f"Done on {say_date(name.planned_on)}\n{CAUTION}",
            state=EntryState.DONE,
        )
        for name in over
    )
    return tuple(entries)


def _say_trip(plan: Plan, page: TripPage) -> str:
    lines = (*list_trip_lines(page), f"Because of: {page.reason}", "Why: mailby trips")
    return "\n".join((*lines, *plan.reviews, CAUTION))


def _say_places(page: TripPage) -> str:
    kinds = (stop.heading.partition(":")[0] for stop in page.stops)
    return ", ".join(dict.fromkeys(kinds))
