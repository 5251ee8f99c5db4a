"""The acts of a plan gathered on trips; papers, farm and places are invented.

Days of 2027: 11 January is a Monday. Windows and waits are those of the plan, whose tests check
them against published calendars.
"""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from compliance.base.problems import RefusedError
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import Trip, TripPlan
from compliance.engine.trip_plan import compute_trip_plan
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

AS_OF = date(2027, 1, 11)
HEAD = """\
    holder: HOLDER
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
"""
OFFICE = """\
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted,
          return_path: [send-back, mend, mail, transit, review], @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
"""
COUNTER = """\
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
"""
DEED = (
    "  - id: own.deed\n    title: Deed\n"
    + HEAD.replace("HOLDER", "operation")
    + """\
      - {name: prepare, title: Prepare, kind: act, done_at: farm, @own}
      - {name: notarize, title: Notarize, kind: act, calendar: notary, done_at: notary,
          event: notarized, @own}
      - {name: check, title: Check, kind: act, done_at: farm, event: checked, @own}
"""
    + COUNTER
    + OFFICE
)
LICENSE = (
    "  - id: own.license\n    title: License\n"
    + HEAD.replace("HOLDER", "pilot")
    + """\
      - {name: test, title: Sit the test, kind: act, calendar: field, done_at: test center, @own}
      - {name: fill, title: Fill in, kind: act, done_at: farm, @own}
"""
    + COUNTER
    + OFFICE
)
MEETING = (
    "  - id: own.meeting\n    title: Meeting\n"
    + HEAD.replace("HOLDER", "operation")
    + "      - {name: attend, title: Attend, kind: act, calendar: field, event: granted,\n"
    "          done_at: meeting or online, @own}\n"
)
TUE_THU = "notary_days: [tue, thu]\n"


@pytest.fixture(name="make_trips")
def trips_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., TripPlan]:
    def make(
        papers: str,
        log: str = "",
        *,
        as_of: date = AS_OF,
        blocked: tuple[date, ...] = (),
        more: str = TUE_THU,
    ) -> TripPlan:
        operation, table = make_operation(more=more), make_table(papers)
        entries = make_log(operation, log) if log else ()
        plan = compute_plan(operation, table, entries, as_of)
        return compute_trip_plan(plan, table, blocked=blocked)

    return make


MakeTrips = Callable[..., TripPlan]


def say(trip: Trip) -> tuple[str, list[tuple[str, list[str]]]]:
    stops = [(str(stop.kind), [act.step.id for act in stop.acts]) for stop in trip.stops]
    return f"{trip.on:%m-%d}", stops


def test_notary_and_counter_are_one_trip_in_the_order_of_the_papers(make_trips: MakeTrips) -> None:
    """Safe days of both acts lie ahead; a week before them, on a Tuesday, is early enough."""
    found = make_trips(DEED)

    (trip,) = found.trips
    assert say(trip)[1] == [
        ("notary", ["own.deed/notarize"]),
        ("post-office", ["own.deed/mail"]),
    ]
    assert trip.on.weekday() in {1, 3}
    notarize, mail = trip.acts
    assert (notarize.by - trip.on).days >= 7
    assert (notarize.is_safe, mail.is_safe, found.proved) == (True, True, True)
    assert [home.step.id for home in trip.before_leaving] == ["own.deed/prepare"]
    assert [home.step.id for home in trip.stops[1].on_the_way] == ["own.deed/check"]


def test_acts_of_two_packets_ride_together(make_trips: MakeTrips) -> None:
    """A deed and a license: the test the day before at the latest, then one drive for the rest."""
    found = make_trips(DEED + LICENSE)

    assert len(found.trips) == 2
    assert found.apart == 3
    assert sorted(act.step.id for act in found.trips[-1].acts) == [
        "own.deed/mail",
        "own.deed/notarize",
        "own.license:wren/mail",
    ]


def test_work_at_home_between_asks_for_a_night(make_trips: MakeTrips) -> None:
    """Filling in the form comes between the test and the counter, and is done at home."""
    found = make_trips(LICENSE)

    first, second = found.trips
    assert (say(first)[1], say(second)[1]) == (
        [("test-center", ["own.license:wren/test"])],
        [("post-office", ["own.license:wren/mail"])],
    )
    assert [home.step.id for home in second.before_leaving] == ["own.license:wren/fill"]


def test_night_is_not_asked_for_on_the_very_last_day(make_trips: MakeTrips) -> None:
    """On the last day to mail, test and counter are one trip, and the form is filled in between."""
    last = make_trips(LICENSE).trips[1].acts[0].step.last
    assert last is not None

    found = make_trips(LICENSE, as_of=last)

    (trip,) = found.trips
    assert (trip.on, found.no_day) == (last, ())
    assert [str(stop.kind) for stop in trip.stops] == ["test-center", "post-office"]
    assert [home.step.id for home in trip.stops[1].on_the_way] == ["own.license:wren/fill"]


def test_days_nobody_can_go_move_the_trip(make_trips: MakeTrips) -> None:
    usual = make_trips(DEED).trips[0].on

    blocked = make_trips(DEED, blocked=(usual,))
    away = make_trips(
        DEED,
        more=TUE_THU + f"closures:\n  - {{who: vehicle, first_day: {usual}, last_day: {usual}}}\n",
    )

    assert blocked.trips[0].on < usual
    assert away.trips[0].on < usual


def test_without_room_the_trip_is_as_early_as_it_can_be(make_trips: MakeTrips) -> None:
    """On 12 April the safe days have passed; the last days have not."""
    found = make_trips(DEED, as_of=date(2027, 4, 12))

    (trip,) = found.trips
    assert (trip.on, trip.forced_by.is_safe) == (date(2027, 4, 13), False)
    assert found.room_days is None


SHUT_FOR_WEEKS = """\
notary_days: [tue]
closures:
  - {who: notary, first_day: 2027-03-29, last_day: 2027-04-19, why: away}
"""


def test_past_its_safe_day_an_act_does_not_wait_for_a_trip_weeks_ahead(
    make_trips: MakeTrips,
) -> None:
    """The notary is away until 20 April; the license has no safe day left and goes within a week.

    That a week is near enough for one drive is common practice, no source.
    """
    found = make_trips(LICENSE + DEED, as_of=date(2027, 3, 29), more=SHUT_FOR_WEEKS)

    acts = {act.step.id: (trip.on, act) for trip in found.trips for act in trip.acts}
    day, mail = acts["own.license:wren/mail"]
    assert mail.is_soon
    assert day <= mail.by <= mail.first + timedelta(days=7)
    assert mail.step.last is not None
    assert mail.by < mail.step.last
    assert acts["own.deed/notarize"][0] == date(2027, 4, 20)
    assert {on for on, act in acts.values() if act.paper.id != "own.deed"} == {
        date(2027, 3, 29),
        date(2027, 3, 30),
    }


def test_past_its_safe_day_an_act_waits_a_few_days_for_a_drive_less(make_trips: MakeTrips) -> None:
    """Safe through 16 March, the license is mailed with the deed on the notary's Tuesday 23 March.

    That is planned so as of each day of that week.
    """
    more = "notary_days: [tue]\n"
    for day in (date(2027, 3, 17), date(2027, 3, 18), date(2027, 3, 22)):
        found = make_trips(LICENSE + DEED, as_of=day, more=more)

        days = {act.step.id: trip.on for trip in found.trips for act in trip.acts}
        assert days["own.deed/notarize"] == days["own.license:wren/mail"] == date(2027, 3, 23)
        assert all(act.is_soon for trip in found.trips for act in trip.acts)


def test_week_to_wait_for_a_drive_is_not_given_anew_each_day(make_trips: MakeTrips) -> None:
    """The week after the safe day 16 March is over: the license goes on its first day, alone.

    As of 25 March that is Friday 26 March, a day after the exam, though the deed goes on Tuesday.
    """
    found = make_trips(LICENSE + DEED, as_of=date(2027, 3, 25), more="notary_days: [tue]\n")

    days = {act.step.id: (trip.on, act.by) for trip in found.trips for act in trip.acts}
    assert days == {
        "own.license:wren/test": (date(2027, 3, 25), date(2027, 3, 25)),
        "own.license:wren/mail": (date(2027, 3, 26), date(2027, 3, 26)),
        "own.deed/notarize": (date(2027, 3, 30), date(2027, 3, 30)),
        "own.deed/mail": (date(2027, 3, 30), date(2027, 3, 30)),
    }


def test_last_day_to_wait_is_not_put_off_as_days_go_by(make_trips: MakeTrips) -> None:
    """With nothing done for 50 days, what an act past its safe day may wait for stays one day.

    Once that day has gone by it is the first day on which the act can be done.
    """
    ends: dict[str, set[date]] = {}
    for at in range(50):
        day = date(2027, 3, 10) + timedelta(days=at)
        found = make_trips(LICENSE + DEED, as_of=day, more="notary_days: [tue]\n")
        for trip in found.trips:
            for act in trip.acts:
                if act.is_soon and act.by > act.first:
                    ends.setdefault(act.step.id, set()).add(act.by)
                elif act.is_soon:
                    assert trip.on == act.first

    # Safe through 16 March: the exam from the 17th, the mail from the 17th, the notary on the 23rd;
    # the exam a day before what is mailed after it.
    assert ends == {
        "own.license:wren/test": {date(2027, 3, 23)},
        "own.license:wren/mail": {date(2027, 3, 24)},
        "own.deed/notarize": {date(2027, 3, 30)},
        "own.deed/mail": {date(2027, 3, 30)},
    }


def test_trip_ahead_stays_where_it_is_day_after_day(make_trips: MakeTrips) -> None:
    """Planned anew on each day up to the trip, with nothing done, the deed keeps its Tuesday."""
    more = "notary_days: [tue]\n"
    plans = [
        make_trips(LICENSE + DEED, as_of=date(2027, 3, 31) + timedelta(days=at), more=more)
        for at in range(7)
    ]

    found = [
        {trip.on for trip in one.trips for act in trip.acts if act.paper.id == "own.deed"}
        for one in plans
    ]
    assert all(act.is_soon for act in plans[0].trips[-1].acts)
    assert found == [{date(2027, 4, 6)}] * 7


def test_late_act_goes_on_the_first_possible_day(make_trips: MakeTrips) -> None:
    found = make_trips(DEED, as_of=date(2027, 5, 20))

    (trip,) = found.trips
    assert trip.on == date(2027, 5, 20)
    assert trip.forced_by.is_late
    assert [one.act.step.id for one in found.no_day] == ["own.deed/notarize", "own.deed/mail"]


def test_no_day_in_time_says_what_is_in_the_way(make_trips: MakeTrips) -> None:
    """The notary's last days are blocked: the day before them is open, so nothing is late yet."""
    last = make_trips(DEED).trips[0].acts[0].step.last
    assert last is not None
    blocked = tuple(date.fromordinal(last.toordinal() - at) for at in range(4))

    found = make_trips(DEED, as_of=blocked[-1], blocked=blocked)

    no_day = found.no_day[0]
    assert no_day.act.step.id == "own.deed/notarize"
    assert [day.on for day in no_day.shut if day.is_place_open] == [
        day for day in reversed(blocked) if day.weekday() in {1, 3}
    ]
    assert min(day.on for day in no_day.shut) == blocked[-1]
    assert found.trips[0].on > last


def test_notary_that_never_opens_again_is_refused(make_trips: MakeTrips) -> None:
    """Every day of the year ahead is blocked, so there is no trip at all."""
    blocked = tuple(date.fromordinal(AS_OF.toordinal() + at) for at in range(900))

    with pytest.raises(RefusedError) as caught:
        make_trips(DEED, blocked=blocked)

    assert caught.value.message == (
        "Notarize (own.deed): no day within the year ahead on which the notary is open and "
        "somebody can go"
    )
    assert caught.value.hint == (
        "in its way: the notary is closed (it is open tue, thu), given with --no-trip; look at "
        "places, closures and --no-trip"
    )


def test_done_acts_are_left_out_and_the_rest_is_planned_anew(make_trips: MakeTrips) -> None:
    """The notary's visit is logged, the mailing was missed: a trip to the counter alone remains."""
    log = "- {kind: notarized, paper: own.deed, on: 2027-02-02}"

    found = make_trips(DEED, log, as_of=date(2027, 2, 3))

    assert [say(trip)[1] for trip in found.trips] == [[("post-office", ["own.deed/mail"])]]


def test_nothing_in_town_needs_no_trip(make_trips: MakeTrips) -> None:
    found = make_trips(MEETING)

    assert (found.trips, found.proved, found.apart) == ((), True, 0)
    assert [home.step.id for home in found.online] == ["own.meeting/attend"]


def test_places_are_chosen_with_a_common_hour(make_trips: MakeTrips) -> None:
    """The second notary is open while the counter is; the first is not."""
    places = """\
places:
  - {kind: notary, name: Early Bank, days: [tue], hours: "7:00-8:00"}
  - {kind: notary, name: Late Bank, days: [tue], hours: "9:00-12:00"}
  - {kind: post-office, name: Counter, days: [tue, wed], hours: "8:30-11:00"}
"""
    (trip,) = make_trips(DEED, more=places).trips

    assert [str(stop.place) for stop in trip.stops] == ["Late Bank", "Counter"]
    assert trip.hours_note == ""


def test_what_shuts_first_is_gone_to_first(make_trips: MakeTrips) -> None:
    """The papers put the notary before the counter; the test may be at any time of the day."""
    hours = """\
places:
  - {kind: test-center, name: Invented College, days: [tue], hours: "8:00-CLOSE"}
  - {kind: notary, name: Bank, days: [tue], hours: "8:00-12:00"}
  - {kind: post-office, name: Counter, days: [tue], hours: "8:00-11:00"}
"""

    def order(closes: str) -> list[str]:
        more = hours.replace("CLOSE", closes)
        trip = make_trips(DEED + LICENSE, more=more, as_of=date(2027, 4, 20)).trips[0]
        return [str(stop.kind) for stop in trip.stops]

    assert order("15:00") == ["notary", "post-office", "test-center"]
    assert order("10:00") == ["test-center", "notary", "post-office"]


def test_counter_is_gone_to_once_though_one_packet_could_be_mailed_first(
    make_trips: MakeTrips,
) -> None:
    """The license waits for nobody and the counter shuts first, yet the deed is notarized first."""
    places = """\
places:
  - {kind: notary, name: Bank, days: [tue], hours: "8:00-12:00"}
  - {kind: post-office, name: Counter, days: [tue], hours: "8:00-11:00"}
"""
    log = "- {kind: done, paper: own.license, holder: wren, step: test, on: 2027-04-19}"

    (trip,) = make_trips(DEED + LICENSE, log, more=places, as_of=date(2027, 4, 20)).trips

    assert [(str(stop.kind), len(stop.acts)) for stop in trip.stops] == [
        ("notary", 1),
        ("post-office", 2),
    ]


def test_places_without_a_common_hour_are_flagged(make_trips: MakeTrips) -> None:
    places = """\
places:
  - {kind: notary, name: Early Bank, days: [tue], hours: "7:00-8:00"}
  - {kind: post-office, name: Counter, days: [tue, wed], hours: "8:30-11:00"}
"""
    (trip,) = make_trips(DEED, more=places).trips

    assert trip.hours_note == (
        "no hour at which all its places are open: mind the order and the time between"
    )


def test_counter_that_shuts_before_the_notary_opens_is_another_day(make_trips: MakeTrips) -> None:
    """On Tuesday the counter shuts first; on Wednesday it can be gone to with the paper."""
    places = """\
places:
  - {kind: notary, name: Bank, days: [tue], hours: "13:00-16:00"}
  - {kind: post-office, name: Counter, days: [tue, wed], hours: "8:30-11:00"}
"""
    first, second = make_trips(DEED, more=places).trips

    assert (say(first)[1], say(second)[1]) == (
        [("notary", ["own.deed/notarize"])],
        [("post-office", ["own.deed/mail"])],
    )
    assert (first.on.weekday(), second.on > first.on) == (1, True)


def test_days_of_the_test_center_move_the_test(make_trips: MakeTrips) -> None:
    places = "places:\n  - {kind: test-center, name: Invented College, days: [wed]}\n"

    first = make_trips(LICENSE, more=places).trips[0]

    assert first.on.weekday() == 2


def test_forced_by_names_what_waits_for_it(make_trips: MakeTrips) -> None:
    """The test has to be over a night before the packet's safe day to mail."""
    first, second = make_trips(LICENSE).trips

    assert first.forced_by.waited_for_by == "own.license:wren/mail"
    assert (second.forced_by.waited_for_by, second.forced_by.is_safe) == ("", True)
    assert second.forced_by.by == second.forced_by.step.safe


def test_plan_dates_are_the_same_without_the_new_keys(
    make_operation: MakeOperation, make_table: MakeTable
) -> None:
    """Places whose days are those given before change no day of the plan."""
    places = "places:\n  - {kind: notary, name: Bank, days: [tue, thu]}\n"

    def dates(more: str) -> list[tuple[object, ...]]:
        plan: Plan = compute_plan(make_operation(more=more), make_table(DEED + LICENSE), (), AS_OF)
        return [
            (step.id, step.last, step.safe, step.earliest)
            for paper in plan.papers
            for step in paper.steps
        ]

    assert dates(TUE_THU) == dates(TUE_THU + places)
