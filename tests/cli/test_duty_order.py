"""What `today`, `plan`, `duties` and `go` show first, and what they say of it, on the demo's farm.

Own ways of showing things; the counts of months are counted by hand.
"""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[[list[str]], tuple[int, str, str]]
HELD = "  - {paper: faa.airspace-authorization, holder: operation, issued_on: 2026-03-10"
REPORT = "faa.airspace-authorization.monthly-report"
NOTAM = "Notice to pilots (NOTAM) filed before the flight"
CLOCKLESS = (
    "! pasture-sd: its `first_flight` is not used, because the time zone there is not known; add a "
    "line `time_zone:` with America/Chicago or America/Denver to the job"
)


def one_line(text: str) -> str:
    return " ".join(text.split())


def load(run: Run, demo_file: Path, *pairs: tuple[str, str], terms: str = "") -> Run:
    """Load the demo with an authorization held since March 2026, and texts put in place."""
    text = demo_file.read_text(encoding="utf-8")
    for old, new in (("\npapers:\n", f"\npapers:\n{HELD}{terms}}}\n"), *pairs):
        assert text.count(old) == 1
        text = text.replace(old, new)
    demo_file.write_text(text, encoding="utf-8")
    code, _, err = run(["load", str(demo_file)])
    assert (code, err) == (0, "")
    return run


def test_notices_of_today_and_tomorrow_stand_before_old_reports(run: Run, demo_file: Path) -> None:
    """On the first day of a job what decides on its flights is never cut."""
    load(run, demo_file)

    for command in (["today"], ["plan"]):
        text = one_line(run([*command, "--on", "2027-06-14"])[1])
        duties = text.partition("DUTIES AROUND FLYING")[2]
        first, _, rest = duties.partition("Monthly report")
        assert f"TOO LATE for any start today: {NOTAM}" in first
        assert f"TOO LATE for an early start tomorrow: {NOTAM}" in first
        assert "more; `mailby duties` lists them" not in first
        assert rest


def test_months_of_one_report_are_one_line(run: Run, demo_file: Path) -> None:
    """From June 2026 to May 2027 12 months are overdue on 14 June; March to May 2026 are older."""
    load(run, demo_file)

    text = one_line(run(["today", "--on", "2027-06-14"])[1])

    assert text.count("Monthly report, also for a month without flights, for") == 1
    assert (
        "Monthly report, also for a month without flights, for 12 months since 2026-06, not ticked "
        f"off; `mailby log did {REPORT}/2027-05 --and-before` ticks these and older ones" in text
    )
    assert (
        "3 older months are left out, from 2026-03 on: Monthly report, also for a month without "
        "flights; `mailby duties --all` lists them, `mailby log did "
        f"{REPORT}/2026-05 --and-before` ticks them" in text
    )


def test_older_months_show_with_all_and_are_ticked(run: Run, demo_file: Path) -> None:
    """Nothing vanishes without a word: `duties` counts them, `--all` lists them."""
    load(run, demo_file)

    short = one_line(run(["duties", "--on", "2027-06-14"])[1])
    whole = one_line(run(["duties", "--on", "2027-06-14", "--all"])[1])
    told = json.loads(run(["duties", "--on", "2027-06-14", "--format", "json"])[1])
    ticked = run(["log", "did", f"{REPORT}/2026-05", "--and-before", "--today", "2027-06-14"])
    after = one_line(run(["duties", "--on", "2027-06-14"])[1])

    assert "3 older months are left out, from 2026-03 on: Monthly report" in short
    assert "for the month of Mar 2026" not in short
    assert "for the month of Mar 2026" in whole
    assert "older months are left out" not in whole
    assert told["older_left_out"] >= 3
    assert ticked[0] == 0
    assert "for the month of Mar 2026" in one_line(ticked[1])
    assert "from 2026-03 on: Monthly report, also" not in after


def test_missed_notice_stands_in_the_answer(run: Run, demo_file: Path) -> None:
    """Where papers are in order the first words still say that a notice is missing."""
    load(run, demo_file)
    told = json.loads(run(["go", "--on", "2027-06-14", "--format", "json"])[1])

    assert [one["notice_missing"] for one in told["jobs"]] == [True]


def test_first_flight_without_a_clock_is_asked_about(run: Run, demo_file: Path) -> None:
    """South Dakota lies on two clocks (49 CFR part 71): the hour is not dropped without a word."""
    text = demo_file.read_text(encoding="utf-8")
    zone = next(line for line in text.splitlines() if line.strip().startswith("time_zone:"))
    load(
        run,
        demo_file,
        (f"{zone}\n", ""),
        ("    note: pastures across", '    first_flight: "06:30"\n    note: pastures across'),
    )

    for command in (["show"], ["load", str(demo_file)]):
        assert CLOCKLESS in one_line(run(command)[1])
    for command in (["plan"], ["today"], ["duties"], ["go"]):
        said = one_line(run([*command, "--on", "2027-06-14"])[1])
        assert CLOCKLESS in said
        assert "a line `first_flight: 06:30` on the job gives the hours" not in said


@pytest.mark.parametrize("own", [True, False])
def test_own_terms_do_not_stand_beside_the_rules_own_words(
    run: Run, demo_file: Path, own: bool
) -> None:
    """With an own window the words of the rule are said to be replaced."""
    term = (
        ", own_terms: [{duty: faa.airspace-authorization.notam, count: 48, unit: hours, "
        "opens: 168, document: 'authorization, item 7'}]"
    )
    load(run, demo_file, terms=term if own else "")

    said = one_line(run(["duties", "--on", "2027-06-10", "--days", "9"])[1])
    words = "Not later than 24 and not earlier than 72 hours before the start"
    replaced = f"the rule's own words, in place of which your document counts: {words}"

    assert words in said
    assert (replaced in said) is own
    assert said.count(words) == (said.count(replaced) if own else said.count(words))


def test_end_past_midnight_names_its_clock_once(loaded: Run) -> None:
    """A flight from 22:35 to 00:40 says its zone once."""
    flown = ["log", "flew", "pasture-ne", "--aircraft", "tg46", "--pilot", "odile"]
    times = ["--from", "2027-05-24 22:35", "--to", "2027-05-25 00:40", "--today", "2027-05-26"]

    out = one_line(loaded([*flown, *times])[1])

    assert "flew Mon 24 May 2027 22:35 to Tue 25 May 2027 00:40 CDT, pasture-ne" in out


@pytest.mark.parametrize("command", [["show"], ["attachments"], ["calendar", "--on", "2027-01-11"]])
def test_advice_stands_on_the_screen(loaded: Run, command: list[str]) -> None:
    """Every output defers to the agency."""
    assert "A planning aid, not legal advice." in one_line(loaded(command)[1])


def test_flights_logged_in_another_order_are_listed_as_they_ended(loaded: Run) -> None:
    """Two machines of one morning: what is due by 06:00 stands before what is due by 07:45."""
    on = ["--today", "2027-05-24"]
    for begun, ended, who in (
        ("06:10", "07:45", ["--aircraft", "tg46", "--pilot", "odile"]),
        ("04:30", "06:00", ["--aircraft", "tg18", "--pilot", "wren"]),
    ):
        times = ["--from", f"2027-05-24 {begun}", "--to", ended]
        assert loaded(["log", "flew", "pasture-ne", *times, *who, *on])[0] == 0

    out = one_line(loaded(["duties", "--on", "2027-05-24"])[1])

    post = "Tue 25 May 2027 {} CDT, tomorrow: Post the application where workers see it"
    record = "Wed 26 May 2027 {} CDT, in 2 days: Write the record of a restricted-use job"
    unwritten = "its record is due by Wed 26 May 2027 {} CDT, in 2 days"
    for text in (post, record, unwritten):
        assert -1 < out.find(text.format("06:00")) < out.find(text.format("07:45"))
