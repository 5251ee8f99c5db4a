"""The plan and its explanations, from the database to values."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from compliance.app.operations import load_with_log
from compliance.app.planned import Planned
from compliance.app.tables import load_table, load_table_for
from compliance.base.dates import say_date
from compliance.base.problems import NotFoundError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.applies import compute_verdicts
from compliance.engine.ask_model import AskDay
from compliance.engine.double_use import list_new_double_use
from compliance.engine.explain import (
    explain_paper,
    explain_step,
    explain_verdict,
    is_on_its_way,
    trace_last,
)
from compliance.engine.explain_words import Explanation, Reason
from compliance.engine.packets import PaperState, find_last_needed, packet_id
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.engine.remedies import add_helped, add_remedies
from compliance.engine.safe_plan import compute_safe_plan
from compliance.rules.model import RulesTable
from compliance.store.reading import Readable
from compliance.store.repository import load_told_on

if TYPE_CHECKING:  # numpy takes a while to load, and most plans need none of it
    from compliance.engine.follow_up import FollowUp


__all__ = [
    "Planned",
    "explain",
    "explain_any",
    "find_ask_day",
    "find_helped",
    "find_paper",
    "make_plan",
    "replace_ask_days",
]


def make_plan(
    session: Readable,
    wanted: str | None,
    as_of: date,
    *,
    first_spray: date | None = None,
    with_remedies: bool = False,
    with_follow_ups: bool = True,
    with_chances: bool = False,
) -> Planned:
    """Make the plan of an operation as of a day, if asked for another first spray.

    ``app.chances.add_chances`` adds chances for another wanted chance than 90 percent.

    Raises:
        NotFoundError: No such operation.
        RefusedError: The first spray asked for is past, or no plan is possible.
    """
    operation, log = load_with_log(session, wanted)
    table = load_table_for(session, operation, log)
    clashes: tuple[str, ...] = ()
    if first_spray is not None:
        if first_spray < as_of:
            raise RefusedError(
                f"the first spray {say_date(first_spray)} is past; today is {say_date(as_of)}",
                hint="give a day to come, or plan as of an earlier day with --on",
            )
        moved = move_first_spray(operation, first_spray)
        clashes = list_new_double_use(operation, moved, as_of)
        operation = moved
    told_on = load_told_on(session, operation.id)
    plan = replace(compute_plan(operation, table, log, as_of), told_on=told_on)
    if clashes:
        plan = replace(plan, warnings=(*plan.warnings, *clashes))
    if with_follow_ups:
        plan = _add_follow_ups(session, plan, table)
    if with_remedies:
        plan = add_remedies(plan, table, log)
    planned = Planned(plan=plan, table=table, log=log)
    return _add_chances(session, planned) if with_chances else planned


def find_helped(planned: Planned) -> Planned:
    """Add to a plan which of its late jobs something would help, as `mailby plan` says how."""
    return replace(planned, plan=add_helped(planned.plan, planned.table, planned.log))


def _add_chances(session: Readable, planned: Planned) -> Planned:
    """Add the trip days and, on them, the chances."""
    from compliance.app.chances import add_chances  # noqa: PLC0415 - numpy takes a while to load
    from compliance.app.trips import add_trip_days  # noqa: PLC0415 - most plans need none

    planned = add_trip_days(planned)
    return replace(planned, plan=add_chances(session, planned.plan, planned.table))


def _add_follow_ups(session: Readable, plan: Plan, table: RulesTable) -> Plan:
    """Add the days on which to ask about packets that are at an office."""
    if not any(paper.state is PaperState.AT_OFFICE for paper in plan.papers):
        return plan
    # Lazily, because numpy takes a while to load and most plans need none of it.
    from compliance.app.offices import find_follow_ups, load_seen  # noqa: PLC0415

    found = load_seen(session, table, plan.as_of)
    return replace_ask_days(plan, find_follow_ups(found, plan.as_of, operation=plan.operation.id))


def replace_ask_days(plan: Plan, follow_ups: Iterable["FollowUp"]) -> Plan:
    """Give a plan with the days on which to ask about the packets that are at an office."""
    days = {one.packet: one for one in follow_ups}
    papers = []
    for paper in plan.papers:
        if paper.id in days:
            ask = find_ask_day(days[paper.id], paper)
            papers.append(replace(paper, ask_on=ask.on, ask_day=ask))
        else:
            papers.append(paper)
    return replace(plan, papers=tuple(papers))


def find_ask_day(follow_up: "FollowUp", paper: PaperPlan) -> AskDay:
    """Find the day to ask about a packet that is at an office, by the plan of its paper."""
    return follow_up.ask_day(paper.in_hand_by, paper.overdue_since or paper.earliest_ready)


def find_paper(plan: Plan, name: str) -> PaperPlan:
    """Find a needed paper by its packet id, or its paper id when only one holder has it.

    Raises:
        NotFoundError: It is not needed, has several holders, or does not exist.
    """
    paper = plan.find_paper(name)
    if paper is not None:
        return paper
    several = [one.id for one in plan.papers if one.packet.paper.id == name]
    if several:
        raise NotFoundError(
            f"{name} has several holders", hint=f"name one of: {', '.join(several)}"
        )
    ids = [one.id for one in plan.papers]
    known = [
        one for one in plan.verdicts if name in (one.paper.id, packet_id(one.paper.id, one.holder))
    ]
    over = [day for one in known if (day := find_last_needed(plan.operation, one)) is not None]
    if over:
        raise NotFoundError(
            f"{name} is not needed any more",
            hint=f"the last job that needs it was over on {say_date(max(over))}",
        )
    if known:
        raise NotFoundError(
            f"{name} is not needed for the jobs planned", hint=f"mailby why {name} says why"
        )
    hint = suggest(name, ids) or f"needed are: {', '.join(ids) or 'none'}"
    raise NotFoundError(f"no paper is called {name!r}", hint=hint)


def _find_step(plan: Plan, name: str) -> tuple[PaperPlan, StepPlan] | None:
    """Find a step by ``packet/step`` or by the id of its row.

    It is the step of the present round, unless ``~n`` names another.
    """
    packet, _, step = name.partition("/")
    paper = plan.find_paper(packet)
    if paper is not None and step:
        found = paper.find_step(step)
        if "~" in step:
            found = plan.find_step(f"{paper.id}/{step.removesuffix('~1')}")
        return (paper, found) if found is not None else None
    for paper in plan.papers:
        row_step = name.removeprefix(f"{paper.packet.paper.id}.")
        found = paper.find_step(row_step) if row_step != name else None
        if found is not None:
            return paper, found
    return None


def _explain_whole(planned: Planned, paper: PaperPlan) -> Explanation:
    explained = explain_paper(planned.plan, paper)
    step = planned.plan.find_step(paper.mail_step)
    if step is not None:
        explained = _add_safe_days(planned, paper, step, explained)
    return _add_own_values(paper, explained)


def _add_safe_days(
    planned: Planned, paper: PaperPlan, step: StepPlan, explanation: Explanation
) -> Explanation:
    """Add the chain that sets the safe day of a step still to do, not of what is on its way."""
    if step.done_on is not None or step.safe is None or is_on_its_way(planned.plan, step):
        return explanation
    safe = compute_safe_plan(planned.plan, planned.table, paper.id)
    placed = safe.find_step(step.id)
    if placed is None:
        return explanation
    heading = "What sets the safe day (slow times, this packet comes back once)"
    chain = (heading, trace_last(safe, placed))
    return replace(explanation, sections=(*explanation.sections, chain))


def _add_own_values(paper: PaperPlan, explanation: Explanation) -> Explanation:
    """Add the user's own values that the dates of a paper rest on."""
    packet = paper.packet
    rows = (packet.paper, packet.office, *(step.row for step in paper.steps))
    overrides = dict.fromkeys(one for row in rows if row is not None for one in row.overrides)
    if not overrides:
        return explanation
    reasons = tuple(
        Reason(
            text=f"{one.row} {one.field} = {one.value} ({one.reason}, set {say_date(one.set_on)})"
        )
        for one in overrides
    )
    own = ("Your own values in it", reasons)
    return replace(explanation, sections=(*explanation.sections, own))


def explain(planned: Planned, name: str) -> tuple[Explanation, ...]:
    """Explain a paper, a packet or a step by its name; a paper of several holders for each.

    Raises:
        NotFoundError: Nothing of the plan has that name.
    """
    plan = planned.plan
    found = _find_step(plan, name)
    if found is not None:
        paper, step = found
        explained = _add_safe_days(planned, paper, step, explain_step(plan, step))
        return (_add_own_values(paper, explained),)
    papers = [one for one in plan.papers if name in (one.id, one.packet.paper.id)]
    if papers:
        return tuple(_explain_whole(planned, paper) for paper in papers)
    verdicts = [
        verdict
        for verdict in plan.verdicts
        if name in (verdict.paper.id, packet_id(verdict.paper.id, verdict.holder))
    ]
    if verdicts:
        return tuple(explain_verdict(plan, verdict) for verdict in verdicts)
    names = [one.id for one in plan.papers]
    names.extend(step.id for paper in plan.papers for step in paper.steps)
    names.extend(verdict.paper.id for verdict in plan.verdicts)
    hint = suggest(name, names) or "mailby plan names the packets, mailby rules list the papers"
    raise NotFoundError(f"nothing in the plan is called {name!r}", hint=hint)


def explain_any(session: Readable, planned: Planned, name: str) -> tuple[Explanation, ...]:
    """Explain a name as `explain` does; what the plan left out is looked up in the whole table.

    Raises:
        NotFoundError: Nothing of the plan or the table has that name.
    """
    try:
        return explain(planned, name)
    except NotFoundError:
        verdicts = compute_verdicts(planned.plan.operation, load_table(session))
        return explain(replace(planned, plan=replace(planned.plan, verdicts=verdicts)), name)
