"""The plan: work back from every need, work forward from today and the log, compare."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from compliance.base.calendars import OutOfRangeError
from compliance.base.problems import RefusedError
from compliance.engine.applies import compute_verdicts
from compliance.engine.concerns import (
    find_confirmations,
    find_missed_filing,
    find_paper_warnings,
    find_plan_warnings,
)
from compliance.engine.edition_choice import sent_on, with_choice
from compliance.engine.edition_notes import list_changes
from compliance.engine.moves import Wait
from compliance.engine.network import IN_HAND, NetworkBuilder, PacketNetwork, Step
from compliance.engine.packets import Packet, PaperState, compute_packets
from compliance.engine.plan_days import Passes, build_days, compute_passes, limits_of, work_back
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan, StepEdition, StepPlan
from compliance.engine.unknowns import find_plan_reviews
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Job, MailService, Operation
from compliance.rules.model import RulesTable, StepKind

__all__ = [
    "build_days",
    "compute_plan",
    "find_first_days",
    "limits_of",
    "move_first_spray",
    "plan_job",
    "work_back",
]


def compute_plan(
    operation: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    as_of: date,
    *,
    by_packet: Mapping[str, MailService] | None = None,
) -> Plan:
    """Compute the whole plan of an operation as of one day.

    Shape: without jobs the plan is empty and says so in its warnings. Remedies are not part of it;
    see ``engine.remedies``. *by_packet* are packets that go by another mail service than the
    operation's.

    Raises:
        RefusedError: No day satisfies the rules within the calendars, with the step concerned.
    """
    verdicts = compute_verdicts(operation, table)
    packets = compute_packets(operation, table, verdicts, log, as_of)
    jobs = tuple(job for job in operation.jobs if job.last_day >= as_of)
    try:
        days = _compute_days(operation, table, packets, as_of, by_packet)
    except OutOfRangeError as error:
        raise RefusedError(
            f"no plan within the calendars: {error}",
            hint="look at closures, notary_days and post_office_days: some place never opens",
        ) from None
    papers = tuple(_plan_paper(packet, days, table, as_of) for packet in packets)
    return Plan(
        operation=operation,
        as_of=as_of,
        jobs=tuple(plan_job(job, papers, as_of) for job in jobs),
        papers=papers,
        verdicts=verdicts,
        remedies=(),
        warnings=find_plan_warnings(operation, table, as_of),
        reviews=find_plan_reviews(operation, table, as_of),
        choices=days.choices,
    )


def _compute_days(
    operation: Operation,
    table: RulesTable,
    packets: tuple[Packet, ...],
    as_of: date,
    by_packet: Mapping[str, MailService] | None,
) -> Passes:
    calendars = build_days(operation, packets, as_of)
    service = operation.mail_service
    builder = NetworkBuilder(packets, table, calendars, service, by_packet=by_packet)
    return compute_passes(builder, packets, as_of)


def _plan_paper(packet: Packet, days: Passes, table: RulesTable, as_of: date) -> PaperPlan:
    if not packet.planned:
        return PaperPlan(
            packet=packet,
            steps=(),
            in_hand_by=None,
            in_hand_bound_by="",
            earliest_ready=_in_force_from(packet, as_of),
            ready_bound_by="",
            mail_last=None,
            mail_safe=None,
            mail_step="",
            mailed_on=None,
            confirm=(),
            warnings=find_paper_warnings(packet, (), as_of),
        )
    steps = tuple(
        _plan_step(step, days)
        for step in days.network.steps.values()
        if step.packet.id == packet.id
    )
    later = _plan_later(packet, days)
    end = f"{packet.id}/{IN_HAND}"
    key = _find_sending(steps)
    packet = with_choice(packet, days.choices.earliest)
    packet = sent_on(packet, (key.done_on or key.earliest) if key else None)
    last = _find_last_sending(key, later)
    plan = PaperPlan(
        packet=packet,
        steps=steps,
        in_hand_by=_date(days.last[end].finish),
        in_hand_bound_by=days.last[end].bound_by or "",
        earliest_ready=_date(days.earliest[end].finish),
        ready_bound_by=days.earliest[end].bound_by,
        mail_last=last.last if last and last.done_on is None else None,
        mail_safe=last.safe if last and last.done_on is None else None,
        mail_step=key.id if key else "",
        mailed_on=key.done_on if key else None,
        confirm=find_confirmations(packet, steps, as_of),
        warnings=find_paper_warnings(packet, steps, as_of),
        overdue_since=_find_overdue(packet, days.network, as_of),
        renewal_missed=find_missed_filing(packet, steps),
        later=later,
    )
    said = list_changes(plan, table, as_of, days.choices.notes)
    return replace(plan, warnings=(*plan.warnings, *said), changes=said) if said else plan


def _find_overdue(packet: Packet, network: PacketNetwork, as_of: date) -> date | None:
    """Find the day a packet at the office ought to have come by, when it is past.

    All that is left is its last wait, which began on a known day or a usual one, and which would be
    over with usual times.
    """
    if packet.state is not PaperState.AT_OFFICE:
        return None
    tasks = {task.id: task for task in network.tasks}
    expected: list[int] = []
    for name in tasks[f"{packet.id}/{IN_HAND}"].after:
        last = tasks[name]
        begun = [tasks[before].done_on for before in last.after]
        known = [day for day in begun if day is not None]
        if last.done_on is not None or not isinstance(last.move, Wait):
            continue
        if not known or len(known) < len(begun):
            return None
        expected.append(last.move.forward(max(known)))
    day = max(expected, default=as_of.toordinal())
    return date.fromordinal(day) if day < as_of.toordinal() else None


def _in_force_from(packet: Packet, as_of: date) -> date:
    held = packet.held
    issued = held.issued_on if held is not None else None
    return min(issued, as_of) if issued is not None else as_of


def _plan_step(step: Step, days: Passes) -> StepPlan:
    latest, safe = days.last.get(step.id), days.safe.get(step.id)
    earliest = days.earliest[step.id]
    logged = step.packet.progress.done.get((step.row.name, step.turn))
    is_done = earliest.bound_by == "done" and step.id not in days.network.assumed
    done = _date(earliest.finish) if is_done else None
    back = days.back.steps.get(step.id)
    return StepPlan(
        id=step.id,
        row=step.row,
        turn=step.turn,
        days=step.days,
        calendar=step.calendar,
        last=_date(latest.finish) if latest else None,
        last_start=_date(latest.start) if latest else None,
        safe=_date(safe.finish) if safe else None,
        earliest=_date(earliest.finish),
        done_on=done,
        shown=done is not None and logged is None,
        bound_by=(latest.bound_by or "") if latest else "",
        earliest_by=earliest.bound_by,
        last_as=None if back is None or _is_same(back, step) else _edition_of(back),
    )


def _is_same(one: Step, other: Step) -> bool:
    return (one.row, one.days, one.calendar) == (other.row, other.days, other.calendar)


def _edition_of(step: Step) -> StepEdition:
    return StepEdition(row=step.row, days=step.days, calendar=step.calendar)


def _plan_later(packet: Packet, days: Passes) -> tuple[StepPlan, ...]:
    """Give the steps that only a later sending needs, when another edition counts by then."""
    found = []
    for step in days.back.steps.values():
        if step.packet.id != packet.id or step.id in days.network.steps:
            continue
        latest, safe = days.last[step.id], days.safe.get(step.id)
        found.append(
            StepPlan(
                id=step.id,
                row=step.row,
                turn=step.turn,
                days=step.days,
                calendar=step.calendar,
                last=_date(latest.finish),
                last_start=_date(latest.start),
                safe=_date(safe.finish) if safe else None,
                earliest=date.min,
                done_on=None,
                shown=False,
                bound_by=latest.bound_by or "",
                earliest_by="",
            )
        )
    return tuple(found)


def _find_last_sending(key: StepPlan | None, later: tuple[StepPlan, ...]) -> StepPlan | None:
    """Find the step whose last day is the last to send it off: under another edition another."""
    if key is None or key.done_on is not None or key.last is not None:
        return key
    return _find_sending(later) or key


def _find_sending(steps: tuple[StepPlan, ...]) -> StepPlan | None:
    """Find the step that sends the packet off in the present round, else its last own act."""
    sends = [step for step in steps if step.row.event is EventKind.MAILED]
    acts = [step for step in steps if step.kind is StepKind.ACT]
    return (sends or acts or [None])[-1]  # type: ignore[list-item]


def plan_job(job: Job, papers: tuple[PaperPlan, ...], as_of: date) -> JobPlan:
    """Plan a job from the days its papers can be there."""
    start = max(job.first_day, as_of)
    first = start
    missing: list[_Wait] = []
    gaps: list[tuple[tuple[date, date], str]] = []
    for paper in papers:
        wait = _find_wait(paper, job, start) if job.id in paper.packet.verdict.jobs else None
        if wait is None:
            continue
        if wait.through is not None and wait.through >= start:
            gaps.append(((wait.through, wait.ready), paper.id))
            continue
        missing.append(wait)
        first = max(first, wait.ready)
    gap, gap_packet = min(gaps, default=(None, ""))
    return JobPlan(
        job=job,
        first_lawful_day=first,
        waits_for=tuple(one.packet for one in missing if start < one.ready == first),
        gap=gap,
        gap_packet=gap_packet,
        ended_on=_find_ended(job, missing, as_of),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wait:
    """A paper without which a job has days; ``through`` is the last day in force before them."""

    packet: str
    through: date | None
    ready: date


def _find_wait(paper: PaperPlan, job: Job, start: date) -> _Wait | None:
    """Find the days of a job from its start on without a paper; None when there are none."""
    packet, through = paper.packet, paper.packet.valid_through
    for first, last in packet.bare:
        # The paper that begins after these days is held already.
        if first <= job.last_day and last >= start:
            ended = first - timedelta(days=1) if first > date.min else None
            return _Wait(packet=paper.id, through=ended, ready=last + timedelta(days=1))
    if not packet.planned or (through is not None and through >= job.last_day):
        return None
    ready = paper.earliest_ready
    if through is not None and through >= start and ready <= through + timedelta(days=1):
        return None
    return _Wait(packet=paper.id, through=through, ready=ready)


def _find_ended(job: Job, missing: list[_Wait], as_of: date) -> date | None:
    """Find the last day in force of the paper of a begun job that ended first.

    None when none is missing, or when one that is missing ended before the first day or was never
    there: then no day of the job was lawful, also where that one could be there today.
    """
    lasts = [one.through for one in missing]
    if job.first_day >= as_of or any(one is None or one < job.first_day for one in lasts):
        return None
    return min((one for one in lasts if one is not None), default=None)


def find_first_days(plan: Plan, jobs: Collection[str]) -> tuple[date, ...]:
    """Give the first lawful days of some jobs, in the order of the plan."""
    return tuple(job.first_lawful_day for job in plan.jobs if job.job.id in jobs)


def move_first_spray(operation: Operation, first_spray: date) -> Operation:
    """Move the season so that its first spray falls on a given day.

    The earliest job moves to that day with its length kept; other jobs that would begin before it
    begin on it too. Later jobs stay.
    """
    earliest = operation.first_spray
    if earliest is None:
        return operation
    jobs = []
    for job in operation.jobs:
        moves = job.first_day == earliest or job.first_day < first_spray
        shift = first_spray - job.first_day if moves else timedelta(0)
        jobs.append(replace(job, first_day=job.first_day + shift, last_day=job.last_day + shift))
    return replace(operation, jobs=tuple(jobs))


def _date(day: int | None) -> date:
    if day is None:
        raise AssertionError("every step of a packet leads to its in-hand task, which has a limit")
    return date.fromordinal(day)
