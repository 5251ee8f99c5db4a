"""Go or no-go on the demo farm, from the database to the words a pilot reads at dawn.

The days are those of the demo; what the law asks is checked in tests/published.
"""

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import jsonschema
import pytest
from sqlmodel import Session

from compliance.app.duties import add_duties
from compliance.app.in_force import Morning, look_at_morning
from compliance.app.planning import make_plan
from compliance.base.problems import NotFoundError, RefusedError
from compliance.engine.duties_model import DutyState
from compliance.engine.in_force import Answer
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.outputs.go_json import render_go_json
from compliance.outputs.go_text import render_go_text
from compliance.outputs.words import CAUTION, WIDTH
from compliance.store.events import append_events
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

TESTS = Path(__file__).parents[1]
SCHEMA = json.loads((TESTS / "data" / "go.schema.json").read_text(encoding="utf-8"))
Draft = jsonschema.Draft202012Validator
GRANTED = (
    ("faa.registration-n", "aircraft:tg46", "N00INV", None),
    ("faa.exemption", "operation", "INVENTED-EX-1", "2029-03-31"),
    ("faa.airspace-authorization", "operation", "INVENTED-COA-1", "2029-03-31"),
    ("faa.ag-operator", "operation", "INVENTED-137", None),
    ("ne.aerial-business", "operation", "INVENTED-NE-90", None),
    ("ne.commercial-applicator", "pilot:wren", "INVENTED-NE-32", None),
)
Ask = Callable[..., Morning]


@pytest.fixture
def session(demo_operation: Operation) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        yield opened


@pytest.fixture
def granted(
    session: Session, demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> tuple[LogEntry, ...]:
    """The demo's log and the grants of everything its first job still lacks, on 20 April."""
    holders = {str(held.holder): held.holder for held in demo_operation.papers}
    holders |= {str(entry.holder): entry.holder for entry in demo_log}
    day = date(2027, 4, 20)
    grants = [
        LogEntry(
            number=len(demo_log) + at,
            kind=EventKind.GRANTED,
            paper=paper,
            holder=holders[holder],
            happened_on=day,
            paper_number=number,
            issued_on=day,
            valid_through=date.fromisoformat(through) if through else None,
        )
        for at, (paper, holder, number, through) in enumerate(GRANTED, 1)
    ]
    log = (*demo_log, *grants)
    append_log(session, demo_operation.id, log)
    return log


def show(morning: Morning) -> str:
    answers = tuple((one.standing, one.duties) for one in morning.jobs)
    return render_go_text(morning.operation, morning.on, answers, morning.next_job)


def show_json(morning: Morning) -> str:
    answers = tuple((one.standing, one.duties) for one in morning.jobs)
    return render_go_json(morning.operation, morning.on, answers, morning.next_job)


def golden(name: str) -> str:
    return (TESTS / "golden" / name).read_text(encoding="utf-8")


def answers(morning: Morning) -> list[tuple[str, str]]:
    return [(one.standing.job.id, str(one.standing.answer)) for one in morning.jobs]


def tick(session: Session, operation: Operation, job: str, day: date, occasion: str) -> None:
    event = JobEvent(
        number=1,
        kind=JobEventKind.DID,
        on=day,
        job=job,
        duty="faa.airspace-authorization.notam",
        occasion=occasion,
    )
    append_events(session, operation.id, (event,))


def test_january_without_a_job(
    session: Session, demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    append_log(session, demo_operation.id, demo_log)
    morning = look_at_morning(session, None, date(2027, 1, 11))

    assert morning.jobs == ()
    assert morning.next_job == demo_operation.jobs[0]
    assert show(morning) == golden("go_january.txt")


def test_january_asked_about_the_first_job(
    session: Session, demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    append_log(session, demo_operation.id, demo_log)
    morning = look_at_morning(session, None, date(2027, 1, 11), job="pasture-ne")

    assert answers(morning) == [("pasture-ne", "NO-GO")]
    assert show(morning) == golden("go_january_job.txt")


@pytest.mark.usefixtures("granted")
def test_may_with_everything_granted(session: Session) -> None:
    morning = look_at_morning(session, None, date(2027, 5, 24))

    assert answers(morning) == [("pasture-ne", "GO")]
    assert show(morning) == golden("go_may.txt")
    assert show_json(morning) == golden("go_may.json")


@pytest.mark.usefixtures("granted")
def test_july_goes_through_the_last_day_of_the_recency(session: Session) -> None:
    """14 CFR 107.65: a course of 18 July 2025 is good through 31 July 2027."""
    last = look_at_morning(session, None, date(2027, 7, 31))
    after = look_at_morning(session, None, date(2027, 8, 1))

    assert answers(last) == [("own-quarter", "GO FOR NOW")]
    assert last.jobs[0].standing.ends_on == date(2027, 7, 31)
    assert show(last) == golden("go_july.txt")
    assert answers(after) == [("own-quarter", "NO-GO")]
    assert show(after) == golden("go_august.txt")


@pytest.mark.usefixtures("granted")
def test_seed_job_flown_by_the_pilot_who_is_in_order(session: Session) -> None:
    """In the job of late August Wren is out, and Odile may fly both machines all the same."""
    day = date(2027, 8, 23)
    whole = look_at_morning(session, None, day)
    odile = look_at_morning(session, None, day, pilot="odile")

    assert answers(whole) == [("cover-crop", "NO-GO")]
    assert [
        (one.aircraft, one.pilot)
        for one in whole.jobs[0].standing.pairings
        if one.answer is not Answer.NO_GO
    ] == [("tg46", "odile"), ("tg18", "odile")]
    assert answers(odile) == [("cover-crop", "GO")]


@pytest.mark.usefixtures("granted")
def test_notice_for_todays_flight_stands_until_it_is_ticked_off(
    session: Session, demo_operation: Operation
) -> None:
    """With 24 hours no start today is in time any more, tomorrow a late one, later all of them."""
    day = date(2027, 5, 24)

    def notices() -> list[tuple[str, str]]:
        (one,) = look_at_morning(session, None, day).jobs
        return [(duty.id, str(duty.state)) for duty in one.duties if duty.id.count(".notam/")]

    name = "faa.airspace-authorization.notam/pasture-ne@2027-05-24"
    ahead = [
        ("faa.airspace-authorization.notam/pasture-ne@2027-05-25", "late-for-some"),
        ("faa.airspace-authorization.notam/pasture-ne@2027-05-26", "open"),
    ]
    assert notices() == [(name, "overdue"), *ahead]
    tick(session, demo_operation, "pasture-ne", date(2027, 5, 22), "pasture-ne@2027-05-24")
    assert notices() == ahead


@pytest.mark.usefixtures("granted")
@pytest.mark.parametrize("day", [date(2027, 5, 23), date(2027, 5, 24), date(2027, 6, 11)])
@pytest.mark.parametrize("hour", [None, 4, 13, 23])
def test_go_and_duties_say_the_same_of_the_same_flight(
    session: Session, day: date, hour: int | None
) -> None:
    """Every duty of a job that go names is one that duties has, equal in every value."""
    now = None if hour is None else datetime(day.year, day.month, day.day, hour, tzinfo=UTC)
    (one,) = look_at_morning(session, None, day, job="pasture-ne", now=now).jobs
    book = add_duties(session, make_plan(session, None, day), now).plan.duties
    live = {duty.id: duty for duty in book.due if duty.is_live and duty.job == "pasture-ne"}

    assert {duty.id: duty for duty in one.duties if duty.job} == live
    assert any(".notam/" in name for name in live)


@pytest.mark.usefixtures("granted")
def test_duties_of_other_jobs_and_what_is_done_are_left_out(session: Session) -> None:
    (one,) = look_at_morning(session, None, date(2027, 5, 24)).jobs

    assert {duty.job for duty in one.duties} <= {"", "pasture-ne"}
    assert not {duty.state for duty in one.duties} & {DutyState.DONE, DutyState.RUNNING}


@pytest.mark.usefixtures("granted")
def test_reports_of_papers_in_force_are_named_whichever_job_needs_them(session: Session) -> None:
    """The small aircraft of own-quarter needs no COA, but its reports are due all the same."""
    (one,) = look_at_morning(session, None, date(2027, 7, 31)).jobs
    book = add_duties(session, make_plan(session, None, date(2027, 7, 31))).plan.duties

    reports = {duty.id: duty for duty in one.duties if "monthly-report/" in duty.id}

    assert "faa.airspace-authorization" not in {paper.paper.id for paper in one.standing.papers}
    assert {name.partition("/")[0] for name in reports} == {
        "faa.airspace-authorization.monthly-report",
        "faa.exemption.monthly-report",
    }
    assert reports == {
        duty.id: duty for duty in book.due if duty.is_live and "monthly-report/" in duty.id
    }


@pytest.mark.usefixtures("granted")
def test_report_that_no_job_needs_is_marked_and_none_that_another_job_needs(
    session: Session, demo_operation: Operation
) -> None:
    """own-quarter alone needs no COA; beside the other jobs it is not marked."""
    day = date(2027, 7, 31)
    needed = {duty.needed for duty in look_at_morning(session, None, day).jobs[0].duties}
    alone = tuple(job for job in demo_operation.jobs if job.first_day <= day <= job.last_day)
    save_operation(session, replace(demo_operation, jobs=alone), namespace="n")

    (one,) = look_at_morning(session, None, day).jobs
    marked = {duty.row.id for duty in one.duties if not duty.needed}

    assert needed == {True}
    assert "faa.airspace-authorization.monthly-report" in marked
    assert all("(held, no job needs it)" in duty.about for duty in one.duties if not duty.needed)


def test_moment_of_the_morning_decides_hours(
    session: Session, demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """A notice to be given 24 to 72 hours before 06:30 is late a minute after its hour."""
    jobs = tuple(replace(job, first_flight="06:30") for job in demo_operation.jobs)
    save_operation(session, replace(demo_operation, jobs=jobs), namespace="n")
    append_log(session, demo_operation.id, demo_log)

    def state(minute: int) -> str:
        now = datetime(2027, 5, 23, 11, minute, tzinfo=UTC)  # 06:30 in Nebraska is 11:30 UTC
        morning = look_at_morning(session, None, date(2027, 5, 23), job="pasture-ne", now=now)
        found = [duty for duty in morning.jobs[0].duties if duty.id.count(".notam/")]
        return str(found[0].state)

    assert (state(30), state(31)) == ("open", "overdue")


def test_unknown_names_are_refused(session: Session) -> None:
    day = date(2027, 5, 24)
    with pytest.raises(NotFoundError, match="pasture-nebr"):
        look_at_morning(session, None, day, job="pasture-nebr")
    with pytest.raises(RefusedError, match="no job asked about has the aircraft 'tg47'") as told:
        look_at_morning(session, None, day, aircraft="tg47")
    assert told.value.hint == "did you mean `tg46`?"
    with pytest.raises(RefusedError, match="no job asked about has the pilot 'x'") as told:
        look_at_morning(session, None, day, pilot="x")
    assert told.value.hint == "known: odile, wren"


def test_farm_without_jobs_is_told_what_to_do(session: Session, demo_operation: Operation) -> None:
    save_operation(session, replace(demo_operation, jobs=()), namespace="n")
    text = show(look_at_morning(session, None, date(2027, 5, 24)))

    assert "Write the jobs into your file and load it, or run `mailby setup`." in text


def test_json_follows_its_schema(
    session: Session, demo_operation: Operation, granted: tuple[LogEntry, ...]
) -> None:
    """Checked by the package jsonschema; the days give every kind of answer and list."""
    Draft.check_schema(SCHEMA)
    received = replace(granted[0], number=len(granted) + 1, kind=EventKind.RECEIVED)
    append_log(session, demo_operation.id, (received,))
    for day in (date(2027, 1, 11), date(2027, 5, 24), date(2027, 8, 1), date(2027, 8, 23)):
        for job in ("", "pasture-sd"):
            text = show_json(look_at_morning(session, None, day, job=job))
            checker = Draft(SCHEMA, format_checker=Draft.FORMAT_CHECKER)
            checker.validate(json.loads(text))


@pytest.mark.usefixtures("granted")
@pytest.mark.parametrize("day", [date(2027, 1, 11), date(2027, 5, 24), date(2027, 8, 23)])
def test_text_fits_the_screen_and_ends_with_the_caution(session: Session, day: date) -> None:
    text = show(look_at_morning(session, None, day, job="cover-crop"))

    assert all(len(line) <= WIDTH for line in text.splitlines() if "`" not in line)
    assert " ".join(text.split()).endswith(CAUTION)
