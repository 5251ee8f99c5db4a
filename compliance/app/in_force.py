"""Go or no-go: from the database to the answers for one morning."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from compliance.app.flight_records import settle_records
from compliance.app.operations import check_job, load_with_log
from compliance.app.tables import load_table_for
from compliance.base.problems import RefusedError
from compliance.base.reading import suggest
from compliance.engine.applies import compute_verdicts
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty, DutyBook
from compliance.engine.duty_order import sort_duties
from compliance.engine.in_force import JobStanding, compute_job_standing
from compliance.facts.events import JobEvent
from compliance.facts.log import LogEntry
from compliance.facts.model import HolderKind, Job, Operation
from compliance.rules.model import DutyEvent, RulesTable
from compliance.store.events import load_events
from compliance.store.reading import Readable

# What these begin comes from a paper that is held, and from no flight or job.
_OF_A_PAPER = frozenset(
    {
        DutyEvent.MONTH_FLOWN,
        DutyEvent.PACKET_FILED,
        DutyEvent.PAPER_ISSUED,
        DutyEvent.PAPER_ENDS,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobMorning:
    """The answer for one job and what must be told, checked or reported around flying that day."""

    standing: JobStanding
    duties: tuple[DueDuty, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """The answers for one day.

    ``jobs`` are the jobs asked about: those of the day, or the one named. ``next_job`` is the first
    job to come when none is on that day.
    """

    operation: Operation
    on: date
    jobs: tuple[JobMorning, ...]
    next_job: Job | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    session: Readable
    operation: Operation
    table: RulesTable
    log: tuple[LogEntry, ...]
    events: tuple[JobEvent, ...]
    on: date
    now: datetime | None


def look_at_morning(
    session: Readable,
    wanted: str | None,
    on: date,
    *,
    job: str = "",
    aircraft: str = "",
    pilot: str = "",
    now: datetime | None = None,
) -> Morning:
    """Answer for the jobs of a day, or for one job, whether everything is in order.

    Raises:
        NotFoundError: No such operation or job.
        RefusedError: No job asked about has that aircraft or pilot.
    """
    operation, log = load_with_log(session, wanted)
    named = check_job(operation, job)
    chosen = [one for one in operation.jobs if one.first_day <= on <= one.last_day]
    chosen = [named] if named is not None else chosen
    known = chosen or list(operation.jobs)
    _refuse_unknown("aircraft", aircraft, [name for one in known for name in one.aircraft])
    _refuse_unknown("pilot", pilot, [name for one in known for name in one.pilots])
    chosen = [one for one in (_narrow(job, aircraft, pilot) for job in chosen) if one is not None]
    asked = _Asked(
        session=session,
        operation=operation,
        table=load_table_for(session, operation, log),
        log=log,
        events=load_events(session, operation.id),
        on=on,
        now=now,
    )
    of_papers = _list_of_papers(asked) if chosen else ()
    ahead = [one for one in operation.jobs if one.first_day > on]
    return Morning(
        operation=operation,
        on=on,
        jobs=tuple(_answer(asked, one, of_papers) for one in chosen),
        next_job=min(ahead, key=lambda one: one.first_day, default=None) if not chosen else None,
    )


def _refuse_unknown(word: str, name: str, known: list[str]) -> None:
    if name and name not in known:
        hint = suggest(name, known) or f"known: {', '.join(dict.fromkeys(known)) or 'none'}"
        raise RefusedError(f"no job asked about has the {word} {name!r}", hint=hint)


def _narrow(job: Job, aircraft: str, pilot: str) -> Job | None:
    machines = tuple(name for name in job.aircraft if aircraft in {"", name})
    people = tuple(name for name in job.pilots if pilot in {"", name})
    return replace(job, aircraft=machines, pilots=people) if machines and people else None


def _answer(asked: _Asked, job: Job, of_papers: tuple[DueDuty, ...]) -> JobMorning:
    standing = compute_job_standing(asked.operation, asked.table, asked.log, job, asked.on)
    due = _book(asked, (job,)).due
    # What this job does not need may be needed by another one, so the whole operation says that.
    own = [one for one in due if one.is_live and one.job in {"", job.id} and one.needed]
    known = {one.id for one in own}
    duties = [*own, *(one for one in of_papers if one.id not in known)]
    return JobMorning(standing=standing, duties=sort_duties(asked.operation, duties))


def _list_of_papers(asked: _Asked) -> tuple[DueDuty, ...]:
    """List what the operation's own papers ask for while they are held, whichever job needs them.

    A report or a renewal of a paper in force is due also while only jobs without it are flown.
    """
    return tuple(
        one
        for one in _book(asked, asked.operation.jobs).due
        if one.is_live
        and one.holder.kind is HolderKind.OPERATION
        and not _OF_A_PAPER.isdisjoint(one.row.events)
    )


def _book(asked: _Asked, jobs: tuple[Job, ...]) -> DutyBook:
    alone = replace(asked.operation, jobs=jobs)
    names = {"", *(job.id for job in jobs)}
    events = tuple(event for event in asked.events if event.job in names)
    book = compute_duty_book(
        alone,
        asked.table,
        compute_verdicts(alone, asked.table),
        asked.log,
        events,
        as_of=asked.on,
        now=asked.now,
    )
    return settle_records(asked.session, alone, asked.table, events, book, as_of=asked.on)
