"""The calendar file: plan to entries, entries against the ledger, ledger to bytes."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from sqlmodel import Session

from compliance.app.duties import add_duties
from compliance.app.planning import Planned, make_plan
from compliance.app.renewals import look_ahead
from compliance.app.resources import write_file
from compliance.app.trips import add_trip_days, make_trip_entries
from compliance.base.problems import OutputError, RefusedError
from compliance.engine.ledger import (
    NO_DAY_PREFIX,
    Entry,
    EntryState,
    LedgerLine,
    LineAlarm,
    LineState,
    compute_revision,
    compute_uid,
)
from compliance.outputs.calendar_entries import compute_entries, list_held
from compliance.outputs.duty_entries import compute_duty_entries
from compliance.outputs.ics import render_calendar
from compliance.outputs.ics_lint import check_ics
from compliance.outputs.renewal_entries import compute_renewal_entries
from compliance.store.calendar_years import load_calendar_years, save_calendar_years
from compliance.store.ledger import load_ledger, save_ledger
from compliance.store.repository import load_calendar_namespace

_NAME = "Paperwork deadlines"


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarWritten:
    """What a calendar file holds now and what changed since the one before.

    ``years`` is how many years ahead it shows renewals, ``older`` how many open reports are older
    than what it shows, ``without_day`` how many entries have no day now because of an overdue
    paper, ``new_without_day`` how many of these had one, or were not there, before.
    """

    path: Path
    entries: int
    added: int
    moved: int
    cancelled: int
    years: int = 0
    older: int = 0
    without_day: int = 0
    new_without_day: int = 0


def write_calendar(
    session: Session,
    wanted: str | None,
    as_of: date,
    now: datetime,
    path: Path,
    *,
    years: int | None = None,
) -> CalendarWritten:
    """Write the calendar file of an operation and remember what it said.

    The ledger is kept only when the file could be written. *years* ahead bring the renewals of
    those years onto it and are remembered; None takes the number remembered, 0 takes the renewals
    off again.

    Raises:
        RefusedError: There is nothing to put on a calendar, or too many years are asked for.
        OutputError: The file cannot be written, or would break the calendar standard.
    """
    planned = add_trip_days(add_duties(session, make_plan(session, wanted, as_of)))
    plan = planned.plan
    years = load_calendar_years(session, plan.operation.id) if years is None else years
    trips = make_trip_entries(session, planned)
    namespace = UUID(load_calendar_namespace(session, plan.operation.id))
    old = {
        uid: parse_line(uid, text) for uid, text in load_ledger(session, plan.operation.id).items()
    }
    entries = [
        entry
        for entry in (
            *compute_entries(plan, trips.days),
            *trips.entries,
            *compute_duty_entries(plan),
            *(_renewals(session, planned, years) if years else ()),
        )
        if entry.state is EntryState.LIVE or compute_uid(namespace, entry.key) in old
    ]
    lines = compute_revision(
        entries, old.values(), namespace=namespace, now=now, held=list_held(plan)
    )
    if not lines:
        hint = "an empty calendar file is no valid file; add a job first"
        raise RefusedError("there is nothing to put on a calendar", hint=hint)
    data = render_calendar(lines, name=_NAME, calendar_uid=uuid5(namespace, "calendar"))
    faults = check_ics(data)
    if faults:
        raise OutputError(f"the calendar file would break the standard: {faults[0]}")
    written = write_file(path, data)
    save_ledger(session, plan.operation.id, {line.uid: render_line(line) for line in lines})
    save_calendar_years(session, plan.operation.id, years)
    older = sum(one.is_live for one in plan.duties.older)
    waiting = {
        compute_uid(namespace, entry.key) for entry in entries if entry.state is EntryState.NO_DAY
    }
    counted = _count(written, lines, old, years)
    new = sum(uid not in old or not _is_without_day(old[uid]) for uid in waiting)
    return replace(counted, older=older, without_day=len(waiting), new_without_day=new)


def _renewals(session: Session, planned: Planned, years: int) -> tuple[Entry, ...]:
    plan = planned.plan
    _, ahead = look_ahead(session, plan.operation.id, plan.as_of, years)
    return compute_renewal_entries(plan, ahead)


def _count(
    path: Path, lines: tuple[LedgerLine, ...], old: Mapping[str, LedgerLine], years: int
) -> CalendarWritten:
    changed = [line for line in lines if line.uid in old and line != old[line.uid]]
    gone = [
        line
        for line in changed
        if line.state is LineState.CANCELLED and old[line.uid].state is not LineState.CANCELLED
    ]
    return CalendarWritten(
        path=path,
        entries=len(lines),
        added=sum(line.uid not in old for line in lines),
        moved=sum(line.on != old[line.uid].on for line in changed),
        cancelled=sum(not _is_without_day(line) for line in gone),
        years=years,
    )


def _is_without_day(line: LedgerLine) -> bool:
    return line.state is LineState.CANCELLED and line.title.startswith(NO_DAY_PREFIX)


def render_line(line: LedgerLine) -> str:
    """Write a ledger line as JSON text for the database."""
    fields = asdict(line)
    fields |= {
        "on": line.on.isoformat(),
        "revised_at": line.revised_at.isoformat(),
        "state": str(line.state),
        "at": line.at.astimezone(UTC).isoformat() if line.at is not None else None,
        "zone": str(line.at.tzinfo) if line.at is not None else "",
    }
    return json.dumps(fields, ensure_ascii=False, sort_keys=True)


def parse_line(uid: str, text: str) -> LedgerLine:
    """Read a ledger line back from the database.

    Raises:
        RefusedError: The line cannot be read.
    """
    try:
        fields = dict(json.loads(text))
        zone = fields.pop("zone", "")
        at = fields.get("at")
        fields |= {
            "key": tuple(fields["key"]),
            "on": date.fromisoformat(fields["on"]),
            "revised_at": datetime.fromisoformat(fields["revised_at"]),
            "state": LineState(fields["state"]),
            "alarms": tuple(LineAlarm(**alarm) for alarm in fields["alarms"]),
            "at": datetime.fromisoformat(at).astimezone(ZoneInfo(zone)) if at else None,
        }
        return LedgerLine(**fields)
    except (ValueError, TypeError, KeyError, OSError):
        raise RefusedError(
            f"the calendar ledger's line {uid} cannot be read",
            hint="restore a copy of the database; the calendar file was left as it is",
        ) from None
