"""The log of what happened around flying: rows to events and back."""

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from compliance.facts.events import JobEvent, JobEventKind
from compliance.store.questions import Question
from compliance.store.reading import Readable, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session

_SAME = (
    "number",
    "on",
    "job",
    "aircraft",
    "pilot",
    "product",
    "re_entry_hours",
    "duty",
    "occasion",
    "and_before",
    "note",
    "withdraws",
)


@refuse_unreadable("the log of flights")
def load_events(session: Readable, operation_id: str) -> tuple[JobEvent, ...]:
    """Load an operation's events in the order they were written, withdrawn ones included.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    question = Question(
        table="job_event",
        columns=(*_SAME, "kind", "start", "end", "zone"),
        where=(("operation_id", "=", operation_id),),
        order=("number",),
    )
    return tuple(
        JobEvent(
            kind=JobEventKind(row["kind"]),
            start=_read(row["start"], row["zone"]),
            end=_read(row["end"], row["zone"]),
            **{name: row[name] for name in _SAME},
        )
        for row in read_rows(session, question)
    )


def next_event_number(session: "Session", operation_id: str) -> int:
    """Give the number the next event of an operation will have."""
    from sqlmodel import func, select

    from compliance.store.tables_log import JobEventRow

    query = select(func.max(JobEventRow.number)).where(JobEventRow.operation_id == operation_id)
    return (session.exec(query).one() or 0) + 1


def append_events(session: "Session", operation_id: str, events: Iterable[JobEvent]) -> None:
    """Add events to an operation's log; nothing in it is ever changed."""
    from compliance.store.tables_log import JobEventRow

    for event in events:
        zone = event.start.tzinfo if event.start is not None else None
        session.add(
            JobEventRow(
                operation_id=operation_id,
                kind=event.kind,
                start=_write(event.start),
                end=_write(event.end),
                zone=zone.key if isinstance(zone, ZoneInfo) else "",
                **{name: getattr(event, name) for name in _SAME},
            )
        )
    session.flush()


def _write(moment: datetime | None) -> str:
    return "" if moment is None else moment.astimezone(UTC).isoformat()


def _read(text: str, zone: str) -> datetime | None:
    if not text:
        return None
    try:
        return datetime.fromisoformat(text).astimezone(ZoneInfo(zone))
    except (KeyError, OSError) as error:
        raise ValueError(f"{zone!r} is no time zone") from error
