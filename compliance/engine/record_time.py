"""When a record was written, held against the time that each rule gives to write it."""

from dataclasses import dataclass
from datetime import date

from compliance.engine.records import RecordRules, compute_write_by, find_lacking
from compliance.facts.records import Application
from compliance.rules.model import RecordRow


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteBy:
    """The time one rule gives to write a record, and how the day of its first writing stands to it.

    ``by`` is the last day, inclusive, counted from the application as the record has it now;
    ``by_first`` counted from the application as the first version had it. ``first`` is the day of
    the first version, None when nobody knows it. ``whole_on`` is the day of the first version that
    held all that is asked for in that record, None while the last one does not; ``lacks`` is then
    what is missing.
    """

    row: RecordRow
    by: date
    by_first: date
    first: date | None
    whole_on: date | None
    lacks: tuple[str, ...] = ()

    @property
    def is_late(self) -> bool | None:
        """Tell whether it was first written after the last day; None when nobody knows."""
        return None if self.first is None else self.first > self.by

    @property
    def was_late(self) -> bool | None:
        """Tell the same by the application as it was first written down."""
        return None if self.first is None else self.first > self.by_first


def list_write_by(rules: RecordRules, versions: tuple[Application, ...]) -> tuple[WriteBy, ...]:
    """List the times that rules give to write a record, each held against its first version.

    Shape: in the order of the rules, those without a limit left out. A correction makes a record
    neither late nor timely: only the day of the first version counts as the day of writing.
    """
    first, record = versions[0], versions[-1]
    rows = rules.find(record)
    found = []
    for row in rows:
        by, by_first = compute_write_by(record, row), compute_write_by(first, row)
        if by is None or by_first is None:
            continue
        same = [one for one in rows if _is_same_record(one, row)]
        lacking = find_lacking(record, same)
        whole = next((one for one in versions if not (lacking or find_lacking(one, same))), None)
        found.append(
            WriteBy(
                row=row,
                by=by,
                by_first=by_first,
                first=first.written_on if first.written_known else None,
                whole_on=whole.written_on if whole is not None else None,
                lacks=tuple(dict.fromkeys(name for one in lacking for name in one.elements)),
            )
        )
    return tuple(found)


def _is_same_record(one: RecordRow, other: RecordRow) -> bool:
    """Tell whether two rows are about one record: a state's own, or a federal one of one kind."""
    if one.state or other.state:
        return one.state == other.state
    (agency, kind), (same_agency, same_kind) = map(_split, (one, other))
    return agency == same_agency and kind == same_kind


def _split(row: RecordRow) -> tuple[str, str]:
    """Give the agency of a federal row and the first two words of its name, such as its kind."""
    return row.id.partition(".")[0], "-".join(row.id.rpartition(".")[2].split("-")[:2])
