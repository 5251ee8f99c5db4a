"""Duties around flying as text: what is due, what is kept, what starts only if it happens."""

from collections.abc import Iterator
from datetime import timedelta

from compliance.base.dates import say_date
from compliance.engine.duties_model import DueDuty, DutyState, UndatedDuty
from compliance.engine.plan_model import Plan
from compliance.outputs.duty_words import (
    DutyGroup,
    group_duties,
    pick_live,
    say_due,
    say_hours_unknown,
    say_lacks,
    say_overdue,
    say_rule,
    say_short_source,
    say_source,
    say_start,
    say_ticking,
    say_unwritten,
)
from compliance.outputs.events_text import say_event
from compliance.outputs.words import list_cautions, wrap, wrap_reviews

PLAN_ITEMS = 4
TODAY_ITEMS = 12
MOST_FLIGHTS = 10


def render_duties_text(plan: Plan, *, job: str, days: int, everything: bool) -> str:
    """Render the duties of an operation, or of one job.

    Units: *days* ahead of the plan's day, inclusive; what is overdue always shows. *everything*
    adds what was done, what is kept and what starts only if something happens.
    """
    due = [one for one in plan.duties.due if job in {"", one.job}]
    undated = [one for one in plan.duties.undated if not job or job in one.jobs]
    whose = f", job {job}" if job else ""
    head = f"{plan.operation.legal_name}{whose}: duties around flying, as of {say_date(plan.as_of)}"
    sections = [
        "\n".join((wrap(head), *wrap_reviews(plan.reviews))),
        "\n".join(_live(plan, due, days)),
        "\n".join(_unwritten(plan, job)),
        "\n".join(_running(due, everything=everything)),
        "\n".join(_done(due) if everything else ()),
        "\n".join(_undated(undated, everything=everything)),
        "\n".join(wrap(caution) for caution in list_cautions(plan)),
    ]
    return "\n\n".join(section for section in sections if section) + "\n"


def _live(plan: Plan, due: list[DueDuty], days: int) -> Iterator[str]:
    live = pick_live(due, plan.as_of, days)
    late = group_duties(one for one in live if one.state is not DutyState.OPEN)
    ahead = group_duties(one for one in live if one.state is DutyState.OPEN)
    if late:
        yield "OVERDUE, OR TOO LATE FOR SOME STARTS" if _has_some(late) else "OVERDUE"
        for group in late:
            yield from _group(plan, group)
    end = plan.as_of + timedelta(days=days)
    if late:
        yield ""
    yield f"DUE THROUGH {say_date(end).upper()}"
    for group in ahead:
        yield from _group(plan, group)
    if not ahead:
        yield "  nothing"


def _has_some(late: tuple[DutyGroup, ...]) -> bool:
    return any(group.first.state is DutyState.LATE_FOR_SOME for group in late)


def _group(plan: Plan, group: DutyGroup) -> Iterator[str]:
    duty = group.first
    yield wrap(f"{say_due(duty, plan.as_of)}: {duty.row.title}", indent=2, hang=4)
    yield wrap(f"for {group.about}", indent=6, hang=8)
    if say_lacks(duty):
        yield wrap(say_lacks(duty), indent=6, hang=8)
    elif duty.state is not DutyState.OPEN:
        yield wrap(say_overdue(duty, plan.as_of), indent=6, hang=8)
    if duty.row.what:
        yield wrap(duty.row.what, indent=6, hang=8)
    hours = say_hours_unknown(duty)
    if hours:
        yield wrap(hours, indent=6, hang=8)
    yield wrap(say_source(duty), indent=6, hang=8)
    yield wrap(say_ticking(group), indent=6, hang=8)


def _running(due: list[DueDuty], *, everything: bool) -> Iterator[str]:
    by_row: dict[str, list[DueDuty]] = {}
    for one in due:
        if one.state is DutyState.RUNNING:
            by_row.setdefault(one.row.id, []).append(one)
    if not by_row:
        return
    yield "KEPT, OR GOOD, THROUGH A DAY"
    for found in by_row.values():
        first, last = found[0], found[-1]
        count = len({one.occasion for one in found})
        span = say_date(first.due_on)
        if first.due_on != last.due_on:
            span = f"{span} to {say_date(last.due_on)}, {count} of them"
        yield wrap(f"{first.row.title}: through {span}", indent=2, hang=4)
        yield wrap(say_short_source(first), indent=6, hang=8)
        if everything:
            yield from (
                wrap(f"{say_date(one.due_on)}: {one.about}", indent=6, hang=8) for one in found
            )


def _done(due: list[DueDuty]) -> Iterator[str]:
    done = [one for one in due if one.state is DutyState.DONE]
    if done:
        yield "DONE"
    for one in done:
        day = say_date(one.done_on) if one.done_on is not None else ""
        record = f"; record {one.record}" if one.record is not None else ""
        late = f", due by {say_date(one.due_on)}" if record and _is_done_late(one) else ""
        yield wrap(f"{day}: {one.row.title}, for {one.about}{record}{late}", indent=2, hang=4)


def _is_done_late(duty: DueDuty) -> bool:
    return duty.done_on is not None and duty.done_on > duty.due_on


def _unwritten(plan: Plan, job: str) -> Iterator[str]:
    flights = [one for one in plan.duties.unwritten if job in {"", one.flight.job}]
    if not flights:
        return
    yield "FLIGHTS WITHOUT A RECORD"
    for one in flights[-MOST_FLIGHTS:]:
        number = one.flight.number
        text = f"{number}. {say_event(one.flight)}: {say_unwritten(one, plan.as_of)}"
        yield wrap(text, indent=2, hang=6)
        yield wrap(f"mailby record {one.flight.job} --flight {number}", indent=6, hang=8)
    if len(flights) > MOST_FLIGHTS:
        yield f"  ... and {len(flights) - MOST_FLIGHTS} earlier ones"


def _undated(undated: list[UndatedDuty], *, everything: bool) -> Iterator[str]:
    if not undated:
        return
    if not everything:
        count = len({one.row.id for one in undated})
        yield wrap(
            f"{count} more begin only if something happens; `mailby duties --all` lists them. "
            f"After an accident help the injured first, then look there at once."
        )
        return
    yield "ONLY IF IT HAPPENS"
    for row in {one.row.id: one for one in undated}.values():
        yield wrap(f"{row.row.title}: {say_rule(row.row)}", indent=2, hang=4)
        command = say_start(row.row)
        start = f"; tell it with `mailby log {command}`" if command else ""
        document = f"your own document: {row.term.document}" if row.term is not None else ""
        yield wrap(f"{document or row.row.basis.citation}{start}", indent=6, hang=8)


def list_today_lines(plan: Plan, days: int) -> Iterator[str]:
    """List the duties of a few days, one paragraph each, overdue ones first."""
    live = pick_live(plan.duties.due, plan.as_of, days)
    groups = group_duties(sorted(live, key=lambda one: one.state is DutyState.OPEN))
    for group in groups[:TODAY_ITEMS]:
        duty = group.first
        lacks = f"; {say_lacks(duty)}" if say_lacks(duty) else ""
        text = f"{say_due(duty, plan.as_of)}: {duty.row.title}, for {group.about}{lacks}"
        yield wrap(f"{text} ({say_short_source(duty)})", hang=2)
    if len(groups) > TODAY_ITEMS:
        yield f"... and {len(groups) - TODAY_ITEMS} more; `mailby duties` lists them"


def list_plan_lines(plan: Plan) -> Iterator[str]:
    """List the next few duties for the plan, below a heading; nothing when there is none."""
    live = [one for one in plan.duties.due if one.is_live]
    groups = group_duties(sorted(live, key=lambda one: one.state is DutyState.OPEN))
    if not groups:
        return
    yield "DUTIES AROUND FLYING"
    for group in groups[:PLAN_ITEMS]:
        duty = group.first
        yield wrap(f"{say_due(duty, plan.as_of)}: {duty.row.title}", indent=2, hang=4)
        yield wrap(f"for {group.about}; {say_short_source(duty)}", indent=6, hang=6)
    if len(groups) > PLAN_ITEMS:
        yield f"  ... and {len(groups) - PLAN_ITEMS} more; `mailby duties` lists them"
