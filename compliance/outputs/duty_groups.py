"""Duties that are said once together, and what settles them."""

from collections.abc import Iterable
from dataclasses import dataclass

from compliance.base.dates import say_date
from compliance.engine.duties_model import OF_FLIGHT, UNNEEDED, DueDuty, DutyState, say_owner
from compliance.facts.record_elements import ELEMENTS
from compliance.outputs.duty_words import say_beside, say_lacks
from compliance.rules.model import DutyEvent, DutyKind

MOST_NAMED = 3
"""So many are named by themselves; more of them are put together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyGroup:
    """Duties of one row that fall on the same day or moment, said once.

    What was told of by itself, such as a move, is one by itself: of one event, and of one person
    where the duty is each person's own.
    Shape: ``duties`` is never empty; all are in the same state. With ``is_run``, as `fold_runs`
    makes it, they are of several months or flights, each with its own day, the soonest first.
    """

    duties: tuple[DueDuty, ...]
    is_run: bool = False

    @property
    def first(self) -> DueDuty:
        """Give the one that stands for all."""
        return self.duties[0]

    @property
    def occasions(self) -> tuple[str, ...]:
        """Give the occasions, each once."""
        return tuple(dict.fromkeys(one.occasion for one in self.duties))

    @property
    def about(self) -> str:
        """Say the occasions, the first few by name; of a run how many there are."""
        if self.is_run:
            mark = "" if self.first.needed else f" ({UNNEEDED})"
            return f"{self._say_run()}{mark}{self._say_tick_of_months()}"
        named = tuple(dict.fromkeys(one.about for one in self.duties))
        more = f"; and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""
        return "; ".join(named[:MOST_NAMED]) + more

    def _say_run(self) -> str:
        count = len(self.occasions)
        if self.is_of_months:
            return f"{count} months since {self.first.occasion}, not ticked off"
        days = [one.event_on for one in self.duties]
        jobs = ", ".join(dict.fromkeys(one.job for one in self.duties if one.job))
        stands = "not ticked off"
        if self.first.row.kind is DutyKind.WRITE_RECORD:
            words = {True: "without a record", False: "with a record that lacks something"}
            kinds = dict.fromkeys(words[one.record is None] for one in self.duties)
            stands = " or ".join(kinds)
        days_said = f"{say_date(min(days))} to {say_date(max(days))}"
        refs = dict.fromkeys(one.holder.ref for one in self.duties if one.holder.ref)
        people = f" ({', '.join(refs)})" if refs else ""
        whose = f"{f' of {jobs}' if jobs else ''}{people}"
        return f"{count} flights{whose}, {days_said}, each by its own time, {stands}"

    def _say_tick_of_months(self) -> str:
        if not self.is_of_months:
            return ""
        return f"; `mailby log did {self.name} --and-before` ticks these and older ones"

    @property
    def names(self) -> tuple[str, ...]:
        """Give the names under which it is ticked off, one for each occasion; one for months."""
        told = self.occasions[-1:] if self.is_of_months else self.occasions
        return tuple(f"{self.owner}/{one}" for one in told)

    @property
    def owner(self) -> str:
        """Give the name without an occasion: of one person where it is one person's."""
        owners = {say_owner(one.row.id, one.holder) for one in self.duties}
        return owners.pop() if len(owners) == 1 else self.first.row.id

    @property
    def name(self) -> str:
        """Give the name of the first of its occasions, or of the last one of several months."""
        return self.names[0]

    @property
    def ticks(self) -> str:
        """Give the commands that tick it off, the first few of many."""
        more = len(self.names) - MOST_NAMED
        verb = "is" if more == 1 else "are"
        tail = f"; {more} more {verb} shown when these are ticked off" if more > 0 else ""
        return "; ".join(f"mailby log did {one}" for one in self.names[:MOST_NAMED]) + tail

    @property
    def is_of_months(self) -> bool:
        """Tell whether it is a run of the months of one report."""
        return self.is_run and DutyEvent.MONTH_FLOWN in self.first.row.events


def group_duties(duties: Iterable[DueDuty]) -> tuple[DutyGroup, ...]:
    """Put together what is said once: same duty, same day or moment, same state and record.

    What was told of by itself is put together for the same event and the same words only, so that
    each line names one thing to do, whose it is, and a tick that is taken.
    """
    groups: dict[tuple[object, ...], list[DueDuty]] = {}
    for duty in duties:
        event = (duty.occasion, duty.about) if duty.occasion.startswith("event-") else ()
        told = (duty.record, duty.lacks, duty.bare, event, say_beside(duty), duty.needed)
        key = (duty.row.id, duty.due_on, duty.due_at, duty.state, duty.term, *told)
        groups.setdefault(key, []).append(duty)
    return tuple(DutyGroup(duties=tuple(found)) for found in groups.values())


def fold_runs(duties: Iterable[DueDuty]) -> tuple[DutyGroup, ...]:
    """Group duties as `group_duties` does, what comes back time and again put together too.

    Shape: the overdue months of one report, where there are two; the flights of one duty that lack
    the same, overdue or not yet, where there are more than are named by themselves. A run stands
    where the soonest of it would.
    """
    told = tuple(duties)
    runs: dict[tuple[object, ...], list[DueDuty]] = {}
    for duty in told:
        runs.setdefault(_find_run(duty), []).append(duty)
    folded = [found for key, found in runs.items() if key and _is_long(found)]
    taken = {id(one) for found in folded for one in found}
    places = {id(duty): place for place, duty in enumerate(told)}
    groups = (
        *group_duties(one for one in told if id(one) not in taken),
        *(DutyGroup(duties=tuple(found), is_run=True) for found in folded),
    )
    return tuple(sorted(groups, key=lambda one: places[id(one.first)]))


def _find_run(duty: DueDuty) -> tuple[object, ...]:
    """Give what makes a duty one of a run; empty for one that stands by itself."""
    if DutyEvent.MONTH_FLOWN in duty.row.events and duty.state is DutyState.OVERDUE:
        return (duty.row.id, duty.holder)
    if duty.bare or not duty.occasion.startswith(OF_FLIGHT):
        return ()
    told = (duty.record is None, duty.lacks, say_beside(duty), duty.needed)
    return (duty.row.id, duty.holder, duty.state, duty.term, *told)


def _is_long(found: list[DueDuty]) -> bool:
    """Tell whether duties of one run are put together: they are many, and of several days."""
    least = 1 if DutyEvent.MONTH_FLOWN in found[0].row.events else MOST_NAMED
    is_spread = len({(one.due_on, one.due_at) for one in found}) > 1
    return is_spread and len({one.occasion for one in found}) > least


def say_group_lacks(group: DutyGroup) -> str:
    """Say what the records of a group still lack, as `say_lacks` does of one duty."""
    numbers = tuple(dict.fromkeys(one.record for one in group.duties if one.record is not None))
    if not group.is_run or not group.first.lacks:
        return say_lacks(group.first)
    named = ", ".join(map(str, numbers[:MOST_NAMED]))
    more = f" and {len(numbers) - MOST_NAMED} more" if len(numbers) > MOST_NAMED else ""
    words = ", ".join(ELEMENTS[name].words for name in group.first.lacks)
    return f"written as records {named}{more}, which lack: {words}"


def say_ticking(group: DutyGroup, every: Iterable[DueDuty] | None = None) -> str:
    """Say what settles a duty: a record, or a tick.

    One tick settles several flights where *every* duty is known and it takes along none that is
    not of the group.
    """
    duty = group.first
    last = group.name if group.is_of_months else ""
    if every is not None:
        last = last or _find_last(group, every)
    did = f"mailby log did {last} --and-before" if last else group.ticks
    if duty.row.kind is not DutyKind.WRITE_RECORD or not duty.occasion.startswith(OF_FLIGHT):
        older = ", older ones too" if group.is_of_months else ""
        return f"when {'all are' if last else 'it is'} done{older}: {did}"
    complete = ""
    if duty.record is not None and (duty.lacks or not duty.bare):
        why = '--because "what was missing"'
        word = "complete each, the first by" if group.is_run else "complete it:"
        complete = f"{word} mailby record {duty.job} --correct {duty.record} {why}"
    if duty.record is not None and not duty.bare:
        return complete
    flights = dict.fromkeys((one.job, one.occasion.removeprefix(OF_FLIGHT)) for one in group.duties)
    named = tuple(flights)[:MOST_NAMED]
    writing = "; ".join(f"mailby record {job} --flight {number}" for job, number in named)
    more = f"; and {len(flights) - MOST_NAMED} more" if len(flights) > MOST_NAMED else ""
    where = "all are" if last else "it is"
    writing = f"write it: {writing}{more}; when {where} written elsewhere: {did}"
    return f"{complete}; {writing}" if complete else writing


def _find_last(group: DutyGroup, every: Iterable[DueDuty]) -> str:
    """Give the name whose tick, with the earlier ones, settles several flights and no more."""
    own = {_read_flight(one) for one in group.duties}
    last = max(own)
    if len(own) == 1 or 0 in own:
        return ""
    # A tick that names nobody is one of every person's flights.
    row, owners = group.first.row.id, {one.holder for one in group.duties}
    alike = (one for one in every if one.is_live and one.row.id == row)
    others = {_read_flight(one) for one in alike if len(owners) > 1 or one.holder in owners} - own
    if any(0 < one < last for one in others):
        return ""
    return f"{group.owner}/{OF_FLIGHT}{last}"


def _read_flight(duty: DueDuty) -> int:
    number = duty.occasion.removeprefix(OF_FLIGHT)
    return int(number) if number != duty.occasion and number.isdigit() else 0
