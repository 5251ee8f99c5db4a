"""Why a paper applies or not, and why a date is what it is; recomputed, never stored."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date
from compliance.engine.agenda import list_once_papers
from compliance.engine.applies import Verdict
from compliance.engine.awaited import list_holding
from compliance.engine.closed_days import closed_days, list_reasons, say_closed
from compliance.engine.explain_earliest import say_ready, trace_earliest
from compliance.engine.explain_words import (
    CALENDAR_WORDS,
    Explanation,
    Reason,
    say_source,
    say_step_lead,
    source_of,
)
from compliance.engine.network import IN_HAND
from compliance.engine.packets import find_last_needed
from compliance.engine.plan_model import PaperPlan, Plan, StepEdition, StepPlan
from compliance.facts.log import EventKind
from compliance.rules.model import CalendarName, StepKind


def explain_verdict(plan: Plan, verdict: Verdict) -> Explanation:
    """Explain why a paper applies to a holder, or why it does not."""
    paper = verdict.paper
    who = plan.operation.say_holder(verdict.holder)
    verb = "is needed" if verdict.applies else "is not needed"
    over = find_last_needed(plan.operation, verdict)
    end = ""
    if over is not None and over < plan.as_of:
        verb, end = "was needed", f" through {say_date(over)}; no job needs it any more"
    packet = next((one.packet for one in plan.papers if one.packet.verdict == verdict), None)
    several = packet is not None and packet.has_several(paper)
    source = Reason(text=paper.why, source=say_source(paper, several=several))
    facts = tuple(Reason(text=str(finding)) for finding in verdict.findings)
    if not facts:
        facts = (Reason(text="it is needed for every job, whatever the facts"),)
    heading = "Because" if verdict.applies else "Because this does not hold"
    sections = [(heading, facts), ("The rule", (source,))]
    if verdict.applies:
        jobs = [job for job in plan.operation.jobs if job.id in verdict.jobs]
        lines = tuple(
            Reason(text=f"{job.id}: {say_date(job.first_day)} to {say_date(job.last_day)}")
            for job in jobs
        )
        sections.append(("For these jobs", lines))
    answer = f"{paper.title} {verb} for {who}{end}."
    return Explanation(answer=answer, sections=tuple(sections))


def explain_paper(plan: Plan, paper: PaperPlan) -> Explanation:
    """Explain a needed paper: why it applies, what sets its last mailing day, what its earliest."""
    base = explain_verdict(plan, paper.packet.verdict)
    sections = list(base.sections)
    held = paper.packet.held
    if held is not None:
        through = paper.packet.valid_through
        end = f"in force through {say_date(through)}" if through else "without a last day known"
        number = f"number {held.number}, " if held.number else ""
        sections.append(("In hand", (Reason(text=f"{number}{end}"),)))
    key = plan.find_step(paper.mail_step)
    if key is not None and key.done_on is not None:
        sections.append(("Sent off", _trace_sent(plan, paper, key, key.done_on)))
    elif key is not None and key.last is not None:
        sections.append((f"Last day to {_lower(key.row.title)}", trace_last(plan, key)))
    if paper.changes:
        changes = tuple(Reason(text=text) for text in paper.changes)
        sections.append(("Rules that change meanwhile", changes))
    if paper.packet.planned:
        heading = "Earliest it can be in hand"
        if paper.overdue_since is not None:
            heading = "When it ought to have come, by usual days from the sending"
        elif once := list_once_papers(plan, paper):
            what = "paper" if len(once) == 1 else "papers"
            heading = f"When it can be in hand is not known; if the overdue {what} came today"
        sections.append((heading, trace_earliest(plan, paper)))
    return Explanation(answer=base.answer, sections=tuple(sections))


def _trace_sent(plan: Plan, paper: PaperPlan, key: StepPlan, on: date) -> tuple[Reason, ...]:
    """Say when a packet was sent off and by when it must be in hand; of several times, which."""
    earlier = tuple(_list_returned(paper))
    word = _say_sending(paper)
    counts = f", {word} no. {key.turn}, from which its days count" if earlier else ""
    sent = Reason(
        text=f"{key.row.title}: done on {say_date(on)}{counts}",
        source=source_of(plan, key, key.row),
        step_id=key.id,
        day=on,
    )
    return sent, *earlier, _in_hand_line(plan, paper)


def _list_returned(paper: PaperPlan) -> Iterator[Reason]:
    """Say of each earlier sending that it came back, the newest first."""
    returns = paper.packet.progress.returns
    sent = {one.turn: one for one in paper.steps if one.row.event is EventKind.MAILED}
    for turn, back in sorted(enumerate(returns, 1), reverse=True):
        one = sent.get(turn)
        on = f", done on {say_date(one.done_on)}," if one is not None and one.done_on else ""
        came = f"came back on {say_date(back.happened_on)}, so no day counts from it any more"
        yield Reason(text=f"{_say_sending(paper)} no. {turn}{on} {came}")


def _say_sending(paper: PaperPlan) -> str:
    return "mailing" if paper.is_mailed else "filing"


def _say_which(plan: Plan, step: StepPlan) -> str:
    """Say to which of several sendings a step belongs, or nothing."""
    paper = plan.find_paper(step.id.partition("/")[0])
    if paper is None or len([one for one in paper.steps if one.row.name == step.row.name]) == 1:
        return ""
    returns = paper.packet.progress.returns
    which = f" ({_say_sending(paper)} no. {step.turn}"
    if step.turn > len(returns):
        return f"{which})"
    return f"{which}, which came back on {say_date(returns[step.turn - 1].happened_on)})"


def explain_step(plan: Plan, step: StepPlan) -> Explanation:
    """Explain one step: its last day, its safe day, and what binds them."""
    if step.done_on is not None:
        how = "a later log entry shows it" if step.shown else "so the log says"
        which = _say_which(plan, step)
        answer = f"{step.row.title}{which}: done on {say_date(step.done_on)}, {how}."
    elif is_on_its_way(plan, step) and step.last is not None:
        ready = say_ready(plan, step)
        which = _say_which(plan, step)
        answer = f"{step.row.title}{which}: must be over by {say_date(step.last)}; {ready}."
    else:
        safe = f"; safe by {say_date(step.safe)}" if step.safe else ""
        last = say_date(step.last) if step.last else "open"
        first = f"{say_date(step.earliest)}{_say_hope(plan, step)}"
        answer = f"{step.row.title}: last day {last}{safe}; earliest {first}."
    note = f" ({step.row.basis.note})" if step.row.basis.note else ""
    source = Reason(text=f"{step.row.title}{note}", source=source_of(plan, step, step.row))
    row = ("The row", (source,))
    if step.done_on is not None:
        return Explanation(answer=answer, sections=(row,))
    heading = "What sets the last day (usual times, no spare return)"
    return Explanation(answer=answer, sections=((heading, trace_last(plan, step)), row))


def _say_hope(plan: Plan, step: StepPlan) -> str:
    """Say which papers offices are overdue with must come today for a day to hold, or nothing."""
    paper = plan.find_paper(step.id.partition("/")[0])
    if paper is None or step not in paper.steps:
        return ""
    others = list_holding(plan, paper, step)
    if not others:
        return ""
    names = " and ".join(one.packet.paper.title for one in others)
    verb = "which is overdue, comes" if len(others) == 1 else "which are overdue, come"
    return f", only if {names}, {verb} today"


def trace_last(plan: Plan, step: StepPlan) -> tuple[Reason, ...]:
    """Follow what sets a step's last day, one line a step, down to the job that sets it.

    Units: each line gives the day, the counted days and the closed days passed over.
    """
    lines: list[Reason] = []
    seen: set[str] = set()
    current: StepPlan | None = step
    while current is not None and current.id not in seen:
        seen.add(current.id)
        lines.append(_last_line(plan, current))
        following = current.bound_by
        current = plan.find_step(following)
        paper = plan.find_paper(following.removesuffix(f"/{IN_HAND}"))
        if current is None and paper is not None:
            lines.append(_in_hand_line(plan, paper))
            current = plan.find_step(paper.in_hand_bound_by)
    return tuple(lines)


def _in_hand_line(plan: Plan, paper: PaperPlan) -> Reason:
    packet = paper.packet
    by = paper.in_hand_by or packet.need_by
    if paper.in_hand_bound_by != "limit":
        waiting = plan.find_step(paper.in_hand_bound_by)
        whom = waiting.row.title if waiting is not None else paper.in_hand_bound_by
        return Reason(
            text=f"{packet.paper.title} in hand by {say_date(by)}, because `{whom}` waits for it",
            step_id=f"{packet.id}/{IN_HAND}",
            day=by,
        )
    job = _first_job(plan, paper)
    return Reason(
        text=f"{packet.paper.title} in hand by {say_date(by)}, {job}",
        step_id=f"{packet.id}/{IN_HAND}",
        day=by,
    )


def _first_job(plan: Plan, paper: PaperPlan) -> str:
    packet = paper.packet
    through = packet.valid_through
    if through is not None and packet.need_by == through:
        return f"because the one in hand ends on {say_date(through)} during a job"
    jobs = (job for job in plan.operation.jobs if job.id in packet.verdict.jobs)
    return f"the first day of {next(job.id for job in jobs if job.first_day == packet.need_by)}"


def _last_line(plan: Plan, step: StepPlan) -> Reason:
    used = step.last_as or StepEdition(row=step.row, days=step.days, calendar=step.calendar)
    title, source = used.row.title, source_of(plan, step, used.row)
    if step.last is None or step.last_start is None:
        return Reason(text=f"{title}: nothing limits it", source=source, step_id=step.id)
    if step.kind is StepKind.ACT:
        return Reason(
            text=f"{title}: by {say_date(step.last)}{_say_open(plan, step, used.calendar)}",
            source=source,
            step_id=step.id,
            day=step.last,
        )
    if is_on_its_way(plan, step):
        return _on_its_way_line(plan, step, step.last)
    passed = closed_days(plan.operation, used.calendar, step.last_start, step.last)
    is_edge = step.bound_by == "limit" and used.row.applies_until == step.last
    edge = ", the last day of this edition, because the next one takes longer" if is_edge else ""
    floor = " by law" if step.kind is StepKind.NOTICE else ""
    return Reason(
        text=(
            f"{title}: from {say_date(step.last_start)} at the latest, because it takes "
            f"{say_step_lead(plan, step, used.days, used.calendar)}{floor} and must be over by "
            f"{say_date(step.last)}{say_closed(plan.operation, used.calendar, passed)}{edge}"
        ),
        source=source,
        step_id=step.id,
        day=step.last_start,
    )


def is_on_its_way(plan: Plan, step: StepPlan) -> bool:
    """Tell whether a wait is one of a packet that was sent off and has not come back since."""
    paper = plan.find_paper(step.id.partition("/")[0])
    sending = plan.find_step(paper.mail_step) if paper is not None else None
    if step.kind is StepKind.ACT or step.done_on is not None:
        return False
    return sending is not None and sending.done_on is not None and step.turn <= sending.turn


def _on_its_way_line(plan: Plan, step: StepPlan, last: date) -> Reason:
    """Say by when a wait must be over; when it begins, and its edition, is no choice any more."""
    return Reason(
        text=(
            f"{step.row.title}: must be over by {say_date(last)}; it takes "
            f"{say_step_lead(plan, step, step.days, step.calendar)}"
        ),
        source=source_of(plan, step, step.row),
        step_id=step.id,
        day=step.last_start,
    )


def _say_open(plan: Plan, step: StepPlan, calendar: CalendarName) -> str:
    """Say what kind of day an act needs, and why it moved earlier when its day is closed."""
    operation, last = plan.operation, step.last
    if last is None:
        return ""
    follower = plan.find_step(step.bound_by)
    limit = follower.last_start if follower is not None else None
    own = {
        CalendarName.NOTARY: operation.notary_days,
        CalendarName.POST_OFFICE: operation.post_office_days,
    }.get(calendar, ())
    is_any = calendar is CalendarName.EVERY_DAY
    kind = CALENDAR_WORDS[calendar]
    if limit is None or limit <= last:
        days = f": {', '.join(own)}" if own else ""
        return "" if is_any else f" (a {kind}{days})"
    reasons = list_reasons(operation, calendar, step.row.done_at, last, limit)
    if own and (not reasons or WEEKDAYS[limit.weekday()] not in own):
        reasons = (", ".join(own), *reasons)
    if is_any and not reasons:
        return ""
    why = f": {'; '.join(reasons)}" if reasons else ""
    if is_any:
        return f" (the last day it can be done before {say_date(limit)}{why})"
    return f" (the last {kind} before {say_date(limit)}, which is none{why})"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
