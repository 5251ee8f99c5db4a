"""Trips to town as entries for a phone's calendar."""

from compliance.base.dates import say_date
from compliance.engine.ledger import Entry, EntryState
from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import HomeAct, act_key
from compliance.facts.places import PLACE_WORDS, find_place_kind
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
    without_day: tuple[NamedTrip, ...] = (),
    waiting: tuple[HomeAct, ...] = (),
) -> tuple[Entry, ...]:
    """Give an entry for each trip, and one that is done for each that is over.

    *named* and *pages* are the same trips in the same order. The key is the trip's number, so a
    trip that moves to another day stays the same entry. Those *without_day* are known ones on which
    nothing can be done before an overdue paper is here; *waiting* are the acts of that kind.
    """
    entries = [
        Entry(
            key=("trip", plan.operation.id, str(name.number)),
            on=page.on,
            title=f"Trip to town: {_say_places(page)}",
            text=_say_trip(plan, page),
            alarms=ALARMS,
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
    entries.extend(
        Entry(
            key=("trip", plan.operation.id, str(name.number)),
            on=name.planned_on,
            title=f"Trip to town: {_say_waiting_places(name, waiting)}",
            text=_NO_DAY,
            state=EntryState.NO_DAY,
        )
        for name in without_day
    )
    return tuple(entries)


def _say_trip(plan: Plan, page: TripPage) -> str:
    lines = (*list_trip_lines(page), f"Because of: {page.reason}", "Why: mailby trips")
    return "\n".join((*lines, *plan.reviews, CAUTION))


def _say_waiting_places(name: NamedTrip, waiting: tuple[HomeAct, ...]) -> str:
    acts = (act.step for act in waiting if act_key(act.paper, act.step) in name.errands)
    kinds = (find_place_kind(step.row.done_at) for step in acts)
    return ", ".join(dict.fromkeys(PLACE_WORDS[kind] for kind in kinds if kind is not None))


def _say_places(page: TripPage) -> str:
    kinds = (stop.heading.partition(":")[0] for stop in page.stops)
    return ", ".join(dict.fromkeys(kinds))
