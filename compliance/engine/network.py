"""From packets to one network of tasks, with the return loop as part of it."""

from collections.abc import Iterable, Mapping
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from compliance.engine.days import OperationDays
from compliance.engine.edition_choice import (
    NO_CHOICE,
    Choice,
    find_option,
    find_services,
    rows_in,
    service_of,
)
from compliance.engine.moves import Act, Gap, Move, Task, Wait
from compliance.engine.packets import Packet
from compliance.engine.progress import find_returnable
from compliance.engine.settled import settle_done, settle_unseen
from compliance.engine.validity import compute_mark, compute_renewal_opens
from compliance.facts.log import EventKind
from compliance.facts.model import MailService
from compliance.rules.model import (
    CalendarName,
    CountsOn,
    LeadDays,
    RulesTable,
    ServiceRow,
    StepKind,
    StepRow,
    StepUse,
)

IN_HAND = "in-hand"


class Pace(StrEnum):
    """Which of a wait's three times a network is built with."""

    FAST = "fast"
    USUAL = "usual"
    SLOW = "slow"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of one packet in one round; round 1 is the first mailing."""

    packet: Packet
    row: StepRow
    turn: int
    days: int
    calendar: CalendarName

    @property
    def id(self) -> str:
        """Give the task's id: packet, step name, and the round from the second on."""
        return step_id(self.packet.id, self.row.name, self.turn)


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketNetwork:
    """The tasks of all planned packets and the step behind each task id.

    ``assumed`` are waits taken as over though nobody logged it; see ``build_happened``.
    """

    tasks: tuple[Task, ...]
    gaps: tuple[Gap, ...]
    steps: dict[str, Step]
    assumed: frozenset[str] = field(default=frozenset())


def step_id(packet: str, name: str, turn: int = 1) -> str:
    """Name a task: ``packet/step``, with ``~2`` for the second mailing and so on."""
    return f"{packet}/{name}" if turn == 1 else f"{packet}/{name}~{turn}"


class NetworkBuilder:
    """Build networks for the packets of one operation.

    The same packets give several networks: with usual times for *last*, with slow times for what
    papers that wait for others need, each packet alone with slow times and a spare return for
    *safe*, and with what has happened for *earliest*.
    """

    def __init__(
        self,
        packets: Iterable[Packet],
        table: RulesTable,
        days: OperationDays,
        service: MailService,
        *,
        by_packet: Mapping[str, MailService] | None = None,
        choice: Choice = NO_CHOICE,
        floors: Mapping[str, int] | None = None,
    ) -> None:
        self.packets = tuple(packet for packet in packets if packet.planned)
        self.days = days
        self.choice = choice
        self.services = find_services(table)
        self.service = service
        # A packet may go by another service than the operation's.
        self.own = dict(by_packet or {})
        # Days before which steps are not done though they could be, by step id.
        self.floors = dict(floors or {})

    def build_happened(self, as_of: date) -> PacketNetwork:
        """Build the network at usual pace with what has happened.

        Tasks that happened carry their day, renewals wait for their opening day. A wait that is
        followed by another wait goes unseen (nobody at the farm learns when the mail arrived), so
        once its usual time has passed it is assumed over on that day; only a last wait, whose end
        would be noticed, is known to be still going on.
        """
        built = self._build(Pace.USUAL, spare_returns=0, with_log=True, joined=True)
        tasks, assumed = settle_unseen(settle_done(list(built.tasks)), as_of.toordinal(), IN_HAND)
        return replace(built, tasks=tuple(tasks), assumed=assumed)

    def build(self, pace: Pace, *, spare_returns: int = 0, joined: bool = True) -> PacketNetwork:
        """Build the network at a pace, with room for that many returns beyond those that happened.

        Not *joined*, no packet waits for another.
        """
        return self._build(pace, spare_returns=spare_returns, with_log=False, joined=joined)

    def build_rounds(self, spare_returns: int, as_of: date) -> PacketNetwork:
        """Build the network with what has happened and that many more rounds of every packet.

        Nothing is assumed of waits nobody sees the end of. A freshness rule stays where both its
        steps are still to do in the same round; where the first is done, and not stale yet, the
        other has a last day. Built for draws of how often each packet comes back: in most of them
        most rounds do not happen.
        """
        built = self._build(Pace.USUAL, spare_returns=spare_returns, with_log=True, joined=True)
        by_id = {task.id: task for task in settle_done(list(built.tasks))}
        gaps = []
        for gap in built.gaps:
            first, then = by_id[gap.first], by_id[gap.then]
            step = built.steps[gap.then]
            if first.done_on is not None:
                last = first.done_on + gap.at_most_days
                if step.turn == step.packet.progress.round and last >= as_of.toordinal():
                    by_id[gap.then] = replace(then, not_after=last)
            elif then.done_on is None and built.steps[gap.first].turn == step.turn:
                gaps.append(gap)
        return replace(built, tasks=tuple(by_id.values()), gaps=tuple(gaps))

    def lead(self, step: Step) -> LeadDays:
        """Give the days of a step at every pace; mail waits take those of the packet's service."""
        return self._lead(step.packet, step.row, step.turn)[0]

    def choosing(self, choice: Choice) -> "NetworkBuilder":
        """Give a builder of the same packets with other editions of their steps."""
        other = copy(self)
        other.choice = choice
        return other

    def chain(
        self, packet: Packet, pace: Pace, rounds: int
    ) -> tuple[tuple[Step, tuple[str, ...]], ...]:
        """Give each step of a packet in so many rounds, with its own steps that it waits for."""
        return tuple(self._chain(packet, pace, rounds))

    def move(self, step: Step) -> Move:
        """Give how a step moves through the days."""
        calendar = self.days.at_place(step.calendar, step.row.done_at)
        if step.row.kind is StepKind.ACT:
            return Act(calendar=calendar)
        return Wait(calendar=calendar, days=step.days)

    def carriers(self, packet: Packet, row: StepRow, turn: int) -> tuple[ServiceRow, ...]:
        """Give every edition of the mail service that carries a step; none when none does.

        A round that was mailed goes as it was sent, whatever the service of those to come.
        """
        if not row.mail:
            return ()
        if row.mail != "out":
            return self.services["mail.first-class"]
        to_come = self.own.get(packet.id, self.service)
        return self.services[f"mail.{packet.progress.services.get(turn, to_come)}"]

    def _lead(self, packet: Packet, row: StepRow, turn: int) -> tuple[LeadDays, CalendarName]:
        carriers = self.carriers(packet, row, turn)
        if not carriers:
            return row.days or LeadDays(fast=0, usual=0, slow=0), row.calendar
        option = find_option(self.choice, packet.id, row.name, turn)
        carrier = service_of(carriers, option, packet.need_by)
        return carrier.days, carrier.calendar

    def _build(
        self, pace: Pace, *, spare_returns: int, with_log: bool, joined: bool
    ) -> PacketNetwork:
        tasks: list[Task] = []
        steps: dict[str, Step] = {}
        for packet in self.packets:
            rounds = packet.progress.round + spare_returns
            for step, own in self._chain(packet, pace, rounds):
                steps[step.id] = step
                after = (*own, *self.needed(packet, step)) if joined else own
                tasks.append(self._task(step, after, with_log=with_log))
            tasks.append(self._in_hand(packet, tasks))
        # Last, because a row may be written before the one it must be fresh after.
        found = (_gap(step, steps, with_log=with_log) for step in steps.values())
        gaps = tuple(gap for gap in found if gap is not None)
        return PacketNetwork(tasks=tuple(tasks), gaps=gaps, steps=steps)

    def _chain(
        self, packet: Packet, pace: Pace, rounds: int
    ) -> Iterable[tuple[Step, tuple[str, ...]]]:
        """Give each step of a packet in each round, with the ids it waits for."""
        first = rows_in(packet, self.choice, 1)
        kept = {row.name for row in first}
        returnable = find_returnable(first)
        last_turn = rounds if returnable is not None else 1

        def named(name: str) -> str:
            is_end = returnable is not None and name == returnable.name
            return step_id(packet.id, name, last_turn if is_end else 1)

        for row in first:
            if row.use is StepUse.AFTER_RETURN:
                continue
            after = tuple(named(name) for name in _kept_predecessors(row, kept, packet))
            yield self._step(packet, row, 1, pace), after
            if row is not returnable:
                continue
            for turn in range(2, last_turn + 1):
                before = step_id(packet.id, row.name, turn - 1)
                rows = {one.name: one for one in rows_in(packet, self.choice, turn)}
                # What answers stays in every round, and goes the way in force in that round.
                answering = rows.setdefault(row.name, row)
                for name in answering.return_path or row.return_path:
                    if name in rows and name not in packet.progress.still_good(turn):
                        step = self._step(packet, rows[name], turn, pace)
                        yield step, (before,)
                        before = step.id

    def needed(self, packet: Packet, step: Step) -> tuple[str, ...]:
        """Give the in-hand tasks of the papers this step waits for, the first time it is done.

        A paper that does not apply or is in force already is not waited for. Papers of another
        kind of holder count when they share a job.
        """
        return tuple(
            f"{other.id}/{IN_HAND}"
            for other in self.packets
            if other.paper.id in step.row.needs
            and step.turn == 1
            and other.use is StepUse.FIRST
            and is_related(packet, other)
        )

    def _step(self, packet: Packet, row: StepRow, turn: int, pace: Pace) -> Step:
        lead, calendar = self._lead(packet, row, turn)
        return Step(packet=packet, row=row, turn=turn, days=getattr(lead, pace), calendar=calendar)

    def _task(self, step: Step, after: tuple[str, ...], *, with_log: bool) -> Task:
        task = Task(id=step.id, move=self.move(step), after=after)
        option = self.choice.get((step.packet.id, step.row.name, step.turn))
        if option is not None and option.not_after is not None:
            task = replace(task, not_after=option.not_after)
        if not with_log:
            return task
        done = step.packet.progress.done.get((step.row.name, step.turn))
        floors = [day for day in (find_opening(step), self.floors.get(step.id)) if day is not None]
        return replace(
            task,
            not_before=max(floors, default=None),
            done_on=done.toordinal() if done is not None else None,
        )

    def _in_hand(self, packet: Packet, tasks: list[Task]) -> Task:
        prefix = f"{packet.id}/"
        own = [task for task in tasks if task.id.startswith(prefix)]
        waited_for = {name for task in own for name in task.after}
        ends = tuple(task.id for task in own if task.id not in waited_for)
        every_day = self.days.calendar(CalendarName.EVERY_DAY)
        return Task(id=f"{packet.id}/{IN_HAND}", move=Wait(calendar=every_day, days=0), after=ends)


def _gap(step: Step, steps: Mapping[str, Step], *, with_log: bool) -> Gap | None:
    """Give a step's freshness rule, counted from the other step in the same round.

    What is not done again after a return keeps its day of the first round. That it has grown too
    old by then is for the days that happened to show; no work-back date could mend it.
    """
    fresh, packet = step.row.fresh, step.packet.id
    if fresh is None:
        return None
    first = step_id(packet, fresh.after, step.turn)
    if first not in steps and with_log:
        first = step_id(packet, fresh.after)
    return Gap(first=first, then=step.id, at_most_days=fresh.days) if first in steps else None


def lead_of(row: StepRow, out: ServiceRow, back: ServiceRow) -> tuple[LeadDays, CalendarName]:
    """Give a step's days and the calendar that counts them; mail waits take the service's."""
    if row.mail:
        service = out if row.mail == "out" else back
        return service.days, service.calendar
    return row.days or LeadDays(fast=0, usual=0, slow=0), row.calendar


def _kept_predecessors(row: StepRow, kept: set[str], packet: Packet) -> tuple[str, ...]:
    """Give the names a step waits for; one that does not apply passes on what it waited for."""
    every = {step.name: step for step in packet.all_steps}
    found: dict[str, None] = {}
    waiting = list(row.after)
    seen: set[str] = set()
    while waiting:
        name = waiting.pop(0)
        if name in seen:
            continue
        seen.add(name)
        if name in kept:
            found[name] = None
        elif name in every:
            waiting.extend(every[name].after)
    return tuple(found)


def is_related(packet: Packet, other: Packet) -> bool:
    """Tell whether a packet that needs another kind of paper waits for this other packet."""
    if packet is other:
        return False
    if packet.paper.holder is other.paper.holder:
        return packet.holder == other.holder
    return bool(set(packet.verdict.jobs) & set(other.verdict.jobs))


def find_opening(step: Step) -> int | None:
    """Give the first day a renewal may be filed, for the step that files it."""
    packet, renewal = step.packet, step.packet.paper.renewal
    if packet.use is not StepUse.RENEWAL or renewal is None or packet.valid_through is None:
        return None
    # In every round: what came back for being early must not be sent early again.
    if step.row.event is not EventKind.MAILED:
        return None
    opens = compute_renewal_opens(renewal, packet.valid_through)
    return opens.toordinal() if opens is not None else None


def compute_filing_limit(packet: Packet) -> tuple[tuple[str, date], ...]:
    """Give the step of a renewal that must be over by the row's renew-by day, and that day.

    For an office that counts receipt it is the step that puts the packet in its hands, when there
    is one; else the step that sends it off.

    Shape: one pair, or none when the packet is no renewal or the row names no such day.
    """
    renewal = packet.paper.renewal
    if packet.use is not StepUse.RENEWAL or packet.valid_through is None:
        return ()
    if renewal is None or renewal.renew_by is None:
        return ()
    day = compute_mark(renewal.renew_by, packet.valid_through)
    office = packet.office
    is_receipt = office is None or office.counts_on is CountsOn.RECEIVED
    for event in (EventKind.RECEIVED, EventKind.MAILED) if is_receipt else (EventKind.MAILED,):
        for row in packet.steps:
            if row.event is event and row.use is not StepUse.AFTER_RETURN:
                return ((step_id(packet.id, row.name), day),)
    return ()
