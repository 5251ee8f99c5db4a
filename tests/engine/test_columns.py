"""The passes over columns give the days of the list passes, row by row, and refuse what those do.

The list passes are checked against printed networks and networkx elsewhere.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from random import Random

import numpy as np
import pytest

from compliance.base.calendars import OutOfRangeError, build_calendar, build_every_day
from compliance.base.holidays import build_federal_calendar, build_postal_calendar
from compliance.engine.columns import ManyDays, schedule_many
from compliance.engine.columns_passes import Columns, Given
from compliance.engine.schedule import (
    Act,
    Gap,
    InfeasibleError,
    MonthsAhead,
    Move,
    Network,
    Task,
    Wait,
    earliest_days,
    latest_days,
)

SPAN = date(2025, 1, 1), date(2029, 12, 31)
EVERY = build_every_day("every day", *SPAN)
FEDERAL = build_federal_calendar(*SPAN)
POSTAL = build_postal_calendar(*SPAN)
TUESDAYS = build_calendar("tuesdays", *SPAN, weekdays=frozenset({1}))
CALENDARS = (EVERY, FEDERAL, POSTAL, TUESDAYS)
TODAY = date(2027, 1, 11).toordinal()
LIMIT = date(2027, 12, 1).toordinal()


def draw_move(random: Random) -> Move:
    kind = random.random()
    if kind < 0.4:
        return Act(calendar=random.choice(CALENDARS))
    if kind < 0.92:
        return Wait(calendar=random.choice(CALENDARS[:3]), days=random.randint(0, 20))
    return MonthsAhead(months=random.randint(0, 2), end_of_month=random.random() < 0.5)


def draw_network(random: Random, *, gaps: bool) -> Network:
    tasks: list[Task] = []
    for at in range(random.randint(2, 12)):
        before = random.sample(range(at), min(at, random.randint(0, 3)))
        task = Task(id=f"t{at}", move=draw_move(random), after=tuple(f"t{one}" for one in before))
        done = all(tasks[one].done_on is not None for one in before) and random.random() < 0.2
        tasks.append(
            replace(
                task,
                not_before=TODAY + random.randint(-20, 60) if random.random() < 0.15 else None,
                done_on=TODAY - random.randint(0, 60) if done else None,
            )
        )
    found = []
    if gaps:
        for task in tasks:
            open_before = [one for one in task.after if tasks[int(one[1:])].done_on is None]
            if open_before and task.done_on is None and random.random() < 0.3:
                found.append(
                    Gap(first=open_before[0], then=task.id, at_most_days=random.randint(8, 40))
                )
    return Network(tasks, found)


def by_lists(
    network: Network, today: int, limits: dict[str, int]
) -> tuple[list[list[int]], list[list[int | None]]]:
    return (
        [list(days) for days in earliest_days(network, today)],
        [list(days) for days in latest_days(network, limits)],
    )


def row_of(found: ManyDays, row: int) -> tuple[list[list[int]], list[list[int | None]]]:
    early = [
        [int(column[row]) + found.base for column in columns]
        for columns in (found.early_starts, found.early_finishes)
    ]
    late = [
        [None if column is None else int(column[row]) + found.base for column in columns]
        for columns in (found.late_starts, found.late_finishes)
    ]
    return early, late


@pytest.mark.slow
def test_hundred_thousand_rows_are_those_of_the_lists() -> None:
    """Rows with a day to begin and limits of their own: every date of every row."""
    random = Random(20_270_111)  # noqa: S311 - chooses examples, keeps no secret
    rows = 0
    for _ in range(100):
        network = draw_network(random, gaps=False)
        names = random.sample(network.order, random.randint(1, min(3, len(network.order))))
        today = np.array([TODAY + random.randint(0, 200) for _ in range(1_000)])
        limits = {
            name: np.array([LIMIT + random.randint(-60, 60) for _ in range(1_000)])
            for name in names
        }

        found = schedule_many(network, today=today, limits=limits)

        for row in range(1_000):
            own = {name: int(column[row]) for name, column in limits.items()}
            assert row_of(found, row) == by_lists(network, int(today[row]), own)
        rows += found.rows
    assert rows == 100_000


@pytest.mark.parametrize("seed", range(40))
def test_rows_with_days_and_done_days_of_their_own(seed: int) -> None:
    """What differs from row to row may be anything: each row is a network of its own."""
    random = Random(seed)  # noqa: S311 - chooses examples, keeps no secret
    network = draw_network(random, gaps=False)
    waits = [task.id for task in network.tasks if isinstance(task.move, Wait)]
    days = {name: np.array([random.randint(0, 30) for _ in range(30)]) for name in waits[::2]}
    roots = [task.id for task in network.tasks if not task.after]
    done = {
        name: np.array([random.choice((0, TODAY - 9, TODAY - 40)) for _ in range(30)])
        for name in roots[:2]
    }

    found = schedule_many(
        network, today=TODAY, limits={network.order[-1]: LIMIT}, days=days, done_on=done
    )

    for row in range(30):
        tasks = []
        for task in network.tasks:
            move = task.move
            if task.id in days and isinstance(move, Wait):
                move = replace(move, days=int(days[task.id][row]))
            day = int(done[task.id][row]) or None if task.id in done else task.done_on
            tasks.append(replace(task, move=move, done_on=day))
        alone = Network(tasks)
        assert row_of(found, row) == by_lists(alone, TODAY, {network.order[-1]: LIMIT})


@pytest.mark.parametrize("seed", range(60))
def test_freshness_rules_push_as_in_the_lists(seed: int) -> None:
    """Each row is pushed on its own; what the lists refuse is refused."""
    random = Random(seed)  # noqa: S311 - chooses examples, keeps no secret
    network = draw_network(random, gaps=True)
    today = np.array([TODAY + random.randint(0, 120) for _ in range(40)])
    limits = np.array([LIMIT + random.randint(-40, 40) for _ in range(40)])
    name = network.order[-1]
    try:
        expected = [
            by_lists(network, int(one), {name: int(two)})
            for one, two in zip(today, limits, strict=True)
        ]
    except (InfeasibleError, OutOfRangeError):
        with pytest.raises((InfeasibleError, OutOfRangeError)):
            schedule_many(network, today=today, limits={name: limits})
        return

    found = schedule_many(network, today=today, limits={name: limits})

    assert [row_of(found, row) for row in range(40)] == expected


def test_tasks_passed_over_take_no_time() -> None:
    """A task without its row in ``active`` is a wait of no days in that row."""
    network = Network(
        [
            Task(id="review", move=Wait(calendar=EVERY, days=10)),
            Task(id="mend", move=Act(calendar=TUESDAYS), after=("review",)),
            Task(id="review~2", move=Wait(calendar=FEDERAL, days=10), after=("mend",)),
            Task(id="in-hand", move=Wait(calendar=EVERY, days=0), after=("review~2",)),
        ]
    )
    columns = Columns(network)
    given = Given(
        rows=3,
        today=columns.tables.number(TODAY, "today"),
        active={1: np.array([1]), 2: np.array([1])},
    )
    once = Network([replace(network.tasks[0]), replace(network.tasks[3], after=("review",))])

    early = columns.forward(given).finishes[3]
    late = columns.backward({3: columns.tables.number(LIMIT, "limit")}, given).starts[0]

    assert early is not None
    assert late is not None
    first = columns.tables.base
    short = earliest_days(once, TODAY)[1][-1], latest_days(once, {"in-hand": LIMIT})[0][0]
    whole = earliest_days(network, TODAY)[1][-1], latest_days(network, {"in-hand": LIMIT})[0][0]
    assert [int(day) + first for day in early] == [short[0], whole[0], short[0]]
    assert [int(day) + first for day in late] == [short[1], whole[1], short[1]]


def chain() -> Network:
    return Network(
        [
            Task(id="mail", move=Act(calendar=POSTAL)),
            Task(id="review", move=Wait(calendar=FEDERAL, days=15), after=("mail",)),
        ]
    )


def test_row_that_leaves_the_calendar_is_named() -> None:
    late = np.array([TODAY, SPAN[1].toordinal() - 3])
    early = np.array([LIMIT, LIMIT, SPAN[0].toordinal() + 3])

    with pytest.raises(OutOfRangeError) as after:
        schedule_many(chain(), today=late)
    with pytest.raises(OutOfRangeError) as before:
        schedule_many(chain(), limits={"review": early})

    assert str(after.value) == (
        "in row 1 'review' would fall after 2029-12-31, where the calendars of this plan end"
    )
    assert str(before.value) == (
        "in row 2 'review' would fall before 2025-01-01, where the calendars of this plan end"
    )


def test_day_outside_the_calendar_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as info:
        schedule_many(chain(), today=np.array([TODAY, 1]))

    assert str(info.value) == ("today of row 1 (day number 1) is outside the days planned for")


def test_what_makes_no_sense_is_refused() -> None:
    fresh = Network(chain().tasks, [Gap(first="mail", then="review", at_most_days=60)])
    done = {"mail": np.array([TODAY, 0])}
    calls: list[Callable[[], object]] = [
        lambda: schedule_many(chain()),
        lambda: schedule_many(chain(), today=TODAY, days={"mail": 3}),
        lambda: schedule_many(chain(), today=TODAY, days={"review": np.array([3, -1])}),
        lambda: schedule_many(chain(), today=TODAY, limits={"file": LIMIT}),
        lambda: schedule_many(
            chain(), today=np.array([TODAY] * 2), limits={"mail": np.array([LIMIT] * 3)}
        ),
        lambda: schedule_many(fresh, today=TODAY, done_on=done),
        lambda: schedule_many(chain(), today=np.array([1.5])),
    ]
    found = []
    for call in calls:
        with pytest.raises(ValueError) as info:  # noqa: PT011 - the whole messages are compared
            call()
        found.append(str(info.value))

    assert found == [
        "give today for earliest days, limits for latest days, or both",
        "'mail' is no wait and takes no days",
        "the days of 'review' cannot be fewer than 0 days, got -1",
        "a limit named for the unknown task 'file'",
        "the arrays have different lengths: [2, 3]",
        (
            "'mail' has a freshness rule and cannot be done on other days in other rows; put rows "
            "in which it is done into a network of their own"
        ),
        "today must be a whole number or a column of them",
    ]


def test_days_not_asked_for_are_not_given() -> None:
    found = schedule_many(chain(), limits={"mail": LIMIT})

    calls: list[tuple[Callable[[], object], str]] = [
        (lambda: found.earliest("mail"), "that pass was not asked for"),
        (lambda: found.latest("file"), "no task is called 'file'"),
        (lambda: found.latest("review"), "nothing limits 'review'"),
    ]
    for call, message in calls:
        with pytest.raises(ValueError) as info:  # noqa: PT011 - the whole message is compared
            call()
        assert str(info.value) == message
    assert found.latest("mail").tolist() == [LIMIT]


def test_years_without_end_need_wider_numbers() -> None:
    """Days are kept in 16 bits where they fit; the days found are the same in 32."""
    long = build_every_day("long", date(1950, 1, 1), date(2079, 12, 31))
    network = Network(
        [
            Task(id="mail", move=Act(calendar=long)),
            Task(id="review", move=Wait(calendar=long, days=40_000), after=("mail",)),
        ]
    )
    today = date(1960, 5, 2).toordinal()

    found = schedule_many(network, today=today)

    assert found.early_finishes[0].dtype == np.int32
    assert found.earliest("review").tolist() == [today + 40_000]
