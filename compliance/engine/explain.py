"""Why a paper applies or not, and why a date is what it is; recomputed, never stored."""

from dataclasses import dataclass
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date
from compliance.engine.applies import Verdict
from compliance.engine.closed_days import closed_days, list_reasons, say_closed
from compliance.engine.network import IN_HAND
from compliance.engine.plan_model import PaperPlan, Plan, StepEdition, StepPlan
from compliance.facts.basis import NONE_READ, WORDS_OF_CONFIDENCE
from compliance.rules.model import CalendarName, Row, StepKind

CALENDAR_WORDS = {
    CalendarName.EVERY_DAY: "calendar day",
    CalendarName.FEDERAL: "federal business day",
    CalendarName.POSTAL: "postal day",
    CalendarName.BANK: "banking day",
    CalendarName.FIELD: "day somebody can leave the field",
    CalendarName.NOTARY: "notary day",
    CalendarName.POST_OFFICE: "post-office day",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One line of an explanation, with the row it rests on.

    ``step_id`` and ``day`` are set for lines about dates, so that they can be replayed.
    """

    text: str
    source: str = ""
    step_id: str = ""
    day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """An answer in one sentence and the reasons for it under headings, shortest first."""

    answer: str
    sections: tuple[tuple[str, tuple[Reason, ...]], ...]


def say_source(row: Row, *, several: bool = False) -> str:
    """Give a row's citation, edition and confidence in one line; of several, its days in force."""
    basis = row.basis
    words = WORDS_OF_CONFIDENCE[basis.confidence]
    force = f"; {say_in_force(row)}" if several else ""
    if basis.citation == words:
        return f"{row.id}: {words}{force}"
    edition = "" if basis.edition == NONE_READ else f"; edition: {basis.edition}"
    return f"{row.id}: {basis.citation}{edition}; {words}{force}"


def say_in_force(row: Row) -> str:
    """Say which of several editions of a row this is: by its first day, and its last when known."""
    first, last = row.applies_from, row.applies_until
    if first is None:
        return f"the edition in force through {say_date(last)}" if last else "the only edition"
    end = f" through {say_date(last)}" if last is not None else ""
    return f"the edition in force from {say_date(first)}{end}"


def say_lead(days: int, calendar: CalendarName) -> str:
    """Write a number of counted days with the name of what is counted."""
    name = CALENDAR_WORDS[calendar]
    return f"1 {name}" if days == 1 else f"{days} {name.replace('day', 'days', 1)}"


def explain_verdict(plan: Plan, verdict: Verdict) -> Explanation:
    """Explain why a paper applies to a holder, or why it does not."""
    paper = verdict.paper
    who = plan.operation.say_holder(verdict.holder)
    verb = "is needed" if verdict.applies else "is not needed"
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
    return Explanation(answer=f"{paper.title} {verb} for {who}.", sections=tuple(sections))


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
        sections.append(("Earliest it can be in hand", trace_earliest(plan, paper)))
    return Explanation(answer=base.answer, sections=tuple(sections))


def _trace_sent(plan: Plan, paper: PaperPlan, key: StepPlan, on: date) -> tuple[Reason, ...]:
    """Say when a packet was sent off and by when it must be in hand."""
    sent = Reason(
        text=f"{key.row.title}: done on {say_date(on)}",
        source=_source_of(plan, key, key.row),
        step_id=key.id,
        day=on,
    )
    return sent, _in_hand_line(plan, paper)


def explain_step(plan: Plan, step: StepPlan) -> Explanation:
    """Explain one step: its last day, its safe day, and what binds them."""
    if step.done_on is not None:
        how = "a later log entry shows it" if step.shown else "so the log says"
        answer = f"{step.row.title}: done on {say_date(step.done_on)}, {how}."
    elif is_on_its_way(plan, step) and step.last is not None:
        ready = f"at usual pace over on {say_date(step.earliest)}"
        answer = f"{step.row.title}: must be over by {say_date(step.last)}; {ready}."
    else:
        safe = f"; safe by {say_date(step.safe)}" if step.safe else ""
        last = say_date(step.last) if step.last else "open"
        answer = f"{step.row.title}: last day {last}{safe}; earliest {say_date(step.earliest)}."
    note = f" ({step.row.basis.note})" if step.row.basis.note else ""
    source = Reason(text=f"{step.row.title}{note}", source=_source_of(plan, step, step.row))
    row = ("The row", (source,))
    if step.done_on is not None:
        return Explanation(answer=answer, sections=(row,))
    heading = "What sets the last day (usual times, no spare return)"
    return Explanation(answer=answer, sections=((heading, trace_last(plan, step)), row))


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
    title, source = used.row.title, _source_of(plan, step, used.row)
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
            f"{say_lead(used.days, used.calendar)}{floor} and must be over by "
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
            f"{say_lead(step.days, step.calendar)}"
        ),
        source=_source_of(plan, step, step.row),
        step_id=step.id,
        day=step.last_start,
    )


def _source_of(plan: Plan, step: StepPlan, row: Row) -> str:
    """Give the source of a step's row, and which of several editions it is."""
    paper = plan.find_paper(step.id.partition("/")[0])
    return say_source(row, several=paper is not None and paper.packet.has_several(row))


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


def trace_earliest(plan: Plan, paper: PaperPlan) -> tuple[Reason, ...]:
    """Follow what sets the earliest day a paper can be in hand, from that day back to today."""
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
    ids = dict.fromkeys(reason.step_id.partition("/")[0] for reason in trace_earliest(plan, paper))
    return tuple(one for name in ids for one in plan.papers if one.id == name)


def _earliest_line(plan: Plan, step: StepPlan) -> Reason:
    source = _source_of(plan, step, step.row)
    if step.done_on is not None:
        text = f"after `{step.row.title}`, done on {say_date(step.done_on)}"
        return Reason(text=text, source=source, step_id=step.id, day=step.done_on)
    if step.kind is StepKind.ACT:
        why = {"today": "the first open day from today", "not_before": "not possible earlier"}
        tail = f", {why[step.earliest_by]}" if step.earliest_by in why else ""
        text = f"after `{step.row.title}` on {say_date(step.earliest)}{tail}"
    else:
        text = (
            f"after `{step.row.title}`, {say_lead(step.days, step.calendar)}, "
            f"over on {say_date(step.earliest)}"
        )
    return Reason(text=text, source=source, step_id=step.id, day=step.earliest)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
