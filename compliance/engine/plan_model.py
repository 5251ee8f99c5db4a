"""The plan as plain values: what every output is made from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from compliance.engine.applies import Verdict
from compliance.engine.ask_model import AskDay
from compliance.engine.chance_model import Chances
from compliance.engine.duties_model import NO_DUTIES, DutyBook
from compliance.engine.edition_choice import NO_CHOICES, Choices
from compliance.engine.packets import Packet, PaperState
from compliance.facts.log import EventKind
from compliance.facts.model import Job, Operation
from compliance.facts.places import PlaceKind
from compliance.rules.model import CalendarName, StepKind, StepRow


@dataclass(frozen=True, slots=True, kw_only=True)
class StepEdition:
    """An edition of a step with the days and the calendar it takes."""

    row: StepRow
    days: int
    calendar: CalendarName


@dataclass(frozen=True, slots=True, kw_only=True)
class StepPlan:
    """One step of a packet with its days, all inclusive.

    For an act ``last``, ``safe`` and ``earliest`` are days on which it can be done; for a wait or a
    notice period they are the days it must or can be over, and ``last_start`` the last day it may
    begin. ``last`` uses usual times and no spare return; ``safe`` slow times and one spare return.
    ``row`` is the edition of the earliest days, ``last_as`` that of the last ones when it is
    another. ``turn`` counts mailings from 1. ``shown`` tells that ``done_on`` was not logged itself
    but a later entry shows it. ``bound_by`` is the task that sets ``last``, ``earliest_by`` the one
    that sets ``earliest``.
    """

    id: str
    row: StepRow
    turn: int
    days: int
    calendar: CalendarName
    last: date | None
    last_start: date | None
    safe: date | None
    earliest: date
    done_on: date | None
    shown: bool
    bound_by: str
    earliest_by: str
    last_as: StepEdition | None = None

    @property
    def kind(self) -> StepKind:
        """Give the kind of the step's row."""
        return self.row.kind

    @property
    def slack_days(self) -> int | None:
        """Give the calendar days between earliest and last; negative when it is too late."""
        return None if self.last is None else (self.last - self.earliest).days


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPlan:
    """One needed paper with its dates.

    ``in_hand_by`` is the last day it may come in, for the jobs and for papers that wait for it;
    ``in_hand_bound_by`` is the step of such a paper, or ``limit`` for the jobs. ``ready_bound_by``
    is the step that sets ``earliest_ready``.
    ``mail_last`` and ``mail_safe`` are the days of the step that sends it off (or of its last own
    act when nothing is sent); None when that has happened or the paper is in hand. ``ask_on`` is
    the day to ask the office if nothing has come, None when the packet is not there; ``ask_day``
    has the same day and what sets it.
    ``overdue_since`` is the day by which it ought to have come with usual times, when that is past:
    ``earliest_ready`` is then today, and nobody knows more. ``renewal_missed`` is the last day to
    file a renewal, when it cannot be met any more: whether the office takes a late one is not
    known, so that ``earliest_ready`` holds only if it does. ``later`` are steps that the last days
    count with though the earliest do not, because another edition of the rules counts by then;
    ``changes``, among the warnings too, say what changes within reach of its days.
    """

    packet: Packet
    steps: tuple[StepPlan, ...]
    in_hand_by: date | None
    in_hand_bound_by: str
    earliest_ready: date
    ready_bound_by: str
    mail_last: date | None
    mail_safe: date | None
    mail_step: str
    mailed_on: date | None
    confirm: tuple[str, ...]
    warnings: tuple[str, ...]
    ask_on: date | None = None
    ask_day: AskDay | None = None
    overdue_since: date | None = None
    renewal_missed: date | None = None
    later: tuple[StepPlan, ...] = ()
    changes: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Give the packet's id."""
        return self.packet.id

    @property
    def state(self) -> PaperState:
        """Give how far the paper is."""
        return self.packet.state

    @property
    def slack_days(self) -> int | None:
        """Give the calendar days between ready and needed; negative when too late."""
        return None if self.in_hand_by is None else (self.in_hand_by - self.earliest_ready).days

    @property
    def is_late(self) -> bool:
        """Tell whether it cannot be there in time with usual times."""
        return self.packet.planned and (self.slack_days or 0) < 0

    @property
    def is_tight(self) -> bool:
        """Tell whether the safe day to send it off has passed though the last has not."""
        if not self.packet.planned or self.is_late or self.mail_safe is None:
            return False
        key = next((step for step in self.steps if step.id == self.mail_step), None)
        return key is not None and key.done_on is None and key.earliest > self.mail_safe

    @property
    def is_mailed(self) -> bool:
        """Tell whether it goes through the mail; else it is filed."""
        return any(step.row.mail == "out" for step in self.steps)

    def acts_before(self, step: StepPlan) -> tuple[StepPlan, ...]:
        """Give the acts of the same round that come before a step, in order of work."""
        rows = {one.row.name: one.row for one in self.steps}
        before: set[str] = set()
        waiting = list(step.row.after)
        while waiting:
            name = waiting.pop()
            if name not in before and name in rows:
                before.add(name)
                waiting.extend(rows[name].after)
        at = self.steps.index(step)
        return tuple(
            one
            for number, one in enumerate(self.steps)
            if one.kind is StepKind.ACT
            and one.turn == step.turn
            and (one.row.name in before if step.turn == 1 else number < at)
        )

    def find_step(self, name: str) -> StepPlan | None:
        """Find a step by its name or id; of several rounds the latest."""
        found = [step for step in self.steps if name in (step.id, step.row.name)]
        return found[-1] if found else None

    def find_event(self, event: EventKind) -> StepPlan | None:
        """Find the step an event ticks, in the present round."""
        found = [step for step in self.steps if step.row.event is event]
        return found[-1] if found else None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPlan:
    """One job and the first day all its papers can be in force.

    ``waits_for`` are the packets that set that day when it is after ``job.first_day``.
    ``gap`` is set when a paper runs out during the job before its renewal can be there: the last
    day in force and the first day in force again.
    ``ended_on`` is set when the job has begun and waits only because papers have ended since its
    first day: the last day in force of the one it waits for that ended first. None while it waits
    for nothing, and for a job that never was lawful.
    """

    job: Job
    first_lawful_day: date
    waits_for: tuple[str, ...]
    gap: tuple[date, date] | None
    gap_packet: str
    ended_on: date | None = None

    @property
    def grounded_since(self) -> date | None:
        """Give the first day without a paper that was in force before; None when it is not so."""
        return None if self.ended_on is None else self.ended_on + timedelta(days=1)

    @property
    def late_by_days(self) -> int:
        """Give the days between the planned and the first lawful day, 0 when in time.

        A job that has begun with every paper in force is not late for having begun: its days count
        from the one after ``ended_on``.
        """
        since = self.grounded_since or self.job.first_day
        waits = self.waits_for or self.ended_on is not None
        return (self.first_lawful_day - since).days if waits else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One change that would help a job, with the day it leads to, which is a day of that job.

    ``overdue`` and ``missed`` are the packets on which that day hangs: an office that is overdue
    must send the one at once, and an office must take the other, a renewal, late. ``trips`` are
    the days of drives to town although a closure keeps everybody at home, ``others`` the places,
    each with a day on which another one of its kind has to be open.
    """

    job: str
    what: str
    first_lawful_day: date
    days_gained: int
    enough: bool
    overdue: tuple[str, ...] = ()
    missed: tuple[str, ...] = ()
    trips: tuple[date, ...] = ()
    others: tuple[tuple[PlaceKind, date], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TripDay:
    """The day of the trip to town on which an act is planned, and the last day it may go.

    ``first`` is the first day it can be done there, which may be long before its trip. ``by``
    counts what waits for the act in town; ``is_safe`` tells that it comes from the safe day and not
    from the last one.
    """

    first: date
    on: date
    by: date
    is_safe: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything known about an operation's season as of one day.

    Shape: papers in table order, in-hand ones included; verdicts also of papers that do not apply;
    jobs in file order, those over before ``as_of`` left out; ``reviews`` are those of the
    warnings that name rules nobody has looked at for too long; remedies only when a job is late
    and they were asked for, and ``unhelped`` are then the late jobs that have none,
    ``helped`` those that have one (known without remedies too: ``engine.remedies.add_helped``);
    duties only when they were asked for (``app.duties.add_duties``), and so chances
    (``app.chances.add_chances``) and ``trip_days``, the day of the trip to town on which each act
    there is planned with the day it must be done by, by step id (``app.trips.add_trip_days``); the
    earliest days are then those that follow when each of these acts waits for its trip. ``told_on``
    is the day the facts were last told otherwise than before, None where that is not known.
    """

    operation: Operation
    as_of: date
    jobs: tuple[JobPlan, ...]
    papers: tuple[PaperPlan, ...]
    verdicts: tuple[Verdict, ...]
    remedies: tuple[Remedy, ...]
    unhelped: tuple[str, ...] = field(default=(), kw_only=True)
    helped: tuple[str, ...] = field(default=(), kw_only=True)
    warnings: tuple[str, ...]
    reviews: tuple[str, ...] = ()
    duties: DutyBook = NO_DUTIES
    chances: Chances | None = None
    choices: Choices = NO_CHOICES
    trip_days: Mapping[str, TripDay] = field(default_factory=dict)
    told_on: date | None = None

    def find_paper(self, name: str) -> PaperPlan | None:
        """Find a paper by packet id, or by paper id when only one holder has it."""
        for paper in self.papers:
            if paper.id == name:
                return paper
        same = [paper for paper in self.papers if paper.packet.paper.id == name]
        return same[0] if len(same) == 1 else None

    def find_step(self, step_id: str) -> StepPlan | None:
        """Find a step by its full id."""
        for paper in self.papers:
            for step in (*paper.steps, *paper.later):
                if step.id == step_id:
                    return step
        return None
