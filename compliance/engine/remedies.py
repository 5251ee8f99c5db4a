"""What would help when a job cannot begin lawfully on its first day, each with its date."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date
from compliance.engine.asked_days import do_asked, keep_needed
from compliance.engine.in_the_way import Asked, find_asked, keep_harmless, say_asked
from compliance.engine.plan import compute_plan, find_first_days
from compliance.engine.plan_model import JobPlan, Plan, Remedy
from compliance.engine.sent_mail import hold_services
from compliance.engine.trip_days import move_late
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
    a later first day of one job. Days are counted with late acts on their trips (`move_late`).

    Shape: no remedies when every job is in time. The same change stands once for each late job
    that it helps, the latest job first, with no day that all of them can do without. A job that
    is grounded because a paper of it ended has no later first day. Only changes that lead to a
    lawful day of the job itself, and gain at least one day or begin later; what such a day hangs on
    goes along. The late jobs that nothing tried would help are named.
    """
    moved = move_late(plan, table)
    late = _list_late(moved)
    if not late:
        return plan
    found = tuple(_Trials(moved, table, log, late).list_all())
    helped = {one.job for one in found}
    unhelped = tuple(job.job.id for job in late if job.job.id not in helped)
    return replace(
        plan,
        remedies=found,
        unhelped=unhelped,
        helped=tuple(job.job.id for job in plan.jobs if job.job.id in helped),
    )


def add_helped(plan: Plan, table: RulesTable, log: tuple[LogEntry, ...]) -> Plan:
    """Give the plan with the late jobs that `add_remedies` would have a remedy for, and no more.

    It asks for fewer plans, because it looks for no days.
    """
    moved = move_late(plan, table)
    late = _list_late(moved)
    found = frozenset(_Trials(moved, table, log, late).list_helped()) if late else frozenset()
    return replace(plan, helped=tuple(job.job.id for job in plan.jobs if job.job.id in found))


def _list_late(plan: Plan) -> list[JobPlan]:
    """List the late jobs, the latest first."""
    return sorted((job for job in plan.jobs if job.late_by_days), key=lambda job: -job.late_by_days)


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
        self.plan, self.table, self.late = plan, table, late
        # What is in the mail already does not go by express any more.
        self.log = hold_services(log, plan.operation.mail_service, table)
        self._plans: dict[Operation, Plan] = {plan.operation: plan}
        # The first lawful day that something offered so far leads to.
        self._start = {job.job.id: job.first_lawful_day for job in late}
        self._best = dict(self._start)
        self._said: set[str] = set()

    def list_all(self) -> Iterator[Remedy]:
        """List what would help: one thing changed, several together, a later first day."""
        for levers in _SINGLE:
            yield from self._offer(levers)
        for levers in (_TOWN, _ALL):
            if self._find_gaining(_ALL, self._best) and self._find_gaining(levers, self._best):
                yield from self._offer(levers)
        for late in self.late:
            later = self._begin_later(late)
            if later is not None:
                yield later

    def list_helped(self) -> Iterator[str]:
        """List the jobs that something would help, without the days that it asks for."""
        left = {job.job.id: job for job in self.late}
        for levers in (*_SINGLE, _ALL):
            for job in self._find_gaining(levers, self._start) if left else ():
                if left.pop(job.job.id, None) is not None:
                    yield job.job.id
        for job in left.values():
            if self._begin_later(job) is not None:
                yield job.job.id

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

    def _offer(self, levers: _Levers) -> Iterator[Remedy]:
        """Offer a change for all jobs that it helps, with the days that they cannot do without."""
        gaining = self._find_gaining(levers, self._start)
        if not gaining:
            return
        jobs = frozenset(job.job.id for job in gaining)
        operation, asked = self._change(levers), Asked()
        if levers.trips or levers.others:
            operation, asked = self._ask(levers, jobs)
        words = [_EXPRESS] if levers.express else []
        words.extend(say_asked(self.plan.operation, asked))
        what = ", and ".join(words)
        if not words or what in self._said:
            return
        self._said.add(what)
        plan = self._compute(operation)
        for job in gaining:
            first = _first_of(plan, job)
            self._best[job.job.id] = min(first, self._best[job.job.id])
            yield replace(
                _remedy(plan, job, what, first),
                days_gained=(job.first_lawful_day - first).days,
                trips=asked.trips,
                others=asked.others,
            )

    def _ask(self, levers: _Levers, jobs: frozenset[str]) -> tuple[Operation, Asked]:
        """Find the days that a change asks people for, and the operation with these done."""
        changed = self._change(levers)
        if levers.trips:
            changed = keep_harmless(
                changed,
                self.plan.operation.closures,
                self._compute,
                lambda plan: find_first_days(plan, jobs),
            )
        plan = self._compute(changed)
        asked = find_asked(plan, self.table, self.plan.operation, jobs)
        done = do_asked(self.plan, changed, asked)
        if find_first_days(self._compute(done), jobs) != find_first_days(plan, jobs):
            return changed, asked

        def find_first(fewer: Asked) -> tuple[date, ...]:
            return find_first_days(self._compute(do_asked(self.plan, changed, fewer)), jobs)

        asked = keep_needed(asked, find_first)
        return do_asked(self.plan, changed, asked), asked

    def _change(self, levers: _Levers) -> Operation:
        operation = self.plan.operation
        if levers.express:
            operation = replace(operation, mail_service=MailService.EXPRESS)
        gone = set(KEEPING_HOME) if levers.trips else set()
        if levers.others:
            gone.add("notary")
            operation = replace(
                operation,
                notary_days=_add_days(operation.notary_days, _WORKDAYS),
                post_office_days=_add_days(operation.post_office_days, _POST_DAYS),
            )
        kept = tuple(one for one in operation.closures if one.who not in gone)
        return replace(operation, closures=kept)

    def _begin_later(self, late: JobPlan) -> Remedy | None:
        """Begin one job on its first lawful day; its last day and the other jobs stay.

        None for a job that was lawful until a paper ended: it has begun, and can only wait.
        """
        wanted = late.first_lawful_day
        if wanted > late.job.last_day or late.ended_on is not None:
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
            told = replace(found, told_on=self.plan.told_on)
            self._plans[operation] = move_late(told, self.table)
        return self._plans[operation]


def _add_days(own: tuple[str, ...], more: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(day for day in WEEKDAYS if day in own or day in more)


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
