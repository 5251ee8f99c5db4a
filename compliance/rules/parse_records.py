"""Record rows of the rules table: which elements, written within what time, kept how long."""

import re

from compliance.base.reading import Reader, suggest
from compliance.base.sources import Node
from compliance.facts.basis import Inherited
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.states import STATES
from compliance.rules.model import DueUnit, KeptFrom, RecordRow
from compliance.rules.parse_parts import FAMILY, MAX_MONTHS, parse_common, row_id

FEDERAL = "federal"
_MOST_WITHIN = 400
_WITHIN = re.compile(r"(\d{1,3}) (days|hours)", re.ASCII)


def parse_record_row(node: Node, parent: Reader, inherited: Inherited) -> RecordRow:
    """Read one record row; ``state`` is a code or the word federal."""
    reader = Reader(node, "a record row", FAMILY, parent.problems)
    common = parse_common(reader, row_id(reader), inherited)
    reader.what = f"record row `{common.id}`" if common.id else "a record row"
    state = reader.text("state")
    if state and state != FEDERAL and state not in STATES:
        reader.note("16", reader.place_of("state"), f"{state!r} is no state code")
    within, unit = _within(reader)
    row = RecordRow(
        **common.fields(),
        state="" if state == FEDERAL else state,
        elements=_elements(reader),
        within=within,
        within_unit=unit,
        keep_months=_months(reader),
        kept_from=KeptFrom(
            reader.choice("kept_from", tuple(KeptFrom), default=KeptFrom.APPLICATION)
        ),
    )
    reader.finish()
    return row


def _elements(reader: Reader) -> tuple[str, ...]:
    """Read names of the closed list, each once (R81); an empty list says that none was read."""
    reader.node("elements", required=True)
    found: list[str] = []
    for word in reader.words("elements"):
        if word not in ELEMENTS:
            sentence = f"`elements` of {reader.what} holds {word!r}, "
            sentence += "which is no element of a record"
            hint = suggest(word, ELEMENTS) or f"known: {', '.join(ELEMENTS)}"
            reader.note("81", reader.place_of("elements"), sentence, hint)
        elif word in found:
            sentence = f"`elements` of {reader.what} names `{word}` twice"
            reader.note("81", reader.place_of("elements"), sentence, "keep one of them")
        else:
            found.append(word)
    return tuple(found)


def _within(reader: Reader) -> tuple[int | None, DueUnit]:
    """Read ``14 days`` or ``48 hours``; a missing key means that no limit was read."""
    text = reader.text("within", required=False)
    if not text:
        return None, DueUnit.DAYS
    written = _WITHIN.fullmatch(text)
    if written is None or int(written[1]) > _MOST_WITHIN:
        sentence = f"`within` of {reader.what} is {text!r}"
        hint = "write `0 days` for the same day, `14 days`, or `48 hours`"
        reader.note("13", reader.place_of("within"), sentence, hint)
        return None, DueUnit.DAYS
    return int(written[1]), DueUnit(written[2])


def _months(reader: Reader) -> int | None:
    if not reader.has("keep_months"):
        reader.text("keep_months", required=False)
        return None
    return reader.whole("keep_months", low=1, high=MAX_MONTHS)
