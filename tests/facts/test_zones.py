"""Clocks against the IANA table itself, a second library (dateutil) and a federal rule's note."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from hypothesis import given
from hypothesis import strategies as st

from compliance.facts.model import Operation
from compliance.facts.states import STATES
from compliance.facts.zones import (
    ZONES_OF_STATES,
    Unclear,
    add_hours,
    choose_zones,
    find_skipped,
    find_zone,
    is_clock,
    is_zone,
    parse_moment,
    say_first_flight_faults,
    say_moment,
)

CHICAGO = "America/Chicago"


def test_every_state_has_zones_of_the_united_states() -> None:
    """Source: zone.tab of the IANA table, whose first column is the country."""
    rows = (files("tzdata.zoneinfo") / "zone.tab").read_text(encoding="utf-8").splitlines()
    american = {row.split("\t")[2] for row in rows if row.startswith("US\t")}

    assert ZONES_OF_STATES.keys() == STATES.keys()
    assert {name for names in ZONES_OF_STATES.values() for name in names} <= american


@pytest.mark.parametrize(
    ("name", "good"),
    [
        (CHICAGO, True),
        ("America/Indiana/Indianapolis", True),
        ("America", False),
        ("Central", False),
        ("CST6CDT", False),
        ("Etc/GMT+6", False),
        ("America/Chicag", False),
        ("../etc/passwd", False),
        ("", False),
    ],
)
def test_is_zone_takes_names_of_places_only(name: str, good: bool) -> None:
    assert is_zone(name) is good


@pytest.mark.parametrize(
    ("text", "good"),
    [("00:00", True), ("23:59", True), ("24:00", False), ("6:30", False), ("06:60", False)],
)
def test_is_clock(text: str, good: bool) -> None:
    assert is_clock(text) is good


def test_find_zone_prefers_the_job_then_its_state_then_the_operation(
    demo_operation: Operation,
) -> None:
    """Nebraska is on two clocks, Iowa on one."""
    silent = replace(demo_operation, time_zone="")
    nebraska = replace(demo_operation.jobs[0], state="NE")
    iowa = replace(nebraska, state="IA")
    western = replace(nebraska, time_zone="America/Denver")

    assert find_zone(silent) == ""
    assert find_zone(silent, nebraska) == ""
    assert find_zone(silent, iowa) == CHICAGO
    assert find_zone(replace(demo_operation, time_zone="America/Denver"), iowa) == CHICAGO
    assert find_zone(demo_operation, nebraska) == CHICAGO
    assert find_zone(demo_operation, western) == "America/Denver"
    assert find_zone(replace(silent, home_state="MN")) == CHICAGO
    assert choose_zones(silent, nebraska) == (CHICAGO, "America/Denver")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2027-06-01 06:10", "Tue 1 Jun 2027 06:10 CDT"),
        ("2027-06-01T6:10", "Tue 1 Jun 2027 06:10 CDT"),
        ("06:10", "Sat 1 May 2027 06:10 CDT"),
        ("2027-01-11 23:59", "Mon 11 Jan 2027 23:59 CST"),
        ("2027-11-07 01:30 CDT", "Sun 7 Nov 2027 01:30 CDT"),
        ("2027-11-07 01:30 CST", "Sun 7 Nov 2027 01:30 CST"),
        ("2027-06-01 06:10 CDT", "Tue 1 Jun 2027 06:10 CDT"),
    ],
)
def test_parse_moment(text: str, said: str) -> None:
    found = parse_moment(text, CHICAGO, date(2027, 5, 1))

    assert isinstance(found, datetime)
    assert say_moment(found) == said


FORM = "write year-month-day and hours:minutes, such as 2027-06-01 06:10"


@pytest.mark.parametrize(
    ("text", "sentence", "hint"),
    [
        # 15 USC 260a: clocks change at 2 a.m. on the second Sunday in March, first in November.
        (
            "2027-03-14 02:30",
            "02:30 does not exist on Sun 14 Mar 2027: clocks go forward",
            "a clock showed 03:30 then",
        ),
        (
            "2027-11-07 01:30",
            "01:30 comes twice on Sun 7 Nov 2027, as clocks go back",
            "write `2027-11-07 01:30 CDT` for the first, `2027-11-07 01:30 CST` for the second",
        ),
        (
            "2027-11-07 01:30 MST",
            "America/Chicago is not on MST at 01:30 on Sun 7 Nov 2027",
            "write CDT or CST, or leave the letters out",
        ),
        (
            "2027-06-01 06:10 CST",
            "America/Chicago is not on CST at 06:10 on Tue 1 Jun 2027",
            "write CDT, or leave the letters out",
        ),
        ("2027-02-30 06:10", "'2027-02-30' is no day", FORM),
        ("06:10", "'06:10' names no day", FORM),
        ("2027-06-01 25:10", "'2027-06-01 25:10' is no day and time", FORM),
        ("dawn", "'dawn' is no day and time", FORM),
        ("", "'' is no day and time", FORM),
    ],
)
def test_parse_moment_unclear_is_said(text: str, sentence: str, hint: str) -> None:
    assert parse_moment(text, CHICAGO) == Unclear(sentence=sentence, hint=hint)


def test_add_hours_as_in_the_note_on_federal_civil_procedure() -> None:
    """Source: Fed. R. Civ. P. 6(a)(2), committee note of 2009 (example from memory)."""
    friday = datetime(2007, 11, 2, 10, 23, tzinfo=ZoneInfo("America/New_York"))

    assert say_moment(add_hours(friday, 72)) == "Mon 5 Nov 2007 09:23 EST"


@given(
    minute=st.integers(26_297_280, 35_240_000),
    hours=st.integers(-200, 200),
    name=st.sampled_from(sorted({one for names in ZONES_OF_STATES.values() for one in names})),
)
def test_add_hours_agrees_with_dateutil(minute: int, hours: int, name: str) -> None:
    """A second library, with its own reading of the zone files, shows the same clock.

    Minutes since 1970: from the year 2020 to the end of 2036.
    """
    start = datetime.fromtimestamp(minute * 60, tz=ZoneInfo(name))

    moved = add_hours(start, hours)

    other = (start.astimezone(UTC) + timedelta(hours=hours)).astimezone(tz.gettz(name))
    assert moved.replace(tzinfo=None) == other.replace(tzinfo=None)
    assert moved.timestamp() - start.timestamp() == hours * 3600
    assert add_hours(moved, -hours).timestamp() == start.timestamp()


@pytest.mark.parametrize(
    ("day", "clock", "zone", "skipped"),
    [
        (date(2028, 3, 12), "01:59", CHICAGO, False),
        (date(2028, 3, 12), "02:00", CHICAGO, True),
        (date(2028, 3, 12), "02:59", CHICAGO, True),
        (date(2028, 3, 12), "03:00", CHICAGO, False),
        (date(2028, 11, 5), "01:30", CHICAGO, False),
        (date(2028, 3, 12), "02:30", "America/Phoenix", False),
        (date(2028, 3, 12), "02:30", "", False),
    ],
)
def test_find_skipped(day: date, clock: str, zone: str, skipped: bool) -> None:
    """Source: 15 U.S.C. 260a, 2 a.m. of the second Sunday in March; Arizona is exempt."""
    assert (find_skipped(day, clock, zone) is not None) == skipped


@pytest.mark.parametrize(
    ("first", "last", "hour", "as_of", "days"),
    [
        ("2028-03-10", "2028-03-14", "02:30", "2028-01-01", ["Sun 12 Mar 2028"]),
        ("2028-03-10", "2028-03-14", "02:30", "2028-03-12", ["Sun 12 Mar 2028"]),
        ("2028-03-10", "2028-03-14", "02:30", "2028-03-13", []),
        ("2028-03-10", "2028-03-14", "06:30", "2028-01-01", []),
        ("2028-11-01", "2028-11-05", "01:30", "2028-01-01", ["Sun 5 Nov 2028"]),
        ("2028-11-01", "2028-11-05", "", "2028-01-01", []),
    ],
)
def test_say_first_flight_faults_names_each_day_clocks_change(
    first: str, last: str, hour: str, as_of: str, days: list[str], demo_operation: Operation
) -> None:
    """Source: 15 U.S.C. 260a, second Sunday in March and first Sunday in November."""
    job = replace(
        demo_operation.jobs[0],
        first_day=date.fromisoformat(first),
        last_day=date.fromisoformat(last),
        first_flight=hour,
        time_zone=CHICAGO,
    )

    said = list(say_first_flight_faults(demo_operation, job, date.fromisoformat(as_of)))

    why = (
        "does not exist on {}: clocks go forward"
        if "-03-" in first
        else ("comes twice on {}, as clocks go back")
    )
    assert said == [
        f"{job.id}: {hour} {why.format(day)}, so its `first_flight` is not used for that day; "
        "count from the hour you mean"
        for day in days
    ]
