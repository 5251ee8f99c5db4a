"""What a return changes, and the story of a packet, in words."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.engine.agenda import list_once, subject_of
from compliance.engine.awaited import list_missed, list_overdue
from compliance.engine.packets import packet_id
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.facts.log import LogEntry
from compliance.outputs.plan_text import say_past_last
from compliance.outputs.show_text import say_needed_no_more
from compliance.outputs.words import CAUTION, say_if_came, say_waiting, wrap


def render_returned(
    entry: LogEntry,
    before: Plan,
    after: Plan,
    doubts: tuple[str, ...] = (),
    judged_on: date | None = None,
) -> str:
    """Render a return just logged: what is not done again, and every day it moved."""
    lines = [wrap(f"logged as entry {entry.number}: {_what(after, entry)}", hang=2)]
    packet = next(
        (
            paper
            for paper in after.papers
            if (paper.packet.paper.id, paper.packet.holder) == (entry.paper, entry.holder)
        ),
        None,
    )
    if packet is None:
        name = packet_id(entry.paper, entry.holder)
        lines.append(wrap(say_needed_no_more(name, entry, judged_on), indent=2, hang=4))
    else:
        lines.extend(_not_again(packet, entry))
    lines.extend(wrap(f"! {doubt}", indent=2, hang=4) for doubt in doubts)
    moved = [*_moved_papers(before, after), *_moved_jobs(before, after)]
    lines.extend(["", "WHAT MOVED, before -> now"] if moved else ["", "No day has moved."])
    lines.extend(moved)
    if packet is not None:
        lines.extend(
            [
                "",
                wrap(
                    f"{packet.id}: {packet.state}; it waits on {say_waiting(packet)}",
                    indent=2,
                    hang=4,
                ),
                wrap(f"Next: put it right, then `mailby check {packet.id}` asks about this first."),
                wrap("`mailby calendar -o FILE` moves the entries on your phone."),
            ]
        )
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _what(plan: Plan, entry: LogEntry) -> str:
    who = plan.operation.say_holder(entry.holder)
    said = f"{say_date(entry.happened_on)}: {entry.paper}, {who}, came back: {entry.reason}"
    return f"{said}; at fault: {', '.join(entry.blanks)}" if entry.blanks else said


def _not_again(paper: PaperPlan, entry: LogEntry) -> Iterator[str]:
    titles = {row.name: row.title for row in paper.packet.steps}
    events = {row.name: str(row.event) for row in paper.packet.steps}
    for name in entry.still_good:
        yield wrap(
            f"not again: {titles.get(name, name)}. Use that page once more if it came back whole. "
            f"If not: `mailby log withdraw {entry.number}` and log the return with "
            f"--again {events.get(name, name)}.",
            indent=2,
            hang=4,
        )


def _moved_papers(before: Plan, after: Plan) -> Iterator[str]:
    old = {paper.id: paper for paper in before.papers}
    for paper in after.papers:
        was = old.get(paper.id)
        if was is None or not paper.packet.planned:
            continue
        lines = [*_sending(after, was, paper), *_ready((before, was), (after, paper))]
        tight = paper.is_tight and not was.is_tight
        if lines:
            yield wrap(paper.id, indent=2)
        for what, said in lines:
            yield wrap(f"{what:<13} {said}", indent=6, hang=20)
        if lines and tight:
            yield wrap("no room is left for one more return", indent=6)


def _sending(after: Plan, was: PaperPlan, paper: PaperPlan) -> Iterator[tuple[str, str]]:
    """Give the days to send a packet off that moved, by their label."""
    word = "mail" if paper.is_mailed else "file"
    safe = None if paper.is_tight or paper.is_late else paper.mail_safe
    if safe is not None and safe != was.mail_safe:
        yield f"{word} by, safe", f"{_say_sent(was, was.mail_safe)} -> {say_date(safe)}"
    if paper.mail_last is not None and paper.mail_last != was.mail_last:
        now = f"{say_date(paper.mail_last)}{say_past_last(after, paper)}"
        yield f"{word} by, last", f"{_say_sent(was, was.mail_last)} -> {now}"


def _say_sent(paper: PaperPlan, day: date | None) -> str:
    if paper.mailed_on is not None:
        return f"sent off {say_date(paper.mailed_on)}"
    return say_date(day) if day is not None else "no day"


def _ready(
    before: tuple[Plan, PaperPlan], after: tuple[Plan, PaperPlan]
) -> Iterator[tuple[str, str]]:
    """Give the day a paper is ready at usual pace if it moved; no day while the office is overdue.

    What waits for a paper that an office is overdue with has its day only if that came today.
    """
    (plan, was), (then, paper) = before, after
    old = None if was.overdue_since is not None else was.earliest_ready
    if paper.overdue_since is not None or old == paper.earliest_ready:
        return
    hung, hangs = list_once(plan, was), list_once(then, paper)
    first = "not known" if old is None else say_date(old)
    first += f", {say_if_came(hung)}" if hung and not hangs else ""
    text = f"{first} -> {say_date(paper.earliest_ready)}"
    text += f", {say_if_came(hangs)}" if hangs else ""
    if paper.is_late:
        text += "; TOO LATE even then" if hangs else "; TOO LATE"
    elif paper.renewal_missed is not None:
        text += "; ONLY IF the office takes a late renewal"
    yield "ready", text


def _moved_jobs(before: Plan, after: Plan) -> Iterator[str]:
    old = {job.job.id: job for job in before.jobs}
    for job in after.jobs:
        was = old.get(job.job.id)
        if was is None or was.first_lawful_day == job.first_lawful_day:
            continue
        yield wrap(f"{job.job.id}, first lawful day", indent=2)
        once = () if list_overdue(after, job) else list_overdue(before, was)
        hung = f", {say_if_came(once)}" if once else ""
        days = f"{say_date(was.first_lawful_day)}{hung} -> {say_date(job.first_lawful_day)}"
        late = f"; LATE by {say_days(job.late_by_days)}" if job.late_by_days else ""
        if job.grounded_since is not None:
            late = f"; GROUNDED since {say_date(job.grounded_since)}"
        yield wrap(f"{days}{late}{_only_if(after, job)}", indent=6, hang=8)


def _only_if(plan: Plan, job: JobPlan) -> str:
    """Say on what the first lawful day of a job hangs besides, as the plan does."""
    soon = "at once" if job.late_by_days else "in time"
    overdue = " and ".join(subject_of(plan, paper) for paper in list_overdue(plan, job))
    missed = " and ".join(subject_of(plan, paper) for paper in list_missed(plan, job))
    found = [f"the office, which is overdue, sends {overdue} {soon}"] if overdue else []
    found += [f"the office takes a late renewal: {missed}"] if missed else []
    return f"; ONLY IF {', and '.join(found)}" if found else ""
