"""Duties around flying as text: what is due, what is kept, what starts only if it happens."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from enum import Enum

from compliance.base.dates import say_date
from compliance.engine.duties_model import UNNEEDED, DueDuty, DutyState, UndatedDuty
from compliance.engine.plan_model import Plan
from compliance.facts.own_terms import OwnTerm
from compliance.facts.zones import say_moment, say_zone_missing
from compliance.outputs.duty_groups import (
    DutyGroup,
    fold_runs,
    group_duties,
    say_group_lacks,
    say_ticking,
)
from compliance.outputs.duty_words import (
    pick_live,
    say_beside,
    say_due,
    say_early,
    say_hours_unknown,
    say_older,
    say_overdue,
    say_records,
    say_rule,
    say_short_source,
    say_source,
    say_start,
    say_unwritten,
    say_what,
)
from compliance.outputs.events_text import say_event
from compliance.outputs.words import list_cautions, wrap, wrap_reviews
from compliance.rules.model import DutyEvent

PLAN_ITEMS = 4
TODAY_ITEMS = 12
MOST_FLIGHTS = 10
_ROOM = 2
DAYS = 30
"""How many days ahead are looked at where nobody says; the default of the command."""
YEAR = 366
_HEAD_CAREFUL = "OPEN BY CAREFUL PRACTICE, WHERE NO TIME WAS FOUND IN THE RULE"
_HEAD_NOW = "DUE TODAY, AND BEFORE THE NEXT FLIGHTS"
_BEFORE_FLYING = frozenset({DutyEvent.FLIGHT_START, DutyEvent.JOB_START})


class _Rank(Enum):
    """How soon a duty counts."""

    NOW = 1
    OVERDUE = 2
    AHEAD = 3
    CAREFUL = 4


def render_duties_text(plan: Plan, *, job: str, days: int, everything: bool) -> str:
    """Render the duties of an operation, or of one job.

    Units: *days* ahead of the plan's day, inclusive; what is overdue always shows. *everything*
    adds what was done, what is kept and what starts only if something happens.
    """
    book = plan.duties
    every = (*book.older, *book.due) if everything else book.due
    due = [one for one in every if job in {"", one.job}]
    undated = [one for one in plan.duties.undated if not job or job in one.jobs]
    whose = f", job {job}" if job else ""
    head = f"{plan.operation.legal_name}{whose}: duties around flying, as of {say_date(plan.as_of)}"
    sections = [
        "\n".join((wrap(head), *wrap_reviews((*plan.reviews, *_clocks(plan, job))))),
        "\n".join(
            (
                *_live(plan, due, days, everything=everything),
                *_older(plan, job, everything=everything),
            )
        ),
        "\n".join(_unwritten(plan, job)),
        "\n".join(_running(due, everything=everything)),
        "\n".join(_done(due) if everything else ()),
        "\n".join(_undated(undated, everything=everything)),
        "\n".join(wrap(caution) for caution in list_cautions(plan)),
    ]
    return "\n\n".join(section for section in sections if section) + "\n"


def _live(plan: Plan, due: list[DueDuty], days: int, *, everything: bool) -> Iterator[str]:
    """List what cannot wait until tomorrow first, what is overdue next, then what comes."""
    live = pick_live(due, plan.as_of, days)
    together = group_duties if everything else fold_runs
    by_rank = _split_by_rank(live, plan.as_of)
    for rank, head in ((_Rank.NOW, _HEAD_NOW), (_Rank.OVERDUE, "OVERDUE")):
        if by_rank[rank]:
            yield head
        for group in together(by_rank[rank]):
            yield from _group(plan, group)
        if by_rank[rank]:
            yield ""
    end = plan.as_of + timedelta(days=days)
    yield f"DUE THROUGH {say_date(end).upper()}"
    ahead = together(by_rank[_Rank.AHEAD])
    for group in ahead:
        yield from _group(plan, group)
    if not ahead:
        yield "  nothing more" if live else "  nothing"
    if by_rank[_Rank.CAREFUL]:
        yield f"\n{_HEAD_CAREFUL}"
    for group in together(by_rank[_Rank.CAREFUL]):
        yield from _group(plan, group)


def _clocks(plan: Plan, job: str) -> Iterator[str]:
    """Ask for the time zone of each job to come whose first flight needs it."""
    for one in plan.operation.jobs:
        if one.last_day >= plan.as_of and job in {"", one.id}:
            yield from filter(None, (say_zone_missing(plan.operation, one),))


def _older(plan: Plan, job: str, *, everything: bool) -> Iterator[str]:
    if not everything:
        older = (one for one in plan.duties.older if job in {"", one.job})
        yield from (wrap(line, indent=2, hang=4) for line in say_older(older))


def _split_by_rank(live: Sequence[DueDuty], as_of: date) -> dict[_Rank, list[DueDuty]]:
    return {rank: [one for one in live if _rank_of(one, as_of) is rank] for rank in _Rank}


def _rank_of(duty: DueDuty, as_of: date) -> _Rank:
    """Say how soon it counts; what careful practice asked for before today comes last."""
    if _decides(duty, as_of):
        return _Rank.NOW
    if duty.state is not DutyState.OPEN:
        return _Rank.OVERDUE
    if duty.is_careful and duty.due_on < as_of:
        return _Rank.CAREFUL
    return _Rank.NOW if duty.due_on <= as_of else _Rank.AHEAD


def _group(plan: Plan, group: DutyGroup) -> Iterator[str]:
    duty = group.first
    yield wrap(f"{say_due(duty, plan.as_of)}: {duty.row.title}", indent=2, hang=4)
    yield wrap(f"for {group.about}{_say_doubt(plan, group)}", indent=6, hang=8)
    lacks = say_group_lacks(group)
    if lacks:
        yield wrap(lacks, indent=6, hang=8)
    elif duty.state is not DutyState.OPEN:
        yield wrap(say_overdue(duty, plan.as_of), indent=6, hang=8)
    # The holder's own terms come before the words of the rule that they take the place of.
    words = [say_what(duty), say_hours_unknown(duty), say_source(duty)]
    for text in filter(None, words if duty.term is None else (*words[1:], words[0])):
        yield wrap(text, indent=6, hang=8)
    yield wrap(say_ticking(group, plan.duties.due), indent=6, hang=8)
    if group.is_run:
        yield wrap("`mailby duties --all` lists each", indent=6, hang=8)


def _say_doubt(plan: Plan, group: DutyGroup) -> str:
    """Say that no flight of these is lawful on its day by the plan, or nothing.

    The line stays all the same: a paper may come sooner than the plan has it.
    """
    days = {one.job: _find_lawful(plan, one) for one in group.duties}
    doubtful = {job: day for job, day in days.items() if day is not None}
    if not doubtful:
        return ""
    lawful = " and ".join(map(say_date, sorted(set(doubtful.values()))))
    # Of several jobs those are named that may not fly; the others may.
    whose = "" if len(doubtful) == len(days) else f"of {' and '.join(doubtful)} "
    return f"; {whose}only if it may fly: first lawful day {lawful}"


def _find_lawful(plan: Plan, duty: DueDuty) -> date | None:
    """Find the first lawful day of a job when what is planned is before it, else None."""
    if not duty.row.before or not _BEFORE_FLYING & set(duty.row.events):
        return None
    job = next((one for one in plan.jobs if one.job.id == duty.job), None)
    if job is None:
        return None
    if job.ended_on is not None and duty.event_on <= job.ended_on:
        return None
    if job.waits_for and duty.event_on < job.first_lawful_day:
        return job.first_lawful_day
    if job.gap is not None and job.gap[0] < duty.event_on < job.gap[1]:
        return job.gap[1]
    return None


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
    # Each line begins with the day on which it was done.
    done.sort(key=lambda one: one.done_on or one.due_on)
    if done:
        yield "DONE"
    for one in done:
        day = say_date(one.done_on) if one.done_on is not None else ""
        record = f"; {say_records(one.records)}" if one.records else ""
        late = _say_done_late(one) if record else ""
        early = f"; {say_early(one)}" if say_early(one) else ""
        text = f"{day}: {one.row.title}, for {one.about}{record}{late}{early}"
        yield wrap(text, indent=2, hang=4)


def _say_done_late(duty: DueDuty) -> str:
    """Say by when a record was due that was written later, or perhaps later on its last day."""
    if duty.done_on is None or duty.done_on < duty.due_on:
        return ""
    when = say_moment(duty.due_at) if duty.due_at is not None else say_date(duty.due_on)
    if duty.done_on > duty.due_on:
        return f", {'with care' if duty.is_careful else 'done late, due'} by {when}"
    return f", due by {when}, the hour of its writing is not kept" if duty.due_at else ""


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
    groups: dict[tuple[str, OwnTerm | None, bool], list[UndatedDuty]] = {}
    for one in undated:
        groups.setdefault((one.row.id, one.term, one.needed), []).append(one)
    several = Counter(row for row, *_ in groups)
    for (row, *_), found in groups.items():
        whose = ", ".join(dict.fromkeys(one.holder.ref for one in found if one.holder.ref))
        yield from _say_undated(found[-1], whose if several[row] > 1 else "")


def _say_undated(duty: UndatedDuty, whose: str) -> Iterator[str]:
    """Say how a duty counts once it begins; *whose* is empty when it is so for everybody."""
    row, command = duty.row, say_start(duty.row)
    start = f"; tell it with `mailby log {command}`" if command else ""
    named = f" for {whose}" if whose else ""
    named = named if duty.needed else f"{named} ({UNNEEDED})"
    strict = say_beside(duty)
    if duty.term is None:
        yield wrap(f"{row.title}{named}: {say_rule(row)}", indent=2, hang=4)
        yield wrap(f"{row.basis.citation}{strict}{start}", indent=6, hang=8)
        return
    own = f"by your own document{named}: {duty.term.document}{strict}"
    yield wrap(f"{say_rule(row)}, {own}{start}", indent=2, hang=4)
    yield wrap(f"in place of the rule: {row.title} ({row.basis.citation})", indent=6, hang=8)


def list_today_lines(plan: Plan, days: int) -> Iterator[str]:
    """List the duties of a few days, one paragraph each: those of the next flights first."""
    groups, left = _rank(plan, pick_live(plan.duties.due, plan.as_of, days), TODAY_ITEMS)
    for group in groups:
        duty = group.first
        lacks = f"; {said}" if (said := say_group_lacks(group)) else ""
        doubt = _say_doubt(plan, group)
        text = f"{say_due(duty, plan.as_of)}: {duty.row.title}, for {group.about}{doubt}{lacks}"
        yield wrap(f"{text} ({say_short_source(duty)})", hang=2)
    if left:
        yield f"... and {len(left)} more; `mailby duties` lists them"
    yield from (wrap(line, hang=2) for line in say_older(plan.duties.older))


def _rank(
    plan: Plan, live: Sequence[DueDuty], most: int
) -> tuple[tuple[DutyGroup, ...], tuple[DutyGroup, ...]]:
    """Put what cannot wait until tomorrow first, then what is overdue, and cut only the rest.

    Shape: the groups to show and those left out.
    """
    by_rank = _split_by_rank(live, plan.as_of)
    flights = [one for one in by_rank[_Rank.NOW] if _decides(one, plan.as_of)]
    others = [one for one in by_rank[_Rank.NOW] if not _decides(one, plan.as_of)]
    first = (*group_duties(flights), *fold_runs((*others, *by_rank[_Rank.OVERDUE])))
    more = fold_runs((*by_rank[_Rank.AHEAD], *by_rank[_Rank.CAREFUL]))
    room = max(most - len(first), _ROOM)
    return (*first, *more[:room]), more[room:]


def _decides(duty: DueDuty, as_of: date) -> bool:
    """Tell whether it decides on a flight of today or tomorrow, or must be told by tomorrow."""
    if not duty.row.before or not _BEFORE_FLYING & set(duty.row.events):
        return False
    tomorrow = as_of + timedelta(days=1)
    return duty.event_on <= tomorrow or duty.due_on <= tomorrow


def list_plan_lines(plan: Plan) -> Iterator[str]:
    """List the next few duties for the plan, below a heading; nothing when there is none."""
    live = [one for one in plan.duties.due if one.is_live]
    groups, left = _rank(plan, live, PLAN_ITEMS)
    older = say_older(plan.duties.older)
    if not groups and not older:
        return
    yield "DUTIES AROUND FLYING"
    for group in groups:
        duty = group.first
        yield wrap(f"{say_due(duty, plan.as_of)}: {duty.row.title}", indent=2, hang=4)
        lacks = f"; {said}" if (said := say_group_lacks(group)) else ""
        about = f"{group.about}{_say_doubt(plan, group)}{lacks}"
        yield wrap(f"for {about}; {say_short_source(duty)}", indent=6, hang=6)
    end = plan.as_of + timedelta(days=DAYS)
    soon = sum(group.first.due_on <= end for group in left)
    if soon:
        yield f"  ... and {soon} more through {say_date(end)}; `mailby duties` lists them"
    elif left:
        yield f"  ... and {len(left)} later; `mailby duties --days {YEAR}` lists them"
    yield from (wrap(line, indent=2, hang=4) for line in older)
