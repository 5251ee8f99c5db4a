"""The plan: work back from every need, work forward from today and the log, compare."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from compliance.base.calendars import OutOfRangeError
from compliance.base.problems import RefusedError
from compliance.engine.applies import compute_verdicts
from compliance.engine.concerns import (
    find_confirmations,
    find_missed_filing,
    find_paper_warnings,
    find_plan_reviews,
    find_plan_warnings,
)
from compliance.engine.days import OperationDays
from compliance.engine.moves import InfeasibleError, Wait
from compliance.engine.network import (
    IN_HAND,
    NetworkBuilder,
    Pace,
    PacketNetwork,
    Step,
    compute_filing_limit,
)
from compliance.engine.packets import Packet, PaperState, compute_packets
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan, StepPlan
from compliance.engine.schedule import (
    Earliest,
    Latest,
    Network,
    compute_earliest,
    compute_latest,
)
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Job, MailService, Operation
from compliance.rules.model import RulesTable, StepKind

# Room on both ends of the calendars for work done long ago and offices that take very long.
_DAYS_BEFORE = 1_200
_DAYS_AFTER = 2_400


@dataclass(frozen=True, slots=True, kw_only=True)
class _Days:
    """The three sets of days of one plan, by task id."""

    last: dict[str, Latest]
    safe: dict[str, Latest]
    earliest: dict[str, Earliest]
    network: PacketNetwork


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
        jobs=tuple(_plan_job(job, papers, as_of) for job in jobs),
        papers=papers,
        verdicts=verdicts,
        remedies=(),
        warnings=find_plan_warnings(operation, table, as_of),
        reviews=find_plan_reviews(operation, table, as_of),
    )


def build_days(operation: Operation, packets: tuple[Packet, ...], as_of: date) -> OperationDays:
    """Build the calendars of an operation wide enough for its packets."""
    logged = [day for packet in packets for day in packet.progress.done.values()]
    needs = [packet.need_by for packet in packets]
    first = min([as_of, *logged, *needs]) - timedelta(days=_DAYS_BEFORE)
    last = max([as_of, *needs]) + timedelta(days=_DAYS_AFTER)
    return OperationDays(operation, first, last)


def limits_of(packets: tuple[Packet, ...]) -> tuple[dict[str, int], dict[str, int]]:
    """Give the day numbers by which papers must be in hand, and renewals be filed, by task id."""
    needs = {
        f"{packet.id}/{IN_HAND}": packet.need_by.toordinal() for packet in packets if packet.planned
    }
    filing = {
        name: day.toordinal() for packet in packets for name, day in compute_filing_limit(packet)
    }
    return needs, filing


def _compute_days(
    operation: Operation,
    table: RulesTable,
    packets: tuple[Packet, ...],
    as_of: date,
    by_packet: Mapping[str, MailService] | None,
) -> _Days:
    calendars = build_days(operation, packets, as_of)
    service = operation.mail_service
    builder = NetworkBuilder(packets, table, calendars, service, by_packet=by_packet)
    needs, filing = limits_of(packets)
    happened = builder.build_happened(as_of)
    return _Days(
        last=work_back(builder.build(Pace.USUAL), needs | filing),
        safe=_work_back_safe(builder, needs, filing),
        earliest=_work_forward(happened, as_of),
        network=happened,
    )


def work_back(network: PacketNetwork, limits: dict[str, int]) -> dict[str, Latest]:
    """Work a network back from its limits: latest days by task id."""
    built = Network(network.tasks, network.gaps)
    return {latest.id: latest for latest in compute_latest(built, limits=limits)}


def _work_back_safe(
    builder: NetworkBuilder, limits: dict[str, int], filing: dict[str, int]
) -> dict[str, Latest]:
    """Work back so that one return of a packet is absorbed though every office is slow.

    First every packet at slow times tells when each must be in hand; then each packet alone, with
    slow times and room to come back once, is worked back from that day. So the safe day answers:
    if this packet comes back once and all offices on the way are slow, is everything still in time?
    Room for every packet of a chain to come back at once would put each safe day a year too early.
    """
    slow = work_back(builder.build(Pace.SLOW), limits | filing)
    in_hand = {name: latest.finish for name in limits if (latest := slow[name]).finish is not None}
    alone = builder.build(Pace.SLOW, spare_returns=1, joined=False)
    return work_back(alone, in_hand | filing)


def _work_forward(network: PacketNetwork, as_of: date) -> dict[str, Earliest]:
    today = as_of.toordinal()
    try:
        found = compute_earliest(Network(network.tasks, network.gaps), today=today)
    except InfeasibleError:
        # Something signed has gone stale; concerns.py says so, the days go on without that rule.
        found = compute_earliest(Network(network.tasks), today=today)
    return {earliest.id: earliest for earliest in found}


def _plan_paper(packet: Packet, days: _Days, table: RulesTable, as_of: date) -> PaperPlan:
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
        _plan_step(step, days) for step in days.network.steps.values() if step.packet is packet
    )
    end = f"{packet.id}/{IN_HAND}"
    key = _find_sending(steps)
    ready = _date(days.earliest[end].finish)
    return PaperPlan(
        packet=packet,
        steps=steps,
        in_hand_by=_date(days.last[end].finish),
        in_hand_bound_by=days.last[end].bound_by or "",
        earliest_ready=ready,
        ready_bound_by=days.earliest[end].bound_by,
        mail_last=key.last if key and key.done_on is None else None,
        mail_safe=key.safe if key and key.done_on is None else None,
        mail_step=key.id if key else "",
        mailed_on=key.done_on if key else None,
        confirm=find_confirmations(packet, steps, table, as_of),
        warnings=find_paper_warnings(packet, steps, as_of),
        overdue_since=_find_overdue(packet, days.network, as_of),
        renewal_missed=find_missed_filing(packet, steps),
    )


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


def _plan_step(step: Step, days: _Days) -> StepPlan:
    latest, safe = days.last.get(step.id), days.safe.get(step.id)
    earliest = days.earliest[step.id]
    logged = step.packet.progress.done.get((step.row.name, step.turn))
    is_done = earliest.bound_by == "done" and step.id not in days.network.assumed
    done = _date(earliest.finish) if is_done else None
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
    )


def _find_sending(steps: tuple[StepPlan, ...]) -> StepPlan | None:
    """Find the step that sends the packet off in the present round, else its last own act."""
    sends = [step for step in steps if step.row.event is EventKind.MAILED]
    acts = [step for step in steps if step.kind is StepKind.ACT]
    return (sends or acts or [None])[-1]  # type: ignore[list-item]


def _plan_job(job: Job, papers: tuple[PaperPlan, ...], as_of: date) -> JobPlan:
    needed = [paper for paper in papers if job.id in paper.packet.verdict.jobs]
    start = max(job.first_day, as_of)
    first = start
    waits: list[str] = []
    gap: tuple[date, date] | None = None
    gap_packet = ""
    for paper in needed:
        through = paper.packet.valid_through
        if not paper.packet.planned or (through is not None and through >= job.last_day):
            continue
        ready = paper.earliest_ready
        if through is not None and through >= start:
            if ready > through + timedelta(days=1) and (gap is None or through < gap[0]):
                gap, gap_packet = (through, ready), paper.id
            continue
        if ready > start:
            waits.append(paper.id)
        first = max(first, ready)
    latest = tuple(
        paper.id for paper in needed if paper.id in waits and paper.earliest_ready == first
    )
    return JobPlan(
        job=job, first_lawful_day=first, waits_for=latest, gap=gap, gap_packet=gap_packet
    )


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
