"""Sentences that several outputs share, and wrapping to the width of a screen."""

import textwrap
from collections.abc import Sequence, Sized
from datetime import date
from typing import TYPE_CHECKING

from compliance.base.dates import say_date, say_days
from compliance.facts.model import Job, Material
from compliance.outputs.office_words import say_ask_why
from compliance.rules.model import StepKind

if TYPE_CHECKING:  # `mailby go` makes no plan, and is to be quick
    from compliance.engine.agenda import Item
    from compliance.engine.plan_model import JobPlan, PaperPlan, Plan

WIDTH = 80

CAUTION = (
    "A planning aid, not legal advice. Confirm every date and form with the agency and in your own "
    "grant, exemption or certificate; follow the product label and local codes; ask a licensed "
    "professional when in doubt."
)

# The usual days of every row of the table, as opposed to what is believed of an office.
AT_USUAL_PACE = "at usual pace"


def say_if_came(overdue: Sized) -> str:
    """Say that a day is reckoned as if one or more overdue papers came today."""
    return f"if the overdue {'paper' if len(overdue) == 1 else 'papers'} came today"


def say_once_here(overdue: Sized) -> str:
    """Say that a day counts once one or more overdue papers are here."""
    return f"once the overdue {'paper is' if len(overdue) == 1 else 'papers are'} here"


CHEMICAL_CAUTION = (
    "Before each job: the label decides whether a product may be applied by air at all. Keep "
    "people out of the treated area, wear what the label asks for, and do not spray when it drifts."
)

AVIATION_CAUTION = (
    "No paper makes a flight safe: check airspace, weather, the aircraft and who is near before "
    "each take-off."
)


def wrap(text: str, *, indent: int = 0, hang: int | None = None) -> str:
    """Wrap a paragraph to the screen's width; words longer than a line stay whole."""
    return textwrap.fill(
        text,
        width=WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent if hang is None else hang),
        break_long_words=False,
        break_on_hyphens=False,
    )


def say_late_job(job: "JobPlan", even_if: str = "") -> str:
    """Say of a late job when it can begin or go on, or that it is over before it could.

    *even_if* is on what that day hangs, in words after a comma.
    """
    day = say_date(job.first_lawful_day)
    if job.first_lawful_day > job.job.last_day:
        end = say_date(job.job.last_day)
        return (
            f"{job.job.id} has no lawful day left{even_if}: it ends on {end}, before its papers "
            f"can be there, {day}"
        )
    if job.ended_on is not None:
        ended = f"one of its papers ended on {say_date(job.ended_on)}"
        return f"{job.job.id} is grounded: {ended}; it is not lawful before {day}{even_if}"
    return f"{job.job.id} cannot begin lawfully before {day}{even_if}"


def wrap_reviews(reviews: Sequence[str]) -> tuple[str, ...]:
    """Give the lines about rules past their review day, marked and wrapped to the screen."""
    return tuple(wrap(f"! {line}", hang=2) for line in reviews)


def list_cautions(plan: "Plan") -> tuple[str, ...]:
    """Give the cautions a plan ends with; chemical and aviation ones when a job asks for them."""
    return list_job_cautions([job.job for job in plan.jobs])


def list_job_cautions(jobs: Sequence[Job]) -> tuple[str, ...]:
    """Give the cautions for some jobs."""
    cautions = [CAUTION]
    if any(job.material is Material.PESTICIDE for job in jobs):
        cautions.insert(0, CHEMICAL_CAUTION)
    if jobs:
        cautions.insert(0, AVIATION_CAUTION)
    return tuple(cautions)


def say_relative(day: date, as_of: date) -> str:
    """Write how far a day is from today."""
    days = (day - as_of).days
    if days == 0:
        return "today"
    if days == 1:
        return "tomorrow"
    return f"in {say_days(days)}" if days > 0 else f"{say_days(-days)} ago"


def say_limits(item: "Item") -> tuple[str, ...]:
    """Say what bounds the day of an act: its trip to town, its safe day and its last one.

    Shape: phrases in that order. For a day to ask an office: why that day, unless it is past. None
    for what is neither.
    """
    if str(item.kind) == "ask" and item.paper is not None and item.paper.ask_day is not None:
        ask = item.paper.ask_day
        return (say_ask_why(ask),) if ask.on == item.on else ()
    if item.step is None or str(item.kind) != "do":
        return ()
    found = []
    if item.trip is not None:
        found.append(f"on the trip of {say_date(item.trip)}")
        if item.on > item.trip:
            found.append(f"safe through {say_date(item.on)}")
    if item.last is not None:
        words = "LATE, its last day was" if item.late else "last day"
        found.append(f"{words} {say_date(item.last)}")
    return tuple(found)


def _say_step(paper: "PaperPlan") -> str:
    """Say at which of several steps of the office a packet is; empty when there is one step."""
    at = paper.ask_day.at_step if paper.ask_day is not None else ""
    title = next((step.row.title for step in paper.steps if at and step.row.id == at), "")
    return f", by usual days at this step: {title}" if title else ""


def say_waiting(paper: "PaperPlan", *, with_day: bool = True) -> str:
    """Say on whom a planned paper waits now, and for what; *with_day* until when at usual pace."""
    undone = [step for step in paper.steps if step.done_on is None]
    acts = [step for step in undone if step.kind is StepKind.ACT]
    if paper.overdue_since is not None:
        late = f"the office; with usual times it would have come by {say_date(paper.overdue_since)}"
        if paper.ask_on is not None:
            open_on = paper.ask_day.open_on if paper.ask_day is not None else None
            verb = "was" if open_on is not None and paper.ask_on < open_on else "is"
            return f"{late}; the day to ask there {verb} {say_date(paper.ask_on)}"
        return f"{late}, so ask there what has become of it"
    if paper.packet.progress.is_at_office:
        if not with_day:
            return f"the office{_say_step(paper)}"
        return f"the office; {AT_USUAL_PACE} the paper comes by {say_date(paper.earliest_ready)}"
    if not acts:
        return "nothing you can do"
    place = acts[0].row.done_at
    where = f" ({place})" if place not in {"", "farm"} else ""
    return f"you: {acts[0].row.title}{where}"
