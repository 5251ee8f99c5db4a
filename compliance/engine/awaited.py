"""Which other papers an act waits for, and which of them an office is overdue with."""

from collections.abc import Iterator

from compliance.engine.network import is_related
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan, StepPlan
from compliance.rules.model import StepUse


def list_awaited(plan: Plan, paper: PaperPlan, step: StepPlan | None = None) -> list[PaperPlan]:
    """List the papers not in hand that a packet waits for, or that one of its acts does.

    What comes before the act at home or in town counts too; a paper is waited for once, in the
    first round, as the network of the plan has it. A first round that is only taken to happen
    later, as `what_if` does, still waits.
    """
    steps = paper.steps if step is None else (*paper.acts_before(step), step)
    returns = paper.packet.progress.returns
    rows = [one.row for one in steps if one.done_on is None and one.turn == 1]
    if returns and returns[0].happened_on > plan.as_of:
        rows.extend(paper.packet.steps)
    names = {name for row in rows for name in row.needs}
    return [
        other
        for other in plan.papers
        if other.packet.planned
        and other.packet.use is StepUse.FIRST
        and other.packet.paper.id in names
        and is_related(paper.packet, other.packet)
    ]


def list_holding(plan: Plan, paper: PaperPlan, step: StepPlan) -> tuple[PaperPlan, ...]:
    """List the papers offices are overdue with that an act waits for, at first or second hand.

    Nobody knows when such an act can be done: the plan's earliest day takes them to come today.
    """
    return tuple(_list_overdue(plan, list_awaited(plan, paper, step), set()))


def list_overdue(plan: Plan, job: JobPlan) -> tuple[PaperPlan, ...]:
    """List the papers of a job that an office is overdue with."""
    return tuple(one for one in _list_needed(plan, job) if one.overdue_since is not None)


def list_missed(plan: Plan, job: JobPlan) -> tuple[PaperPlan, ...]:
    """List the papers of a job whose renewal can only be filed late."""
    return tuple(one for one in _list_needed(plan, job) if one.renewal_missed is not None)


def list_ended(plan: Plan, job: JobPlan) -> tuple[PaperPlan, ...]:
    """List the papers that have ended since a job began and that it waits for.

    Shape: none unless that is all it waits for (``JobPlan.ended_on``).
    """
    if job.ended_on is None:
        return ()
    return tuple(
        one for one in _list_needed(plan, job) if one.packet.find_ended(plan.as_of) is not None
    )


def _list_needed(plan: Plan, job: JobPlan) -> Iterator[PaperPlan]:
    """List the papers of a job but those that outlast it: it needs no next one of them."""
    for one in plan.papers:
        through = one.packet.valid_through
        outlasts = through is not None and through >= job.job.last_day and not one.packet.bare
        if job.job.id in one.packet.verdict.jobs and not outlasts:
            yield one


def _list_overdue(plan: Plan, papers: list[PaperPlan], seen: set[str]) -> Iterator[PaperPlan]:
    for paper in papers:
        if paper.id in seen:
            continue
        seen.add(paper.id)
        if paper.overdue_since is not None:
            yield paper
        else:
            yield from _list_overdue(plan, list_awaited(plan, paper), seen)
