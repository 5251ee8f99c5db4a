"""How the answers about one application are read."""

from dataclasses import replace
from datetime import date

from compliance.app.interview_parts import Option, Read, Reading, read_choice, read_yes_no
from compliance.base.dates import parse_iso_date, say_date
from compliance.facts.products import LABEL_BARS, NOT_TO_BE_FLOWN
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.record_values import Unread, read_value
from compliance.facts.zones import find_skipped

_BARRED = Reading(
    hint=f"{NOT_TO_BE_FLOWN}; if it was flown all the same, stop and write the record with "
    '--anyway "why"'
)


def read_record_element(name: str, today: date, on: date | None = None, zone: str = "") -> Read:
    """Give the reader of an element; a day is not still to come.

    A time was shown by the clocks of *zone* on the day *on*, where both are known.
    """
    element = ELEMENTS[name]

    def read(text: str) -> Reading:
        found = read_value(element, text)
        if isinstance(found, Unread):
            return Reading(fault=found.sentence, hint=found.hint)
        if name in {"start", "end"} and on is not None:
            skipped = find_skipped(on, found, zone)
            if skipped is not None:
                return Reading(fault=skipped.sentence, hint=skipped.hint)
        if name != "day":
            return Reading(value=found)
        day = parse_iso_date(found)
        if day is not None and day > today:
            fault = f"{say_date(day)} is still to come"
            return Reading(fault=fault, hint="write the record when the work is done")
        return Reading(value=found, words=say_date(day) if day is not None else "")

    return read


def read_product_name(options: tuple[Option, ...], barred: set[str]) -> Read:
    """Give the reader of a product's name; *barred* are names whose labels bar the air."""
    pick = read_choice(options)

    def read(text: str) -> Reading:
        chosen = pick(text)
        found = read_value(ELEMENTS["product"], chosen.value or text)
        if isinstance(found, Unread):
            return Reading(fault=found.sentence, hint=found.hint)
        if found.casefold() in barred:
            return replace(_BARRED, fault=f"{found}: {LABEL_BARS}")
        return Reading(value=found, words=found)

    return read


def read_allows_air(name: str, *, anyway: bool = False) -> Read:
    """Give the reader of what the label says of the air; no is refused but with *anyway*."""

    def read(text: str) -> Reading:
        reading = read_yes_no(text)
        if reading.value == "no" and not anyway:
            return replace(
                _BARRED, fault=f"{name}: {LABEL_BARS}", hint=f"{_BARRED.hint}; type back"
            )
        return reading

    return read
