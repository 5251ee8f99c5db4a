"""Trips in words: the demo's against a golden text, and what must stand in it whatever the case."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from compliance.app.planning import Planned
from compliance.engine.plan import compute_plan
from compliance.engine.remedies import add_remedies
from compliance.engine.trip_model import TripPlan
from compliance.engine.trip_plan import compute_trip_plan
from compliance.facts.model import Closure, EntityType, Operation
from compliance.facts.places import DayHours, Place, PlaceKind, parse_spans
from compliance.outputs.trip_bring import list_along, list_bring
from compliance.outputs.trip_pages import compute_trip_pages, say_by
from compliance.outputs.trips_json import render_trips_json
from compliance.outputs.trips_text import list_trip_lines, render_trips_text
from compliance.outputs.words import CAUTION, WIDTH

GOLDEN = Path(__file__).parents[1] / "golden"
TOWN = "Burrell Crossing"


@pytest.fixture(scope="module")
def trips(demo_planned: Planned) -> TripPlan:
    return compute_trip_plan(demo_planned.plan, demo_planned.table)


def squeeze(text: str) -> str:
    return " ".join(text.split())


def plan_with(planned: Planned, operation: Operation, day: date | None = None) -> Planned:
    plan = compute_plan(operation, planned.table, planned.log, day or planned.plan.as_of)
    return replace(planned, plan=plan)


def show(planned: Planned, *, until: date | None = None, blocked: tuple[date, ...] = ()) -> str:
    trips = compute_trip_plan(planned.plan, planned.table, blocked=blocked)
    return render_trips_text(planned.plan, trips, planned.table, until)


def place(kind: PlaceKind, name: str, day: str, hours: str) -> Place:
    spans = parse_spans(hours)
    assert spans is not None
    return Place(
        kind=kind,
        name=name,
        town=TOWN,
        days=(day,),
        hours=(DayHours(day=day, spans=spans),),
        phone="402-555-0150",
    )


def test_trips_text_of_the_demo_is_the_golden_one(demo_planned: Planned) -> None:
    assert show(demo_planned) == (GOLDEN / "trips.txt").read_text(encoding="utf-8")


def test_trips_json_of_the_demo_is_the_golden_one(demo_planned: Planned, trips: TripPlan) -> None:
    text = render_trips_json(demo_planned.plan, trips, demo_planned.table)

    assert json.loads(text)["fewest"] == len(trips.trips)
    assert text == (GOLDEN / "trips.json").read_text(encoding="utf-8")


@pytest.mark.parametrize("day", [date(2026, 9, 1), date(2027, 2, 15), date(2027, 5, 3)])
def test_trips_text_fits_the_screen_and_ends_with_the_caution(
    demo_planned: Planned, day: date
) -> None:
    text = show(plan_with(demo_planned, demo_planned.plan.operation, day))

    assert max(len(line) for line in text.splitlines()) <= WIDTH
    assert squeeze(text).endswith(CAUTION)


def test_every_undone_act_in_town_is_on_one_trip(demo_planned: Planned, trips: TripPlan) -> None:
    acts = [act.step.id for trip in trips.trips for act in trip.acts]
    needed = [
        step.id
        for paper in demo_planned.plan.papers
        for step in paper.steps
        if step.row.done_at in {"notary", "post office", "test center"} and step.done_on is None
    ]

    assert sorted(acts) == sorted(needed)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (
            date(2027, 1, 11),
            (
                "by Thu 14 Jan 2027, the end of the 7 days it may wait for other errands, because "
                "no room is left for a return; the last day in time is Tue 30 Mar 2027"
            ),
        ),
        (
            date(2027, 2, 17),
            (
                "by Thu 18 Feb 2027, the first day it can be done, because no room is left for a "
                "return; the last day in time is Tue 30 Mar 2027"
            ),
        ),
        (
            date(2027, 3, 29),
            "by Tue 30 Mar 2027, the last day in time; no room is left for a return",
        ),
    ],
)
def test_act_without_a_safe_day_says_how_long_it_may_wait(
    demo_planned: Planned, day: date, said: str
) -> None:
    """The registration came back on 6 January; the notary was there on Thursday the 7th."""
    plan = plan_with(demo_planned, demo_planned.plan.operation, day).plan
    trips = compute_trip_plan(plan, demo_planned.table)
    (act,) = [
        act
        for trip in trips.trips
        for act in trip.acts
        if act.step.id == "faa.registration-n:tg46/notarize~2"
    ]

    assert say_by(plan, act) == said


def test_until_only_names_later_trips(demo_planned: Planned, trips: TripPlan) -> None:
    until = trips.trips[0].on

    text = show(demo_planned, until=until)

    assert ("TRIP 1," in text, "TRIP 2," in text) == (True, False)
    assert "LATER TRIPS\n" in text
    data = json.loads(render_trips_json(demo_planned.plan, trips, demo_planned.table, until))
    assert (len(data["trips"]), data["later"], data["fewest"]) == (1, 2, 3)


def test_nothing_in_town_says_so(demo_planned: Planned) -> None:
    own = replace(demo_planned.plan.operation, jobs=())

    text = show(plan_with(demo_planned, own))

    assert text == (
        "Sandbur Flats Aerial LLC: trips to town, as of Mon 11 Jan 2027\n"
        "Nothing to do in town.\n\n"
        "A planning aid, not legal advice. Confirm every date and form with the agency\n"
        "and in your own grant, exemption or certificate; follow the product label and\n"
        "local codes; ask a licensed professional when in doubt.\n"
    )


def test_no_day_in_time_says_why_and_what_would_help(demo_planned: Planned) -> None:
    """The notary's last day is 30 March 2027; every day through 22 April is blocked."""
    blocked = tuple(date.fromordinal(date(2027, 1, 11).toordinal() + at) for at in range(102))

    text = squeeze(show(demo_planned, blocked=blocked))

    assert (
        "! Sign the affidavit in front of the notary and look the certificate over there - "
        "Aircraft registration with an N-number (Part 47), TG-46 46-00017: no day in time from "
        "Mon 11 Jan 2027 to Tue 30 Mar 2027; the notary is closed (it is open tue, thu), given "
        "with --no-trip what would help: going to town after all on Thu 18 Mar 2027 or Tue 23 Mar "
        "2027 or Thu 25 Mar 2027 or Tue 30 Mar 2027 (11 earlier days too)"
    ) in text


def test_closure_that_is_over_before_an_act_is_not_in_its_way(demo_planned: Planned) -> None:
    """As of 20 May the business license can be mailed from July on; June costs it nothing."""
    operation = demo_planned.plan.operation
    shut = Closure(
        who="vehicle", first_day=date(2027, 6, 1), last_day=date(2027, 6, 10), why="gearbox"
    )
    own = replace(operation, closures=(*operation.closures, shut))

    text = squeeze(show(plan_with(demo_planned, own, date(2027, 5, 20))))

    assert (
        "Nebraska aerial pesticide business license: its last day in time, Wed 21 Apr 2027, has "
        "gone ! "
    ) in text
    assert "gearbox" not in text


def test_help_of_the_plan_is_named_once_and_only_when_it_has_some(demo_planned: Planned) -> None:
    """On 22 May nothing helps; without a vehicle from April on, help is in the plan for two jobs.

    Before, each act without a day said that the plan says what would help.
    """
    operation = demo_planned.plan.operation
    shut = Closure(
        who="vehicle", first_day=date(2027, 4, 7), last_day=date(2027, 4, 23), why="gearbox"
    )
    shut_in_april = replace(operation, closures=(*operation.closures, shut))
    cases = ((operation, date(2027, 5, 22)), (shut_in_april, date(2027, 4, 5)))
    found = []
    for one, day in cases:
        planned = plan_with(demo_planned, one, day)
        plan = add_remedies(planned.plan, planned.table, planned.log)
        found.append((plan, squeeze(show(replace(planned, plan=plan)))))

    (nothing, silent), (helped, said) = found
    assert nothing.remedies == ()
    assert "`mailby plan`" not in silent
    assert "mailby plan says" not in silent
    names = [job.job.id for job in helped.jobs if job.job.id in {r.job for r in helped.remedies}]
    assert names
    assert said.count(f"`mailby plan` says what would help {', '.join(names)}") == 1
    assert said.count("`mailby plan`") == 1


def test_first_day_that_hangs_on_an_overdue_paper_says_so(demo_planned: Planned) -> None:
    """The exemption would have come by 6 February; the business license waits for it in May."""
    operation = demo_planned.plan.operation
    shut = Closure(
        who="vehicle", first_day=date(2027, 4, 7), last_day=date(2027, 4, 23), why="gearbox"
    )
    own = replace(operation, closures=(*operation.closures, shut))

    planned = plan_with(demo_planned, own, date(2027, 4, 5))
    text = squeeze(show(planned))
    trips = compute_trip_plan(planned.plan, planned.table)
    tree = json.loads(render_trips_json(planned.plan, trips, planned.table))

    waits = {one["step"]: one["only_if_overdue_come"] for one in tree["no_day"]}
    assert waits["ne.aerial-business/mail"] == ["faa.exemption"]
    assert waits["faa.registration-n:tg46/notarize~2"] == []
    assert "on, if the overdue paper came today, and must be done by Wed 21 Apr 2027" in text
    start = text.index("Nebraska aerial pesticide business license: no day in time; it can be done")
    assert text.index("on, if the overdue paper came today, and must") > start


def test_a_closed_vehicle_says_why_the_plan_names_an_earlier_last_day(
    demo_planned: Planned,
) -> None:
    """Nobody can drive from 1 January through 1 August 2027; the plan's days leave that out."""
    operation = demo_planned.plan.operation
    shut = Closure(
        who="vehicle", first_day=date(2027, 1, 1), last_day=date(2027, 8, 1), why="gearbox"
    )
    own = replace(operation, closures=(*operation.closures, shut))
    planned = plan_with(demo_planned, own)

    text = squeeze(show(planned))

    assert "nobody can go: gearbox, Fri 1 Jan 2027 to Sun 1 Aug 2027" in text
    assert "its last day in time, " in text
    assert "`mailby what-if --trip DAY` says what it gains ! " in text
    assert "the plan's last day, Thu 31 Dec 2026, is earlier because on the days between" in text
    step = planned.plan.find_step("faa.registration-n:tg46/mail~2")
    assert step is not None
    assert step.last == date(2026, 12, 31)


def test_places_are_shown_with_the_hours_of_the_day(demo_planned: Planned) -> None:
    places = (
        place(PlaceKind.NOTARY, "Invented Bank", "tue", "9:00-12:00, 13:00-16:30"),
        place(PlaceKind.POST_OFFICE, "Counter", "tue", "8:00-11:30"),
        place(PlaceKind.TEST_CENTER, "Invented College", "mon", "9:00-12:00"),
    )
    own = replace(
        demo_planned.plan.operation,
        places=places,
        notary_days=("tue",),
        post_office_days=("tue",),
    )

    text = squeeze(show(plan_with(demo_planned, own)))

    assert (
        "1. notary: Invented Bank, Burrell Crossing, open 9:00-12:00, 13:00-16:30, 402-555-0150"
        in text
    )
    assert "test center: Invented College, Burrell Crossing, open 9:00-12:00" in text
    assert "telephone before you drive" not in text


def test_unsigned_affidavit_identity_and_envelope_are_to_be_brought(
    demo_planned: Planned, trips: TripPlan
) -> None:
    trip = next(one for one in trips.trips if "notary" in {stop.kind for stop in one.stops})

    groups = {
        group.text: group.parts for group in list_bring(demo_planned.plan, trip, demo_planned.table)
    }

    assert (
        "Affidavit of ownership for an unmanned aircraft (Aircraft registration with an N-number "
        "(Part 47), TG-46 46-00017): filled in, NOT signed: it is sworn to and signed in front of "
        "the notary"
    ) in groups
    assert (
        "current photo ID of everybody who signs: driver's license, passport or state ID" in groups
    )
    envelope = groups[
        "envelope to FAA Aircraft Registration Branch, packet faa.registration-n:tg46"
    ]
    assert envelope[0] == "1 original: AC Form 8050-1, Aircraft Registration Application"
    assert envelope[-1] == (
        "fee: $5.00 per aircraft, check or money order, payable to Federal Aviation Administration"
    )


@pytest.mark.parametrize(
    ("entity", "who"),
    [
        (EntityType.LLC, "a member of the company"),
        (EntityType.PARTNERSHIP, "every partner or co-owner who signs"),
        (EntityType.CORPORATION, "an officer of the corporation"),
        (EntityType.INDIVIDUAL, "Sandbur Flats Aerial LLC"),
    ],
)
def test_who_comes_along_to_the_notary(demo_planned: Planned, entity: EntityType, who: str) -> None:
    """Who signs for whom: 14 CFR 47.13(d), as the rules table reads it."""
    managed_by = demo_planned.plan.operation.managed_by if entity is EntityType.LLC else None
    own = replace(demo_planned.plan.operation, entity=entity, managed_by=managed_by)
    planned = plan_with(demo_planned, own)
    trips = compute_trip_plan(planned.plan, planned.table)

    along = [line for trip in trips.trips for line in list_along(planned.plan, trip)]

    assert any(line.startswith(f"for the notary: {who}, ") for line in along)
    assert "for the test or class: Wren Castellow" in along


def test_short_lines_count_what_is_in_an_envelope(demo_planned: Planned, trips: TripPlan) -> None:
    pages = compute_trip_pages(demo_planned.plan, trips, demo_planned.table)
    page = pages[-1]

    assert list_trip_lines(page, short=True)[-2] == (
        "- envelope to Nebraska Department of Agriculture, pesticide program, packet "
        "ne.aerial-business: 4 things in it"
    )
    assert (
        "1 copy: Copy of the agricultural aircraft operator certificate"
        in (list_trip_lines(page)[-2])
    )


def test_what_waits_for_an_overdue_paper_is_on_no_trip(demo_planned: Planned) -> None:
    """On 20 May Part 137 and with it the business license wait for the exemption, too late both."""
    log, table = demo_planned.log, demo_planned.table
    plan = compute_plan(demo_planned.plan.operation, table, log, date(2027, 5, 20))
    trips = compute_trip_plan(plan, table)
    text = " ".join(render_trips_text(plan, trips, table).split())
    tree = json.loads(render_trips_json(plan, trips, table))

    assert (
        "NO DAY YET, and so on no trip - once this is here, which is overdue: Exemption for "
        "spraying with unmanned aircraft - Mail the packet at the counter and keep the proof - "
        "Nebraska aerial pesticide business license A planning aid"
    ) in text
    assert tree["waiting"] == [
        {
            "step": "ne.aerial-business/mail",
            "last": "2027-04-21",
            "only_if_overdue_come": ["faa.exemption"],
        }
    ]
    planned = {
        act["step"] for trip in tree["trips"] for stop in trip["stops"] for act in stop["acts"]
    }
    assert len(planned) == 8
    assert "ne.aerial-business/mail" not in planned
    assert [one["only_if_overdue_come"] for one in tree["no_day"]].count(["faa.exemption"]) == 1
