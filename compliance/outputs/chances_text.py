"""Chances in plain words, for the plan on a screen."""

from collections.abc import Callable, Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.agenda import find_sending_day, list_once, subject_of
from compliance.engine.awaited import list_awaited
from compliance.engine.chance_model import Chances, PacketChance, StepWeight
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.outputs.words import say_if_came, say_once_here, wrap

SHOWN_WEIGHTS = 3
WHY_THEY_DIFFER = (
    "Act on the safe day while there is one, else on the first day you can; trips go by that too. "
    "The safe day counts no odds: every office slow, and one return. The days for a chance are for "
    "those who want more certainty, and count odds: letters and offices quick or slow as they "
    "come, and packets that come back as often as they do. The chance of a packet is that once it "
    "can be sent off on that day; papers it waits for may come later, which only the chance of a "
    "job counts."
)
_ONCE = "once the packet can be sent"
_BINDS = "; the earlier of the two, so for that chance this one counts"
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
    """Give the line on when a packet that was sent off is likely to be answered."""
    found = _find(plan, paper)
    if found is None or paper.mailed_on is None:
        return
    _, middle, late = found.ready
    text = f"even odds by {say_date(middle)}, nine in ten by {say_date(late)}"
    text += ", as nothing has come yet, by what is believed of the office, returns counted"
    yield wrap(f"likely       {text}", indent=6, hang=19)


def list_chances(plan: Plan, *, chance_asked: bool = False) -> Iterator[str]:
    """Give the section on chances: each packet's days, what would raise them, what they rest on.

    With *chance_asked* it says which of the two days for the chance counts.
    """
    chances = plan.chances
    if chances is None or not chances.jobs or not chances.packets:
        return
    yield "CHANCES"
    papers = [paper for paper in plan.papers if paper.mailed_on is None and _find(plan, paper)]
    for paper in sorted(papers, key=lambda one: one.slack_days or 0):
        yield wrap(subject_of(plan, paper), indent=2, hang=4)
        yield from _list_mail_days(plan, paper, say_chance(chances.wanted), asked=chance_asked)
    if papers:
        yield wrap(WHY_THEY_DIFFER, indent=2)
    for weight in chances.matters[:SHOWN_WEIGHTS]:
        yield wrap(f"- {_say_weight(plan, weight)}", indent=2, hang=4)
    yield wrap(_say_basis(chances), indent=2)


def _find(plan: Plan, paper: PaperPlan) -> PacketChance | None:
    packets = plan.chances.packets if plan.chances is not None else ()
    return next((one for one in packets if one.packet == paper.id), None)


def _list_mail_days(plan: Plan, paper: PaperPlan, wanted: str, *, asked: bool) -> Iterator[str]:
    """Say by when to send it off, by when if it comes back once, and what the safe day is worth."""
    found = _find(plan, paper)
    if found is None or not found.by_mail_day:
        yield f"      for {wanted}: no day left; the chance to be in time is {say_chance(0)}"
        return
    verb, done = ("mail", "mailed") if paper.is_mailed else ("file", "filed")
    by, again = found.mail_by, found.mail_by_with_return
    overdue = list_once(plan, paper)
    once = f", {say_once_here(overdue)}" if overdue else ""
    first = found.by_mail_day[0][0]
    when = _say_first(plan, paper, first, done)
    if by is None:
        yield _line(f"for {wanted}: no day left; {when}: {_say_on(found, first)}")
    else:
        tail = _BINDS if asked and again is not None and found.binds == "chance" else ""
        tail += _say_sooner(plan, paper, by, found.chance_on)
        yield _line(f"for {wanted}: {verb} by {say_date(by)}{once}{tail}")
    if found.by_mail_day_with_return and (by is not None or again is not None):
        even = f"for {wanted} even if it comes back once:"
        if again is None:
            left = say_chance(found.by_mail_day_with_return[0][1])
            yield _line(f"{even} no day left; {when}: {left}")
        else:
            tail = _BINDS if asked and by is not None and found.binds == "return" else ""
            tail += _say_sooner(plan, paper, again, found.chance_with_return_on)
            yield _line(f"{even} {verb} by {say_date(again)}{once}{tail}")
    safe = paper.mail_safe
    if safe is not None and safe != first and found.chance_on(safe) is not None:
        yield _line(f"{done} on the safe day, {say_date(safe)}{once}: {_say_on(found, safe)}")


def _say_first(plan: Plan, paper: PaperPlan, first: date, done: str) -> str:
    """Say the first day it can be sent off, and on what that hangs."""
    day = f"{done} today" if first == plan.as_of else f"{done} {say_date(first)}"
    if overdue := list_once(plan, paper):
        return f"{say_if_came(overdue)}, {day}"
    sending = find_sending_day(plan, paper)
    if sending is not None and first < sending:
        day += f", the first day it could go, {_say_than(plan, paper, sending)}"
    elif paper.mail_step in plan.trip_days:
        day += ", on the trip to town"
    elif first != plan.as_of:
        day += ", the first day"
    return f"{day}, {_ONCE}" if list_awaited(plan, paper) else day


def _say_sooner(
    plan: Plan, paper: PaperPlan, day: date, chance_on: Callable[[date], float | None]
) -> str:
    """Say that a day is sooner than the trip the plan has, and what chance is left on that."""
    sending = find_sending_day(plan, paper)
    if sending is None or day >= sending:
        return ""
    left = say_chance(chance_on(sending) or 0.0)
    return f"; that is {_say_than(plan, paper, sending)} ({left}), so go sooner for this chance"


def _say_than(plan: Plan, paper: PaperPlan, sending: date) -> str:
    if paper.mail_step in plan.trip_days:
        return f"sooner than its trip to town, {say_date(sending)}"
    return f"sooner than the trips to town let it go, {say_date(sending)}"


def _say_on(found: PacketChance, day: date) -> str:
    """Say the chance of sending it off on a day, and the same if it comes back once."""
    chance, back = found.chance_on(day), found.chance_with_return_on(day)
    more = f", and {say_chance(back)} if it comes back once" if back is not None else ""
    return f"{say_chance(chance or 0.0)}{more}"


def _line(text: str) -> str:
    """Wrap a line of a packet, with no percent sign alone at the beginning of a line."""
    return wrap(text.replace(" %", "\N{NO-BREAK SPACE}%"), indent=6, hang=8).replace(
        "\N{NO-BREAK SPACE}", " "
    )


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
