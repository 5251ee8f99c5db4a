"""What is said of jobs to come that nobody knows; the day clocks change is from 15 U.S.C. 260a."""

from dataclasses import replace
from datetime import date

from compliance.engine.unknowns import find_unknowns
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable


def test_hour_of_the_first_flight_that_is_not_used_is_said(
    demo_operation: Operation, table: RulesTable
) -> None:
    """`go` and `today` say so too, not the duties alone; a day that is over is not told of."""
    job = replace(
        demo_operation.jobs[0],
        first_day=date(2027, 3, 10),
        last_day=date(2027, 3, 20),
        first_flight="02:30",
    )
    operation = replace(demo_operation, jobs=(job,), time_zone="America/Chicago")
    said = (
        f"{job.id}: 02:30 does not exist on Sun 14 Mar 2027: clocks go forward, so its "
        "`first_flight` is not used for that day; count from the hour you mean"
    )

    assert said in tuple(find_unknowns(operation, table, date(2027, 3, 14)))
    assert said not in tuple(find_unknowns(operation, table, date(2027, 3, 15)))
