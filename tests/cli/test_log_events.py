"""log flew ... did as a user types them, on the demo's invented farm."""

import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[[list[str]], tuple[int, str, str]]
FLIGHT = (
    'flew pasture-ne --from "2027-05-24 06:10" --to 07:45 --aircraft tg46 --pilot odile '
    "--product Invented --re-entry 12"
)


def log(run: Run, line: str, today: str = "2027-05-25") -> tuple[int, str, str]:
    return run(["log", *shlex.split(line), "--today", today])


def test_flight_is_kept_and_says_what_is_due(loaded: Run) -> None:
    code, out, err = log(loaded, FLIGHT)
    lines = out.splitlines()

    assert (code, err) == (0, "")
    assert lines[:2] == [
        "event 1: flew Mon 24 May 2027 06:10 to 07:45 CDT, pasture-ne, tg46, odile,",
        "  Invented, re-entry after 12 hours",
    ]
    assert "by Tue 25 May 2027 07:45 CDT, today: Post the application where workers see" in out
    assert "by Wed 26 May 2027 07:45 CDT, tomorrow: Write the record of a restricted-use" in out
    assert "through Wed 23 Jun 2027: Leave the posting up" in out
    assert "25 NAC 2; from memory, not read" in out
    assert "No paper makes a flight safe" in out
    assert "the label decides" in out
    assert "A planning aid, not legal advice." in out


@pytest.mark.parametrize(
    ("line", "code", "message"),
    [
        (
            'flew pasture --from "2027-05-24 06:10" --to 07:45',
            4,
            "no job is called 'pasture'\n  hint: did you mean `pasture-sd`?\n",
        ),
        (
            'flew pasture-ne --from "2027-05-24 06:10" --to 07:45',
            3,
            "pasture-ne has several aircraft\n  hint: say which with --aircraft: tg46, tg18\n",
        ),
        (
            'flew pasture-ne --from "2027-05-24 06:10" --to 07:45 --aircraft tg46',
            3,
            "pasture-ne has several pilots\n  hint: say which with --pilot: odile, wren\n",
        ),
        (
            'flew own-quarter --from "2027-05-24 06:10" --to 07:45 --aircraft tg64',
            3,
            "no aircraft is called 'tg64'\n  hint: did you mean `tg46`?\n",
        ),
        (
            'flew pasture-ne --from "2027-05-24 06:10" --to 07:45 --aircraft tg46 --pilot nobody',
            3,
            (
                "no pilot is called 'nobody'\n  hint: known: odile, wren; put another one under "
                "`pilots:` in your file first, then tell this again\n"
            ),
        ),
        (
            'flew own-quarter --from "2027-05-24 06:10" --to 07:45',
            3,
            (
                "E34 Mon 24 May 2027 is outside the days of own-quarter, Mon 12 Jul 2027 to Sat 7 "
                "Aug 2027; the papers were planned for those days only\n  hint: correct the day, "
                'or the days of the job; if it is right, add --anyway "why"\n'
                "1 problem; nothing was changed\n"
            ),
        ),
        (
            (
                'flew pasture-sd --from "2027-05-24 06:10" --to 07:45 --aircraft tg18 --pilot wren '
                "--anyway rain"
            ),
            0,
            "",
        ),
        (
            'flew pasture-ne --from "2027-05-24 06:10" --to 05:45 --aircraft tg46 --pilot wren',
            3,
            (
                "E32 the flight ends at Mon 24 May 2027 05:45 CDT, not after it begins at Mon 24 "
                "May 2027 06:10 CDT\n"
                '  hint: for a flight past midnight write the day too: --to "2027-06-02 00:40"\n'
                "1 problem; nothing was changed\n"
            ),
        ),
        (
            (
                'flew pasture-ne --from "2027-05-24 06:10" --to "2027-05-25 06:11" --aircraft tg46 '
                "--pilot wren"
            ),
            3,
            (
                "E33 the flight would last longer than 24 hours\n"
                "  hint: correct the day, or log one flight a day\n1 problem; nothing was changed\n"
            ),
        ),
        (
            'flew pasture-ne --from "2027-05-26 06:10" --to 07:45 --aircraft tg46 --pilot wren',
            3,
            (
                "E31 Wed 26 May 2027 is in the future\n  hint: log things when they have happened; "
                "to take another day as today: --today DATE\n"
                "1 problem; nothing was changed\n"
            ),
        ),
        (
            'flew pasture-ne --from "2027-11-07 01:30" --to 02:45 --aircraft tg46 --pilot wren',
            3,
            (
                "01:30 comes twice on Sun 7 Nov 2027, as clocks go back\n  hint: write "
                "`2027-11-07 01:30 CDT` for the first, `2027-11-07 01:30 CST` for the second\n"
            ),
        ),
        (
            'accident pasture-ne --at "2027-03-14 02:30"',
            3,
            (
                "02:30 does not exist on Sun 14 Mar 2027: clocks go forward\n"
                "  hint: a clock showed 03:30 then\n"
            ),
        ),
        (
            "did epa.worker-postin",
            4,
            (
                "no duty called 'epa.worker-postin' is due\n"
                "  hint: mailby duties lists them with their names\n"
            ),
        ),
        (
            "did faa.airspace-authorization.notam/pasture-ne@2027-05-27 --on 2027-05-23",
            3,
            (
                "Sun 23 May 2027 is too early for "
                "faa.airspace-authorization.notam/pasture-ne@2027-05-27: not before Mon 24 May "
                "2027\n"
                "  hint: do it again within its window, or give the right day with --on\n"
            ),
        ),
        (
            "asked --about epa.worker-training",
            3,
            (
                "'epa.worker-training' is no duty that begins so\n"
                "  hint: known: epa.worker-record-copy\n"
            ),
        ),
        ("refused --about x", 3, None),
        ("moved --on 2028-06-01", 3, None),
    ],
)
def test_what_cannot_be_is_said(line: str, code: int, message: str | None, loaded: Run) -> None:
    found, _, err = log(loaded, line)

    assert found == code
    if message is None:
        assert "\n  hint: " in err
    else:
        assert err == message


def test_nothing_is_kept_of_what_was_refused(loaded: Run) -> None:
    log(loaded, FLIGHT, today="2027-05-23")

    assert "AROUND FLYING" not in loaded(["show"])[1]


def test_time_zone_is_asked_for_where_a_state_has_two(run: Run, demo_file: Path) -> None:
    lines = demo_file.read_text(encoding="utf-8").splitlines(keepends=True)
    demo_file.write_text("".join(one for one in lines if "time_zone" not in one), "utf-8")
    assert run(["load", str(demo_file)])[0] == 0

    code, _, err = log(run, FLIGHT)

    assert (code, err) == (
        3,
        (
            "the time zone of pasture-ne is not known, and this duty counts hours\n"
            "  hint: add a line `time_zone:` with America/Chicago or America/Denver to the job "
            "in your file and load it again; mailby export -o FILE writes the file\n"
        ),
    )


def test_same_flight_twice_and_two_at_once_are_refused(loaded: Run) -> None:
    log(loaded, FLIGHT)

    twice = log(loaded, FLIGHT)
    both = log(
        loaded,
        'flew pasture-ne --from "2027-05-24 07:00" --to 08:00 --aircraft tg46 --pilot wren',
    )

    assert twice[0] == both[0] == 3
    assert "E36 event 1 says the same: flew on Mon 24 May 2027 at 06:10" in twice[2]
    assert "E36 tg46 was already in the air for pasture-ne then (flight 1)" in both[2]


def test_duty_is_ticked_off_by_its_name_and_only_once(loaded: Run) -> None:
    log(loaded, FLIGHT)

    first = log(loaded, "did epa.worker-posting")
    again = log(loaded, "did epa.worker-posting/flight-1")
    kept = log(loaded, "did faa.ag-operator.records/flight-1")

    assert first[0] == 0
    assert "done: Post the application where workers see it, for the flight of" in first[1]
    assert again == (3, "", "epa.worker-posting/flight-1 is done already, on Tue 25 May 2027\n")
    assert kept[2] == (
        "nothing is to be done for faa.ag-operator.records/flight-1; it runs through Wed 24 May "
        "2028\n  hint: what is kept, or good, through a day is not ticked off\n"
    )


def test_several_open_ones_are_named(loaded: Run) -> None:
    log(loaded, FLIGHT)
    log(loaded, FLIGHT.replace("06:10", "08:10").replace("07:45", "09:45"))

    several = log(loaded, "did epa.worker-posting")
    all_of_them = log(loaded, "did epa.worker-posting --and-before")

    assert several[2] == (
        "epa.worker-posting is open 2 times\n  hint: name one of epa.worker-posting/flight-1, "
        "epa.worker-posting/flight-2; --and-before ticks the earlier ones too\n"
    )
    assert all_of_them[1].count("done: ") == 2


def test_accident_says_whom_to_tell_first(loaded: Run) -> None:
    """49 CFR 830.5 (at once, from memory), blanket COA digest (24 h), 14 CFR 107.9 (10 days)."""
    code, out, _ = log(
        loaded, 'accident pasture-ne --at "2027-05-25 10:20" --aircraft tg46 --pilot odile'
    )
    days = [line.partition(":  ")[0] for line in out.splitlines() if line.startswith("by ")]

    assert code == 0
    assert "Help the injured first. Then:" in out
    assert [day[:28] for day in days] == [
        "by Tue 25 May 2027 10:20 CDT",
        "by Wed 26 May 2027 10:20 CDT",
        "by Fri 4 Jun 2027, in 10 day",
    ]


def test_withdrawn_event_starts_nothing(loaded: Run) -> None:
    log(loaded, FLIGHT)

    code, out, _ = loaded(["log", "withdraw-event", "1", "--on", "2027-05-25"])
    again = loaded(["log", "withdraw-event", "1", "--on", "2027-05-25"])
    shown = loaded(["show"])[1]

    assert (code, out) == (0, "event 1 is withdrawn by event 2\n")
    assert "E37 event 1 is withdrawn already" in again[2]
    assert "re-entry after 12 hours (withdrawn)" in " ".join(shown.split())
    assert "epa.worker-posting" not in loaded(["duties", "--on", "2027-05-25"])[1]


def test_log_goes_out_and_comes_back_whole(loaded: Run, isolated: Path) -> None:
    log(loaded, FLIGHT)
    log(loaded, "moved --pilot wren --on 2027-05-20")
    log(loaded, "did epa.worker-posting")
    loaded(["export", "--log", "-o", "log.yaml"])
    text = (isolated / "log.yaml").read_text(encoding="utf-8")
    farm = isolated / "sandbur_flats.yaml"

    other = ["--db", str(isolated / "other.sqlite")]
    loaded(["load", str(farm), *other])
    read = loaded(["log", "import", "log.yaml", "--today", "2027-05-26", *other])
    twice = loaded(["log", "import", "log.yaml", "--today", "2027-05-26", *other])
    again = loaded(["export", "--log", *other])[1]

    assert read == (0, "3 entries added to the log\n", "")
    assert twice == (0, "0 entries added to the log\n", "")
    assert again == text


def test_imported_event_that_cannot_be_names_its_line(loaded: Run, isolated: Path) -> None:
    log(loaded, FLIGHT)
    loaded(["export", "--log", "-o", "log.yaml"])
    path = isolated / "log.yaml"
    path.write_text(path.read_text("utf-8").replace("07:45", "05:45"), "utf-8")

    other = ["--db", str(isolated / "other.sqlite")]
    loaded(["load", "sandbur_flats.yaml", *other])
    code, _, err = loaded(["log", "import", "log.yaml", "--today", "2027-05-26", *other])

    assert code == 3
    assert err.startswith("log.yaml:3:5: E32 the flight ends at Mon 24 May 2027 05:45 CDT")
    assert "AROUND FLYING" not in loaded(["show", *other])[1]
