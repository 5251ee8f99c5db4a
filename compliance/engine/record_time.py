"""When a record was written, held against the time that each rule gives to write it."""

from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache

from compliance.engine.flight_records import find_flights_of
from compliance.engine.record_limits import Limit, find_within, is_careful
from compliance.engine.records import (
    Lacking,
    RecordRules,
    compute_write_by,
    compute_write_moment,
    find_lacking,
)
from compliance.facts.records import Application
from compliance.rules.model import DueUnit, DutyRow, RecordRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A record with its rules: all its versions, the one that stands last, and what that lacks."""

    rules: RecordRules
    versions: tuple[Application, ...]
    rows: tuple[RecordRow, ...]
    lacking: tuple[Lacking, ...]


def ask_rules(rules: RecordRules, versions: tuple[Application, ...]) -> Asked:
    """Find the rules of a record and what its standing version lacks of them."""
    rows = rules.find(versions[-1])
    return Asked(
        rules=rules, versions=versions, rows=rows, lacking=find_lacking(versions[-1], rows)
    )


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


def list_write_by(asked: Asked) -> tuple[WriteBy, ...]:
    """List the times there are to write a record, each held against its first version.

    Shape: in the order of the rules; what has no limit is left out. A correction makes a record
    neither late nor timely: only the day of the first version counts as the day of writing.
    """
    return tuple(_hold(asked, row) for row in asked.rules.find_limits(asked.versions[-1]))


def list_missed(asked: Asked) -> tuple[WriteBy, ...]:
    """List those of the times that the first version did not keep, or that it cannot have kept.

    Shape: by the work as it stands, or as it was first written; none when that day is not known.
    """
    first, record = asked.versions[0], asked.versions[-1]
    if not first.written_known:
        return ()
    missed = (
        row
        for row in asked.rules.find_limits(record)
        if first.written_on < record.on or first.written_on > _find_soonest(asked, row)
    )
    return tuple(_hold(asked, row) for row in missed)


def find_early(versions: tuple[Application, ...]) -> date | None:
    """Give the day a record was first written when that is before its work as it stands."""
    first, record = versions[0], versions[-1]
    return first.written_on if first.written_known and first.written_on < record.on else None


def _find_soonest(asked: Asked, row: Limit) -> date:
    first, record = asked.versions[0], asked.versions[-1]
    now, _ = _count(asked.rules, record, row)
    return now if record is first else min(_count(asked.rules, first, row)[0], now)


def _count(rules: RecordRules, record: Application, row: Limit) -> tuple[date, datetime | None]:
    """Give the last day to write a record, and the last moment where that is known."""
    landing = _find_landing(rules, record, row)
    # What has no limit is no limit: `find_limits` leaves it out.
    by = compute_write_by(record, row, landing) or date.max
    return by, compute_write_moment(row, landing)


def _find_landing(rules: RecordRules, record: Application, row: Limit) -> datetime | None:
    """Give the end of the flight where a limit counts from it; to look for it takes a while."""
    counts = is_careful(row) or find_within(row)[1] is DueUnit.HOURS
    return find_landing(rules, record) if counts and rules.flights else None


def find_landing(rules: RecordRules, record: Application) -> datetime | None:
    """Give the end of the last flight a record tells of; None when no flight of it is logged."""
    near = rules.list_near(record)
    numbers = find_flights_of(record, near)
    ends = (one.end for one in near if one.number in numbers)
    return max((one for one in ends if one is not None), default=None)


def _hold(asked: Asked, row: Limit) -> WriteBy:
    rules, first, record = asked.rules, asked.versions[0], asked.versions[-1]
    state = record.state if isinstance(row, DutyRow) else row.state
    lacking = tuple(one for one in asked.lacking if _is_same(one.row, row, state))
    by, by_at = _count(rules, record, row)
    by_first, by_first_at = (by, by_at) if record is first else _count(rules, first, row)
    return WriteBy(
        row=row,
        state=state,
        on=record.on,
        by=by,
        by_first=by_first,
        by_at=by_at,
        by_first_at=by_first_at,
        first=first.written_on if first.written_known else None,
        whole_on=None if lacking else _find_whole(asked, row, state),
        lacks=tuple(dict.fromkeys(name for one in lacking for name in one.elements)),
    )


def _find_whole(asked: Asked, row: Limit, state: str) -> date | None:
    """Give the day of the first version that lacked nothing, where the one that stands does not."""
    record = asked.versions[-1]
    same = tuple(one for one in asked.rows if _is_same(one, row, state))
    # What was written before the work as it stands was not yet a record of that work.
    whole = (
        one.written_on
        for one in asked.versions
        if one.written_on >= record.on and (one is record or not find_lacking(one, same))
    )
    return next(whole, None)


def _is_same(one: RecordRow, row: Limit, state: str) -> bool:
    """Tell whether a row is about the same record: a state's own, or a federal one of one kind."""
    if one.state or state:
        return one.state == state
    return _split(one.id) == _split(row.id)


@lru_cache
def _split(row: str) -> tuple[str, str]:
    """Give the agency of a federal row and the first two words of its name, such as its kind."""
    return row.partition(".")[0], "-".join(row.rpartition(".")[2].split("-")[:2])
