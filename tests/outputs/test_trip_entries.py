"""Trips on a phone: one entry a trip, ids by number, acts that name their trip."""

from datetime import date

import pytest

from compliance.app.planning import Planned
from compliance.engine.ledger import EntryState
from compliance.engine.plan_model import TripDay
from compliance.engine.trip_names import name_trips
from compliance.engine.trip_plan import compute_trip_plan
from compliance.facts.trip_names import NamedTrip
from compliance.outputs.calendar_entries import ALARMS, compute_entries
from compliance.outputs.trip_entries import compute_trip_entries
from compliance.outputs.trip_pages import compute_trip_pages
from compliance.outputs.words import CAUTION


def test_trip_entries_one_each_with_alarms_and_all_to_bring(demo_planned: Planned) -> None:
    plan = demo_planned.plan
    trips = compute_trip_plan(plan, demo_planned.table)
    named = tuple(name for name, _ in name_trips(trips.trips, ()))
    pages = compute_trip_pages(plan, trips, demo_planned.table)

    entries = compute_trip_entries(plan, named, pages, ())

    assert [(entry.key, entry.on) for entry in entries] == [
        (("trip", "sandbur-flats", str(number)), trip.on)
        for number, trip in enumerate(trips.trips, 1)
    ]
    assert {entry.alarms for entry in entries} == {ALARMS}
    assert entries[-1].title == "Trip to town: post office"
    assert entries[-1].text.startswith(
        "Post office: Main Street counter, Burrell Crossing, open 8:30-16:00, 402-555-0151\n"
        "- Mail the packet at the counter and keep the proof: Nebraska aerial pesticide business "
        "license\nBring:\n- envelope to Nebraska Department of Agriculture"
    )
    assert entries[-1].text.endswith(f"Why: mailby trips\n{CAUTION}")


def test_trip_that_is_over_is_done_on_its_day(demo_planned: Planned) -> None:
    over = (NamedTrip(number=3, planned_on=date(2026, 11, 30), errands=("own",)),)

    (entry,) = compute_trip_entries(demo_planned.plan, (), (), over)

    assert (entry.key, entry.on, entry.state) == (
        ("trip", "sandbur-flats", "3"),
        date(2026, 11, 30),
        EntryState.DONE,
    )
    assert entry.text == f"Done on Mon 30 Nov 2026\n{CAUTION}"


@pytest.mark.parametrize("with_trips", [True, False])
def test_act_keeps_its_day_and_names_its_trip(demo_planned: Planned, with_trips: bool) -> None:
    plan = demo_planned.plan
    mail = "ne.commercial-applicator:wren/mail"
    trip = TripDay(
        first=date(2027, 1, 15), on=date(2027, 1, 15), by=date(2027, 1, 22), is_safe=True
    )
    days = {mail: trip} if with_trips else {}
    key = ("do", "sandbur-flats", "ne.commercial-applicator:wren", "2027", "mail~1")

    entry = next(one for one in compute_entries(plan, days) if one.key == key)
    alone = next(one for one in compute_entries(plan) if one.key == key)

    assert entry.on == alone.on
    assert ("Planned on the trip of Fri 15 Jan 2027" in entry.text.splitlines()) == with_trips
    subject = "Nebraska commercial applicator license, aerial category, Wren Castellow"
    word = "Mail, safe day (trip of Fri 15 Jan 2027)" if with_trips else "Mail"
    assert entry.title == f"{word}: {subject}"


def test_act_without_a_safe_day_stands_on_its_trip(demo_planned: Planned) -> None:
    """One act, one day: with no safe day left there is nothing to keep beside the trip."""
    mail = "faa.registration-n:tg46/mail~2"
    trip = TripDay(
        first=date(2027, 1, 15), on=date(2027, 1, 15), by=date(2027, 3, 30), is_safe=False
    )
    key = ("do", "sandbur-flats", "faa.registration-n:tg46", "2027", "mail~1")

    entry = next(one for one in compute_entries(demo_planned.plan, {mail: trip}) if one.key == key)

    subject = "Aircraft registration with an N-number (Part 47), TG-46 46-00017"
    assert (entry.on, entry.title) == (date(2027, 1, 15), f"Mail: {subject}")
