"""Chances in plain words, for the plan on a screen."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.chance_model import Chances, PacketChance, StepWeight
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.outputs.words import wrap

SHOWN_WEIGHTS = 3
_CENT = 0.01
_HALF_A_CENT = 0.005


def say_chance(chance: float) -> str:
    """Write a chance in whole percent; what cannot be told from never or always is not called so.

    >>> say_chance(0.187), say_chance(0.002), say_chance(0.999)
    ('19 %', 'under 1 %', 'over 99 %')
    """
    if chance < _CENT:
        return "under 1 %"
    if chance > 1 - _CENT:
        return "over 99 %"
    return f"{round(100 * chance)} %"


def list_job_chance(plan: Plan, job_id: str) -> Iterator[str]:
    """Give the line on the chance of a job, when chances were drawn."""
    for job in plan.chances.jobs if plan.chances is not None else ():
        if job.job == job_id:
            day = "on its first day" if job.first_day >= plan.as_of else "from today on"
            chance = say_chance(job.on_first_day)
            yield f"      chance that every paper is in force {day}: {chance}"


def list_packet_chance(plan: Plan, paper: PaperPlan) -> Iterator[str]:
    """Give the line on when to send a packet off, or when one sent off is likely to be answered."""
    chances = plan.chances
    found = (
        next((one for one in chances.packets if one.packet == paper.id), None) if chances else None
    )
    if chances is None or found is None:
        return
    if paper.mailed_on is not None:
        _, middle, late = found.ready
        yield wrap(
            f"likely       even odds by {say_date(middle)}, nine in ten by {say_date(late)}",
            indent=6,
            hang=19,
        )
        return
    word = "mail" if paper.is_mailed else "file"
    head = f"{word} by, {say_chance(chances.wanted)}"
    yield wrap(f"{head} {_say_mail_by(found, word)}", indent=6, hang=21)


def list_weights(plan: Plan) -> Iterator[str]:
    """Give the section on what would raise the chances, and what they rest on."""
    chances = plan.chances
    if chances is None or not chances.jobs or not chances.packets:
        return
    yield "CHANCES"
    for weight in chances.matters[:SHOWN_WEIGHTS]:
        yield wrap(f"- {_say_weight(plan, weight)}", indent=2, hang=4)
    yield wrap(_say_basis(chances), indent=2)


def _say_mail_by(found: PacketChance, word: str) -> str:
    """Say by when to send it off, and by when if it comes back once."""
    again = found.mail_by_with_return
    if found.mail_by is None:
        if not found.by_mail_day:
            return "no day left"
        day, chance = found.by_mail_day[0]
        done = {"mail": "mailed", "file": "filed"}[word]
        return f"no day left; {done} {say_date(day)} it is in time with {say_chance(chance)}"
    if found.binds == "return":
        return f"{say_date(found.mail_by)}; {_say_return(again)}"
    tail = " (that leaves room to come back once)" if again is not None else ""
    return f"{say_date(found.mail_by)}{tail}"


def _say_return(day: date | None) -> str:
    if day is None:
        return "no day left for that chance if it comes back once"
    return f"if it comes back once, already {say_date(day)}"


def _say_weight(plan: Plan, weight: StepWeight) -> str:
    paper = plan.find_paper(weight.packet)
    step = plan.find_step(weight.step)
    if paper is None or step is None:
        raise AssertionError("the steps that matter are steps of the plan")
    share = round(100 * weight.gain_per_day)
    gain = (
        f"by about {share} in 100" if weight.gain_per_day >= _HALF_A_CENT else "by under 1 in 100"
    )
    return (
        f"a day less at `{step.row.title}` ({subject_of(plan, paper)}) raises the chance of "
        f"{weight.job} {gain}"
    )


def _say_basis(chances: Chances) -> str:
    return (
        f"Counted in {chances.draws:,} invented seasons: offices and mail as slow as their rows "
        "and your log say, packets that come back, and everything you do yourself done on the "
        "first day it can be. Most office times are guesses; so are these chances."
    )
