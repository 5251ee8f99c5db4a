"""A plan as it is beside the plan with a change, for a screen of 80 columns."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.chance_model import PacketChance
from compliance.engine.check_facts import find_fee
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.outputs.chances_text import say_chance
from compliance.outputs.words import list_cautions, wrap

_LABEL, _COLUMN = 36, 22
_NONE = "-"


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
    yield "PACKETS"
    for name in dict.fromkeys((*old, *new)):
        first, second = _lines(before, old.get(name)), _lines(after, new.get(name))
        if first == second:
            same += 1
            continue
        plan, paper = (after, new[name]) if name in new else (before, old[name])
        yield wrap(f"{name}, {subject_of(plan, paper)}", indent=2, hang=4)
        for label in dict.fromkeys((*first, *second)):
            yield _row(f"  {label}", first.get(label, _NONE), second.get(label, _NONE))
        if name not in new:
            yield "    no longer needed"
    if same:
        word = "packet stays" if same == 1 else "packets stay"
        yield f"  {same} {word} as {'it is' if same == 1 else 'they are'}"


def _lines(plan: Plan, paper: PaperPlan | None) -> dict[str, str]:
    """Give what can change of a packet, by its label."""
    if paper is None:
        return {}
    word = "mail" if paper.is_mailed else "file"
    found = {"needed by": say_date(paper.packet.need_by)}
    if paper.mailed_on is not None:
        found["sent off"] = say_date(paper.mailed_on)
    else:
        found[f"{word} by, last"] = _say(paper.mail_last)
        found[f"{word} by, safe"] = _say(paper.mail_safe)
        if plan.chances is not None:
            found[f"{word} by, {say_chance(plan.chances.wanted)}"] = _say_chance_day(plan, paper)
    found["ready at the earliest"] = say_date(paper.earliest_ready)
    return found


def _say(day: date | None) -> str:
    return _NONE if day is None else say_date(day)


def _say_chance_day(plan: Plan, paper: PaperPlan) -> str:
    chance = _find(plan, paper)
    if chance is None:
        return _NONE
    return "no day left" if chance.mail_by is None else say_date(chance.mail_by)


def _find(plan: Plan, paper: PaperPlan) -> PacketChance | None:
    packets = plan.chances.packets if plan.chances is not None else ()
    return next((one for one in packets if one.packet == paper.id), None)


def _costs(before: Plan, after: Plan) -> Iterator[str]:
    """Compare the filing fees; no row knows the price of postage."""
    old, new = _fees(before), _fees(after)
    if old == new:
        return
    yield "COSTS"
    yield _row("filing fees that are known", f"${old:.2f}", f"${new:.2f}")
    yield wrap("Postage is not known to mailby; ask at the counter.", indent=2, hang=2)


def _fees(plan: Plan) -> Decimal:
    fees = (find_fee(paper) for paper in plan.papers if paper.packet.planned)
    return sum((fee.amount_usd for fee in fees if fee is not None), Decimal(0))
