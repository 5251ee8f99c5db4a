"""A job that was flown for weeks, and of which a paper has ended, as a user types it.

14 CFR 48.110: the registration of a small aircraft ends; the day is invented. The demo's farm with
one long job and every other paper in hand.
"""

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

Run = Callable[[list[str]], tuple[int, str, str]]
SCHEMA = json.loads(
    (Path(__file__).parents[1] / "data" / "plan.schema.json").read_text(encoding="utf-8")
)
JOB = """\
jobs:
  - {id: corn-ne, first_day: 2027-07-01, last_day: 2027-08-31, state: NE, for_hire: no,
      restricted_use: no, aircraft: [tg46, tg18], pilots: [odile, wren]}
"""
HELD = """
papers:
  - {paper: faa.exemption, holder: operation, valid_through: 2028-06-30}
  - {paper: faa.ag-operator, holder: operation, valid_through: open}
  - {paper: faa.airspace-authorization, holder: operation, valid_through: 2028-06-30}
  - {paper: faa.registration-n, holder: tg46, valid_through: 2032-06-30}
"""
TITLE = "Registration of a small aircraft (Part 48, online), TG-18 18-00204"
NOT_BEFORE = (
    "corn-ne is grounded: one of its papers ended on Mon 16 Aug 2027; it is not lawful before Thu "
    "19 Aug 2027"
)


@pytest.fixture
def farm(run: Run, demo_file: Path) -> Run:
    """The demo's farm, of which TG-18 is registered through 16 August 2027."""
    before, _, after = demo_file.read_text(encoding="utf-8").partition("jobs:\n")
    papers = after.partition("\npapers:\n")[2].replace("2028-06-10", "2027-08-16")
    papers = papers.replace("2027-07-31", "2028-07-31")
    demo_file.write_text(before + JOB + HELD + papers, encoding="utf-8")
    assert run(["load", str(demo_file)])[0] == 0
    return run


def shown(run: Run, *argv: str) -> str:
    """Give what a command prints, without its line breaks."""
    code, out, err = run(list(argv))
    assert (code, err) == (0, "")
    return " ".join(out.split())


def test_plan_says_since_when_it_is_grounded_and_until_when(farm: Run) -> None:
    in_force, text = (shown(farm, "plan", "--on", f"2027-08-{day}") for day in (16, 18))

    assert "GROUNDED" not in in_force
    assert (
        "Now: corn-ne, since Thu 1 Jul 2027, but grounded since Tue 17 Aug 2027, until Thu 19 Aug "
        "2027 at the soonest. ! begun already, and planned as if it goes on: corn-ne JOBS corn-ne, "
        "NE, Thu 1 Jul 2027 to Tue 31 Aug 2027 GROUNDED since Tue 17 Aug 2027, until Thu 19 Aug "
        f"2027 at the soonest: {TITLE} ended on Mon 16 Aug 2027 `mailby go --job corn-ne` says "
        "which aircraft and pilots are in order all the same chance"
    ) in text
    assert (
        "WHAT WOULD HELP Nothing brings corn-ne back sooner: express mail and earlier trips to "
        "town would gain nothing. NEXT"
    ) in text
    assert "LATE by" not in text
    assert "begin corn-ne" not in text


def test_go_says_what_is_in_order_all_the_same(farm: Run) -> None:
    """The line of the plan sends the reader there."""
    text = " ".join(farm(["go", "--job", "corn-ne", "--on", "2027-08-18"])[1].split())

    assert "In order all the same" in text
    assert "TG-46 46-00017 flown by Odile Ferrant" in text
    assert "TG-18 18-00204 flown by" not in text


def test_plan_as_json_has_the_last_day_in_force(farm: Run) -> None:
    code, out, err = farm(["plan", "--on", "2027-08-18", "--format", "json"])

    assert (code, err) == (0, "")
    document = json.loads(out)
    jsonschema.validate(document, SCHEMA)
    (job,) = document["jobs"]
    assert (job["first_lawful_day"], job["late_by_days"]) == ("2027-08-19", 2)
    assert job["in_force_until"] == "2027-08-16"
    assert job["waits_for"] == ["faa.registration-small:tg18"]


def test_grounded_job_fails_a_plan_that_is_to_fail_if_late(farm: Run) -> None:
    assert farm(["plan", "--on", "2027-08-18", "--fail-if-late"])[0] == 10


def test_today_and_the_log_say_that_it_cannot_go_on(farm: Run) -> None:
    today = shown(farm, "today", "--on", "2027-08-18")
    filed = ["log", "paid", "faa.registration-small:tg18", "--on", "2027-08-18"]
    logged = shown(farm, *filed, "--today", "2027-08-18")

    assert f"! {NOT_BEFORE}; `mailby go --job corn-ne` says which aircraft and pilots" in today
    assert "would help" not in today
    assert f"! {NOT_BEFORE}" in logged


def test_calendar_has_its_first_day_as_it_was(farm: Run, isolated: Path) -> None:
    shown(farm, "calendar", "--on", "2027-08-18", "-o", "farm.ics")

    text = (isolated / "farm.ics").read_text(encoding="utf-8")
    assert "SUMMARY:First day of corn-ne" in text
    assert "LATE: First day" not in text


def test_timeline_says_since_when_it_is_grounded(farm: Run, isolated: Path) -> None:
    shown(farm, "timeline", "--on", "2027-08-18", "-o", "season.svg")

    text = (isolated / "season.svg").read_text(encoding="utf-8")
    for words in (
        "GROUNDED: corn-ne since Tue 17 Aug 2027.",
        "GROUNDED since Tue 17 Aug",
        "grounded after Mon 16 Aug",
        "may fly again Thu 19 Aug",
    ):
        assert words in text
    assert "LATE by" not in text
