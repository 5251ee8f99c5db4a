"""The earliest days of a plan when each act in town waits for the trip it is planned on."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from compliance.engine.days import OperationDays
from compliance.engine.network import IN_HAND, NetworkBuilder
from compliance.engine.plan import build_days, plan_job
from compliance.engine.plan_days import Ahead, run_ahead
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan, TripDay
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

    No trip is later than the last day of an act on it, so no paper in time grows late by this. An
    act that is late keeps its own first day, so that remedies and days too late count from one day.
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


def list_floors(days: Mapping[str, TripDay]) -> dict[str, int]:
    """Give the day number before which each act in town is not done, by step id; no late ones."""
    return {name: day.on.toordinal() for name, day in days.items() if not day.is_late}


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
