"""Days that a change makes later only because a trip to town moves."""

from datetime import date

from compliance.base.dates import say_date
from compliance.engine.plan_model import PaperPlan, Plan, TripDay


def list_later_trips(before: tuple[Plan, Plan], after: tuple[Plan, Plan]) -> tuple[str, ...]:
    """Say which packets are ready later only because a trip to town moves, trip by trip.

    Shape: *before* and *after* are a plan with its trips, and as it was before them. A packet that
    would be ready later without trips too, or of which no act of its own goes to town later, is
    left out.
    """
    moved: dict[tuple[date, date, bool], list[str]] = {}
    for paper in after[0].papers:
        old, old_alone, new_alone = (side.find_paper(paper.id) for side in (*before, after[1]))
        if old is None or old_alone is None or new_alone is None:
            continue
        only_trips = new_alone.earliest_ready <= old_alone.earliest_ready
        if not only_trips or paper.earliest_ready <= old.earliest_ready:
            continue
        trips = _find_later_trip(before[0], after[0], paper)
        if trips is not None:
            was, now = trips
            moved.setdefault((was.on, now.on, now.is_safe), []).append(paper.id)
    return tuple(
        f"ready later only because a trip to town moves from {say_date(was)} to {say_date(now)}, "
        f"which is still by the {'safe' if safe else 'last'} day: {', '.join(names)}"
        for (was, now, safe), names in moved.items()
    )


def _find_later_trip(before: Plan, after: Plan, paper: PaperPlan) -> tuple[TripDay, TripDay] | None:
    """Find the last act of a packet that goes to town later, and its trip before and after."""
    for step in reversed(paper.steps):
        old, new = before.trip_days.get(step.id), after.trip_days.get(step.id)
        if step.done_on is None and old is not None and new is not None and new.on > old.on:
            return old, new
    return None
