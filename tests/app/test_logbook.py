"""What really happened, added in its order, and never changed afterwards."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.demo import LOG
from compliance.app.logbook import (
    Happened,
    add_entry,
    import_entries,
    import_file,
    withdraw_entry,
)
from compliance.base.problems import DataProblemsError, NotFoundError
from compliance.engine.packets import PaperState
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import Operation
from compliance.facts.write import render_log
from compliance.store.records import load_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

DAY = date(2027, 1, 11)
PACKET = "faa.registration-n:tg46"


@pytest.fixture
def session(demo_operation: Operation) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        yield opened


def log(session: Session) -> tuple[LogEntry, ...]:
    return load_log(session, "sandbur-flats")


def add(session: Session, kind: EventKind, on: date = DAY, **details: str) -> PaperState:
    happened = Happened(kind=kind, packet=PACKET, on=on, **details)  # type: ignore[arg-type] # only texts
    plan = add_entry(session, None, happened, DAY)[1]
    paper = plan.find_paper(PACKET)
    assert paper is not None
    return paper.state


def codes(caught: pytest.ExceptionInfo[DataProblemsError]) -> list[str]:
    return [problem.code for problem in caught.value.problems]


def test_add_entry_leads_the_packet_through_its_states(session: Session) -> None:
    days = [date(2026, 12, 1), date(2026, 12, 3), date(2026, 12, 4), date(2027, 1, 8)]
    states = [
        add(session, EventKind.SIGNED, days[0]),
        add(session, EventKind.NOTARIZED, days[1]),
        add(session, EventKind.MAILED, days[2]),
        add(session, EventKind.RETURNED, days[3], reason="stamp smeared"),
    ]

    assert states == [
        PaperState.UNDER_WAY,
        PaperState.UNDER_WAY,
        PaperState.AT_OFFICE,
        PaperState.CAME_BACK,
    ]
    assert [entry.number for entry in log(session)] == [1, 2, 3, 4]


def test_add_entry_granted_is_in_hand(session: Session) -> None:
    add(session, EventKind.NOTARIZED, date(2026, 12, 3))
    add(session, EventKind.MAILED, date(2026, 12, 4))

    assert add(session, EventKind.GRANTED, number="INVENTED-9") is PaperState.IN_HAND


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (EventKind.MAILED, ["L33"]),
        (EventKind.GRANTED, ["L33"]),
        (EventKind.RETURNED, ["L33", "L35"]),
        (EventKind.PAID, ["L32"]),
    ],
)
def test_add_entry_out_of_order_keeps_nothing(
    session: Session, kind: EventKind, expected: list[str]
) -> None:
    with pytest.raises(DataProblemsError) as caught:
        add(session, kind)

    assert codes(caught) == expected
    assert log(session) == ()


def test_add_entry_in_the_future_keeps_nothing(session: Session) -> None:
    with pytest.raises(DataProblemsError) as caught:
        add(session, EventKind.SIGNED, date(2027, 1, 12))

    assert codes(caught) == ["L31"]
    assert log(session) == ()


def test_add_entry_twice_names_the_way_to_correct_it(session: Session) -> None:
    add(session, EventKind.SIGNED)

    with pytest.raises(DataProblemsError) as caught:
        add(session, EventKind.SIGNED)

    (problem,) = caught.value.problems
    assert (problem.code, problem.hint) == ("L38", "to correct it: mailby log withdraw 1")


def test_add_entry_unknown_packet(session: Session) -> None:
    happened = Happened(kind=EventKind.SIGNED, packet="faa.nothing", on=DAY)

    with pytest.raises(NotFoundError, match=r"no paper is called 'faa\.nothing'"):
        add_entry(session, None, happened, DAY)


def test_withdraw_entry_takes_it_back_but_keeps_the_line(session: Session) -> None:
    add(session, EventKind.SIGNED)

    entry = withdraw_entry(session, None, 1, DAY)

    assert (entry.number, entry.kind, entry.withdraws) == (2, EventKind.WITHDRAWN, 1)
    assert len(log(session)) == 2
    assert find_standing(log(session)) == ()
    assert add(session, EventKind.SIGNED) is PaperState.UNDER_WAY


@pytest.mark.parametrize("number", [0, -1, 2, 10**30])
def test_withdraw_entry_that_is_not_there(session: Session, number: int) -> None:
    with pytest.raises(DataProblemsError) as caught:
        withdraw_entry(session, None, number, DAY)

    assert codes(caught) == ["L36"]


def test_withdraw_entry_twice(session: Session) -> None:
    add(session, EventKind.SIGNED)
    withdraw_entry(session, None, 1, DAY)

    with pytest.raises(DataProblemsError) as caught:
        withdraw_entry(session, None, 1, DAY)

    assert codes(caught) == ["L36"]


def test_import_entries_keeps_the_demo_log(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    assert import_entries(session, "sandbur-flats", demo_log) == len(demo_log)
    assert log(session) == demo_log


def test_import_file_comes_back_from_its_own_export(
    session: Session, demo_log: tuple[LogEntry, ...], tmp_path: Path
) -> None:
    path = tmp_path / "log.yaml"
    path.write_text(render_log(demo_log), encoding="utf-8")

    assert import_file(session, None, str(path)) == len(demo_log)
    assert log(session) == demo_log


def test_import_file_withdrawal_counts_within_the_file(session: Session, tmp_path: Path) -> None:
    add(session, EventKind.SIGNED)
    path = tmp_path / "log.yaml"
    path.write_text(
        "log:\n"
        "  - {kind: notarized, paper: faa.registration-n, holder: tg46, on: 2027-01-11}\n"
        "  - {kind: withdrawn, withdraws: 1, paper: faa.registration-n, holder: tg46,"
        " on: 2027-01-11}\n",
        encoding="utf-8",
    )

    import_file(session, None, str(path))

    assert [entry.withdraws for entry in log(session)] == [None, None, 2]
    assert [entry.kind for entry in find_standing(log(session))] == [EventKind.SIGNED]


def test_import_file_impossible_order_says_where(
    session: Session, demo_files: dict[str, str], tmp_path: Path
) -> None:
    text = demo_files[LOG].replace("on: 2026-11-24", "on: 2026-11-20")
    path = tmp_path / "log.yaml"
    path.write_text(text, encoding="utf-8")
    line = text[: text.index("- kind: notarized")].count("\n") + 1

    with pytest.raises(DataProblemsError) as caught:
        import_file(session, None, str(path))

    assert [(problem.code, problem.place.line) for problem in caught.value.problems] == [
        ("L34", line)
    ]


def test_import_entries_out_of_order_is_refused(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    mailed = next(entry for entry in demo_log if entry.tracking == "INVENTED-MAIL-0001")

    with pytest.raises(DataProblemsError) as caught:
        import_entries(session, "sandbur-flats", (replace(mailed, number=1),))

    assert codes(caught) == ["L33"]
