"""What a change of rules does to the days through which records are kept.

South Dakota's three years stand in ARSD 12:56:07:03, the two years from the end of the
restricted-entry interval in 40 CFR 170.311(b), as the rows of the table cite them.
"""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.app.resources import read_rules_files
from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
NOW = ["--on", "2027-06-20"]
DUTY = "      - id: sd.commercial-applicator.record-keep"
AFTER_DUTY = "    cite: SDCL 38-21-17; farm-news"
FLIGHT = "the flight of Tue 15 Jun 2027 06:10 to 07:45 CDT, pasture-sd"

LONGER = """\
authority: Our adviser
reviewed: 2026-12-01
records:
  - id: sd.record.commercial
    title: South Dakota record of an application for hire
    replaces: sd.record.commercial
    because: the adviser called
    state: SD
    elements: [place, area]
    keep_months: 60
    when: [{job.state: SD}, {job.for_hire: yes}, {job.material: pesticide}]
    cite: a call
    edition: "2027"
    confidence: second-hand
"""
# The same three years, but only heard of: nobody has read the state's own rule then.
HEARD = (
    LONGER.replace("keep_months: 60", "keep_months: 36").replace("second-hand", "memory")
    + """\
duties:
  - id: sd.commercial-applicator.record-keep
    title: Keep the record of a job for hire
    replaces: sd.commercial-applicator.record-keep
    because: the adviser called
    event: flight
    kind: keep-record
    trigger: the day of the application
    direction: after
    count: 36
    unit: months
    when: [{job.state: SD}, {job.for_hire: yes}, {job.material: pesticide}]
    cite: a call
    edition: "2027"
    confidence: memory
"""
)


@pytest.fixture
def kept(farm: Run) -> Run:
    """The farm with one record and its flight of 15 June 2027; re-entry ends on 17 June."""
    Path("r.yaml").write_text(RECORD, encoding="utf-8")
    assert farm(["record", "pasture-sd", "--from", "r.yaml", "--log-flight", *NOW])[0] == 0
    return farm


def write_south_dakota(change: Callable[[str], str]) -> str:
    """Write the table's own file of South Dakota, changed, and give its name."""
    text = read_rules_files()["sd.yaml"]
    assert change(text) != text
    Path("sd.yaml").write_text(change(text), encoding="utf-8")
    return "sd.yaml"


def drop_duty(text: str) -> str:
    return text[: text.index(DUTY)] + text[text.index(AFTER_DUTY) :]


def list_days(run: Run, name: str) -> str:
    """Give the days that change, on one line."""
    code, out, error = run(["rules", "diff", "--shipped", name, *NOW])
    assert (code, error) == (0, "")
    return " ".join(out.partition("THAT CHANGE")[2].partition("Nothing was kept")[0].split())


def test_lost_duty_to_keep_ends_the_day_of_its_flights(kept: Run) -> None:
    """The record row still asks for three years, so the record's own day does not change."""
    assert list_days(kept, write_south_dakota(drop_duty)) == (
        "sd.commercial-applicator.record-keep:odile: Keep the record of a job for hire "
        f"{FLIGHT}, kept through: Sat 15 Jun 2030 -> no longer asked"
    )


def test_lost_duty_and_lost_length_leave_what_others_ask(kept: Run) -> None:
    """With both gone the federal two years are left, in text and in JSON."""
    name = write_south_dakota(lambda text: drop_duty(text).replace("    keep_months: 36\n", ""))

    assert list_days(kept, name).endswith(
        "-> no longer asked records of pasture-sd record 1 of Tue 15 Jun 2027, kept through: Sat "
        "15 Jun 2030 -> Sun 17 Jun 2029 record 1 of Tue 15 Jun 2027, may go without asking "
        "after: Sat 15 Jun 2030 -> only after asking the agency"
    )
    dates = json.loads(
        kept(["rules", "diff", "--shipped", name, "--format", "json", *NOW])[1],
    )["dates"]
    assert dates == [
        {
            "about": "sd.commercial-applicator.record-keep:odile/flight-1",
            "what": f"{FLIGHT}, kept through",
            "old": "2030-06-15",
            "new": None,
        },
        {
            "about": "record 1",
            "what": "record 1 of Tue 15 Jun 2027, kept through",
            "old": "2030-06-15",
            "new": "2029-06-17",
        },
        {
            "about": "record 1",
            "what": "record 1 of Tue 15 Jun 2027, may go without asking after",
            "old": "2030-06-15",
            "new": None,
        },
    ]


def test_disposal_that_comes_to_need_asking_is_what_then_happens(kept: Run) -> None:
    """The day stays; the comparison is held against the pack really added and dropped again."""
    Path("heard.yaml").write_text(HEARD, encoding="utf-8")
    gone = ["records", "dispose", "1", "--on", "2030-06-16"]

    assert list_days(kept, "heard.yaml").endswith(
        " records of pasture-sd record 1 of Tue 15 Jun 2027, may go without asking after: Sat 15 "
        "Jun 2030 -> only after asking the agency"
    )
    assert kept(["rules", "add", "heard.yaml", *NOW])[0] == 0
    code, _, error = kept(gone)
    assert (code, "ask" in error) == (3, True)
    Path("heard.yaml").write_text(HEARD.replace("memory", "second-hand"), encoding="utf-8")
    assert list_days(kept, "heard.yaml") == (
        "records of pasture-sd record 1 of Tue 15 Jun 2027, may go without asking after: only "
        "after asking the agency -> Sat 15 Jun 2030"
    )
    assert kept(["rules", "drop", "heard"])[0] == 0
    assert kept(gone)[0] == 0


def test_changed_length_of_a_duty_moves_its_day(kept: Run) -> None:
    """The longest of all rules counts, so the record moves with the longer duty."""
    name = write_south_dakota(lambda text: text.replace("count: 36", "count: 48"))

    assert list_days(kept, name) == (
        "sd.commercial-applicator.record-keep:odile: Keep the record of a job for hire "
        f"{FLIGHT}, kept through: Sat 15 Jun 2030 -> Sun 15 Jun 2031 records of pasture-sd record "
        "1 of Tue 15 Jun 2027, kept through: Sat 15 Jun 2030 -> Sun 15 Jun 2031"
    )


def test_day_named_is_the_day_once_the_rules_are_taken(kept: Run) -> None:
    """The comparison is held against the change really made."""
    Path("longer.yaml").write_text(LONGER, encoding="utf-8")

    assert list_days(kept, "longer.yaml") == (
        "records of pasture-sd record 1 of Tue 15 Jun 2027, kept through: Sat 15 Jun 2030 -> Tue "
        "15 Jun 2032"
    )
    assert "through Tue 15 Jun 2032" not in kept(["records", "show", "1", *NOW])[1]
    kept(["rules", "add", "longer.yaml", *NOW])
    assert "through Tue 15 Jun 2032" in kept(["records", "show", "1", *NOW])[1]


def test_many_records_are_told_together(kept: Run) -> None:
    """More than five are counted, with the earliest and the latest day of each side."""
    lines = [
        f"pasture-sd,2027-06-{day:02},05:00,06:00,tg46,odile,Section {day},Thistle-Out 4"
        for day in range(3, 9)
    ]
    head = "job,day,start,end,aircraft,pilot,place,product"
    Path("t.csv").write_text("\n".join([head, *lines, ""]), encoding="utf-8")
    assert kept(["records", "import", "t.csv", *NOW])[0] == 0
    Path("longer.yaml").write_text(LONGER, encoding="utf-8")

    assert list_days(kept, "longer.yaml") == (
        "records of pasture-sd 7 records, kept through: earliest Mon 3 Jun 2030, latest Sat 15 "
        "Jun 2030 -> earliest Thu 3 Jun 2032, latest Tue 15 Jun 2032"
    )


def test_rules_that_keep_alike_name_no_day(kept: Run) -> None:
    """Another title changes a row and no day."""
    name = write_south_dakota(
        lambda text: text.replace("Keep the record of", "Store the record of")
    )

    out = kept(["rules", "diff", "--shipped", name, *NOW])[1]

    assert "No day of Sandbur Flats Aerial LLC changes." in out
