"""Duties of the rules table: which event starts their clock, what they ask for, how they count."""

import re

from compliance.base.reading import Reader, suggest
from compliance.base.sources import Node
from compliance.facts.basis import Inherited
from compliance.rules.model import CountsOn, DueUnit, DutyEvent, DutyKind, DutyRow
from compliance.rules.parse_parts import FAMILY, is_month_day, parse_common, row_id

MAX_COUNT = 4_000
_YEAR_DAY = re.compile(r"(next )?(\d\d-\S+)", re.ASCII)


def parse_duty(node: Node, parent: Reader, paper: str, inherited: Inherited) -> DutyRow:
    """Read one duty; *paper* is empty for a duty that belongs to none."""
    reader = Reader(node, "a duty", FAMILY, parent.problems)
    common = parse_common(reader, row_id(reader), inherited)
    reader.what = f"duty `{common.id}`" if common.id else "a duty"
    year_day, next_year = _year_day(reader)
    row = DutyRow(
        **common.fields(),
        paper=paper,
        events=_events(reader),
        kind=DutyKind(reader.choice("kind", tuple(DutyKind))),
        trigger=reader.text("trigger"),
        before=reader.choice("direction", ("before", "after")) == "before",
        count=reader.whole("count", low=0, high=MAX_COUNT),
        unit=DueUnit(reader.choice("unit", tuple(DueUnit))),
        opens=reader.whole("opens", low=0, high=MAX_COUNT, default=0),
        year_day=year_day,
        next_year=next_year,
        from_end=reader.flag("from_end", default=False),
        counts_on=CountsOn(reader.choice("counts_on", tuple(CountsOn), default=CountsOn.SENT)),
        what=reader.text("what", required=False),
        carry=reader.words("carry"),
    )
    reader.finish()
    return row


def _events(reader: Reader) -> tuple[DutyEvent, ...]:
    """Read one word or a list of words of the closed list (R68)."""
    node = reader.node("event", required=True)
    if node is None:
        return (DutyEvent.OTHER,)
    names = tuple(DutyEvent)
    found: list[DutyEvent] = []
    for word in reader.words("event"):
        if word in names:
            found.append(DutyEvent(word))
            continue
        sentence = f"`event` of {reader.what} is {word!r}; allowed: {', '.join(names)}"
        reader.note("68", reader.place_of("event"), sentence, suggest(word, names))
    return tuple(dict.fromkeys(found)) or (DutyEvent.OTHER,)


def _year_day(reader: Reader) -> tuple[str, bool]:
    """Read ``12-01``, or ``next 01-31`` for a day of the following year."""
    text = reader.text("year_day", required=False)
    if not text:
        return "", False
    written = _YEAR_DAY.fullmatch(text)
    if written is None or not is_month_day(written[2]):
        hint = "write MM-DD or MM-end, with `next` before it for the year that follows"
        sentence = f"`year_day` of {reader.what} is {text!r}"
        reader.note("13", reader.place_of("year_day"), sentence, hint)
        return "", False
    return written[2], bool(written[1])
