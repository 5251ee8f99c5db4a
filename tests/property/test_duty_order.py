"""The list of duties is in the order of its moments, whatever was flown where and told when."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.app.demo import FACTS
from compliance.app.facts_file import parse_facts
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.tables import load_shipped_table
from compliance.engine.applies import compute_verdicts
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty
from compliance.facts.events import JobEvent, JobEventKind
from compliance.outputs.duty_groups import group_duties

TABLE = load_shipped_table()
FARM = parse_facts(read_folder(shipped_folder("demo_data"))[FACTS], FACTS, TABLE)
CENTRAL, MOUNTAIN = "America/Chicago", "America/Denver"
DAY = datetime(2027, 5, 24)  # noqa: DTZ001 # the clock on the wall; each flight has its own zone
ZONES = {"pasture-ne": CENTRAL, "pasture-sd": MOUNTAIN}
# Flights end at quarters of the hours around midnight too, where two clocks show two days.
FLIGHTS = st.lists(
    st.tuples(st.sampled_from(sorted(ZONES)), st.integers(0, 4 * 72)), min_size=2, max_size=7
)


def read_moment(duty: DueDuty) -> datetime:
    """Give the moment of a duty, or the end of its day on its job's clock, written anew here."""
    if duty.due_at is not None:
        return duty.due_at
    zone = ZoneInfo(ZONES.get(duty.job, CENTRAL))
    return datetime.combine(duty.due_on, time(23, 59, 59), zone)


@settings(max_examples=25, derandomize=True, deadline=None)
@given(flights=FLIGHTS)
def test_duties_are_in_the_order_of_their_moments(
    flights: list[tuple[str, int]],
) -> None:
    """Flights are logged in any order, on two clocks; days and moments stand in one list."""
    jobs = tuple(
        replace(
            one,
            first_day=date(2027, 5, 24),
            last_day=date(2027, 5, 30),
            time_zone=ZONES[one.id],
            # One job says its hour and the other does not, so that there are notices of both kinds.
            first_flight="06:30" if one.id == "pasture-ne" else "",
        )
        for one in FARM.jobs
        if one.id in ZONES
    )
    operation = replace(FARM, jobs=jobs)
    events = tuple(
        _fly(number, job, DAY + timedelta(minutes=15 * quarters))
        for number, (job, quarters) in enumerate(flights, start=1)
    )
    book = compute_duty_book(
        operation,
        TABLE,
        compute_verdicts(operation, TABLE),
        (),
        events,
        as_of=date(2027, 5, 25),
        now=datetime(2027, 5, 25, 12, tzinfo=ZoneInfo(CENTRAL)),
    )

    moments = [read_moment(one).timestamp() for one in book.due]
    shown = [read_moment(one.first).timestamp() for one in group_duties(book.due)]

    assert any(one.due_at is None for one in book.due)
    assert any(one.due_at is not None for one in book.due)
    assert moments == sorted(moments)
    assert shown == sorted(shown)


def _fly(number: int, job: str, start: datetime) -> JobEvent:
    zone = ZoneInfo(ZONES[job])
    return JobEvent(
        number=number,
        kind=JobEventKind.FLEW,
        on=start.date(),
        job=job,
        start=start.replace(tzinfo=zone),
        end=(start + timedelta(minutes=95)).replace(tzinfo=zone),
        aircraft="tg46",
        pilot="odile",
    )
