"""What a return just logged says: the days, and the conditions, that the plan says on that day.

The demo's farm and log are invented. Its exemption is overdue at the office from 6 February 2027.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date

from sqlmodel import Session

from compliance.app.logbook import Happened, import_entries
from compliance.app.returns import log_return
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.outputs.returned_text import render_returned
from compliance.store.repository import save_operation
from compliance.store.session import open_session

REGISTRATION = "faa.registration-n:tg46"


@contextmanager
def farm(operation: Operation, log: tuple[LogEntry, ...], today: date) -> Iterator[Session]:
    with open_session(":memory:") as session:
        save_operation(session, operation, namespace="n")
        import_entries(session, operation.id, log, today=today)
        yield session


def log_and_render(session: Session, packet: str, day: date, *blanks: str) -> list[str]:
    happened = Happened(
        kind=EventKind.RETURNED, packet=packet, on=day, reason="wrong fee", blanks=blanks
    )
    found = log_return(session, None, happened, day)
    text = render_returned(found.entry, found.before, found.after, found.doubts)
    return text.partition("WHAT MOVED, before -> now\n")[2].partition("\n\n")[0].splitlines()


def test_days_that_cannot_be_and_days_that_hang_are_marked(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """Mailed on 12 January 2027, back on 20 April: after its last day, with the exemption overdue.

    Twenty-one calendar days at the Registry and five postal days each way, from 20 April: 1 June.
    """
    day = date(2027, 4, 20)
    done = tuple(
        LogEntry(
            number=number,
            kind=kind,
            paper="faa.registration-n",
            holder=demo_log[-1].holder,
            happened_on=date(2027, 1, 12),
        )
        for number, kind in ((7, EventKind.SIGNED), (8, EventKind.NOTARIZED), (9, EventKind.MAILED))
    )
    with farm(demo_operation, (*demo_log, *done), day) as session:
        lines = log_and_render(session, REGISTRATION, day, "fee/amount")

    assert lines == [
        "  faa.registration-n:tg46",
        "      mail by, last sent off Tue 12 Jan 2027 -> Tue 30 Mar 2027 (not possible",
        "                    before Tue 20 Apr 2027)",
        "      ready         not known -> Tue 1 Jun 2027; TOO LATE",
        "  faa.airspace-authorization",
        "      ready         Tue 4 May 2027 -> Tue 15 Jun 2027, if the overdue paper came",
        "                    today; TOO LATE even then",
        "  pasture-sd, first lawful day",
        "      Mon 14 Jun 2027 -> Tue 15 Jun 2027; LATE by 1 day; ONLY IF the office,",
        "        which is overdue, sends Exemption for spraying with unmanned aircraft at",
        "        once",
    ]


def test_a_return_of_the_overdue_paper_itself_ends_the_condition(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """What hung on the paper before hangs on nothing now, and is later."""
    day = date(2027, 6, 28)
    with farm(demo_operation, demo_log, day) as session:
        lines = log_and_render(session, "faa.exemption", day)

    assert lines == [
        "  faa.exemption",
        "      file by, last sent off Mon 14 Sep 2026 -> Fri 4 Dec 2026 (not possible",
        "                    before Mon 28 Jun 2027)",
        "      ready         not known -> Sat 20 Nov 2027; TOO LATE",
        "  faa.airspace-authorization",
        "      ready         Tue 24 Aug 2027, if the overdue paper came today -> Tue 7",
        "                    Dec 2027; TOO LATE",
        "  faa.ag-operator",
        "      ready         Tue 10 Aug 2027, if the overdue paper came today -> Thu 6",
        "                    Jan 2028; TOO LATE",
        "  pasture-sd, first lawful day",
        "      Tue 24 Aug 2027, if the overdue paper came today -> Thu 6 Jan 2028; LATE",
        "        by 206 days",
        "  own-quarter, first lawful day",
        "      Tue 10 Aug 2027, if the overdue paper came today -> Thu 6 Jan 2028; LATE",
        "        by 178 days",
        "  cover-crop, first lawful day",
        "      Tue 24 Aug 2027, if the overdue paper came today -> Thu 6 Jan 2028; LATE",
        "        by 136 days",
    ]
