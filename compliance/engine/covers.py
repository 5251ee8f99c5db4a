"""The days on which the papers that are held are in force, and those between on which none is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from compliance.engine.timely_filing import find_timely_filing
from compliance.engine.validity import compute_renewed_through, compute_valid_through
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, Operation
from compliance.rules.model import OfficeRow, PaperRow
from compliance.rules.validity_model import ValidityKind

_DAY = timedelta(days=1)


def find_held(
    operation: Operation, own: list[LogEntry], paper: PaperRow, holder: Holder
) -> HeldPaper | None:
    """Find the paper in hand that lasts longest, from the facts and the grants of the log."""
    return _longest(paper, list_held(operation, own, paper, holder))


def list_held(
    operation: Operation, own: list[LogEntry], paper: PaperRow, holder: Holder
) -> list[HeldPaper]:
    """List every paper of one kind a holder has or had, those of the facts first, then grants."""
    found = [held for held in operation.papers if (held.paper, held.holder) == (paper.id, holder)]
    for entry in own:
        if entry.kind is EventKind.GRANTED:
            before = [held for held in found if _precedes(held, entry)]
            found.append(_granted(entry, paper, holder, _last_known(paper, before)))
    return found


def _precedes(held: HeldPaper, grant: LogEntry) -> bool:
    """Tell whether a held paper is older than a grant, and not the same one written down twice."""
    if held.number and held.number == grant.paper_number and held.issued_on is None:
        return False
    return held.issued_on is None or held.issued_on < (grant.issued_on or grant.happened_on)


def _last_known(paper: PaperRow, found: list[HeldPaper]) -> date | None:
    """Give the latest last day among papers whose last day is known."""
    ends = [find_last_day(paper, held)[0] for held in found]
    return max((end for end in ends if end is not None), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """The days one held paper covers, both inclusive.

    ``begins`` is None when the day of issue is not known: then it counts as long in force.
    ``through`` is None when it does not end, and with ``end_unknown`` when nobody wrote it down.
    """

    held: HeldPaper
    begins: date | None
    through: date | None
    end_unknown: bool


def compute_covers(
    operation: Operation, own: list[LogEntry], paper: PaperRow, holder: Holder
) -> tuple[Cover, ...]:
    """Compute the days each paper of one kind a holder has or had covers, as its row counts."""
    covers = []
    for held in list_held(operation, own, paper, holder):
        through, unknown = find_last_day(paper, held)
        covers.append(Cover(held=held, begins=held.issued_on, through=through, end_unknown=unknown))
    return tuple(covers)


def _longest(paper: PaperRow, found: list[HeldPaper]) -> HeldPaper | None:
    return max(found, key=lambda held: find_last_day(paper, held)[0] or date.max, default=None)


def _granted(entry: LogEntry, paper: PaperRow, holder: Holder, before: date | None) -> HeldPaper:
    """Give the paper a grant brought; without a last day written down, the rule counts it."""
    issued_on = entry.issued_on or entry.happened_on
    through = entry.valid_through
    if through is None and before is not None:
        through = compute_renewed_through(paper.validity, issued_on, before)
    return HeldPaper(
        paper=paper.id,
        holder=holder,
        number=entry.paper_number,
        issued_on=issued_on,
        valid_through=through,
    )


def find_last_day(paper: PaperRow, held: HeldPaper | None) -> tuple[date | None, bool]:
    """Give the last day of what is held, and whether it ought to have one that is not known."""
    if held is None:
        return None, False
    if held.valid_through is not None:
        return held.valid_through, False
    if paper.validity.kind is ValidityKind.OPEN_ENDED:
        return None, False
    if held.issued_on is not None:
        computed = compute_valid_through(paper.validity, held.issued_on)
        return computed, computed is None
    return None, True


def list_bare(
    paper: PaperRow, office: OfficeRow | None, covers: Sequence[Cover], own: Sequence[LogEntry]
) -> tuple[tuple[date, date], ...]:
    """List the spans of days without a paper before one that is held already begins.

    Shape: first and last day, both inclusive, in their order; the days before all of them begin
    with the first day there is. Days on which a renewal filed in time keeps the old paper alive,
    by the entries of before, are no such span.
    """
    spans: list[tuple[date, date]] = []
    reach: date | None = None
    for cover in sorted(covers, key=lambda one: one.begins or date.min):
        begins = cover.begins or date.min
        first = date.min if reach is None else reach + _DAY
        if begins > first and not _is_kept_alive(paper, office, own, reach):
            spans.append((first, begins - _DAY))
        if cover.through is None:
            break
        reach = cover.through if reach is None else max(reach, cover.through)
    return tuple(spans)


def _is_kept_alive(
    paper: PaperRow, office: OfficeRow | None, own: Sequence[LogEntry], through: date | None
) -> bool:
    if through is None:
        return False
    known = [one for one in own if one.happened_on <= through]
    return find_timely_filing(paper, office, known, through) is not None
