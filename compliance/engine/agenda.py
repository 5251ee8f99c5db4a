"""The plan as a list of things with a day: what to do, what to expect, what runs out."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from compliance.base.dates import say_date
from compliance.engine.awaited import list_holding
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.facts.log import EventKind
from compliance.rules.model import StepKind


class ItemKind(StrEnum):
    """What an item of the agenda is about."""

    DO = "do"
    LAST_DAY = "last day"
    EXPECT = "expect"
    ASK = "ask"
    RUNS_OUT = "runs out"
    JOB = "job"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing with a day.

    ``on`` is the day to plan for: the safe day of an act, or the first day it can still be done
    when that has passed. ``trip`` is the day of the trip to town on which the act is planned, not
    after ``on``; None when no trip is planned for it. ``last`` is its last day that is on time;
    ``late`` says it has passed. ``needs_town`` tells an act that is not done at home. ``key`` names
    it for good: kind, packet, year of need, step; see `key_of`. ``once`` names the overdue papers
    without which the last day of a packet cannot be used.
    """

    kind: ItemKind
    on: date
    last: date | None
    late: bool
    title: str
    subject: str
    paper: PaperPlan | None
    step: StepPlan | None
    key: tuple[str, ...]
    trip: date | None = None
    once: tuple[str, ...] = ()

    @property
    def day(self) -> date:
        """Give the one day to do it: that of its trip, else the day to plan for."""
        return self.on if self.trip is None else self.trip

    @property
    def needs_town(self) -> bool:
        """Tell whether it is done away from the farm."""
        return self.step is not None and self.step.row.done_at not in {"", "farm", "online"}


def key_of(kind: str, paper: PaperPlan, step: str) -> tuple[str, ...]:
    """Give the key of something about a packet: the same in every round, and on every day.

    A return takes nothing off a calendar that could come back beside it: the entry of the mailing
    moves to the next mailing. The last part ends as that of the first round always did.
    """
    return (kind, paper.id, str(paper.packet.need_by.year), f"{step}~1")


def compute_agenda(plan: Plan) -> tuple[Item, ...]:
    """List everything ahead of an operation, by day, then in the order of the plan.

    Shape: undone acts of every planned paper, the last day to send each off while it can be met,
    waits that are under way and the day to ask about each, held papers that run out within the
    plan's jobs or the year ahead, first days of jobs. An act that waits for a paper an office is
    overdue with has no day (`list_waiting`), only the last day of its packet is there.
    """
    items: list[Item] = []
    for paper in plan.papers:
        subject = subject_of(plan, paper)
        items.extend(_list_acts(plan, paper, subject))
        items.extend(_list_expected(paper, subject))
        items.extend(_list_question(plan, paper, subject))
        through = paper.packet.valid_through
        if through is not None and through >= plan.as_of:
            items.append(_runs_out(paper, subject, through))
    items.extend(
        Item(
            kind=ItemKind.JOB,
            on=job.job.first_day,
            last=None,
            # A job that was lawful until a paper ended did not begin late.
            late=job.late_by_days > 0 and job.ended_on is None,
            title=f"First day of {job.job.id}",
            subject=", ".join(job.job.aircraft),
            paper=None,
            step=None,
            key=("job", job.job.id, str(job.job.first_day.year)),
        )
        for job in plan.jobs
    )
    return tuple(sorted(items, key=lambda item: item.on))


def pick_first_acts(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Keep the acts that can be begun now and those in town.

    What follows at home follows by itself; a list that names every signature is not read. An act
    that starts a wait of its own is kept, however small it is.
    """
    return tuple(
        item
        for item in items
        if item.kind is not ItemKind.DO
        or item.paper is None
        or item.step is None
        or item.needs_town
        or all(act.done_on is not None for act in item.paper.acts_before(item.step))
    )


def find_act_day(plan: Plan, paper: PaperPlan) -> date | None:
    """Find the day to act on to send a packet off, when it is another than the safe day.

    That is the day of the trip to town, else, when no room is left for a return, the first day it
    can go; None for a packet that is sent off, whose safe day is the day to act on, or for which
    nobody knows a day because it waits for an overdue paper (`list_once`).
    """
    if paper.mailed_on is not None or paper.mail_last is None or paper.mail_safe is None:
        return None
    trip = plan.trip_days.get(paper.mail_step)
    if list_once(plan, paper):
        return None
    if trip is not None:
        return trip.on
    sending = plan.find_step(paper.mail_step)
    return sending.earliest if sending is not None and (paper.is_tight or paper.is_late) else None


def find_sending_day(plan: Plan, paper: PaperPlan) -> date | None:
    """Find the day on which the plan sends a packet off, at the earliest, with its trips.

    Shape: None for a packet that is sent off. A trip may be later than the first day it could go.
    """
    sending = plan.find_step(paper.mail_step)
    if sending is None or sending.done_on is not None:
        return None
    trip = plan.trip_days.get(sending.id)
    return max(sending.earliest, plan.as_of, plan.as_of if trip is None else trip.on)


def list_once(plan: Plan, paper: PaperPlan) -> tuple[str, ...]:
    """Name the overdue papers without which a packet cannot be sent off, none when none is."""
    return tuple(subject_of(plan, one) for one in list_once_papers(plan, paper))


def list_once_papers(plan: Plan, paper: PaperPlan) -> tuple[PaperPlan, ...]:
    """List the overdue papers without which a packet cannot be sent off."""
    sending = plan.find_step(paper.mail_step)
    if sending is None or sending.done_on is not None:
        return ()
    return list_holding(plan, paper, sending)


def say_here(names: tuple[str, ...]) -> str:
    """Say of overdue papers, after *once* or *until*, that they are here.

    >>> say_here(("License",)), say_here(("License", "Exemption"))[:40]
    ('this is here, which is overdue: License', 'these are here, which are overdue: Licen')
    """
    verb = "this is here, which is" if len(names) == 1 else "these are here, which are"
    return f"{verb} overdue: {'; '.join(names)}"


def _name_overdue(plan: Plan, paper: PaperPlan, step: StepPlan) -> tuple[str, ...]:
    return tuple(subject_of(plan, one) for one in list_holding(plan, paper, step))


def subject_of(plan: Plan, paper: PaperPlan) -> str:
    """Name a paper and its holder in one line."""
    title = paper.packet.paper.title
    holder = paper.packet.holder
    return f"{title}, {plan.operation.say_holder(holder)}" if holder.ref else title


def list_waiting(plan: Plan) -> tuple[tuple[PaperPlan, StepPlan, tuple[str, ...]], ...]:
    """List the acts without a day, each with the overdue papers that it waits for.

    Shape: in the order of the plan. Nobody knows when they can be done.
    """
    return tuple(
        (paper, step, once)
        for paper in plan.papers
        for step in paper.steps
        if step.kind is StepKind.ACT
        and step.done_on is None
        and (once := _name_overdue(plan, paper, step))
    )


def _list_acts(plan: Plan, paper: PaperPlan, subject: str) -> list[Item]:
    items = []
    for step in paper.steps:
        if step.kind is not StepKind.ACT or step.done_on is not None:
            continue
        late = step.last is not None and step.earliest > step.last
        once = _name_overdue(plan, paper, step)
        act = Item(
            kind=ItemKind.DO,
            on=_find_limit(plan, step),
            last=step.last,
            late=late,
            title=step.row.title,
            subject=subject,
            paper=paper,
            step=step,
            key=key_of("do", paper, step.row.name),
            trip=plan.trip_days[step.id].on if step.id in plan.trip_days else None,
        )
        if not once:
            items.append(act)
        is_sending = step.id == paper.mail_step and step.last is not None and not late
        if is_sending and step.last is not None and (once or step.last > act.on):
            title = f"Last day, no room left: {step.row.title}"
            items.append(
                replace(
                    act,
                    kind=ItemKind.LAST_DAY,
                    on=step.last,
                    title=f"{title}, once {say_here(once)}" if once else title,
                    key=key_of("last", paper, step.row.name),
                    trip=None,
                    once=once,
                )
            )
    return items


def _find_limit(plan: Plan, step: StepPlan) -> date:
    """Give the day up to which an act is safe, or the first day it can be done after that."""
    trip = plan.trip_days.get(step.id)
    if trip is not None:
        return max(trip.on, trip.by) if trip.is_safe else trip.on
    return max(step.safe or step.earliest, step.earliest, plan.as_of)


def _list_expected(paper: PaperPlan, subject: str) -> list[Item]:
    """List the office's answer for a packet that is there now."""
    answer = paper.find_event(EventKind.GRANTED)
    if answer is None or answer.done_on is not None or paper.mailed_on is None:
        return []
    title = "At usual pace the paper comes about now"
    for heard in paper.packet.progress.heard[-1:]:
        if heard.expects is not None:
            title += f"; the office expects {say_date(heard.expects)}"
    if paper.overdue_since is not None:
        title = f"The paper ought to have come by {say_date(paper.overdue_since)}"
    return [
        Item(
            kind=ItemKind.EXPECT,
            on=paper.earliest_ready,
            last=paper.in_hand_by,
            late=paper.is_late,
            title=title,
            subject=subject,
            paper=paper,
            step=answer,
            key=key_of("expect", paper, ""),
        )
    ]


def _list_question(plan: Plan, paper: PaperPlan, subject: str) -> list[Item]:
    """List the day to ask the office about a packet that is there now."""
    if paper.ask_on is None:
        return []
    overdue = paper.ask_on < plan.as_of
    # Nobody is there to be asked on a day on which offices are closed.
    open_on = paper.ask_day.open_on if paper.ask_day is not None else None
    today = max(open_on or plan.as_of, plan.as_of)
    heard = paper.packet.progress.heard[-1:]
    again = "again " if heard else ""
    now = "now" if today == plan.as_of else "when it opens"
    said = "".join(f"; on {say_date(one.happened_on)} they said: {one.reason}" for one in heard)
    answer = paper.find_event(EventKind.GRANTED)
    return [
        Item(
            kind=ItemKind.ASK,
            on=max(paper.ask_on, today),
            last=None,
            late=False,
            title=(
                f"Ask the office {again}{now}; the day to ask was {say_date(paper.ask_on)}{said}"
                if overdue
                else f"Ask the office {again}if nothing has come{said}"
            ),
            subject=subject,
            paper=paper,
            step=answer,
            key=key_of("ask", paper, ""),
        )
    ]


def _runs_out(paper: PaperPlan, subject: str, through: date) -> Item:
    return Item(
        kind=ItemKind.RUNS_OUT,
        on=through,
        last=through,
        late=False,
        title="Last day in force",
        subject=subject,
        paper=paper,
        step=None,
        key=("runs-out", paper.id, str(through.year)),
    )
