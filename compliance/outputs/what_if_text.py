"""A plan as it is beside the plan with a change, for a screen of 80 columns."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.chance_model import Curve, PacketChance
from compliance.engine.check_facts import find_fee
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.outputs.chances_text import say_chance
from compliance.outputs.words import list_cautions, wrap

_LABEL, _COLUMN = 36, 22
_NONE = "-"
_NO_DAY = "no day"


def render_what_if(before: Plan, after: Plan, words: tuple[str, ...], *, kept: bool) -> str:
    """Render what was tried, then jobs and packets before and after, those that change in full."""
    sections = [
        "\n".join(_head(before, words, kept=kept)),
        "\n".join(_jobs(before, after)),
        "\n".join(_packets(before, after)),
        "\n".join(_costs(before, after)),
        "\n".join(wrap(caution) for caution in list_cautions(after)),
    ]
    return "\n\n".join(section for section in sections if section) + "\n"


def _head(plan: Plan, words: tuple[str, ...], *, kept: bool) -> Iterator[str]:
    yield wrap(f"{plan.operation.legal_name}, as of {say_date(plan.as_of)}: what if")
    for one in words:
        yield wrap(f"- {one}", indent=2, hang=4)
    yield "Kept: this is the plan from now on." if kept else "Nothing of it is kept."
    yield ""
    yield _row("", "as it is", "what if")


def _row(label: str, before: str, after: str) -> str:
    return f"  {label:<{_LABEL}}{before:<{_COLUMN}}{after}".rstrip()


def _jobs(before: Plan, after: Plan) -> Iterator[str]:
    old = {job.job.id: job for job in before.jobs}
    new = {job.job.id: job for job in after.jobs}
    if not old and not new:
        return
    yield "JOBS"
    for name in dict.fromkeys((*old, *new)):
        one, two = old.get(name), new.get(name)
        yield f"  {name}"
        yield _row("  first day", _job_day(one), _job_day(two))
        yield _row("  first lawful day", _lawful(one), _lawful(two))
        yield _row("  chance on its first day", _chance(before, name), _chance(after, name))
        if (one is not None and one.gap) or (two is not None and two.gap):
            yield _row("  grounded after", _gap(one), _gap(two))


def _job_day(job: JobPlan | None) -> str:
    return _NONE if job is None else say_date(job.job.first_day)


def _lawful(job: JobPlan | None) -> str:
    return _NONE if job is None else say_date(job.first_lawful_day)


def _gap(job: JobPlan | None) -> str:
    return _NONE if job is None or job.gap is None else say_date(job.gap[0])


def _chance(plan: Plan, job: str) -> str:
    jobs = plan.chances.jobs if plan.chances is not None else ()
    return next((say_chance(one.on_first_day) for one in jobs if one.job == job), _NONE)


def _packets(before: Plan, after: Plan) -> Iterator[str]:
    old = {paper.id: paper for paper in before.papers if paper.packet.planned}
    new = {paper.id: paper for paper in after.papers if paper.packet.planned}
    same = 0
    said: list[str] = []
    yield "PACKETS"
    for name in dict.fromkeys((*old, *new)):
        first, second = _lines(before, old.get(name)), _lines(after, new.get(name))
        if first == second:
            same += 1
            continue
        plan, paper = (after, new[name]) if name in new else (before, old[name])
        yield wrap(f"{name}, {subject_of(plan, paper)}", indent=2, hang=4)
        for label in dict.fromkeys((*first, *second)):
            said.append(_row(f"  {label}", first.get(label, _NONE), second.get(label, _NONE)))
            yield said[-1]
        if name not in new:
            yield "    no longer needed"
    if _NO_DAY in "".join(said):
        text = "In brackets: the chance when it is sent off on the first day it can be."
        yield wrap(text, indent=2)
    if same:
        word = "packet stays" if same == 1 else "packets stay"
        yield f"  {same} {word} as {'it is' if same == 1 else 'they are'}"


def _lines(plan: Plan, paper: PaperPlan | None) -> dict[str, str]:
    """Give what can change of a packet, by its label."""
    if paper is None:
        return {}
    found = {"needed by": say_date(paper.packet.need_by)}
    if paper.mailed_on is not None:
        found["sent off"] = say_date(paper.mailed_on)
    else:
        word = _say_sending(plan, paper)
        found[f"{word} by, last"] = _say(paper.mail_last)
        found[f"{word} by, safe"] = _say(paper.mail_safe)
        chance = _find(plan, paper)
        if plan.chances is not None and chance is not None:
            wanted = say_chance(plan.chances.wanted)
            days = chance.mail_by, chance.by_mail_day
            found[f"{word} by, {wanted}"] = _say_chance_day(*days)
            if chance.by_mail_day_with_return:
                days = chance.mail_by_with_return, chance.by_mail_day_with_return
                found[f"{word} by, {wanted} if back once"] = _say_chance_day(*days)
    found["ready at usual pace"] = say_date(paper.earliest_ready)
    return found


def _say_sending(plan: Plan, paper: PaperPlan) -> str:
    """Name the sending that is still to do; a further one with its number."""
    step = plan.find_step(paper.mail_step)
    turn = step.turn if step is not None else 1
    if turn == 1:
        return "mail" if paper.is_mailed else "file"
    return f"{'mail' if paper.is_mailed else 'file'} no. {turn}"


def _say(day: date | None) -> str:
    return _NONE if day is None else say_date(day)


def _say_chance_day(day: date | None, curve: Curve) -> str:
    """Say the day, or what chance is left on the first day it can be sent off."""
    if day is not None:
        return say_date(day)
    return f"{_NO_DAY} ({say_chance(curve[0][1] if curve else 0)})"


def _find(plan: Plan, paper: PaperPlan) -> PacketChance | None:
    packets = plan.chances.packets if plan.chances is not None else ()
    return next((one for one in packets if one.packet == paper.id), None)


def _costs(before: Plan, after: Plan) -> Iterator[str]:
    """Compare the filing fees; no row knows the price of postage."""
    yield "COSTS"
    old, new = compute_known_fees(before), compute_known_fees(after)
    yield _row("filing fees that are known", f"${old:.2f}", f"${new:.2f}")
    yield "  Postage is left out; mailby does not know it."


def compute_known_fees(plan: Plan) -> Decimal:
    """Sum the filing fees, in US dollars, of what is still planned, as far as they are known."""
    fees = (find_fee(paper) for paper in plan.papers if paper.packet.planned)
    return sum((fee.amount_usd for fee in fees if fee is not None), Decimal(0))
