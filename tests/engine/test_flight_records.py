"""Which flight a record tells of, by job, aircraft and the clock on the wall."""

from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from compliance.engine.flight_records import (
    covers,
    find_flights_of,
    list_spans,
    match_flights,
)
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.records import Application
from tests.kit_records import PLAIN

ZONE = ZoneInfo("America/Chicago")


def flight(number: int, start: str, end: str, **more: str) -> JobEvent:
    begun, ended = (datetime.fromisoformat(one).replace(tzinfo=ZONE) for one in (start, end))
    fields = {"job": "pasture", "aircraft": "tg46", "pilot": "odile"} | more
    return JobEvent(
        number=number,
        kind=JobEventKind.FLEW,
        on=begun.date(),
        start=begun,
        end=ended,
        job=fields["job"],
        aircraft=fields["aircraft"],
        pilot=fields["pilot"],
    )


MORNING = flight(1, "2027-06-15 06:10", "2027-06-15 07:45")
SECOND = flight(2, "2027-06-15 07:45", "2027-06-15 08:30")
NIGHT = flight(3, "2027-06-16 23:30", "2027-06-17 00:40")


def record(
    start: str = "",
    end: str = "",
    *,
    day: date = date(2027, 6, 15),
    flights: tuple[int, ...] = (),
    aircraft: str = "tg46",
    zone: str = "America/Chicago",
) -> Application:
    return replace(
        PLAIN,
        written_on=day,
        on=day,
        start=start,
        end=end,
        zone=zone,
        aircraft=aircraft,
        flights=flights,
    )


@pytest.mark.parametrize(
    ("start", "end", "found"),
    [
        ("06:10", "07:45", (1,)),
        ("06:30", "07:00", (1,)),
        ("05:00", "06:11", (1,)),
        ("05:00", "06:10", ()),
        ("06:00", "09:00", (1, 2)),
        ("07:45", "08:00", (2,)),
        ("08:30", "09:00", ()),
        ("08:29", "", (2,)),
        ("", "06:10", (1,)),
        ("", "", ()),  # two flights that day: nobody can say which
    ],
)
def test_times_that_overlap_belong_together(start: str, end: str, found: tuple[int, ...]) -> None:
    """Work that ends on the minute the next begins does not overlap it."""
    assert match_flights(record(start, end), (MORNING, SECOND)) == found


def test_record_without_times_is_of_the_only_flight_of_its_day() -> None:
    assert match_flights(record(), (MORNING, NIGHT)) == (1,)


def test_other_aircraft_job_and_day_do_not_match() -> None:
    other_job = flight(4, "2027-06-15 06:10", "2027-06-15 07:45", job="seed")

    assert match_flights(record("06:10", "07:45", aircraft="tg18"), (MORNING,)) == ()
    assert match_flights(record("06:10", "07:45"), (other_job,)) == ()
    assert match_flights(record("06:10", "07:45", day=date(2027, 6, 16)), (MORNING,)) == ()


def test_both_records_of_a_flight_past_midnight_belong_to_it() -> None:
    assert match_flights(record("23:30", "23:59", day=date(2027, 6, 16)), (NIGHT,)) == (3,)
    assert match_flights(record("00:00", "00:40", day=date(2027, 6, 17)), (NIGHT,)) == (3,)


def test_times_are_those_of_the_clock_at_the_place_of_the_record() -> None:
    """06:10 to 07:45 in Central time is an hour earlier on a Mountain clock."""
    assert match_flights(record("05:10", "06:45", zone="America/Denver"), (MORNING,)) == (1,)
    assert match_flights(record("06:45", "07:45", zone="America/Denver"), (MORNING,)) == ()


def test_flight_named_wins_as_long_as_it_stands() -> None:
    """Its number is kept in the record; a withdrawn one gives way to the one that overlaps."""
    named = record("06:10", "07:45", flights=(2,))

    assert find_flights_of(named, (MORNING, SECOND)) == (2,)
    assert find_flights_of(named, (MORNING,)) == (1,)


def test_flight_is_split_at_midnight_and_not_where_it_ends_then() -> None:
    """The hours of each local day; what ends at midnight does not touch the next day."""
    until = flight(4, "2027-06-16 23:30", "2027-06-17 00:00")
    clocks = [[f"{one:%d %H:%M}" for one in span] for span in list_spans(NIGHT)]

    assert clocks == [["16 23:30", "17 00:00"], ["17 00:00", "17 00:40"]]
    assert list_spans(MORNING) == ((MORNING.start, MORNING.end),)
    assert list_spans(until) == ((until.start, until.end),)


def test_record_tells_of_the_hours_of_its_own_day() -> None:
    """On a Mountain clock the night flight of Central time lies in one day, so one record does."""
    evening, morning = list_spans(NIGHT)
    of_16, of_17 = (record("00:00", "00:40", day=date(2027, 6, day)) for day in (16, 17))
    west = record("22:30", "23:40", day=date(2027, 6, 16), zone="America/Denver")

    assert [covers(of_16, one) for one in (evening, morning)] == [True, False]
    assert [covers(of_17, one) for one in (evening, morning)] == [False, True]
    assert [covers(west, one) for one in (evening, morning)] == [True, True]
