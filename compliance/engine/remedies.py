"""What would help when a job cannot begin lawfully on its first day, each with its date."""

from dataclasses import replace
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date
from compliance.engine.in_the_way import keep_harmless, name_given_up
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import JobPlan, Plan, Remedy
from compliance.engine.trip_no_day import KEEPING_HOME
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.rules.model import RulesTable

_WORKDAYS = WEEKDAYS[:5]
_POST_DAYS = WEEKDAYS[:6]


def add_remedies(plan: Plan, table: RulesTable, log: tuple[LogEntry, ...]) -> Plan:
    """Give the plan with what would help the latest of its jobs that can be helped.

    Every remedy is a whole plan computed again with one thing changed: faster mail, town acts on
    any open day of the week with nobody kept at home, both together, a later first spray.

    Shape: no remedies when every job is in time. Only changes that lead to a lawful day of the job
    itself, and gain at least one day or begin later; what such a day hangs on goes along. When no
    late job can be helped, they are named.
    """
    late = sorted((job for job in plan.jobs if job.late_by_days), key=lambda job: -job.late_by_days)
    if not late:
        return plan
    trials = _Trials(plan.operation, table, log, plan.as_of)
    for job in late:
        found = trials.list_for(job)
        if found:
            return replace(plan, remedies=found)
    return replace(plan, unhelped=tuple(job.job.id for job in late))


class _Trials:
    """Plans with one thing changed, each computed when it is first needed."""

    def __init__(
        self, operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], as_of: date
    ) -> None:
        self.operation, self.table, self.log, self.as_of = operation, table, log, as_of
        self._plans: dict[Operation, Plan] = {}

    def list_for(self, late: JobPlan) -> tuple[Remedy, ...]:
        """List what would help a job, a later first spray last."""
        operation = self.operation
        ready, closed = self._open_every_day(operation, late)
        fast, fast_closed = self._open_every_day(_by_express(operation), late)
        tried = (
            ("send every packet by Priority Mail Express", _by_express(operation)),
            (f"go to town on the first open day, whatever the day of the week{closed}", ready),
            (f"both: express mail, and to town on the first open day{fast_closed}", fast),
        )
        found = [
            self._try(words, changed, late) for words, changed in tried if changed != operation
        ]
        return tuple(one for one in (*found, self._begin_later(late)) if one is not None)

    def _open_every_day(self, operation: Operation, late: JobPlan) -> tuple[Operation, str]:
        """Open every day and give up the closures in the way of a job; also name these."""
        opened = keep_harmless(
            _open_every_day(operation),
            operation.closures,
            self._compute,
            lambda plan: _first_lawful(plan, late),
        )
        return opened, name_given_up(operation, opened, late.first_lawful_day)

    def _try(self, words: str, changed: Operation, late: JobPlan) -> Remedy | None:
        plan = self._compute(changed)
        first = _first_lawful(plan, late)
        gained = (late.first_lawful_day - first).days
        if gained <= 0 or first > late.job.last_day:
            return None
        # Of a job that has begun, the days that are past cannot be won back.
        enough = first <= max(late.job.first_day, self.as_of)
        return _remedy(plan, late, words, first, gained=gained, enough=enough)

    def _begin_later(self, late: JobPlan) -> Remedy | None:
        wanted = late.first_lawful_day
        plan = self._compute(move_first_spray(self.operation, wanted))
        again = _first_lawful(plan, late)
        if again > late.job.last_day:
            return None
        day, planned = say_date(wanted), say_date(late.job.first_day)
        words = f"begin {late.job.id} on {day} instead of {planned}"
        return _remedy(plan, late, words, again, gained=0, enough=again <= wanted)

    def _compute(self, operation: Operation) -> Plan:
        if operation not in self._plans:
            self._plans[operation] = compute_plan(operation, self.table, self.log, self.as_of)
        return self._plans[operation]


def _remedy(
    plan: Plan, late: JobPlan, words: str, first: date, *, gained: int, enough: bool
) -> Remedy:
    needed = [paper for paper in plan.papers if late.job.id in paper.packet.verdict.jobs]
    return Remedy(
        job=late.job.id,
        what=words,
        first_lawful_day=first,
        days_gained=gained,
        enough=enough,
        overdue=tuple(paper.id for paper in needed if paper.overdue_since is not None),
        missed=tuple(paper.id for paper in needed if paper.renewal_missed is not None),
    )


def _by_express(operation: Operation) -> Operation:
    return replace(operation, mail_service=MailService.EXPRESS)


def _open_every_day(operation: Operation) -> Operation:
    people = {*KEEPING_HOME, "notary"}
    return replace(
        operation,
        notary_days=_WORKDAYS,
        post_office_days=_POST_DAYS,
        closures=tuple(one for one in operation.closures if one.who not in people),
    )


def _first_lawful(plan: Plan, late: JobPlan) -> date:
    return next(job.first_lawful_day for job in plan.jobs if job.job.id == late.job.id)
