"""Places in town where papers are signed, mailed or tested: their days and hours, as values."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from compliance.base.dates import WEEKDAYS

_SPAN = re.compile(r"(\d{1,2}):(\d{2})\s*-\s*(\d{1,2}):(\d{2})", re.ASCII)
_HOUR, _DAY = 60, 24 * 60


class PlaceKind(StrEnum):
    """What a place is for."""

    NOTARY = "notary"
    POST_OFFICE = "post-office"
    TEST_CENTER = "test-center"
    OFFICE = "office"
    BANK = "bank"


PLACE_WORDS = {
    PlaceKind.NOTARY: "notary",
    PlaceKind.POST_OFFICE: "post office",
    PlaceKind.TEST_CENTER: "test center",
    PlaceKind.OFFICE: "office",
    PlaceKind.BANK: "bank",
}

# Where the steps of the rules table are done, by their own words. What may be done online too is
# no errand.
_KINDS = {
    "notary": PlaceKind.NOTARY,
    "post office": PlaceKind.POST_OFFICE,
    "test center": PlaceKind.TEST_CENTER,
    "class or test center": PlaceKind.TEST_CENTER,
    "class": PlaceKind.TEST_CENTER,
    "bank": PlaceKind.BANK,
    "town hall": PlaceKind.OFFICE,
    "town": PlaceKind.OFFICE,
    "office": PlaceKind.OFFICE,
}
_NOT_IN_TOWN = frozenset({"", "farm", "field"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Open hours of a day, in minutes after midnight; ``closes`` is after ``opens``."""

    opens: int
    closes: int

    def __str__(self) -> str:
        return f"{_say_minutes(self.opens)}-{_say_minutes(self.closes)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """The open hours of one day of the week, in order and apart from one another."""

    day: str
    spans: tuple[Span, ...]

    def __str__(self) -> str:
        return f"{self.day} {say_spans(self.spans)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place in town.

    ``days`` are the days of the week it is open, empty when not said; ``hours`` are those of the
    days for which they are known.
    """

    kind: PlaceKind
    name: str
    town: str = ""
    days: tuple[str, ...] = ()
    hours: tuple[DayHours, ...] = ()
    phone: str = ""

    def spans_on(self, day: str) -> tuple[Span, ...]:
        """Give the open hours of a day of the week; empty when they are not known."""
        return next((one.spans for one in self.hours if one.day == day), ())

    def __str__(self) -> str:
        return f"{self.name}, {self.town}" if self.town else self.name


def find_place_kind(done_at: str) -> PlaceKind | None:
    """Give the kind of place a step is done at, None for the farm and what can be done online.

    A place in town that no kind is known for counts as an office.
    """
    if done_at in _NOT_IN_TOWN or "online" in done_at:
        return None
    return _KINDS.get(done_at, PlaceKind.OFFICE)


def find_place_days(places: Iterable[Place], kind: PlaceKind) -> tuple[str, ...]:
    """Give the days of the week on which some place of a kind is open, Monday first.

    Shape: empty when no place of the kind says its days.
    """
    days = {day for place in places if place.kind is kind for day in place.days}
    return tuple(day for day in WEEKDAYS if day in days)


def parse_spans(text: str) -> tuple[Span, ...] | None:
    """Read open hours such as ``9:00-16:30`` or ``8:00-11:30, 12:30-16:00``.

    Shape: as written; whether they end after they begin is asked elsewhere. None when they are no
    hours of a day.

    Example:
        >>> [str(span) for span in parse_spans("8:00-11:30, 12:30-16:00")]
        ['8:00-11:30', '12:30-16:00']
    """
    spans = []
    for part in text.split(","):
        found = _SPAN.fullmatch(part.strip())
        if found is None:
            return None
        opens, closes = (
            int(hour) * _HOUR + int(minute)
            for hour, minute in ((found[1], found[2]), (found[3], found[4]))
        )
        if max(int(found[2]), int(found[4])) >= _HOUR or max(opens, closes) > _DAY:
            return None
        spans.append(Span(opens=opens, closes=closes))
    return tuple(spans)


def are_in_order(spans: tuple[Span, ...]) -> bool:
    """Tell whether each span ends after it begins, and begins after the one before has ended."""
    edges = [minute for span in spans for minute in (span.opens, span.closes)]
    return all(
        early < late or (early == late and at % 2)
        for at, (early, late) in enumerate(pairwise(edges))
    )


def say_spans(spans: tuple[Span, ...]) -> str:
    """Write open hours so that `parse_spans` reads them back."""
    return ", ".join(str(span) for span in spans)


def say_hours(place: Place) -> str:
    """Write the hours of a place on one line: once when all its days have the same.

    Example:
        >>> hours = (DayHours(day="tue", spans=(Span(opens=540, closes=720),)),)
        >>> say_hours(Place(kind=PlaceKind.NOTARY, name="Own", days=("tue",), hours=hours))
        '9:00-12:00'
    """
    texts = {one.day: say_spans(one.spans) for one in place.hours}
    if len(set(texts.values())) == 1 and tuple(texts) == place.days:
        return next(iter(texts.values()))
    return "; ".join(f"{day} {text}" for day, text in texts.items())


def describe_place(place: Place) -> str:
    """Describe a place on one line: kind, name, days with hours, telephone."""
    return f"{PLACE_WORDS[place.kind]}: {_describe(place)}"


def describe_places(places: Iterable[Place], done_at: str) -> str:
    """Say where a step is done: its own word, and the places of that kind with days and hours.

    Example:
        >>> describe_places((), "notary")
        'notary'
    """
    kind = find_place_kind(done_at)
    known = [_describe(place) for place in places if place.kind is kind]
    return f"{done_at} ({'; or '.join(known)})" if known else done_at


def _describe(place: Place) -> str:
    parts = (str(place), *_list_days(place), place.phone)
    return ", ".join(part for part in parts if part)


def _list_days(place: Place) -> list[str]:
    """Give the days with their hours, days of the same hours together."""
    by_hours: dict[str, list[str]] = {}
    for day in place.days:
        hours = " and ".join(map(str, place.spans_on(day)))
        by_hours.setdefault(hours, []).append(day)
    return [f"{' '.join(days)} {hours}".strip() for hours, days in by_hours.items()]


def _say_minutes(minutes: int) -> str:
    return f"{minutes // _HOUR}:{minutes % _HOUR:02}"
