"""The trips to town as JSON for programs."""

import json
from datetime import date

from compliance.engine.awaited import list_holding
from compliance.engine.plan_model import Plan
from compliance.engine.sooner import Sooner
from compliance.engine.trip_model import HomeAct, NoDay, Stop, TownAct, Trip, TripPlan
from compliance.facts.places import Place
from compliance.outputs.trip_bring import list_along, list_bring
from compliance.outputs.trip_pages import list_drives
from compliance.outputs.words import CAUTION
from compliance.rules.model import RulesTable


def render_trips_json(
    plan: Plan,
    trips: TripPlan,
    table: RulesTable,
    until: date | None = None,
    *,
    sooner: tuple[Sooner, ...] = (),
) -> str:
    """Render the trips as JSON text; days as ISO dates, steps by their ids.

    Trips after *until* are left out and counted in ``later``. *sooner* is what should go before its
    trip for a chance.
    """
    now = [trip for trip in trips.trips if until is None or trip.on <= until]
    tree = {
        "operation": plan.operation.id,
        "as_of": trips.as_of.isoformat(),
        "until": until.isoformat() if until is not None else None,
        "fewest": len(trips.trips),
        "proved": trips.proved,
        "room_days": trips.room_days,
        "packet_by_packet": trips.apart,
        "trips": [_trip(plan, trip, table) for trip in now],
        "no_day": [_no_day(plan, one) for one in trips.no_day],
        "waiting": [_waiting(plan, one) for one in trips.waiting],
        "later": len(trips.trips) - len(now),
        "online_too": [home.step.id for home in trips.online],
        "go_sooner": [_sooner(one) for one in sooner],
        "drives_that_help": [
            {"on": day.isoformat(), "jobs": list(jobs)} for day, jobs in list_drives(plan).items()
        ],
        "caution": CAUTION,
    }
    return json.dumps(tree, indent=2, ensure_ascii=False) + "\n"


def _trip(plan: Plan, trip: Trip, table: RulesTable) -> dict[str, object]:
    return {
        "on": trip.on.isoformat(),
        "forced_by": trip.forced_by.step.id,
        "must_be_by": trip.forced_by.by.isoformat(),
        "before_leaving": [home.step.id for home in trip.before_leaving],
        "stops": [_stop(stop) for stop in trip.stops],
        "comes_along": list(list_along(plan, trip)),
        "bring": [
            {"what": group.text, "parts": list(group.parts)}
            for group in list_bring(plan, trip, table)
        ],
        "hours_note": trip.hours_note,
    }


def _stop(stop: Stop) -> dict[str, object]:
    return {
        "kind": str(stop.kind),
        "place": _place(stop.place) if stop.place is not None else None,
        "on_the_way": [home.step.id for home in stop.on_the_way],
        "acts": [_act(act) for act in stop.acts],
    }


def _place(place: Place) -> dict[str, object]:
    return {
        "name": place.name,
        "town": place.town,
        "days": list(place.days),
        "hours": {one.day: [str(span) for span in one.spans] for one in place.hours},
        "phone": place.phone,
    }


def _act(act: TownAct) -> dict[str, object]:
    return {
        "step": act.step.id,
        "first": act.first.isoformat(),
        "by": act.by.isoformat(),
        "safe": act.is_safe,
        "soon": act.is_soon,
        "late": act.is_late,
    }


def _waiting(plan: Plan, act: HomeAct) -> dict[str, object]:
    return {
        "step": act.step.id,
        "last": act.step.last.isoformat() if act.step.last is not None else None,
        "only_if_overdue_come": _list_holding(plan, act),
    }


def _no_day(plan: Plan, no_day: NoDay) -> dict[str, object]:
    return {
        "step": no_day.act.step.id,
        "ready": no_day.ready.isoformat(),
        "by": no_day.by.isoformat(),
        "only_if_overdue_come": _list_holding(plan, no_day.act),
        "in_its_way": {day.on.isoformat(): day.reason for day in no_day.shut},
    }


def _sooner(one: Sooner) -> dict[str, object]:
    return {
        "packet": one.paper.id,
        "chance": one.wanted,
        "if_it_comes_back_once": one.if_back,
        "by": one.by.isoformat(),
        "planned_on": one.planned_on.isoformat(),
        "chance_then": round(one.left, 2),
        "first": [{"step": step.id, "planned_on": on.isoformat()} for step, on in one.first],
    }


def _list_holding(plan: Plan, act: HomeAct | TownAct) -> list[str]:
    return [paper.id for paper in list_holding(plan, act.paper, act.step)]
