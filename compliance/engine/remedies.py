"""What would help when a job cannot begin lawfully on its first day, each with its date."""

from dataclasses import replace
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import JobPlan, Plan, Remedy
from compliance.engine.trip_no_day import list_kept_home
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.rules.model import RulesTable

_WORKDAYS = WEEKDAYS[:5]
_POST_DAYS = WEEKDAYS[:6]
_AT_HOME = ("field", "vehicle")


def add_remedies(plan: Plan, table: RulesTable, log: tuple[LogEntry, ...]) -> Plan:
    """Give the plan with what would help its latest job, the most helpful first.

    Every remedy is a whole plan computed again with one thing changed: faster mail, town acts on
    any open day of the week with nobody kept at home, both together, a later first spray.

    Shape: no remedies when every job is in time; only changes that gain at least one day, and the
    later first spray, which always works when every paper can be had at all.
    """
    late = max(plan.jobs, key=lambda job: job.late_by_days, default=None)
    if late is None or late.late_by_days == 0:
        return plan
    operation = plan.operation
    fast = replace(operation, mail_service=MailService.EXPRESS)
    ready = _open_every_day(operation)
    closed = _name_closures(operation, plan.as_of, late.first_lawful_day)
    tried = (
        ("send every packet by Priority Mail Express", fast),
        (f"go to town on the first open day, whatever the day of the week{closed}", ready),
        (
            f"both: express mail, and to town on the first open day{closed}",
            replace(ready, mail_service=MailService.EXPRESS),
        ),
    )
    found = [
        remedy
        for words, changed in tried
        if changed != operation
        and (remedy := _try(words, changed, table, log, plan.as_of, late)) is not None
    ]
    found.append(_later_spray(operation, table, log, plan.as_of, late))
    return replace(plan, remedies=tuple(found))


def _open_every_day(operation: Operation) -> Operation:
    return replace(
        operation,
        notary_days=_WORKDAYS,
        post_office_days=_POST_DAYS,
        closures=tuple(one for one in operation.closures if one.who not in {*_AT_HOME, "notary"}),
    )


def _name_closures(operation: Operation, first: date, last: date) -> str:
    """Name the closures of those days that keep everybody at home; empty without any."""
    names = tuple(list_kept_home(operation, first, last))
    return f", also while nobody is to leave ({'; '.join(names)})" if names else ""


def _try(
    words: str,
    changed: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    as_of: date,
    late: JobPlan,
) -> Remedy | None:
    first = _first_lawful(compute_plan(changed, table, log, as_of), late)
    gained = (late.first_lawful_day - first).days
    if gained <= 0:
        return None
    return Remedy(
        what=words,
        first_lawful_day=first,
        days_gained=gained,
        # Of a job that has begun, the days that are past cannot be won back.
        enough=first <= max(late.job.first_day, as_of),
    )


def _later_spray(
    operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], as_of: date, late: JobPlan
) -> Remedy:
    wanted = late.first_lawful_day
    moved = move_first_spray(operation, wanted)
    again = _first_lawful(compute_plan(moved, table, log, as_of), late)
    return Remedy(
        what=f"begin {late.job.id} on {say_date(wanted)} instead of {say_date(late.job.first_day)}",
        first_lawful_day=again,
        days_gained=0,
        enough=again <= wanted,
    )


def _first_lawful(plan: Plan, late: JobPlan) -> date:
    return next(job.first_lawful_day for job in plan.jobs if job.job.id == late.job.id)
