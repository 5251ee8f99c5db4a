"""The forward and the backward pass over a network, repeated while freshness rules push."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from compliance.base.calendars import OutOfRangeError, describe_day
from compliance.engine.moves import Act, InfeasibleError
from compliance.engine.network_core import NO_LIMIT, BackwardPlan, Network

NO_DAY = -1
"""Stands for "no today" inside the passes; before any day."""


class Found(NamedTuple):
    """What the passes found.

    Shape: *starts* and *finishes* in network order; *bounds* are the floors or limits after the
    gaps pushed them; *pushed_by* maps the place of a pushed task to its partner's, the last pushed
    at the end. Of the forward pass *values* is the whole row, of the backward pass it is empty.
    """

    starts: list[int]
    finishes: list[int]
    values: list[int]
    bounds: list[int]
    pushed_by: Mapping[int, int]


def earliest_days(network: Network, today: int | None = None) -> tuple[list[int], list[int]]:
    """Compute the earliest start and finish of every task as plain lists.

    Shape: in network order, starts first. The quick form of `compute_earliest`.

    Raises:
        ValueError: without *today*, a task has nothing to start from.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept.
    """
    if network.gaps:
        found = find_earliest(network, today)
        return found.starts, found.finishes
    starts, finishes, _ = _pass_forward(network, network.floors, _check_today(network, today))
    return starts, finishes


def latest_days(
    network: Network, limits: Mapping[str, int]
) -> tuple[Sequence[int | None], Sequence[int | None]]:
    """Compute the latest start and finish of every task as plain lists.

    Shape: in network order, starts first; None where nothing limits a task. The quick form of
    `compute_latest`, and it does not compare the days with `Task.not_before`.

    Raises:
        ValueError: *limits* names an unknown task.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept.
    """
    if network.gaps:
        found = find_latest(network, limits)
        starts, finishes = found.starts, found.finishes
    else:
        plan, highs = _place_limits(network, limits)
        starts, finishes = _pass_backward(network, plan, highs)
        if len(plan.places) == len(network.tasks):
            return starts, finishes
    return hide_no_limit(starts), hide_no_limit(finishes)


def hide_no_limit(days: Sequence[int]) -> list[int | None]:
    """Write None where `NO_LIMIT` stands."""
    return [None if day == NO_LIMIT else day for day in days]


def find_earliest(network: Network, today: int | None) -> Found:
    """Find the least days that keep every rule, and what the gaps pushed.

    Shape: one pass when there are no gaps. Otherwise every further pass follows a push of a day
    or more towards the end of the calendars, so there are only so many.

    Raises:
        ValueError: without *today*, a task has nothing to start from.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept.
    """
    now = _check_today(network, today)
    floors = network.floors.copy()
    starts, finishes, values = _pass_forward(network, floors, now)
    pushed_by: dict[int, int] = {}
    while network.gaps and _push_later(network, floors, finishes, pushed_by):
        try:
            starts, finishes, values = _pass_forward(network, floors, now)
        except OutOfRangeError as error:
            raise _give_up(network, pushed_by) from error
    return Found(starts, finishes, values, floors, pushed_by)


def find_latest(network: Network, limits: Mapping[str, int]) -> Found:
    """Find the greatest days that keep every rule, and what the gaps pushed.

    Shape: one pass when there are no gaps. Otherwise every further pass follows a push of a day
    or more towards the beginning of the calendars, so there are only so many. `NO_LIMIT` stands
    where nothing limits a task.

    Raises:
        ValueError: *limits* names an unknown task.
        OutOfRangeError: a day leaves the calendars.
        InfeasibleError: the gaps cannot all be kept.
    """
    plan, highs = _place_limits(network, limits)
    starts, finishes = _pass_backward(network, plan, highs.copy())
    pushed_by: dict[int, int] = {}
    while network.gaps and _push_earlier(network, plan, highs, (starts, finishes), pushed_by):
        try:
            starts, finishes = _pass_backward(network, plan, highs.copy())
        except OutOfRangeError as error:
            raise _give_up(network, pushed_by) from error
    return Found(starts, finishes, [], highs, pushed_by)


def _check_today(network: Network, today: int | None) -> int:
    if today is not None:
        if not network.first <= today <= network.last:
            network.check_day(today, "today")
        return today
    if network.startless:
        raise ValueError(f"task {network.startless[0]!r} has no day to start from")
    return NO_DAY


def _place_limits(network: Network, limits: Mapping[str, int]) -> tuple[BackwardPlan, list[int]]:
    plan = network.plan_backward(tuple(limits))
    highs = plan.limits.copy()
    for at, name in plan.own:
        day = limits[name]
        if not network.first <= day <= network.last:
            network.check_day(day, "the limit of a task")
        if day < highs[at]:  # noqa: PLR1730 - min() takes twice as long
            highs[at] = day
    return plan, highs


def _pass_forward(
    network: Network, floors: list[int], today: int
) -> tuple[list[int], list[int], list[int]]:
    values = [today, *floors]
    starts: list[int] = []
    add_value, add_start = values.append, starts.append
    try:
        for one, others, counts, edge, days in network.forward_steps:
            start = values[one]
            if others:
                for other in others:
                    if values[other] > start:  # noqa: PLR1730 - max() takes twice as long
                        start = values[other]
            add_start(start)
            add_value(days[counts[start - edge]])
    except IndexError:
        raise _ran_out(network.names[len(values)], network.last, "after") from None
    if len(starts) == len(network.tasks):
        return starts, values[len(floors) + 1 :], values
    finishes = [values[at] for at in network.finish_at]
    return [starts[at] for at in network.start_at], finishes, values


def _pass_backward(
    network: Network, plan: BackwardPlan, values: list[int]
) -> tuple[list[int], list[int]]:
    count = len(values)
    finishes: list[int] = []
    add_value, add_finish = values.append, finishes.append
    try:
        for one, others, counts, edge, days in plan.steps:
            finish = values[one]
            if others:
                for other in others:
                    if values[other] < finish:  # noqa: PLR1730 - min() takes twice as long
                        finish = values[other]
            add_finish(finish)
            add_value(days[counts[edge - finish]])
    except IndexError:
        name = network.order[plan.places[len(values) - count]]
        raise _ran_out(name, network.first, "before") from None
    starts = values[count:]
    for at in plan.acts:
        finishes[at] = starts[at]
    if len(starts) == len(network.tasks):
        return starts[::-1], finishes[::-1]
    return _fill_in(network, plan, starts), _fill_in(network, plan, finishes)


def _fill_in(network: Network, plan: BackwardPlan, days: list[int]) -> list[int]:
    filled = [NO_LIMIT] * len(network.tasks)
    for at, day in zip(plan.places, days, strict=True):
        filled[at] = day
    return filled


def _push_later(
    network: Network, floors: list[int], finishes: list[int], pushed_by: dict[int, int]
) -> bool:
    """Move on the tasks that would be stale, to the least start that keeps each gap."""
    moved = False
    for first, then, days in network.gaps:
        need = finishes[then] - days
        if finishes[first] >= need:
            continue
        task = network.tasks[first]
        if task.done_on is not None:
            raise InfeasibleError(
                f"{network.order[then]!r} cannot be finished before "
                f"{describe_day(finishes[then])}, but must be at most {days} days after "
                f"{task.id!r}, done on {describe_day(task.done_on)}",
                network.order[then],
            )
        pushed_by.pop(first, None)  # so that the last push stands last
        pushed_by[first] = then
        if not isinstance(task.move, Act):
            # By the law of the moves: the first start whose finish is not before `need`.
            need = task.move.backward(need - 1) + 1
        floors[network.gap_floors[first] - 1] = need
        moved = True
    return moved


def _push_earlier(
    network: Network,
    plan: BackwardPlan,
    highs: list[int],
    days: tuple[list[int], list[int]],
    pushed_by: dict[int, int],
) -> bool:
    """Move back the tasks that would come too long after the first of their gap."""
    starts, finishes = days
    moved = False
    for first, then, at_most in network.gaps:
        task = network.tasks[first]
        if task.done_on is not None:
            high = task.done_on + at_most
        elif starts[first] == NO_LIMIT:
            continue
        else:
            high = task.move.forward(starts[first]) + at_most
        if finishes[then] > high:
            pushed_by.pop(then, None)  # so that the last push stands last
            pushed_by[then] = first
            highs[plan.slots[then]] = high
            moved = True
    return moved


def _give_up(network: Network, pushed_by: Mapping[int, int]) -> InfeasibleError:
    last, partner = list(pushed_by.items())[-1]
    name, other = network.order[last], network.order[partner]
    return InfeasibleError(
        f"no days keep {name!r} and {other!r} close enough together: "
        f"{name!r} was pushed off the calendar",
        name,
    )


def _ran_out(name: str, edge: int, side: str) -> OutOfRangeError:
    return OutOfRangeError(
        f"{name!r} would fall {side} {describe_day(edge)}, where the calendars of this plan end"
    )
