"""Which entries of a log still stand."""

from datetime import date

from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import Holder, HolderKind


def entry(
    number: int, day: int, kind: EventKind = EventKind.MAILED, withdraws: int | None = None
) -> LogEntry:
    return LogEntry(
        number=number,
        kind=kind,
        paper="faa.exemption",
        holder=Holder(kind=HolderKind.OPERATION),
        happened_on=date(2027, 1, day),
        withdraws=withdraws,
    )


def test_find_standing_of_nothing() -> None:
    assert find_standing(()) == ()


def test_find_standing_sorts_by_day_and_number() -> None:
    log = (entry(1, 9), entry(2, 5), entry(3, 5))

    assert find_standing(log) == (log[1], log[2], log[0])


def test_find_standing_drops_withdrawn_and_withdrawal() -> None:
    log = (entry(1, 5), entry(2, 6), entry(3, 7, EventKind.WITHDRAWN, withdraws=1))

    assert find_standing(log) == (log[1],)


def test_find_standing_entry_that_names_no_withdrawal_stands() -> None:
    """``withdraws`` counts only in a withdrawal."""
    log = (entry(1, 5), entry(2, 6, withdraws=1))

    assert find_standing(log) == log
