"""The plan as entries for a phone's calendar."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from compliance.base.dates import say_date
from compliance.engine.agenda import (
    Item,
    ItemKind,
    compute_agenda,
    key_of,
    list_once,
    list_waiting,
    say_here,
    subject_of,
)
from compliance.engine.ledger import RUNS_OUT_PREFIX, Alarm, Entry, EntryState
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan, TripDay
from compliance.facts.log import EventKind
from compliance.outputs.words import CAUTION, say_limits, say_once_here
from compliance.rules.model import StepKind

# The evening before comes first: some calendars keep only one alarm.
EVENING_BEFORE = Alarm(id="evening-before", days_before=1, hour=18)
WEEK_BEFORE = Alarm(id="week-before", days_before=7, hour=8)
ALARMS = (EVENING_BEFORE, WEEK_BEFORE)

_WORDS = {
    EventKind.SIGNED: "Sign",
    EventKind.NOTARIZED: "Notary",
    EventKind.PAID: "Pay",
    EventKind.CHECKED: "Check",
}


def compute_entries(plan: Plan, trips: Mapping[str, TripDay] | None = None) -> tuple[Entry, ...]:
    """List what belongs on the calendar, by day.

    Each packet gives a start, every act away from the farm or online, its last day, and the
    office's answer, the day to ask for it; beside them what runs out and the first day of each
    job. Done acts are given as done on their day, acts that wait for an overdue paper as without a
    day: only the last day of their packet stays, while it can be met. Keys never change with a
    date or a return, so a moved day moves the entry, and what is done anew after a return moves the
    entry of the first time. *trips* gives the day of the trip on which an act in town
    is to be done, by step id; the act keeps its safe day, which is its limit, and names the trip in
    its title. Where no safe day is left it stands on the day of the trip.
    """
    if trips is not None:
        plan = replace(plan, trip_days=trips)
    entries = [_entry(plan, item) for item in compute_agenda(plan) if _belongs(item)]
    entries.extend(
        _without_day(plan, paper, step, once)
        for paper, step, once in list_waiting(plan)
        if _is_shown_act(paper, step)
    )
    entries.extend(
        _done(plan, paper, step)
        for paper in plan.papers
        for step in _list_latest(paper)
        if step.done_on is not None and not step.shown and _is_shown_act(paper, step)
    )
    return tuple(sorted(entries, key=lambda entry: (entry.on, entry.key)))


def _list_latest(paper: PaperPlan) -> Iterable[StepPlan]:
    """List each step as it stands in its latest round: what is done anew is done only then."""
    return {step.row.name: step for step in sorted(paper.steps, key=lambda one: one.turn)}.values()


def list_held(plan: Plan) -> frozenset[tuple[str, ...]]:
    """List what the keys of packets still planned have after their kind.

    Their cancelled entries may come back: an office can send a packet back after a long time.
    """
    return frozenset(
        _key(plan, key_of("", paper, ""))[1:4] for paper in plan.papers if paper.packet.planned
    )


def say_without_day(count: int, new: int) -> str:
    """Say how many entries have no day, and how many of them had one in the file before."""
    has = "1 entry has" if count == 1 else f"{count} entries have"
    until = "until a paper is here that an office is overdue with"
    if new == count:
        return f"{has} no day now, {until}."
    since = f"{new} of them new" if new else "as before"
    return f"{has} no day, {since}, {until}."


def _belongs(item: Item) -> bool:
    if item.kind is not ItemKind.DO or item.paper is None or item.step is None:
        return True
    return _is_shown_act(item.paper, item.step)


def _is_shown_act(paper: PaperPlan, step: StepPlan) -> bool:
    """Tell whether an act is on the calendar: in town, online, or nothing comes before it."""
    if step.kind is not StepKind.ACT:
        return False
    return step.row.done_at not in {"", "farm"} or not paper.acts_before(step)


def _starts_round(paper: PaperPlan, step: StepPlan) -> bool:
    """Tell whether an act is the first of its round as the packet lists them."""
    acts = [one for one in paper.steps if one.kind is StepKind.ACT and one.turn == step.turn]
    return bool(acts) and acts[0].id == step.id


def _key(plan: Plan, key: tuple[str, ...]) -> tuple[str, ...]:
    return (key[0], plan.operation.id, *key[1:])


def _entry(plan: Plan, item: Item) -> Entry:
    related = None
    if item.paper is not None and item.step is not None and item.kind is ItemKind.DO:
        sending = plan.find_step(item.paper.mail_step)
        if (
            sending is not None
            and sending.id != item.step.id
            and sending.done_on is None
            and not list_once(plan, item.paper)
        ):
            related = _key(plan, key_of("do", item.paper, sending.row.name))
    return Entry(
        key=_key(plan, item.key),
        on=item.on,
        title=_title(item),
        text=_text(plan, item),
        alarms=ALARMS,
        related_to=related,
    )


def _title(item: Item) -> str:
    late = "LATE: " if item.late else ""
    if item.kind is ItemKind.DO and item.paper is not None and item.step is not None:
        word = _word(item.paper, item.step)
        if item.trip is not None and item.trip < item.on:
            word = f"{word}, safe day (trip of {say_date(item.trip)})"
        return f"{late}{word}: {item.subject}"
    if item.kind is ItemKind.LAST_DAY and item.paper is not None and item.step is not None:
        once = f", {say_once_here(item.once)}" if item.once else ""
        return f"LAST DAY to {_word(item.paper, item.step).lower()}{once}: {item.subject}"
    if item.kind is ItemKind.EXPECT:
        is_overdue = item.paper is not None and item.paper.overdue_since is not None
        what = "Overdue at the office" if is_overdue else "Paper due at usual pace"
        return f"{late}{what}: {item.subject}"
    if item.kind is ItemKind.ASK:
        return f"Ask the office: {item.subject}"
    if item.kind is ItemKind.RUNS_OUT:
        return f"{RUNS_OUT_PREFIX}{item.subject}"
    return f"{late}{item.title}"


def _word(paper: PaperPlan, step: StepPlan) -> str:
    if _starts_round(paper, step) and step.row.done_at in {"", "farm"}:
        return "Mend" if step.turn > 1 else "Start"
    if step.row.event is EventKind.MAILED:
        return "Mail" if paper.is_mailed else "File"
    return _WORDS.get(step.row.event, step.row.title)


def _text(plan: Plan, item: Item) -> str:
    lines = [item.title if item.kind is not ItemKind.RUNS_OUT else "Last day in force."]
    if item.step is not None and item.step.row.done_at:
        lines.append(f"Where: {item.step.row.done_at}")
    if item.trip is not None:
        lines.append(f"Planned on the trip of {say_date(item.trip)}")
        if item.on > item.trip:
            lines.append(f"Safe through {say_date(item.on)}, should the trip fall through")
    if item.kind is ItemKind.ASK:
        lines.extend(f"Why that day: {reason}" for reason in say_limits(item))
    if item.kind is ItemKind.DO and item.last is not None:
        word = "Its last day was" if item.late else "Last day with no room left:"
        lines.append(f"{word} {say_date(item.last)}")
    if item.paper is not None:
        lines.append(f"Packet: {item.paper.id}")
        if item.step is not None:
            lines.append(f"Why: mailby why {item.step.id}")
    lines.extend((*plan.reviews, CAUTION))
    return "\n".join(lines)


def _without_day(plan: Plan, paper: PaperPlan, step: StepPlan, once: tuple[str, ...]) -> Entry:
    return Entry(
        key=_key(plan, key_of("do", paper, step.row.name)),
        on=step.last or paper.packet.need_by,
        title=f"{_word(paper, step)}: {subject_of(plan, paper)}",
        text=(
            f"{step.row.title}\nIt has no day until {say_here(once)}\nPacket: {paper.id}\n{CAUTION}"
        ),
        state=EntryState.NO_DAY,
    )


def _done(plan: Plan, paper: PaperPlan, step: StepPlan) -> Entry:
    done_on = step.done_on or plan.as_of
    return Entry(
        key=_key(plan, key_of("do", paper, step.row.name)),
        on=done_on,
        title=f"{_word(paper, step)}: {subject_of(plan, paper)}",
        text=f"{step.row.title}\nDone on {say_date(done_on)}\nPacket: {paper.id}\n{CAUTION}",
        state=EntryState.DONE,
    )
