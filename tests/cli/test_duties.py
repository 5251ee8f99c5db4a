"""The command `duties`, and duties in `today` and `plan`, on the demo's invented farm."""

import inspect
import json
import shlex
from collections.abc import Callable
from pathlib import Path

from compliance.app.demo import FACTS
from compliance.cli.duties import duties
from compliance.outputs.duties_text import DAYS

Run = Callable[[list[str]], tuple[int, str, str]]
FLIGHT = (
    'log flew pasture-ne --from "2027-05-24 06:10" --to 07:45 --aircraft tg46 --pilot odile '
    "--today 2027-05-25"
)


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_duties_before_the_season(loaded: Run) -> None:
    code, out, err = loaded(["duties", "--on", "2027-05-22", "--days", "2"])
    text = one_line(out)

    assert (code, err) == (0, "")
    assert out.startswith(
        "Sandbur Flats Aerial LLC: duties around flying, as of Sat 22 May 2027\n\n"
        "DUE TODAY, AND BEFORE THE NEXT FLIGHTS\n"
        "  on Sat 22 May 2027, today: Notice to pilots (NOTAM) filed before the flight\n"
        "      for a flight of pasture-ne on Mon 24 May 2027; only if it may fly: first\n"
    )
    assert "this day is right whatever hour you start" in text
    assert "COAs of the earlier blanket family; from memory, not read" in text
    assert (
        "when it is done: mailby log did faa.airspace-authorization.notam/pasture-ne@2027-05-24"
        in text
    )
    assert "After an accident help the injured first" in text
    assert "No paper makes a flight safe" in text
    assert "the label decides" in text
    assert "A planning aid, not legal advice." in text


def test_overdue_duty_says_what_to_do(loaded: Run) -> None:
    loaded(shlex.split(FLIGHT))

    text = one_line(loaded(["duties", "--on", "2027-05-27"])[1])

    assert "OVERDUE since Tue 25 May 2027 07:45 CDT: Post the application" in text
    assert "2 days late; do it now, and write down why it is late" in text


def test_missed_notice_says_that_the_flight_waits(loaded: Run) -> None:
    text = one_line(loaded(["duties", "--on", "2027-05-23"])[1])

    assert "DUE TODAY, AND BEFORE THE NEXT FLIGHTS TOO LATE for an early start tomorrow" in text
    assert "TOO LATE for an early start tomorrow: Notice to pilots (NOTAM)" in text
    assert "once it is told the flight must wait 24 hours" in text


def test_missed_notice_of_a_day_that_can_have_no_start_in_time(loaded: Run) -> None:
    text = one_line(loaded(["duties", "--on", "2027-05-24"])[1])
    today = one_line(loaded(["today", "--on", "2027-05-24"])[1])
    plan = one_line(loaded(["plan", "--on", "2027-05-24"])[1])

    for said in (text, today, plan):
        assert "TOO LATE for any start today: Notice to pilots (NOTAM)" in said
        assert "TOO LATE for an early start tomorrow: Notice to pilots (NOTAM)" in said
    assert "on Mon 24 May 2027, today: Notice to pilots (NOTAM)" in text
    assert "on Mon 24 May 2027, today: Notice to pilots (NOTAM)" in today


def test_everything_lists_what_only_happens_sometimes(loaded: Run) -> None:
    loaded(shlex.split(FLIGHT))
    loaded(["log", "did", "epa.worker-posting", "--today", "2027-05-25"])

    text = one_line(loaded(["duties", "--on", "2027-05-26", "--all"])[1])

    assert "DONE Tue 25 May 2027: Post the application where workers see it" in text
    assert (
        "Registry told of a change of mailing address: 30 days after the day the mailing address "
        "changes 14 CFR 47.45; tell it with `mailby log moved`" in text
    )
    assert "KEPT, OR GOOD, THROUGH A DAY" in text


def test_duties_of_one_job_as_json(loaded: Run) -> None:
    loaded(shlex.split(FLIGHT))

    code, out, _ = loaded(
        ["duties", "--job", "pasture-ne", "--format", "json", "--on", "2027-05-24", "--days", "3"]
    )
    found = json.loads(out)

    assert code == 0
    assert {one["job"] for one in found["duties"]} == {"pasture-ne"}
    posting = next(one for one in found["duties"] if one["duty"] == "epa.worker-posting")
    assert posting == {
        "id": "epa.worker-posting/flight-1",
        "duty": "epa.worker-posting",
        "title": "Post the application where workers see it",
        "kind": "post",
        "what": posting["what"],
        "what_replaced": False,
        "count": 24,
        "unit": "hours",
        "citation": "40 CFR 170.311(b)",
        "confidence": "second-hand",
        "own_document": None,
        "holder": {"kind": "operation", "id": ""},
        "for": "the flight of Mon 24 May 2027 06:10 to 07:45 CDT, pasture-ne",
        "job": "pasture-ne",
        "event_on": "2027-05-24",
        "opens": None,
        "due_on": "2027-05-25",
        "due_at": "2027-05-25T07:45:00-05:00",
        "hour_unknown": False,
        "hour_fault": None,
        "start_from": None,
        "record": None,
        "records": [],
        "lacks": [],
        "hours_without_record": [],
        "careful_practice": False,
        "pack": None,
        "state": "open",
        "done_on": None,
        "needed_by_a_job": True,
        "less_strict": [],
        "not_before_by": None,
        "no_moment_suits": [],
    }
    assert found["flights_without_record"] == [
        {
            "flight": 1,
            "job": "pasture-ne",
            "on": "2027-05-24",
            "due_on": "2027-05-26",
            "due_at": "2027-05-26T07:45:00-05:00",
            "careful_practice": False,
            "records": [],
            "hours_without_record": [],
        }
    ]
    assert found["if_it_happens"] == []
    assert found["cautions"][-1].startswith("A planning aid, not legal advice.")


def test_unknown_job_is_said(loaded: Run) -> None:
    assert loaded(["duties", "--job", "pasture", "--on", "2027-05-24"]) == (
        4,
        "",
        "no job is called 'pasture'\n  hint: did you mean `pasture-sd`?\n",
    )


def test_own_document_is_named_wherever_the_duty_is(run: Run, demo_file: Path) -> None:
    paper = """papers:
  - paper: faa.airspace-authorization
    issued_on: 2027-03-10
    valid_through: 2029-03-10
    own_terms:
      - {duty: faa.airspace-authorization.notam, count: 48, unit: hours, document: "item 7"}
"""
    text = demo_file.read_text(encoding="utf-8").replace("papers:\n", paper, 1)
    demo_file.write_text(text, encoding="utf-8")
    assert run(["load", FACTS])[0] == 0

    listed = one_line(run(["duties", "--on", "2027-05-20"])[1])
    today = one_line(run(["today", "--on", "2027-05-20"])[1])
    run(["calendar", "-o", "a.ics", "--on", "2027-05-20"])
    calendar = Path("a.ics").read_bytes().replace(b"\r\n ", b"").decode()
    as_json = json.loads(run(["duties", "--format", "json", "--on", "2027-05-20"])[1])
    notams = [one for one in as_json["duties"] if one["duty"].endswith(".notam")]

    assert "by Fri 21 May 2027, tomorrow: Notice to pilots (NOTAM)" in listed
    assert "from your own document: item 7; otherwise COAs" in listed
    assert "Notice to pilots (NOTAM) filed before the flight, for a flight of" in today
    assert "(your own document: item 7)" in today
    assert "from your own document: item 7\\; otherwise COAs" in calendar
    assert {one["own_document"] for one in notams} == {"item 7"}


OWN_TERMS = """papers:
  - paper: faa.airspace-authorization
    issued_on: 2027-03-10
    valid_through: 2029-03-10
    own_terms:
      - {duty: faa.airspace-authorization.notam, count: 48, unit: hours, document: "item 7"}
      - {duty: faa.exemption.monthly-report, applies: no, document: "no such condition"}
  - paper: faa.pilot-recency
    holder: odile
    issued_on: 2026-02-09
    valid_through: 2028-02-29
    own_terms:
      - {duty: faa.remote-pilot.address-change, count: 10, unit: days, document: "a letter"}
"""


def load_own_terms(run: Run, demo_file: Path) -> None:
    """Load the demo's farm with a grant and a pilot's paper that have terms of their own."""
    text = demo_file.read_text(encoding="utf-8").replace("papers:\n", OWN_TERMS, 1)
    odile = text.index("  - paper: faa.pilot-recency             #")
    wren = text.index("  - paper: faa.pilot-recency             #", odile + 1)
    demo_file.write_text(text[:odile] + text[wren:], encoding="utf-8")
    assert run(["load", FACTS])[0] == 0


def test_own_terms_of_what_has_not_begun_come_before_the_rule(run: Run, demo_file: Path) -> None:
    """A pilot's own term counts for that pilot; the other goes by the rule (14 CFR 107.77)."""
    load_own_terms(run, demo_file)

    listed = one_line(run(["duties", "--all", "--on", "2027-05-20"])[1])

    assert (
        "10 days after the day the permanent mailing address changes, by your own document for "
        "odile: a letter; tell it with `mailby log moved` in place of the rule: Airmen "
        "Certification told of a new permanent mailing address (14 CFR 107.77) "
    ) in listed
    assert (
        "Airmen Certification told of a new permanent mailing address for wren: 30 days after the "
        "day the permanent mailing address changes 14 CFR 107.77;"
    ) in listed
    assert listed.index("from your own document: item 7") < listed.index(
        "the rule's own words, in place of which your document counts: Not later than 24"
    )


def test_rule_shown_says_first_what_the_holders_document_says(run: Run, demo_file: Path) -> None:
    """The row's own numbers stay, marked as replaced, and for whom."""
    load_own_terms(run, demo_file)

    notam = one_line(run(["rules", "show", "faa.airspace-authorization.notam"])[1])
    report = one_line(run(["rules", "show", "faa.exemption.monthly-report"])[1])
    address = one_line(run(["rules", "show", "faa.remote-pilot.address-change"])[1])

    assert (
        "! what counts: 48 hours before the planned start of the flight, by your own document: "
        "item 7, while that paper is in force, from Wed 10 Mar 2027 through Sat 10 Mar 2029 due "
        "(replaced by your own document) 24 hours before the planned start of the flight; counts: "
        "filed not before (replaced by your own document) 72 hours"
    ) in notam
    assert "what (replaced by your own document) Not later than 24" in notam
    assert (
        "! not asked for, by your own document: no such condition, while that paper is in force, "
        "from Wed 10 Mar 2027 through Sat 10 Mar 2029 due (replaced by your own document) 7 "
        "day-of-next-month after"
    ) in report
    assert (
        "! what counts for odile: 10 days after the day the permanent mailing address changes, by "
        "your own document: a letter, while that paper is in force, from Mon 9 Feb 2026 through "
        "Tue 29 Feb 2028 due (replaced for odile by your own document) 30 days after"
    ) in address
    assert "replaced" not in run(["rules", "show", "faa.registration-small.update"])[1]


def test_month_without_a_flight_is_reported_all_the_same(run: Run, demo_file: Path) -> None:
    """5 federal working days after 31 March 2027 (practitioner page; 5 USC 6103)."""
    paper = "papers:\n  - {paper: faa.airspace-authorization, issued_on: 2027-03-10, "
    paper += "valid_through: 2029-03-10}\n"
    text = demo_file.read_text(encoding="utf-8").replace("papers:\n", paper, 1)
    demo_file.write_text(text, encoding="utf-8")
    assert run(["load", FACTS])[0] == 0

    out = one_line(run(["today", "--on", "2027-04-01"])[1])

    assert (
        "by Wed 7 Apr 2027, in 6 days: Monthly report, also for a month without flights, for the "
        "month of Mar 2027, flights or none" in out
    )


def test_plan_shows_the_next_duties_in_short(loaded: Run) -> None:
    text = one_line(loaded(["plan", "--on", "2027-01-11"])[1])

    assert "DUTIES AROUND FLYING on Sat 22 May 2027, in 131 days: Notice to pilots" in text
    assert "and 5 later; `mailby duties --days 366` lists them" in text


def test_calendar_counts_the_reports_older_than_it_shows(run: Run, demo_file: Path) -> None:
    """Every month of the exemption from January 2025 is a report; the last year's are shown."""
    paper = """papers:
  - paper: faa.exemption
    issued_on: 2025-01-10
    valid_through: 2029-03-10
"""
    text = demo_file.read_text(encoding="utf-8").replace("papers:\n", paper, 1)
    demo_file.write_text(text, encoding="utf-8")
    assert run(["load", FACTS])[0] == 0
    words = (
        "19 older duties are still open and not on the calendar: `mailby duties --all` lists them."
    )

    said = one_line(run(["calendar", "-o", "a.ics", "--on", "2027-08-20"])[1])
    calendar = Path("a.ics").read_bytes().replace(b"\r\n ", b"").decode()
    as_json = json.loads(run(["duties", "--format", "json", "--on", "2027-08-20"])[1])

    assert as_json["older_left_out"] == 19
    assert words in said
    assert calendar.count(words) == 1
    assert "older" not in run(["calendar", "-o", "b.ics", "--on", "2025-12-20"])[1]


def test_many_flights_are_one_line_and_one_tick(loaded: Run) -> None:
    """A month of flying must not bury what is due today; the tick takes what the line told of."""
    for day in range(24, 30):
        flown = FLIGHT.replace("05-25", "06-01").replace("05-24", f"05-{day}")
        assert loaded(shlex.split(flown))[0] == 0

    text = one_line(loaded(["duties", "--on", "2027-06-08"])[1])
    today = one_line(loaded(["today", "--on", "2027-06-08"])[1])
    every = loaded(["duties", "--all", "--on", "2027-06-08"])[1]

    told = "6 flights of pasture-ne, Mon 24 May 2027 to Sat 29 May 2027, each by its own time"
    tick = "mailby log did epa.worker-posting/flight-6 --and-before"
    assert text.count("Post the application where workers see it") == 1
    assert f"for {told}, not ticked off" in text
    assert f"for {told}, not ticked off" in today
    assert f"when all are done: {tick}" in text
    assert every.count("OVERDUE since") >= 6

    done = loaded([*shlex.split(tick)[1:], "--on", "2027-06-08", "--today", "2027-06-08"])[1]

    assert one_line(done).count("done: Post the application where workers see it") == 6
    assert done.count("done: ") == 6
    assert "Post the application" not in one_line(loaded(["duties", "--on", "2027-06-08"])[1])


def test_flights_of_more_than_a_year_ago_are_counted(loaded: Run) -> None:
    """A copy that nobody ticked off does not stand in every morning's list for ever."""
    loaded(shlex.split(FLIGHT))

    soon = one_line(loaded(["today", "--on", "2028-05-31"])[1])
    later = one_line(loaded(["today", "--on", "2028-06-01"])[1])
    every = one_line(loaded(["duties", "--all", "--on", "2028-06-01"])[1])

    assert "OVERDUE since Tue 25 May 2027 07:45 CDT: Post the application" in soon
    assert "OVERDUE since Tue 25 May 2027" not in later
    assert (
        "1 older flight is left out, from Mon 24 May 2027 on: Post the application where workers "
        "see it; `mailby duties --all` lists them, `mailby log did epa.worker-posting/flight-1 "
        "--and-before` ticks them" in later
    )
    assert "OVERDUE since Tue 25 May 2027 07:45 CDT: Post the application" in every


def test_what_is_due_today_stands_before_what_is_overdue(loaded: Run) -> None:
    """The list is read in a pickup at dawn; an old thing must not push today's off the screen."""
    for day in (24, 26):
        loaded(shlex.split(FLIGHT.replace("05-25", "06-01").replace("05-24", f"05-{day}")))

    today = one_line(loaded(["today", "--on", "2027-05-27"])[1])
    duties = one_line(loaded(["duties", "--on", "2027-05-27"])[1])

    new, old = "by Thu 27 May 2027 07:45 CDT, today: Post", "OVERDUE since Tue 25 May 2027 07:45"
    assert 0 < today.index(new) < today.index(old)
    assert duties.index("DUE TODAY, AND") < duties.index(new) < duties.index("OVERDUE since")


def test_plan_counts_as_many_days_ahead_as_the_command_shows() -> None:
    """The plan says how many more the command lists."""
    assert inspect.signature(duties).parameters["days"].default == DAYS
