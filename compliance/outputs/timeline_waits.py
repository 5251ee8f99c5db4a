"""When the answers an operation waits for may come: soonest, most likely, slow."""

from datetime import date

from compliance.base.calendars import OutOfRangeError
from compliance.engine.days import OperationDays
from compliance.engine.plan import build_days
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.facts.log import EventKind
from compliance.outputs.timeline_frame import Frame, say_short
from compliance.outputs.timeline_model import Mark, Sign, Spread
from compliance.rules.model import StepKind


def compute_spreads(plan: Plan) -> dict[str, Spread]:
    """Compute the spread of every open wait that is nobody's mail, by step id.

    When the plan has chances these are the days by which it is over with 10, 50 and 90 percent,
    all that comes before it included. Without, the fast, usual and slow days of the step's own row,
    counted on its calendar from the day it can begin; the slow day is never before the likely one.
    Waits that take the same days always, and those that are over, have none.
    """
    days = build_days(plan.operation, tuple(paper.packet for paper in plan.papers), plan.as_of)
    found: dict[str, Spread] = {}
    for paper in plan.papers:
        for step in paper.steps:
            if not _is_open_wait(step, plan.as_of):
                continue
            drawn = plan.chances.spread.get(step.id) if plan.chances is not None else None
            spread = (
                Spread(soonest=drawn[0], likely=drawn[1], slow=drawn[2])
                if drawn is not None
                else _from_row(paper, step, days, plan.as_of)
            )
            if spread is not None and spread.soonest < spread.slow:
                found[step.id] = spread
    return found


def _is_open_wait(step: StepPlan, as_of: date) -> bool:
    lead = step.row.days
    return (
        step.kind is StepKind.WAIT
        and not step.row.mail
        and step.done_on is None
        and step.earliest > as_of
        and lead is not None
        and lead.fast < lead.slow
    )


def _from_row(paper: PaperPlan, step: StepPlan, days: OperationDays, as_of: date) -> Spread | None:
    lead = step.row.days
    if lead is None:
        return None
    calendar = days.calendar(step.calendar)
    start = _begins(paper, step).toordinal()
    try:
        soonest = date.fromordinal(calendar.forward(start, lead.fast))
        slow = date.fromordinal(calendar.forward(start, lead.slow))
    except OutOfRangeError:
        return None
    return Spread(
        soonest=min(max(soonest, as_of), step.earliest),
        likely=step.earliest,
        slow=max(slow, step.earliest),
    )


def _begins(paper: PaperPlan, step: StepPlan) -> date:
    """Give the day a wait can begin: when what sets its day, or all that comes before, is over."""
    setting = [one for one in paper.steps if one.id == step.earliest_by and one is not step]
    latest = {one.row.name: one for one in paper.steps if one.row.name in step.row.after}
    before = setting or list(latest.values())
    return max((one.done_on or one.earliest for one in before), default=step.earliest)


def make_spread_marks(paper: PaperPlan, frame: Frame) -> tuple[Mark, ...]:
    """Say of each spread what may come, its likely day and, where there is room, the others."""
    marks = []
    for step in paper.steps:
        spread = frame.spreads.get(step.id)
        if spread is None:
            continue
        what = "answer" if step.row.event is EventKind.GRANTED else ""
        what = "ready" if sets_ready(paper, spread, frame) else what
        day = say_short(spread.likely)
        if not frame.first <= spread.likely <= frame.last:
            day = f"{day} {spread.likely.year}"
        words, short = _say_spread(what, step.row.title, day, frame)
        marks.append(
            Mark(
                on=min(max(spread.likely, frame.first), frame.last),
                sign=Sign.SPREAD,
                words=f"{words} ({_say_span(spread)})",
                short=short,
                order=_order(what),
            )
        )
    return tuple(marks)


def _say_spread(what: str, title: str, day: str, frame: Frame) -> tuple[str, str]:
    """Give the long and the short words for the likely day of a spread."""
    if not frame.is_drawn:
        return f"{what or f'{title}:'} about {day}", f"{what} about {day}".strip()
    if what:
        return f"even odds of an answer by {day}", f"even odds by {day}"
    return f"{title}: even odds by {day}", f"even odds by {day}"


def sets_ready(paper: PaperPlan, spread: Spread, frame: Frame) -> bool:
    """Tell whether the paper is there as soon as this wait is over, at its likely day."""
    return not frame.is_drawn and spread.likely == paper.earliest_ready


def _say_span(spread: Spread) -> str:
    start, end = say_short(spread.soonest), say_short(spread.slow)
    if spread.soonest.year != spread.slow.year:
        end = f"{end} {spread.slow.year}"
    return f"{start} to {end}"


def _order(what: str) -> int:
    """Rank the words of a spread: the day it is ready must be read, an answer may be guessed."""
    return {"ready": 1, "answer": Mark.SPARE}.get(what, Mark.SPARE + 1)
