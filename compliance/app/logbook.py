"""Add to the log what happened, after checking that it can have."""

from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.event_file import import_events
from compliance.app.log_replay import Replay
from compliance.app.mail_services import parse_service
from compliance.app.operations import load_with_log
from compliance.app.planned import Planned
from compliance.app.planning import find_paper, make_plan
from compliance.app.resources import read_user_text
from compliance.app.tables import load_table
from compliance.app.typed import clean_typed
from compliance.app.verdicts import refuse_unready
from compliance.base.problems import DataProblemsError, RefusedError, SourceRef
from compliance.base.sources import find_place, parse_yaml
from compliance.engine.logbook import check_log_entry, check_not_future
from compliance.engine.packets import find_last_needed, packet_id
from compliance.engine.plan_model import Plan
from compliance.engine.withdrawals import check_withdrawal
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.log_parse import parse_log
from compliance.store.checks import has_check
from compliance.store.records import append_log, next_log_number

TYPED = SourceRef(file="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """What somebody wants to log about one packet."""

    kind: EventKind
    packet: str
    on: date
    step: str = ""
    tracking: str = ""
    reason: str = ""
    number: str = ""
    issued_on: date | None = None
    valid_through: date | None = None
    anyway: str = ""
    blanks: tuple[str, ...] = ()
    still_good: tuple[str, ...] = ()
    expects: date | None = None
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """A new entry and the plan that follows; ``doubts`` say of a mailing what is worth a look.

    ``judged_on`` is the day of the earlier plan it was judged by; None when today's judged it.
    """

    entry: LogEntry
    plan: Plan
    doubts: tuple[str, ...] = ()
    judged_on: date | None = None


def add_entry(session: Session, wanted: str | None, happened: Happened, as_of: date) -> Added:
    """Add an entry and give it with the plan that follows from it.

    A mailing is refused while the packet's papers are not ready, unless ``anyway`` says why; the
    reason stays in the log. What no job needs any more is judged by an earlier plan; see
    `find_judging_plan`.

    Raises:
        NotFoundError: No such packet is needed, or there is no such mail service.
        RefusedError: A text holds what cannot be kept, the papers are not ready to mail, or a mail
            service is named for what is filed.
        DataProblemsError: It cannot have happened so; nothing was kept.
    """
    before = find_judging_plan(session, wanted, happened, as_of)
    operation_id = before.plan.operation.id
    packet = find_paper(before.plan, happened.packet).packet
    anyway = clean_typed(happened.anyway, "reason")
    entry = LogEntry(
        number=next_log_number(session, operation_id),
        kind=happened.kind,
        paper=packet.paper.id,
        holder=packet.holder,
        happened_on=happened.on,
        step=clean_typed(happened.step, "step"),
        tracking=clean_typed(happened.tracking, "tracking number"),
        reason=anyway or clean_typed(happened.reason, "reason"),
        paper_number=clean_typed(happened.number, "number"),
        issued_on=happened.issued_on,
        valid_through=happened.valid_through,
        blanks=happened.blanks,
        still_good=happened.still_good,
        expects=happened.expects,
        service=parse_service(packet, happened.by),
    )
    problems = check_log_entry(packet, before.log, entry, as_of, TYPED)
    if problems:
        raise DataProblemsError(problems)
    doubts: tuple[str, ...] = ()
    if happened.kind is EventKind.MAILED and not anyway:
        doubts = refuse_unready(session, before, happened.packet, happened.on)
    append_log(session, operation_id, (entry,))
    after = make_plan(session, wanted, as_of).plan
    if happened.kind is EventKind.HEARD:
        after = _compare_ask_days(before.plan, after)
    judged_on = before.plan.as_of if before.plan.as_of != as_of else None
    return Added(entry=entry, plan=after, doubts=doubts, judged_on=judged_on)


def find_judging_plan(
    session: Session, wanted: str | None, happened: Happened, as_of: date
) -> Planned:
    """Give the plan by which it is judged whether something can have happened to a packet.

    It is that of *as_of*. What no job needs any more by then is judged by the plan of the day it
    happened, or of the last day on which a job needed it, whichever is earlier: somebody may catch
    up on the log when the season is over.

    Raises:
        NotFoundError: No such operation.
    """
    planned = make_plan(session, wanted, as_of)
    name, plan = happened.packet, planned.plan
    if any(name in (paper.id, paper.packet.paper.id) for paper in plan.papers):
        return planned
    days = (
        find_last_needed(plan.operation, verdict)
        for verdict in plan.verdicts
        if name in (verdict.paper.id, packet_id(verdict.paper.id, verdict.holder))
    )
    last = max((day for day in days if day is not None), default=None)
    if last is None or happened.on > as_of:  # a day to come is refused, whatever the plan
        return planned
    return make_plan(session, wanted, min(happened.on, last), with_follow_ups=False)


def _compare_ask_days(before: Plan, after: Plan) -> Plan:
    """Compare each day to ask with the one an earlier plan had, whatever had set it."""
    known = {paper.id: paper.ask_on for paper in before.papers}
    papers = [
        paper
        if paper.ask_day is None
        else replace(paper, ask_day=replace(paper.ask_day, before=known.get(paper.id)))
        for paper in after.papers
    ]
    return replace(after, papers=tuple(papers))


def withdraw_entry(
    session: Session, wanted: str | None, number: int, on: date, as_of: date
) -> LogEntry:
    """Withdraw a wrong entry by adding one that says so, as of the day it was found out.

    Raises:
        DataProblemsError: There is no such entry, it is withdrawn already, another rests on it, or
            the day is to come.
    """
    operation, log = load_with_log(session, wanted)
    problems = (*check_not_future(on, as_of, TYPED), *check_withdrawal(log, number, TYPED))
    if problems:
        raise DataProblemsError(problems)
    old = next(entry for entry in log if entry.number == number)
    entry = LogEntry(
        number=next_log_number(session, operation.id),
        kind=EventKind.WITHDRAWN,
        paper=old.paper,
        holder=old.holder,
        happened_on=on,
        withdraws=number,
    )
    append_log(session, operation.id, (entry,))
    return entry


def say_said_in_check(session: Session, wanted: str | None, entry: LogEntry) -> str:
    """Say what a check keeps of the ink whose log entry was just withdrawn; empty when nothing.

    The log and the check are told apart: the same signature may have been logged on a wrong day.
    """
    operation, log = load_with_log(session, wanted)
    old = next(one for one in log if one.number == entry.withdraws)
    name = packet_id(old.paper, old.holder)
    is_ink = old.kind in (EventKind.SIGNED, EventKind.NOTARIZED)
    if not is_ink or not has_check(session, operation.id, name):
        return ""
    return (
        f"What `mailby check` was told or shown of signatures and stamps on {name} stays. If a"
        f" paper is not {old.kind} after all, write its answers with mailby check {name}"
        " --write-answers answers.yaml, change them there, and give that file with --answers."
    )


def import_file(session: Session, wanted: str | None, path: str, today: date) -> int:
    """Read a log file into the log of an operation and give the number of entries added.

    What happened around flying, its list ``events``, is read too and counted with them.

    A file that begins with what the log holds already goes on from there, so that the same file
    read twice adds nothing.

    Raises:
        NotFoundError: No such file or operation.
        DataProblemsError: The file has faults, or an entry cannot have happened so.
        RefusedError: The log holds other entries than the file begins with.
    """
    operation, log = load_with_log(session, wanted)
    text = read_user_text(path)
    entries, problems = parse_log(text, path, operation)
    if problems:
        raise DataProblemsError(problems)
    known = tuple(
        replace(one, number=at, service=one.service if told.service else None)
        for at, (one, told) in enumerate(zip(log, entries, strict=False), 1)
    )
    if len(known) < len(log) or entries[: len(known)] != known:
        raise RefusedError(
            f"the log of {operation.id} holds entries that {path} does not begin with",
            hint="a log file is read into an empty log, or goes on where the log ends",
        )
    root = parse_yaml(text, path)[0]
    places = tuple(find_place(root, "log", at) for at in range(len(entries))) if root else ()
    added = import_entries(session, operation.id, entries, places, first=len(known), today=today)
    return added + import_events(session, operation, text, path, today)


def import_entries(
    session: Session,
    wanted: str,
    entries: tuple[LogEntry, ...],
    places: tuple[SourceRef, ...] = (),
    *,
    first: int = 0,
    today: date,
) -> int:
    """Add the entries of a log from the *first* on, each checked against those before it.

    Shape: the number of entries added. Entries are numbered from 1 as in the file.

    Each is held against its packet as of its own day, but one that the file withdraws further on.

    Raises:
        NotFoundError: No such operation.
        DataProblemsError: An entry cannot have happened so, or is about a paper that no job needs;
            the caller's transaction keeps nothing.
    """
    operation, known = load_with_log(session, wanted)
    log = list(known)
    gone = frozenset(entry.withdraws for entry in entries if entry.withdraws is not None)
    replay = Replay(operation, load_table(session), gone)
    for entry in log:
        replay.keep(entry)
    for at, entry in enumerate(entries[first:], first):
        place = places[at] if at < len(places) else TYPED
        # First, because by a day to come the paper may not be needed any more.
        future = check_not_future(entry.happened_on, today, place)
        if future:
            raise DataProblemsError(future)
        kept = replace(entry, number=at + 1)
        if entry.kind is EventKind.WITHDRAWN:
            problems = check_withdrawal(tuple(log), entry.withdraws or 0, place, gone)
        else:
            problems = replay.judge(kept, today, place)
        if problems:
            raise DataProblemsError(problems)
        log.append(kept)
        replay.keep(kept)
    append_log(session, operation.id, log[len(known) :])
    return len(entries) - first
