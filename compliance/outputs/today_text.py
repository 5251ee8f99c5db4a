"""What to do today and in the next seven days, in words."""

from datetime import timedelta

from compliance.base.dates import say_date
from compliance.engine.agenda import Item, ItemKind, compute_agenda, pick_first_acts
from compliance.engine.plan_model import Plan
from compliance.outputs.words import CAUTION, say_relative, wrap

DAYS_AHEAD = 7


def render_today_text(plan: Plan) -> str:
    """Render the few things that fall on today or the seven days after it, both inclusive.

    An act belongs to the week when the day to plan for falls in it.
    """
    end = plan.as_of + timedelta(days=DAYS_AHEAD)
    agenda = pick_first_acts(compute_agenda(plan))
    items = [item for item in agenda if plan.as_of <= item.on <= end]
    lines = [wrap(f"{plan.operation.legal_name}: {say_date(plan.as_of)} and the next seven days")]
    lines.extend(wrap(f"! {warning}", hang=2) for warning in plan.warnings)
    late = [job for job in plan.jobs if job.late_by_days]
    lines.extend(
        wrap(
            f"! {job.job.id} cannot begin lawfully before {say_date(job.first_lawful_day)}; "
            f"`mailby plan` says what would help",
            hang=2,
        )
        for job in late
    )
    lines.extend(
        wrap(
            f"! {job.job.id} is grounded after {say_date(job.gap[0])}: {job.gap_packet} runs out, "
            f"and a new one can be there on {say_date(job.gap[1])}",
            hang=2,
        )
        for job in plan.jobs
        if job.gap is not None
    )
    if not items:
        lines.extend(["", "Nothing this week."])
        ahead = [item for item in agenda if item.on > end]
        if ahead:
            lines.append(wrap(f"Next: {_say(plan, ahead[0])}"))
    for item in items:
        lines.extend(["", wrap(_say(plan, item), hang=2)])
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _say(plan: Plan, item: Item) -> str:
    day = f"{say_date(item.on)} ({say_relative(item.on, plan.as_of)})"
    if item.kind is ItemKind.RUNS_OUT:
        return f"{day}: last day in force of {item.subject}"
    where = ""
    if item.step is not None and item.kind is ItemKind.DO:
        where = f" [{item.step.row.done_at}]" if item.step.row.done_at else ""
    last = ""
    if item.last is not None and item.kind is ItemKind.DO:
        verb = "LATE, last day was" if item.late else "last day"
        last = f" ({verb} {say_date(item.last)})"
    return f"{day}: {item.title}{where} - {item.subject}{last}"
