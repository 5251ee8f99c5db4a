"""Flights and their records say one thing: `log flew`, `record`, `duties`, `binder`, `export`."""

import io
import json
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from compliance.cli.main import main
from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
TIMES = ('day: 2027-06-15\nstart: "06:10"\nend: "07:45"\naircraft: tg46\npilot: odile\n', "")
BARE = RECORD.replace(*TIMES)
NO_WIND = RECORD.replace("wind_speed: 7\n", "")
FLEW = (
    'log flew pasture-sd --from "2027-06-15 06:10" --to 07:45 --aircraft tg46 --pilot odile '
    "--product thistle-out --today 2027-06-15"
)
STATE = "sd.commercial-applicator.record:odile/flight-1"
FEDERAL = "epa.restricted-use-record/flight-1"
ON = ["--on", "2027-06-16"]


def write(farm: Run, text: str, *more: str) -> tuple[int, str, str]:
    Path("r.yaml").write_text(text, encoding="utf-8")
    code, out, err = farm(["record", "pasture-sd", "--from", "r.yaml", *more, *ON])
    return code, " ".join(out.split()), err


def look(farm: Run, name: str, day: str = "2027-06-16") -> dict[str, object]:
    args = ["duties", "--all", "--job", "pasture-sd", "--format", "json", "--on", day]
    document = json.loads(farm(args)[1])
    (found,) = [one for one in document["duties"] if one["id"] == name]
    flights = [one["flight"] for one in document["flights_without_record"]]
    return {key: found[key] for key in ("state", "record", "lacks", "done_on")} | {
        "unwritten": flights
    }


def test_flight_asks_for_its_record_and_the_record_settles_it(farm: Run) -> None:
    """Source: ARSD 12:56:07:03 as the table has it (the day of the flight), 7 CFR 110.3."""
    out = farm(shlex.split(FLEW))[1]
    assert "\nWrite the record: mailby record pasture-sd --flight 1\n" in out
    duties = " ".join(farm(["duties", "--job", "pasture-sd", *ON])[1].split())
    assert (
        "FLIGHTS WITHOUT A RECORD 1. flew Tue 15 Jun 2027 06:10 to 07:45 CDT, pasture-sd, tg46, "
        "odile, thistle-out, re-entry after 48 hours: careful practice: by Tue 15 Jun 2027, "
        "no time was found in the rule mailby record pasture-sd --flight 1" in duties
    )
    assert look(farm, STATE) == {
        "state": "open", "record": None, "lacks": [], "done_on": None, "unwritten": [1],
    }  # fmt: skip

    code, out, _ = write(farm, BARE, "--flight", "1")
    assert code == 0
    assert out.startswith("record 1 is kept: Tue 15 Jun 2027 06:10 to 07:45, pasture-sd, SD;")
    assert "it belongs to flight 1 in the log" in out
    done = {
        "state": "done", "record": 1, "lacks": [], "done_on": "2027-06-16", "unwritten": [],
    }  # fmt: skip
    assert look(farm, STATE) == done
    assert look(farm, FEDERAL) == done
    everything = " ".join(farm(["duties", "--all", "--job", "pasture-sd", *ON])[1].split())
    assert "FLIGHTS WITHOUT A RECORD" not in everything
    assert "pasture-sd; record 1, with care by Tue 15 Jun 2027" in everything
    assert f"{'in the log':<36}  flight 1\n" in farm(["records", "show", "1"])[1]


def test_duty_is_done_on_the_day_its_record_became_whole(farm: Run) -> None:
    """7 CFR 110.3 as the table has it: 14 days. A correction of something else changes no day."""
    farm(shlex.split(FLEW))
    assert write(farm, NO_WIND)[0] == 0
    late = ["--on", "2027-07-01"]

    Path("r.yaml").write_text(BARE, encoding="utf-8")
    correct = ["record", "pasture-sd", "--from", "r.yaml", "--flight", "1", "--correct", "1"]
    assert farm([*correct, "--because", "wind was missing", *late])[0] == 0

    whole = {"state": "done", "record": 1, "lacks": [], "unwritten": []}
    assert look(farm, STATE, "2027-07-01") == whole | {"done_on": "2027-07-01"}
    assert look(farm, FEDERAL, "2027-07-01") == whole | {"done_on": "2027-06-16"}
    said = " ".join(farm(["duties", "--all", "--job", "pasture-sd", *late])[1].split())
    flight = "for the flight of Tue 15 Jun 2027 06:10 to 07:45 CDT, pasture-sd; record 1"
    assert (
        "DONE Wed 16 Jun 2027: Write the federal record of a restricted-use application, "
        f"{flight} Thu 1 Jul 2027: Write the record of a job for hire, {flight}, "
        "with care by Tue 15 Jun 2027"
    ) in said


def test_record_that_lacks_something_leaves_the_duty_open_and_says_what(farm: Run) -> None:
    """South Dakota asks for the wind's speed, the federal rules do not."""
    farm(shlex.split(FLEW))
    out = write(farm, NO_WIND)[1]
    assert "it belongs to flight 1 in the log" in out

    assert look(farm, STATE) == {
        "state": "open", "record": 1, "lacks": ["wind-speed"], "done_on": None, "unwritten": [],
    }  # fmt: skip
    assert look(farm, FEDERAL)["state"] == "done"
    duties = " ".join(farm(["duties", "--job", "pasture-sd", *ON])[1].split())
    assert "written as record 1, lacks: wind speed in miles an hour" in duties
    assert 'complete it: mailby record pasture-sd --correct 1 --because "what was' in duties
    today = " ".join(farm(["today", *ON])[1].split())
    assert "written as record 1, lacks: wind speed in miles an hour" in today

    write(farm, RECORD, "--correct", "1", "--because", "wind found in the notes")
    assert look(farm, STATE)["state"] == "done"
    # Nothing is stored twice: when the record moves to another day, the duty is open again.
    moved = RECORD.replace("day: 2027-06-15", "day: 2027-06-14")
    write(farm, moved, "--correct", "1", "--because", "it was Monday")
    assert look(farm, STATE) == {
        "state": "open", "record": None, "lacks": [], "done_on": None, "unwritten": [1],
    }  # fmt: skip


def test_duties_of_a_day_gone_by_do_not_know_a_later_record(farm: Run) -> None:
    farm(shlex.split(FLEW))
    write(farm, RECORD)

    assert look(farm, STATE, "2027-06-15")["state"] == "open"
    assert look(farm, STATE, "2027-06-15")["unwritten"] == [1]


def test_withdrawn_flight_takes_its_duties_along(farm: Run) -> None:
    farm(shlex.split(FLEW))
    write(farm, RECORD)
    farm(["log", "withdraw-event", "1", *ON])
    farm(shlex.split(FLEW.replace("07:45", "07:50")))

    name = STATE.replace("flight-1", "flight-3")
    assert look(farm, name)["record"] == 1


def test_flight_logged_after_its_record_is_tied_all_the_same(farm: Run) -> None:
    out = write(farm, RECORD)[1]
    assert (
        'no flight of it is in the log; mailby log flew pasture-sd --from "2027-06-15 06:10" --to '
        "07:45 --aircraft tg46 --pilot odile" in out
    )

    out = farm(shlex.split(FLEW.replace("--today 2027-06-15", "--today 2027-06-16")))[1]
    assert "\nRecord 1 tells of this flight: mailby records show 1\n" in out
    assert look(farm, STATE)["record"] == 1


def test_record_logs_its_flight_when_asked(farm: Run) -> None:
    code, out, _ = write(farm, RECORD, "--log-flight")
    assert code == 0
    assert "its flight is logged as flight 1" in out
    assert look(farm, STATE)["record"] == 1
    shown = " ".join(farm(["show"])[1].split())
    assert (
        "flew Tue 15 Jun 2027 06:10 to 07:45 CDT, pasture-sd, tg46, odile, Thistle-Out 4, re-entry "
        "after 48 hours" in shown
    )

    # A flight that is there is not logged twice.
    later = RECORD.replace("place: Section 9", "place: Section 10")
    assert "it belongs to flight 1 in the log" in write(farm, later, "--log-flight")[1]


def test_flight_that_cannot_be_is_not_logged_and_no_record_kept(farm: Run) -> None:
    short = RECORD.replace('end: "07:45"\n', "")
    code, out, err = write(farm, short, "--log-flight")

    assert (code, out) == (3, "")
    assert err == (
        "the flight cannot be logged from a record without its start and its end\n"
        "  hint: write both times into the record, or leave --log-flight out\n"
    )
    assert "none; mailby record JOB writes one" in farm(["records", *ON])[1]


@pytest.mark.parametrize(
    ("text", "more", "said"),
    [
        (BARE, ["--flight", "7"], "there is no flight 7 in the log"),
        (
            BARE + "aircraft: tg18\n",
            ["--flight", "1"],
            "the record says aircraft tg18, but flight 1 was of tg46",
        ),
        (
            BARE + "day: 2027-06-14\n",
            ["--flight", "1"],
            "the record says Mon 14 Jun 2027, but flight 1 was of Tue 15 Jun 2027",
        ),
        (BARE, ["--flight", "1", "--log-flight"], "flight 1 is logged already"),
    ],
)
def test_flight_that_does_not_fit_is_refused(
    farm: Run, text: str, more: list[str], said: str
) -> None:
    farm(shlex.split(FLEW))
    code, out, err = write(farm, text, *more)

    assert code in {3, 4}
    assert out == ""
    assert said in err


def test_guided_record_of_a_flight_offers_what_was_flown(
    farm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Enter alone takes day, times and product from the flight; who flew what is not asked."""
    farm(shlex.split(FLEW))
    lines = ["", "", "", "", "5 gal", "1 pt in 3 gal", "-", "Harlan Quill", "9 Far Road"]
    lines += ["Section 9", "pasture", "grass", "spurge", "40", "7", "NW", "71", "SD-1"]
    lines += ["2 Near Road", "2027-03-02", "yes"]
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    code, out, _ = farm(["record", "pasture-sd", "--flight", "1", *ON])

    assert code == 0
    assert "Which aircraft" not in out
    assert "Who flew" not in out
    assert "record 1 is kept: Tue 15 Jun 2027 06:10 to 07:45, pasture-sd, SD" in out
    assert "No flight of that time is in the log" not in out
    assert look(farm, STATE)["record"] == 1


def test_guided_record_asks_whether_to_log_the_flight(
    farm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = ["tg46", "odile", "2027-06-15", "06:10", "07:45", "1", "5 gal", "1 pt in 3 gal", "-"]
    lines += ["Harlan Quill", "9 Far Road", "Section 9", "pasture", "grass", "spurge", "40", "7"]
    lines += ["NW", "71", "SD-1", "2 Near Road", "2027-03-02", "yes", "yes"]
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    code, out, _ = farm(["record", "pasture-sd", *ON])

    assert code == 0
    assert "No flight of that time is in the log. Log it too?" in out
    assert "its flight is logged as flight 1" in " ".join(out.split())


def test_binder_lists_flights_without_a_record(farm: Run) -> None:
    farm(shlex.split(FLEW))

    def read() -> str:
        assert farm(["binder", "-o", "b.pdf", *ON])[0] == 0
        pages = PdfReader("b.pdf").pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())

    before = read()
    assert "No record of flight 1," in before
    assert "careful practice: by Tue 15 Jun 2027, no time was found in the rule" in before
    write(farm, NO_WIND)
    after = read()
    assert "No record of flight 1," not in after
    assert "lacks: wind" in after
    assert "in the log flight 1" in after


def test_record_thrown_away_leaves_its_flight_settled(farm: Run) -> None:
    """The duty was done; a record whose time is over does not open it again."""
    farm(shlex.split(FLEW))
    write(farm, RECORD)
    code, _, err = farm(["records", "dispose", "1", "--on", "2031-01-02"])
    assert (code, err) == (0, "")

    assert look(farm, STATE, "2031-01-02")["state"] == "done"
    assert look(farm, STATE, "2031-01-02")["unwritten"] == []


def test_records_move_to_a_new_computer_with_every_version(
    farm: Run, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    farm(shlex.split(FLEW))
    write(farm, NO_WIND)
    write(farm, RECORD, "--correct", "1", "--because", "wind found in the notes")
    code, out, err = farm(["export", "-o", "farm.yaml"])
    assert (code, err) == (0, "")
    assert out == ("wrote farm.yaml\nnot in it: records: mailby export --records FILE.yaml\n")
    assert farm(["export", "--log", "-o", "log.yaml"])[1] == "wrote log.yaml\n"
    code, out, _ = farm(["export", "--records", "records.yaml"])
    assert code == 0
    assert "wrote records.yaml: every record with all its versions (2 versions)" in out
    shown = farm(["records", "show", "1", *ON])[1]

    monkeypatch.setenv("MAILBY_DB", "new.sqlite")
    for line in ("load farm.yaml", "log import log.yaml --today 2027-06-16"):
        assert main(shlex.split(line)) == 0
    assert main(["records", "import", "records.yaml", *ON]) == 0
    assert main(["records", "import", "records.yaml", *ON]) == 0
    text = capsys.readouterr().out
    assert "2 versions of records kept; 0 were here already" in text
    assert "0 versions of records kept; 2 were here already" in text
    assert main(["records", "show", "1", *ON]) == 0
    assert capsys.readouterr().out == shown
    assert main(["export", "--records", "again.yaml"]) == 0
    assert Path("again.yaml").read_bytes() == Path("records.yaml").read_bytes()


def test_other_record_of_the_same_number_is_refused_and_nothing_kept(farm: Run) -> None:
    write(farm, RECORD)
    farm(["export", "--records", "records.yaml"])
    text = Path("records.yaml").read_text(encoding="utf-8")
    Path("records.yaml").write_text(text.replace("Section 9", "Section 8"), encoding="utf-8")

    code, out, err = farm(["records", "import", "records.yaml", *ON])

    assert (code, out) == (3, "")
    assert "W41 record 1 of the file is not the record 1 kept here" in err
    assert "Section 9" in farm(["records", "show", "1"])[1]


def test_table_of_export_says_what_it_leaves_out(farm: Run) -> None:
    write(farm, RECORD)
    code, out, _ = farm(["export", "--records", "records.csv"])

    assert code == 0
    assert "The table holds the version that stands of each record." in out
    assert farm(["export", "--records", "records.txt"])[0] == 3
    assert farm(["export", "--records", "r.yaml", "--log"])[0] == 3


def test_facts_on_the_screen_stay_a_file_and_the_line_goes_beside_it(farm: Run) -> None:
    write(farm, RECORD)
    code, out, err = farm(["export"])

    assert code == 0
    assert "not in it" not in out
    assert err == "not in it: records: mailby export --records FILE.yaml\n"


def test_show_says_on_a_day_whether_a_record_is_still_to_be_kept(farm: Run) -> None:
    """Three years from 15 June 2027 (ARSD 12:56:07:04): through 15 June 2030."""
    write(farm, RECORD)

    assert (
        "still to be kept on Sat 15 Jun 2030"
        in farm(["records", "show", "1", "--on", "2030-06-15"])[1]
    )
    assert "its time is over" in farm(["records", "show", "1", "--on", "2030-06-16"])[1]


def test_flight_past_midnight_gets_a_record_for_each_day_step_by_step(farm: Run) -> None:
    """Our own rule (common practice, no source): work of two days has a record for each."""
    night = FLEW.replace("06:10", "22:35").replace("07:45", '"2027-06-16 00:40"')
    farm(shlex.split(night.replace("--today 2027-06-15", "--today 2027-06-16")))
    whole = RECORD.replace('"06:10"', '"22:35"').replace('"07:45"', '"00:40"')
    second = BARE + "day: 2027-06-16\n"
    more = (
        "! flight 1 went on past midnight, and work of two days has a record for each; next: "
        "mailby record pasture-sd --flight 1 once more, with the day 2027-06-16, from 00:00 "
        "to 00:40"
    )

    code, _, err = write(farm, whole, "--flight", "1")
    assert (code, err) == (
        3,
        (
            "r.yaml:3:6: W32 the record ends at 00:40, before it begins at 22:35\n"
            "  hint: work past midnight gets a record for each day, both with --flight and the "
            "number of the one flight in the log: the first from 22:35 to 23:59, the second with "
            "the next day, from 00:00 to 00:40\n1 problem; nothing was changed\n"
        ),
    )
    out = write(farm, BARE, "--flight", "1")[1]
    assert "record 1 is kept: Tue 15 Jun 2027 22:35 to 23:59, pasture-sd" in out
    assert more in out

    out = write(farm, second, "--flight", "1")[1]
    assert "record 2 is kept: Wed 16 Jun 2027 00:00 to 00:40, pasture-sd" in out
    assert "it belongs to flight 1 in the log" in out
    assert "past midnight" not in out
