"""A trip planned anew keeps its number; the demo's trips and log are invented."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.app.planning import Planned
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import HomeAct, Trip, act_key
from compliance.engine.trip_names import keep_names, list_over, list_without_day, name_trips
from compliance.engine.trip_plan import compute_trip_plan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind
from compliance.facts.trip_names import NamedTrip

NE, MAIL = "ne.commercial-applicator:wren", "mail~1"


@pytest.fixture(scope="module")
def trips(demo_planned: Planned) -> tuple[Trip, ...]:
    return compute_trip_plan(demo_planned.plan, demo_planned.table).trips


def keys(trip: Trip) -> tuple[str, ...]:
    return tuple(act.key for act in trip.acts)


def test_act_key_holds_no_day_of_the_plan(demo_plan: Plan) -> None:
    paper = demo_plan.find_paper(NE)
    assert paper is not None
    step = paper.find_step("mail")
    assert step is not None

    assert act_key(paper, step) == f"{NE}/2027/{MAIL}"


def test_new_trips_are_numbered_by_day(trips: tuple[Trip, ...]) -> None:
    named = name_trips(trips, ())

    assert [name.number for name, _ in named] == [1, 2, 3]
    assert [(name.planned_on, name.errands) for name, _ in named] == [
        (trip.on, keys(trip)) for trip in trips
    ]


def test_trip_moved_to_another_day_keeps_its_number(trips: tuple[Trip, ...]) -> None:
    known = tuple(name for name, _ in name_trips(trips, ()))
    moved = tuple(replace(trip, on=trip.on + timedelta(days=7)) for trip in trips)

    assert [name.number for name, _ in name_trips(moved, known)] == [1, 2, 3]


def test_trip_goes_on_with_the_number_with_which_it_shares_most(trips: tuple[Trip, ...]) -> None:
    """The known trip 5 had one errand of the second trip, 7 the others; 8 is a stranger."""
    second = keys(trips[1])
    known = (
        NamedTrip(number=5, planned_on=trips[0].on, errands=second[:1]),
        NamedTrip(number=7, planned_on=trips[0].on, errands=second[1:]),
        NamedTrip(number=8, planned_on=trips[0].on, errands=("gone/2026/mail~1",)),
    )

    assert [name.number for name, _ in name_trips(trips, known)] == [9, 7, 10]


def test_keep_names_remembers_what_was_done_on_a_trip(
    demo_planned: Planned, trips: tuple[Trip, ...]
) -> None:
    """Of two errands one was done; both stay with the number, so withdrawing the entry is safe."""
    known = tuple(name for name, _ in name_trips(trips, ()))
    holder = Holder(kind=HolderKind.PILOT, ref="wren")
    done = LogEntry(
        number=7,
        kind=EventKind.DONE,
        paper="ne.commercial-applicator",
        holder=holder,
        step="test",
        happened_on=date(2027, 1, 14),
    )
    plan = compute_plan(
        demo_planned.plan.operation,
        demo_planned.table,
        (*demo_planned.log, done),
        date(2027, 1, 15),
    )
    named = name_trips(compute_trip_plan(plan, demo_planned.table).trips, known)

    kept = keep_names(named, known, plan)

    test = f"{NE}/2027/test~1"
    assert [one.number for one in kept if test in one.errands] == [1]
    assert [name.number for name, trip in named if test in keys(trip)] == []
    assert list_over(named, known, plan) == ()


def test_trip_with_everything_done_is_over_on_the_day_of_its_last_act(
    demo_planned: Planned,
) -> None:
    plan = demo_planned.plan
    paper = plan.find_paper("faa.registration-n:tg46")
    assert paper is not None
    keys_done = tuple(
        act_key(paper, step) for step in paper.steps if step.id.endswith(("/notarize", "/mail"))
    )
    known = (NamedTrip(number=4, planned_on=date(2026, 11, 20), errands=keys_done),)

    # The demo's log has the notary on 24 and the mailing on 30 November 2026.
    assert list_over((), known, plan) == (replace(known[0], planned_on=date(2026, 11, 30)),)


@pytest.mark.parametrize(("day", "over"), [(date(2027, 1, 10), 1), (date(2027, 1, 11), 0)])
def test_trip_that_is_needed_no_more_is_over_once_its_day_is_past(
    demo_plan: Plan, day: date, over: int
) -> None:
    known = (NamedTrip(number=4, planned_on=day, errands=("gone/2026/mail~1",)),)

    assert len(list_over((), known, demo_plan)) == over


def test_old_trips_are_forgotten_after_400_days(demo_plan: Plan) -> None:
    old = NamedTrip(number=1, planned_on=demo_plan.as_of - timedelta(days=401), errands=())
    recent = NamedTrip(number=2, planned_on=demo_plan.as_of - timedelta(days=400), errands=())

    assert keep_names((), (old, recent), demo_plan) == (recent,)


def test_trip_whose_errands_wait_is_neither_over_nor_planned(
    trips: tuple[Trip, ...], demo_plan: Plan
) -> None:
    """Its day is past, but nothing on it was done; a trip with something done is over."""
    known = tuple(name for name, _ in name_trips(trips, ()))
    late = replace(demo_plan, as_of=known[-1].planned_on + timedelta(days=1))
    waiting = tuple(HomeAct(paper=act.paper, step=act.step) for act in trips[-1].acts)

    without_day = list_without_day((), known, waiting, late)

    assert without_day == (known[-1],)
    assert list_over((), known, late, without_day) == known[:-1]
    assert list_over((), known, late) == known
    assert list_without_day((), known, (), late) == ()
