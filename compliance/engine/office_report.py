"""What is known of each office, as plain values for a report."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

from compliance.engine.follow_up import ASK_AT, FollowUp
from compliance.engine.kaplan_meier import compute_still_out, find_day
from compliance.engine.turnaround import Observation, Seen
from compliance.engine.turnaround_belief import Belief, compute_beliefs
from compliance.engine.turnaround_grid import Tally
from compliance.facts.log import EventKind, LogEntry
from compliance.rules.editions import touches
from compliance.rules.model import OfficeRow, RulesTable, StepRow

# Below that many packets a curve by counting alone says less than it seems to.
ENOUGH_TO_COUNT = 20
NO_EARLIER: Mapping[str, tuple[StepRow, ...]] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class KindReport:
    """One kind of packet at one office.

    ``half_by`` and ``nine_in_ten_by`` are what is believed now, in counted days of the row's
    calendar; ``counted`` are the same two by counting alone, None below twenty packets, and a day
    is None that too few packets have reached. ``comes_back`` is the chance of a return.
    ``leans_on`` are the office's other kinds of which days were seen, when none were of this one;
    ``waiting`` are the packets that are at this step by usual days. ``earlier`` are editions of
    the row with other days that some of the packets seen came under; what is believed starts from
    ``row``, which is the one in force, all the same.
    """

    row: StepRow
    tally: Tally
    half_by: int
    nine_in_ten_by: int
    comes_back: float
    counted: tuple[int | None, int | None] | None
    waiting: tuple[FollowUp, ...]
    leans_on: tuple[str, ...] = ()
    earlier: tuple[StepRow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeReport:
    """One office with its kinds of packets.

    ``reasons`` are the reasons of returns and ``faults`` the ``document/blank`` pairs named with
    them, the most frequent first; ``documents`` counts the faults of each document.
    """

    office: OfficeRow
    kinds: tuple[KindReport, ...]
    reasons: tuple[tuple[str, int], ...]
    faults: tuple[tuple[str, int], ...]
    documents: tuple[tuple[str, int], ...]


def compute_office_reports(
    table: RulesTable,
    rows: tuple[StepRow, ...],
    seen: Seen,
    follow_ups: tuple[FollowUp, ...],
    logs: Iterable[tuple[LogEntry, ...]],
    *,
    every: bool,
    earlier: Mapping[str, tuple[StepRow, ...]] = NO_EARLIER,
) -> tuple[OfficeReport, ...]:
    """Compute what is known of every office, in table order.

    *earlier* comes from `find_earlier_editions`; *logs* hold only entries that stand. Unless
    *every* kind is asked for, kinds are left out of which nothing was seen.
    """
    kinds = {row.id: row for row in reversed(rows)}
    beliefs = compute_beliefs(tuple(reversed(kinds.values())), seen)
    returns = _find_returns(table, logs)
    found = []
    for office in table.offices:
        reports = tuple(
            replace(
                _report(row, beliefs[row.id], seen, follow_ups), earlier=earlier.get(row.id, ())
            )
            for row in reversed(kinds.values())
            if seen.office(row.id) == office.id and (every or not seen.tally(row.id).is_empty)
        )
        own = returns.get(office.id, [])
        if reports or own:
            found.append(_office(office, reports, own))
    return tuple(found)


def find_earlier_editions(
    rows: Iterable[StepRow],
    editions: Sequence[StepRow],
    observations: Iterable[Observation],
    as_of: date,
) -> dict[str, tuple[StepRow, ...]]:
    """Find the editions with other days than today's row that packets seen came under, by step."""
    others: dict[str, list[StepRow]] = {}
    for row in rows:
        found = [one for one in editions if one.id == row.id and _counts(one) != _counts(row)]
        if found:
            others[row.id] = found
    met: dict[str, dict[int, None]] = {}
    for one in observations:
        last = max(one.sent_on, one.decided_on or as_of)
        for at, row in enumerate(others.get(one.step, ())):
            if touches(row, one.sent_on, last):
                met.setdefault(one.step, {})[at] = None
    return {name: tuple(others[name][at] for at in sorted(some)) for name, some in met.items()}


def _counts(row: StepRow) -> tuple[object, ...]:
    return row.days, row.calendar, row.comes_back


def _find_returns(
    table: RulesTable, logs: Iterable[tuple[LogEntry, ...]]
) -> dict[str, list[LogEntry]]:
    offices = {paper.id: paper.office for paper in table.papers}
    found: dict[str, list[LogEntry]] = {}
    for log in logs:
        for entry in log:
            if entry.kind is EventKind.RETURNED and entry.paper in offices:
                found.setdefault(offices[entry.paper], []).append(entry)
    return found


def _office(
    office: OfficeRow, kinds: tuple[KindReport, ...], returns: list[LogEntry]
) -> OfficeReport:
    faults = [(entry.paper, name) for entry in returns for name in entry.blanks]
    return OfficeReport(
        office=office,
        kinds=kinds,
        reasons=_count(_same_reason(entry.reason for entry in returns)),
        faults=_count(f"{paper}.{name}" for paper, name in faults),
        documents=_count(f"{paper}.{name.partition('/')[0]}" for paper, name in faults),
    )


def _same_reason(reasons: Iterable[str]) -> Iterable[str]:
    """Write reasons that differ in blanks, letter case or a full stop only as the first of them."""
    first: dict[str, str] = {}
    for reason in reasons:
        line = " ".join(reason.split()).rstrip(".")
        yield first.setdefault(line.casefold(), line)


def _count(names: Iterable[str]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(Counter(names).items(), key=lambda pair: (-pair[1], pair[0])))


def _report(
    row: StepRow, belief: Belief, seen: Seen, follow_ups: tuple[FollowUp, ...]
) -> KindReport:
    tally = seen.tally(row.id)
    counted = None
    leans_on = tuple(
        other
        for other, one in seen.tallies.items()
        if not tally.says_days
        and other != row.id
        and seen.office(other) == seen.office(row.id)
        and one.says_days
    )
    if tally.finished + tally.out - tally.passing >= ENOUGH_TO_COUNT:
        curve = compute_still_out(tally)
        counted = find_day(curve, 0.5), find_day(curve, ASK_AT)
    return KindReport(
        row=row,
        tally=tally,
        half_by=belief.days_by(0.5),
        nine_in_ten_by=belief.days_by(ASK_AT),
        comes_back=belief.comes_back,
        counted=counted,
        waiting=tuple(one for one in follow_ups if one.step == row.id),
        leans_on=leans_on,
    )
