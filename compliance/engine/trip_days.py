"""The earliest days of a plan when each act in town waits for the trip it is planned on."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from compliance.engine.awaited import list_holding
from compliance.engine.days import OperationDays
from compliance.engine.network import IN_HAND, NetworkBuilder
from compliance.engine.plan import build_days, plan_job
from compliance.engine.plan_days import Ahead, run_ahead
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan, TripDay
from compliance.engine.trip_tasks import compute_town_tasks
from compliance.facts.model import MailService
from compliance.rules.model import RulesTable


def apply_trip_days(
    plan: Plan,
    table: RulesTable,
    days: Mapping[str, TripDay],
    *,
    by_packet: Mapping[str, MailService] | None = None,
) -> Plan:
    """Give a plan its trip days, and the earliest days that follow from them.

    No trip is later than the last day of an act on it, so no paper in time grows late by this; an
    act that is late is moved to its trip too, and with it the first lawful day (`move_late`).
    *by_packet* are packets that go by another service than the operation's. Editions, documents and
    fees stay those of the days before.
    """
    floors = list_floors(days)
    if not floors:
        return replace(plan, trip_days=days)
    packets = tuple(paper.packet for paper in plan.papers)
    calendars: OperationDays = build_days(plan.operation, packets, plan.as_of)
    service, choice = plan.operation.mail_service, plan.choices.earliest
    builder = NetworkBuilder(packets, table, calendars, service, by_packet=by_packet, floors=floors)
    ahead = run_ahead(builder, choice, plan.as_of)
    papers = tuple(_move_paper(paper, ahead) for paper in plan.papers)
    jobs = tuple(plan_job(job.job, papers, plan.as_of) for job in plan.jobs)
    return replace(plan, trip_days=days, papers=papers, jobs=jobs)


def move_late(
    plan: Plan, table: RulesTable, *, by_packet: Mapping[str, MailService] | None = None
) -> Plan:
    """Give a plan with its late acts in town on the day of their trip, without looking for trips.

    A night at home between two acts, or places whose hours do not go together, make that day later
    than the calendars of the places do. It is the day on which the trips have the act, because an
    act that is late goes on its first possible day. An act that waits for an overdue paper has no
    trip, and stays. The first lawful days of late jobs are then those of the plan with its trips.
    """
    days = {
        task.step.id: date.fromordinal(task.errand.last)
        for task in compute_town_tasks(plan, table)
        if not task.in_time and task.errand.days and not list_holding(plan, task.paper, task.step)
    }
    late = {name: TripDay(first=day, on=day, by=day, is_safe=False) for name, day in days.items()}
    if all(_find_first(plan, name) == day for name, day in days.items()):
        return plan
    moved = apply_trip_days(plan, table, late, by_packet=by_packet)
    return replace(moved, trip_days=plan.trip_days)


def _find_first(plan: Plan, name: str) -> date | None:
    step = plan.find_step(name)
    return step.earliest if step is not None else None


def list_floors(days: Mapping[str, TripDay]) -> dict[str, int]:
    """Give the day number before which each act in town is not done, by step id."""
    return {name: day.on.toordinal() for name, day in days.items()}


def find_first_days(
    plan: Plan, table: RulesTable, *, by_packet: Mapping[str, MailService] | None = None
) -> dict[str, date]:
    """Find the first day of every step on any trip, where the plan has trips on later days.

    Shape: by step id, at usual times; empty for a plan without trips. *by_packet* are packets that
    go by another service than the operation's.
    """
    if not plan.trip_days:
        return {}
    packets = tuple(paper.packet for paper in plan.papers)
    builder = NetworkBuilder(
        packets,
        table,
        build_days(plan.operation, packets, plan.as_of),
        plan.operation.mail_service,
        by_packet=by_packet,
        floors={name: day.first.toordinal() for name, day in plan.trip_days.items()},
    )
    ahead = run_ahead(builder, plan.choices.earliest, plan.as_of)
    return {name: date.fromordinal(one.finish) for name, one in ahead.earliest.items()}


def _move_paper(paper: PaperPlan, ahead: Ahead) -> PaperPlan:
    end = ahead.earliest.get(f"{paper.id}/{IN_HAND}")
    if end is None:
        return paper
    return replace(
        paper,
        steps=tuple(_move_step(step, ahead) for step in paper.steps),
        earliest_ready=date.fromordinal(end.finish),
        ready_bound_by=end.bound_by,
    )


def _move_step(step: StepPlan, ahead: Ahead) -> StepPlan:
    found = ahead.earliest[step.id]
    if step.done_on is not None:
        return step
    # Not said of the trip: whoever asks why wants what the trip waits for.
    bound_by = step.earliest_by if found.bound_by == "not_before" else found.bound_by
    return replace(step, earliest=date.fromordinal(found.finish), earliest_by=bound_by)
