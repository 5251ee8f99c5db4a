"""Readers that the facts file and the log share: one-line texts, ids, holders, states, days."""

from collections.abc import Iterable
from dataclasses import dataclass

from compliance.base.dates import WEEKDAYS
from compliance.base.ids import DOTTED_FORM, NAME_FORM, is_dotted_id, is_name
from compliance.base.reading import Reader, suggest
from compliance.base.sources import find_unkeepable, say_unkeepable
from compliance.facts.model import Holder, HolderKind, Operation

OPERATION_WORD = str(HolderKind.OPERATION)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holders:
    """Ids that may hold papers: the aircraft and the pilots of an operation."""

    aircraft: tuple[str, ...]
    pilots: tuple[str, ...]

    def find(self, word: str) -> Holder | None:
        """Give the holder a word of the file stands for; ``operation`` is the operation itself."""
        if word == OPERATION_WORD:
            return Holder(kind=HolderKind.OPERATION)
        if word in self.aircraft:
            return Holder(kind=HolderKind.AIRCRAFT, ref=word)
        if word in self.pilots:
            return Holder(kind=HolderKind.PILOT, ref=word)
        return None


def find_holders(operation: Operation) -> Holders:
    """Collect the ids of an operation that papers may belong to."""
    return Holders(
        aircraft=tuple(machine.id for machine in operation.aircraft),
        pilots=tuple(pilot.id for pilot in operation.pilots),
    )


def parse_line(reader: Reader, key: str, *, required: bool = True) -> str:
    """Read a text that must stand on one line, because a form or an envelope gives it one.

    Faults are noted under the family's code 25.
    """
    text = reader.text(key, required=required)
    if len(text.splitlines()) > 1:
        sentence = f"`{key}` of {reader.what} runs over several lines"
        reader.note("25", reader.place_of(key), sentence, "write it on one line")
        return text
    bad = find_unkeepable(text)
    if bad is not None:
        sentence = f"`{key}` of {reader.what} holds {say_unkeepable(bad)}"
        reader.note("25", reader.place_of(key), sentence, "type it anew, on one line")
    return text


def parse_name(reader: Reader, key: str = "id") -> str:
    """Read a plain name; faults are noted under the family's code 11."""
    text = reader.text(key)
    if text == OPERATION_WORD:
        sentence = f"`{key}` of {reader.what} is {text!r}, which stands for the operation itself"
        reader.note("11", reader.place_of(key), sentence, "choose another word")
    elif text and not is_name(text):
        sentence = f"`{key}` of {reader.what} is {text!r}"
        reader.note("11", reader.place_of(key), sentence, f"write {NAME_FORM}")
    return text


def parse_paper_id(reader: Reader) -> str:
    """Read the id of a paper rule; whether the table has it is asked elsewhere.

    Faults are noted under the family's code 11.
    """
    text = reader.text("paper")
    if text and not is_dotted_id(text):
        sentence = f"`paper` of {reader.what} is {text!r}"
        reader.note("11", reader.place_of("paper"), sentence, f"write {DOTTED_FORM}")
    return text


def parse_holder(reader: Reader, holders: Holders) -> Holder:
    """Read whose paper it is; a missing key means the operation.

    Faults are noted under the family's code 13.
    """
    word = reader.text("holder", required=False, default=OPERATION_WORD)
    holder = holders.find(word)
    if holder is not None:
        return holder
    known = (OPERATION_WORD, *holders.aircraft, *holders.pilots)
    sentence = f"`holder` of {reader.what} is {word!r}, which is no aircraft or pilot of the file"
    reader.note("13", reader.place_of("holder"), sentence, hint_known(word, known))
    return Holder(kind=HolderKind.OPERATION, ref=word)


def parse_weekdays(reader: Reader, key: str, default: tuple[str, ...]) -> tuple[str, ...]:
    """Read days of the week; a missing key gives the default.

    Faults are noted under the family's codes 05 (no weekday) and 08 (no day at all).
    """
    days = reader.words(key)
    if not reader.has(key):
        return default
    if not days:
        sentence = f"`{key}` of {reader.what} names no day"
        reader.note("08", reader.place_of(key), sentence, "name a day, or remove the line")
    for day in days:
        if day not in WEEKDAYS:
            sentence = f"`{key}` of {reader.what} holds {day!r}; allowed: {', '.join(WEEKDAYS)}"
            reader.note("05", reader.place_of(key), sentence, suggest(day.lower()[:3], WEEKDAYS))
    return days


def hint_known(word: str, known: Iterable[str]) -> str:
    """Give the nearest known word, or all of them."""
    names = tuple(known)
    return suggest(word, names) or f"known here: {', '.join(names) or 'none'}"
