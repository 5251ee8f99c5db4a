"""The one freshness rule of the shipped table: Iowa's exam scores are good for one year.

Source: IAC 21-45.22 (edition of 2024-09-18): scores lapse after one year when the certification is
not completed and paid.
"""

from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, Material, Operation
from compliance.rules.model import RulesTable

PAPER = "ia.commercial-certification"
DAY = date(2027, 1, 11)


def plan_in_iowa(operation: Operation, table: RulesTable, tested_on: date | None) -> PaperPlan:
    jobs = tuple(
        replace(job, state="IA", for_hire=True, material=Material.PESTICIDE)
        for job in operation.jobs
    )
    entry = LogEntry(
        number=1,
        kind=EventKind.DONE,
        paper=PAPER,
        holder=Holder(kind=HolderKind.PILOT, ref="odile"),
        happened_on=tested_on or DAY,
        step="test",
    )
    log = (entry,) if tested_on is not None else ()
    paper = compute_plan(replace(operation, jobs=jobs), table, log, DAY).find_paper(
        f"{PAPER}:odile"
    )
    assert paper is not None
    return paper


@pytest.mark.parametrize("tested_on", [None, date(2026, 3, 1), date(2026, 1, 11)])
def test_exam_within_the_year_is_used(
    demo_operation: Operation, table: RulesTable, tested_on: date | None
) -> None:
    """The exam of 11 January 2026 is good through 11 January 2027, 365 days later."""
    paper = plan_in_iowa(demo_operation, table, tested_on)

    assert not any("too old" in warning for warning in paper.warnings)


def test_exam_of_over_a_year_ago_is_to_be_passed_again(
    demo_operation: Operation, table: RulesTable
) -> None:
    """One day more, and the score has lapsed before the application can be finished."""
    paper = plan_in_iowa(demo_operation, table, date(2026, 1, 10))

    assert (
        "`Pass the core and category 11 exams` was done on Sat 10 Jan 2026 and is too old after "
        "Sun 10 Jan 2027; do it again"
    ) in paper.warnings
