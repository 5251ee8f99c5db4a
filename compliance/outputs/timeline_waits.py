"""When the answers an operation waits for may come: soonest, most likely, slow."""

from datetime import date

from compliance.base.calendars import OutOfRangeError
from compliance.engine.agenda import list_once
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
    Waits that take the same days always, and those that are over, have none. When the plan has no
    chances, neither has one that an office is overdue with, nor those of packets that wait for it.
    """
    days = build_days(plan.operation, tuple(paper.packet for paper in plan.papers), plan.as_of)
    found: dict[str, Spread] = {}
    for paper in plan.papers:
        for step in paper.steps:
            if not _is_open_wait(step):
                continue
            drawn = plan.chances.spread.get(step.id) if plan.chances is not None else None
            if drawn is None and (step.earliest <= plan.as_of or list_once(plan, paper)):
                continue
            spread = (
                Spread(soonest=drawn[0], likely=drawn[1], slow=drawn[2])
                if drawn is not None
                else _from_row(paper, step, days, plan.as_of)
            )
            if spread is not None and spread.soonest < spread.slow:
                found[step.id] = spread
    return found


def _is_open_wait(step: StepPlan) -> bool:
    lead = step.row.days
    return (
        step.kind is StepKind.WAIT
        and not step.row.mail
        and step.done_on is None
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


def find_spread(paper: PaperPlan, frame: Frame) -> tuple[StepPlan, Spread] | None:
    """Find the wait whose spread is drawn: the last, which has all that comes before it in it."""
    own = [(step, frame.spreads[step.id]) for step in paper.steps if step.id in frame.spreads]
    return max(own, key=lambda one: (one[1].likely, one[1].slow), default=None)


def make_spread_marks(paper: PaperPlan, frame: Frame) -> tuple[Mark, ...]:
    """Say of the spread that is drawn what may come, and its likely day."""
    found = find_spread(paper, frame)
    if found is None:
        return ()
    step, spread = found
    day = say_short(spread.likely)
    if not frame.first <= spread.likely <= frame.last:
        day = f"{day} {spread.likely.year}"
    what = _say_what(paper, step, frame)
    words = f"{what}: even odds by {day}" if frame.is_drawn else f"{what} about {day}"
    short = f"{what}: even odds {day}" if frame.is_drawn else words
    mark = Mark(
        on=min(max(spread.likely, frame.first), frame.last),
        sign=Sign.SPREAD,
        words=words,
        short=short,
        said=f"{words} ({_say_span(spread, is_drawn=frame.is_drawn)})",
        order=1 if what == "ready" else 6,
    )
    return (mark,)


def _say_what(paper: PaperPlan, step: StepPlan, frame: Frame) -> str:
    if sets_ready(paper, frame):
        return "ready"
    if step.row.event is EventKind.GRANTED:
        return "answer"
    waits = [one for one in paper.steps if one.done_on is None]
    return "in hand" if waits and waits[-1] is step else "office done"


def sets_ready(paper: PaperPlan, frame: Frame) -> bool:
    """Tell whether the paper is there as soon as the drawn wait is over, at its likely day."""
    found = find_spread(paper, frame)
    return not frame.is_drawn and found is not None and found[1].likely == paper.earliest_ready


def _say_span(spread: Spread, *, is_drawn: bool) -> str:
    start, end = say_short(spread.soonest), say_short(spread.slow)
    if spread.soonest.year != spread.slow.year:
        end = f"{end} {spread.slow.year}"
    return f"one in ten by {start}, nine in ten by {end}" if is_drawn else f"{start} to {end}"
