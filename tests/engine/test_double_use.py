"""Aircraft in two jobs at once; the farm is invented. One job at a time is common practice."""

from dataclasses import replace
from datetime import date

from compliance.engine.double_use import list_new_double_use
from compliance.engine.plan import move_first_spray
from compliance.facts.model import Operation


def test_a_moved_season_says_who_is_in_two_jobs(demo_operation: Operation) -> None:
    """A week later pasture-ne, 20 days long, ends on 19 June; pasture-sd begins on 14 June."""
    moved = move_first_spray(demo_operation, date(2027, 5, 31))

    (said,) = list_new_double_use(demo_operation, moved, date(2027, 1, 11))
    assert said == (
        "pasture-ne and pasture-sd then both have tg46 from Mon 14 Jun 2027 through Sat 19 Jun "
        "2027; move the other job too, or take turns"
    )
    assert list_new_double_use(moved, moved, date(2027, 1, 11)) == ()
    assert list_new_double_use(demo_operation, moved, date(2027, 6, 20)) == ()


def test_another_aircraft_is_no_double_use(demo_operation: Operation) -> None:
    """Days in common do no harm when no aircraft is in common."""
    first, *others = demo_operation.jobs
    apart = replace(demo_operation, jobs=(replace(first, aircraft=("tg18",)), *others))
    moved = move_first_spray(apart, date(2027, 5, 31))
    shared = {name for job in others[:1] for name in job.aircraft}

    assert "tg18" not in shared
    assert list_new_double_use(apart, moved, date(2027, 1, 11)) == ()
