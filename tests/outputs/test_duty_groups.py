"""Duties that are said once together, and the tick that settles no more than what was said."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.engine.duties_model import DueDuty, DutyState, duty_id
from compliance.facts.model import Holder, HolderKind
from compliance.outputs.duty_groups import (
    DutyGroup,
    fold_runs,
    group_duties,
    say_group_lacks,
    say_ticking,
)
from compliance.rules.model import DutyEvent, DutyKind, DutyRow, RulesTable

JUNE = date(2027, 6, 1)


@pytest.fixture(name="row")
def pick_row(table: RulesTable) -> DutyRow:
    (found,) = [one for one in table.duties if one.id == "faa.airspace-authorization.notam"]
    return replace(found, trigger="the start", opens=0)


def make_flown(row: DutyRow, number: int, state: DutyState, **more: object) -> DueDuty:
    holder = Holder(kind=HolderKind.OPERATION)
    occasion = f"flight-{number}"
    made = DueDuty(
        id=duty_id(row.id, holder, occasion),
        row=row,
        holder=holder,
        occasion=occasion,
        about=f"flight {number}",
        job="pasture",
        event_on=JUNE + timedelta(days=number),
        due_on=JUNE + timedelta(days=number + 1),
        state=state,
    )
    return replace(made, **more)  # type: ignore[arg-type] # fields by name


def make_due(row: DutyRow, occasion: str) -> DueDuty:
    made = make_flown(row, 1, DutyState.OPEN)
    return replace(made, id=duty_id(row.id, made.holder, occasion), occasion=occasion, about="it")


def test_flights_said_together_have_a_tick_each(row: DutyRow) -> None:
    """A name without an occasion would be refused while several are open."""
    (group,) = group_duties(make_due(row, f"flight-{number}") for number in range(1, 6))

    assert say_ticking(group) == (
        f"when it is done: mailby log did {row.id}/flight-1; mailby log did {row.id}/flight-2; "
        f"mailby log did {row.id}/flight-3; 2 more are shown when these are ticked off"
    )


def test_what_was_told_by_itself_is_said_by_itself(row: DutyRow) -> None:
    """Two changes of one day may read alike and still are two things to tell."""
    groups = group_duties(make_due(row, f"event-{number}") for number in (4, 5))

    assert [say_ticking(group) for group in groups] == [
        f"when it is done: mailby log did {row.id}/event-4",
        f"when it is done: mailby log did {row.id}/event-5",
    ]


def test_many_overdue_flights_are_one_line(row: DutyRow) -> None:
    late = [make_flown(row, number, DutyState.OVERDUE) for number in range(1, 6)]

    (group,) = fold_runs(late)

    assert group.first.id == late[0].id
    assert group.about == (
        "5 flights of pasture, Wed 2 Jun 2027 to Sun 6 Jun 2027, each by its own time, not ticked "
        "off"
    )
    assert say_ticking(group, late) == (
        f"when all are done: mailby log did {row.id}/flight-5 --and-before"
    )


def test_few_flights_are_named_each(row: DutyRow) -> None:
    late = [make_flown(row, number, DutyState.OVERDUE) for number in range(1, 4)]

    assert [group.about for group in fold_runs(late)] == ["flight 1", "flight 2", "flight 3"]


def test_overdue_and_open_are_two_things(row: DutyRow) -> None:
    every = [
        make_flown(row, number, DutyState.OVERDUE if number < 5 else DutyState.OPEN)
        for number in range(1, 10)
    ]

    groups = fold_runs(every)

    assert [(len(one.duties), one.first.state) for one in groups] == [
        (4, DutyState.OVERDUE),
        (5, DutyState.OPEN),
    ]


def test_one_tick_is_not_offered_where_it_takes_along_another(row: DutyRow) -> None:
    """Flight 3 was logged before flight 5 and is open: --and-before would tick it off too."""
    late = [make_flown(row, number, DutyState.OVERDUE) for number in (1, 2, 4, 5)]
    still = make_flown(row, 3, DutyState.OPEN)

    (group,) = fold_runs(late)

    assert say_ticking(group, [*late, still]) == (
        f"when it is done: mailby log did {row.id}/flight-1; mailby log did {row.id}/flight-2; "
        f"mailby log did {row.id}/flight-4; 1 more is shown when these are ticked off"
    )
    assert "--and-before" in say_ticking(group, [*late, replace(still, state=DutyState.DONE)])


def test_each_person_has_a_line_and_a_tick_of_their_own(row: DutyRow) -> None:
    """Two pilots' flights of one day are due on one day, but one tick would not settle both."""
    pilots = [Holder(kind=HolderKind.PILOT, ref=ref) for ref in ("odile", "wren")]
    late = [
        make_flown(
            row, 2 * day + at, DutyState.OVERDUE, holder=pilots[at], due_on=JUNE + timedelta(day)
        )
        for day in range(1, 6)
        for at in (0, 1)
    ]

    groups = fold_runs(late)

    assert [{one.holder.ref for one in group.duties} for group in groups] == [{"odile"}, {"wren"}]
    assert [say_ticking(group, late) for group in groups] == [
        f"when all are done: mailby log did {row.id}:odile/flight-10 --and-before",
        f"when all are done: mailby log did {row.id}:wren/flight-11 --and-before",
    ]


def test_tick_of_two_peoples_flights_names_neither(row: DutyRow) -> None:
    """Flights of one day by two pilots are one line; a tick in one's name would not take both."""
    pilots = [Holder(kind=HolderKind.PILOT, ref=ref) for ref in ("odile", "wren", "odile")]
    late = [
        make_flown(row, at, DutyState.OVERDUE, holder=pilot, due_on=JUNE)
        for at, pilot in enumerate(pilots, 1)
    ]
    beside = make_flown(row, 2, DutyState.OPEN, holder=pilots[0])

    (group,) = fold_runs(late)

    assert say_ticking(group, late) == (
        f"when all are done: mailby log did {row.id}/flight-3 --and-before"
    )
    assert say_ticking(group, late[:1]) == say_ticking(group, late)
    alone = DutyGroup(duties=(late[0], late[2]))
    assert "--and-before" in say_ticking(alone, late)
    assert "--and-before" not in say_ticking(alone, [*late, beside])


def test_months_of_a_report_have_one_tick(row: DutyRow) -> None:
    monthly = replace(row, events=(DutyEvent.MONTH_FLOWN,))
    late = [
        replace(make_due(monthly, f"2027-0{month}"), state=DutyState.OVERDUE, due_on=day)
        for month, day in ((4, date(2027, 5, 5)), (5, date(2027, 6, 5)))
    ]

    (group,) = fold_runs(late)

    assert group.about == (
        f"2 months since 2027-04, not ticked off; `mailby log did {row.id}/2027-05 --and-before` "
        "ticks these and older ones"
    )
    assert say_ticking(group) == (
        f"when all are done, older ones too: mailby log did {row.id}/2027-05 --and-before"
    )


def test_records_that_lack_the_same_are_one_line(row: DutyRow) -> None:
    writing = replace(row, kind=DutyKind.WRITE_RECORD)
    late = [
        make_flown(writing, number, DutyState.OVERDUE, record=number + 10, lacks=("wind-speed",))
        for number in range(1, 6)
    ]
    other = make_flown(writing, 6, DutyState.OVERDUE, record=16, lacks=("wind-direction",))
    bare = make_flown(writing, 7, DutyState.OVERDUE)

    same, *rest = fold_runs([*late, other, bare])

    assert "with a record that lacks something" in same.about
    assert say_group_lacks(same) == (
        "written as records 11, 12, 13 and 2 more, which lack: wind speed in miles an hour"
    )
    assert say_ticking(same, late).startswith(
        "complete each, the first by mailby record pasture --correct 11"
    )
    assert [one.duties for one in rest] == [(other,), (bare,)]


@given(
    st.lists(
        st.tuples(
            st.integers(1, 30),
            st.sampled_from((DutyState.OVERDUE, DutyState.OPEN)),
            st.sampled_from((None, 1)),
        ),
        unique_by=lambda one: one[0],
        max_size=20,
    )
)
def test_every_duty_is_said_once(
    table: RulesTable, drawn: list[tuple[int, DutyState, int | None]]
) -> None:
    """Only what is alike is put together, and nothing is lost by it."""
    row = next(one for one in table.duties if DutyEvent.FLIGHT in one.events)
    every = [make_flown(row, number, state, record=record) for number, state, record in drawn]

    groups = fold_runs(every)

    assert sorted(one.id for group in groups for one in group.duties) == sorted(
        one.id for one in every
    )
    assert all(is_alike(group) for group in groups)


def is_alike(group: DutyGroup) -> bool:
    return len({(one.state, one.record is None) for one in group.duties}) == 1
