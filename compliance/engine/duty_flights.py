"""Planned flights: for which of them a duty before flying is asked for, and whether in time.

The one place that decides it, so that every output says the same of the same flight.
"""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from compliance.base.dates import add_days, say_date
from compliance.engine.duties_model import DutyState
from compliance.engine.duty_ground import Ground
from compliance.engine.duty_occasions import Occasion
from compliance.facts.model import Job
from compliance.facts.zones import (
    Unclear,
    add_hours,
    find_zone,
    parse_moment,
    say_moment,
    say_zone_missing,
)
from compliance.rules.model import DueUnit, DutyRow

# What is to be told longer before is told once, before the first flight of a job.
_MOST_DAYS_AHEAD = 40
# Twice as long, since business days may be counted; the first flight in time ends the search.
_MOST_DAYS_LOOKED_AT = 2 * _MOST_DAYS_AHEAD + 10
_DAY = timedelta(days=1)
MISSED_DAYS = 3
"""How many days ahead a flight whose notice is late is named, since it must not be flown so."""

Count = Callable[[Occasion], DutyRow | None]
Judge = Callable[[DutyRow, Occasion], DutyState]


def list_planned_flights(ground: Ground, count: Count, judge: Judge) -> Iterator[Occasion]:
    """List the flights of each job that a duty before flying is asked for.

    Shape: by day for each job: today's flight when its job is on today, or its first one when it
    is still to come, in time or not; then those of the next `MISSED_DAYS` days that are late and
    those for which only a late start is in time; the last is the first one that is wholly in time.
    *count* gives the duty with the numbers that hold on the day of a flight, None when it is not
    asked for then; such flights are left out. *judge* says how a flight stands, done or not.
    """
    for job in ground.operation.jobs:
        first = max(job.first_day, ground.as_of)
        if job.last_day < first:
            continue
        yield from _list_flights_of(ground, job, first, count, judge)


def _list_flights_of(
    ground: Ground, job: Job, first: date, count: Count, judge: Judge
) -> Iterator[Occasion]:
    is_first = True
    for later in range(min(_MOST_DAYS_LOOKED_AT, (job.last_day - first).days + 1)):
        flight = _plan_flight(ground, job, add_days(first, later))
        row = count(flight)
        if row is None:
            continue
        once = _is_told_once(row)
        if once and job.first_day < ground.as_of:
            break
        stands = judge(row, flight)
        near = flight.began_on <= add_days(ground.as_of, MISSED_DAYS)
        if is_first or near or stands is not DutyState.OVERDUE:
            yield flight
        is_first = False
        if once or stands is DutyState.OPEN:
            break


def _is_told_once(row: DutyRow) -> bool:
    hours = row.count if row.unit is DueUnit.HOURS else row.count * 24
    return row.unit is DueUnit.MONTHS or hours > _MOST_DAYS_AHEAD * 24


def _plan_flight(ground: Ground, job: Job, day: date) -> Occasion:
    zone = find_zone(ground.operation, job)
    start = parse_moment(job.first_flight, zone, day) if job.first_flight and zone else None
    moment = start if isinstance(start, datetime) else None
    fault = say_zone_missing(ground.operation, job)
    if isinstance(start, Unclear):
        fault = f"{start.sentence}, so no hour is taken for that day; count from the one you mean"
    when = say_moment(moment) if moment is not None else say_date(day)
    return Occasion(
        key=f"{job.id}@{day}",
        about=f"a flight of {job.id} on {when}",
        began_on=day,
        ended_on=day,
        began_at=moment,
        job=job.id,
        subjects=ground.subjects_of(job.id),
        any_hour=moment is None,
        zone=zone,
        hour_fault=fault,
    )


def days_before_any_hour(hours: int) -> int:
    """Give how many days before a flight is the last whole day that is on time for any start.

    Units: the flight may start at 00:00; the moment *hours* before then ends the last whole day.

    Example:
        >>> days_before_any_hour(24), days_before_any_hour(1), days_before_any_hour(48)
        (2, 2, 3)
    """
    return -(-hours // 24) + 1


def find_first_start(now: datetime, hours: int, zone: str) -> datetime | None:
    """Give the first minute at which a flight may start when it is told at *now*.

    Units: hours that really pass; the answer is in *zone* and rounded up to a whole minute. None
    without a zone.
    """
    if not zone:
        return None
    start = add_hours(now.astimezone(ZoneInfo(zone)), hours)
    spare = timedelta(seconds=start.second, microseconds=start.microsecond)
    whole = start.astimezone(UTC) + (timedelta(minutes=1) - spare if spare else timedelta(0))
    return whole.astimezone(start.tzinfo)


def has_start_in_time(
    day: date, hours: int, zone: str, *, as_of: date, now: datetime | None
) -> bool:
    """Tell whether a start at some minute of *day* is still in time.

    Units: hours that really pass from *now*, or from the beginning of *as_of* without it, until the
    end of *day*, which is no part of it. Without a zone every day has 24 hours.
    """
    if not zone:
        return (add_days(day, 1) - as_of) > timedelta(hours=hours)
    begun = now or datetime.combine(as_of, time(0), tzinfo=ZoneInfo(zone))
    ends = datetime.combine(day + _DAY, time(0), tzinfo=ZoneInfo(zone))
    return ends.astimezone(UTC) - begun.astimezone(UTC) > timedelta(hours=hours)
