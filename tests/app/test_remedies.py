"""What would help is really done, by what-if or in the facts, and the day promised comes of it.

Our own promise; farm, log and days are the demo's.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from compliance.app.facts_file import parse_facts
from compliance.app.planned import Planned
from compliance.app.trips import add_trip_days
from compliance.base.dates import WEEKDAYS
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan, Remedy
from compliance.engine.remedies import add_helped, add_remedies
from compliance.engine.trip_plan import compute_trip_plan
from compliance.engine.what_if import apply_wish
from compliance.engine.wish import Wish
from compliance.facts.model import Closure, Operation
from compliance.facts.places import Place, PlaceKind

APRIL = Closure(
    who="vehicle", first_day=date(2027, 4, 7), last_day=date(2027, 4, 23), why="in the shop"
)
SPRING = replace(APRIL, first_day=date(2027, 1, 11), last_day=date(2027, 6, 30), why="sold")
DAYS = replace(APRIL, first_day=date(2027, 5, 3), last_day=date(2027, 5, 8), why="borrowed")
CASES = (
    ((), date(2027, 4, 10)),
    ((), date(2027, 5, 20)),
    ((APRIL,), date(2027, 4, 5)),
    ((SPRING,), date(2027, 1, 11)),
    ((SPRING,), date(2027, 3, 20)),
    ((DAYS,), date(2027, 5, 3)),
)


def plan_with(planned: Planned, closures: tuple[Closure, ...], day: date) -> Plan:
    operation = planned.plan.operation
    operation = replace(operation, closures=(*operation.closures, *closures))
    plan = compute_plan(operation, planned.table, planned.log, day)
    return add_remedies(plan, planned.table, planned.log)


def open_places(operation: Operation, remedy: Remedy) -> Operation:
    """Write into the facts that a place of that kind is open on the weekday named, and that day."""
    for kind, day in remedy.others:
        weekday = WEEKDAYS[day.weekday()]
        if kind is PlaceKind.NOTARY:
            days = {*operation.notary_days, weekday}
            operation = replace(operation, notary_days=tuple(sorted(days, key=WEEKDAYS.index)))
        else:
            days = {*operation.post_office_days, weekday}
            operation = replace(operation, post_office_days=tuple(sorted(days, key=WEEKDAYS.index)))
        operation = replace(operation, closures=tuple(_cut(operation, str(kind), day)))
    return operation


def _cut(operation: Operation, who: str, day: date) -> Iterator[Closure]:
    for one in operation.closures:
        if one.who != who or not one.first_day <= day <= one.last_day:
            yield one
            continue
        if one.first_day < day:
            yield replace(one, last_day=day - timedelta(days=1))
        if day < one.last_day:
            yield replace(one, first_day=day + timedelta(days=1))


def do_it(planned: Planned, plan: Plan, remedy: Remedy) -> Plan:
    """Do what a remedy says, and plan with it, trips and all, as what-if does."""
    mail = (("all", "express"),) if "Express" in remedy.what else ()
    wish = Wish(mail=mail, trips=remedy.trips)
    operation = open_places(plan.operation, remedy)
    if not wish.is_empty:
        there = replace(plan, operation=operation)
        operation = apply_wish(there, planned.table, planned.log, wish).operation
    if remedy.what.startswith("begin"):
        jobs = tuple(
            replace(job, first_day=remedy.first_lawful_day) if job.id == remedy.job else job
            for job in operation.jobs
        )
        operation = replace(operation, jobs=jobs)
    after = compute_plan(operation, planned.table, planned.log, plan.as_of)
    return add_trip_days(Planned(plan=after, table=planned.table, log=planned.log)).plan


def first_day(plan: Plan, job: str) -> date:
    return next(one.first_lawful_day for one in plan.jobs if one.job.id == job)


@pytest.mark.parametrize(("closures", "day"), CASES)
def test_what_would_help_really_done_gives_the_day_promised(
    demo_planned: Planned, closures: tuple[Closure, ...], day: date
) -> None:
    plan = plan_with(demo_planned, closures, day)
    late = {job.job.id for job in plan.jobs if job.late_by_days}

    assert late
    assert {one.job for one in plan.remedies} | set(plan.unhelped) == late
    assert not {one.job for one in plan.remedies} & set(plan.unhelped)
    bare = replace(plan, remedies=(), unhelped=(), helped=())
    assert add_helped(bare, demo_planned.table, demo_planned.log).helped == plan.helped
    assert set(plan.helped) == {one.job for one in plan.remedies}
    for remedy in plan.remedies:
        after = do_it(demo_planned, plan, remedy)
        assert (remedy.what, remedy.job, first_day(after, remedy.job)) == (
            remedy.what,
            remedy.job,
            remedy.first_lawful_day,
        )


def test_offers_with_places_of_few_days_hold(demo_planned: Planned) -> None:
    """The counter and the test center are open on Wednesdays, and a field and a notary are shut.

    Another post office is offered beside another notary. Of test centers and banks no other one is
    offered: nobody can tell whether a seat is to be had.
    """
    center = Place(kind=PlaceKind.TEST_CENTER, name="Prairie Hall", days=("wed",))
    bank = Place(kind=PlaceKind.BANK, name="Burrell Grain Bank", days=("mon",))
    facts = demo_planned.plan.operation
    operation = replace(facts, post_office_days=("wed",), places=(*facts.places[:1], center, bank))
    planned = replace(demo_planned, plan=replace(demo_planned.plan, operation=operation))
    away = replace(APRIL, first_day=date(2027, 4, 23), last_day=date(2027, 4, 25), why="")
    planting = Closure(
        who="field", first_day=date(2027, 4, 27), last_day=date(2027, 5, 4), why="planting"
    )
    closures = (away, planting, replace(away, who="notary", last_day=date(2027, 5, 8)))
    plan = plan_with(planned, closures, date(2027, 4, 23))

    assert {kind for one in plan.remedies for kind, _ in one.others} == {
        PlaceKind.NOTARY,
        PlaceKind.POST_OFFICE,
    }
    for remedy in plan.remedies:
        after = do_it(planned, plan, remedy)
        assert (remedy.what, first_day(after, remedy.job)) == (
            remedy.what,
            remedy.first_lawful_day,
        )


@pytest.mark.parametrize(("closures", "day"), CASES)
def test_no_drive_is_named_that_none_of_the_jobs_needs(
    demo_planned: Planned, closures: tuple[Closure, ...], day: date
) -> None:
    """Each drive, left out, costs one of the jobs listed a day; so does each other place."""
    check_each_is_needed(demo_planned, plan_with(demo_planned, closures, day))


def check_each_is_needed(planned: Planned, plan: Plan) -> None:
    for what in dict.fromkeys(one.what for one in plan.remedies if one.trips or one.others):
        same = [one for one in plan.remedies if one.what == what]
        fewer = [
            *(
                replace(same[0], trips=tuple(other for other in same[0].trips if other != day))
                for day in same[0].trips
            ),
            *(
                replace(same[0], others=tuple(other for other in same[0].others if other != one))
                for one in same[0].others
            ),
        ]
        for one in fewer:
            after = do_it(planned, plan, one)
            assert any(first_day(after, job.job) > job.first_lawful_day for job in same), what


def test_each_offer_lists_every_late_job_that_it_helps(demo_planned: Planned) -> None:
    """A vehicle in the shop, a harvest, a notary away: express and the drives help three jobs.

    Before, express and drives of 7, 9 and 10 December were offered for two of them alone, who had
    needed none but the last, and the third, in time with these, was not listed.
    """
    facts = (Path(__file__).parent / "late_in_winter.yaml").read_text(encoding="utf-8")
    operation = parse_facts(facts, "late_in_winter.yaml", demo_planned.table)
    plan = compute_plan(operation, demo_planned.table, (), date(2026, 11, 28))
    planned = Planned(plan=plan, table=demo_planned.table, log=())
    plan = add_remedies(plan, planned.table, ())

    check_each_is_needed(planned, plan)
    both = [one for one in plan.remedies if "Express" in one.what and one.trips]
    said = (
        "send every packet by Priority Mail Express, and go to town on Wed 9 Dec 2026 and Thu 10 "
        "Dec 2026 after all (harvest of the late corn, Mon 7 Dec 2026 to Sat 12 Dec 2026)"
    )
    assert {one.what for one in both} == {said}
    assert {one.job: one.first_lawful_day for one in both} == {
        "j1": date(2027, 2, 1),
        "j2": date(2027, 2, 1),
        "j3": date(2027, 1, 11),
    }
    for remedy in plan.remedies:
        after = do_it(planned, plan, remedy)
        assert first_day(after, remedy.job) == remedy.first_lawful_day
        if not remedy.what.startswith("begin"):
            listed = {one.job for one in plan.remedies if one.what == remedy.what}
            assert listed == {
                job.job.id
                for job in plan.jobs
                if job.late_by_days and first_day(after, job.job.id) < job.first_lawful_day
            }


def test_closure_in_the_way_is_named_with_the_day_to_go(demo_planned: Planned) -> None:
    """The notary is there on Tuesdays and Thursdays, away on the 6th: 8 April is the first day.

    Before, "any weekday" was offered, 5 April was meant, and the closure was not named.
    """
    plan = plan_with(demo_planned, (APRIL,), date(2027, 4, 5))
    trips = [one for one in plan.remedies if one.trips]

    assert {one.what for one in trips} == {
        "go to town on Thu 8 Apr 2027 after all (in the shop, Wed 7 Apr 2027 to Fri 23 Apr 2027)"
    }
    assert {one.what for one in plan.remedies if one.others} == {
        "find a notary that is open on Mon 5 Apr 2027"
    }
    after = do_it(demo_planned, plan, trips[0])
    found = compute_trip_plan(after, demo_planned.table)
    assert date(2027, 4, 8) in [trip.on for trip in found.trips]


def test_each_late_job_is_helped_or_named(demo_planned: Planned) -> None:
    """With the vehicle gone till July three jobs are late; before, only the latest had a word."""
    plan = plan_with(demo_planned, (SPRING,), date(2027, 1, 11))

    by_job = {
        job.job.id: [one.what.split()[0] for one in plan.remedies if one.job == job.job.id]
        for job in plan.jobs
    }
    assert by_job == {
        "pasture-ne": ["go"],
        "pasture-sd": ["go"],
        "own-quarter": [],
        "cover-crop": ["send", "go", "begin"],
    }
    assert [job.late_by_days > 0 for job in plan.jobs] == [True, True, False, True]
    assert plan.unhelped == ()
