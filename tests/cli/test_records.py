"""The commands `record` and `records`, on the demo's invented farm."""

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from compliance.cli.main import main
from tests.cli.kit_farm import PRODUCTS, RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
SHORT = RECORD.replace("wind_direction: NW\n", "").replace("temperature: 71\n", "")
NOW = ["--on", "2027-06-16"]
# The row of the duty says that its rule states no time (ARSD 12:56:07:01, 12:56:07:03).
NEXT_DAY = (
    "NO TIME IN THE RULE no time to write it was found in the rule of South Dakota; with care it "
    "is written on the day of the application, by Tue 15 Jun 2027: ARSD 12:56:07:01, 12:56:07:03 "
    "(2024-11-12 and 2024-03-25; common practice, no source); first written after that day"
)


def write(farm: Run, text: str = RECORD, *more: str) -> tuple[int, str, str]:
    Path("r.yaml").write_text(text, encoding="utf-8")
    return farm(["record", "pasture-sd", "--from", "r.yaml", *(more or NOW)])


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_whole_record_is_kept(farm: Run) -> None:
    code, out, err = write(farm)

    assert (code, err) == (0, "")
    assert one_line(out).startswith(
        "record 1 is kept: Tue 15 Jun 2027 06:10 to 07:45, pasture-sd, SD; Thistle-Out 4 filled in "
        "from what is known, check it: equipment used Tallgrass Rotorworks TG-46, restricted-entry "
        "interval in hours 48, applicator's name Odile Ferrant,"
    )
    assert (
        f"EVERYTHING THAT IS ASKED FOR HERE IS THERE {NEXT_DAY} KEEP IT through Sat 15 Jun 2030: "
        "South Dakota record of an application for hire, ARSD 12:56:07:01" in one_line(out)
    )
    assert "The label is the law" in one_line(out)
    assert "mailby does not judge labels" in one_line(out)


def test_missing_elements_are_named_for_each_rule(farm: Run) -> None:
    _, out, _ = write(farm, SHORT)

    assert (
        "STILL MISSING South Dakota asks for wind direction (`wind_direction`), temperature in "
        "degrees Fahrenheit (`temperature`): "
        f"ARSD 12:56:07:01, 12:56:07:03, 12:56:07:04 (2024-11-12 and 2024-03-25) {NEXT_DAY}; "
        "it still lacks wind direction, temperature in degrees Fahrenheit KEEP IT" in one_line(out)
    )
    assert "mailby record pasture-sd --correct 1 --because" in one_line(out)


def test_late_record_is_said(farm: Run) -> None:
    """Source: 7 CFR 110.3, 14 days: from 15 June through 29 June."""
    assert "LATE" not in write(farm, RECORD, "--on", "2027-06-29")[1]

    text = RECORD.replace("06:10", "06:11")
    out = one_line(write(farm, text, "--on", "2027-06-30")[1])
    assert "LATE The federal government asks for it within 14 days, by Tue 29 Jun 2027" in out
    assert "do not change the day it was written" in out


def test_unusual_record_is_kept_and_said(farm: Run) -> None:
    text = RECORD.replace("2027-06-15", "2027-06-10").replace("tg46", "tg18")

    out = one_line(write(farm, text)[1])

    assert (
        "! Thu 10 Jun 2027 is outside the days of pasture-sd, Mon 14 Jun 2027 to Sat 3 Jul 2027; "
        "kept all the same ! pasture-sd does not list the aircraft tg18; kept all the same" in out
    )


def test_state_without_a_rule_says_so(run: Run, demo_file: Path) -> None:
    text = demo_file.read_text(encoding="utf-8").replace("state: SD", "state: IL") + PRODUCTS
    demo_file.write_text(text, encoding="utf-8")
    run(["load", str(demo_file)])

    out = one_line(write(run)[1])

    assert "NOT KNOWN HERE Illinois: ask the agency which items a record of an application" in out
    assert "the state's own rule was not read, ask the agency" in out


def test_product_that_its_label_keeps_on_the_ground_is_not_recorded(farm: Run) -> None:
    code, out, err = write(farm, RECORD.replace("thistle-out", "ground-only"))

    assert (code, out) == (3, "")
    assert err == (
        "r.yaml:20:10: W34 product 1 of the record: the label does not allow it to be applied by "
        "air (Groundhold)\n"
        "  hint: it was not to be flown; ask the state's pesticide office what to do; if it was "
        'flown all the same, keep the truth with `anyway: why` or --anyway "why"\n'
        "1 problem; nothing was changed\n"
    )
    assert "none; mailby record JOB writes one" in farm(["records"])[1]


def test_job_with_a_product_nobody_read_the_label_of_is_pointed_out(
    run: Run, demo_file: Path
) -> None:
    text = demo_file.read_text(encoding="utf-8")
    text = text.replace(
        "    note: pastures across", "    products: [new]\n    note: pastures across"
    )
    demo_file.write_text(f"{text}\nproducts: [{{id: new, name: Newcomer}}]\n", encoding="utf-8")
    run(["load", str(demo_file)])
    said = (
        "pasture-sd names Newcomer, but nobody has said whether its label allows it to be applied "
        "by air: read the label's directions for application by air, then write `by_air: yes` or "
        "`by_air: no`"
    )

    assert said in one_line(run(["plan", "--on", "2027-01-11"])[1])
    assert said in one_line(run(["go", "--job", "pasture-sd", "--on", "2027-06-15"])[1])


def test_correction_is_a_new_version(farm: Run) -> None:
    write(farm, SHORT)
    out = write(farm, RECORD, "--correct", "1", "--because", "weather from the card", *NOW)[1]
    shown = one_line(farm(["records", "show", "1"])[1])

    assert out.startswith("record 1, version 2 is kept: Tue 15 Jun 2027")
    assert (
        "VERSIONS 1, written Wed 16 Jun 2027 wind direction: not said temperature in degrees "
        "Fahrenheit: not said 2, corrected Wed 16 Jun 2027: weather from the card" in shown
    )


@pytest.mark.parametrize(
    ("more", "code", "said"),
    [
        (
            ["--correct", "1"],
            3,
            (
                'a correction needs its reason\n  hint: add --because "why", for example --because '
                '"wind was read from the wrong line"\n'
            ),
        ),
        (
            ["--because", "x"],
            3,
            "a reason belongs to a correction\n  hint: add --correct with the record's number\n",
        ),
        (
            ["--correct", "7", "--because", "x"],
            4,
            "there is no record 7\n  hint: mailby records lists them with their numbers\n",
        ),
    ],
)
def test_correction_that_makes_no_sense(more: list[str], code: int, said: str, farm: Run) -> None:
    assert write(farm, RECORD, *more, *NOW) == (code, "", said)


def test_same_application_is_recorded_once(farm: Run) -> None:
    write(farm)

    assert write(farm)[2] == (
        "r.yaml:1:1: W37 the record tells of the same application as record 1\n"
        "  hint: both begin at 06:10: if it is the same work, leave this one out or correct that "
        "one with --correct 1; if it is not, give this one its own start\n"
        "1 problem; nothing was changed\n"
    )


def test_same_application_without_its_start_asks_for_it(farm: Run) -> None:
    """Without a time nobody can tell two jobs of a day apart; with one the hint must not ask."""
    untimed = RECORD.replace('start: "06:10"\nend: "07:45"\n', "")
    write(farm, untimed)

    assert write(farm, untimed)[2] == (
        "r.yaml:1:1: W37 the record tells of the same application as record 1\n"
        "  hint: correct that one with --correct 1, or give the start of each if they are two\n"
        "1 problem; nothing was changed\n"
    )
    Path("t.csv").write_text(
        "job,day,aircraft,pilot,place,product\n"
        + "pasture-sd,2027-06-16,tg46,odile,Section 9,Thistle-Out 4\n" * 2,
        encoding="utf-8",
    )
    assert farm(["records", "import", "t.csv", *NOW])[2] == (
        "t.csv:3:1: W37 the record on line 3 tells of the same application as the record on "
        "line 2\n"
        "  hint: keep one of them, or give the start of each if they are two\n"
        "1 problem; nothing was changed\n"
    )


def test_record_shown_later_names_the_papers_that_were_not_in_force(farm: Run) -> None:
    """What was said when it was written must not be gone when somebody reads it again."""
    told = one_line(write(farm, RECORD)[1])
    shown = one_line(farm(["records", "show", "1", *NOW])[1])

    words = "! not in force on Tue 15 Jun 2027: "
    assert words in told
    assert words in shown
    assert "Ask the agency or a lawyer what this means" in shown


def test_list_names_what_many_records_lack_once(farm: Run) -> None:
    bare = SHORT.replace("crop: pasture grass\n", "")
    for day in (13, 14):
        write(farm, bare.replace("2027-06-15", f"2027-06-{day}"))
    write(farm, SHORT)

    text = one_line(farm(["records", *NOW])[1])

    assert text.count("! missing: wind direction (`wind_direction`), temperature") == 2
    assert "2. Mon 14 Jun 2027 06:10 to 07:45, pasture-sd" in text
    assert text.count("! missing: the same 3 things as in record 1") == 1


def test_list_can_be_narrowed(farm: Run) -> None:
    write(farm, SHORT)
    write(farm, RECORD.replace("2027-06-15", "2027-06-16"))

    out = farm(["records", *NOW])[1]
    assert out.startswith(
        "Sandbur Flats Aerial LLC: 2 records of applications, as of Wed 16 Jun 2027\n\n"
        "  1. Tue 15 Jun 2027 06:10 to 07:45, pasture-sd, SD, Thistle-Out 4, 40 acres\n"
        "      ! missing: wind direction (`wind_direction`), temperature in degrees\n"
        "        Fahrenheit (`temperature`)\n"
        "      ! written Wed 16 Jun 2027, with care by Tue 15 Jun 2027\n"
        "  2. Wed 16 Jun 2027"
    )
    for option in (
        ["--from", "2027-06-16"],
        ["--to", "2027-06-15"],
        ["--job", "pasture-ne"],
        ["--state", "NE"],
        ["--product", "ground"],
    ):
        found = farm(["records", *option, *NOW])[1]
        assert found.count(". Tue") + found.count(". Wed") == (1 if "-06-1" in option[1] else 0)


def test_list_and_its_exports_follow_the_clock_within_a_day(farm: Run) -> None:
    """By day, start and number; a record that says no start comes after those of its day."""
    clock = 'start: "06:10"\nend: "07:45"\n'
    write(farm, RECORD.replace(clock, ""))
    write(farm, RECORD.replace(clock, 'start: "09:00"\nend: "09:40"\n'))
    write(farm, RECORD)
    write(farm, RECORD.replace("2027-06-15", "2027-06-16").replace(clock, ""))
    write(farm, RECORD.replace("Section 9", "Section 12"))

    out = farm(["records", *NOW])[1]
    assert farm(["records", "--export", "all.csv", *NOW])[0] == 0
    assert farm(["records", "--export", "all.pdf", *NOW])[0] == 0
    rows = list(csv.DictReader(io.StringIO(Path("all.csv").read_bytes().decode("utf-8-sig"))))
    pages = "\n".join(page.extract_text() for page in PdfReader("all.pdf").pages)

    assert re.findall(r"^  (\d)\. (\w+ \d+)", out, re.MULTILINE) == [
        ("3", "Tue 15"),
        ("5", "Tue 15"),
        ("2", "Tue 15"),
        ("1", "Tue 15"),
        ("4", "Wed 16"),
    ]
    assert [(row["day"], row["start"]) for row in rows] == [
        ("2027-06-15", "06:10"),
        ("2027-06-15", "06:10"),
        ("2027-06-15", "09:00"),
        ("2027-06-15", ""),
        ("2027-06-16", ""),
    ]
    assert re.findall(r"Record (\d)", pages) == ["3", "5", "2", "1", "4"]


def test_flight_that_has_a_record_already_is_pointed_out(farm: Run) -> None:
    """Two fields of one flight are two records, so the second is kept and only pointed out."""
    flew = ["log", "flew", "pasture-sd", "--from", "2027-06-15 06:10", "--to", "07:45"]
    crew = ["--aircraft", "tg46", "--pilot", "odile", "--product", "thistle-out"]
    assert farm([*flew, *crew, "--anyway", "test", "--today", "2027-06-16"])[0] == 0
    named = (*NOW, "--flight", "1")
    section_12 = RECORD.replace("Section 9", "Section 12")

    first = one_line(write(farm, SHORT, *named)[1])
    second = one_line(write(farm, section_12, *named)[1])
    mended = one_line(
        write(farm, RECORD, *named, "--correct", "1", "--because", "wind was left out")[1]
    )
    third = one_line(write(farm, RECORD.replace("Section 9", "Section 15"), *named)[1])

    assert "already" not in first
    assert (
        "it belongs to flight 1 in the log ! flight 1 has record 1 already; if this is the same "
        'work, correct that one instead: `mailby record pasture-sd --correct 1 --because "why"`; '
        "kept all the same"
    ) in second
    assert "already" not in mended
    assert (
        "! flight 1 has records 1 and 2 already; if this is the same work, correct one of those "
        'instead: `mailby record pasture-sd --correct 1 --because "why"`; kept all the same'
    ) in third


def test_record_moved_to_another_day_is_none_of_its_old_day(farm: Run) -> None:
    """The version that stands counts: the flight of 15 June has no record of that day then."""
    flew = ["log", "flew", "pasture-sd", "--from", "2027-06-15 06:10", "--to", "07:45"]
    crew = ["--aircraft", "tg46", "--pilot", "odile", "--product", "thistle-out"]
    assert farm([*flew, *crew, "--anyway", "test", "--today", "2027-06-16"])[0] == 0
    write(farm, RECORD, *NOW, "--flight", "1")
    moved = RECORD.replace("2027-06-15", "2027-06-14")
    why = ("--correct", "1", "--because", "it was Monday", "--anyway", "told")
    assert write(farm, moved, *NOW, *why)[0] == 0

    code, out, _ = write(farm, RECORD, *NOW, "--flight", "1")

    assert code == 0
    assert "already" not in out


def test_table_for_a_state_has_its_elements_in_its_order(farm: Run) -> None:
    """Source: ARSD 12:56:07:01 in the order of the row of the rules table."""
    write(farm, RECORD.replace("Harlan Quill", "=HYPERLINK(1)"))

    code, out, _ = farm(["records", "--export", "out/sd.csv", "--for", "SD", *NOW])
    data = Path("out/sd.csv").read_bytes()
    heads, row = csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))

    assert code == 0
    assert out.startswith("sd.csv holds 1 record\n")
    assert heads[:9] == [
        "record",
        "customer's name",
        "place of the application",
        "target pest",
        "area treated in acres",
        "day of the application",
        "time of day",
        "applicator's name",
        "product name",
    ]
    assert row[:9] == [
        "1",
        "'=HYPERLINK(1)",
        "Section 9",
        "leafy spurge",
        "40",
        "2027-06-15",
        "06:10 to 07:45",
        "Odile Ferrant",
        "Thistle-Out 4",
    ]
    assert heads[-3:] == ["still missing", "first written on", "version"]
    assert row[-3:] == ["", "2027-06-16", "1"]
    # A second reader that knows nothing of ours: no comma or quote is in this line's cells.
    assert [cell.strip('"') for cell in data.decode("utf-8-sig").split("\r\n")[1].split(",")] == row


def test_whole_table_is_read_in_again(farm: Run, tmp_path: Path) -> None:
    mix = "  - {product: '=Spreader', by_air: yes, restricted_use: no, registration: exempt}\n"
    write(farm, RECORD.replace("71", "-5") + mix)
    farm(["records", "--export", "all.csv", *NOW])
    first = Path("all.csv").read_bytes()

    assert b",'-5," in first
    assert b",'=Spreader," in first
    other = str(tmp_path / "other.sqlite")
    assert main(["load", "sandbur_flats.yaml", "--db", other]) == 0
    code, out, _ = farm(["records", "import", "all.csv", "--db", other, *NOW])
    assert (code, out.splitlines()[0]) == (0, "1 record kept, numbers 1 to 1")
    farm(["records", "--export", "again.csv", "--db", other, *NOW])
    assert Path("again.csv").read_bytes() == first


def test_import_is_all_or_nothing(farm: Run) -> None:
    write(farm)
    Path("t.csv").write_text(
        "job,day,start,aircraft,pilot,place,product,by_air,area\n"
        "pasture-sd,2027-06-15,05:00,tg46,odile,Section 9,Thistle-Out 4,,40\n"
        "pasture-sd,2027-06-31,05:00,tg46,odile,Section 9,Thistle-Out 4,,40\n"
        "pasture-sd,2027-06-15,06:10,tg46,odile,Section 9,Thistle-Out 4,,40\n"
        "pasture-sd,2027-06-15,05:00,tg46,odile,section 9,thistle-out 4,yes,40\n"
        "pasture-xx,2027-06-14,05:00,tg46,odile,Section 9,Groundhold,yes,forty\n",
        encoding="utf-8",
    )

    code, out, err = farm(["records", "import", "t.csv", *NOW])

    assert (code, out) == (3, "")
    assert err == (
        "t.csv:3:2: W22 the record on line 3: the day of the application is '2027-06-31', which is "
        "no date\n  hint: write year-month-day, for example 2027-05-24\n"
        "t.csv:4:1: W37 the record on line 4 tells of the same application as record 1\n"
        "  hint: both begin at 06:10: if it is the same work, leave this one out or correct that "
        "one with --correct 1; if it is not, give this one its own start\n"
        "t.csv:5:1: W37 the record on line 5 tells of the same application as the record on "
        "line 2\n"
        "  hint: both begin at 05:00: remove one of the two if it is the same work twice; if it "
        "is not, give each its own start\n"
        "t.csv:6:1: W13 the record on line 6 names 'pasture-xx' as its job, which the operation "
        "does not have\n  hint: did you mean `pasture-sd`?\n"
        "t.csv:6:7: W34 product 1 of the record on line 6: the label does not allow it to be "
        "applied by air (Groundhold)\n"
        "  hint: it was not to be flown; ask the state's pesticide office what to do; if it was "
        'flown all the same, keep the truth with `anyway: why` or --anyway "why"\n'
        "t.csv:6:9: W22 the record on line 6: the area treated in acres is 'forty', which is no "
        "number\n  hint: write digits without a unit, for example 12\n"
        "6 problems; nothing was changed\n"
    )
    assert "1 record of applications" in farm(["records"])[1]


def test_pages_say_what_was_recorded_and_what_is_missing(farm: Run) -> None:
    write(farm, SHORT)

    farm(["records", "--export", "sd.pdf", "--for", "SD", *NOW])
    first = Path("sd.pdf").read_bytes()
    text = one_line(" ".join(page.extract_text() for page in PdfReader("sd.pdf").pages))
    farm(["records", "--export", "sd.pdf", "--for", "SD", *NOW])

    assert "Sandbur Flats Aerial LLC, for South Dakota, as of Wed 16 Jun 2027" in text
    assert "Record 1: Tue 15 Jun 2027 06:10 to 07:45, pasture-sd" in text
    assert "wind direction missing wind speed in miles an hour 7" in text
    assert "Kept through Sat 15 Jun 2030: South Dakota record" in text
    assert "Missing: South Dakota asks for wind direction" in text
    assert "mailby does not judge labels" in text
    assert Path("sd.pdf").read_bytes() == first


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--for", "SD"], (3, "--for belongs to --export")),
        (["--export", "x.txt"], (3, "x.txt ends neither in .csv nor in .pdf")),
        (["--export", "x.csv", "--for", "NE", "--state", "SD"], (3, "--for NE writes the records")),
        (["--export", "x.csv", "--for", "sd"], (4, "'sd' is no state code\n  hint: did you mean")),
        (["--export", "x.csv", "--for", "NE"], (4, "there is no such record to write")),
    ],
)
def test_export_that_makes_no_sense(arguments: list[str], said: tuple[int, str], farm: Run) -> None:
    write(farm)
    code, out, err = farm(["records", *arguments])

    assert (code, out) == (said[0], "")
    assert err.startswith(said[1])
    assert not Path("x.csv").exists()


def test_record_may_go_the_day_after_its_last(farm: Run) -> None:
    """Source: ARSD 12:56:07:03, three years from 15 June 2027."""
    write(farm)

    early = farm(["records", "dispose", "1", "--on", "2030-06-15", "--anyway", "no room"])
    assert early == (
        3,
        "",
        (
            "record 1 must be kept through Sat 15 Jun 2030: South Dakota record of an "
            "application for "
            "hire (ARSD 12:56:07:01, 12:56:07:03, 12:56:07:04)\n"
            "  hint: nothing was thrown away; no reason shortens that time\n"
        ),
    )
    assert "none" in farm(["records", "--due-for-disposal", "--on", "2030-06-15"])[1]
    due = one_line(farm(["records", "--due-for-disposal", "--on", "2030-06-16"])[1])
    assert "1. Tue 15 Jun 2027 06:10 to 07:45, pasture-sd, SD: kept through Sat 15 Jun 2030" in due
    assert farm(["records", "dispose", "1", "2", "--on", "2030-06-16"])[0] == 4
    code, out, _ = farm(["records", "dispose", "1", "--on", "2030-06-16"])
    assert (code, out.splitlines()[0]) == (0, "record 1 of Tue 15 Jun 2027 is thrown away")
    assert farm(["records", "show", "1"])[2] == (
        "record 1 of Tue 15 Jun 2027 was thrown away on Sun 16 Jun 2030, when its time was over\n"
    )
    assert write(farm)[1].startswith("record 2 is kept")


def test_state_without_a_known_time_asks_before_disposal(run: Run, demo_file: Path) -> None:
    text = demo_file.read_text(encoding="utf-8").replace("state: SD", "state: IL") + PRODUCTS
    demo_file.write_text(text, encoding="utf-8")
    run(["load", str(demo_file)])
    write(run)

    assert run(["records", "dispose", "1", "--on", "2031-01-01"])[2] == (
        "no rule of Illinois that was read says how long record 1 is kept; the longest known here "
        "is through Sun 17 Jun 2029: Application facts to post for workers, and to keep "
        "(40 CFR 170.311(b))\n  hint: ask the state's pesticide office, then add --anyway "
        '"who said what"\n'
    )
    due = one_line(run(["records", "--due-for-disposal", "--on", "2031-01-01"])[1])
    assert "Records whose time is over, as of Wed 1 Jan 2031 none NOT TO GO YET: the state's" in due
    assert "Next: mailby records dispose" not in due
    asked = ["--anyway", "the office said two years"]
    assert run(["records", "dispose", "1", "--on", "2031-01-01", *asked])[0] == 0


def answer(monkeypatch: pytest.MonkeyPatch, lines: list[str]) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def test_guided_record_asks_only_what_is_asked_for(
    farm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = ["1", "1", "2027-06-15", "6:10", "7:45", "1", "5 gal", "1 pt in 3 gal", "-", "stop"]
    answer(monkeypatch, answers)
    code, out, _ = farm(["record", "pasture-sd", *NOW])
    assert code == 0
    assert out.endswith("Next: mailby record pasture-sd goes on from here\n")

    rest = ["Harlan Quill", "9 Far Road", "Section 9", "pasture", "grass", "spurge", "back"]
    rest += [
        "leafy spurge",
        "40",
        "7",
        "NW",
        "71",
        "SD-1",
        "2 Near Road",
        "2027-03-02",
        "no",
        "yes",
    ]
    answer(monkeypatch, rest)
    code, out, _ = farm(["record", "pasture-sd", *NOW])
    assert code == 0
    assert "target pest: leafy spurge" in out
    assert "EVERYTHING THAT IS ASKED FOR HERE IS THERE" in out

    # The next record is offered the customer of the last one, and never its weather.
    again = ["1", "1", "2027-06-16", "6:10", "7:45", "1", "5 gal", "1 pt in 3 gal", "-"]
    answer(monkeypatch, again)
    code, out, _ = farm(["record", "pasture-sd", *NOW])
    assert code == 1
    assert "Who is the customer?" in out
    assert "[Harlan Quill] > " in out


def test_time_that_clocks_skip_is_not_recorded(farm: Run) -> None:
    """Source: 15 U.S.C. 260a, 2 a.m. of the second Sunday in March; 14 March in 2027."""
    text = RECORD.replace("2027-06-15", "2027-03-14").replace("06:10", "02:30")

    assert write(farm, text) == (
        3,
        "",
        (
            "r.yaml:2:8: W22 the record: 02:30 does not exist on Sun 14 Mar 2027: clocks go "
            "forward\n  hint: a clock showed 03:30 then\n1 problem; nothing was changed\n"
        ),
    )
    assert "none; mailby record JOB writes one" in farm(["records"])[1]


def test_time_that_clocks_show_twice_is_recorded_but_no_flight_logged_from_it(farm: Run) -> None:
    """Source: 15 U.S.C. 260a, first Sunday in November; 7 November in 2027."""
    text = RECORD.replace("2027-06-15", "2027-11-07").replace('"06:10"', '"01:30"')
    later = ["--on", "2027-11-08"]

    refused = write(farm, text, "--log-flight", *later)
    assert refused[::2] == (
        3,
        (
            "the flight cannot be logged from the record: 01:30 comes twice on Sun 7 Nov 2027, as "
            "clocks go back\n  hint: log it by itself first: mailby log flew pasture-sd --from, "
            "--to; there write `2027-11-07 01:30 CDT` for the first, `2027-11-07 01:30 CST` for "
            "the second\n"
        ),
    )
    assert write(farm, text, *later)[0] == 0


def test_guided_record_asks_again_for_a_time_that_clocks_skip(
    farm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer(monkeypatch, ["1", "1", "2027-03-14", "2:30", "3:30", "4:00", "stop"])

    code, out, _ = farm(["record", "pasture-sd", *NOW])

    assert code == 0
    assert "! 02:30 does not exist on Sun 14 Mar 2027: clocks go forward" in out


TAB = "holds a tab that cannot be kept (U+0009)"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("Section 9", '"Section\\t9"', f"8:8: W22 the record: the place of the application {TAB}"),
        (
            "amount: 5 gal",
            'supplier: "a\\tb"',
            f"20:33: W22 product 1 of the record: the supplier of the product {TAB}",
        ),
        ("area: 40", 'anyway: "told\\tso"', f"12:9: W22 `anyway` of the record {TAB}"),
    ],
)
def test_text_with_a_tab_is_refused_as_its_table_would_be(
    old: str, new: str, said: str, farm: Run
) -> None:
    code, out, err = write(farm, RECORD.replace(old, new))

    assert (code, out) == (3, "")
    assert err == (
        f"r.yaml:{said}\n  hint: type it anew, on one line; what was copied may hold signs that "
        "cannot be seen\n1 problem; nothing was changed\n"
    )


def test_element_that_is_one_of_two_names_both_keys(farm: Run) -> None:
    _, _, err = write(farm, RECORD.replace("crop: pasture grass", "crop_or_site: grass"))

    assert err == (
        "r.yaml:10:1: W02 the record has an unknown key `crop_or_site`\n"
        "  hint: write `crop` or `site`\n1 problem; nothing was changed\n"
    )


def test_pages_hold_everything_that_was_recorded(farm: Run) -> None:
    """What no rule asks for stands after what one does, unless the pages are for one state."""
    more = "notes: gate left open\ndisposal: rinsed twice\nmethod: low boom\n"
    write(farm, RECORD.replace("products:", f"{more}products:"))

    def read(*asked: str) -> str:
        assert farm(["records", "--export", "r.pdf", *asked, *NOW])[0] == 0
        return one_line(" ".join(page.extract_text() for page in PdfReader("r.pdf").pages))

    text = read()
    row = next(csv.DictReader(io.StringIO(_export(farm))))
    shown = {key: value for key, value in row.items() if value and key not in _NOT_SAID_SO}
    assert {key for key, value in shown.items() if one_line(value) not in text} == set()
    assert {"notes", "disposal", "method", "temperature", "concentration"} <= shown.keys()
    assert "gate left open" not in read("--for", "SD")


# Said otherwise on the pages: as a heading, in words, or in the last lines.
_NOT_SAID_SO = {"record", "version", "first_written", "by_air"}


def _export(farm: Run) -> str:
    assert farm(["records", "--export", "r.csv", *NOW])[0] == 0
    return Path("r.csv").read_text(encoding="utf-8-sig")


def test_imported_record_is_late_only_by_the_day_it_was_first_written(farm: Run) -> None:
    """Source: 7 CFR 110.3, 14 days: from 1 May through 15 May."""
    head = "job,day,start,aircraft,pilot,place,product,state,first_written\n"
    line = "pasture-sd,2027-05-01,0{}:00,tg46,odile,Section 9,Thistle-Out 4,{},{}\n"
    rows = [(5, "SD", "2027-05-01"), (6, "", ""), (7, "sd", "2027-06-01")]
    Path("t.csv").write_text(head + "".join(line.format(*row) for row in rows), encoding="utf-8")

    out = one_line(farm(["records", "import", "t.csv", "--on", "2027-06-16"])[1])

    assert out.startswith(
        "3 records kept, numbers 1 to 3 ! something is missing in records 1, 2, 3; mailby records "
        "show NUMBER ! written after the time a rule gives: record 3 ! day of writing not known: "
        "record 2; whether they were written in time is not known either. A column "
        "`first_written` in the table says the day"
    )
    shown = one_line(farm(["records", "show", "2"])[1])
    assert "LATE" not in shown
    assert (
        "NOT KNOWN HERE the day it was first written: it was read in on Wed 16 Jun 2027 from a "
        "table that does not say; whether it was written in time is not known" in shown
    )
    days = [one["first_written"] for one in csv.DictReader(io.StringIO(_export(farm)))]
    assert sorted(days) == ["", "2027-05-01", "2027-06-01"]


def test_imported_record_of_another_state_or_day_is_a_bad_row(farm: Run) -> None:
    Path("t.csv").write_text(
        "job,day,state,first_written,aircraft,pilot,product\n"
        "pasture-sd,2027-05-01,NE,2027-05-01,tg46,odile,Thistle-Out 4\n"
        "pasture-sd,2027-05-02,SD,2027-07-01,tg46,odile,Thistle-Out 4\n"
        "pasture-sd,2027-05-03,SD,1 May,tg46,odile,Thistle-Out 4\n",
        encoding="utf-8",
    )

    assert farm(["records", "import", "t.csv", *NOW]) == (
        3,
        "",
        (
            "t.csv:2:3: W42 the record on line 2 says the state 'NE', but its job pasture-sd is in "
            "SD\n  hint: correct it, name the job it belongs to, or leave the cell empty\n"
            "t.csv:3:4: W31 `first_written` of the record on line 3 is Thu 1 Jul 2027, which is "
            "still to come\n  hint: correct it; leave it empty if nobody knows\n"
            "t.csv:4:4: W22 `first_written` of the record on line 4 is '1 May', which is no date\n"
            "  hint: write year-month-day, for example 2027-05-24; leave it empty if nobody knows\n"
            "3 problems; nothing was changed\n"
        ),
    )


def test_guided_record_offers_the_aircraft_of_the_job_and_takes_another(
    farm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer(monkeypatch, ["tg18", "stop"])
    code, out, _ = farm(["record", "pasture-sd", *NOW])
    offered, _, taken = out.partition("Which aircraft?")[2].partition(" > ")

    assert code == 0
    assert "1  tg46" in offered
    assert "tg18" not in offered
    assert taken.partition("Who flew?")[0].startswith("tg18\n  = Tallgrass Rotorworks TG-18\n")


def test_guided_record_refuses_what_the_label_forbids(
    farm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = ["1", "1", "2027-06-15", "-", "-", "Groundhold", "groundhold", "Newcomer", "no"]
    answer(monkeypatch, lines)

    code, out, _ = farm(["record", "pasture-sd", *NOW])

    assert code == 1
    assert out.count("! Groundhold: the label does not allow it to be applied by air") == 1
    assert "! groundhold: the label does not allow it" in out
    assert "! Newcomer: the label does not allow it to be applied by air" in out


def test_unknown_job_of_a_guided_record_is_said(farm: Run) -> None:
    assert farm(["record", "pasture", *NOW]) == (
        4,
        "",
        "no job is called 'pasture'\n  hint: did you mean `pasture-sd`?\n",
    )


def test_duty_to_keep_holds_a_record_back(run: Run, demo_file: Path) -> None:
    """Kansas: no time in its rule of records, three years (from memory) in its duty to keep."""
    text = demo_file.read_text(encoding="utf-8").replace("state: SD", "state: KS") + PRODUCTS
    demo_file.write_text(text, encoding="utf-8")
    run(["load", str(demo_file)])
    write(run)

    assert run(["records", "dispose", "1", "--on", "2030-06-15", "--anyway", "x"])[2] == (
        "record 1 must be kept through Sat 15 Jun 2030: Keep your copy of the customer's statement "
        "(K.A.R. 4-13-4)\n  hint: nothing was thrown away; no reason shortens that time\n"
    )
    assert "1. Tue" not in run(["records", "--due-for-disposal", "--on", "2030-06-15"])[1]
    due = one_line(run(["records", "--due-for-disposal", "--on", "2030-06-16"])[1])
    assert (
        "none NOT TO GO YET: the state's own rule was not read What is known here is over, but the "
        "state may ask for longer: 1. Tue 15 Jun 2027 06:10 to 07:45, pasture-sd, KS: kept through "
        "Sat 15 Jun 2030: Keep your copy of the customer's statement, K.A.R. 4-13-4 (none read; "
        "from memory, not read); the state's own rule was not read, ask the agency Ask the state's "
        "pesticide office first."
    ) in due
    assert run(["records", "dispose", "1", "--on", "2030-06-16"])[0] == 3
