"""What a return changes, and the story of a packet, in words."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.facts.log import LogEntry
from compliance.outputs.words import CAUTION, say_waiting, wrap


def render_returned(
    entry: LogEntry, before: Plan, after: Plan, doubts: tuple[str, ...] = ()
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
    if packet is not None:
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
        word = "mail" if paper.is_mailed else "file"
        safe = None if paper.is_tight or paper.is_late else paper.mail_safe
        pairs = [
            (f"{word} by, safe", was.mail_safe, safe, was.mailed_on),
            (f"{word} by, last", was.mail_last, paper.mail_last, was.mailed_on),
            ("ready", was.earliest_ready, paper.earliest_ready, None),
        ]
        moved = [pair for pair in pairs if pair[1] != pair[2] and pair[2] is not None]
        if moved:
            yield wrap(paper.id, indent=2)
        for what, then, now, sent in moved:
            late = "; TOO LATE" if what == "ready" and paper.is_late else ""
            yield wrap(f"{what:<13} {_say(then, now, sent)}{late}", indent=6, hang=20)
        if moved and paper.is_tight and not was.is_tight:
            yield wrap("no room is left for one more return", indent=6)


def _say(then: date | None, now: date | None, sent: date | None) -> str:
    old = say_date(then) if then is not None else "no day"
    if sent is not None:
        old = f"sent off {say_date(sent)}"
    return f"{old} -> {say_date(now) if now is not None else 'no day'}"


def _moved_jobs(before: Plan, after: Plan) -> Iterator[str]:
    old = {job.job.id: job for job in before.jobs}
    for job in after.jobs:
        was = old.get(job.job.id)
        if was is not None and was.first_lawful_day != job.first_lawful_day:
            yield wrap(f"{job.job.id}, first lawful day", indent=2)
            yield wrap(_job(was, job), indent=6, hang=6)


def _job(was: JobPlan, job: JobPlan) -> str:
    days = f"{say_date(was.first_lawful_day)} -> {say_date(job.first_lawful_day)}"
    return f"{days}; LATE by {say_days(job.late_by_days)}" if job.late_by_days else days
