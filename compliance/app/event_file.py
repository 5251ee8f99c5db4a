"""Read the events of a log file into the log of an operation, all of them or none."""

from dataclasses import replace
from datetime import date

from sqlmodel import Session

from compliance.base.problems import DataProblemsError, RefusedError, SourceRef
from compliance.base.sources import find_place, parse_yaml
from compliance.engine.event_checks import check_event
from compliance.facts.events import JobEvent
from compliance.facts.events_parse import parse_events
from compliance.facts.model import Operation
from compliance.store.events import append_events, load_events


def import_events(session: Session, operation: Operation, text: str, path: str, today: date) -> int:
    """Add the events of a log file that are not there yet, and give their number.

    Raises:
        DataProblemsError: The list has faults, or an event cannot have happened so; the caller's
            transaction keeps nothing.
        RefusedError: The log holds other events than the file begins with.
    """
    events, problems = parse_events(text, path, operation)
    if problems:
        raise DataProblemsError(problems)
    kept = load_events(session, operation.id)
    known = tuple(replace(event, number=at) for at, event in enumerate(kept, 1))
    if events[: len(known)] != known[: len(events)]:
        raise RefusedError(
            f"the log of {operation.id} holds flights or events that {path} does not begin with",
            hint="a log file is read into an empty log, or goes on where the log ends",
        )
    root = parse_yaml(text, path)[0]
    places = tuple(find_place(root, "events", at) for at in range(len(events))) if root else ()
    return _add(session, operation, events, places, kept=known, today=today)


def _add(
    session: Session,
    operation: Operation,
    events: tuple[JobEvent, ...],
    places: tuple[SourceRef, ...],
    *,
    kept: tuple[JobEvent, ...],
    today: date,
) -> int:
    log = list(kept)
    for event, place in tuple(zip(events, places, strict=True))[len(kept) :]:
        problems = check_event(operation, tuple(log), event, today, place=place)
        if problems:
            raise DataProblemsError(problems)
        append_events(session, operation.id, (event,))
        log.append(event)
    return max(len(events) - len(kept), 0)
