"""``mailby trips`` and the trips in ``today``, as a user types them."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.app.demo import LOG

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]
GOLDEN = Path(__file__).parents[1] / "golden"


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"])[0] == 0
    return loaded


def test_trips_of_the_demo(logged: Run) -> None:
    text = (GOLDEN / "trips.txt").read_text(encoding="utf-8")

    assert logged(["trips", *ON]) == (0, text, "")


def test_trips_json(logged: Run) -> None:
    code, out, err = logged(["trips", *ON, "--format", "json"])

    assert (code, err) == (0, "")
    assert out == (GOLDEN / "trips.json").read_text(encoding="utf-8")
    assert "not legal advice" in json.loads(out)["caution"]


def test_days_nobody_can_go_may_stand_several_times(logged: Run) -> None:
    out = logged(["trips", *ON, "--no-trip", "2027-01-12", "--no-trip", "2027-01-14"])[1]

    assert "Tue 12 Jan 2027, tomorrow" not in out
    assert "Thu 14 Jan 2027, in 3 days" not in out
    assert "TRIP 1, Mon 18 Jan 2027" in out


def test_day_for_a_chance_that_is_sooner_than_the_trip_is_named(logged: Run) -> None:
    """A first spray in July moves the trip into March; the days are those that the plan says."""
    assert logged(["what-if", "--first-spray", "2027-07-19", "--keep", *ON])[0] == 0
    code, out, err = logged(["trips", *ON])
    tree = json.loads(logged(["trips", *ON, "--format", "json"])[1])
    plan = " ".join(logged(["plan", *ON])[1].split())

    assert (code, err) == (0, "")
    assert (
        """
GO SOONER for more certainty, as `mailby plan` says under CHANCES
  - Nebraska commercial applicator license, aerial category, Wren Castellow, for
    90 % even if it comes back once: mail by Wed 24 Feb 2027, sooner than its
    trip, Sat 6 Mar 2027 (88 %)
  - South Dakota commercial applicator license, Odile Ferrant, for 90 % even if
    it comes back once: mail by Wed 24 Feb 2027, sooner than its trip, Sat 6 Mar
    2027 (88 %)
  - South Dakota commercial applicator license, Wren Castellow, for 90 % even if
    it comes back once: mail by Thu 25 Feb 2027, sooner than its trip, Sat 6 Mar
    2027 (88 %)

TRIP 1, """
    ) in out
    assert [(one["packet"], one["by"]) for one in tree["go_sooner"]] == [
        ("ne.commercial-applicator:wren", "2027-02-24"),
        ("sd.commercial-applicator:odile", "2027-02-24"),
        ("sd.commercial-applicator:wren", "2027-02-25"),
    ]
    assert tree["go_sooner"][0] == {
        "packet": "ne.commercial-applicator:wren",
        "chance": 0.9,
        "if_it_comes_back_once": True,
        "by": "2027-02-24",
        "planned_on": "2027-03-06",
        "chance_then": 0.88,
        "first": [],
    }
    for day in ("Wed 24 Feb 2027", "Thu 25 Feb 2027"):
        said = f"mail by {day}; that is sooner than its trip to town, Sat 6 Mar 2027 (88 %)"
        assert said in plan


def test_exam_that_must_come_before_a_sooner_mailing_is_named(logged: Run) -> None:
    """With the registration on its way no drive is needed soon, and the exams are set for March."""
    assert logged(["what-if", "--first-spray", "2027-07-19", "--keep", *ON])[0] == 0
    sent = ["faa.registration-n:tg46", "--on", "2027-01-12", "--today", "2027-01-13"]
    for kind in ("signed", "notarized"):
        assert logged(["log", kind, *sent])[0] == 0
    assert logged(["log", "mailed", *sent, "--anyway", "tried"])[0] == 0
    day = ["--on", "2027-01-13"]
    out = logged(["trips", *day])[1]
    tree = json.loads(logged(["trips", *day, "--format", "json"])[1])

    assert (
        """
  - South Dakota commercial applicator license, Wren Castellow, for 90 % even if
    it comes back once: mail by Thu 25 Feb 2027, sooner than its trip, Sat 6 Mar
    2027 (88 %); before it must come `Pass the general and the category exams,
    with photo ID`, now planned on Fri 5 Mar 2027

TRIP 1, Fri 5 Mar 2027, in 51 days
"""
    ) in out
    assert [one["first"] for one in tree["go_sooner"]] == [
        [{"step": f"{packet}/test", "planned_on": "2027-03-05"}]
        for packet in (
            "ne.commercial-applicator:wren",
            "sd.commercial-applicator:odile",
            "sd.commercial-applicator:wren",
        )
    ]


def test_week_to_wait_begins_on_the_first_day_it_can_be_done(logged: Run) -> None:
    """The license can go on 23 March, when the certificate is there; a week later is the 30th.

    Before, it was 12 April: the first day if everything before it began only after the safe day.
    """
    change = ["--mail", "all=express", "--first-spray", "2027-06-10", "--keep"]
    assert logged(["what-if", *change, *ON])[0] == 0
    out = logged(["trips", *ON])[1]

    assert (
        """
TRIP 3, Tue 23 Mar 2027, in 71 days
  because of: Mail the packet at the counter and keep the proof - Nebraska
    aerial pesticide business license: by Tue 30 Mar 2027, the end of the 7 days
    it may wait for other errands, because no room is left for a return; the
    last day in time is Tue 11 May 2027
"""
    ) in out


def test_drive_after_all_that_the_plan_names_is_named(logged: Run) -> None:
    """Nobody can leave from 26 April to 1 May, planting; the exemption is overdue."""
    day = ["--on", "2027-03-15"]
    code, out, err = logged(["trips", *day])
    tree = json.loads(logged(["trips", *day, "--format", "json"])[1])
    plan = " ".join(logged(["plan", *day])[1].split())

    assert (code, err) == (0, "")
    assert (
        "\n`mailby plan` says what would help pasture-ne, and names a day to go to town\n"
        "after all: Mon 26 Apr 2027\n"
    ) in out
    assert tree["drives_that_help"] == [{"on": "2027-04-26", "jobs": ["pasture-ne"]}]
    assert "- go to town on Mon 26 Apr 2027 after all (planting corn, " in plan


def test_until_a_past_day_is_refused(logged: Run) -> None:
    assert logged(["trips", *ON, "--until", "2027-01-01"]) == (
        3,
        "",
        (
            "the day Fri 1 Jan 2027 is past; today is Mon 11 Jan 2027\n"
            "  hint: give a day to come with --until, or leave it out\n"
        ),
    )


def test_no_trip_that_is_no_day_is_explained(logged: Run) -> None:
    code, out, err = logged(["trips", "--no-trip", "tomorow"])

    assert (code, out) == (2, "")
    assert "'tomorow' is no day from 2000 to 2079" in " ".join(err.split())


def test_today_shows_the_trips_of_the_week_with_what_to_bring(logged: Run) -> None:
    out = " ".join(logged(["today", *ON])[1].split())

    assert "TRIP TO TOWN, Tue 12 Jan 2027 (tomorrow); all of it: mailby trips" in out
    assert "Bring: - " in out
    assert "Tue 23 Mar 2027" not in out


@pytest.mark.parametrize(
    ("places", "problem"),
    [
        (
            'places:\n  - {kind: notary, name: Own Bank, days: [tue], hours: "16:30-9:00"}\n',
            "F14 `hours` of place `Own Bank` end before they begin: 16:30-9:00",
        ),
        (
            "places:\n  - {kind: notary, name: Own Bank, days: [thuesday]}\n",
            (
                "F05 `days` of place `Own Bank` holds 'thuesday'; allowed: mon, tue, wed, thu, "
                "fri, sat, sun"
            ),
        ),
        (
            "closures:\n  - {who: vehicle, first_day: 2027-02-12, last_day: 2027-02-11}\n",
            (
                "F14 the closure of vehicle ends on Thu 11 Feb 2027, before it begins on Fri 12 "
                "Feb 2027"
            ),
        ),
    ],
)
def test_bad_places_and_windows_are_refused_and_nothing_is_kept(
    run: Run, isolated: Path, demo_files: dict[str, str], places: str, problem: str
) -> None:
    text = demo_files["sandbur_flats.yaml"]
    farm = text[: text.index("closures:")] + places
    (isolated / "farm.yaml").write_text(farm, encoding="utf-8")
    line = farm.count("\n")

    code, out, err = run(["load", "farm.yaml"])

    assert (code, out) == (3, "")
    assert err.startswith(f"farm.yaml:{line}:")
    assert problem in err
    assert err.endswith("1 problem; nothing was changed\n")
    assert run(["show"])[0] == 4


def test_places_come_back_from_export(run: Run, isolated: Path, demo_files: dict[str, str]) -> None:
    places = """\
places:
  - kind: notary
    name: Invented Bank
    town: Burrell Crossing
    days: [tue, thu]
    hours: "9:00-12:00, 13:00-16:30"
    phone: "402-555-0150"
  - kind: office
    name: Town hall
    days: [mon, wed]
    hours:
      mon: "9:00-12:00"
"""
    text = demo_files["sandbur_flats.yaml"].partition("places:")[0] + places
    (isolated / "farm.yaml").write_text(text, encoding="utf-8")

    loaded = run(["load", "farm.yaml"])
    exported = run(["export"])[1]
    shown = run(["show"])[1]
    (isolated / "again.yaml").write_text(exported, encoding="utf-8")

    assert (
        "added notary Invented Bank, Burrell Crossing: tue, thu; 9:00-12:00, 13:00-16:30; "
        "402-555-0150 added office Town hall: mon, wed; mon 9:00-12:00 Next: mailby plan"
    ) in " ".join(loaded[1].split())
    assert exported.endswith(places)
    assert "in town      notary: Invented Bank, Burrell Crossing, tue thu 9:00-12:00 and" in shown
    assert run(["load", "again.yaml"])[1] == "Sandbur Flats Aerial LLC: nothing has changed\n"


def test_calendar_says_how_many_entries_wait_for_an_overdue_paper(
    logged: Run, isolated: Path
) -> None:
    """The exemption is overdue on 12 February: two filings, a mailing, its start and its trip."""
    logged(["calendar", "-o", "d.ics", "--on", "2027-02-01"])

    out = logged(["calendar", "-o", "d.ics", "--on", "2027-02-12"])[1]

    said = "5 entries have no day now, until a paper is here that an office is overdue with."
    assert said in " ".join(out.split())
    assert "0 taken off" in out.splitlines()[0]
    assert (isolated / "d.ics").read_text().count("No day yet: ") == 5

    again = logged(["calendar", "-o", "d.ics", "--on", "2027-05-22"])[1]

    said = "5 entries have no day, as before, until a paper is here that an office is overdue with."
    assert said in " ".join(again.split())
    assert (isolated / "d.ics").read_text().count("No day yet: ") == 5
