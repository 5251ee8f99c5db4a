"""Time zones: which one a place is on, and the clock on its wall as an instant.

Only duties that count clock hours need them; everything else works in whole days.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from compliance.base.dates import parse_iso_date, say_date
from compliance.facts.model import Job, Operation

_EASTERN, _CENTRAL = "America/New_York", "America/Chicago"
_MOUNTAIN, _PACIFIC = "America/Denver", "America/Los_Angeles"

# Source: 49 CFR part 71 and the comments of the IANA zone table (from memory). A state whose land
# lies on two clocks has both, the one of most of its land first: such a place must be asked for.
# Arizona has two because the Navajo Nation keeps daylight saving time.
ZONES_OF_STATES: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(
        ("CT", "DC", "DE", "GA", "ME", "MD", "MA", "NH", "NJ", "NY", "NC", "OH", "PA", "RI"),
        (_EASTERN,),
    ),
    **dict.fromkeys(("SC", "VT", "VA", "WV"), (_EASTERN,)),
    **dict.fromkeys(("AL", "AR", "IL", "IA", "LA", "MN", "MS", "MO", "OK", "WI"), (_CENTRAL,)),
    **dict.fromkeys(("CO", "MT", "NM", "UT", "WY"), (_MOUNTAIN,)),
    **dict.fromkeys(("CA", "WA"), (_PACIFIC,)),
    **dict.fromkeys(("KS", "NE", "ND", "SD", "TX"), (_CENTRAL, _MOUNTAIN)),
    "AK": ("America/Anchorage", "America/Adak"),
    "AZ": ("America/Phoenix", _MOUNTAIN),
    "FL": (_EASTERN, _CENTRAL),
    "HI": ("Pacific/Honolulu",),
    "ID": ("America/Boise", _PACIFIC),
    "IN": ("America/Indiana/Indianapolis", _CENTRAL),
    "KY": (_EASTERN, _CENTRAL),
    "MI": ("America/Detroit", "America/Menominee"),
    "NV": (_PACIFIC, _MOUNTAIN),
    "OR": (_PACIFIC, "America/Boise"),
    "TN": (_CENTRAL, _EASTERN),
}

_WORDS = {
    _EASTERN: "Eastern time, as in New York",
    _CENTRAL: "Central time, as in Chicago",
    _MOUNTAIN: "Mountain time, as in Denver",
    _PACIFIC: "Pacific time, as in Los Angeles",
    "America/Adak": "Aleutian time, as on Adak",
    "America/Anchorage": "Alaska time, as in Anchorage",
    "America/Boise": "Mountain time, as in Boise",
    "America/Detroit": "Eastern time, as in Detroit",
    "America/Indiana/Indianapolis": "Eastern time, as in Indianapolis",
    "America/Menominee": "Central time, as in Menominee",
    "America/Phoenix": "Mountain time all year, as in Phoenix",
    "Pacific/Honolulu": "Hawaii time, as in Honolulu",
}

_NAME = re.compile(r"[A-Z][A-Za-z]+(/[A-Z][A-Za-z_-]+){1,2}", re.ASCII)
_CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)
_MOMENT = re.compile(r"(?:(\S+)[ T])?(\d{1,2}:\d\d)(?: ([A-Z]{2,5}))?", re.ASCII)


def is_zone(name: str) -> bool:
    """Tell whether a text names a time zone of the IANA table, such as ``America/Chicago``."""
    if _NAME.fullmatch(name) is None or name.startswith("Etc/"):
        return False
    try:
        ZoneInfo(name)
    except (KeyError, OSError, ValueError):
        return False
    return True


def say_zone(name: str) -> str:
    """Name a time zone as people do, by a town whose clocks everybody knows.

    Shape: a zone of no state's keeps its name of the IANA table.
    """
    return _WORDS.get(name, name)


def is_clock(text: str) -> bool:
    """Tell whether a text is a time of day as ``HH:MM``, from 00:00 to 23:59."""
    return _CLOCK.fullmatch(text) is not None


def find_zone(operation: Operation, job: Job | None = None) -> str:
    """Name the time zone a job is on, or the operation without one; empty when nobody knows.

    Shape: the job's own line, then the one zone of its state, then the operation's line, then the
    one zone of the home state.
    """
    state = operation.home_state if job is None else job.state
    only = ZONES_OF_STATES.get(state, ())
    if job is not None and job.time_zone:
        return job.time_zone
    if job is not None and len(only) == 1:
        return only[0]
    if operation.time_zone:
        return operation.time_zone
    return only[0] if len(only) == 1 else ""


def choose_zones(operation: Operation, job: Job | None = None) -> tuple[str, ...]:
    """Give the zones a person may choose from when `find_zone` finds none."""
    return ZONES_OF_STATES.get(operation.home_state if job is None else job.state, ())


def say_zone_missing(operation: Operation, job: Job) -> str:
    """Ask for the time zone of a job whose first flight needs it; empty where all is known."""
    if not job.first_flight or find_zone(operation, job):
        return ""
    zones = " or ".join(choose_zones(operation, job)) or "a zone such as America/Chicago"
    return (
        f"{job.id}: its `first_flight` is not used, because the time zone there is not known; add "
        f"a line `time_zone:` with {zones} to the job"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Unclear:
    """Why a text is no moment, in words, and what to write instead."""

    sentence: str
    hint: str


def parse_moment(text: str, zone: str, day: date | None = None) -> datetime | Unclear:
    """Read ``2027-06-01 06:10`` as the clock on the wall shows it, as an aware datetime.

    Shape: a time alone is on *day* when there is one. When clocks go back an hour comes twice: then
    the zone's letters must follow, as in ``01:30 CDT``. A time that clocks skip is refused.
    Units: minutes; the answer carries *zone*, with ``fold`` set for the second of two.
    """
    form = "write year-month-day and hours:minutes, such as 2027-06-01 06:10"
    written = _MOMENT.fullmatch(" ".join(text.split()))
    if written is None or not is_clock(written[2].rjust(5, "0")):
        return Unclear(sentence=f"{text!r} is no day and time", hint=form)
    on = parse_iso_date(written[1]) if written[1] else day
    if on is None:
        what = f"{written[1]!r} is no day" if written[1] else f"{text!r} names no day"
        return Unclear(sentence=what, hint=form)
    wall = datetime.combine(on, time.fromisoformat(written[2].rjust(5, "0")))
    return _place(wall, zone, written[3] or "")


def _place(wall: datetime, zone: str, letters: str) -> datetime | Unclear:
    """Find the one instant at which the clock of a zone shows a time."""
    both = [_at(wall, zone, fold) for fold in (0, 1)]
    if _is_skipped(wall, both[0], zone):
        return _skipped(wall, both)
    if letters:
        fitting = [moment for moment in both if moment.tzname() == letters]
        if fitting:
            return fitting[0]
        known = " or ".join(dict.fromkeys(moment.tzname() or "" for moment in both))
        sentence = f"{zone} is not on {letters} at {say_clock(wall)} on {say_date(wall.date())}"
        return Unclear(sentence=sentence, hint=f"write {known}, or leave the letters out")
    if both[0].utcoffset() != both[1].utcoffset():
        first, second = (f"`{wall:%Y-%m-%d %H:%M} {moment.tzname()}`" for moment in both)
        sentence = f"{say_clock(wall)} comes twice on {say_date(wall.date())}, as clocks go back"
        return Unclear(
            sentence=sentence, hint=f"write {first} for the first, {second} for the second"
        )
    return both[0]


def _is_skipped(wall: datetime, moment: datetime, zone: str) -> bool:
    return moment.astimezone(UTC).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != wall


def find_skipped(day: date, clock: str, zone: str) -> Unclear | None:
    """Say that the clocks of a zone never showed a time, ``HH:MM``, on a day; None when they did.

    Shape: None too without a zone. A time that comes twice was shown.
    """
    if not zone:
        return None
    wall = datetime.combine(day, time.fromisoformat(clock))
    both = [_at(wall, zone, fold) for fold in (0, 1)]
    return _skipped(wall, both) if _is_skipped(wall, both[0], zone) else None


def _at(wall: datetime, zone: str, fold: int) -> datetime:
    return wall.replace(tzinfo=ZoneInfo(zone), fold=fold)


def _skipped(wall: datetime, both: list[datetime]) -> Unclear:
    # Read with the offset before the change, the instant shows what the clock said instead.
    shown = both[0].astimezone(UTC).astimezone(both[0].tzinfo)
    sentence = f"{say_clock(wall)} does not exist on {say_date(wall.date())}: clocks go forward"
    return Unclear(sentence=sentence, hint=f"a clock showed {say_clock(shown)} then")


def say_clock(moment: datetime) -> str:
    """Write the time of day as ``06:10``."""
    return f"{moment:%H:%M}"


def say_moment(moment: datetime) -> str:
    """Write a moment in words, with the letters of its zone."""
    return f"{say_date(moment.date())} {moment:%H:%M} {moment.tzname()}"


def say_first_flight_faults(operation: Operation, job: Job, as_of: date) -> Iterator[str]:
    """Say why the hour of a job's first flight is not used: no time zone, or clocks that change.

    Shape: one sentence for the zone, or one for each day of the job from *as_of* on, both its ends
    inclusive, on which clocks skip the hour or show it twice.
    """
    missing = say_zone_missing(operation, job)
    if missing:
        yield missing
    zone = find_zone(operation, job)
    if missing or not job.first_flight or not zone:
        return
    day = max(job.first_day, as_of)
    while day <= job.last_day:
        found = parse_moment(job.first_flight, zone, day)
        if isinstance(found, Unclear):
            yield (
                f"{job.id}: {found.sentence}, so its `first_flight` is not used for that day; "
                "count from the hour you mean"
            )
        day += timedelta(days=1)


def add_hours(moment: datetime, hours: int) -> datetime:
    """Move an aware moment by clock hours that really pass, in its own zone.

    Units: hours of 60 minutes on the clock of the world, so that a night in which clocks change
    moves the time of day by an hour. Source: Fed. R. Civ. P. 6(a)(2) counts every hour.

    Example:
        >>> friday = datetime(2007, 11, 2, 10, 23, tzinfo=ZoneInfo("America/New_York"))
        >>> say_moment(add_hours(friday, 72))
        'Mon 5 Nov 2007 09:23 EST'
    """
    return (moment.astimezone(UTC) + timedelta(hours=hours)).astimezone(moment.tzinfo)
