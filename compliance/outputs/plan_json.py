"""The plan as JSON: a public interface, kept stable."""

import json
from datetime import date
from typing import Any

from compliance.engine.agenda import find_act_day
from compliance.engine.awaited import list_holding, list_missed, list_overdue
from compliance.engine.chance_model import PacketChance
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan, StepPlan
from compliance.outputs.duties_json import compute_duty_document
from compliance.outputs.words import list_cautions


def render_plan_json(plan: Plan) -> str:
    """Render the plan as JSON with ISO dates and a closing line feed."""
    return json.dumps(compute_plan_document(plan), indent=2, ensure_ascii=False) + "\n"


def compute_plan_document(plan: Plan) -> dict[str, Any]:
    """Give the plan as plain lists and dictionaries.

    Shape: see ``tests/data/plan.schema.json``. Dates are ISO texts or null, all inclusive; days are
    calendar days.
    """
    return {
        "as_of": plan.as_of.isoformat(),
        "operation": {"id": plan.operation.id, "legal_name": plan.operation.legal_name},
        "jobs": [_job(plan, job) for job in plan.jobs],
        "papers": [_paper(plan, paper) for paper in plan.papers],
        "duties": [compute_duty_document(duty) for duty in plan.duties.due if duty.is_live],
        "remedies": [
            {
                "job": remedy.job,
                "what": remedy.what,
                "first_lawful_day": remedy.first_lawful_day.isoformat(),
                "days_gained": remedy.days_gained,
                "enough": remedy.enough,
                "only_if_overdue_come": list(remedy.overdue),
                "only_if_late_renewals_are_taken": list(remedy.missed),
                "trips": [day.isoformat() for day in remedy.trips],
                "other_places": [
                    {"kind": str(kind), "on": day.isoformat()} for kind, day in remedy.others
                ],
            }
            for remedy in plan.remedies
        ],
        "unhelped": list(plan.unhelped),
        "chances": _chances(plan),
        "warnings": list(plan.warnings),
        "cautions": list(list_cautions(plan)),
    }


def _chances(plan: Plan) -> dict[str, Any] | None:
    """Give the chances, in whole percent of one, or None when none were drawn."""
    chances = plan.chances
    if chances is None:
        return None
    return {
        "draws": chances.draws,
        "seed": chances.seed,
        "wanted": chances.wanted,
        "jobs": [
            {"job": one.job, "on_first_day": round(one.on_first_day, 2)} for one in chances.jobs
        ],
        "packets": [_packet_chance(plan, one) for one in chances.packets],
        "matters": [
            {
                "step": one.step,
                "packet": one.packet,
                "job": one.job,
                "gain_per_day": round(one.gain_per_day, 3),
            }
            for one in chances.matters
        ],
    }


def _packet_chance(plan: Plan, one: PacketChance) -> dict[str, Any]:
    paper = plan.find_paper(one.packet)
    first = one.by_mail_day[0] if one.by_mail_day else None
    again = one.by_mail_day_with_return[0] if one.by_mail_day_with_return else None
    return {
        "packet": one.packet,
        "mail_step": one.mail_step,
        "mail_by": _iso(one.mail_by),
        "mail_by_with_return": _iso(one.mail_by_with_return),
        "binds": one.binds,
        "first_mail_day": None if first is None else first[0].isoformat(),
        "chance_on_first_mail_day": None if first is None else round(first[1], 2),
        "chance_with_return_on_first_mail_day": None if again is None else round(again[1], 2),
        # Of the sending alone: the days ready are drawn with the overdue papers still to come.
        "only_if_overdue_come": (
            [] if paper is None else _overdue(plan, paper, plan.find_step(paper.mail_step))
        ),
        "ready": dict(zip(("10", "50", "90"), (day.isoformat() for day in one.ready), strict=True)),
    }


def _job(plan: Plan, job: JobPlan) -> dict[str, Any]:
    gap = None
    if job.gap is not None:
        gap = {"last_day_in_force": _iso(job.gap[0]), "in_force_again": _iso(job.gap[1])}
    return {
        "job": job.job.id,
        "state": job.job.state,
        "first_day": job.job.first_day.isoformat(),
        "last_day": job.job.last_day.isoformat(),
        "first_lawful_day": job.first_lawful_day.isoformat(),
        "late_by_days": job.late_by_days,
        "in_force_until": _iso(job.ended_on),
        "waits_for": list(job.waits_for),
        "only_if_overdue_come": [paper.id for paper in list_overdue(plan, job)],
        "only_if_late_renewals_are_taken": [paper.id for paper in list_missed(plan, job)],
        "gap": gap,
    }


def _paper(plan: Plan, paper: PaperPlan) -> dict[str, Any]:
    packet = paper.packet
    findings = packet.verdict.findings
    return {
        "packet": paper.id,
        "paper": packet.paper.id,
        "title": packet.paper.title,
        "holder": {
            "kind": str(packet.holder.kind),
            "id": packet.holder.ref,
            "name": plan.operation.say_holder(packet.holder),
        },
        "applies_because": [str(finding) for finding in findings] or [packet.paper.why],
        "citation": packet.paper.basis.citation,
        "confidence": str(packet.paper.basis.confidence),
        "need_by": packet.need_by.isoformat(),
        "cover_until": packet.cover_until.isoformat(),
        "state": str(paper.state),
        "valid_through": _iso(packet.valid_through),
        "mailed_on": _iso(paper.mailed_on),
        "mail_by": {"last": _iso(paper.mail_last), "safe": _iso(paper.mail_safe)},
        "act_on": _iso(find_act_day(plan, paper)),
        "in_hand_by": _iso(paper.in_hand_by),
        "ask_on": _iso(paper.ask_on),
        "ask_why": None if paper.ask_day is None else str(paper.ask_day.why),
        "heard": [
            {
                "on": entry.happened_on.isoformat(),
                "said": entry.reason,
                "expects": _iso(entry.expects),
            }
            for entry in packet.progress.heard
        ],
        "overdue_since": _iso(paper.overdue_since),
        "renewal_missed": _iso(paper.renewal_missed),
        "earliest_ready": paper.earliest_ready.isoformat(),
        "slack_days": _slack(plan, paper),
        "only_if_overdue_come": _overdue(plan, paper, plan.find_step(paper.mail_step)),
        "confirm": list(paper.confirm),
        "warnings": list(paper.warnings),
        "steps": [_step(plan, paper, step) for step in paper.steps],
    }


def _slack(plan: Plan, paper: PaperPlan) -> int | None:
    """Give the days to spare, or None when they hang on a paper that is overdue."""
    hangs = _overdue(plan, paper, plan.find_step(paper.mail_step))
    return None if hangs and (paper.slack_days or 0) >= 0 else paper.slack_days


def _overdue(plan: Plan, paper: PaperPlan, step: StepPlan | None) -> list[str]:
    """Name the packets offices are overdue with that a step still to do waits for."""
    if step is None or step.done_on is not None:
        return []
    return [one.id for one in list_holding(plan, paper, step)]


def _step(plan: Plan, paper: PaperPlan, step: StepPlan) -> dict[str, Any]:
    trip = plan.trip_days.get(step.id)
    return {
        "step": step.id,
        "title": step.row.title,
        "kind": str(step.kind),
        "calendar": str(step.calendar),
        "days": step.days,
        "last": _iso(step.last),
        "safe": _iso(step.safe),
        "earliest": step.earliest.isoformat(),
        "trip_to_town": None if trip is None else trip.on.isoformat(),
        "only_if_overdue_come": _overdue(plan, paper, step),
        "done_on": _iso(step.done_on),
        "citation": step.row.basis.citation,
        "confidence": str(step.row.basis.confidence),
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
