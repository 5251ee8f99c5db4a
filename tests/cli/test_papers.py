"""packet, calendar, demo as a user types them."""

import shlex
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
import vobject

from compliance.engine.plan_model import Plan
from compliance.outputs.plan_text import render_plan_text

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]

# `mailby calendar` into file argv[2], killed when the calendar's file is about to take its name.
KILLED = """
import os, signal, sys
from pathlib import Path
from compliance.cli.main import main

Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
main(["calendar", "--db", sys.argv[1], "-o", sys.argv[2], "--on", "2027-01-11"])
"""


def uids(path: Path) -> list[str]:
    calendar = vobject.readOne(path.read_text(encoding="utf-8"))
    return sorted(event.uid.value for event in calendar.vevent_list)


def test_packet_names_what_it_wrote(loaded: Run, isolated: Path) -> None:
    code, out, err = loaded(["packet", "faa.registration-n", "-o", "p", *ON])

    assert (code, err) == (0, "")
    assert out.splitlines() == [
        "wrote p/faa.registration-n_tg46_checklist.md",
        "wrote p/faa.registration-n_tg46_checklist.pdf",
        "wrote p/faa.registration-n_tg46_cover-sheet.pdf",
        "wrote p/faa.registration-n_tg46_llc-statement.pdf",
        "wrote p/faa.registration-n_tg46_notary-visit.pdf",
        "wrote p/faa.registration-n_tg46_unsworn-declaration.pdf",
    ]
    assert len(list((isolated / "p").iterdir())) == 6


def test_packet_all_writes_what_is_to_be_sent(loaded: Run, isolated: Path) -> None:
    out = loaded(["packet", "all", "-o", "p", *ON])[1]

    assert len(out.splitlines()) == len(list((isolated / "p").iterdir()))
    assert not list((isolated / "p").glob("faa.remote-pilot_*"))


def test_packet_all_nothing_to_send(loaded: Run, isolated: Path) -> None:
    assert loaded(["packet", "all", "-o", "p", "--on", "2030-01-01"]) == (
        0,
        "every paper needed is in hand; there is no packet to send\n",
        "",
    )
    assert not (isolated / "p").exists()


def test_packet_for_another_day_forgets_no_page(
    loaded: Run, isolated: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Our own rule: a copy goes 400 days after its printing by the clock, never by --on."""
    wanted = ["packet", "faa.registration-n", "-o", "p"]
    monkeypatch.setattr("compliance.cli.papers.today", lambda: date(2026, 1, 5))
    assert loaded([*wanted, "--on", "2026-01-05"])[0] == 0
    kept = {path.name for path in isolated.parent.rglob("faa-llc-statement_*.pdf")}

    assert loaded([*wanted, "--on", "2027-03-01"])[0] == 0
    assert kept
    assert kept <= {path.name for path in isolated.parent.rglob("faa-llc-statement_*.pdf")}

    monkeypatch.setattr("compliance.cli.papers.today", lambda: date(2027, 3, 1))
    assert loaded([*wanted, "--on", "2027-03-01"])[0] == 0
    assert not kept & {path.name for path in isolated.parent.rglob("faa-llc-statement_*.pdf")}


def test_packet_in_hand_is_refused(loaded: Run) -> None:
    code, out, err = loaded(["packet", "faa.remote-pilot:wren", *ON])

    assert (code, out) == (3, "")
    assert err.startswith("faa.remote-pilot:wren is in hand; there is no packet to send\n")


def test_packet_cannot_write_is_6(loaded: Run, isolated: Path) -> None:
    (isolated / "taken").write_text("mine")
    code, out, err = loaded(["packet", "faa.exemption", "-o", "taken", *ON])

    assert (code, out) == (6, "")
    assert "cannot be written" in err
    assert (isolated / "taken").read_text() == "mine"


def test_calendar_counts_and_warns(loaded: Run, isolated: Path) -> None:
    code, out, err = loaded(["calendar", "-o", "d.ics", *ON])
    count = len(uids(isolated / "d.ics"))

    assert (code, err) == (0, "")
    assert out.splitlines()[0] == (
        f"wrote d.ics: {count} entries; {count} new, 0 moved, 0 taken off"
    )


def test_calendar_again_is_the_same_file(loaded: Run, isolated: Path) -> None:
    loaded(["calendar", "-o", "one.ics", *ON])
    out = loaded(["calendar", "-o", "two.ics", *ON])[1]

    assert "; 0 new, 0 moved, 0 taken off" in out
    assert (isolated / "one.ics").read_bytes() == (isolated / "two.ics").read_bytes()


def test_calendar_on_later_days_keeps_every_id(loaded: Run, isolated: Path) -> None:
    loaded(["calendar", "-o", "one.ics", *ON])
    loaded(["calendar", "-o", "two.ics", "--on", "2027-01-20"])

    assert set(uids(isolated / "one.ics")) <= set(uids(isolated / "two.ics"))


def test_calendar_two_databases_never_share_an_id(
    loaded: Run, demo_file: Path, isolated: Path
) -> None:
    loaded(["calendar", "-o", "one.ics", *ON])
    loaded(["load", str(demo_file), "--db", "other.sqlite"])
    loaded(["calendar", "-o", "two.ics", *ON, "--db", "other.sqlite"])

    assert set(uids(isolated / "one.ics")).isdisjoint(uids(isolated / "two.ics"))


def test_calendar_nothing_to_write_is_refused(loaded: Run, isolated: Path) -> None:
    code, out, err = loaded(["calendar", "-o", "d.ics", "--on", "2035-01-01"])

    assert (code, out) == (3, "")
    assert err.startswith("there is nothing to put on a calendar\n")
    assert not (isolated / "d.ics").exists()


def test_calendar_killed_leaves_file_and_database_whole(
    loaded: Run, isolated: Path, tmp_path: Path
) -> None:
    database = tmp_path / "mailby.sqlite"
    (isolated / "d.ics").write_text("the old one")
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(database), "d.ics"],
        capture_output=True,
        check=False,
        timeout=60,
        cwd=isolated,
    )
    with closing(sqlite3.connect(database)) as other:
        check = other.execute("PRAGMA integrity_check").fetchall()

    assert done.returncode == -signal.SIGKILL
    assert (isolated / "d.ics").read_text() == "the old one"
    assert check == [("ok",)]
    assert ", 0 moved" in loaded(["calendar", "-o", "d.ics", *ON])[1]


def test_demo_prints_the_plan_and_the_way_on(run: Run, isolated: Path, demo_shown: Plan) -> None:
    """The calls it names can be typed, blanks and quotes in the folder's name included."""
    code, out, err = run(["demo", "--into", "my demo's"])
    plan = (isolated / "my demo's" / "plan.txt").read_text(encoding="utf-8")
    ways = [
        shlex.split(line.partition("mailby ")[2]) for line in out.splitlines() if " --db " in line
    ]

    assert (code, err) == (0, "")
    assert out.startswith(plan)
    assert plan == render_plan_text(demo_shown)
    assert [run(call)[0] for call in ways] == [0, 0]


def test_demo_leaves_the_users_own_database_alone(loaded: Run, isolated: Path) -> None:
    before = (isolated.parent / "mailby.sqlite").read_bytes()

    assert loaded(["demo"])[0] == 0
    assert (isolated.parent / "mailby.sqlite").read_bytes() == before


@pytest.mark.parametrize("into", ["sandbur_flats.yaml", "sandbur_flats.yaml/below"])
def test_demo_into_a_file_is_6(loaded: Run, into: str) -> None:
    code, out, err = loaded(["demo", "--into", into])

    assert (code, out) == (6, "")
    assert "cannot be written" in err
