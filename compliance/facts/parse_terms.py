"""Own terms, time zones and times of day in the facts file."""

from compliance.base.ids import DOTTED_FORM, is_dotted_id
from compliance.base.reading import Reader
from compliance.base.sources import Node
from compliance.facts.own_terms import MAX_COUNT, UNITS, OwnTerm
from compliance.facts.parse_parts import parse_line
from compliance.facts.zones import is_clock, is_zone


def parse_own_terms(reader: Reader) -> tuple[OwnTerm, ...]:
    """Read ``own_terms`` of a held paper (F11, F12, F65 beside those of every reader)."""
    terms: list[OwnTerm] = []
    for node in reader.items("own_terms"):
        term = _parse_term(node, reader)
        if term.duty and term.duty in {one.duty for one in terms}:
            sentence = f"`own_terms` of {reader.what} names `{term.duty}` twice"
            reader.note("12", node.place, sentence, "keep the one your document has")
        terms.append(term)
    return tuple(terms)


def _parse_term(node: Node, parent: Reader) -> OwnTerm:
    reader = Reader(node, f"a term of {parent.what}", parent.family, parent.problems)
    duty = reader.text("duty")
    if duty and not is_dotted_id(duty):
        sentence = f"`duty` of {reader.what} is {duty!r}"
        reader.note("11", reader.place_of("duty"), sentence, f"write {DOTTED_FORM}")
    applies = reader.flag("applies", default=True)
    numbers = [key for key in ("count", "unit", "opens") if reader.has(key)]
    if not applies and numbers:
        sentence = f"{reader.what} does not apply, but has `{numbers[0]}`"
        reader.note("65", reader.place_of(numbers[0]), sentence, "keep one of the two")
    term = OwnTerm(
        duty=duty,
        document=parse_line(reader, "document"),
        applies=applies,
        count=reader.whole("count", low=0, high=MAX_COUNT, default=None if applies else 0),
        unit=reader.choice("unit", UNITS, default=None if applies else ""),
        opens=reader.whole("opens", low=0, high=MAX_COUNT, default=0),
    )
    reader.finish()
    return term


def parse_zone(reader: Reader) -> str:
    """Read ``time_zone``, a name of the IANA table; empty when it is left out (F61)."""
    name = parse_line(reader, "time_zone", required=False)
    if name and not is_zone(name):
        sentence = f"`time_zone` of {reader.what} is {name!r}, which is no time zone"
        hint = "write America/New_York, America/Chicago, America/Denver or America/Los_Angeles"
        reader.note("61", reader.place_of("time_zone"), sentence, hint)
        return ""
    return name


def parse_clock(reader: Reader, key: str) -> str:
    """Read a time of day as ``HH:MM``; empty when it is left out (F62)."""
    text = reader.text(key, required=False)
    if text and not is_clock(text):
        sentence = f"`{key}` of {reader.what} is {text!r}, which is no time of day"
        reader.note("62", reader.place_of(key), sentence, "write hours:minutes, such as 06:30")
        return ""
    return text
