"""Trips from the database to the calendar: replanned after a missed act, under the same id."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import vobject
from sqlmodel import Session

from compliance.app.calendar_file import write_calendar
from compliance.app.logbook import Happened, add_entry
from compliance.app.planning import make_plan
from compliance.app.trips import add_trip_days, find_pages, make_trip_entries, make_trips
from compliance.base.problems import RefusedError
from compliance.engine.agenda import compute_agenda
from compliance.engine.trip_days import move_late
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Closure, Operation
from compliance.outputs.plan_text import render_plan_text
from compliance.outputs.trips_text import render_trips_text
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session
from compliance.store.trips import load_trips

NAMESPACE = "5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11"
DAY = date(2027, 1, 11)
NOW = datetime(2027, 1, 11, 12, tzinfo=UTC)
WREN = "ne.commercial-applicator:wren"
BUSINESS = "Nebraska aerial pesticide business license"


@pytest.fixture
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace=NAMESPACE)
        append_log(opened, demo_operation.id, demo_log)
        yield opened


def read_trips(path: Path) -> dict[str, tuple[date, str, int]]:
    """What vobject, which did not write the file, sees of the trips: day, title, sequence."""
    calendar = vobject.readOne(path.read_text(encoding="utf-8"))
    return {
        event.uid.value: (event.dtstart.value, event.summary.value, int(event.sequence.value))
        for event in calendar.vevent_list
        if "Trip to town" in event.summary.value
    }


def log(session: Session, packet: str, day: date, **details: str) -> None:
    kind = EventKind(details.pop("kind", "done"))
    happened = Happened(kind=kind, packet=packet, on=day, **details)  # type: ignore[arg-type] # texts by name
    add_entry(session, None, happened, day)


def test_missed_act_is_planned_anew_and_its_entry_moves(session: Session, tmp_path: Path) -> None:
    """The test of one pilot is logged, those for the other state were missed."""
    path = tmp_path / "deadlines.ics"
    first = make_trips(make_plan(session, None, DAY)).trips[0]
    write_calendar(session, None, DAY, NOW, path)
    before = read_trips(path)
    log(session, WREN, first.on, step="test")
    day = first.on + timedelta(days=1)

    again = make_trips(make_plan(session, None, day)).trips
    write_calendar(session, None, day, NOW + timedelta(days=4), path)
    after = read_trips(path)

    missed = {act.step.id for act in first.acts} - {f"{WREN}/test"}
    assert missed <= {act.step.id for trip in again for act in trip.acts}
    assert f"{WREN}/test" not in {act.step.id for trip in again for act in trip.acts}
    (uid,) = [one for one, (on, _, _) in before.items() if on == first.on]
    (trip,) = [one for one in again if missed <= {act.step.id for act in one.acts}]
    assert after[uid][0] == trip.on > first.on
    assert after[uid][2] == 1
    assert after.keys() == before.keys()


def test_trip_with_everything_done_is_ticked(session: Session, tmp_path: Path) -> None:
    """Everything of the first trip is logged: it is done on its day, and is not moved."""
    path = tmp_path / "deadlines.ics"
    first = make_trips(make_plan(session, None, DAY)).trips[0]
    write_calendar(session, None, DAY, NOW, path)
    (uid,) = [one for one, (on, _, _) in read_trips(path).items() if on == first.on]
    for act in first.acts:
        log(session, act.paper.id, first.on, step=act.step.row.name)

    write_calendar(session, None, first.on, NOW + timedelta(days=3), path)

    assert read_trips(path)[uid] == (first.on, "\N{CHECK MARK} Trip to town", 1)


def test_calendar_written_twice_keeps_its_trips(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "deadlines.ics"
    write_calendar(session, None, DAY, NOW, path)
    bytes_before, names = path.read_bytes(), load_trips(session, "sandbur-flats")

    write_calendar(session, None, DAY, NOW + timedelta(hours=3), path)

    assert path.read_bytes() == bytes_before
    assert load_trips(session, "sandbur-flats") == names
    assert [one.number for one in names] == [1, 2, 3]


def test_trips_that_cannot_be_planned_leave_the_rest_of_the_calendar(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A refusal is `mailby trips`' to explain; the calendar and the day's list go on without."""

    def refuse(*_: object, **__: object) -> None:
        raise RefusedError("no day within the year ahead")

    planned = make_plan(session, None, DAY)
    monkeypatch.setattr("compliance.app.trips.compute_trip_plan", refuse)

    assert find_pages(planned) == ()
    assert make_trip_entries(session, planned).entries == ()
    written = write_calendar(session, None, DAY, NOW, tmp_path / "deadlines.ics")
    assert written.entries > 0
    assert read_trips(tmp_path / "deadlines.ics") == {}


def test_until_a_day_that_is_past_is_refused(session: Session) -> None:
    with pytest.raises(RefusedError) as caught:
        make_trips(make_plan(session, None, DAY), until=date(2027, 1, 10))

    assert (caught.value.message, caught.value.hint) == (
        "the day Sun 10 Jan 2027 is past; today is Mon 11 Jan 2027",
        "give a day to come with --until, or leave it out",
    )


def test_day_without_a_trip_that_is_past_is_refused(session: Session) -> None:
    """Only days to come can be kept free; today is one of them."""
    planned = make_plan(session, None, DAY)
    with pytest.raises(RefusedError) as caught:
        make_trips(planned, blocked=(date(2027, 1, 10), date(2027, 1, 20)))

    assert (caught.value.message, caught.value.hint) == (
        "Sun 10 Jan 2027 is past; today is Mon 11 Jan 2027",
        "give days to come with --no-trip, or leave it out",
    )
    assert make_trips(planned, blocked=(DAY,)).trips


@pytest.mark.parametrize("day", [DAY, date(2027, 2, 11)])
def test_plan_follows_from_its_trips(session: Session, day: date) -> None:
    """No act in town comes before its trip, no paper before what its trip sends off."""
    before = make_plan(session, None, day)
    moved = add_trip_days(before)
    plan = moved.plan

    steps = {step.id: step for paper in plan.papers for step in paper.steps}
    assert plan.trip_days
    assert all(steps[name].earliest == one.on for name, one in plan.trip_days.items())
    for old, new in zip(before.plan.papers, plan.papers, strict=True):
        assert new.earliest_ready >= old.earliest_ready
        assert new.is_late == old.is_late
        sending = plan.find_step(new.mail_step)
        if sending is not None and sending.done_on is None:
            assert new.earliest_ready >= sending.earliest
    assert any(
        new.earliest_ready > old.earliest_ready
        for old, new in zip(before.plan.papers, plan.papers, strict=True)
    )
    assert add_trip_days(moved) == moved
    assert make_trips(moved) == make_trips(before)


def test_chances_begin_on_the_first_day_of_any_trip(session: Session) -> None:
    """A trip waits for other errands while it is safe; the packet could go sooner than that."""
    plan = make_plan(session, None, DAY, with_chances=True).plan

    assert plan.chances is not None
    first = {one.packet: one.by_mail_day[0][0] for one in plan.chances.packets if one.by_mail_day}
    in_town = [paper for paper in plan.papers if paper.mail_step in plan.trip_days]
    assert in_town
    assert {paper.id: first[paper.id] for paper in in_town} == {
        paper.id: plan.trip_days[paper.mail_step].first for paper in in_town
    }
    assert any(trip.first < trip.on for trip in plan.trip_days.values())


def test_chances_of_a_late_mailing_begin_on_its_trip(session: Session) -> None:
    """On 20 May the exams are sat that day and the licenses mailed on the next day's trip."""
    planned = make_plan(session, None, date(2027, 5, 20), with_chances=True)
    plan, name = planned.plan, "sd.commercial-applicator:odile"

    assert plan.chances is not None
    (chance,) = [one for one in plan.chances.packets if one.packet == name]
    assert plan.trip_days[f"{name}/test"].on == date(2027, 5, 20)
    assert plan.trip_days[f"{name}/mail"].on == date(2027, 5, 21)
    assert chance.by_mail_day[0][0] == date(2027, 5, 21)
    text = " ".join(render_plan_text(plan).split())
    assert "mailed Fri 21 May 2027, on the trip to town: " in text
    assert "mailed today" not in text
    assert "mail by, last Tue 11 May 2027 (not possible before Fri 21 May 2027)" in text


def test_overdue_paper_is_named_with_what_hangs_on_it(session: Session) -> None:
    """The exemption is overdue since 6 February; chances and trips say what they assume."""
    planned = make_plan(session, None, date(2027, 2, 12), with_chances=True)

    text = " ".join(render_plan_text(planned.plan).split())
    assert "no day left; if the overdue paper came today, filed today: " in text
    assert text.count("filed today: ") == text.count("if the overdue paper came today, filed today")
    trips = make_trips(planned)
    said = " ".join(render_trips_text(planned.plan, trips, planned.table).split())
    assert (
        "NO DAY YET, and so on no trip - once this is here, which is overdue: Exemption for "
        "spraying with unmanned aircraft - Mail the packet at the counter and keep the proof - "
        "Nebraska aerial pesticide business license; last day Wed 21 Apr 2027 "
    ) in said
    assert "overdue" not in said.partition("NO DAY YET")[0]
    assert not {act.step.id for act in trips.waiting} & planned.plan.trip_days.keys()


@pytest.mark.parametrize("day", [date(2027, 4, 28), date(2027, 5, 20), date(2027, 5, 22)])
def test_late_act_happens_on_the_day_of_its_trip(session: Session, day: date) -> None:
    """Plan, first day of a job and trips have one day for an act; before, a late one had two.

    On 20 May the licenses are mailed on the 21st, after a night at home with the result of the
    exam; five postal days, fifteen federal ones and five postal ones later they are there.
    """
    planned = make_plan(session, None, day)
    trips = make_trips(planned)
    plan = add_trip_days(planned).plan

    late = {act.step.id: trip.on for trip in trips.trips for act in trip.acts if act.is_late}
    steps = {step.id: step for paper in plan.papers for step in paper.steps}
    assert late
    assert {name: steps[name].earliest for name in late} == late
    again = add_trip_days(replace(planned, plan=move_late(planned.plan, planned.table))).plan
    assert [one.first_lawful_day for one in again.jobs if one.late_by_days] == [
        one.first_lawful_day for one in plan.jobs if one.late_by_days
    ]
    if day == date(2027, 5, 20):
        paper = plan.find_paper("sd.commercial-applicator:odile")
        assert paper is not None
        assert paper.earliest_ready == date(2027, 6, 26)


def test_plan_names_the_day_that_trips_names(session: Session) -> None:
    """One act has one day to do it, in the plan as on the page of the trips."""
    planned = make_plan(session, None, DAY)
    trips = make_trips(planned).trips
    plan = add_trip_days(planned).plan

    said = {act.step.id: trip.on for trip in trips for act in trip.acts}
    assert said
    assert {name: one.on for name, one in plan.trip_days.items()} == said
    assert all(one.on <= one.by for one in plan.trip_days.values())
    items = {item.step.id: item for item in compute_agenda(plan) if item.trip and item.step}
    assert {name: item.day for name, item in items.items()} == said


def test_trip_that_waits_for_an_overdue_paper_is_on_no_day(
    session: Session, tmp_path: Path
) -> None:
    """Only the business license is mailed on that trip; it comes back when the exemption is there.

    The calendar is written on 1 February, when nothing is overdue, on the 12th, when the exemption
    is, and on the 13th, when it has come.
    """
    path = tmp_path / "deadlines.ics"
    days = (date(2027, 2, 1), date(2027, 2, 12), date(2027, 2, 13))
    seen, hoped, without_day = [], [], []
    counts = []
    for day in days:
        if day == days[-1]:
            came = Happened(
                kind=EventKind.GRANTED, packet="faa.exemption", on=day, number="1", issued_on=day
            )
            add_entry(session, None, came, day)
        written = write_calendar(session, None, day, NOW + (day - DAY), path)
        events = vobject.readOne(path.read_text(encoding="utf-8")).vevent_list
        seen.append(
            {
                (event.summary.value.removesuffix(f": {BUSINESS}"), event.status.value)
                for event in events
                if event.summary.value.endswith(BUSINESS)
            }
        )
        trips = {one.summary.value: one.status.value for one in events}
        hoped.append(trips.get("No day yet: Trip to town: post office"))
        without_day.append(written.without_day > 0)
        counts.append(written.new_without_day == written.without_day)

    assert seen == [
        {("Mail", "CONFIRMED"), ("Start", "CONFIRMED"), ("LAST DAY to mail", "CONFIRMED")},
        {
            ("No day yet: Mail", "CANCELLED"),
            ("No day yet: Start", "CANCELLED"),
            ("LAST DAY to mail, once the overdue paper is here", "CONFIRMED"),
        },
        seen[0],
    ]
    assert hoped == [None, "CANCELLED", None]
    assert without_day == [False, True, False]
    assert counts == [True, True, True]


def test_entries_without_a_day_are_counted_and_stay_where_they_were(
    session: Session, tmp_path: Path
) -> None:
    """The exemption is overdue on 12 February and on 22 May; nothing comes between.

    Before, the second writing said that one entry had no day, and moved the trip to July.
    """
    path = tmp_path / "deadlines.ics"
    found, counts = [], []
    for day in (date(2027, 2, 1), date(2027, 2, 12), date(2027, 5, 22)):
        written = write_calendar(session, None, day, NOW + (day - DAY), path)
        events = vobject.readOne(path.read_text(encoding="utf-8")).vevent_list
        found.append({event.uid.value: event for event in events})
        counts.append((written.without_day, written.new_without_day))
    waiting = [
        {uid for uid, event in one.items() if event.summary.value.startswith("No day yet: ")}
        for one in found
    ]

    assert counts == [(0, 0), (len(waiting[1]), len(waiting[1])), (len(waiting[2]), 0)]
    assert waiting[0] < waiting[1] == waiting[2]
    assert any("Trip to town" in found[2][uid].summary.value for uid in waiting[2])
    for uid in waiting[1]:
        days = {one[uid].dtstart.value for one in found if uid in one}
        assert len(days) == 1


def test_facts_told_late_get_their_week_for_one_drive(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """A farm told on 12 February, its safe days past, has fewer drives than one told long before.

    Each act past its safe day is on the trip it can join within seven days of being told, and none
    is put off further on the days after.
    """
    told = date(2027, 2, 12)

    def plan(told_on: date | None, day: date) -> dict[str, tuple[date, date]]:
        """Give trip and first possible day of what has no safe day left and goes within 8 days."""
        with open_session(":memory:") as opened:
            save_operation(opened, demo_operation, namespace=NAMESPACE, told_on=told_on)
            append_log(opened, demo_operation.id, demo_log)
            trips = make_trips(make_plan(opened, None, day), compare=False).trips
        late = [(act, trip.on) for trip in trips for act in trip.acts if not act.is_safe]
        end = told + timedelta(days=8)
        return {act.step.id: (on, act.first) for act, on in late if on <= end}

    known, new = plan(None, told), plan(told, told)

    assert new.keys() == known.keys()
    assert len({on for on, _ in new.values()}) < len({on for on, _ in known.values()})
    for later in range(1, 5):
        again = plan(told, told + timedelta(days=later))
        put_off = [one for one, (on, first) in again.items() if on > max(new[one][0], first)]
        assert put_off == []


@pytest.mark.parametrize(
    ("day", "gone"),
    [
        (date(2027, 1, 11), date(2027, 6, 30)),
        (date(2027, 3, 31), date(2027, 3, 31)),
        (date(2027, 5, 20), date(2027, 5, 22)),
    ],
)
def test_last_day_that_has_gone_is_that_of_the_plan(
    session: Session, demo_operation: Operation, day: date, gone: date
) -> None:
    """Before, a notary of Tuesdays and Thursdays had Sat 9 Jan 2027 for its last day in time."""
    closure = Closure(who="vehicle", first_day=day, last_day=gone, why="sold")
    closures = (*demo_operation.closures, closure)
    save_operation(session, replace(demo_operation, closures=closures), namespace=NAMESPACE)
    planned = make_plan(session, None, day)

    past = [one for one in make_trips(planned).no_day if one.is_past]

    assert past
    for one in past:
        step = planned.plan.find_step(one.act.step.id)
        assert step is not None
        assert one.by == step.last


def test_trips_say_that_what_is_late_waits_for_nothing(session: Session) -> None:
    texts = [
        " ".join(render_trips_text(planned.plan, make_trips(planned), planned.table).split())
        for planned in (make_plan(session, None, day) for day in (DAY, date(2027, 5, 20)))
    ]

    said = "What has no day in time left waits for no other errand: it goes on the first day it can"
    assert [said in text for text in texts] == [False, True]
