"""Office times of the demo from its log and from files; days and counts worked out by hand."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.logbook import import_entries
from compliance.app.office_reports import report_offices
from compliance.app.offices import (
    find_follow_ups,
    forget_times,
    import_times,
    list_files,
    load_seen,
)
from compliance.app.planning import make_plan
from compliance.app.tables import load_table
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

DAY = date(2027, 1, 11)
REVIEW = "faa.registration-n.review"
HEAD = "step,sent,reached,decided,outcome\n"
FOUR = HEAD + (
    f"{REVIEW},2026-10-01,2026-10-05,2026-10-25,granted\n"
    f"{REVIEW},2026-10-01,2026-10-05,2026-11-04,granted\n"
    f"{REVIEW},2026-10-01,,2026-11-04,returned\n"
    f"{REVIEW},2026-12-01,2026-12-05,,pending\n"
)


@pytest.fixture(name="session")
def opened_session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        import_entries(opened, demo_operation.id, demo_log, today=DAY)
        yield opened


def write(folder: Path, text: str | bytes, name: str = "times.csv") -> str:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


def tally_of(session: Session, as_of: date = DAY) -> tuple[object, ...]:
    tally = load_seen(session, load_table(session), as_of).seen.tally(REVIEW)
    return tally.decided, tally.pending, tally.returned


def test_demo_log_shows_one_return(session: Session) -> None:
    """Mailed Monday 30 November 2026, back on 6 January 2027, five postal days each way."""
    # There by Saturday 5 December; by usual mail it left the Registry on Wednesday 30 December.
    assert tally_of(session) == (((25, 1),), (), 1)


def test_imported_packets_count_beside_the_log(session: Session, tmp_path: Path) -> None:
    """A day without `reached` loses the usual mail; a pending one is as old as on the day read."""
    kept = import_times(session, write(tmp_path, FOUR), DAY)

    # Sent Thursday 1 October: five postal days later is Wednesday 7 October, 28 days to 4 November.
    assert (kept.number, kept.packets, kept.name) == (1, 4, "times.csv")
    assert tally_of(session) == (((20, 1), (25, 1), (28, 1), (30, 1)), ((37, 1),), 2)
    assert tally_of(session, date(2027, 3, 1))[1] == ((37, 1),)
    assert list_files(session) == ((1, "times.csv", 4, DAY),)


def test_forgotten_file_counts_no_more(session: Session, tmp_path: Path) -> None:
    """What is believed is worked out anew each time."""
    before = report_offices(session, "", DAY, every=True)
    import_times(session, write(tmp_path, FOUR), DAY)
    between = report_offices(session, "", DAY, every=True)

    forget_times(session, 1)

    assert report_offices(session, "", DAY, every=True) == before != between
    with pytest.raises(NotFoundError) as caught:
        forget_times(session, 1)
    assert (caught.value.message, caught.value.hint) == (
        "no file of office times has the number 1",
        "kept are: none",
    )


def test_same_file_is_not_counted_twice(session: Session, tmp_path: Path) -> None:
    """The same bytes under another name are the same packets."""
    import_times(session, write(tmp_path, FOUR), DAY)
    other = write(tmp_path, FOUR, "copy.csv")

    with pytest.raises(RefusedError) as caught:
        import_times(session, other, DAY)

    assert caught.value.message == f"{other} was read already, on Mon 11 Jan 2027, as file 1"
    assert caught.value.hint == "to take it back: mailby offices forget 1"


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"step,sent\xff", ":1:1: S002 the text is not UTF-8: byte 0xff cannot be read"),
        (
            b"step,sent,outcome\n\n\xe9",
            ":3:1: S002 the text is not UTF-8: byte 0xe9 cannot be read",
        ),
        (
            HEAD + f"{REVIEW},2027-02-01,,,pending\n",
            ":2:1: O12 `sent` is Mon 1 Feb 2027, which is in the future",
        ),
    ],
)
def test_faulty_file_keeps_nothing(
    session: Session, tmp_path: Path, data: str | bytes, expected: str
) -> None:
    """The line is named; the spreadsheet's byte-order mark alone is no fault."""
    path = write(tmp_path, data)

    with pytest.raises(DataProblemsError) as caught:
        import_times(session, path, DAY)

    assert [str(one).partition("\n")[0] for one in caught.value.problems] == [path + expected]
    assert list_files(session) == ()


def test_byte_order_mark_is_dropped(session: Session, tmp_path: Path) -> None:
    """As spreadsheets write it."""
    assert import_times(session, write(tmp_path, b"\xef\xbb\xbf" + FOUR.encode()), DAY).packets == 4


def test_missing_file(session: Session, tmp_path: Path) -> None:
    """It is named."""
    with pytest.raises(NotFoundError, match=r"none\.csv"):
        import_times(session, str(tmp_path / "none.csv"), DAY)


def test_all_operations_of_the_database_share_what_they_saw(
    session: Session, demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """An adviser's second farm with the same log doubles every count."""
    save_operation(session, replace(demo_operation, id="second-farm"), namespace="m")
    append_log(session, "second-farm", demo_log)

    assert tally_of(session) == (((25, 2),), (), 2)
    registry = report_offices(session, "faa.registry", DAY, every=False)[0]
    assert registry.reasons == (("notary block: commission expiry left empty", 2),)


def test_what_happens_later_is_not_known_yet(session: Session) -> None:
    """On 4 January the packet was still out, 30 days after it was there."""
    assert tally_of(session, date(2027, 1, 4)) == ((), ((30, 1),), 0)


def test_plan_says_when_to_ask(session: Session) -> None:
    """The exemption has been at the office since 14 September; other papers wait for it."""
    plan = make_plan(session, None, DAY).plan
    asks = {paper.id: paper.ask_on for paper in plan.papers if paper.ask_on is not None}

    exemption = plan.find_paper("faa.exemption")
    assert exemption is not None
    (follow_up,) = find_follow_ups(load_seen(session, load_table(session), DAY), DAY)
    assert follow_up.packet == "faa.exemption"
    assert asks == {"faa.exemption": follow_up.ask_day(exemption.in_hand_by).on}
    assert follow_up.unusual_from > exemption.in_hand_by  # type: ignore[operator] # it has a day
    assert make_plan(session, None, DAY, with_follow_ups=False).plan.papers[0].ask_on is None


def test_office_is_found_by_id_title_or_step(session: Session) -> None:
    """An unknown one gets a suggestion."""
    for word in ("faa.registry", "aircraft registration", REVIEW):
        found = report_offices(session, word, DAY, every=False)
        assert [one.office.id for one in found] == ["faa.registry"]
    with pytest.raises(NotFoundError) as caught:
        report_offices(session, "faa.registri", DAY, every=False)
    assert (caught.value.message, caught.value.hint) == (
        "no office is called 'faa.registri'",
        "did you mean `faa.registry`?",
    )
