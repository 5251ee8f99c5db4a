"""What to do today and in the next seven days, in words."""

from collections.abc import Iterator
from datetime import timedelta

from compliance.base.dates import say_date
from compliance.engine.agenda import Item, ItemKind, compute_agenda, pick_first_acts
from compliance.engine.awaited import list_overdue
from compliance.engine.plan_model import Plan
from compliance.outputs.duties_text import list_today_lines
from compliance.outputs.grounded_words import may_fly_in_part, say_in_part
from compliance.outputs.trip_pages import TripPage
from compliance.outputs.trips_text import list_trip_lines
from compliance.outputs.words import (
    CAUTION,
    list_cautions,
    say_if_came,
    say_late_job,
    say_limits,
    say_relative,
    wrap,
)

DAYS_AHEAD = 7


def render_today_text(plan: Plan, trips: tuple[TripPage, ...] = ()) -> str:
    """Render the few things that fall on today or the seven days after it, both inclusive.

    An act belongs to the week when the day to plan for falls in it. Of *trips* to town those of the
    week are shown with what to bring, but for those that wait for an overdue paper.
    """
    end = plan.as_of + timedelta(days=DAYS_AHEAD)
    agenda = pick_first_acts(compute_agenda(plan))
    agenda = tuple(sorted(agenda, key=lambda item: item.day))
    items = [item for item in agenda if plan.as_of <= item.day <= end]
    lines = [wrap(f"{plan.operation.legal_name}: {say_date(plan.as_of)} and the next seven days")]
    lines.extend(wrap(f"! {warning}", hang=2) for warning in plan.warnings)
    lines.extend(wrap(line, hang=2) for line in _list_late(plan))
    lines.extend(
        wrap(
            f"! {job.job.id} is grounded after {say_date(job.gap[0])}: {job.gap_packet} runs out, "
            f"and a new one can be there on {say_date(job.gap[1])}",
            hang=2,
        )
        for job in plan.jobs
        if job.gap is not None
    )
    duties = tuple(list_today_lines(plan, DAYS_AHEAD))
    if not items and not duties:
        lines.extend(["", "Nothing this week."])
        ahead = [item for item in agenda if item.day > end]
        if ahead:
            lines.append(wrap(f"Next: {_say(plan, ahead[0])}"))
    for item in items:
        lines.extend(["", wrap(_say(plan, item), hang=2)])
    if duties:
        lines.extend(["", "DUTIES AROUND FLYING; all of them: mailby duties", *duties])
    for trip in trips:
        if plan.as_of <= trip.on <= end:
            lines.extend(["", *_say_trip(plan, trip)])
    cautions = list_cautions(plan) if duties else (CAUTION,)
    lines.extend(["", *(wrap(caution) for caution in cautions)])
    return "\n".join(lines) + "\n"


def _list_late(plan: Plan) -> Iterator[str]:
    """Name the late jobs, and once where to read what would help, when anything does."""
    late = [job for job in plan.jobs if job.late_by_days]
    for job in late:
        overdue = list_overdue(plan, job)
        even_if = f", not even {say_if_came(overdue)}" if overdue else ""
        part = f"; {say_in_part(job)}" if may_fly_in_part(plan, job) else ""
        yield f"! {say_late_job(job, even_if)}{part}"
    if plan.helped:
        yield f"! `mailby plan` says what would help {', '.join(plan.helped)}"


def _say_trip(plan: Plan, trip: TripPage) -> list[str]:
    """Say a trip with its places, who comes along and what to bring."""
    when = say_relative(trip.on, plan.as_of)
    head = f"TRIP TO TOWN, {say_date(trip.on)} ({when}); all of it: mailby trips"
    lines = [wrap(head, hang=2)]
    lines.extend(wrap(line, indent=2, hang=6) for line in list_trip_lines(trip, short=True))
    return lines


def _say(plan: Plan, item: Item) -> str:
    day = f"{say_date(item.day)} ({say_relative(item.day, plan.as_of)})"
    if item.kind is ItemKind.RUNS_OUT:
        return f"{day}: last day in force of {item.subject}"
    where = ""
    if item.step is not None and item.kind is ItemKind.DO:
        where = f" [{item.step.row.done_at}]" if item.step.row.done_at else ""
    limits = "; ".join(say_limits(item))
    return f"{day}: {item.title}{where} - {item.subject}{f' ({limits})' if limits else ''}"
