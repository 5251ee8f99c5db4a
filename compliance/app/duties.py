"""Duties around flying: from the database to values, and what a person says has happened."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NoReturn

from compliance.app.flight_records import settle_records
from compliance.app.flight_remarks import list_remarks, say_taken
from compliance.app.operations import check_job, choose_operation
from compliance.app.planning import Planned, make_plan
from compliance.app.typed import clean_typed
from compliance.base.dates import say_date
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError, SourceRef
from compliance.base.reading import suggest
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty, DutyBook, DutyState, say_owner
from compliance.engine.duty_occasions import EVENT_OF
from compliance.engine.event_checks import check_event
from compliance.engine.plan_model import Plan
from compliance.facts.events import NAMES_DUTY, TIMED, JobEvent, JobEventKind
from compliance.facts.model import Job, Operation
from compliance.facts.zones import Unclear, choose_zones, find_zone, parse_moment
from compliance.store.events import append_events, load_events, next_event_number
from compliance.store.reading import Readable

if TYPE_CHECKING:
    from sqlmodel import Session

TYPED = SourceRef(file="")
_MOST_NAMED = 6


def add_duties(session: Readable, planned: Planned, now: datetime | None = None) -> Planned:
    """Give a plan with the duties around its jobs and flights.

    Units: without *now* a duty that counts hours is on time all through its last day.
    """
    plan = planned.plan
    events = load_events(session, plan.operation.id)
    book = compute_duty_book(
        plan.operation,
        planned.table,
        plan.verdicts,
        planned.log,
        events,
        as_of=plan.as_of,
        now=now,
    )
    book = settle_records(session, plan.operation, planned.table, events, book, as_of=plan.as_of)
    return replace(planned, plan=replace(plan, duties=book), events=events)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What somebody typed about something that happened; texts as they were typed.

    ``about`` names the duty whose clock starts. ``anyway`` says why something unusual is right;
    ``label_read`` that a record of the flight has answered for its label.
    """

    kind: JobEventKind
    job: str = ""
    start: str = ""
    end: str = ""
    on: date | None = None
    aircraft: str = ""
    pilot: str = ""
    product: str = ""
    re_entry_hours: int | None = None
    about: str = ""
    anyway: str = ""
    label_read: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEvent:
    """An event that was kept, the duties that stand now, and what is unusual about it."""

    event: JobEvent
    duties: DutyBook
    remarks: tuple[str, ...] = ()


def add_event(
    session: "Session", wanted: str | None, told: Told, today: date, now: datetime | None
) -> KeptEvent:
    """Keep something that happened, and give it with the duties that stand now.

    Raises:
        NotFoundError: No such job.
        RefusedError: No such aircraft, pilot or duty, or a time nobody can read.
        DataProblemsError: It cannot have happened so; nothing was kept.
    """
    event = keep_event(session, wanted, told, today, now)
    planned = add_duties(session, make_plan(session, wanted, today), now)
    remarks = list_remarks(planned, event) if event.kind is JobEventKind.FLEW else ()
    if event.re_entry_hours is not None and told.re_entry_hours is None:
        remarks = (say_taken(event), *remarks)
    return KeptEvent(event=event, duties=planned.plan.duties, remarks=remarks)


def keep_event(
    session: "Session", wanted: str | None, told: Told, today: date, now: datetime | None
) -> JobEvent:
    """Keep something that happened.

    Raises:
        NotFoundError: No such job.
        RefusedError: No such aircraft, pilot or duty, or a time nobody can read.
        DataProblemsError: It cannot have happened so; nothing was kept.
    """
    operation = choose_operation(session, wanted)
    job = check_job(operation, told.job)
    start, end = _read_times(operation, job, told)
    product = clean_typed(told.product, "product")
    event = JobEvent(
        number=next_event_number(session, operation.id),
        kind=told.kind,
        on=start.date() if start is not None else told.on or today,
        job=told.job,
        start=start,
        end=end,
        aircraft=_pick("aircraft", told.aircraft, _machines(operation), job, told.kind),
        pilot=_pick("pilot", told.pilot, _pilots(operation), job, told.kind),
        product=product,
        re_entry_hours=_find_re_entry(operation, told, product),
        duty=_find_started(session, wanted, told, today),
        note=clean_typed(told.anyway, "reason"),
    )
    _keep(session, operation, event, today, now, label_read=told.label_read)
    return event


def _find_re_entry(operation: Operation, told: Told, product: str) -> int | None:
    """Give the restricted-entry interval: as told, else as the file has it for the product."""
    if told.re_entry_hours is not None or told.kind is not JobEventKind.FLEW or not product:
        return told.re_entry_hours
    known = operation.name_product(product)
    return known.re_entry_hours if known is not None else None


def _keep(
    session: "Session",
    operation: Operation,
    event: JobEvent,
    today: date,
    now: datetime | None,
    *,
    label_read: bool = False,
) -> None:
    events = load_events(session, operation.id)
    problems = check_event(
        operation, events, event, today, now=now, label_read=label_read, place=TYPED
    )
    if problems:
        raise DataProblemsError(problems)
    append_events(session, operation.id, (event,))


def withdraw_event(session: "Session", wanted: str | None, number: int, on: date) -> JobEvent:
    """Withdraw a wrong event by adding one that says so.

    Raises:
        DataProblemsError: There is no such event, or it is withdrawn already.
    """
    operation = choose_operation(session, wanted)
    event = JobEvent(
        number=next_event_number(session, operation.id),
        kind=JobEventKind.WITHDRAWN,
        on=on,
        withdraws=number,
    )
    _keep(session, operation, event, on, None)
    return event


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What was ticked off: the event kept and the duties it settled."""

    event: JobEvent
    settled: tuple[DueDuty, ...]


def tick_duty(
    session: "Session",
    wanted: str | None,
    name: str,
    *,
    on: date,
    and_before: bool,
    today: date,
    now: datetime | None,
) -> Ticked:
    """Tick off a duty by its id, ``DUTY/OCCASION``; the occasion may be left out when one is open.

    Raises:
        NotFoundError: No duty has that name.
        RefusedError: Several are open, or it is done already, or nothing is to be done for it.
        DataProblemsError: It cannot have been done on that day.
    """
    planned = add_duties(session, make_plan(session, wanted, today), now)
    operation = planned.plan.operation
    chosen = _choose_due(planned.plan, name, today, and_before=and_before)
    first = chosen[0]
    opens = _find_earliest(first)
    if opens is not None and on < opens:
        raise RefusedError(
            f"{say_date(on)} is too early for {first.id}: not before {say_date(opens)}",
            hint="do it again within its window, or give the right day with --on",
        )
    owner = name.partition("/")[0]
    event = JobEvent(
        number=next_event_number(session, operation.id),
        kind=JobEventKind.DID,
        on=on,
        duty=owner,
        occasion=first.occasion,
        and_before=and_before,
    )
    _keep(session, operation, event, today, now)
    after = add_duties(session, make_plan(session, wanted, today), now).plan.duties
    before = planned.plan.duties
    live = {one.id for one in (*before.older, *before.due) if one.is_live}
    settled = tuple(one for one in (*after.older, *after.due) if one.id in live and not one.is_live)
    return Ticked(event=event, settled=settled)


def _find_earliest(duty: DueDuty) -> date | None:
    """Give the first day on which a duty can have been done in time, None when any day will do.

    With the hour of the flight unknown it is the day that fits the earliest start.
    """
    if duty.any_hour and duty.row.opens:
        return duty.event_on - timedelta(days=-(-duty.row.opens // 24))
    return duty.opens_on


def _choose_due(plan: Plan, name: str, today: date, *, and_before: bool) -> tuple[DueDuty, ...]:
    owner, _, occasion = name.partition("/")
    every = (*plan.duties.older, *plan.duties.due)
    own = [one for one in every if owner in {one.row.id, say_owner(one.row.id, one.holder)}]
    if not own:
        known = [say_owner(one.row.id, one.holder) for one in every]
        hint = suggest(owner, known) or "mailby duties lists them with their names"
        raise NotFoundError(f"no duty called {owner!r} is due", hint=hint)
    if occasion:
        found = [one for one in own if one.occasion == occasion]
        if not found:
            hint = f"known: {', '.join(dict.fromkeys(one.occasion for one in own[-_MOST_NAMED:]))}"
            raise NotFoundError(f"{owner} has no {occasion!r}", hint=hint)
        return _refuse_settled(found)
    live = [one for one in own if one.is_live]
    if and_before:
        live = [one for one in live if one.event_on <= today][-1:] or live[:1]
    if len({one.occasion for one in live}) > 1:
        _refuse_several(plan.operation, owner, live)
    return _refuse_settled(live or own)


def _refuse_several(operation: Operation, owner: str, live: list[DueDuty]) -> NoReturn:
    """Refuse a duty that is open several times, with the tick of each, whose it is and its day."""
    ticks = {one.id: one for one in live}
    named = [
        f"{name} ({operation.say_holder(one.holder)}, {say_date(one.event_on)})"
        if one.holder.ref
        else name
        for name, one in tuple(ticks.items())[:_MOST_NAMED]
    ]
    more = f" and {len(ticks) - _MOST_NAMED} more" if len(ticks) > _MOST_NAMED else ""
    hint = f"name one of {', '.join(named)}{more}; --and-before ticks the earlier ones too"
    raise RefusedError(f"{owner} is open {len(ticks)} times", hint=hint)


def _refuse_settled(found: list[DueDuty]) -> tuple[DueDuty, ...]:
    live = tuple(one for one in found if one.is_live)
    if live:
        return live
    first = found[0]
    if first.state is DutyState.DONE:
        day = say_date(first.done_on) if first.done_on is not None else "an earlier day"
        raise RefusedError(f"{first.id} is done already, on {day}")
    raise RefusedError(
        f"nothing is to be done for {first.id}; it runs through {say_date(first.due_on)}",
        hint="what is kept, or good, through a day is not ticked off",
    )


def _read_times(
    operation: Operation, job: Job | None, told: Told
) -> tuple[datetime | None, datetime | None]:
    if told.kind not in TIMED:
        return None, None
    zone = find_zone(operation, job)
    if not zone:
        where = job.id if job is not None else operation.id
        zones = " or ".join(choose_zones(operation, job)) or "America/Chicago"
        raise RefusedError(
            f"the time zone of {where} is not known, and this duty counts hours",
            hint=f"add a line `time_zone:` with {zones} to the {'job' if job else 'operation'} in "
            "your file and load it again; mailby export -o FILE writes the file",
        )
    start = _moment(told.start, zone)
    end = _moment(told.end, zone, start.date()) if told.kind is JobEventKind.FLEW else None
    return start, end


def _moment(text: str, zone: str, day: date | None = None) -> datetime:
    found = parse_moment(text, zone, day)
    if isinstance(found, Unclear):
        raise RefusedError(found.sentence, hint=found.hint)
    return found


def _machines(operation: Operation) -> tuple[str, ...]:
    return tuple(one.id for one in operation.aircraft)


def _pilots(operation: Operation) -> tuple[str, ...]:
    return tuple(one.id for one in operation.pilots)


def _pick(
    word: str, named: str, known: tuple[str, ...], job: Job | None, kind: JobEventKind
) -> str:
    """Give the aircraft or pilot named, or the only one of a flight's job."""
    if named:
        if named not in known:
            key = word if word == "aircraft" else "pilots"
            hint = suggest(named, known) or (
                f"known: {', '.join(known) or 'none'}; put another one under `{key}:` in your file "
                "first, then tell this again"
            )
            raise RefusedError(f"no {word} is called {named!r}", hint=hint)
        return named
    if job is None or kind is not JobEventKind.FLEW:
        return ""
    listed = job.aircraft if word == "aircraft" else job.pilots
    if len(listed) > 1:
        raise RefusedError(
            f"{job.id} has several {word if word == 'aircraft' else 'pilots'}",
            hint=f"say which with --{word}: {', '.join(listed)}",
        )
    return listed[0]


def _find_started(session: "Session", wanted: str | None, told: Told, today: date) -> str:
    """Find the duty whose clock a change, request, training or refusal starts."""
    if told.kind not in NAMES_DUTY:
        return ""
    book = add_duties(session, make_plan(session, wanted, today)).plan.duties
    event = EVENT_OF[told.kind]
    listed = [*(one.row for one in book.due), *(one.row for one in book.undated)]
    rows = {row.id: row.title for row in listed if event in row.events}
    if told.about:
        if told.about not in rows:
            hint = suggest(told.about, rows) or f"known: {', '.join(rows) or 'none'}"
            raise RefusedError(f"{told.about!r} is no duty that begins so", hint=hint)
        return told.about
    if len(rows) == 1:
        return next(iter(rows))
    if not rows:
        raise RefusedError(
            "no duty of your jobs begins so", hint="mailby duties --all lists what can happen"
        )
    names = "; ".join(f"{name} ({title})" for name, title in rows.items())
    raise RefusedError("say with --about which duty begins", hint=names)
