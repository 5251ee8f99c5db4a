"""Log text to entries, or problems."""

from collections.abc import Iterator
from datetime import date

from compliance.base.ids import NAME_FORM, is_name
from compliance.base.problems import Problem
from compliance.base.reading import Reader
from compliance.base.sources import Node, find_place, parse_yaml
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import MailService, Operation
from compliance.facts.parse_parts import (
    Holders,
    find_holders,
    parse_holder,
    parse_line,
    parse_paper_id,
)

FAMILY = "L"
MAX_ENTRIES = 100_000


def parse_log(
    text: str, file: str, operation: Operation
) -> tuple[tuple[LogEntry, ...], tuple[Problem, ...]]:
    """Read a log file, its holders being those of an operation.

    Shape: the entries in file order, numbered from 1, and no problems; or no entries and all
    problems, sorted by place.
    """
    root, faults = parse_yaml(text, file)
    problems = list(faults)
    if root is None:
        return (), tuple(sorted(problems))
    reader = Reader(root, "the file", FAMILY, problems)
    holders = find_holders(operation)
    nodes = reader.items("log", required=True)
    entries = tuple(
        _parse_entry(node, number, holders, problems) for number, node in enumerate(nodes, 1)
    )
    reader.node("events")  # read by events_parse.py
    reader.finish()
    problems.extend(check_log(entries, root))
    return (() if problems else entries), tuple(sorted(problems))


def _parse_entry(node: Node, number: int, holders: Holders, problems: list[Problem]) -> LogEntry:
    reader = Reader(node, f"entry {number}", FAMILY, problems)
    kind = EventKind(reader.choice("kind", tuple(EventKind)))
    is_withdrawal = kind is EventKind.WITHDRAWN
    entry = LogEntry(
        number=number,
        kind=kind,
        paper="" if is_withdrawal and not reader.has("paper") else parse_paper_id(reader),
        holder=parse_holder(reader, holders),
        happened_on=reader.date("on", required=True) or date.max,
        step=_parse_step(reader),
        tracking=parse_line(reader, "tracking", required=False),
        reason=reader.text("reason", required=kind in {EventKind.RETURNED, EventKind.HEARD}),
        paper_number=parse_line(reader, "number", required=False),
        issued_on=reader.date("issued_on"),
        valid_through=reader.date("valid_through"),
        withdraws=_parse_withdraws(reader, is_needed=is_withdrawal),
        blanks=_parse_names(reader, "blanks", parts=2),
        still_good=_parse_names(reader, "still_good", parts=1),
        expects=reader.date("expects"),
        service=_parse_service(reader),
    )
    reader.finish()
    return entry


def _parse_step(reader: Reader) -> str:
    step = reader.text("step", required=False)
    if step and not is_name(step):
        sentence = f"`step` of {reader.what} is {step!r}"
        reader.note("11", reader.place_of("step"), sentence, f"write {NAME_FORM}")
    return step


def _parse_service(reader: Reader) -> MailService | None:
    """Read the mail service of a mailing, None where it is not named."""
    if not reader.has("service"):
        return None
    first = MailService.FIRST_CLASS
    return MailService(reader.choice("service", tuple(MailService), default=first))


def _parse_names(reader: Reader, key: str, *, parts: int) -> tuple[str, ...]:
    """Read a list of names, or of ``document/blank`` pairs of them."""
    found = reader.words(key)
    form = NAME_FORM if parts == 1 else "a document and a blank, such as application/signature"
    for word in found:
        pieces = word.split("/")
        if len(pieces) != parts or not all(is_name(piece) for piece in pieces):
            sentence = f"`{key}` of {reader.what} has {word!r}"
            reader.note("11", reader.place_of(key), sentence, f"write {form}")
    return found


def _parse_withdraws(reader: Reader, *, is_needed: bool) -> int | None:
    reader.node("withdraws", required=is_needed)
    if not reader.has("withdraws"):
        return None
    return reader.whole("withdraws", low=1, high=MAX_ENTRIES, default=0) or None


def check_log(entries: tuple[LogEntry, ...], root: Node) -> tuple[Problem, ...]:
    """Check what entries say together (L14 to L19, L42, L46); *root* gives the faults their places.

    Shape: sorted by place; empty when all is well.
    """
    kinds = {entry.number: entry.kind for entry in entries}
    found: list[Problem] = []
    for position, entry in enumerate(entries):
        for number, key, sentence, hint in (*_check_entry(entry), *_check_withdrawal(entry, kinds)):
            place = find_place(root, "log", position, key)
            found.append(
                Problem(place=place, code=f"{FAMILY}{number}", sentence=sentence, hint=hint)
            )
    return tuple(sorted(found))


_Fault = tuple[str, str, str, str]


def _check_entry(entry: LogEntry) -> list[_Fault]:
    what = f"entry {entry.number}"
    faults: list[_Fault] = []
    issued, end = entry.issued_on, entry.valid_through
    if issued is not None and end is not None and end < issued:
        sentence = f"{what} grants a paper valid through {end}, before it was issued on {issued}"
        faults.append(("14", "valid_through", sentence, "swap the two days, or correct the year"))
    if entry.kind is not EventKind.GRANTED:
        for key, value in (
            ("number", entry.paper_number),
            ("issued_on", issued),
            ("valid_through", end),
        ):
            if value:
                sentence = f"`{key}` of {what} belongs to a paper, but `kind` is {entry.kind}"
                hint = "move the line to the entry with `kind: granted`"
                faults.append(("15", key, sentence, hint))
    if entry.kind is not EventKind.RETURNED:
        for key, names in (("blanks", entry.blanks), ("still_good", entry.still_good)):
            if names:
                sentence = f"`{key}` of {what} belongs to a return, but `kind` is {entry.kind}"
                hint = "move the line to the entry with `kind: returned`"
                faults.append(("19", key, sentence, hint))
    faults.extend(_check_whose(entry))
    if entry.kind is EventKind.DONE and not entry.step:
        sentence = f"{what} says that a step is done, but not which"
        faults.append(("16", "kind", sentence, "add a line `step:` with the name of the step"))
    return faults


def _check_whose(entry: LogEntry) -> Iterator[_Fault]:
    """Check that what belongs to one kind of entry stands in no other."""
    for number, key, value, kind, whose in (
        ("42", "expects", entry.expects, EventKind.HEARD, "what an office said"),
        ("46", "service", entry.service, EventKind.MAILED, "a mailing"),
    ):
        if entry.kind is not kind and value is not None:
            sentence = (
                f"`{key}` of entry {entry.number} belongs to {whose}, but `kind` is {entry.kind}"
            )
            yield number, key, sentence, f"move the line to an entry with `kind: {kind}`"


def _check_withdrawal(entry: LogEntry, kinds: dict[int, EventKind]) -> list[_Fault]:
    target = entry.withdraws
    if target is None:
        return []
    what = f"entry {entry.number}"
    if entry.kind is not EventKind.WITHDRAWN:
        hint = "write `kind: withdrawn`, or remove the line"
        return [("17", "withdraws", f"{what} withdraws entry {target} but is no withdrawal", hint)]
    if target >= entry.number:
        sentence = f"{what} withdraws entry {target}, which does not come before it"
        hint = "entries count from 1 in file order"
        return [("18", "withdraws", sentence, hint)]
    if kinds[target] is EventKind.WITHDRAWN:
        sentence = f"{what} withdraws entry {target}, which is itself a withdrawal"
        return [("18", "withdraws", sentence, "write the first entry again instead")]
    return []
