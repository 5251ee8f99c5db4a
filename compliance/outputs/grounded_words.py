"""What grounds a job that has begun, and whether a part of it may be flown all the same."""

from datetime import date

from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.awaited import list_ended
from compliance.engine.explain_earliest import trace_papers
from compliance.engine.packets import Packet
from compliance.engine.plan_model import JobPlan, Plan
from compliance.facts.model import HolderKind


def say_ended(plan: Plan, job: JobPlan) -> str:
    """Name the papers whose end grounds a job, each with what a new one waits for in its turn."""
    said = []
    for paper in list_ended(plan, job):
        ended = paper.packet.find_ended(plan.as_of)
        if ended is not None:
            text = f"{subject_of(plan, paper)} ended on {say_date(ended)}"
            chain = [one.packet.paper.title for one in trace_papers(plan, paper)[1:]]
            waits = f", and a new one waits for {', which waits for '.join(chain)}"
            said.append(f"{text}{waits if chain else ''}")
    return "; and ".join(said)


def say_in_part(job: JobPlan) -> str:
    """Say where to read with whom a job may be flown all the same."""
    return (
        f"`mailby go --job {job.job.id}` says which aircraft and pilots are in order all the same"
    )


def may_fly_in_part(plan: Plan, job: JobPlan) -> bool:
    """Tell whether a job is grounded for some of its aircraft or pilots, others being in order."""
    if not job.late_by_days or job.job.first_day > plan.as_of:
        return False
    lacking = {
        (paper.packet.holder.kind, paper.packet.holder.ref)
        for paper in plan.papers
        if job.job.id in paper.packet.verdict.jobs and _lacks(paper.packet, plan.as_of)
    }
    if any(kind is HolderKind.OPERATION for kind, _ in lacking):
        return False
    return any((HolderKind.AIRCRAFT, one) not in lacking for one in job.job.aircraft) and any(
        (HolderKind.PILOT, one) not in lacking for one in job.job.pilots
    )


def _lacks(packet: Packet, on: date) -> bool:
    """Tell whether no paper of a packet is in force on a day."""
    if any(first <= on <= last for first, last in packet.bare):
        return True
    through = packet.valid_through
    return packet.planned and (packet.held is None or (through is not None and through < on))
