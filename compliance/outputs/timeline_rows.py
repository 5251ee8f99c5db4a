"""One packet as a row of the season: to be had, under way, or in hand."""

from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.engine.agenda import list_once_papers
from compliance.engine.packets import PaperState
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.facts.log import EventKind
from compliance.outputs.timeline_frame import (
    Frame,
    bring_inside,
    keep_inside,
    make_mark,
    say_short,
)
from compliance.outputs.timeline_jobs import name_overdue
from compliance.outputs.timeline_model import Mark, Row, Sign, Stretch, Weight
from compliance.outputs.timeline_waits import find_spread, make_spread_marks, sets_ready
from compliance.outputs.words import say_if_came, say_once_here
from compliance.rules.model import StepKind

_PAST_WORDS = {
    EventKind.SIGNED: "signed",
    EventKind.NOTARIZED: "notarized",
    EventKind.CHECKED: "checked",
    EventKind.PAID: "paid",
    EventKind.DONE: "last done",
}


def make_packet_row(plan: Plan, paper: PaperPlan, frame: Frame) -> Row:
    """Make the row of one packet: to be had, under way or in hand."""
    if not paper.packet.planned:
        return _in_hand_row(paper, frame)
    stretches = (*_past(paper, frame), *_in_force(paper, frame), *_ahead(plan, paper, frame))
    drawn = find_spread(paper, frame)
    spreads = (drawn[1],) if drawn is not None else ()
    marks = (
        *_past_marks(paper, frame),
        *_send_marks(paper, frame),
        *make_spread_marks(paper, frame),
        *_end_marks(plan, paper, frame),
    )
    return Row(
        key=paper.id,
        title=paper.packet.paper.title,
        notes=_notes(plan, paper, frame),
        stretches=tuple(keep_inside(stretches, frame)),
        spreads=tuple(spread for spread in spreads if spread.soonest <= frame.last),
        marks=tuple(bring_inside(mark, frame) for mark in marks),
        is_late=paper.is_late,
    )


def _past(paper: PaperPlan, frame: Frame) -> tuple[Stretch, ...]:
    done = [step.done_on for step in paper.steps if step.done_on is not None]
    if not done:
        return ()
    end = frame.as_of if paper.packet.progress.is_at_office else max(done)
    return (Stretch(first=min(done), last=end, weight=Weight.HAPPENED),)


def _past_marks(paper: PaperPlan, frame: Frame) -> tuple[Mark, ...]:
    sent = "mailed" if paper.is_mailed else "filed"
    marks = [
        make_mark(Sign.DONE, step.done_on, (sent, sent))
        for step in paper.steps
        if step.row.event is EventKind.MAILED and step.done_on is not None
    ]
    marks += [
        make_mark(Sign.BACK, entry.happened_on, ("came back", "back"))
        for entry in paper.packet.progress.returns
    ]
    asking = find_ask_mark(paper, frame.as_of)
    if asking is not None:
        marks.append(make_mark(Sign.ASK, asking, ("ask the office", "ask"), 4))
    newest = max((mark.on for mark in marks if mark.on <= frame.as_of), default=date.min)
    own = [
        step
        for step in paper.steps
        if step.kind is StepKind.ACT and step.done_on is not None and step.done_on > newest
    ]
    if own:
        step = max(own, key=lambda one: one.done_on or date.min)
        word = _PAST_WORDS.get(step.row.event, "last done")
        marks.append(make_mark(Sign.DONE, step.done_on or frame.as_of, (word, word)))
    return tuple(marks)


def find_ask_mark(paper: PaperPlan, as_of: date) -> date | None:
    """Find the day to ask an office, from today on and not before it opens; None without one."""
    if paper.ask_on is None or paper.ask_on >= as_of:
        return paper.ask_on
    open_on = paper.ask_day.open_on if paper.ask_day is not None else None
    return max(open_on or as_of, as_of)


def _in_force(paper: PaperPlan, frame: Frame) -> tuple[Stretch, ...]:
    held, through = paper.packet.held, paper.packet.valid_through
    if held is None or through is None:
        return ()
    return (Stretch(first=held.issued_on or frame.first, last=through, weight=Weight.IN_FORCE),)


def find_begin(paper: PaperPlan) -> StepPlan | None:
    """Find the first step of a packet that is still to be done or is under way."""
    undone = [step for step in paper.steps if step.done_on is None]
    acts = [step for step in undone if step.kind is StepKind.ACT]
    if paper.packet.progress.is_at_office or not acts:
        return None
    return min(acts, key=lambda step: step.earliest)


def _ahead(plan: Plan, paper: PaperPlan, frame: Frame) -> tuple[Stretch, ...]:
    begin = find_begin(paper)
    start = max(frame.as_of, begin.earliest if begin is not None else frame.as_of)
    ready, needed = paper.earliest_ready, paper.in_hand_by
    if paper.overdue_since is not None:
        # Nobody knows the day, so there are none to spare.
        return ()
    if list_once_papers(plan, paper):
        # The day is reckoned as if the overdue paper came today; before it the paper is there in
        # no case, so that only the days missing are known.
        if needed is None or needed >= ready:
            return ()
        return (Stretch(first=needed, last=ready, weight=Weight.LATE),)
    stretches = [Stretch(first=start, last=ready, weight=Weight.AHEAD)]
    if needed is not None and ready < needed:
        stretches.append(Stretch(first=ready, last=needed, weight=Weight.ROOM))
    if needed is not None and needed < ready:
        stretches.append(Stretch(first=needed, last=ready, weight=Weight.LATE))
    return tuple(stretches)


def _send_marks(paper: PaperPlan, frame: Frame) -> tuple[Mark, ...]:
    """Mark the last and the safe day to send it off, as far as they can still be kept."""
    word = "mail" if paper.is_mailed else "file"
    last, safe = paper.mail_last, paper.mail_safe
    if last is None or last < frame.as_of:
        return ()
    if safe is not None and safe >= last:
        return (make_mark(Sign.LAST, last, (f"{word} by", f"{word} by"), 0),)
    marks = [make_mark(Sign.LAST, last, (f"last day to {word}", f"{word} last"), 0)]
    if safe is not None and safe >= frame.as_of and not paper.is_tight and not paper.is_late:
        marks.append(make_mark(Sign.SAFE, safe, (f"safe day to {word}", f"{word} safe"), 1))
    return tuple(marks)


def _end_marks(plan: Plan, paper: PaperPlan, frame: Frame) -> tuple[Mark, ...]:
    ready, needed, through = paper.earliest_ready, paper.in_hand_by, paper.packet.valid_through
    marks = []
    if needed == through and needed is not None:
        marks.append(make_mark(Sign.ENDS, needed, ("the one in hand runs out", "runs out"), 2))
    elif needed is not None and needed != ready:
        marks.append(make_mark(Sign.NEEDED, needed, ("needed by", "needed"), 2))
    if through is not None and needed != through and through >= frame.first:
        marks.append(make_mark(Sign.ENDS, through, ("the one in hand runs out", "runs out"), 2))
    if sets_ready(paper, frame) or paper.overdue_since is not None or list_once_papers(plan, paper):
        return tuple(marks)
    begin = find_begin(paper)
    is_at_once = begin is not None and begin.earliest == ready == frame.as_of
    words = ("can be done", "can be done") if is_at_once else ("ready at usual pace", "ready")
    if needed == ready:
        words = (f"{words[0]}, and needed,", f"{words[1]}, needed")
    marks.append(make_mark(Sign.READY, ready, words, 1))
    return tuple(marks)


def _notes(plan: Plan, paper: PaperPlan, frame: Frame) -> tuple[str, ...]:
    notes = [
        f"came back {say_short(entry.happened_on)}: {entry.reason}"
        for entry in paper.packet.progress.returns[-1:]
    ]
    if paper.state is not PaperState.TO_DO:
        notes = notes or [str(paper.state)]
    if paper.overdue_since is not None:
        notes.append(f"OVERDUE since {say_date(paper.overdue_since)}, its day is not known")
        if paper.ask_on is not None and paper.ask_on < frame.as_of:
            notes.append(f"the day to ask was {say_date(paper.ask_on)}")
    slack, once = paper.slack_days or 0, list_once_papers(plan, paper)
    word = "mail" if paper.is_mailed else "file"
    if slack < 0:
        even_if = f", even {say_if_came(once)}" if once else ""
        notes.append(f"{say_days(-slack)} TOO LATE{even_if}")
    if paper.mail_last is not None and paper.mail_last < frame.as_of:
        notes.append(f"the last day to {word} it was {say_date(paper.mail_last)}")
    elif paper.is_tight and paper.mail_safe is not None:
        notes.append(f"no room for a return: safe day {say_date(paper.mail_safe)} cannot be kept")
    waits = _waits_for(plan, paper)
    if waits:
        notes.append(f"waits for: {waits}")
    if once and slack >= 0:
        notes.append(f"its day is known {say_once_here(once)}{name_overdue(plan, once)}")
    return tuple(notes) or (str(paper.state),)


def _waits_for(plan: Plan, paper: PaperPlan) -> str:
    """Name the other paper that keeps this one from being sent off or begun, if one does."""
    for step in paper.steps:
        packet, _, task = step.earliest_by.partition("/")
        if step.done_on is None and packet != paper.id and task == "in-hand":
            other = plan.find_paper(packet)
            return other.packet.paper.title if other is not None else ""
    return ""


def _in_hand_row(paper: PaperPlan, frame: Frame) -> Row:
    held, through = paper.packet.held, paper.packet.valid_through
    number = (f"no. {held.number}",) if held is not None and held.number else ()
    first = held.issued_on if held is not None and held.issued_on else frame.first
    stretch = Stretch(first=first, last=through or frame.last, weight=Weight.IN_FORCE)
    words = f"in force through {say_date(through)}" if through else "in force, no last day known"
    if through is None and not paper.packet.end_unknown:
        words = "in force, it does not run out"
    if through is None or through > frame.last:
        words = f"{words} \N{RIGHTWARDS ARROW}"
        mark = Mark(on=frame.last, sign=Sign.EDGE, words=words, short=words)
    else:
        mark = Mark(on=through, sign=Sign.ENDS, words=words, short=words)
    return Row(
        key=paper.id,
        title=paper.packet.paper.title,
        notes=number,
        stretches=tuple(keep_inside((stretch,), frame)),
        marks=(mark,),
    )
