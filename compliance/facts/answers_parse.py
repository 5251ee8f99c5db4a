"""Text of an answers file to answers about one packet, or problems."""

import re
from dataclasses import dataclass, replace
from datetime import date

from compliance.base.dates import say_how_to_write
from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import Reader, suggest
from compliance.base.sources import Mapping, Node, Scalar, Sequence, parse_yaml
from compliance.facts.answers import (
    COPY,
    ENCLOSED,
    ORIGINAL,
    SIGNATURE_KINDS,
    Answer,
    EnvelopeAnswers,
    Source,
    Status,
)
from compliance.facts.answers_mended import Reasons, parse_mended
from compliance.facts.answers_short import (
    HINT_OF_DATE,
    HINT_OF_MARK,
    HINT_OF_TEXT,
    is_open,
    is_small,
    is_text,
    read_enclosed_word,
    read_status,
    say_too_little,
)
from compliance.facts.parse_parts import parse_line
from compliance.facts.states import STATES, find_state

FAMILY = "A"
MOST_SHEETS = 20
ENCLOSED_WORDS = {
    ORIGINAL: (Status.FILLED, ORIGINAL),
    COPY: (Status.FILLED, COPY),
    "yes": (Status.FILLED, ""),
    "no": (Status.EMPTY, ""),
    "left-out": (Status.STRUCK, ""),
    "unclear": (Status.UNCLEAR, ""),
}
"""What may be said of a document; ``left-out`` means on purpose, ``yes`` not which of the two."""

_EXAMPLE = "2027-01-12"
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_ALMOST = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}", re.ASCII)
_AMOUNT = re.compile(r"\d{1,9}(\.\d{1,2})?", re.ASCII)
_NULL = frozenset({"~", "null"})
_STATUS_WORDS = tuple(str(status) for status in Status)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedDocument:
    """A document an answers file may speak of: its short name and its blanks.

    ``dates`` are those that hold a date, ``marks`` those that hold no text: signatures, stamps and
    boxes to tick, ``names`` those for a person, a firm or a place. ``known`` are texts of the
    facts, which are texts whatever words they begin with.
    """

    name: str
    blanks: tuple[str, ...]
    dates: frozenset[str]
    marks: frozenset[str] = frozenset()
    known: frozenset[str] = frozenset()
    names: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketAnswers:
    """All answers about one packet, in the order of the file."""

    packet: str
    answers: tuple[Answer, ...]
    envelope: EnvelopeAnswers


def parse_answers(
    text: str,
    file: str,
    packet: str,
    asked: tuple[AskedDocument, ...],
    reasons: Reasons | None = None,
) -> tuple[PacketAnswers | None, tuple[Problem, ...]]:
    """Read an answers file about one packet, whose documents are *asked*.

    *reasons* are why papers came back, None where what was kept is read again.

    Shape: the answers and no problems; or None and all problems, sorted by place.
    """
    root, faults = parse_yaml(text, file)
    problems = list(faults)
    if root is None:
        return None, tuple(sorted(problems))
    reader = Reader(root, "the file", FAMILY, problems)
    _check_packet(reader, packet)
    documents = reader.node("documents")
    below = reader.node("envelope")
    envelope = None
    if below is not None and not _is_unset(below):
        envelope = Reader(_without_open(below), "the envelope", FAMILY, problems)
    read = PacketAnswers(
        packet=packet,
        answers=_parse_documents(documents, asked, problems),
        envelope=(
            _parse_envelope(envelope, reasons) if envelope is not None else EnvelopeAnswers()
        ),
    )
    reader.finish()
    return (None if problems else read), tuple(sorted(problems))


def _check_packet(reader: Reader, packet: str) -> None:
    said = reader.text("packet")
    if said and said != packet:
        sentence = f"the answers are about `{said}`, asked is `{packet}`"
        hint = "name the packet the answers are about, or give the right file"
        reader.note("11", reader.place_of("packet"), sentence, hint)


def _parse_documents(
    node: Node | None, asked: tuple[AskedDocument, ...], problems: list[Problem]
) -> tuple[Answer, ...]:
    if node is None or _is_unset(node):
        return ()
    if not isinstance(node, Mapping):
        _add(problems, "01", node.place, "`documents` must be a set of `key: value` lines")
        return ()
    known = {one.name: one for one in asked}
    found: list[Answer] = []
    for name, (place, below) in node.entries.items():
        if name not in known:
            hint = suggest(name, known) or f"this packet holds: {', '.join(known) or 'none'}"
            _add(problems, "12", place, f"the packet has no document `{name}`", hint)
            continue
        found.extend(_parse_sheets(below, known[name], problems))
    return tuple(found)


def _parse_sheets(node: Node, asked: AskedDocument, problems: list[Problem]) -> list[Answer]:
    sheets = node.items if isinstance(node, Sequence) else (node,)
    if len(sheets) > MOST_SHEETS:
        sentence = f"`{asked.name}` has {len(sheets)} sheets; at most {MOST_SHEETS}"
        _add(problems, "14", node.place, sentence)
        return []
    found: list[Answer] = []
    for number, sheet in enumerate(sheets, 1):
        what = asked.name if len(sheets) == 1 else f"sheet {number} of {asked.name}"
        reader = Reader(sheet, f"`{what}`", FAMILY, problems)
        enclosed = reader.node(ENCLOSED)
        if enclosed is not None and not is_open(_plain_text(enclosed)):
            found.append(_parse_enclosed(reader, asked, number))
        blanks = reader.node("blanks")
        if blanks is not None and not _is_unset(blanks):
            found.extend(_parse_blanks(blanks, asked, number, problems))
        reader.finish()
    return found


def _parse_enclosed(reader: Reader, asked: AskedDocument, number: int) -> Answer:
    word = read_enclosed_word(reader.text(ENCLOSED))
    if word not in ENCLOSED_WORDS:
        word = reader.choice(ENCLOSED, ENCLOSED_WORDS, default="unclear")
    status, says = ENCLOSED_WORDS[word]
    return Answer(document=asked.name, blank=ENCLOSED, status=status, says=says, sheet=number)


def _parse_blanks(
    node: Node, asked: AskedDocument, number: int, problems: list[Problem]
) -> list[Answer]:
    what = f"`blanks` of `{asked.name}`"
    if not isinstance(node, Mapping):
        _add(problems, "01", node.place, f"{what} must be a set of `key: value` lines")
        return []
    found: list[Answer] = []
    for name, (place, below) in node.entries.items():
        if name not in asked.blanks:
            hint = suggest(name, asked.blanks) or f"it has: {', '.join(asked.blanks)}"
            _add(problems, "13", place, f"`{asked.name}` has no blank `{name}`", hint)
        elif isinstance(below, Mapping):
            found.append(_parse_long(below, asked, name, number, problems))
        else:
            answer = _parse_short(below, asked, name, number, problems)
            if answer is not None:
                found.append(answer)
    return found


def _parse_long(
    node: Mapping, asked: AskedDocument, name: str, number: int, problems: list[Problem]
) -> Answer:
    """Read an answer written out: ``{status: filled, says: ..., on: ..., source: photo}``."""
    reader = Reader(node, f"blank `{name}` of `{asked.name}`", FAMILY, problems)
    status = reader.choice("status", _STATUS_WORDS)
    source = reader.choice("source", tuple(Source), default=str(Source.PERSON))
    answer = Answer(
        document=asked.name,
        blank=name,
        status=Status(status),
        says=reader.text("says", required=False),
        on=_parse_on(reader),
        sheet=number,
        source=Source(source),
        seen_in=parse_line(reader, "seen_in", required=False),
        picture_empty=reader.flag("picture_empty", default=False),
    )
    reader.finish()
    return answer


def _parse_on(reader: Reader) -> date | None:
    text = reader.text("on", required=False)
    if not text:
        return None
    day = find_day(text)
    if day is None:
        sentence = f"`on` of {reader.what} is {text!r}, which is no date"
        hint = say_how_to_write(text, _EXAMPLE)
        reader.note("06", reader.place_of("on"), sentence, hint)
    return day


def _parse_short(
    node: Node, asked: AskedDocument, name: str, number: int, problems: list[Problem]
) -> Answer | None:
    """Read an answer in one word, one date or one text; a list is an address in lines.

    None when it leaves the blank open, or says too little, which is noted.
    """
    text = _plain_text(node)
    what = f"`{name}` of `{asked.name}`"
    answer = Answer(document=asked.name, blank=name, status=Status.FILLED, sheet=number)
    if text in asked.known and name not in {*asked.marks, *asked.dates}:
        return replace(answer, says=text)
    if is_open(text):
        return None
    status = read_status(text)
    if status is not None:
        return replace(answer, status=status)
    is_talk = name in asked.names and is_text(text) and is_small(text)
    if name in asked.marks or is_talk or not is_text(text):
        why = "which has no capital letter" if is_talk else say_too_little(text)
        hint = HINT_OF_MARK if name in asked.marks else HINT_OF_TEXT
        hint = HINT_OF_DATE if name in asked.dates else hint
        _add(problems, "17", node.place, f"{what} is {text!r}, {why}", hint)
        return None
    if name not in asked.dates:
        return replace(answer, says=text)
    day = find_day(text)
    if day is None and _ALMOST.fullmatch(text):
        hint = say_how_to_write(text, _EXAMPLE)
        _add(problems, "06", node.place, f"{what} is {text!r}, which is no date", hint)
    return replace(answer, on=day, says="" if day else text)


def _plain_text(node: Node) -> str:
    if isinstance(node, Scalar):
        text = node.text.strip()
        return "" if node.plain and text in _NULL else text
    if isinstance(node, Sequence):
        lines = [item.text.strip() for item in node.items if isinstance(item, Scalar)]
        return ", ".join(filter(None, lines))
    return ""


def find_day(text: str) -> date | None:
    """Read ``YYYY-MM-DD`` of any year, because papers show birthdays too.

    Example:
        >>> find_day("1961-02-03"), find_day("2027-02-30")
        (datetime.date(1961, 2, 3), None)
    """
    if _ISO.fullmatch(text) is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _is_unset(node: Node) -> bool:
    """Tell whether a key stands there with nothing behind it."""
    return isinstance(node, Scalar) and not _plain_text(node)


def _without_open(node: Node) -> Node:
    """Leave out of the envelope's lines those that have no value yet."""
    if not isinstance(node, Mapping):
        return node
    kept = {
        name: (place, below)
        for name, (place, below) in node.entries.items()
        if not (
            name in EnvelopeAnswers.__slots__
            and isinstance(below, Scalar)
            and is_open(_plain_text(below))
        )
    }
    return replace(node, entries=kept)


def _parse_said(reader: Reader, key: str) -> str:
    """Read a text of the envelope; talk is not taken for one."""
    text = parse_line(reader, key, required=False)
    return _take_said(reader, key, text)


def _take_said(reader: Reader, key: str, text: str) -> str:
    if not text or is_text(text):
        return text
    if read_status(text) in {None, Status.FILLED}:
        sentence = f"`{key}` of {reader.what} is {text!r}, {say_too_little(text)}"
        reader.note("17", reader.place_of(key), sentence, "write what it is, or leave it open")
    return ""


def _parse_envelope(reader: Reader, reasons: Reasons | None) -> EnvelopeAnswers:
    has_corrections, has_power = reader.has("no_corrections"), reader.has("power_enclosed")
    envelope = EnvelopeAnswers(
        notary_name=_parse_said(reader, "notary_name"),
        notary_state=_parse_state(reader),
        id_expires=reader.date("id_expires"),
        owners_chain=reader.words("owners_chain"),
        fee_amount_usd=_parse_amount(reader),
        fee_payee=_parse_said(reader, "fee_payee"),
        fee_method=_parse_said(reader, "fee_method"),
        address_on_envelope=_parse_address(reader),
        insured_from=reader.date("insured_from"),
        insured_through=reader.date("insured_through"),
        insured_aircraft=reader.words("insured_aircraft"),
        earlier_reasons_mended=parse_mended(reader, reasons),
        no_corrections=reader.flag("no_corrections", default=False) if has_corrections else None,
        signature_kind=_parse_kind(reader),
        power_enclosed=reader.flag("power_enclosed", default=False) if has_power else None,
    )
    # Asked for once more so that a missing key is known, and not reported as unknown.
    reader.node("no_corrections")
    reader.node("power_enclosed")
    reader.finish()
    return envelope


def _parse_state(reader: Reader) -> str:
    text = parse_line(reader, "notary_state", required=False)
    code = find_state(text)
    if text == "ok":
        sentence = f"`notary_state` of {reader.what} is 'ok', which may mean Oklahoma or yes"
        hint = "write the state's name, or its two letters, for example NE"
        reader.note("16", reader.place_of("notary_state"), sentence, hint)
    elif text and not code:
        sentence = f"`notary_state` of {reader.what} is {text!r}, which is no state"
        hint = suggest(text.title(), STATES.values()) or suggest(text.upper(), STATES)
        hint = hint or "write its name, or its two letters, for example NE"
        reader.note("16", reader.place_of("notary_state"), sentence, hint)
    return code


def _parse_amount(reader: Reader) -> str:
    text = parse_line(reader, "fee_amount_usd", required=False).removeprefix("$").strip()
    if text and _AMOUNT.fullmatch(text) is None:
        sentence = f"`fee_amount_usd` of {reader.what} is {text!r}, which is no amount of dollars"
        place = reader.place_of("fee_amount_usd")
        reader.note("15", place, sentence, "write digits, for example 5.00")
    return text


def _parse_address(reader: Reader) -> str:
    node = reader.node("address_on_envelope")
    if isinstance(node, Mapping):
        sentence = f"`address_on_envelope` of {reader.what} must be a text or a list of lines"
        reader.note("04", node.place, sentence)
    return "" if node is None else _take_said(reader, "address_on_envelope", _plain_text(node))


def _parse_kind(reader: Reader) -> str:
    if not reader.has("signature_kind"):
        reader.node("signature_kind")
        return ""
    return reader.choice("signature_kind", SIGNATURE_KINDS)


def _add(
    problems: list[Problem], number: str, place: SourceRef, sentence: str, hint: str = ""
) -> None:
    code = f"{FAMILY}{number}"
    problems.append(Problem(place=place, code=code, sentence=sentence, hint=hint))
