"""What would help when a job cannot begin lawfully on its first day, each with its date."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date
from compliance.engine.in_the_way import Asked, find_asked, keep_harmless, say_asked
from compliance.engine.plan import compute_plan, find_first_days
from compliance.engine.plan_model import JobPlan, Plan, Remedy
from compliance.engine.trip_no_day import KEEPING_HOME
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.rules.model import RulesTable

_WORKDAYS = WEEKDAYS[:5]
_POST_DAYS = WEEKDAYS[:6]
_EXPRESS = "send every packet by Priority Mail Express"


def add_remedies(plan: Plan, table: RulesTable, log: tuple[LogEntry, ...]) -> Plan:
    """Give the plan with what would help each of its late jobs.

    Every remedy is a whole plan computed again with something changed that a person can do: faster
    mail, a drive on a named day although somebody is to stay at home, another notary or post office
    that is open on a named day, several of them where they bring a day sooner than one of them,
    a later first day of one job.

    Shape: no remedies when every job is in time. The same change stands once for each job that it
    helps, the latest job first. Only changes that lead to a lawful day of the job itself, and gain
    at least one day or begin later; what such a day hangs on goes along. The late jobs that nothing
    tried would help are named.
    """
    late = sorted((job for job in plan.jobs if job.late_by_days), key=lambda job: -job.late_by_days)
    if not late:
        return plan
    found = tuple(_Trials(plan, table, log, late).list_all())
    helped = {one.job for one in found}
    unhelped = tuple(job.job.id for job in late if job.job.id not in helped)
    return replace(plan, remedies=found, unhelped=unhelped)


@dataclass(frozen=True, slots=True)
class _Levers:
    """Which of the things tried are changed together."""

    express: bool = False
    trips: bool = False
    others: bool = False


_SINGLE = (_Levers(express=True), _Levers(trips=True), _Levers(others=True))
_TOWN = _Levers(trips=True, others=True)
_ALL = _Levers(express=True, trips=True, others=True)


class _Trials:
    """Plans with something changed, each computed when it is first needed."""

    def __init__(
        self, plan: Plan, table: RulesTable, log: tuple[LogEntry, ...], late: list[JobPlan]
    ) -> None:
        self.plan, self.table, self.log, self.late = plan, table, log, late
        self._plans: dict[Operation, Plan] = {plan.operation: plan}
        # The first lawful day that something offered so far leads to.
        self._best = {job.job.id: job.first_lawful_day for job in late}

    def list_all(self) -> Iterator[Remedy]:
        """List what would help: one thing changed, several together, a later first day."""
        start = dict(self._best)
        for levers in _SINGLE:
            yield from self._offer(levers, self._find_gaining(levers, start))
        if self._find_gaining(_ALL, self._best):
            for levers in (_TOWN, _ALL):
                yield from self._offer(levers, self._find_gaining(levers, self._best))
        for late in self.late:
            later = self._begin_later(late)
            if later is not None:
                yield later

    def _find_gaining(self, levers: _Levers, best: dict[str, date]) -> list[JobPlan]:
        """Find the jobs that a change gives a lawful day sooner than the best one so far."""
        changed = self._change(levers)
        if changed == self.plan.operation:
            return []
        plan = self._compute(changed)
        return [
            job
            for job in self.late
            if _first_of(plan, job) < best[job.job.id]
            and _first_of(plan, job) <= job.job.last_day
            and best[job.job.id] > max(job.job.first_day, plan.as_of)
        ]

    def _offer(self, levers: _Levers, gaining: list[JobPlan]) -> Iterator[Remedy]:
        """Offer a change for the jobs that it helps."""
        if not gaining:
            return
        jobs = frozenset(job.job.id for job in gaining)
        changed = self._change(levers)
        if levers.trips:
            changed = keep_harmless(
                changed,
                self.plan.operation.closures,
                self._compute,
                lambda plan: find_first_days(plan, jobs),
            )
        plan = self._compute(changed)
        asked = Asked()
        if levers.trips or levers.others:
            asked = find_asked(plan, self.table, self.plan.operation, jobs)
        words = [_EXPRESS] if levers.express else []
        words.extend(say_asked(self.plan.operation, asked))
        if not words:
            return
        for job in gaining:
            first = _first_of(plan, job)
            self._best[job.job.id] = min(first, self._best[job.job.id])
            yield replace(
                _remedy(plan, job, ", and ".join(words), first),
                days_gained=(job.first_lawful_day - first).days,
                trips=asked.trips,
                others=asked.others,
            )

    def _change(self, levers: _Levers) -> Operation:
        operation = self.plan.operation
        if levers.express:
            operation = replace(operation, mail_service=MailService.EXPRESS)
        gone = set(KEEPING_HOME) if levers.trips else set()
        if levers.others:
            gone.add("notary")
            operation = replace(operation, notary_days=_WORKDAYS, post_office_days=_POST_DAYS)
        kept = tuple(one for one in operation.closures if one.who not in gone)
        return replace(operation, closures=kept)

    def _begin_later(self, late: JobPlan) -> Remedy | None:
        """Begin one job on its first lawful day; its last day and the other jobs stay."""
        wanted = late.first_lawful_day
        if wanted > late.job.last_day:
            return None
        jobs = self.plan.operation.jobs
        moved = tuple(replace(job, first_day=wanted) if job == late.job else job for job in jobs)
        plan = self._compute(replace(self.plan.operation, jobs=moved))
        again = _first_of(plan, late)
        if again > late.job.last_day:
            return None
        day, planned = say_date(wanted), say_date(late.job.first_day)
        words = f"begin {late.job.id} on {day} instead of {planned}"
        return replace(_remedy(plan, late, words, again), enough=again <= wanted)

    def _compute(self, operation: Operation) -> Plan:
        if operation not in self._plans:
            found = compute_plan(operation, self.table, self.log, self.plan.as_of)
            self._plans[operation] = replace(found, told_on=self.plan.told_on)
        return self._plans[operation]


def _remedy(plan: Plan, late: JobPlan, words: str, first: date) -> Remedy:
    needed = [paper for paper in plan.papers if late.job.id in paper.packet.verdict.jobs]
    return Remedy(
        job=late.job.id,
        what=words,
        first_lawful_day=first,
        days_gained=0,
        # Of a job that has begun, the days that are past cannot be won back.
        enough=first <= max(late.job.first_day, plan.as_of),
        overdue=tuple(paper.id for paper in needed if paper.overdue_since is not None),
        missed=tuple(paper.id for paper in needed if paper.renewal_missed is not None),
    )


def _first_of(plan: Plan, late: JobPlan) -> date:
    return next(job.first_lawful_day for job in plan.jobs if job.job.id == late.job.id)
