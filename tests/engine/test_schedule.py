"""The passes on small plans that can be followed on a wall calendar of January 2027."""

from datetime import date

import pytest

from compliance.base.calendars import OutOfRangeError, build_every_day
from compliance.base.holidays import build_federal_calendar, build_postal_calendar
from compliance.engine.schedule import (
    Act,
    CycleFoundError,
    Earliest,
    Gap,
    InfeasibleError,
    Latest,
    MonthsAhead,
    Network,
    Schedule,
    ScheduleRow,
    Task,
    Wait,
    compute_earliest,
    compute_latest,
    compute_schedule,
    earliest_days,
    latest_days,
)

SPAN = date(2027, 1, 1), date(2027, 3, 31)
EVERY = build_every_day("every day", *SPAN)
OFFICE = build_federal_calendar(*SPAN)
MAIL = build_postal_calendar(*SPAN)


def jan(number: int) -> int:
    return date(2027, 1, number).toordinal()


def feb(number: int) -> int:
    return date(2027, 2, number).toordinal()


def act(name: str, *after: str, done_on: int | None = None) -> Task:
    return Task(id=name, move=Act(calendar=MAIL), after=after, done_on=done_on)


def wait(name: str, days: int, *after: str) -> Task:
    return Task(id=name, move=Wait(calendar=EVERY, days=days), after=after)


def packet(signed_on: int | None = None, mailed_on: int | None = None) -> Network:
    """Sign, mail, three mail days, ten office days, fly."""
    return Network(
        [
            Task(id="sign", move=Act(calendar=EVERY), done_on=signed_on),
            act("mail", "sign", done_on=mailed_on),
            Task(id="post", move=Wait(calendar=MAIL, days=3), after=("mail",)),
            Task(id="review", move=Wait(calendar=OFFICE, days=10), after=("post",)),
            Task(id="fly", move=Act(calendar=EVERY), after=("review",)),
        ]
    )


# --- moves


def test_months_ahead_backward_from_a_month_end() -> None:
    one = MonthsAhead(months=1, end_of_month=False)

    # 28 to 31 January all give 28 February.
    assert one.backward(feb(28)) == jan(31)
    assert one.backward(feb(27)) == jan(27)


def test_months_ahead_backward_to_the_end_of_a_month() -> None:
    one = MonthsAhead(months=1, end_of_month=True)

    assert one.backward(feb(28)) == jan(31)
    # Any day of January would give 28 February, which is too late.
    assert one.backward(feb(27)) == date(2026, 12, 31).toordinal()


def test_months_ahead_beyond_the_years_of_dates() -> None:
    far = MonthsAhead(months=12 * 9000, end_of_month=False)

    with pytest.raises(OutOfRangeError):
        far.forward(jan(1))
    with pytest.raises(OutOfRangeError):
        far.backward(jan(1))
    with pytest.raises(OutOfRangeError, match="day number 0 is outside the years 1 to 9999"):
        far.backward(0)


def test_negative_lengths_are_refused() -> None:
    with pytest.raises(ValueError, match="fewer than 0 days, got -1"):
        Wait(calendar=EVERY, days=-1)
    with pytest.raises(ValueError, match="shorter than 0 months, got -1"):
        MonthsAhead(months=-1, end_of_month=False)
    with pytest.raises(ValueError, match="shorter than 0 days, got -1"):
        Gap(first="a", then="b", at_most_days=-1)


# --- building


def test_order_keeps_the_order_given_where_it_can() -> None:
    network = Network([act("c", "b"), act("a"), act("b"), act("d")])

    assert network.order == ("a", "b", "c", "d")
    assert dict(network.index) == {"a": 0, "b": 1, "c": 2, "d": 3}


def test_cycle_is_named() -> None:
    with pytest.raises(CycleFoundError) as caught:
        Network([act("x"), act("a", "x", "c"), act("b", "a"), act("c", "b"), act("y", "c")])

    assert caught.value.cycle == ("a", "b", "c", "a")
    assert caught.value.message == "these steps wait for one another: a -> b -> c -> a"


def test_task_that_waits_for_itself() -> None:
    with pytest.raises(CycleFoundError) as caught:
        Network([act("a", "a")])

    assert caught.value.cycle == ("a", "a")


def test_wrong_ids_are_refused() -> None:
    with pytest.raises(ValueError, match="two tasks are called 'a'"):
        Network([act("a"), act("b"), act("a")])
    with pytest.raises(ValueError, match="'a' waits for the unknown task 'b'"):
        Network([act("a", "b")])
    with pytest.raises(ValueError, match="cannot be called 'limit'"):
        Network([act("limit")])
    with pytest.raises(ValueError, match="a gap names the unknown task 'b'"):
        Network([act("a")], [Gap(first="a", then="b", at_most_days=1)])
    with pytest.raises(ValueError, match="a limit names the unknown task 'b'"):
        latest_days(Network([act("a")]), {"b": jan(1)})


OUTSIDE = date(2027, 4, 1).toordinal()


@pytest.mark.parametrize(
    ("task", "field"),
    [
        (Task(id="a", move=Act(calendar=MAIL), not_before=OUTSIDE), "not_before"),
        (Task(id="a", move=Act(calendar=MAIL), not_after=OUTSIDE), "not_after"),
        (Task(id="a", move=Act(calendar=MAIL), done_on=OUTSIDE), "done_on"),
    ],
    ids=["not_before", "not_after", "done_on"],
)
def test_days_of_a_task_outside_the_calendars(task: Task, field: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        Network([task])

    assert str(caught.value) == (
        f"{field} of 'a' (2027-04-01) is outside the days planned for, 2027-01-01 to 2027-03-31"
    )


# --- earliest


def test_earliest_from_today() -> None:
    # Saturday 2 January: signed at once, mailed the same Saturday, three mail days to Wednesday 6,
    # ten office days to Thursday 21 (King Day is Monday 18).
    assert compute_earliest(packet(), today=jan(2)) == (
        Earliest("sign", jan(2), jan(2), "today"),
        Earliest("mail", jan(2), jan(2), "sign"),
        Earliest("post", jan(2), jan(6), "mail"),
        Earliest("review", jan(6), jan(21), "post"),
        Earliest("fly", jan(21), jan(21), "review"),
    )


def test_earliest_wait_under_way_counts_from_its_predecessor() -> None:
    found = compute_earliest(packet(signed_on=jan(2), mailed_on=jan(4)), today=jan(5))

    assert found[:4] == (
        Earliest("sign", jan(2), jan(2), "done"),
        Earliest("mail", jan(4), jan(4), "done"),
        Earliest("post", jan(4), jan(7), "mail"),
        Earliest("review", jan(7), jan(22), "post"),
    )


def test_earliest_wait_that_should_be_over_is_not_over_before_today() -> None:
    found = compute_earliest(packet(signed_on=jan(2), mailed_on=jan(4)), today=jan(13))

    assert found[2:4] == (
        Earliest("post", jan(4), jan(13), "today"),
        Earliest("review", jan(13), jan(28), "post"),
    )


def test_earliest_act_behind_a_done_one_is_not_before_today() -> None:
    found = compute_earliest(packet(signed_on=jan(2)), today=jan(10))

    # 10 January is a Sunday.
    assert found[1] == Earliest("mail", jan(10), jan(11), "today")


def test_earliest_done_later_than_planned_is_kept() -> None:
    # Done before what it waited for: the log is believed.
    found = compute_earliest(Network([wait("a", 9), act("b", "a", done_on=jan(5))]), today=jan(4))

    assert found == (
        Earliest("a", jan(4), jan(13), "today"),
        Earliest("b", jan(5), jan(5), "done"),
    )


def test_earliest_not_before() -> None:
    tasks = [
        Task(id="a", move=Act(calendar=MAIL), not_before=jan(9)),
        Task(id="b", move=Wait(calendar=EVERY, days=2), after=("a",), not_before=jan(20)),
        Task(id="c", move=Wait(calendar=EVERY, days=2), after=("a",), not_before=jan(8)),
    ]

    assert compute_earliest(Network(tasks)) == (
        Earliest("a", jan(9), jan(9), "not_before"),
        Earliest("b", jan(20), jan(22), "not_before"),
        Earliest("c", jan(9), jan(11), "a"),
    )
    assert compute_earliest(Network(tasks), today=jan(11))[0] == Earliest(
        "a", jan(11), jan(11), "today"
    )


def test_earliest_equal_reasons_go_to_the_first_in_order() -> None:
    network = Network([wait("a", 3), wait("b", 3), wait("c", 1, "b", "a")])

    assert compute_earliest(network, today=jan(1))[2].bound_by == "a"


def test_earliest_months_ahead() -> None:
    network = Network(
        [act("a"), Task(id="b", move=MonthsAhead(months=1, end_of_month=True), after=("a",))]
    )

    assert earliest_days(network, jan(4)) == ([jan(4), jan(4)], [jan(4), feb(28)])


def test_earliest_without_calendars() -> None:
    network = Network([Task(id="a", move=MonthsAhead(months=24, end_of_month=False))])

    assert earliest_days(network, jan(31)) == ([jan(31)], [date(2029, 1, 31).toordinal()])


def test_earliest_needs_a_day_to_start_from() -> None:
    with pytest.raises(ValueError, match="task 'sign' has no day to start from"):
        compute_earliest(packet())


def test_earliest_refuses_a_today_outside() -> None:
    with pytest.raises(OutOfRangeError, match=r"today \(2026-12-31\) is outside"):
        compute_earliest(packet(), today=jan(1) - 1)


@pytest.mark.parametrize(
    "last",
    [
        Wait(calendar=EVERY, days=10),
        Wait(calendar=OFFICE, days=10),
        MonthsAhead(months=1, end_of_month=False),
    ],
)
def test_earliest_never_clips_at_the_end(last: Wait | MonthsAhead) -> None:
    network = Network([wait("a", 85), Task(id="b", move=last, after=("a",))])

    with pytest.raises(OutOfRangeError) as caught:
        earliest_days(network, jan(1))

    assert str(caught.value) == (
        "'b' would fall after 2027-03-31, where the calendars of this plan end"
    )


# --- latest


def test_latest_from_a_limit() -> None:
    # Back from Thursday 21: ten office days begin on Thursday 7, so the mail must be there by
    # Wednesday 6; three mail days back is Sunday 3, and the last counter day is Saturday 2.
    assert compute_latest(packet(), limits={"fly": jan(21)}) == (
        Latest("sign", jan(2), jan(2), "mail"),
        Latest("mail", jan(2), jan(2), "post"),
        Latest("post", jan(3), jan(6), "review"),
        Latest("review", jan(6), jan(21), "fly"),
        Latest("fly", jan(21), jan(21), "limit"),
    )


def test_latest_act_on_a_closed_day_moves_earlier() -> None:
    assert compute_latest(Network([act("a")]), limits={"a": jan(10)}) == (
        Latest("a", jan(9), jan(9), "limit"),
    )


def test_latest_wait_keeps_a_closed_day() -> None:
    network = Network([Task(id="a", move=Wait(calendar=MAIL, days=1))])

    assert compute_latest(network, limits={"a": jan(10)}) == (
        Latest("a", jan(8), jan(10), "limit"),
    )


def test_latest_is_none_where_nothing_limits() -> None:
    network = Network([act("a"), wait("b", 2, "a"), wait("c", 2, "a")])

    assert compute_latest(network, limits={"b": jan(9)}) == (
        Latest("a", jan(7), jan(7), "b"),
        Latest("b", jan(7), jan(9), "limit"),
        Latest("c", None, None, None),
    )
    assert latest_days(network, {"b": jan(9)}) == (
        [jan(7), jan(7), None],
        [jan(7), jan(9), None],
    )
    assert compute_latest(network, limits={}) == (
        Latest("a", None, None, None),
        Latest("b", None, None, None),
        Latest("c", None, None, None),
    )


def test_latest_own_not_after_and_limit_the_earlier_counts() -> None:
    network = Network([Task(id="a", move=Wait(calendar=EVERY, days=1), not_after=jan(8))])

    assert latest_days(network, {}) == ([jan(7)], [jan(8)])
    assert latest_days(network, {"a": jan(6)}) == ([jan(5)], [jan(6)])
    assert latest_days(network, {"a": jan(9)}) == ([jan(7)], [jan(8)])


def test_latest_months_ahead() -> None:
    network = Network(
        [act("a"), Task(id="b", move=MonthsAhead(months=1, end_of_month=False), after=("a",))]
    )

    # 31 January is a Sunday.
    assert latest_days(network, {"b": feb(28)}) == ([jan(30), jan(31)], [jan(30), feb(28)])


def test_latest_equal_reasons_go_to_the_first_in_order() -> None:
    network = Network([act("a"), wait("b", 3, "a"), wait("c", 3, "a")])

    assert compute_latest(network, limits={"c": jan(9), "b": jan(9)})[0].bound_by == "b"


def test_latest_refuses_a_limit_outside() -> None:
    with pytest.raises(OutOfRangeError, match=r"the limit of a task \(2027-04-01\) is outside"):
        latest_days(packet(), {"fly": date(2027, 4, 1).toordinal()})


@pytest.mark.parametrize(
    "first",
    [
        Wait(calendar=EVERY, days=10),
        Wait(calendar=OFFICE, days=10),
        MonthsAhead(months=1, end_of_month=False),
    ],
)
def test_latest_never_clips_at_the_beginning(first: Wait | MonthsAhead) -> None:
    network = Network([Task(id="a", move=first), wait("b", 3, "a")])

    with pytest.raises(OutOfRangeError) as caught:
        latest_days(network, {"b": jan(8)})

    assert str(caught.value) == (
        "'a' would fall before 2027-01-01, where the calendars of this plan end"
    )


def test_latest_before_not_before_is_refused() -> None:
    network = Network([Task(id="a", move=Act(calendar=MAIL), not_before=jan(20))])

    with pytest.raises(InfeasibleError) as caught:
        compute_latest(network, limits={"a": jan(15)})

    assert caught.value.task_id == "a"
    assert caught.value.message == (
        "'a' must start by 2027-01-15 but cannot start before 2027-01-20"
    )
    assert latest_days(network, {"a": jan(15)}) == ([jan(15)], [jan(15)])


# --- gaps


def fresh(days: int, signed_on: int | None = None, mailed_on: int | None = None) -> Network:
    """Sign; a month of gathering papers; mail at most so many days after signing."""
    tasks = [
        act("sign", done_on=signed_on),
        wait("gather", 25),
        act("mail", "sign", "gather", done_on=mailed_on),
    ]
    return Network(tasks, [Gap(first="sign", then="mail", at_most_days=days)])


def test_gap_moves_the_first_later() -> None:
    # Gathered on Friday 29 January; ten days before is Tuesday 19.
    assert compute_earliest(fresh(10), today=jan(4)) == (
        Earliest("sign", jan(19), jan(19), "mail"),
        Earliest("gather", jan(4), jan(29), "today"),
        Earliest("mail", jan(29), jan(29), "gather"),
    )


def test_gap_moves_a_wait_only_as_far_as_it_must() -> None:
    tasks = [
        Task(id="check", move=Wait(calendar=OFFICE, days=2)),
        Task(id="mail", move=Act(calendar=EVERY), not_before=jan(16)),
    ]
    network = Network(tasks, [Gap(first="check", then="mail", at_most_days=4)])

    # The check must be finished on or after Tuesday 12, so it may start on Friday 8.
    assert earliest_days(network, jan(4))[0] == [jan(8), jan(16)]
    assert earliest_days(network, jan(4))[1] == [jan(12), jan(16)]


def test_gap_that_is_kept_anyway_changes_nothing() -> None:
    assert compute_earliest(fresh(25), today=jan(4))[0].bound_by == "today"
    assert earliest_days(fresh(25), jan(4))[0] == [jan(4), jan(4), jan(29)]


def test_gap_to_a_done_task_asks_nothing() -> None:
    network = fresh(10, signed_on=jan(4), mailed_on=jan(30))

    assert earliest_days(network, jan(31))[1] == [jan(4), feb(25), jan(30)]


def test_gap_after_a_done_signature_limits_the_mailing() -> None:
    network = fresh(10, signed_on=feb(5))

    # Ten days after Friday 5 is Monday 15, Washington's Birthday, when no mail is taken.
    assert compute_latest(network, limits={"mail": feb(20)})[2] == Latest(
        "mail", feb(13), feb(13), "sign"
    )


def test_gap_after_a_done_signature_gone_stale() -> None:
    with pytest.raises(InfeasibleError) as caught:
        compute_earliest(fresh(10, signed_on=jan(4)), today=jan(5))

    assert caught.value.task_id == "mail"
    assert caught.value.message == (
        "'mail' cannot be finished before 2027-01-30, but must be at most 10 days after 'sign', "
        "done on 2027-01-04"
    )


def test_gap_moves_the_then_earlier() -> None:
    tasks = [
        Task(id="sign", move=Act(calendar=EVERY), not_after=jan(8)),
        Task(id="mail", move=Act(calendar=EVERY), after=("sign",)),
        wait("post", 3, "mail"),
    ]
    network = Network(tasks, [Gap(first="sign", then="mail", at_most_days=4)])

    assert compute_latest(network, limits={"post": jan(29)}) == (
        Latest("sign", jan(8), jan(8), "limit"),
        Latest("mail", jan(12), jan(12), "sign"),
        Latest("post", jan(26), jan(29), "limit"),
    )
    assert latest_days(network, {"post": jan(29)}) == (
        [jan(8), jan(12), jan(26)],
        [jan(8), jan(12), jan(29)],
    )


def test_gap_finds_days_without_a_weekend_between() -> None:
    # Three office days within four calendar days of signing: no weekend may lie between.
    tasks = [
        Task(id="sign", move=Act(calendar=OFFICE)),
        Task(id="check", move=Wait(calendar=OFFICE, days=3), after=("sign",)),
    ]
    network = Network(tasks, [Gap(first="sign", then="check", at_most_days=4)])

    # Signed on Wednesday 6 it would be checked on Monday 11, on Friday 8 on Wednesday 13; both
    # are five days. Signed after that, Saturday 9, means Monday 11.
    assert earliest_days(network, jan(6)) == ([jan(9), jan(11)], [jan(11), jan(14)])
    assert latest_days(network, {"check": jan(19)}) == ([jan(12), jan(12)], [jan(12), jan(16)])


def test_gap_that_cannot_be_kept() -> None:
    tasks = [act("sign"), wait("gather", 9, "sign"), act("mail", "gather")]
    network = Network(tasks, [Gap(first="sign", then="mail", at_most_days=8)])

    with pytest.raises(InfeasibleError) as early:
        compute_earliest(network, today=jan(4))
    with pytest.raises(InfeasibleError) as late:
        compute_latest(network, limits={"mail": feb(20)})

    assert (early.value.task_id, late.value.task_id) == ("sign", "mail")
    assert early.value.message == (
        "no days keep 'sign' and 'mail' close enough together: 'sign' was pushed off the calendar"
    )
    assert late.value.message == (
        "no days keep 'mail' and 'sign' close enough together: 'mail' was pushed off the calendar"
    )


def test_gap_to_a_task_that_nothing_else_limits() -> None:
    network = Network(
        [Task(id="a", move=Act(calendar=MAIL), not_after=jan(8)), act("b"), act("c")],
        [Gap(first="a", then="b", at_most_days=4), Gap(first="c", then="a", at_most_days=1)],
    )

    assert compute_latest(network, limits={}) == (
        Latest("a", jan(8), jan(8), "limit"),
        Latest("b", jan(12), jan(12), "a"),
        Latest("c", None, None, None),
    )


# --- schedule


def test_schedule_rows_and_path() -> None:
    plan = compute_schedule(
        [act("a"), wait("b", 5, "a"), wait("c", 3, "a"), act("d", "b", "c")], start=jan(4)
    )

    def row(name: str, days: tuple[int, int, int, int], slack: int, *, free: int) -> ScheduleRow:
        early_start, early_finish, late_start, late_finish = map(jan, days)
        return ScheduleRow(
            id=name,
            earliest_start=early_start,
            earliest_finish=early_finish,
            latest_start=late_start,
            latest_finish=late_finish,
            slack_days=slack,
            free_slack_days=free,
            critical=slack == 0,
        )

    assert plan == Schedule(
        rows=(
            row("a", (4, 4, 4, 4), 0, free=0),
            row("b", (4, 9, 4, 9), 0, free=0),
            row("c", (4, 7, 6, 9), 2, free=2),
            row("d", (9, 9, 9, 9), 0, free=0),
        ),
        critical_path=("a", "b", "d"),
        finish=jan(9),
        target=jan(9),
    )


def test_schedule_target_too_early_is_negative_slack() -> None:
    plan = compute_schedule([act("a"), wait("b", 5, "a")], start=jan(6), target=jan(10))

    # Five days back from Sunday 10 is Tuesday 5.
    assert [row.slack_days for row in plan.rows] == [-1, -1]
    assert [row.critical for row in plan.rows] == [True, True]


def test_schedule_done_tasks_are_not_critical() -> None:
    plan = compute_schedule([act("a", done_on=jan(4)), wait("b", 5, "a")], start=jan(6))

    assert [(row.earliest_finish, row.critical) for row in plan.rows] == [
        (jan(4), False),
        (jan(9), True),
    ]
    assert plan.critical_path == ("a", "b")


def test_schedule_with_all_done() -> None:
    plan = compute_schedule([act("a", done_on=jan(4))])

    assert (plan.finish, plan.critical_path, plan.rows[0].critical) == (jan(4), ("a",), False)


def test_schedule_with_a_gap() -> None:
    plan = compute_schedule(
        [act("sign"), wait("gather", 25), act("mail", "sign", "gather")],
        start=jan(4),
        gaps=[Gap(first="sign", then="mail", at_most_days=10)],
    )

    assert plan.critical_path == ("gather", "mail")
    assert [row.slack_days for row in plan.rows] == [10, 0, 0]


def test_schedule_of_partners_that_name_each_other() -> None:
    # The signature moves on for the check, the check begins with the signature.
    plan = compute_schedule(
        [
            Task(id="sign", move=Act(calendar=OFFICE)),
            Task(id="check", move=Wait(calendar=OFFICE, days=3), after=("sign",)),
        ],
        start=jan(6),
        gaps=[Gap(first="sign", then="check", at_most_days=4)],
    )

    assert plan.critical_path == ("sign", "check")


def test_schedule_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one task"):
        compute_schedule([], start=jan(4))
