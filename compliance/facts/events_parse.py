"""The events of a log file: text to values, or problems; and back to text."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from compliance.base.problems import Problem
from compliance.base.reading import Reader, suggest
from compliance.base.sources import Mapping, Node, parse_yaml
from compliance.base.yaml_text import Tree
from compliance.facts.events import TIMED, JobEvent, JobEventKind
from compliance.facts.model import Operation
from compliance.facts.parse_parts import find_holders, parse_line
from compliance.facts.zones import Unclear, find_zone, is_zone, parse_moment, say_moment

FAMILY = "E"
MAX_EVENTS = 100_000
MAX_HOURS = 10_000


def parse_events(
    text: str, file: str, operation: Operation
) -> tuple[tuple[JobEvent, ...], tuple[Problem, ...]]:
    """Read the list ``events`` of a log file; a file without one has none.

    Shape: the events in file order, numbered from 1, and no problems; or none and all problems,
    sorted by place. Faults of the YAML itself are left to `parse_log`, which reads the same file.
    """
    root = parse_yaml(text, file)[0]
    if not isinstance(root, Mapping):
        return (), ()
    problems: list[Problem] = []
    reader = Reader(root, "the file", FAMILY, problems)
    nodes = reader.items("events")
    events = tuple(
        _parse_event(node, number, operation, problems) for number, node in enumerate(nodes, 1)
    )
    return (() if problems else events), tuple(sorted(problems))


def _parse_event(
    node: Node, number: int, operation: Operation, problems: list[Problem]
) -> JobEvent:
    reader = Reader(node, f"event {number}", FAMILY, problems)
    kind = JobEventKind(reader.choice("kind", tuple(JobEventKind)))
    holders = find_holders(operation)
    jobs = tuple(job.id for job in operation.jobs)
    job = _known(reader, "job", jobs, required=kind is JobEventKind.FLEW)
    zone = _zone(reader, operation, job) if kind in TIMED else ""
    start = _moment(reader, "from", zone) if kind in TIMED else None
    end = _moment(reader, "to", zone, start) if kind is JobEventKind.FLEW else None
    hours = reader.whole("re_entry_hours", low=0, high=MAX_HOURS, default=-1)
    event = JobEvent(
        number=number,
        kind=kind,
        on=start.date() if start is not None else _day(reader, kind),
        job=job,
        start=start,
        end=end,
        aircraft=_known(reader, "aircraft", holders.aircraft),
        pilot=_known(reader, "pilot", holders.pilots),
        product=parse_line(reader, "product", required=False),
        re_entry_hours=hours if hours >= 0 else None,
        duty=parse_line(reader, "duty", required=kind is JobEventKind.DID),
        occasion=parse_line(reader, "occasion", required=kind is JobEventKind.DID),
        and_before=reader.flag("and_before", default=False),
        note=parse_line(reader, "note", required=False),
        withdraws=_withdraws(reader, kind),
    )
    reader.finish()
    return event


def _day(reader: Reader, kind: JobEventKind) -> date:
    return reader.date("on", required=kind not in TIMED) or date.max


def _known(reader: Reader, key: str, known: tuple[str, ...], *, required: bool = False) -> str:
    """Read an id of the operation (E13)."""
    word = reader.text(key, required=required)
    if word and word not in known:
        sentence = f"`{key}` of {reader.what} is {word!r}, which the operation does not have"
        hint = suggest(word, known) or f"known here: {', '.join(known) or 'none'}"
        reader.note("13", reader.place_of(key), sentence, hint)
        return ""
    return word


def _zone(reader: Reader, operation: Operation, job: str) -> str:
    """Read the time zone of an event; without one, that of its job (E21)."""
    name = reader.text("zone", required=False)
    if name and is_zone(name):
        return name
    found = find_zone(operation, next((one for one in operation.jobs if one.id == job), None))
    if name or not found:
        sentence = f"{reader.what} names no time zone"
        sentence = (
            f"`zone` of {reader.what} is {name!r}, which is no time zone" if name else sentence
        )
        hint = "add a line `zone: America/Chicago`, or `time_zone` to the operation"
        reader.note("21", reader.place_of("zone"), sentence, hint)
    return found


def _moment(reader: Reader, key: str, zone: str, start: datetime | None = None) -> datetime | None:
    """Read a day and time on the wall (E22)."""
    text = reader.text(key)
    if not text or not zone:
        return None
    found = parse_moment(text, zone, start.date() if start is not None else None)
    if isinstance(found, Unclear):
        reader.note(
            "22", reader.place_of(key), f"`{key}` of {reader.what}: {found.sentence}", found.hint
        )
        return None
    return found


def _withdraws(reader: Reader, kind: JobEventKind) -> int | None:
    needed = kind is JobEventKind.WITHDRAWN
    reader.node("withdraws", required=needed)
    if not reader.has("withdraws"):
        return None
    number = reader.whole("withdraws", low=1, high=MAX_EVENTS, default=0)
    if not needed:
        sentence = f"`withdraws` of {reader.what}, but its `kind` is {kind}"
        hint = "write `kind: withdrawn`, or remove the line"
        reader.note("17", reader.place_of("withdraws"), sentence, hint)
    return number or None


def list_events(events: tuple[JobEvent, ...]) -> list[Tree]:
    """Give events as plain values for a log file; they parse back to equal events."""
    return [_tree(event) for event in events]


def _tree(event: JobEvent) -> dict[str, Tree]:
    zone = event.start.tzinfo if event.start is not None else None
    found: dict[str, Tree | None] = {
        "kind": str(event.kind),
        "on": event.on if event.start is None else None,
        "job": event.job,
        "from": _wall(event.start),
        "to": _wall(event.end),
        "zone": zone.key if isinstance(zone, ZoneInfo) else None,
        "aircraft": event.aircraft,
        "pilot": event.pilot,
        "product": event.product,
        "re_entry_hours": event.re_entry_hours,
        "duty": event.duty,
        "occasion": event.occasion,
        "and_before": event.and_before,
        "note": event.note,
        "withdraws": event.withdraws,
    }
    # A restricted-entry interval of 0 hours is a value, not nothing said.
    return {
        key: value
        for key, value in found.items()
        if value is not None and value is not False and value != ""
    }


def _wall(moment: datetime | None) -> str | None:
    # The letters of the zone tell the two hours apart that a clock shows twice.
    return None if moment is None else f"{moment:%Y-%m-%d %H:%M} {_letters(moment)}".rstrip()


def _letters(moment: datetime) -> str:
    name = say_moment(moment).rpartition(" ")[2]
    return name if name.isalpha() else ""
