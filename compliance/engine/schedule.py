"""Earliest and latest days of a network of steps, the slack between them and what forces them.

Every rule says "this is not before some day worked out from that", and none of those days ever
moves back when the other moves on. So one pass forward in order of work gives the earliest days
and one pass backward the latest. A freshness rule (`Gap`) points the other way; then passes are
repeated, each pushing days only one way, until nothing moves or a day leaves the calendar.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from compliance.base.calendars import describe_day
from compliance.engine.moves import (
    Act,
    CycleFoundError,
    Gap,
    InfeasibleError,
    MonthsAhead,
    Move,
    Task,
    Wait,
)
from compliance.engine.network_core import NO_LIMIT, BackwardPlan, Network
from compliance.engine.network_passes import (
    Found,
    earliest_days,
    find_earliest,
    find_latest,
    hide_no_limit,
    latest_days,
)

__all__ = [
    "Act",
    "CycleFoundError",
    "Earliest",
    "Gap",
    "InfeasibleError",
    "Latest",
    "MonthsAhead",
    "Move",
    "Network",
    "Schedule",
    "ScheduleRow",
    "Task",
    "Wait",
    "compute_earliest",
    "compute_latest",
    "compute_schedule",
    "earliest_days",
    "latest_days",
]


class Latest(NamedTuple):
    """The latest days of one task; a named tuple because planners make very many of them.

    Units: *finish* is the last day the task may be finished, for an act an open day; *start* the
    last day by which all it waits for must be finished. Both are None when nothing limits it.
    *bound_by* is the task that forces it (one that waits for it, or the other end of a gap),
    ``"limit"`` for a limit of its own, or None.
    """

    id: str
    start: int | None
    finish: int | None
    bound_by: str | None


class Earliest(NamedTuple):
    """The earliest days of one task; a named tuple because planners make very many of them.

    Units: *start* is the first day all it waits for is finished, *finish* the first day it can be
    finished itself. *bound_by* is the task that forces it, or ``"not_before"``, ``"today"`` or
    ``"done"``.
    """

    id: str
    start: int
    finish: int
    bound_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleRow:
    """The days of one task and the room between them.

    Units: days are ordinals, slack is calendar days. *slack_days* is how far the finish can slip
    and the target still be met, *free_slack_days* how far without moving any other task. Negative
    slack is how many days the task is late already. *critical* marks the undone tasks with the
    least slack.
    """

    id: str
    earliest_start: int
    earliest_finish: int
    latest_start: int
    latest_finish: int
    slack_days: int
    free_slack_days: int
    critical: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """All rows in order of work, the earliest day everything is finished, and the target used.

    Shape: *critical_path* is one chain of ids, the one that sets *finish*, in order of work.
    """

    rows: tuple[ScheduleRow, ...]
    critical_path: tuple[str, ...]
    finish: int
    target: int


def compute_earliest(network: Network, *, today: int | None = None) -> tuple[Earliest, ...]:
    """Compute the earliest days of every task, and what forces each.

    Shape: in network order. A done task stays on its day. An act still to do is not before
    *today*. A wait under way counts from the finish of what it waited for, and is not over before
    *today*. `Task.not_after` is not looked at: compare with the latest days. Of several equal
    reasons the task's own day comes first, then a gap, then the first task in network order.

    Raises:
        ValueError: without *today*, a task has nothing to start from.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept.
    """
    early = find_earliest(network, today)
    reasons = _name_early_reasons(network, early)
    rows = zip(network.order, early.starts, early.finishes, reasons, strict=True)
    return tuple(map(Earliest._make, rows))


def compute_latest(network: Network, *, limits: Mapping[str, int]) -> tuple[Latest, ...]:
    """Compute the latest days of every task so that every limit holds, and what forces each.

    Shape: in network order. *limits* maps task ids to the last day they may be finished, beside
    `Task.not_after`. A day worked out on a closed day moves earlier for an act, never later. What
    is done already is given the day it should have been done by. Of several equal reasons the
    task's own limit comes first, then a gap, then the first task in network order.

    Raises:
        ValueError: *limits* names an unknown task.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept, or a task still to do would have to start
            before its `Task.not_before`.
    """
    late = find_latest(network, limits)
    _check_not_before(network, late)
    starts, finishes = hide_no_limit(late.starts), hide_no_limit(late.finishes)
    reasons = _name_late_reasons(network, network.plan_backward(tuple(limits)), late)
    return tuple(map(Latest._make, zip(network.order, starts, finishes, reasons, strict=True)))


def compute_schedule(
    tasks: Sequence[Task],
    *,
    start: int | None = None,
    target: int | None = None,
    gaps: Sequence[Gap] = (),
) -> Schedule:
    """Compute earliest and latest days, slack and the critical path of any network.

    Shape: rows in order of work. *start* is the first day anything still to do may start; None
    leaves it to `Task.not_before`. *target* is the last day everything may be finished; None takes
    the earliest finish of the whole. A target that cannot be met gives negative slack.

    Raises:
        ValueError: no tasks, a wrong id, or a task has nothing to start from.
        CycleFoundError: tasks wait for one another in a ring.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept.

    >>> from datetime import date
    >>> from compliance.base.calendars import build_every_day
    >>> from compliance.base.holidays import build_postal_calendar
    >>> span = date(2027, 1, 1), date(2027, 12, 31)
    >>> mail, every = build_postal_calendar(*span), build_every_day("days", *span)
    >>> plan = compute_schedule(
    ...     [
    ...         Task(id="sign", move=Act(calendar=every)),
    ...         Task(id="mail", move=Act(calendar=mail), after=("sign",)),
    ...         Task(id="post", move=Wait(calendar=mail, days=3), after=("mail",)),
    ...         Task(id="review", move=Wait(calendar=every, days=30), after=("post",)),
    ...         Task(id="buy tank", move=Wait(calendar=every, days=20)),
    ...     ],
    ...     start=date(2027, 2, 6).toordinal(),
    ... )
    >>> plan.critical_path
    ('sign', 'mail', 'post', 'review')
    >>> for row in plan.rows:
    ...     print(row.id, date.fromordinal(row.latest_finish), row.slack_days, row.critical)
    sign 2027-02-06 0 True
    mail 2027-02-06 0 True
    post 2027-02-10 0 True
    review 2027-03-12 0 True
    buy tank 2027-03-12 14 False
    """
    network = Network(tasks, gaps)
    if not network.tasks:
        raise ValueError("a schedule needs at least one task")
    early = find_earliest(network, start)
    finish = max(early.finishes)
    goal = finish if target is None else target
    ends = (name for name, later in zip(network.order, network.after, strict=True) if not later)
    late = find_latest(network, dict.fromkeys(ends, goal))
    slacks = [last - first for first, last in zip(early.finishes, late.finishes, strict=True)]
    undone = [slack for slack, task in zip(slacks, network.tasks, strict=True) if not _done(task)]
    least = min(undone, default=None)
    rows = tuple(
        ScheduleRow(
            id=task.id,
            earliest_start=early.starts[at],
            earliest_finish=early.finishes[at],
            latest_start=late.starts[at],
            latest_finish=late.finishes[at],
            slack_days=slacks[at],
            free_slack_days=_free_slack(network, at, early, goal),
            critical=slacks[at] == least and not _done(task),
        )
        for at, task in enumerate(network.tasks)
    )
    path = _trace_path(network, early)
    return Schedule(rows=rows, critical_path=path, finish=finish, target=goal)


def _name_early_reasons(network: Network, early: Found) -> list[str]:
    names, values = network.names, early.values
    if early.pushed_by:
        partners = {network.gap_floors[one]: then for one, then in early.pushed_by.items()}
        names = tuple(
            network.order[partners[at]] if at in partners else name for at, name in enumerate(names)
        )
    reasons = []
    for one, others, *_ in network.forward_steps:
        best = one
        for other in others:
            if values[other] > values[best]:
                best = other
        reasons.append(names[best])
    if len(reasons) == len(network.tasks):
        return reasons
    shift = len(values) - len(reasons)
    return [
        reasons[start] if reasons[end - shift] == name else reasons[end - shift]
        for name, start, end in zip(network.order, network.start_at, network.finish_at, strict=True)
    ]


def _name_late_reasons(network: Network, plan: BackwardPlan, late: Found) -> list[str | None]:
    starts, order, limits = late.starts, network.order, late.bounds
    reasons: list[str | None] = []
    for at, behind in enumerate(network.after):
        least, reason = NO_LIMIT, None
        if at in plan.slots:
            least = limits[plan.slots[at]]
            reason = order[late.pushed_by[at]] if at in late.pushed_by else "limit"
        for one in behind:
            if starts[one] < least:
                least, reason = starts[one], order[one]
        reasons.append(reason)
    return reasons


def _check_not_before(network: Network, late: Found) -> None:
    for task, start in zip(network.tasks, late.starts, strict=True):
        if task.not_before is not None and start < task.not_before and task.done_on is None:
            raise InfeasibleError(
                f"{task.id!r} must start by {describe_day(start)} "
                f"but cannot start before {describe_day(task.not_before)}",
                task.id,
            )


def _free_slack(network: Network, at: int, early: Found, target: int) -> int:
    later = [early.starts[one] for one in network.after[at]]
    return min(later, default=target) - early.finishes[at]


def _trace_path(network: Network, early: Found) -> tuple[str, ...]:
    reasons = _name_early_reasons(network, early)
    latest = max(early.finishes)
    at: int | None = max(one for one, day in enumerate(early.finishes) if day == latest)
    path: list[str] = []
    # A pushed task and its partner may name each other, so a name seen before ends the walk.
    while at is not None and network.order[at] not in path:
        path.append(network.order[at])
        at = network.index.get(reasons[at])
    return tuple(reversed(path))


def _done(task: Task) -> bool:
    return task.done_on is not None
