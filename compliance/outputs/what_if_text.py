"""A plan as it is beside the plan with a change, for a screen of 80 columns."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from compliance.base.dates import say_date
from compliance.engine.agenda import find_sending_day, list_once, say_here, subject_of
from compliance.engine.awaited import list_missed, list_overdue
from compliance.engine.chance_model import Curve, PacketChance
from compliance.engine.check_facts import find_fee
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.outputs.chances_text import say_chance
from compliance.outputs.words import list_cautions, wrap

_LABEL, _COLUMN = 36, 22
_NONE = "-"
_NO_DAY = "no day"
_SOONER = " *"
_IF_CAME = "if what is overdue came today"
_NOT_KNOWN = "not known"
_READY = "ready at usual pace"


def render_what_if(
    before: Plan,
    after: Plan,
    words: tuple[str, ...],
    *,
    kept: bool,
    remarks: tuple[str, ...] = (),
) -> str:
    """Render what was tried, then jobs and packets before and after, those that change in full."""
    sections = [
        "\n".join(_head(before, words, kept=kept)),
        "\n".join(_jobs(before, after)),
        "\n".join(_packets(before, after)),
        "\n".join(wrap(f"{one[0].upper()}{one[1:]}.") for one in remarks),
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
        yield from _say_sides(_list_job_limits(before, one), _list_job_limits(after, two))
        yield _row("  first day", _job_day(one), _job_day(two))
        first, second = _lawful(before, one), _lawful(after, two)
        for label in dict.fromkeys((*first, *second)):
            yield _row(f"  {label}", first.get(label, _NONE), second.get(label, _NONE))
        yield _row("  chance on its first day", _chance(before, name), _chance(after, name))
        if (one is not None and one.gap) or (two is not None and two.gap):
            yield _row("  grounded after", _gap(one), _gap(two))


def _job_day(job: JobPlan | None) -> str:
    return _NONE if job is None else say_date(job.job.first_day)


def _lawful(plan: Plan, job: JobPlan | None) -> dict[str, str]:
    """Give the first lawful day by its label; one that hangs on an overdue paper is not known."""
    if job is None:
        return {}
    return _say_day("first lawful day", job.first_lawful_day, hangs=bool(list_overdue(plan, job)))


def _say_day(label: str, day: date, *, hangs: bool) -> dict[str, str]:
    """Give a day under its label, or as one that nobody knows and what it were at best."""
    if not hangs:
        return {label: say_date(day)}
    return {label: _NOT_KNOWN, _IF_CAME: say_date(day)}


def _list_job_limits(plan: Plan, job: JobPlan | None) -> tuple[str, ...]:
    """List on what the first lawful day of a job hangs besides."""
    if job is None:
        return ()
    overdue = (subject_of(plan, paper) for paper in list_overdue(plan, job))
    missed = (subject_of(plan, paper) for paper in list_missed(plan, job))
    return (
        *(f"lawful only once this is here, which is overdue: {name}" for name in overdue),
        *(f"lawful only if the office takes a late renewal: {name}" for name in missed),
    )


def _list_packet_limits(plan: Plan, paper: PaperPlan | None) -> tuple[str, ...]:
    """List on what the days of a packet hang besides."""
    if paper is None:
        return ()
    once = list_once(plan, paper)
    limits = [f"can go only once {say_here(once)}"] if once else []
    if paper.renewal_missed is not None:
        limits.append("counts only if the office takes a late renewal")
    return tuple(limits)


def _say_sides(before: tuple[str, ...], after: tuple[str, ...]) -> Iterator[str]:
    """Say what holds on both sides, and what on one of them only."""
    for one in dict.fromkeys((*before, *after)):
        side = "" if one in before and one in after else "as it is: "
        side = "what if: " if one not in before else side
        yield wrap(f"{side}{one}", indent=4, hang=6)


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
        limits = (
            _list_packet_limits(before, old.get(name)),
            _list_packet_limits(after, new.get(name)),
        )
        if first == second and limits[0] == limits[1]:
            same += 1
            continue
        plan, paper = (after, new[name]) if name in new else (before, old[name])
        yield wrap(f"{name}, {subject_of(plan, paper)}", indent=2, hang=4)
        yield from _say_sides(*limits)
        for label in dict.fromkeys((*first, *second)):
            said.append(_row(f"  {label}", first.get(label, _NONE), second.get(label, _NONE)))
            yield said[-1]
        if name not in new:
            yield "    no longer needed"
    if _SOONER in "".join(said):
        yield wrap(
            "With a star: sooner than the trip to town lets it go; go sooner for that chance.",
            indent=2,
        )
    if _NO_DAY in "".join(said):
        text = "In brackets: the chance when it is sent off on the first day it can be"
        hangs = _IF_CAME in "".join(said)
        text += ", of what waits for an overdue paper as if that came today." if hangs else "."
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
        word = _say_sending(paper, paper.mail_step)
        found[f"{word} by, last"] = _say(paper.mail_last)
        found[f"{word} by, safe"] = _say(paper.mail_safe)
        found |= _chance_days(plan, paper)
    if paper.overdue_since is not None:
        return found | {"overdue since": say_date(paper.overdue_since), _READY: _NOT_KNOWN}
    hangs = bool(list_once(plan, paper))
    return found | _say_day(_READY, paper.earliest_ready, hangs=hangs)


def _chance_days(plan: Plan, paper: PaperPlan) -> dict[str, str]:
    """Give the days to send a packet off for the wanted chance.

    They are of the sending that is next today: with a return to come that is the one before it.
    """
    chance = _find(plan, paper)
    if plan.chances is None or chance is None:
        return {}
    word = _say_sending(paper, chance.mail_step)
    label = f"{word} by, {say_chance(plan.chances.wanted)}"
    sending = find_sending_day(plan, paper)
    found = {label: _say_chance_day(chance.mail_by, chance.by_mail_day, sending)}
    if chance.by_mail_day_with_return:
        days = chance.mail_by_with_return, chance.by_mail_day_with_return
        again = "again" if chance.certain_returns else "once"
        found[f"{label} if back {again}"] = _say_chance_day(*days, sending)
    return found


def _say_sending(paper: PaperPlan, mail_step: str) -> str:
    """Name a sending by its step; a further one with its number."""
    word = "mail" if paper.is_mailed else "file"
    turn = mail_step.partition("~")[2]
    return f"{word} no. {turn}" if turn else word


def _say(day: date | None) -> str:
    return _NONE if day is None else say_date(day)


def _say_chance_day(day: date | None, curve: Curve, sending: date | None) -> str:
    """Say the day, or what chance is left on the first day it can be sent off.

    One that is sooner than *sending*, the day of the plan with its trips, has a mark.
    """
    if day is not None:
        return f"{say_date(day)}{_SOONER if sending is not None and day < sending else ''}"
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
