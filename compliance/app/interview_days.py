"""How a typed day, span of days or list of weekdays becomes a value."""

import re
from dataclasses import replace
from datetime import date

from compliance.app.interview_parts import BETWEEN, BLANK, Read, Reading, is_sound
from compliance.base.dates import FIRST_YEAR, LAST_YEAR, WEEKDAYS, parse_iso_date, say_date
from compliance.facts.checks import LONGEST_SPAN_DAYS, check_papers, check_spans
from compliance.facts.model import Closure, HeldPaper, Holder, HolderKind
from compliance.facts.parse import OPEN_WORD
from compliance.facts.places import are_in_order, parse_spans, say_spans
from compliance.facts.zones import is_clock

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_DAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_US_DATE = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})", re.ASCII)
_MONTH_FIRST = re.compile(r"([a-z]{3,9})\.? (\d{1,2}),? (\d{4})", re.ASCII)
_DAY_FIRST = re.compile(r"(\d{1,2}) ([a-z]{3,9})\.?,? (\d{4})", re.ASCII)
_CLOCK = re.compile(r"(\d{1,2})(?::(\d\d))? ?(am|pm)?", re.ASCII)
_NOON = 12
_ENDS, _FEWEST_LETTERS = 2, 3  # of a range of weekdays; of the name of one
_DATE_HINT = f"write it as 2027-05-24, 5/24/2027 or May 24 2027, within {FIRST_YEAR}-{LAST_YEAR}"


def parse_day(text: str) -> date | None:
    """Read a day as people write it; month first when it is all numbers and slashes.

    Example:
        >>> parse_day("5/24/2027") == parse_day("24 May 2027") == parse_day("2027-05-24")
        True
    """
    low = " ".join(text.lower().split())
    day, month, year = "", 0, ""
    if found := _US_DATE.fullmatch(low):
        month, day, year = int(found[1]), found[2], found[3]
    elif found := _MONTH_FIRST.fullmatch(low):
        month, day, year = _month(found[1]), found[2], found[3]
    elif found := _DAY_FIRST.fullmatch(low):
        day, month, year = found[1], _month(found[2]), found[3]
    else:
        return parse_iso_date(low)
    return parse_iso_date(f"{year}-{month:02d}-{int(day):02d}")


def _month(word: str) -> int:
    places = [place for place, name in enumerate(_MONTHS, 1) if name.startswith(word)]
    return places[0] if places else 0


def read_day(text: str) -> Reading:
    """Read a day; the weekday is said back so that a slip is seen."""
    day = parse_day(text)
    if day is None:
        return Reading(fault=f"{text!r} is no day of the calendar", hint=_DATE_HINT)
    return Reading(value=day.isoformat(), words=say_date(day))


def read_last_day(first: str) -> Read:
    """Give the reader of a last day that ends a span begun on *first*, both inclusive."""

    def read(text: str) -> Reading:
        reading = read_day(text)
        if reading.fault:
            return reading
        start, end = date.fromisoformat(first), date.fromisoformat(reading.value)
        span = Closure(who="field", first_day=start, last_day=end)
        if is_sound(check_spans, replace(BLANK, closures=(span,))):
            return reading
        if end < start:
            fault = f"{say_date(end)} is before the first day, {say_date(start)}"
            return Reading(fault=fault, hint="correct the day, or type back for the first day")
        fault = f"from {say_date(start)} to {say_date(end)} is over {LONGEST_SPAN_DAYS} days"
        return Reading(fault=fault, hint="correct the year, or enter one for each year")

    return read


def read_valid_through(issued: str) -> Read:
    """Give the reader of a paper's last day in force, or ``open``; not before its issue."""

    def read(text: str) -> Reading:
        if text.strip().lower() == OPEN_WORD:
            return Reading(value=OPEN_WORD, words="it does not end")
        reading = read_day(text)
        if reading.fault or not issued:
            return reading
        start = date.fromisoformat(issued)
        held = HeldPaper(
            paper="blank",
            holder=Holder(kind=HolderKind.OPERATION),
            issued_on=start,
            valid_through=date.fromisoformat(reading.value),
        )
        if is_sound(check_papers, replace(BLANK, papers=(held,))):
            return reading
        fault = f"{reading.words} is before the day of issue, {say_date(start)}"
        return Reading(fault=fault, hint="correct the day, or type back for the day of issue")

    return read


def read_clock(text: str) -> Reading:
    """Read a time of day as people write it: ``6:30``, ``06:30``, ``6:30 am``, ``2 pm``."""
    found = _CLOCK.fullmatch(" ".join(text.lower().replace(".", "").split()))
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (-1, 0)
    half = found[3] if found else None
    if half and 1 <= hour <= _NOON:
        hour = hour % _NOON + (_NOON if half == "pm" else 0)
    elif half or found is None or found[2] is None:  # a bare 6 may be either half of the day
        hour = -1
    value = f"{hour:02d}:{minute:02d}"
    if not is_clock(value):
        hint = "such as 6:30, 6:30 am or 14:00"
        return Reading(fault=f"{text!r} is no time of day", hint=hint)
    return Reading(value=value, words=value)


def read_weekdays(text: str) -> Reading:
    """Read days of the week: ``tue, thu``, ``Monday to Friday``, ``mon-sat``."""
    low = re.sub(r"\s*(?:-|\bto\b|\bthrough\b)\s*", "-", text.strip(" \t,;").lower())
    found: list[str] = []
    for part in BETWEEN.split(low):
        ends = [_weekday(word) for word in part.split("-")]
        places = [place for place in ends if place is not None]
        if len(places) < len(ends) or len(ends) > _ENDS:
            return Reading(fault=f"{part!r} is no day of the week", hint="such as tue, thu")
        last = places[-1] + (7 if places[-1] < places[0] else 0)
        found.extend(WEEKDAYS[place % 7] for place in range(places[0], last + 1))
    days = tuple(dict.fromkeys(found))
    return Reading(value=",".join(days), words=", ".join(days))


def parse_hours(text: str, days: str) -> dict[str, str] | None:
    """Read open hours: ``9:00-16:30`` for all *days*, or ``tue 9:00-12:00; thu 13:00-16:00``.

    Shape: the hours by day of the week as the facts file has them; None when they are no hours,
    end before they begin, or are of a day that is not among *days*, which are joined by commas.
    """
    found: dict[str, str] = {}
    open_days = days.split(",") if days else []
    for part in text.split(";") if text else []:
        word, _, rest = part.strip().partition(" ")
        day = _weekday(word.lower())
        named = [WEEKDAYS[day]] if day is not None else open_days
        spans = parse_spans(part.strip() if day is None else rest)
        is_known = not set(named) - set(open_days or named)
        if spans is None or not are_in_order(spans) or not is_known or not named:
            return None
        found |= dict.fromkeys(named, say_spans(spans))
    return found


def read_hours(days: str) -> Read:
    """Give the reader of the hours of a place that is open on *days*, joined by commas."""

    def read(text: str) -> Reading:
        found = parse_hours(text, days)
        if found is None:
            hint = "such as 9:00-16:30, or tue 9:00-12:00; thu 13:00-16:00; hours run to 24:00"
            return Reading(fault=f"{text!r} are no hours of its days", hint=hint)
        each = set(found.values())
        same = len(each) == 1 and list(found) == days.split(",")
        words = "; ".join(f"{day} {hours}" for day, hours in found.items())
        return Reading(value=each.pop() if same else words, words=words)

    return read


def _weekday(word: str) -> int | None:
    if len(word) < _FEWEST_LETTERS:
        return None
    return next((place for place, name in enumerate(_DAY_NAMES) if name.startswith(word)), None)
