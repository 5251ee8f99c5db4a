"""How one typed answer becomes a value: the limits of the facts file, the words of a talk."""

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from compliance.base.ids import MAX_ID
from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import Reader, suggest
from compliance.base.sources import Mapping, parse_yaml
from compliance.base.yaml_text import render_yaml
from compliance.facts.checks import (
    FAMILY,
    FEWEST_DIGITS,
    MOST_LINE,
    Check,
    check_addresses,
    check_contact,
)
from compliance.facts.model import (
    Address,
    EntityType,
    MailService,
    Operation,
)
from compliance.facts.parse import MOST_WEIGHT_LB
from compliance.facts.parse_parts import parse_line, parse_name
from compliance.facts.states import STATES

FILE = "your answers"

_CONTROL_CHARACTER = "S011"

BETWEEN = re.compile(r"[\s,;]+(?:and\s+)?")
_FORMS = frozenset(
    {"co", "company", "corp", "corporation", "inc", "llc", "llp", "lp", "ltd", "the"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a typed text means: the value as it is kept, or what is wrong and what to do.

    ``words`` says the value back to the person, empty when there is nothing to add.
    """

    value: str = ""
    words: str = ""
    fault: str = ""
    hint: str = ""


Read = Callable[[str], Reading]
Option = tuple[str, str]  # the word that is kept, and the same in plain words


# Checks of the facts file look at whole operations; one value at a time is put into this one.
BLANK = Operation(
    id="blank",
    legal_name="blank",
    entity=EntityType.INDIVIDUAL,
    managed_by=None,
    mailing_address=Address(lines=()),
    physical_address=None,
    contact_name="",
    contact_phone="",
    contact_email="",
    home_state="",
    mail_service=MailService.FIRST_CLASS,
)
_SOMEWHERE = Address(lines=("-", "-"))


def is_sound(check: Check, operation: Operation) -> bool:
    """Tell whether a check of the facts file finds nothing."""
    return not list(check(operation, lambda *_: SourceRef(file=FILE)))


def _read(text: str, noun: str, whose: str, get: Callable[[Reader, str], object]) -> Reading:
    """Read one value as the facts file would be read."""
    problems: list[Problem] = []
    root, faults = parse_yaml(render_yaml({noun: text}), FILE)
    problems.extend(faults)
    reader = Reader(root or Mapping({}, SourceRef(file=FILE)), whose, FAMILY, problems)
    value = "" if faults else get(reader, noun)
    if problems:
        return Reading(fault=problems[0].sentence, hint=problems[0].hint)
    return Reading(value=f"{value:f}" if not isinstance(value, str) else value)


def find_unreadable(text: str) -> Reading | None:
    """Find what no answer may hold, such as a control character; None when all is well."""
    _, faults = parse_yaml(render_yaml({"answer": text}), FILE)
    if not faults:
        return None
    if faults[0].code == _CONTROL_CHARACTER:
        return Reading(fault=faults[0].sentence, hint=faults[0].hint)
    return Reading(fault="a part of the answer is no text", hint="type it again")


def read_line(noun: str, whose: str) -> Read:
    """Give the reader of a text on one line, of at most 2,000 characters."""
    return lambda text: _read(text, noun, whose, parse_line)


def read_text(noun: str, whose: str) -> Read:
    """Give the reader of a free text of at most 2,000 characters."""
    return lambda text: _read(text, noun, whose, lambda reader, key: reader.text(key))


def read_weight(text: str) -> Reading:
    """Read a take-off weight in pounds; the unit may stand behind it."""
    bare = re.sub(r"\s*(lbs?|pounds?)\.?$", "", text.strip(), flags=re.IGNORECASE)
    return _read(
        bare,
        "take-off weight",
        "the aircraft",
        lambda reader, key: reader.number(key, above=0, most=MOST_WEIGHT_LB) or "",
    )


def read_yes_no(text: str) -> Reading:
    """Read yes or no, also as y or n."""
    value = {"y": "yes", "yes": "yes", "n": "no", "no": "no"}.get(text.strip().lower())
    if value is None:
        return Reading(fault=f"{text!r} is neither yes nor no", hint="type yes or no")
    return Reading(value=value)


def read_choice(options: Iterable[Option]) -> Read:
    """Give the reader of one of the options, by its number counted from 1 or its word."""
    known = tuple(options)

    def read(text: str) -> Reading:
        value = _pick(text, known)
        if value is None:
            words = [word for word, _ in known]
            hint = suggest(text.strip().lower(), words) or f"type a number, 1 to {len(known)}"
            return Reading(fault=f"{text!r} is none of the choices", hint=hint)
        return Reading(value=value, words=dict(known)[value])

    return read


def read_several(options: Iterable[Option], *, needed: bool) -> Read:
    """Give the reader of some of the options, by numbers or words; ``all`` and ``none`` too.

    Shape: the value joins the words with commas in the order typed, each once.
    """
    known = tuple(options)

    def read(text: str) -> Reading:
        low = text.strip(" \t,;").lower()
        is_word = _pick(low, known) is not None  # an aircraft may be called all
        if low == "all" and not is_word:
            picked = [word for word, _ in known]
        else:
            picked = []
            for part in [] if low in {"none", ""} and not is_word else BETWEEN.split(low):
                word = _pick(part, known)
                if word is None:
                    hint = f"type numbers from 1 to {len(known)} with commas between them"
                    return Reading(fault=f"{part!r} is none of the choices", hint=hint)
                picked.append(word)
        if needed and not picked:
            return Reading(fault="at least one is needed", hint="type its number")
        unique = tuple(dict.fromkeys(picked))
        words = "; ".join(dict(known)[word] for word in unique)
        return Reading(value=",".join(unique), words=words)

    return read


def _pick(text: str, options: tuple[Option, ...]) -> str | None:
    low = text.strip().lower()
    if low.isascii() and low.isdigit():
        place = int(low[:9])
        return options[place - 1][0] if 1 <= place <= len(options) else None
    return next((word for word, _ in options if word.lower() == low), None)


def read_state(text: str) -> Reading:
    """Read a state by its two letters or its name, in letters of any size."""
    by_name = {name.lower(): code for code, name in STATES.items()}
    word = " ".join(text.split())
    code = by_name.get(word.lower(), word.upper())
    if code not in STATES:
        near = suggest(word.title(), STATES.values()) or "type two letters, such as NE or SD"
        return Reading(fault=f"{text!r} is no state", hint=near)
    return Reading(value=code, words=STATES[code])


def read_phone(text: str) -> Reading:
    """Read a telephone number of at least seven digits."""
    reading = read_line("telephone", "the contact")(text)
    sound = is_sound(check_contact, replace(BLANK, contact_phone=reading.value))
    if reading.fault or sound:
        return reading
    hint = f"type at least {FEWEST_DIGITS} digits, such as 402-555-0143"
    return Reading(fault=f"{reading.value!r} is no telephone number", hint=hint)


def read_email(text: str) -> Reading:
    """Read an e-mail address."""
    reading = read_line("e-mail", "the contact")(text)
    sound = is_sound(check_contact, replace(BLANK, contact_email=reading.value))
    if reading.fault or sound:
        return reading
    hint = "type it as name@place.example, or - for none"
    return Reading(fault=f"{reading.value!r} is no e-mail address", hint=hint)


def read_address_line(*, is_place: bool) -> Read:
    """Give the reader of one line of an envelope; a place is no P.O. box."""

    def read(text: str) -> Reading:
        reading = read_line("line", "the address")(text)
        if reading.fault:
            return reading
        if is_place and Address(lines=(reading.value,)).is_po_box:
            fault = "nobody lives or works in a P.O. box"
            return Reading(fault=fault, hint="type the road and number, or how to get there")
        lines = Address(lines=(reading.value, reading.value))
        envelope = replace(BLANK, mailing_address=lines, physical_address=_SOMEWHERE)
        if not is_sound(check_addresses, envelope):
            fault = f"the line has {len(reading.value)} characters; at most {MOST_LINE} fit"
            return Reading(fault=fault, hint="shorten it, or spread it over two lines")
        return reading

    return read


def read_name(noun: str, whose: str, taken: Iterable[str]) -> Read:
    """Give the reader of a short name; letters are made small and blanks become hyphens."""
    others = frozenset(taken)

    def read(text: str) -> Reading:
        name = make_name(text) or text
        if name in others:
            return Reading(fault=f"{name!r} is taken already", hint="choose another")
        reading = _read(name, noun, whose, parse_name)
        return replace(reading, words="" if reading.fault else reading.value)

    return read


def make_name(text: str) -> str:
    """Make a short name of any text: ASCII letters and digits, hyphens between words.

    Shape: empty when nothing of the text can stand in a short name; else it may still begin with
    a digit, which no short name does.

    Example:
        >>> make_name("Pasture, North 40")
        'pasture-north-40'
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain.replace("'", "")).strip("-")[:MAX_ID].strip("-")


def make_business_name(text: str) -> str:
    """Make a short name of a business, its legal form left out.

    Example:
        >>> make_business_name("Sandbur Flats Aerial LLC")
        'sandbur-flats-aerial'
    """
    return "-".join(word for word in make_name(text).split("-") if word not in _FORMS)


def guess_entity(legal_name: str) -> EntityType:
    """Guess the legal form from the name, for an offer in brackets."""
    words = set(make_name(legal_name.replace(".", "")).split("-"))
    if "llc" in words:
        return EntityType.LLC
    if words & {"inc", "corp", "corporation"}:
        return EntityType.CORPORATION
    return EntityType.PARTNERSHIP if words & {"lp", "llp"} else EntityType.INDIVIDUAL
