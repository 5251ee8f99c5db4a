"""How the text of one element of a record becomes a value, or what is wrong with it."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from compliance.base.dates import parse_iso_date, say_how_to_write
from compliance.base.reading import MAX_TEXT, suggest
from compliance.base.sources import find_unkeepable, say_unkeepable
from compliance.facts.record_elements import Element, ElementKind
from compliance.facts.zones import is_clock

UNITS = ("fl oz", "oz", "pt", "qt", "gal", "lb", "g", "kg", "ml", "l", "seeds", "units")
EXEMPT = "exempt"
TYPE_ANEW = "type it anew, on one line; what was copied may hold signs that cannot be seen"

_NUMBER = re.compile(r"-?\d{1,9}(\.\d{1,6})?", re.ASCII)
_AMOUNT = re.compile(r"(\d{1,9}(?:\.\d{1,6})?) ?([a-z ]+)\.?", re.ASCII)
_REGISTRATION = re.compile(r"\d{1,6}-\d{1,6}(-\d{1,6})?|[A-Z]{2}-?\d{6}", re.ASCII)
_CLOCK = re.compile(r"(\d):(\d\d)", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A text that is no value: what is wrong and what to do."""

    sentence: str
    hint: str


def read_value(element: Element, text: str) -> str | Unread:
    """Read the text of an element, outer blanks gone, as the record keeps it.

    Units: those of the element's words; an amount carries its own. A time is local, ``HH:MM``.
    Source: 40 CFR 156.10(e) for the form of an EPA registration number, 40 CFR 162.153 for numbers
    of special local needs, both from memory.
    """
    text = text.strip()
    fault = _find_fault(element, text)
    if fault is not None:
        return fault
    read = _READERS.get(element.kind)
    return text if read is None else read(element, text)


def _find_fault(element: Element, text: str) -> Unread | None:
    """Find what no element may be: empty, too long, on several lines."""
    if not text:
        return Unread(sentence=f"the {element.words} is empty", hint="fill it in, or leave it out")
    if len(text) > MAX_TEXT:
        sentence = f"the {element.words} has {len(text):,} characters; at most {MAX_TEXT:,}"
        return Unread(sentence=sentence, hint="say it in fewer words")
    if len(text.splitlines()) > 1:
        sentence = f"the {element.words} runs over several lines"
        return Unread(sentence=sentence, hint="write it on one line")
    bad = find_unkeepable(text)
    if bad is not None:
        sentence = f"the {element.words} holds {say_unkeepable(bad)}"
        return Unread(sentence=sentence, hint=TYPE_ANEW)
    return None


def _day(element: Element, text: str) -> str | Unread:
    if parse_iso_date(text) is None:
        hint = say_how_to_write(text, "2027-05-24")
        return Unread(sentence=f"the {element.words} is {text!r}, which is no date", hint=hint)
    return text


def _time(element: Element, text: str) -> str | Unread:
    short = _CLOCK.fullmatch(text)
    text = f"0{text}" if short is not None else text
    if not is_clock(text):
        hint = "write hours:minutes from 00:00 to 23:59, such as 06:30"
        return Unread(sentence=f"the {element.words} is {text!r}, which is no time", hint=hint)
    return text


def _number(element: Element, text: str) -> str | Unread:
    whole = element.kind is ElementKind.HOURS
    if _NUMBER.fullmatch(text) is None or (whole and not text.isdigit()):
        hint = "write digits without a unit, for example 12"
        return Unread(sentence=f"the {element.words} is {text!r}, which is no number", hint=hint)
    if not element.least <= Decimal(text) <= element.most:
        sentence = f"the {element.words} is {text}; it must be {element.least:,} to "
        return Unread(sentence=f"{sentence}{element.most:,}", hint="check the number and its unit")
    return text


def _amount(element: Element, text: str) -> str | Unread:
    found = _AMOUNT.fullmatch(" ".join(text.lower().split()))
    hint = f"write a number and one of {', '.join(UNITS)}, for example 12.5 gal"
    if found is None:
        sentence = f"the {element.words} is {text!r}, which is no amount"
        return Unread(sentence=sentence, hint=hint)
    unit = found[2].strip()
    if unit not in UNITS:
        sentence = f"the {element.words} is in {unit!r}, a unit that is not known here"
        return Unread(sentence=sentence, hint=suggest(unit, UNITS) or hint)
    if Decimal(found[1]) == 0:
        return Unread(sentence=f"the {element.words} is nothing", hint="write what was used")
    return f"{found[1]} {unit}"


def _registration(element: Element, text: str) -> str | Unread:
    if text.lower() == EXEMPT:
        return EXEMPT
    bare = re.sub(r"^(EPA )?(Reg\.? ?)?(SLN )?(No\.? ?)?", "", text, flags=re.IGNORECASE).strip()
    if _REGISTRATION.fullmatch(bare) is None:
        sentence = f"the {element.words} is {text!r}, which does not look like one"
        hint = "copy it from the label: digits, a hyphen and digits, such as 99999-1; or exempt"
        return Unread(sentence=sentence, hint=hint)
    return bare


_READERS: dict[ElementKind, Callable[[Element, str], str | Unread]] = {
    ElementKind.DAY: _day,
    ElementKind.TIME: _time,
    ElementKind.NUMBER: _number,
    ElementKind.HOURS: _number,
    ElementKind.AMOUNT: _amount,
    ElementKind.REGISTRATION: _registration,
}
