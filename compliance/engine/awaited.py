"""Which other papers an act waits for, and which of them an office is overdue with."""

from collections.abc import Iterable, Iterator

from compliance.engine.network import is_related
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.rules.model import StepUse


def list_awaited(plan: Plan, paper: PaperPlan, step: StepPlan | None = None) -> list[PaperPlan]:
    """List the papers not in hand that a packet waits for, or that one of its acts does.

    What comes before the act at home or in town counts too; a paper is waited for once, in the
    first round, as the network of the plan has it.
    """
    steps = paper.steps if step is None else (*paper.acts_before(step), step)
    names = {
        name for one in steps if one.done_on is None and one.turn == 1 for name in one.row.needs
    }
    return [
        other
        for other in plan.papers
        if other.packet.planned
        and other.packet.use is StepUse.FIRST
        and other.packet.paper.id in names
        and is_related(paper.packet, other.packet)
    ]


def find_overdue(plan: Plan, paper: PaperPlan, step: StepPlan) -> PaperPlan | None:
    """Find the paper an office is overdue with that an act waits for, at first or second hand.

    Nobody knows when such an act can be done: the plan's earliest day takes the paper to come
    today.
    """
    return next(_list_overdue(plan, list_awaited(plan, paper, step), set()), None)


def is_all_hoped(plan: Plan, acts: Iterable[tuple[PaperPlan, StepPlan]]) -> bool:
    """Tell whether each of some acts waits for a paper an office is overdue with."""
    return all(find_overdue(plan, paper, step) is not None for paper, step in acts)


def _list_overdue(plan: Plan, papers: list[PaperPlan], seen: set[str]) -> Iterator[PaperPlan]:
    for paper in papers:
        if paper.id in seen:
            continue
        seen.add(paper.id)
        if paper.overdue_since is not None:
            yield paper
        else:
            yield from _list_overdue(plan, list_awaited(plan, paper), seen)
