"""The plan as it would be worked back for one packet's safe day, so that it can be explained."""

from dataclasses import replace
from datetime import date

from compliance.engine.network import IN_HAND, NetworkBuilder, Step
from compliance.engine.plan_days import build_days, rerun_safe
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.engine.schedule import Latest
from compliance.rules.model import RulesTable


def compute_safe_plan(plan: Plan, table: RulesTable, packet_id: str) -> Plan:
    """Give the plan with the days that lead to one packet's safe day in place of the last days.

    That packet's steps have slow times and one spare return, whose steps stand among them; all
    other packets have slow times and no spare return. Earliest days and what is done stay.
    """
    packets = tuple(paper.packet for paper in plan.papers)
    days = build_days(plan.operation, packets, plan.as_of)
    builder = NetworkBuilder(packets, table, days, plan.operation.mail_service)
    (joined, slow), (spare, alone) = rerun_safe(builder, packets, plan.choices)
    papers = []
    for paper in plan.papers:
        is_asked = paper.id == packet_id
        network, days_of = (spare, alone) if is_asked else (joined, slow)
        steps = [step for step in network.steps.values() if step.packet.id == paper.id]
        papers.append(_with_days(paper, steps, days_of, slow))
    return replace(plan, papers=tuple(papers))


def _with_days(
    paper: PaperPlan, steps: list[Step], latest: dict[str, Latest], slow: dict[str, Latest]
) -> PaperPlan:
    end = slow.get(f"{paper.id}/{IN_HAND}")
    if end is None or end.finish is None:
        return paper
    known = {step.id: step for step in (*paper.steps, *paper.later)}
    return replace(
        paper,
        steps=tuple(_place(known.get(step.id) or _new(step), step, latest) for step in steps),
        in_hand_by=date.fromordinal(end.finish),
        in_hand_bound_by=end.bound_by or "",
    )


def _new(step: Step) -> StepPlan:
    """Give a step of the spare return, which the plan itself does not have."""
    return StepPlan(
        id=step.id,
        row=step.row,
        turn=step.turn,
        days=step.days,
        calendar=step.calendar,
        last=None,
        last_start=None,
        safe=None,
        earliest=date.min,
        done_on=None,
        shown=False,
        bound_by="",
        earliest_by="",
    )


def _place(shown: StepPlan, step: Step, latest: dict[str, Latest]) -> StepPlan:
    found = latest[step.id]
    if found.start is None or found.finish is None:
        return shown
    return replace(
        shown,
        row=step.row,
        days=step.days,
        calendar=step.calendar,
        last_as=None,
        last=date.fromordinal(found.finish),
        last_start=date.fromordinal(found.start),
        bound_by=found.bound_by or "",
    )
