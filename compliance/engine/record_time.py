"""When a record was written, held against the time that each rule gives to write it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from compliance.engine.flight_records import find_flights_of
from compliance.engine.record_limits import Limit, find_within, is_careful
from compliance.engine.records import (
    RecordRules,
    compute_write_by,
    compute_write_moment,
    find_lacking,
)
from compliance.facts.records import Application
from compliance.rules.model import DueUnit, DutyRow, RecordRow


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteBy:
    """The time one rule gives to write a record, and how the day of its first writing stands to it.

    ``by`` is the last day, inclusive, counted from the application as the record has it now;
    ``by_first`` counted from the application as the first version had it; ``by_at`` and
    ``by_first_at`` are their aware moments where hours are counted from the end of a logged flight.
    ``on`` is the day of the
    work as it stands, ``state`` whose rule it is, empty for a federal one. ``first`` is the day of
    the first version, None when nobody knows it. ``whole_on`` is the day of the first version that
    held all that is asked for in that record, None while the last one does not; ``lacks`` is then
    what is missing.
    """

    row: Limit
    state: str
    on: date
    by: date
    by_first: date
    first: date | None
    whole_on: date | None
    lacks: tuple[str, ...] = ()
    by_at: datetime | None = None
    by_first_at: datetime | None = None

    @property
    def is_early(self) -> bool:
        """Tell whether it was first written before the work as it stands; no record can be."""
        return self.first is not None and self.first < self.on

    @property
    def is_late(self) -> bool | None:
        """Tell whether it was first written after the last day; None when nobody knows."""
        return None if self.first is None else self.first > self.by

    @property
    def was_late(self) -> bool | None:
        """Tell the same by the application as it was first written down."""
        return None if self.first is None else self.first > self.by_first

    @property
    def is_careful(self) -> bool:
        """Tell whether the time is careful practice, because none was found in the rule."""
        return is_careful(self.row)


def list_write_by(rules: RecordRules, versions: tuple[Application, ...]) -> tuple[WriteBy, ...]:
    """List the times there are to write a record, each held against its first version.

    Shape: in the order of the rules; what has no limit is left out. A correction makes a record
    neither late nor timely: only the day of the first version counts as the day of writing.
    """
    limits = rules.find_limits(versions[-1])
    return tuple(_hold(rules, versions, row) for row in limits)


def list_missed(rules: RecordRules, versions: tuple[Application, ...]) -> tuple[WriteBy, ...]:
    """List those of the times that the first version did not keep, or that it cannot have kept.

    Shape: by the work as it stands, or as it was first written; none when that day is not known.
    """
    first, record = versions[0], versions[-1]
    if not first.written_known:
        return ()
    missed = (
        row
        for row in rules.find_limits(record)
        if first.written_on < record.on or first.written_on > _find_soonest(rules, versions, row)
    )
    return tuple(_hold(rules, versions, row) for row in missed)


def find_early(versions: tuple[Application, ...]) -> date | None:
    """Give the day a record was first written when that is before its work as it stands."""
    first, record = versions[0], versions[-1]
    return first.written_on if first.written_known and first.written_on < record.on else None


def _find_soonest(rules: RecordRules, versions: tuple[Application, ...], row: Limit) -> date:
    now = _count(rules, versions[-1], row)
    return now if len(versions) == 1 else min(_count(rules, versions[0], row), now)


def _count(rules: RecordRules, record: Application, row: Limit) -> date:
    # What has no limit is no limit: `find_limits` leaves it out.
    return compute_write_by(record, row, _find_landing(rules, record, row)) or date.max


def _find_landing(rules: RecordRules, record: Application, row: Limit) -> datetime | None:
    """Give the end of the flight where a limit counts from it; to look for it takes a while."""
    counts = is_careful(row) or find_within(row)[1] is DueUnit.HOURS
    return find_landing(rules, record) if counts and rules.flights else None


def find_landing(rules: RecordRules, record: Application) -> datetime | None:
    """Give the end of the last flight a record tells of; None when no flight of it is logged."""
    # Going through a season's flights for each record takes long; most records name theirs.
    own = rules.find_named(record)
    if not own and rules.flights:
        numbers = find_flights_of(record, rules.flights)
        own = tuple(one for one in rules.flights if one.number in numbers)
    ends = (one.end for one in own)
    return max((one for one in ends if one is not None), default=None)


def _hold(rules: RecordRules, versions: tuple[Application, ...], row: Limit) -> WriteBy:
    first, record = versions[0], versions[-1]
    state = record.state if isinstance(row, DutyRow) else row.state
    same = tuple(_list_same(rules.find(record), row, state))
    lacking = find_lacking(record, same)
    # What was written before the work as it stands was not yet a record of that work.
    whole = (
        one
        for one in versions
        if not (lacking or one.written_on < record.on or find_lacking(one, same))
    )
    return WriteBy(
        row=row,
        state=state,
        on=record.on,
        by=_count(rules, record, row),
        by_first=_count(rules, first, row),
        by_at=compute_write_moment(row, _find_landing(rules, record, row)),
        by_first_at=compute_write_moment(row, _find_landing(rules, first, row)),
        first=first.written_on if first.written_known else None,
        whole_on=next((one.written_on for one in whole), None),
        lacks=tuple(dict.fromkeys(name for one in lacking for name in one.elements)),
    )


def _list_same(rows: Iterable[RecordRow], row: Limit, state: str) -> Iterable[RecordRow]:
    """List the rows about one record: a state's own, or the federal ones of one kind."""
    for one in rows:
        if one.state or state:
            if one.state == state:
                yield one
        elif _split(one) == _split(row):
            yield one


def _split(row: Limit) -> tuple[str, str]:
    """Give the agency of a federal row and the first two words of its name, such as its kind."""
    return row.id.partition(".")[0], "-".join(row.id.rpartition(".")[2].split("-")[:2])
