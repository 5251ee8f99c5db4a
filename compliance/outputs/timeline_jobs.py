"""The jobs and the drives to town as rows of a season."""

from datetime import date, timedelta

from compliance.base.dates import say_days
from compliance.engine.plan_model import JobPlan
from compliance.outputs.timeline_frame import (
    Frame,
    bring_inside,
    keep_inside,
    make_mark,
    say_day,
    say_short,
)
from compliance.outputs.timeline_model import Mark, Row, Sign, Stretch, Weight


def make_job_row(job: JobPlan, frame: Frame, *, is_first: bool) -> Row:
    """Make the row of one job: its days, and those on which it may not be flown yet."""
    first, last = job.job.first_day, job.job.last_day
    stretches = [Stretch(first=first, last=last, weight=Weight.SPRAYING)]
    marks = []
    notes = [f"{job.job.state}, {say_day(first)} to {say_day(last)}"]
    if first >= frame.first:
        word = "begins" if first >= frame.as_of else "first day"
        word = "first spray" if is_first else word
        marks.append(make_mark(Sign.NEEDED, first, (word, word), 1))
    if job.late_by_days:
        lawful = job.first_lawful_day
        stretches.append(Stretch(first=first, last=lawful - timedelta(days=1), weight=Weight.LATE))
        marks.append(make_mark(Sign.READY, lawful, ("first lawful day", "lawful"), 0))
        notes.append(f"LATE by {say_days(job.late_by_days)}")
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
