"""What is asked for papers that are held while no job needs them; the papers are invented."""

import json
from collections.abc import Callable
from pathlib import Path

from tests.cli.test_duties import one_line

Run = Callable[[list[str]], tuple[int, str, str]]
MARK = "(held, no job needs it)"
TEXAS = """papers:
  - paper: tx.commercial-applicator
    holder: odile
    number: TX-INV-5
    issued_on: 2026-05-04
    valid_through: 2027-05-31
"""
FACTS = "sandbur_flats.yaml"


def load(run: Run, demo_file: Path) -> None:
    text = demo_file.read_text(encoding="utf-8").replace("papers:\n", TEXAS, 1)
    demo_file.write_text(text, encoding="utf-8")
    assert run(["load", FACTS])[0] == 0


def test_move_is_told_for_a_licence_of_a_state_without_a_job(run: Run, demo_file: Path) -> None:
    """Within 30 days, as its row has it (4 TAC 7.20(f)); not for the pilot who holds none."""
    load(run, demo_file)
    move = ["log", "moved", "--on", "2027-05-20", "--today", "2027-05-20"]

    odile = one_line(run([*move, "--pilot", "odile"])[1])
    wren = one_line(run([*move, "--pilot", "wren"])[1])

    told = f"by Sat 19 Jun 2027, in 30 days: Tell the department about a new address {MARK} 4 TAC"
    assert told in odile
    assert "Tell the department" not in wren


def test_every_list_of_duties_marks_what_no_job_needs(run: Run, demo_file: Path) -> None:
    """In the lists of text, in JSON, in today's few lines and on the calendar."""
    load(run, demo_file)
    run(["log", "moved", "--pilot", "odile", "--on", "2027-05-01", "--today", "2027-05-01"])
    on = ["--on", "2027-05-28"]
    about = f"for the move of Sat 1 May 2027, Odile Ferrant {MARK}"

    listed = one_line(run(["duties", *on])[1])
    every = one_line(run(["duties", "--all", *on])[1])
    today = one_line(run(["today", *on])[1])
    found = json.loads(run(["duties", "--format", "json", *on])[1])["duties"]
    run(["calendar", "-o", "a.ics", *on])
    calendar = Path("a.ics").read_bytes().replace(b"\r\n ", b"").decode()

    assert about in listed
    assert f"Tell the department about changes {MARK}: 30 days after the day of the change" in every
    assert about in today
    assert about.replace(",", "\\,") in calendar
    texas = "tx.commercial-applicator.address-change"
    assert [one["needed_by_a_job"] for one in found if one["duty"] == texas] == [False]
    assert {one["needed_by_a_job"] for one in found if one["duty"] != texas} == {True}


def test_clock_does_not_start_after_its_last_day(run: Run, demo_file: Path) -> None:
    """The licence ran out on 31 May 2027."""
    load(run, demo_file)

    out = run(["log", "moved", "--pilot", "odile", "--on", "2027-06-01", "--today", "2027-06-01"])[
        1
    ]

    assert "Tell the department" not in out
