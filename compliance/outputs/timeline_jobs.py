"""The jobs and the drives to town as rows of a season."""

from collections.abc import Iterator
from datetime import date, timedelta

from compliance.base.dates import say_days
from compliance.engine.agenda import subject_of
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.outputs.timeline_frame import (
    Frame,
    bring_inside,
    keep_inside,
    make_mark,
    say_day,
    say_short,
)
from compliance.outputs.timeline_model import Mark, Row, Sign, Stretch, Weight
from compliance.outputs.words import say_if_came


def make_job_row(plan: Plan, job: JobPlan, frame: Frame, *, is_first: bool) -> Row:
    """Make the row of one job: its days, those on which it may not be flown yet, its conditions."""
    first, last = job.job.first_day, job.job.last_day
    stretches = [Stretch(first=first, last=last, weight=Weight.SPRAYING)]
    marks = []
    overdue = tuple(one for one in list_needed(plan, job) if one.overdue_since is not None)
    notes = [f"{job.job.state}, {say_day(first)} to {say_day(last)}"]
    if first >= frame.first:
        word = "begins" if first >= frame.as_of else "first day"
        word = "first spray" if is_first else word
        marks.append(make_mark(Sign.NEEDED, first, (word, word), 1))
    if job.late_by_days:
        lawful, since = job.first_lawful_day, job.grounded_since
        late = Stretch(first=since or first, last=lawful - timedelta(days=1), weight=Weight.LATE)
        stretches.append(late)
        words = ("first lawful day", "lawful")
        if job.ended_on is not None:
            words = ("may fly again", "flies again")
            grounded = ("grounded after", "grounded after")
            marks.append(make_mark(Sign.ENDS, job.ended_on, grounded, 0))
        # Nobody knows when the overdue paper comes; before this day it is lawful in no case.
        words = ("not lawful before", "not before") if overdue else words
        marks.append(make_mark(Sign.READY, lawful, words, 0))
        by = f"LATE by {say_days(job.late_by_days)}"
        notes.append(by if since is None else f"GROUNDED since {say_day(since)}")
    notes.extend(_list_conditions(plan, job, overdue))
    if job.gap is not None:
        through, again = job.gap
        start = through + timedelta(days=1)
        stretches.append(Stretch(first=start, last=again - timedelta(days=1), weight=Weight.LATE))
        marks.append(make_mark(Sign.ENDS, through, ("grounded after", "grounded after"), 0))
        marks.append(make_mark(Sign.READY, again, ("may fly again", "flies again"), 0))
        notes.append("GROUNDED in between")
    return Row(
        key=job.job.id,
        title=job.job.id,
        notes=tuple(notes),
        stretches=tuple(keep_inside(tuple(stretches), frame)),
        marks=tuple(bring_inside(mark, frame) for mark in marks),
        is_late=job.late_by_days > 0 or job.gap is not None,
    )


def list_needed(plan: Plan, job: JobPlan) -> list[PaperPlan]:
    """List the papers that a job needs, in the order of the plan."""
    return [paper for paper in plan.papers if job.job.id in paper.packet.verdict.jobs]


def _list_conditions(plan: Plan, job: JobPlan, overdue: tuple[PaperPlan, ...]) -> Iterator[str]:
    """Say on what the days of a job hang besides: overdue offices, renewals filed late."""
    if overdue:
        which = name_overdue(plan, overdue)
        if job.late_by_days:
            yield f"and that ONLY {say_if_came(overdue)}{which}"
        else:
            come = "paper comes" if len(overdue) == 1 else "papers come"
            yield f"in time ONLY IF the overdue {come} in time{which}"
    missed = [one for one in list_needed(plan, job) if one.renewal_missed is not None]
    if missed:
        names = " and ".join(subject_of(plan, paper) for paper in missed)
        yield f"ONLY IF the office takes a late renewal: {names}"


def name_overdue(plan: Plan, papers: tuple[PaperPlan, ...]) -> str:
    """Name overdue papers after a colon; empty when the head of the page names the only one."""
    if sum(one.overdue_since is not None for one in plan.papers) == 1:
        return ""
    return f": {' and '.join(subject_of(plan, paper) for paper in papers)}"


def make_trips_row(trips: tuple[date, ...], frame: Frame) -> Row:
    """Make the row of the drives to town; each day once."""
    days = sorted(set(trips))
    marks = [
        Mark(on=day, sign=Sign.TOWN, words=say_day(day), short=say_short(day), order=0)
        for day in days
    ]
    return Row(
        key="trips",
        title="Trips to town",
        notes=(f"{len(days)} {'drive' if len(days) == 1 else 'drives'}",),
        marks=tuple(bring_inside(mark, frame) for mark in marks),
    )
