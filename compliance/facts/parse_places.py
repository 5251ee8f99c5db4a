"""The places of a facts file: located nodes to values, every fault with its line."""

from compliance.base.dates import WEEKDAYS
from compliance.base.reading import Reader, suggest
from compliance.base.sources import Mapping, Node, Scalar
from compliance.facts.parse_parts import parse_line, parse_weekdays
from compliance.facts.places import (
    DayHours,
    Place,
    PlaceKind,
    Span,
    are_in_order,
    parse_spans,
    say_spans,
)

_HOURS_HINT = 'write "9:00-16:30", or "8:00-11:30, 12:30-16:00" with a break'


def parse_place(node: Node, parent: Reader) -> Place:
    """Read one place.

    Faults of hours are noted under the family's codes 14 (end before they begin), 51 (no hours)
    and 52 (on a day the place is not open).
    """
    reader = Reader(node, "a place", parent.family, parent.problems)
    kind = PlaceKind(reader.choice("kind", tuple(PlaceKind)))
    name = parse_line(reader, "name")
    reader.what = f"place `{name}`" if name else reader.what
    town = parse_line(reader, "town", required=False)
    days = parse_weekdays(reader, "days", ())
    hours = _parse_hours(reader, days)
    if not reader.has("days"):
        days = tuple(one.day for one in hours)
    place = Place(
        kind=kind,
        name=name,
        town=town,
        days=days,
        hours=hours,
        phone=parse_line(reader, "phone", required=False),
    )
    reader.finish()
    return place


def _parse_hours(reader: Reader, days: tuple[str, ...]) -> tuple[DayHours, ...]:
    """Read one text for all days, or a text for each day of the week."""
    node = reader.node("hours")
    if node is None:
        return ()
    if isinstance(node, Mapping):
        found = [_parse_day(reader, day, entry[1], days) for day, entry in node.entries.items()]
        return tuple(one for one in found if one is not None)
    text = reader.text("hours", required=False)
    hours = _read_spans(reader, text, node) if text else ()
    if hours and not reader.has("days"):
        sentence = f"{reader.what} has hours but no days"
        reader.note("52", node.place, sentence, "add a line `days: [mon, tue, ...]`")
    return tuple(DayHours(day=day, spans=hours) for day in days if hours)


def _parse_day(reader: Reader, day: str, node: Node, days: tuple[str, ...]) -> DayHours | None:
    if day not in WEEKDAYS:
        sentence = f"`hours` of {reader.what} holds {day!r}; allowed: {', '.join(WEEKDAYS)}"
        reader.note("05", node.place, sentence, suggest(day.lower()[:3], WEEKDAYS))
        return None
    if reader.has("days") and day not in days:
        sentence = f"`hours` of {reader.what} has {day}, on which it is not open by its `days`"
        reader.note("52", node.place, sentence, "add the day to `days`, or remove its hours")
        return None
    if not isinstance(node, Scalar):
        sentence = f"`{day}` in `hours` of {reader.what} must be a single value"
        reader.note("04", node.place, sentence, _HOURS_HINT)
        return None
    spans = _read_spans(reader, node.text.strip(), node)
    return DayHours(day=day, spans=spans) if spans else None


def _read_spans(reader: Reader, text: str, node: Node) -> tuple[Span, ...]:
    spans = parse_spans(text)
    if spans is None:
        sentence = f"`hours` of {reader.what} holds {text!r}, which are no hours of a day"
        reader.note("51", node.place, sentence, _HOURS_HINT)
        return ()
    if not are_in_order(spans):
        sentence = f"`hours` of {reader.what} end before they begin: {say_spans(spans)}"
        reader.note(
            "14", node.place, sentence, "count the hours from 0:00 to 24:00: 16:30 is 4:30 pm"
        )
        return ()
    return spans
