"""A binder for somebody who asks for the papers: gathered, laid out, copies put in, written."""

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.attachments import say_file_name
from compliance.app.binder_copies import make_copies
from compliance.app.binder_records import load_kept_records
from compliance.app.flight_records import settle_records
from compliance.app.flight_remarks import find_lapsed
from compliance.app.operations import check_job, load_with_log
from compliance.app.own_papers import check_characters
from compliance.app.planning import make_plan
from compliance.app.resources import write_file
from compliance.app.seen import SeenFile
from compliance.app.tables import load_table
from compliance.base.dates import say_date
from compliance.base.problems import OutputError, RefusedError
from compliance.engine.applies import compute_verdicts
from compliance.engine.covers import Cover, compute_covers
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DutyBook
from compliance.engine.in_force import JobStanding, PaperStanding, compute_job_standing
from compliance.engine.packets import packet_id
from compliance.engine.plan_model import Plan
from compliance.engine.unknowns import find_plan_reviews
from compliance.facts.attachments import Attachment
from compliance.facts.events import JobEvent, find_flights
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import Holder, Job, Operation
from compliance.outputs.binder import compute_binder
from compliance.outputs.binder_ground import Ground, OtherPaper, SentFile
from compliance.outputs.binder_model import Copy
from compliance.outputs.binder_pdf import render_binder
from compliance.rules.model import PaperRow, RulesTable
from compliance.scan.anew import place_pages
from compliance.store.attachments import load_attachments
from compliance.store.checks import load_checks
from compliance.store.events import load_events
from compliance.store.kept_json import parse_kept
from compliance.store.refusals import refuse_unreadable


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What somebody wants in a binder.

    ``job`` empty means all jobs of the period. ``first`` and ``last``, both inclusive, bound what
    happened; None when it is not bounded.
    """

    as_of: date
    printed_on: date
    job: str = ""
    first: date | None = None
    last: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BinderWritten:
    """A binder that was written, and the copies it shows and does not show."""

    path: Path
    pages: int
    shown: tuple[Copy, ...]
    kept_out: tuple[Copy, ...]
    left_out: int


def write_binder(
    session: Session, wanted: str | None, wish: Wish, folder: Path, path: Path
) -> BinderWritten:
    """Write a binder; *folder* holds the copies that were attached.

    Raises:
        NotFoundError: No such operation or job.
        RefusedError: The days are the wrong way round, or a text cannot be printed.
        OutputError: The file cannot be written; nothing was.
    """
    ground, anew = gather(session, wanted, wish, folder)
    pdf, pages = render_whole(ground, anew)
    write_file(path, pdf)
    try:
        # Names, addresses and certificate numbers: whoever owns it decides who else reads it.
        path.chmod(0o600)
    except OSError as error:
        raise OutputError(f"{path} cannot be closed to others: {error.strerror}") from None
    return BinderWritten(
        path=path,
        pages=pages,
        shown=tuple(copy for copy in ground.copies if copy.pages),
        kept_out=tuple(copy for copy in ground.copies if not copy.pages),
        left_out=ground.left_out,
    )


def render_whole(ground: Ground, anew: tuple[bytes, ...]) -> tuple[bytes, int]:
    """Give the bytes of a binder and the number of its pages.

    Raises:
        RefusedError: A text holds a character the printed font does not have.
    """
    binder = compute_binder(ground)
    check_characters(binder)
    laid_out = render_binder(binder)
    pdf = place_pages(laid_out.pdf, anew, laid_out.placings, ground.printed_on)
    return pdf, laid_out.pages


def gather(
    session: Session, wanted: str | None, wish: Wish, folder: Path
) -> tuple[Ground, tuple[bytes, ...]]:
    """Gather all a binder says, and the attached PDFs written anew.

    Raises:
        NotFoundError: No such operation or job.
        RefusedError: The days are the wrong way round, or the copies have too many pages.
    """
    operation, log = load_with_log(session, wanted)
    job = check_job(operation, wish.job)
    _check_days(wish)
    table = load_table(session)
    jobs = (job,) if job is not None else _list_jobs(operation, wish)
    known = tuple(entry for entry in log if entry.happened_on <= wish.as_of)
    standings = tuple(
        compute_job_standing(operation, table, known, one, wish.as_of) for one in jobs
    )
    others = () if job is not None else _list_others(operation, table, known, standings, wish)
    attached = [one for one in load_attachments(session, operation.id) if one.detached_on is None]
    chosen = _choose_attached(attached, standings, whole=job is None)
    copies, anew = make_copies(chosen, folder)
    copies = tuple(
        _mark_later(wish.as_of, one, copy) for one, copy in zip(chosen, copies, strict=True)
    )
    events = tuple(one for one in load_events(session, operation.id) if one.on <= wish.as_of)
    plan, no_plan = _try_plan(session, wanted, wish)
    return Ground(
        operation=operation,
        as_of=wish.as_of,
        printed_on=wish.printed_on,
        job=job,
        jobs=jobs,
        first=wish.first,
        last=wish.last,
        standings=standings,
        others=others,
        offices=table.offices,
        titles={row.id: row.title for row in table.papers},
        book=_book(session, operation, table, known, events, wish.as_of),
        log=known,
        events=events,
        attachments=chosen,
        copies=copies,
        left_out=len(attached) - len(chosen),
        sent=_list_sent(session, operation),
        lapsed=_list_lapsed(operation, table, known, events, wish),
        records=load_kept_records(session, operation, table, wish.job, _bounds(wish), wish.as_of),
        plan=plan,
        no_plan=no_plan,
        reviews=find_plan_reviews(operation, table, wish.as_of),
    ), anew


def _book(
    session: Session,
    operation: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    events: tuple[JobEvent, ...],
    as_of: date,
) -> DutyBook:
    """Give the duties of a day, those settled by a record taken as done."""
    verdicts = compute_verdicts(operation, table)
    due = compute_duty_book(operation, table, verdicts, log, events, as_of=as_of)
    return settle_records(session, operation, table, events, due, as_of=as_of)


def _list_lapsed(
    operation: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    events: tuple[JobEvent, ...],
    wish: Wish,
) -> tuple[tuple[JobEvent, tuple[PaperStanding, ...]], ...]:
    """Give the flights of the binder with the papers that were not in force on their day."""
    first, last = _bounds(wish)
    jobs = {one.id: one for one in operation.jobs}
    # A day of spraying has many flights of the same aircraft and pilot.
    known: dict[tuple[object, ...], tuple[PaperStanding, ...]] = {}
    found = []
    for flight in find_flights(events, wish.job):
        if flight.job not in jobs or not first <= flight.on <= last:
            continue
        key = (flight.job, flight.on, flight.aircraft, flight.pilot)
        if key not in known:
            known[key] = find_lapsed(operation, table, log, jobs[flight.job], flight)
        if known[key]:
            found.append((flight, known[key]))
    return tuple(found)


def _check_days(wish: Wish) -> None:
    if wish.first is not None and wish.last is not None and wish.first > wish.last:
        raise RefusedError(
            f"the period ends on {say_date(wish.last)}, before it begins on {say_date(wish.first)}",
            hint="give the earlier day with --from and the later one with --to",
        )
    if wish.first is not None and wish.first > wish.as_of:
        raise RefusedError(
            f"the period begins on {say_date(wish.first)}, after the day of the binder, "
            f"{say_date(wish.as_of)}",
            hint="a binder shows what has happened; give an earlier --from, or a later --on",
        )


def _bounds(wish: Wish) -> tuple[date, date]:
    """Give the first and the last day of what happened, both inclusive."""
    return wish.first or date.min, min(wish.last or wish.as_of, wish.as_of)


def _list_jobs(operation: Operation, wish: Wish) -> tuple[Job, ...]:
    """Give the jobs that are on within the period, all of them when there is none."""
    first, last = wish.first or date.min, wish.last or date.max
    return tuple(one for one in operation.jobs if one.first_day <= last and first <= one.last_day)


def _choose_attached(
    attached: list[Attachment], standings: tuple[JobStanding, ...], *, whole: bool
) -> tuple[Attachment, ...]:
    needed = {paper.id for standing in standings for paper in standing.papers}
    return tuple(one for one in attached if whole or one.packet in needed)


def _mark_later(as_of: date, one: Attachment, copy: Copy) -> Copy:
    """Say beside a copy that it was attached after the day of the binder."""
    if one.attached_on <= as_of:
        return copy
    return replace(copy, title=f"{copy.title} (attached later, on {say_date(one.attached_on)})")


def _try_plan(session: Session, wanted: str | None, wish: Wish) -> tuple[Plan | None, str]:
    """Give the plan as of the day, or why there is none."""
    try:
        return make_plan(session, wanted, wish.as_of).plan, ""
    except RefusedError as error:
        return None, error.message


def _list_others(
    operation: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    standings: tuple[JobStanding, ...],
    wish: Wish,
) -> tuple[OtherPaper, ...]:
    """Give the papers in hand that no job of the binder needs, one of each kind and holder."""
    needed = {paper.id for standing in standings for paper in standing.papers}
    standing_log = find_standing(log)
    held = [(paper.paper, paper.holder) for paper in operation.papers]
    held += [
        (entry.paper, entry.holder) for entry in standing_log if entry.kind is EventKind.GRANTED
    ]
    found = []
    for paper, holder in dict.fromkeys(held):
        row = _find_row(table, paper, wish.as_of)
        if row is None or packet_id(paper, holder) in needed:
            continue
        own = [one for one in standing_log if (one.paper, one.holder) == (paper, holder)]
        found += _pick(row, holder, compute_covers(operation, own, row, holder))
    return tuple(sorted(found, key=lambda one: one.id))


def _find_row(table: RulesTable, paper: str, day: date) -> PaperRow | None:
    rows = [row for row in table.papers if row.id == paper]
    return next((row for row in rows if row.in_force_on(day)), rows[0] if rows else None)


def _pick(row: PaperRow, holder: Holder, covers: tuple[Cover, ...]) -> list[OtherPaper]:
    """Give the cover that lasts longest, if there is any."""
    if not covers:
        return []
    best = max(covers, key=lambda one: one.through or date.max)
    return [
        OtherPaper(
            paper=row,
            holder=holder,
            held=best.held,
            through=best.through,
            end_unknown=best.end_unknown,
        )
    ]


def _list_sent(session: Session, operation: Operation) -> tuple[SentFile, ...]:
    """Give the files looked at before each mailing, by packet and mailing."""
    found = []
    for check in load_checks(session, operation.id):
        with refuse_unreadable("the files of a check"):
            files = parse_kept(SeenFile, check.files)
        found += [
            SentFile(
                packet=check.packet,
                turn=check.turn,
                document=one.document,
                file_name=say_file_name(one.path),
                sha256=one.sha256,
                checked_on=check.checked_on,
            )
            for one in files
        ]
    return tuple(found)
