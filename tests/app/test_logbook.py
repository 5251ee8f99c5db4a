"""What really happened, added in its order, and never changed afterwards."""

import cProfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

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
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
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
    plan = add_entry(session, None, happened, DAY).plan
    paper = plan.find_paper(PACKET)
    assert paper is not None
    return paper.state


def codes(caught: pytest.ExceptionInfo[DataProblemsError]) -> list[str]:
    return [problem.code for problem in caught.value.problems]


def test_a_mailing_of_what_is_in_hand_is_refused(session: Session) -> None:
    """There are no papers to check; with a reason it is kept, as of an early renewal."""
    happened = Happened(kind=EventKind.MAILED, packet="ins.liability", on=DAY)
    with pytest.raises(RefusedError) as caught:
        add_entry(session, None, happened, DAY)

    assert str(caught.value).startswith("ins.liability is in hand through ")
    assert caught.value.message.endswith("; nothing is to be mailed")
    assert caught.value.hint == 'log it with --anyway "why" if you mailed it all the same'
    assert log(session) == ()


def test_add_entry_leads_the_packet_through_its_states(session: Session) -> None:
    days = [date(2026, 12, 1), date(2026, 12, 3), date(2026, 12, 4), date(2027, 1, 8)]
    states = [
        add(session, EventKind.SIGNED, days[0]),
        add(session, EventKind.NOTARIZED, days[1]),
        add(session, EventKind.MAILED, days[2], anyway="checked by hand"),
        add(session, EventKind.RETURNED, days[3], reason="stamp smeared"),
    ]

    assert states == [
        PaperState.UNDER_WAY,
        PaperState.UNDER_WAY,
        PaperState.AT_OFFICE,
        PaperState.CAME_BACK,
    ]
    assert [entry.number for entry in log(session)] == [1, 2, 3, 4]
    assert [entry.reason for entry in log(session)] == ["", "", "checked by hand", "stamp smeared"]


@pytest.mark.parametrize("anyway", ["", "  "])
def test_add_entry_mailed_unchecked_keeps_nothing(session: Session, anyway: str) -> None:
    add(session, EventKind.NOTARIZED, date(2026, 12, 3))

    with pytest.raises(RefusedError, match="have not been checked"):
        add(session, EventKind.MAILED, date(2026, 12, 4), anyway=anyway)

    assert [entry.kind for entry in log(session)] == [EventKind.NOTARIZED]


def test_add_entry_granted_is_in_hand(session: Session) -> None:
    add(session, EventKind.NOTARIZED, date(2026, 12, 3))
    add(session, EventKind.MAILED, date(2026, 12, 4), anyway="checked by hand")

    assert add(session, EventKind.GRANTED, number="INVENTED-9") is PaperState.IN_HAND


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (EventKind.MAILED, ["L33"]),
        (EventKind.GRANTED, ["L33"]),
        (EventKind.RETURNED, ["L33", "L35"]),
        (EventKind.RECEIVED, ["L33"]),
    ],
)
def test_add_entry_out_of_order_keeps_nothing(
    session: Session, kind: EventKind, expected: list[str]
) -> None:
    with pytest.raises(DataProblemsError) as caught:
        add(session, kind)

    assert codes(caught) == expected
    assert log(session) == ()


@pytest.mark.parametrize("packet", [PACKET, "faa.exemption", "ins.liability"])
def test_add_entry_paid_needs_no_step(session: Session, packet: str) -> None:
    """A fee may be paid at any time, online or at a desk: common practice, no source."""
    happened = Happened(kind=EventKind.PAID, packet=packet, on=DAY)

    added = add_entry(session, None, happened, DAY)
    entry, plan = added.entry, added.plan

    assert (entry.number, entry.kind) == (1, EventKind.PAID)
    assert log(session) == (entry,)
    assert plan.find_paper(packet) is not None


def test_add_entry_that_came_earlier_names_the_other_day(session: Session) -> None:
    add(session, EventKind.NOTARIZED, date(2026, 12, 3))
    add(session, EventKind.CHECKED, date(2026, 12, 5))

    with pytest.raises(DataProblemsError) as caught:
        add(session, EventKind.SIGNED, date(2026, 12, 10))

    (problem,) = caught.value.problems
    assert problem.code == "L34"
    assert problem.sentence == (
        "`Sign and date the application with printed name and title; leave any affidavit "
        "unsigned` cannot be on Thu 10 Dec 2026: `Sign the affidavit in front of the notary and "
        "look the certificate over there` came already, on Thu 3 Dec 2026"
    )


def test_add_entry_that_came_later_names_the_other_day(session: Session) -> None:
    add(session, EventKind.SIGNED, date(2026, 12, 3))
    add(session, EventKind.NOTARIZED, date(2026, 12, 3))

    with pytest.raises(DataProblemsError) as caught:
        add(session, EventKind.CHECKED, date(2026, 12, 1))

    (problem,) = caught.value.problems
    assert problem.code == "L34"
    assert problem.sentence == (
        "`Check every blank against the checklist before the envelope is sealed` cannot be on "
        "Tue 1 Dec 2026: `Sign and date the application with printed name and title; leave any "
        "affidavit unsigned` came only later, on Thu 3 Dec 2026"
    )


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

    entry = withdraw_entry(session, None, 1, DAY, DAY)

    assert (entry.number, entry.kind, entry.withdraws) == (2, EventKind.WITHDRAWN, 1)
    assert len(log(session)) == 2
    assert find_standing(log(session)) == ()
    assert add(session, EventKind.SIGNED) is PaperState.UNDER_WAY


@pytest.mark.parametrize("number", [0, -1, 2, 10**30])
def test_withdraw_entry_that_is_not_there(session: Session, number: int) -> None:
    with pytest.raises(DataProblemsError) as caught:
        withdraw_entry(session, None, number, DAY, DAY)

    assert codes(caught) == ["L36"]


def test_withdraw_entry_twice(session: Session) -> None:
    add(session, EventKind.SIGNED)
    withdraw_entry(session, None, 1, DAY, DAY)

    with pytest.raises(DataProblemsError) as caught:
        withdraw_entry(session, None, 1, DAY, DAY)

    assert codes(caught) == ["L36"]


def test_withdraw_entry_on_the_day_it_was_found_out(session: Session) -> None:
    """The day of a withdrawal is any day up to today, like that of every other entry."""
    add(session, EventKind.SIGNED, date(2027, 1, 8))

    entry = withdraw_entry(session, None, 1, date(2027, 1, 9), DAY)

    assert entry.happened_on == date(2027, 1, 9)


def test_withdraw_entry_on_a_day_to_come_keeps_nothing(session: Session) -> None:
    """Nothing is logged before it happens."""
    add(session, EventKind.SIGNED)

    with pytest.raises(DataProblemsError) as caught:
        withdraw_entry(session, None, 1, date(2027, 1, 12), DAY)

    assert codes(caught) == ["L31"]
    assert len(log(session)) == 1


def test_a_mailing_is_withdrawn_after_its_return(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    """Refused while the return stands and nothing kept; then, as the message says, both go."""
    import_entries(session, "sandbur-flats", demo_log, today=DAY)
    with pytest.raises(DataProblemsError) as caught:
        withdraw_entry(session, None, 5, DAY, DAY)
    (problem,) = caught.value.problems

    assert (problem.code, problem.hint) == ("L45", "withdraw first: mailby log withdraw 6")
    assert log(session) == demo_log
    assert [withdraw_entry(session, None, number, DAY, DAY).number for number in (6, 5)] == [7, 8]


@pytest.mark.parametrize("order", [(5, 6), (6, 5)])
def test_import_entries_takes_two_withdrawals_in_either_order(
    session: Session, demo_log: tuple[LogEntry, ...], order: tuple[int, int]
) -> None:
    """In a whole file what is withdrawn later on counts as gone."""
    gone = tuple(
        replace(
            demo_log[5], kind=EventKind.WITHDRAWN, number=at, withdraws=one, happened_on=DAY,
            reason="", blanks=(), still_good=(),
        )
        for at, one in enumerate(order, 7)
    )  # fmt: skip

    assert import_entries(session, "sandbur-flats", (*demo_log, *gone), today=DAY) == 8
    assert [entry.number for entry in find_standing(log(session))] == [1, 2, 3, 4]


def test_import_entries_refuses_a_mailing_withdrawn_under_its_return(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    """A log file is held to the same."""
    gone = replace(
        demo_log[5], kind=EventKind.WITHDRAWN, number=7, withdraws=5, happened_on=DAY,
        reason="", blanks=(), still_good=(),
    )  # fmt: skip
    with pytest.raises(DataProblemsError) as caught:
        import_entries(session, "sandbur-flats", (*demo_log, gone), today=DAY)

    assert codes(caught) == ["L45"]
    assert log(session) == ()


def test_import_entries_keeps_the_demo_log(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    count = import_entries(session, "sandbur-flats", demo_log, today=DAY)

    assert count == len(demo_log)
    assert log(session) == demo_log


def test_import_entries_from_the_third_on_leaves_the_first_two(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    import_entries(session, "sandbur-flats", demo_log[:2], today=DAY)

    assert import_entries(session, "sandbur-flats", demo_log, first=2, today=DAY) == 4
    assert log(session) == demo_log


@pytest.fixture
def log_file(demo_log: tuple[LogEntry, ...], tmp_path: Path) -> Path:
    """The demo's log as the export writes it."""
    path = tmp_path / "log.yaml"
    path.write_text(render_log(demo_log), encoding="utf-8")
    return path


def test_import_file_comes_back_from_its_own_export(
    session: Session, demo_log: tuple[LogEntry, ...], log_file: Path
) -> None:
    assert import_file(session, None, str(log_file), DAY) == len(demo_log)
    assert log(session) == demo_log


def test_import_file_twice_adds_nothing(
    session: Session, demo_log: tuple[LogEntry, ...], log_file: Path
) -> None:
    import_file(session, None, str(log_file), DAY)

    assert import_file(session, None, str(log_file), DAY) == 0
    assert log(session) == demo_log


@pytest.mark.parametrize("held", range(7))
def test_import_file_goes_on_where_the_log_ends(
    session: Session, demo_log: tuple[LogEntry, ...], log_file: Path, held: int
) -> None:
    import_entries(session, "sandbur-flats", demo_log[:held], today=DAY)

    assert import_file(session, None, str(log_file), DAY) == 6 - held
    assert log(session) == demo_log


@pytest.mark.parametrize(
    "file_holds",
    [
        (0, 1),  # the log holds one entry more
        (),
        (1, 0, 2),  # the same entries in another order
    ],
)
def test_import_file_that_begins_otherwise_is_refused(
    session: Session,
    demo_log: tuple[LogEntry, ...],
    tmp_path: Path,
    file_holds: tuple[int, ...],
) -> None:
    import_entries(session, "sandbur-flats", demo_log[:3], today=DAY)
    path = tmp_path / "log.yaml"
    path.write_text(render_log(tuple(demo_log[at] for at in file_holds)), encoding="utf-8")

    with pytest.raises(RefusedError) as caught:
        import_file(session, None, str(path), DAY)

    assert caught.value.message == (
        f"the log of sandbur-flats holds entries that {path} does not begin with"
    )
    assert caught.value.hint == (
        "a log file is read into an empty log, or goes on where the log ends"
    )
    assert log(session) == demo_log[:3]


@pytest.mark.parametrize(
    ("change", "number"),
    [
        ({"tracking": "INVENTED-OTHER"}, 5),
        ({"happened_on": date(2026, 12, 1)}, 5),
        ({"reason": "something else"}, 6),
    ],
)
def test_import_file_that_differs_in_one_detail_is_refused(
    session: Session,
    demo_log: tuple[LogEntry, ...],
    log_file: Path,
    change: dict[str, Any],
    number: int,
) -> None:
    changed = [replace(e, **change) if e.number == number else e for e in demo_log]
    import_entries(session, "sandbur-flats", tuple(changed), today=DAY)

    with pytest.raises(RefusedError):
        import_file(session, None, str(log_file), DAY)

    assert log(session) == tuple(changed)


def write_registration_log(path: Path, *lines: str) -> str:
    """A log file about the N-number packet; each line gives the rest of an entry."""
    entries = (f"  - {{paper: faa.registration-n, holder: tg46, {line}}}\n" for line in lines)
    path.write_text("log:\n" + "".join(entries), encoding="utf-8")
    return str(path)


def test_import_file_withdrawal_counts_within_the_file(session: Session, tmp_path: Path) -> None:
    add(session, EventKind.SIGNED)
    path = write_registration_log(
        tmp_path / "log.yaml",
        "kind: signed, on: 2027-01-11",
        "kind: notarized, on: 2027-01-11",
        "kind: withdrawn, withdraws: 2, on: 2027-01-11",
    )

    assert import_file(session, None, path, DAY) == 2
    assert [entry.withdraws for entry in log(session)] == [None, None, 2]
    assert [entry.kind for entry in find_standing(log(session))] == [EventKind.SIGNED]


def test_import_file_goes_on_after_a_withdrawal(session: Session, tmp_path: Path) -> None:
    add(session, EventKind.SIGNED)
    withdraw_entry(session, None, 1, DAY, DAY)
    lines = ("kind: signed, on: 2027-01-11", "kind: withdrawn, withdraws: 1, on: 2027-01-11")
    path = write_registration_log(tmp_path / "log.yaml", *lines, "kind: signed, on: 2027-01-10")

    assert import_file(session, None, path, DAY) == 1
    assert [(entry.number, entry.happened_on) for entry in find_standing(log(session))] == [
        (3, date(2027, 1, 10))
    ]


@pytest.mark.parametrize("kind", ["signed", "withdrawn, withdraws: 1"])
@pytest.mark.parametrize("day", ["2027-01-12", "2027-03-01", "2031-01-01"])
def test_import_file_entry_after_today_is_refused_where_it_stands(
    session: Session, tmp_path: Path, kind: str, day: str
) -> None:
    """Also after the last job, when no plan needs the paper any more."""
    path = write_registration_log(
        tmp_path / "log.yaml",
        "kind: done, step: prepare, on: 2027-01-11",
        f"kind: {kind}, on: {day}",
    )

    with pytest.raises(DataProblemsError) as caught:
        import_file(session, None, path, DAY)

    assert [(problem.code, problem.place.line) for problem in caught.value.problems] == [("L31", 3)]


def test_import_file_entry_of_today_is_not_in_the_future(session: Session, tmp_path: Path) -> None:
    path = write_registration_log(tmp_path / "log.yaml", "kind: signed, on: 2027-01-11")

    assert import_file(session, None, path, DAY) == 1


@pytest.mark.parametrize(
    ("entry", "sentence", "hint"),
    [
        (
            "{kind: signed, paper: faa.registration-small, holder: tg46, on: 2027-01-11}",
            "faa.registration-small:tg46 is not needed for the jobs planned",
            (
                "mailby why faa.registration-small says why; load the job that needs it, or leave "
                "this entry out"
            ),
        ),
        (
            "{kind: signed, paper: faa.registration-m, holder: tg46, on: 2027-01-11}",
            "no paper is called 'faa.registration-m'",
            (
                "did you mean `faa.registration-n`? If it is of a pack of your own, add that "
                "first: mailby rules add FILE; or leave this entry out"
            ),
        ),
    ],
)
def test_import_file_entry_about_an_unneeded_paper_says_where(
    session: Session, tmp_path: Path, entry: str, sentence: str, hint: str
) -> None:
    """A log that goes on after a job was taken out: the line is named, and nothing is kept."""
    first = "{kind: signed, paper: faa.registration-n, holder: tg46, on: 2027-01-11}"
    path = tmp_path / "log.yaml"
    path.write_text(f"log:\n  - {first}\n  - {entry}\n", encoding="utf-8")

    with pytest.raises(DataProblemsError) as caught:
        import_file(session, None, str(path), DAY)

    (problem,) = caught.value.problems
    assert (problem.code, problem.place.file, problem.place.line) == ("L41", str(path), 3)
    assert (problem.sentence, problem.hint) == (sentence, hint)
    assert log(session) == ()


def test_import_file_entry_after_the_last_job_is_kept(
    session: Session, tmp_path: Path, demo_operation: Operation
) -> None:
    """When the season is over no job needs it any more, but the log may be caught up on."""
    over = max(job.last_day for job in demo_operation.jobs) + timedelta(days=1)
    path = write_registration_log(tmp_path / "log.yaml", f"kind: signed, on: {over}")

    assert import_file(session, None, path, over) == 1
    assert [(entry.kind, entry.happened_on) for entry in log(session)] == [(EventKind.SIGNED, over)]


def test_import_file_of_a_thousand_entries_grows_with_its_length(
    tmp_path: Path, demo_operation: Operation
) -> None:
    """Four times as many entries take at most eight times the calls: near to linear, with room."""
    calls = {}
    for count in (250, 1000):
        lines = []
        for number in range(count // 2):
            lines.append("kind: signed, on: 2027-01-11")
            lines.append(f"kind: withdrawn, withdraws: {2 * number + 1}, on: 2027-01-11")
        path = write_registration_log(tmp_path / f"log{count}.yaml", *lines)
        with open_session(":memory:") as opened:
            save_operation(opened, demo_operation, namespace="n")
            # Calls are counted, for the time of a busy machine says nothing.
            with cProfile.Profile() as profile:
                assert import_file(opened, None, path, DAY) == count
            calls[count] = sum(entry.callcount for entry in profile.getstats())

    assert calls[1000] < 8 * calls[250]


def test_import_file_impossible_order_says_where(
    session: Session, demo_files: dict[str, str], tmp_path: Path
) -> None:
    text = demo_files[LOG].replace("on: 2026-11-24", "on: 2026-11-20")
    path = tmp_path / "log.yaml"
    path.write_text(text, encoding="utf-8")
    line = text[: text.index("- kind: notarized")].count("\n") + 1

    with pytest.raises(DataProblemsError) as caught:
        import_file(session, None, str(path), DAY)

    assert [(problem.code, problem.place.line) for problem in caught.value.problems] == [
        ("L34", line)
    ]


def test_import_entries_out_of_order_is_refused(
    session: Session, demo_log: tuple[LogEntry, ...]
) -> None:
    mailed = next(entry for entry in demo_log if entry.tracking == "INVENTED-MAIL-0001")

    with pytest.raises(DataProblemsError) as caught:
        import_entries(session, "sandbur-flats", (replace(mailed, number=1),), today=DAY)

    assert codes(caught) == ["L33"]
