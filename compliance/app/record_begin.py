"""What a talk about one application begins with: loaded from the store, and kept there."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from shlex import quote

from sqlmodel import Session

from compliance.app.operations import choose_operation
from compliance.app.record_corrections import check_old
from compliance.app.record_flights import choose_flight
from compliance.app.record_list import find_record
from compliance.app.tables import load_table
from compliance.base.problems import NotFoundError
from compliance.base.reading import suggest
from compliance.facts.events import JobEvent, find_flights
from compliance.facts.log import LogEntry
from compliance.facts.model import Job, Operation
from compliance.facts.records import Application
from compliance.rules.model import RulesTable
from compliance.store.applications import Wanted, load_records
from compliance.store.events import load_events
from compliance.store.records import load_log
from compliance.store.talk import load_answers, save_answers


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordTalk:
    """What a talk about one application begins with; ``last`` is the record to offer from.

    ``flight`` is the logged flight it is of, None when nobody named one; ``flights`` are all.
    ``anyway`` says why it is kept against a label.
    """

    interview: str
    state: Mapping[str, str]
    operation: Operation
    job: Job
    table: RulesTable
    log: tuple[LogEntry, ...]
    last: Application | None
    today: date
    correct: int | None = None
    flight: JobEvent | None = None
    flights: tuple[JobEvent, ...] = ()
    anyway: str = ""

    @property
    def command(self) -> str:
        """The command that takes the talk up again."""
        again = f" --correct {self.correct}" if self.correct is not None else ""
        again += f" --flight {self.flight.number}" if self.flight is not None else ""
        again += f" --anyway {quote(self.anyway)}" if self.anyway else ""
        return f"mailby record {self.job.id}{again}"


def load_record_talk(
    session: Session,
    wanted: str | None,
    job: str,
    today: date,
    correct: int | None,
    flight: int | None = None,
    anyway: str = "",
) -> RecordTalk:
    """Load what a talk begins with: the answers kept, and the last record of the job or of any.

    Raises:
        NotFoundError: No such operation, job, record or flight.
        RefusedError: The record to correct is of another job or was written on a later day.
    """
    operation = choose_operation(session, wanted)
    chosen = next((one for one in operation.jobs if one.id == job), None)
    if chosen is None:
        known = [one.id for one in operation.jobs]
        hint = suggest(job, known) or f"known: {', '.join(known) or 'none'}"
        raise NotFoundError(f"no job is called {job!r}", hint=hint)
    of_job = load_records(session, operation.id, Wanted(job=job))
    others = of_job or load_records(session, operation.id)
    if correct is not None:
        others = (find_record(session, operation, correct),)
        check_old(others[0], job, today, anyway)
    flights = find_flights(load_events(session, operation.id), job)
    named = None if flight is None else choose_flight(flights, flight)
    interview = f"record {operation.id} {job} {correct or ''}".strip()
    interview += f" of flight {flight}" if flight is not None else ""
    return RecordTalk(
        interview=interview,
        state=load_answers(session, interview),
        operation=operation,
        job=chosen,
        table=load_table(session),
        log=load_log(session, operation.id),
        last=max(others, key=lambda one: (one.on, one.number, one.version), default=None),
        today=today,
        correct=correct,
        anyway=anyway,
        flight=named,
        flights=flights,
    )


def keep_record_state(session: Session, begin: RecordTalk, state: Mapping[str, str]) -> None:
    """Keep the answers of a talk in place of those before; none at all forgets them."""
    save_answers(session, begin.interview, state)
