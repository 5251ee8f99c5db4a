"""The passes on random networks against slower ways that cannot share their faults."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import product
from random import Random

import networkx as nx
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from compliance.base.calendars import (
    DayCalendar,
    OutOfRangeError,
    build_calendar,
    build_every_day,
)
from compliance.base.holidays import build_federal_calendar, build_postal_calendar
from compliance.engine.schedule import (
    Act,
    Gap,
    InfeasibleError,
    MonthsAhead,
    Move,
    Network,
    Task,
    Wait,
    compute_earliest,
    compute_latest,
    compute_schedule,
    earliest_days,
    latest_days,
)

SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=200)

SPAN = date(2026, 1, 1), date(2028, 12, 31)
EVERY = build_every_day("every day", *SPAN)
FEDERAL = build_federal_calendar(*SPAN)
POSTAL = build_postal_calendar(*SPAN)
TODAY = date(2027, 1, 11).toordinal()
LIMIT = date(2027, 10, 1).toordinal()

CALENDARS = st.sampled_from([EVERY, FEDERAL, POSTAL])
MOVES = st.one_of(
    st.builds(Act, calendar=CALENDARS),
    st.builds(Wait, calendar=CALENDARS, days=st.integers(min_value=0, max_value=15)),
    st.builds(
        MonthsAhead,
        months=st.integers(min_value=0, max_value=2),
        end_of_month=st.booleans(),
    ),
)
NEAR = st.integers(min_value=TODAY - 30, max_value=TODAY + 30)


@st.composite
def plans(draw: st.DrawFn, *, with_log: bool = False) -> list[Task]:
    tasks: list[Task] = []
    for at in range(draw(st.integers(min_value=1, max_value=8))):
        before = draw(st.sets(st.integers(min_value=0, max_value=at - 1), max_size=3)) if at else ()
        task = Task(id=f"t{at}", move=draw(MOVES), after=tuple(f"t{one}" for one in sorted(before)))
        if with_log:
            # A log has a beginning: what is done has everything before it done.
            done = all(tasks[one].done_on is not None for one in before) and draw(st.booleans())
            task = replace(
                task,
                not_before=draw(st.none() | NEAR),
                done_on=draw(st.integers(TODAY - 60, TODAY)) if done else None,
            )
        tasks.append(task)
    return tasks


# --- against plain recursion


def slow_earliest(tasks: list[Task], today: int) -> tuple[list[int], list[int]]:
    """The words of the design, one task at a time, with the moves and nothing else."""
    starts: dict[str, int] = {}
    finishes: dict[str, int] = {}
    for task in tasks:
        if task.done_on is not None:
            starts[task.id] = finishes[task.id] = task.done_on
            continue
        known = [finishes[name] for name in task.after]
        known += [task.not_before] if task.not_before is not None else []
        known += [today] if isinstance(task.move, Act) or not task.after else []
        starts[task.id] = max(known)
        finishes[task.id] = max(task.move.forward(max(known)), today)
    return list(starts.values()), list(finishes.values())


@SETTINGS
@given(tasks=plans(with_log=True))
def test_earliest_equals_plain_recursion(tasks: list[Task]) -> None:
    assert earliest_days(Network(tasks), TODAY) == slow_earliest(tasks, TODAY)


@SETTINGS
@given(tasks=plans(with_log=True))
def test_earliest_reasons_hold(tasks: list[Task]) -> None:
    rows = {row.id: row for row in compute_earliest(Network(tasks), today=TODAY)}

    for task in tasks:
        row = rows[task.id]
        reasons = {
            "done": task.done_on == row.finish,
            "today": TODAY in {row.start, row.finish},
            "not_before": task.not_before == row.start,
        } | {name: rows[name].finish == row.start for name in task.after}
        assert reasons[row.bound_by]


@SETTINGS
@given(tasks=plans(), data=st.data())
def test_latest_reasons_hold(tasks: list[Task], data: st.DataObject) -> None:
    network = Network(tasks)
    limits = data.draw(
        st.dictionaries(st.sampled_from(network.order), st.integers(LIMIT - 20, LIMIT))
    )

    rows = {row.id: row for row in compute_latest(network, limits=limits)}

    for task in tasks:
        row = rows[task.id]
        bounds = {"limit": limits.get(task.id)} | {
            one.id: rows[one.id].start for one in tasks if task.id in one.after
        }
        days = [day for day in bounds.values() if day is not None]
        if not days:
            assert (row.start, row.finish, row.bound_by) == (None, None, None)
            continue
        assert row.bound_by is not None
        assert bounds[row.bound_by] == min(days)
        assert row.start == task.move.backward(min(days))
        assert row.finish == (row.start if isinstance(task.move, Act) else min(days))


# --- working back and forward agree


def keeps_limit(tasks: list[Task], limits: dict[str, int]) -> bool:
    network = Network(tasks)
    _, finishes = earliest_days(network, SPAN[0].toordinal())
    return all(finishes[network.index[name]] <= day for name, day in limits.items())


@SETTINGS
@given(tasks=plans())
def test_work_back_day_makes_it_and_one_day_later_does_not(tasks: list[Task]) -> None:
    limits = {task.id: LIMIT for task in tasks}
    starts, _ = latest_days(Network(tasks), limits)

    for at, (task, start) in enumerate(zip(tasks, starts, strict=True)):
        assert start is not None
        on_day, day_later = list(tasks), list(tasks)
        on_day[at] = replace(task, not_before=start)
        day_later[at] = replace(task, not_before=start + 1)
        assert keeps_limit(on_day, limits)
        assert not keeps_limit(day_later, limits)


def all_latest(tasks: list[Task], limit: int = LIMIT) -> list[int | None]:
    return list(latest_days(Network(tasks), {task.id: limit for task in tasks})[0])


def none_later(changed: list[int | None], base: list[int | None]) -> bool:
    pairs = zip(changed, base, strict=True)
    return all(one is not None and two is not None and one <= two for one, two in pairs)


@SETTINGS
@given(tasks=plans(), more=st.integers(min_value=1, max_value=10), data=st.data())
def test_more_lead_never_moves_a_latest_day_later(
    tasks: list[Task], more: int, data: st.DataObject
) -> None:
    at = data.draw(st.integers(min_value=0, max_value=len(tasks) - 1))
    move = tasks[at].move
    assume(isinstance(move, Wait))
    assert isinstance(move, Wait)
    longer = list(tasks)
    longer[at] = replace(tasks[at], move=replace(move, days=move.days + more))

    assert none_later(all_latest(longer), all_latest(tasks))


@SETTINGS
@given(tasks=plans(), off=st.lists(st.dates(date(2026, 6, 1), date(2027, 10, 1)), max_size=20))
def test_more_closed_days_never_move_a_latest_day_later(tasks: list[Task], off: list[date]) -> None:
    fewer = {
        id(FEDERAL): build_federal_calendar(*SPAN, closed=off),
        id(POSTAL): build_postal_calendar(*SPAN, closed=off),
    }

    def with_fewer(move: Move) -> Move:
        if isinstance(move, MonthsAhead):
            return move
        return replace(move, calendar=fewer.get(id(move.calendar), move.calendar))

    changed = [replace(task, move=with_fewer(task.move)) for task in tasks]

    assert none_later(all_latest(changed), all_latest(tasks))


@SETTINGS
@given(tasks=plans(), later=st.integers(min_value=1, max_value=60))
def test_later_target_never_makes_a_latest_day_earlier(tasks: list[Task], later: int) -> None:
    assert none_later(all_latest(tasks), all_latest(tasks, LIMIT + later))


# --- against networkx


@SETTINGS
@given(
    lengths=st.lists(st.integers(min_value=0, max_value=9), min_size=1, max_size=15),
    data=st.data(),
)
def test_finish_equals_longest_path_of_networkx(lengths: list[int], data: st.DataObject) -> None:
    size = len(lengths)
    arcs = data.draw(
        st.sets(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=30)
    )
    arcs = {(one, two) for one, two in arcs if one < two}
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(size + 1))
    graph.add_edges_from((one, two, {"weight": lengths[one]}) for one, two in arcs)
    # An end behind every job, so that the length of the last one counts.
    graph.add_edges_from((one, size, {"weight": lengths[one]}) for one in range(size))

    plan = compute_schedule(
        [
            Task(
                id=str(at),
                move=Wait(calendar=EVERY, days=days),
                after=tuple(str(one) for one, two in sorted(arcs) if two == at),
            )
            for at, days in enumerate(lengths)
        ],
        start=TODAY,
    )

    assert plan.finish - TODAY == nx.dag_longest_path_length(graph, weight="weight")
    assert sum(lengths[int(name)] for name in plan.critical_path) == plan.finish - TODAY


# --- windows and gaps against trying every day

SMALL_FIRST = date(2027, 1, 1)
SMALL_LENGTH = 9
SMALL_LOW = SMALL_FIRST.toordinal()
SMALL_HIGH = SMALL_LOW + SMALL_LENGTH - 1
CASES = 1000


def small_calendar(rnd: Random) -> DayCalendar:
    off = rnd.sample(range(SMALL_LENGTH), rnd.randint(0, 3))
    return build_calendar(
        "small",
        SMALL_FIRST,
        SMALL_FIRST + timedelta(days=SMALL_LENGTH - 1),
        weekdays=frozenset(range(7)),
        closed=[SMALL_FIRST + timedelta(days=day) for day in off],
    )


def small_plan(seed: int) -> tuple[list[Task], list[Gap]]:
    """Two to four tasks on two calendars with windows, a log and gaps; the seed fixes them."""
    rnd = Random(seed)  # noqa: S311 - test cases, not secrets
    size = rnd.choice((2, 3, 3, 3, 3, 3, 3, 4))
    calendars = [small_calendar(rnd), small_calendar(rnd)]

    def some_day(share: float) -> int | None:
        return rnd.randint(SMALL_LOW, SMALL_HIGH) if rnd.random() < share else None

    tasks: list[Task] = []
    for at in range(size):
        calendar, days = rnd.choice(calendars), rnd.randint(0, 3)
        move = Act(calendar=calendar) if rnd.random() < 0.4 else Wait(calendar=calendar, days=days)
        before = [str(one) for one in range(at) if rnd.random() < 0.4]
        tasks.append(
            Task(
                id=str(at),
                move=move,
                after=tuple(before),
                not_before=some_day(0.4),
                not_after=some_day(0.2),
                done_on=None if before else some_day(0.2),
            )
        )
    pairs = [rnd.sample(range(size), 2) for _ in range(rnd.randint(1, 3))]
    gaps = [Gap(first=str(a), then=str(b), at_most_days=rnd.randint(0, 4)) for a, b in pairs]
    return tasks, gaps


def finish_of(task: Task, start: int) -> int | None:
    try:
        return task.move.forward(start)
    except OutOfRangeError:
        return None


def gaps_kept(tasks: list[Task], gaps: list[Gap], finishes: dict[str, int]) -> bool:
    done = {task.id: task.done_on for task in tasks if task.done_on is not None}
    return all(
        finishes[gap.then] <= done.get(gap.first, finishes[gap.first]) + gap.at_most_days
        for gap in gaps
        if gap.then not in done
    )


def try_all(
    tasks: list[Task], gaps: list[Gap], *, forward: bool
) -> Iterator[tuple[dict[str, int], dict[str, int]]]:
    """Give every choice of starts that keeps order, gaps and the windows of that direction.

    Forward, done tasks are where they were done and there is no latest day. Backward, done tasks
    are planned like the others, except that a gap counts from the day they were done on.
    """
    choices = [
        [task.done_on]
        if forward and task.done_on is not None
        else [
            day
            for day in range(SMALL_LOW, SMALL_HIGH + 1)
            if (task.not_before is None or task.done_on is not None or day >= task.not_before)
            and (end := finish_of(task, day)) is not None
            and (forward or task.not_after is None or end <= task.not_after)
        ]
        for task in tasks
    ]
    names = [task.id for task in tasks]
    for days in product(*choices):
        starts = dict(zip(names, days, strict=True))
        finishes = {
            task.id: start if forward and task.done_on is not None else task.move.forward(start)
            for task, start in zip(tasks, days, strict=True)
        }
        ordered = all(
            starts[task.id] >= finishes[name]
            for task in tasks
            for name in task.after
            if not forward or task.done_on is None
        )
        if ordered and gaps_kept(tasks, gaps, finishes):
            yield starts, finishes


def test_earliest_with_gaps_equals_trying_every_day() -> None:
    pushed = infeasible = 0
    for seed in range(CASES):
        tasks, gaps = small_plan(seed)
        found = list(try_all(tasks, gaps, forward=True))
        try:
            rows = compute_earliest(Network(tasks, gaps), today=SMALL_LOW)
        except (InfeasibleError, OutOfRangeError):
            infeasible += 1
            assert found == [], seed
            continue
        pushed += rows != compute_earliest(Network(tasks), today=SMALL_LOW)

        assert found, seed
        assert [row.finish for row in rows] == [
            min(finishes[task.id] for _, finishes in found) for task in tasks
        ], seed
        # For an act the day it is done counts; it may wait from any closed day before.
        waits = [task.id for task in tasks if not isinstance(task.move, Act)]
        assert {row.id: row.start for row in rows if row.id in waits} == {
            name: min(starts[name] for starts, _ in found) for name in waits
        }, seed

    # The cases are worth something: many of each kind.
    assert min(pushed, infeasible, CASES - infeasible) > CASES // 20


def test_latest_with_gaps_equals_trying_every_day() -> None:
    pushed = infeasible = 0
    for seed in range(CASES):
        tasks, gaps = small_plan(seed)
        limits = {task.id: SMALL_HIGH for task in tasks}
        found = list(try_all(tasks, gaps, forward=False))
        try:
            rows = compute_latest(Network(tasks, gaps), limits=limits)
        except (InfeasibleError, OutOfRangeError):
            infeasible += 1
            assert found == [], seed
            continue
        pushed += rows != compute_latest(Network(tasks), limits=limits)

        assert found, seed
        assert [row.start for row in rows] == [
            max(starts[task.id] for starts, _ in found) for task in tasks
        ], seed

    assert min(pushed, infeasible, CASES - infeasible) > CASES // 20
