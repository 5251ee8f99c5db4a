"""What sets the earliest day a paper can be in hand, or what is known of an overdue one."""

from dataclasses import replace
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.awaited import list_holding
from compliance.engine.explain_words import Reason, say_step_lead, source_of
from compliance.engine.network import IN_HAND
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.facts.log import EventKind
from compliance.rules.model import StepKind

_NOT_KNOWN = "when it will come is not known"


def trace_earliest(plan: Plan, paper: PaperPlan) -> tuple[Reason, ...]:
    """Follow what sets the earliest day a paper can be in hand, from that day back to today.

    Where an office is overdue the chain goes from the sending on, and gives no day to come. The
    last lines name the papers that are overdue and that these days need, in the chain or beside it.
    """
    if paper.overdue_since is not None:
        return trace_overdue(plan, paper, paper.overdue_since)
    lines = _trace_chain(plan, paper)
    sending = plan.find_step(paper.mail_step)
    if sending is None or sending not in paper.steps or sending.done_on is not None:
        return lines
    awaited = list_holding(plan, paper, sending)
    if not awaited:
        return lines
    came = "the overdue paper came" if len(awaited) == 1 else "the overdue papers came"
    ready = replace(lines[0], text=f"{lines[0].text}, if {came} today")
    named = {line.step_id for line in lines if line.day is None}
    hope = [_hope_line(one, "in time") for one in awaited if f"{one.id}/{IN_HAND}" not in named]
    return (ready, *lines[1:], *hope)


def _trace_chain(plan: Plan, paper: PaperPlan) -> tuple[Reason, ...]:
    lines = [
        Reason(
            text=f"in hand on {say_date(paper.earliest_ready)}",
            step_id=f"{paper.id}/{IN_HAND}",
            day=paper.earliest_ready,
        )
    ]
    seen: set[str] = set()
    name = paper.ready_bound_by
    while name and name not in seen:
        seen.add(name)
        step = plan.find_step(name)
        if step is not None:
            lines.append(_earliest_line(plan, step))
            name = step.earliest_by
            continue
        other = plan.find_paper(name.partition("/")[0]) if name.endswith(f"/{IN_HAND}") else None
        if other is None:
            break
        if other.overdue_since is not None:
            return (*lines, _hope_line(other, "today"))
        lines.append(
            Reason(
                text=f"{other.packet.paper.title} in hand on {say_date(other.earliest_ready)}",
                step_id=name,
                day=other.earliest_ready,
            )
        )
        name = other.ready_bound_by
    return tuple(lines)


def trace_papers(plan: Plan, paper: PaperPlan) -> tuple[PaperPlan, ...]:
    """Give a paper and the papers it waits for in turn, as they set its earliest day."""
    ids = dict.fromkeys(reason.step_id.partition("/")[0] for reason in _trace_chain(plan, paper))
    return tuple(one for name in ids for one in plan.papers if one.id == name)


def _earliest_line(plan: Plan, step: StepPlan) -> Reason:
    source = source_of(plan, step, step.row)
    if step.done_on is not None:
        text = f"after `{step.row.title}`, done on {say_date(step.done_on)}"
        return Reason(text=text, source=source, step_id=step.id, day=step.done_on)
    if step.kind is StepKind.ACT:
        why = {"today": "the first open day from today", "not_before": "not possible earlier"}
        tail = f", {why[step.earliest_by]}" if step.earliest_by in why else ""
        text = f"after `{step.row.title}` on {say_date(step.earliest)}{tail}"
    else:
        text = (
            f"after `{step.row.title}`, {say_step_lead(plan, step, step.days, step.calendar)}, "
            f"over on {say_date(step.earliest)}"
        )
    return Reason(text=text, source=source, step_id=step.id, day=step.earliest)


def trace_overdue(plan: Plan, paper: PaperPlan, since: date) -> tuple[Reason, ...]:
    """Follow a packet an office is overdue with from its sending by usual days.

    Shape: the sending first, then each wait with the day on which it was over at usual pace, the
    last one on *since*; then that nobody knows more.
    """
    lines: list[Reason] = []
    step = plan.find_step(paper.ready_bound_by)
    seen: set[str] = set()
    while step is not None and step.id not in seen:
        seen.add(step.id)
        over = since if step.id == paper.ready_bound_by else step.earliest
        lines.append(_usual_line(plan, step, over))
        step = _find_before(paper, step)
    return (*reversed(lines), _overdue_line(paper, "", ""))


def _find_before(paper: PaperPlan, step: StepPlan) -> StepPlan | None:
    """Find what a wait began after: the last of the steps before it; None before the sending.

    What is not done again after a return follows the newest round, which is the one that counts.
    """
    if step.kind is StepKind.ACT or step.row.event is EventKind.MAILED:
        return None
    named = [one for one in paper.steps if one.row.name in step.row.after]
    turn = step.turn
    if not any(one.row.name == step.row.name and one.turn > turn for one in paper.steps):
        turn = max((one.turn for one in named if turn in (1, one.turn)), default=turn)
    round_ = [one for one in named if one.turn == turn]
    if not round_:
        at = paper.steps.index(step)
        round_ = [one for one in paper.steps[:at] if one.turn == step.turn][-1:]
    return max(round_, key=lambda one: one.earliest, default=None)


def _usual_line(plan: Plan, step: StepPlan, over: date) -> Reason:
    if step.kind is StepKind.ACT or step.done_on is not None:
        verb = "done on" if step.done_on is not None else "taken as done on"
        text = f"{step.row.title}: {verb} {say_date(step.done_on or over)}"
    else:
        lead = say_step_lead(plan, step, step.days, step.calendar)
        text = f"{step.row.title}: {lead}, over on {say_date(over)} at usual pace"
    source = source_of(plan, step, step.row)
    return Reason(text=text, source=source, step_id=step.id, day=step.done_on or over)


def _hope_line(paper: PaperPlan, when: str) -> Reason:
    """Say that days hold only if an overdue paper comes."""
    tail = f"the days above hold only if it comes {when}"
    return _overdue_line(paper, f"{paper.packet.paper.title} is ", tail)


def _overdue_line(paper: PaperPlan, whose: str, tail: str) -> Reason:
    """Say since when an office is overdue with a paper, and that nobody knows when it comes."""
    since = paper.overdue_since
    day = f" since {say_date(since)}" if since is not None else ""
    text = "; ".join(filter(None, (f"{whose}OVERDUE{day}", _NOT_KNOWN, tail)))
    return Reason(text=text, step_id=f"{paper.id}/{IN_HAND}")


def say_ready(plan: Plan, step: StepPlan) -> str:
    """Say when a wait of a packet on its way is over, by usual days; overdue, that nobody knows."""
    since = _find_since(plan, step)
    if since is None:
        return f"at usual pace over on {say_date(step.earliest)}"
    return f"at usual pace it was over on {say_date(since)}; {_NOT_KNOWN}"


def _find_since(plan: Plan, step: StepPlan) -> date | None:
    """Find the day an office is overdue since with a wait, None with one that is in time."""
    paper = plan.find_paper(step.id.partition("/")[0])
    if paper is None or step.id != paper.ready_bound_by:
        return None
    return paper.overdue_since
