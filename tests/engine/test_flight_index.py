"""An index of flights against the plain way: looking at every flight of the log."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from compliance.engine.flight_index import FlightIndex
from compliance.engine.flight_records import find_flights_of, match_flights
from compliance.engine.record_keep import find_keep_days
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.records import Application
from tests.kit_records import PLAIN

# The first two and the last are the farthest apart of all: 26 hours, two days on the calendar.
PLACES = ("Pacific/Kiritimati", "Etc/GMT+12", "America/Chicago", "America/Denver")
BEGIN = datetime(2027, 6, 14, tzinfo=UTC)
CLOCKS = st.one_of(
    st.just(""), st.times().map(lambda one: one.replace(second=0).isoformat("minutes"))
)


@st.composite
def draw_flight(draw: st.DrawFn, number: int) -> JobEvent:
    zone = ZoneInfo(draw(st.sampled_from(PLACES)))
    start = (BEGIN + timedelta(minutes=draw(st.integers(0, 5 * 1440)))).astimezone(zone)
    timed = draw(st.booleans())
    return JobEvent(
        number=number,
        kind=JobEventKind.FLEW,
        on=start.date(),
        job=draw(st.sampled_from(("pasture", "seed"))),
        start=start if timed else None,
        end=start + timedelta(minutes=draw(st.integers(1, 1500))) if timed else None,
        aircraft=draw(st.sampled_from(("", "tg46", "tg18"))),
        re_entry_hours=draw(st.sampled_from((None, 4, 48))),
    )


@st.composite
def draw_log(draw: st.DrawFn) -> tuple[JobEvent, ...]:
    count = draw(st.integers(0, 8))
    return tuple(draw(draw_flight(number)) for number in draw(st.permutations(range(1, count + 1))))


@st.composite
def draw_record(draw: st.DrawFn) -> Application:
    start, end = sorted((draw(CLOCKS), draw(CLOCKS)))
    return replace(
        PLAIN,
        job=draw(st.sampled_from(("pasture", "seed"))),
        on=date(2027, 6, draw(st.integers(12, 20))),
        start=start,
        end=end,
        zone=draw(st.sampled_from(("", *PLACES))),
        aircraft=draw(st.sampled_from(("tg46", "tg18"))),
        flights=draw(st.lists(st.integers(1, 10), max_size=2).map(tuple)),
    )


@given(draw_log(), draw_record())
def test_what_is_near_is_as_good_as_the_whole_log(
    log: tuple[JobEvent, ...], record: Application
) -> None:
    near = FlightIndex(log).list_near(record)

    assert find_flights_of(record, near) == find_flights_of(record, log)
    assert match_flights(record, near) == match_flights(record, log)
    assert find_keep_days(record, near) == find_keep_days(record, log)


def test_flights_of_two_clocks_meet_across_two_days() -> None:
    """At 00:30 on 16 June on Kiritimati (UTC+14) it is 22:30 on 14 June at UTC-12."""
    zone = ZoneInfo("Pacific/Kiritimati")
    start = datetime(2027, 6, 16, 0, 30, tzinfo=zone)
    flight = JobEvent(
        number=1,
        kind=JobEventKind.FLEW,
        on=start.date(),
        job=PLAIN.job,
        start=start,
        end=start + timedelta(minutes=20),
    )
    record = replace(
        PLAIN, on=date(2027, 6, 14), start="22:30", end="22:50", zone="Etc/GMT+12", flights=()
    )

    assert FlightIndex((flight,)).list_near(record) == (flight,)
    assert match_flights(record, FlightIndex((flight,)).list_near(record)) == (1,)


def test_a_year_of_flights_is_not_looked_at() -> None:
    record = replace(PLAIN, on=date(2027, 6, 14), zone="", flights=())
    days = (date(2027, 1, 1) + timedelta(days=at) for at in range(365))
    log = tuple(
        JobEvent(number=at, kind=JobEventKind.FLEW, on=day, job=PLAIN.job)
        for at, day in enumerate(days, 1)
    )

    near = FlightIndex(log).list_near(record)

    assert [one.on for one in near] == [record.on]
