"""How long an act past its safe day may wait for a drive with others; the farm is invented.

The seven days are our own choice: common practice, no source.
"""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import example, given, settings
from hypothesis import strategies as st

from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.trip_plan import compute_trip_plan
from compliance.engine.trip_tasks import SOON_DAYS, compute_town_tasks
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.rules.model import RulesTable


@settings(deadline=None, derandomize=True, database=None, max_examples=20)
@given(
    service=st.sampled_from(tuple(MailService)),
    spray=st.dates(date(2027, 4, 26), date(2027, 7, 31)),
    ago=st.integers(0, 20),
    ahead=st.integers(0, 60),
)
@example(service=MailService.EXPRESS, spray=date(2027, 6, 10), ago=0, ahead=0)
def test_no_act_waits_for_more_than_a_week_after_it_can_be_done(
    demo_operation: Operation,
    demo_log: tuple[LogEntry, ...],
    table: RulesTable,
    service: MailService,
    spray: date,
    ago: int,
    ahead: int,
) -> None:
    """Its last day to wait is at most seven days after the first day it can be done in town."""
    told_on = date(2027, 1, 11) - timedelta(days=ago)
    operation = replace(move_first_spray(demo_operation, spray), mail_service=service)
    as_of = date(2027, 1, 11) + timedelta(days=ahead)
    plan = compute_plan(operation, table, demo_log, as_of)
    plan = replace(plan, told_on=told_on)

    trips = compute_trip_plan(plan, table, compare=False)
    first = {act.step.id: act.first for trip in trips.trips for act in trip.acts}
    waits = {
        task.step.id: task.errand.last - first[task.step.id].toordinal()
        for task in compute_town_tasks(plan, table)
        if task.is_soon and task.step.id in first
    }

    assert {name: days for name, days in waits.items() if days > SOON_DAYS} == {}
