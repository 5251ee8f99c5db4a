"""``mailby renewals`` and the renewals in the calendar file, as a user types them."""

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from compliance.app.demo import LOG
from compliance.engine.ledger import CANCELLED_PREFIX

Run = Callable[[list[str]], tuple[int, str, str]]
GOLDEN = Path(__file__).parents[1] / "golden"
ON = ["--on", "2027-01-11"]
SCHEMA = json.loads(
    (Path(__file__).parents[1] / "data" / "renewals.schema.json").read_text(encoding="utf-8")
)
Draft = jsonschema.Draft202012Validator
HINT = "  hint: give from 1 to 10 years, and a day before 2069\n"


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"])[0] == 0
    return loaded


def test_renewals_of_the_demo(logged: Run) -> None:
    text = (GOLDEN / "renewals.txt").read_text(encoding="utf-8")

    assert logged(["renewals", *ON]) == (0, text, "")


def test_renewals_as_json(logged: Run) -> None:
    code, out, err = logged(["renewals", *ON, "--years", "1", "--format", "json"])

    assert (code, err) == (0, "")
    document = json.loads(out)
    assert document["through"] == "2028-01-11"
    assert [(one["packet"], one["ends_on"], one["in_hand"]) for one in document["ends"]] == [
        ("faa.pilot-recency:wren", "2027-07-31", True),
        ("ins.liability", "2027-10-31", True),
        ("ne.aerial-business", "2027-12-31", False),
    ]
    assert "not legal advice" in document["caution"]


@pytest.mark.parametrize("years", ["0", "11", "-1"])
def test_years_nobody_can_look_ahead_are_refused(logged: Run, years: str) -> None:
    assert logged(["renewals", *ON, "--years", years]) == (
        3,
        "",
        f"renewals cannot be looked at {years} years ahead\n{HINT}",
    )


def events(path: str) -> dict[str, str]:
    """Give the title of each entry of a calendar file by its uid, folded lines put together."""
    found = {}
    text = Path(path).read_bytes().decode().replace("\r\n ", "")
    for block in text.split("BEGIN:VEVENT")[1:]:
        own = block.partition("BEGIN:VALARM")[0]
        lines = dict(line.split(":", 1) for line in own.splitlines() if ":" in line)
        found[lines["UID"]] = lines["SUMMARY"]
    return found


@pytest.mark.parametrize("years", ["1", "3", "10"])
@pytest.mark.parametrize("day", ["2027-01-11", "2027-08-01"])
def test_json_follows_its_schema(logged: Run, day: str, years: str) -> None:
    """Checked by the package jsonschema; nothing but what the schema names is written."""
    Draft.check_schema(SCHEMA)
    _, out, _ = logged(["renewals", "--on", day, "--years", years, "--format", "json"])
    document = json.loads(out)

    Draft(SCHEMA, format_checker=Draft.FORMAT_CHECKER).validate(document)
    assert document["ends"]
    broken = document | {"ends": [document["ends"][0] | {"ends_on": "soon"}]}
    with pytest.raises(jsonschema.ValidationError):
        Draft(SCHEMA, format_checker=Draft.FORMAT_CHECKER).validate(broken)


def test_calendar_holds_renewals_when_asked(logged: Run) -> None:
    """The entries have ids of their own that stay, and stay until they are taken off."""
    assert logged(["calendar", *ON, "-o", "plain.ics"])[0] == 0
    assert logged(["calendar", *ON, "-o", "ahead.ics", "--years", "2"])[0] == 0
    assert logged(["calendar", *ON, "-o", "again.ics", "--years", "2"])[0] == 0
    plain, ahead, again = (events(f"{one}.ics") for one in ("plain", "ahead", "again"))

    more = {uid: title for uid, title in ahead.items() if uid not in plain}
    assert ahead == again
    assert set(plain) < set(ahead)
    assert (
        "Renewal opens: Registration of a small aircraft (Part 48\\, online)\\, TG-18"
        in " ".join(more.values())
    )
    code, out, _ = logged(["calendar", *ON, "-o", "kept.ics"])
    assert code == 0
    assert "0 taken off" in out
    assert "Renewals of 2 years ahead are in it; --years 0 takes them off.\n" in out
    assert events("kept.ics") == ahead
    code, out, _ = logged(["calendar", *ON, "-o", "plain.ics", "--years", "0"])
    assert code == 0
    assert "--years" not in out
    assert f"{len(more)} taken off" in out
    gone = {uid: title for uid, title in events("plain.ics").items() if uid in more}
    assert gone == {uid: f"{CANCELLED_PREFIX}{title}" for uid, title in more.items()}
    assert "0 taken off" in logged(["calendar", *ON, "-o", "plain.ics"])[1]


def test_calendar_stays_the_same_thing_when_a_renewal_comes_nearer(logged: Run) -> None:
    """A year on, the last day of the insurance is the same entry, now of the paper in hand."""
    assert logged(["calendar", *ON, "-o", "one.ics", "--years", "2"])[0] == 0
    assert logged(["calendar", "--on", "2027-02-11", "-o", "two.ics", "--years", "2"])[0] == 0
    one, two = events("one.ics"), events("two.ics")

    name = "Mail the renewal: Nebraska commercial applicator license\\, aerial category\\, Odile"
    (first,) = [uid for uid, title in one.items() if title.startswith(name)]
    (second,) = [uid for uid, title in two.items() if title.startswith(name)]
    assert first == second


def test_too_many_years_leave_the_calendar_alone(logged: Run, isolated: Path) -> None:
    code, out, err = logged(["calendar", *ON, "-o", "none.ics", "--years", "99"])

    assert (code, out) == (3, "")
    assert err.startswith("renewals cannot be looked at 99 years ahead\n")
    assert not (isolated / "none.ics").exists()
    assert "Renewals of" not in logged(["calendar", *ON, "-o", "none.ics"])[1]


def test_one_job_and_two_are_said_in_plain_grammar(run: Run, demo_file: Path) -> None:
    """A season may lie in two years: work of November comes yearly beside that of February."""
    text = demo_file.read_text(encoding="utf-8")
    jobs, papers = text.index("jobs:\n"), text.index("\npapers:\n")
    rest = "state: NE, for_hire: yes, restricted_use: yes, aircraft: tg46, pilots: odile}\n"
    fall = f"  - {{id: fall, first_day: 2027-11-05, last_day: 2027-11-20, {rest}"
    winter = f"  - {{id: winter, first_day: 2028-02-05, last_day: 2028-02-20, {rest}"

    def say(*lines: str) -> str:
        whole = f"{text[:jobs]}jobs:\n{''.join(lines)}{text[papers:]}"
        demo_file.write_text(whole, encoding="utf-8")
        assert run(["load", str(demo_file)])[0] == 0
        return " ".join(run(["renewals", "--years", "3", *ON])[1].split())

    assert "Reckoned as if winter came back every year on the same days:" in say(winter)
    both = say(fall, winter)
    assert "Reckoned as if fall and winter came back every year on the same days:" in both
    assert "for fall of 2028" in both


def test_papers_that_ended_stand_first_in_words_and_as_json(logged: Run) -> None:
    """Wren's recency of the demo ends with July 2027; own-quarter goes on through 7 August."""
    out = logged(["renewals", "--on", "2027-08-01"])[1]
    ends = json.loads(logged(["renewals", "--on", "2027-08-01", "--format", "json"])[1])["ends"]

    assert out.partition("\n\n2027\n")[0].partition("ENDED AND STILL NEEDED\n")[2] == (
        "  ended Sat 31 Jul 2027, 1 day ago: Remote pilot's 24-month knowledge, Wren\n"
        "    Castellow\n"
        "      LATE: the last day at usual pace was Sat 31 Jul 2027; file or do it now,\n"
        "        as it was to be in hand by Sat 31 Jul 2027 for own-quarter of 2027\n"
        "      nothing that needs it flies until a new one is in hand\n"
        "      `mailby rules show faa.pilot-recency` (14 CFR 107.65; the text itself was\n"
        "        read)"
    )
    assert [one["packet"] for one in ends if one["ended"]] == ["faa.pilot-recency:wren"]
    assert (ends[0]["ended"], ends[0]["in_hand"], ends[0]["ends_on"]) == (True, False, "2027-07-31")


MORE = """\
papers:
  - {paper: faa.exemption, holder: operation, issued_on: 2026-01-05, valid_through: 2028-01-31}
  - {paper: faa.airspace-authorization, holder: operation, issued_on: 2026-02-05,
     valid_through: 2028-01-31}
"""


@pytest.fixture
def two_papers(run: Run, demo_file: Path) -> Callable[[str], tuple[str, str]]:
    """Give the lines of the exemption and of the COA, both through 31 January 2028, as of a day."""
    text = demo_file.read_text(encoding="utf-8")
    demo_file.write_text(text.replace("papers:\n", MORE, 1), encoding="utf-8")
    assert run(["load", str(demo_file)])[0] == 0

    def say(day: str) -> tuple[str, str]:
        out = " ".join(run(["renewals", "--on", day])[1].split())
        parts = out.split("last day of ")
        exemption, coa = (
            next(part for part in parts if part.startswith(name))
            for name in ("Exemption for", "Blanket airspace")
        )
        return exemption, coa

    return say


def test_renewal_has_one_last_day_and_is_late_only_after_it(
    two_papers: Callable[[str], tuple[str, str]], run: Run
) -> None:
    """120 days before 31 January 2028 is Sunday 3 October 2027 (14 CFR 11.63(d))."""
    wants = (
        "the rule wants it by Sun 3 Oct 2027, a day on which its office is closed; whether a "
        "filing of that day counts is not known, so file"
    )
    for day in ("2027-09-20", "2027-10-01"):
        said = two_papers(day)[0]
        assert "by Fri 1 Oct 2027 at the last" in said
        assert f"{wants} by Fri 1 Oct 2027 `mailby" in said
        assert "LATE" not in said
    after = two_papers("2027-10-02")[0]
    assert "LATE: the last day to file the renewal was Fri 1 Oct 2027, and it cannot be" in after
    assert f"{wants} at once and ask `mailby" in after
    duties = " ".join(run(["duties", "--on", "2027-09-20"])[1].split())
    assert "by Fri 1 Oct 2027, in 11 days: Petition to extend the exemption filed" in duties


def find_end(run: Run, day: str, packet: str) -> dict[str, object]:
    """Give the end of a packet's paper in hand, from JSON that follows its schema."""
    code, out, _ = run(["renewals", "--on", day, "--format", "json"])
    document = json.loads(out)
    assert code == 0
    Draft(SCHEMA, format_checker=Draft.FORMAT_CHECKER).validate(document)
    found: dict[str, object] = next(
        one for one in document["ends"] if (one["packet"], one["term"]) == (packet, 0)
    )
    return found


@pytest.mark.usefixtures("two_papers")
def test_day_to_rely_on_duty_and_gap_are_in_the_json(run: Run) -> None:
    """The days are those of the two tests beside this one; the gap begins the day after the end."""
    for day, missed in (("2027-09-20", None), ("2027-10-02", "2027-10-01")):
        exemption = find_end(run, day, "faa.exemption")
        assert [exemption[name] for name in ("renew_by", "file_by", "renew_by_missed")] == [
            "2027-10-03",
            "2027-10-01",
            missed,
        ]
        assert exemption["lapse_if_sent"] is None
    coa = find_end(run, "2027-09-20", "faa.airspace-authorization")

    assert (coa["renew_by"], coa["file_by"]) == (None, None)
    assert coa["lapse_if_sent"] == {"from": "2028-02-01", "through": coa["send_by_last"]}
    assert coa["duties_to_file"] == [
        {
            "duty": "faa.airspace-authorization.renew",
            "title": "Renewal of the authorization filed",
            "by": "2027-11-23",
            "own_document": "",
            "citation": "public COAs",
            "confidence": "memory",
        }
    ]


def read_entry(path: str, words: str) -> dict[str, str]:
    """Give the lines of the one entry whose title begins with some words."""
    text = Path(path).read_bytes().decode().replace("\r\n ", "")
    (block,) = [one for one in text.split("BEGIN:VEVENT")[1:] if f"\nSUMMARY:{words}" in one]
    own = block.partition("BEGIN:VALARM")[0]
    return dict(line.split(":", 1) for line in own.splitlines() if ":" in line)


@pytest.mark.usefixtures("two_papers")
def test_last_day_to_renew_stands_on_the_day_to_rely_on(run: Run) -> None:
    """Friday 1 October; once that is past the same entry moves to the rule's Sunday (RFC 5546)."""
    name = "Exemption for spraying with unmanned aircraft"
    moved = f"File the renewal by today (the rule says Sun 3 Oct 2027): {name}"
    for day in ("2027-09-20", "2027-10-02"):
        assert run(["calendar", "--on", day, "-o", f"{day}.ics", "--years", "2"])[0] == 0
    before = read_entry("2027-09-20.ics", moved)
    after = read_entry("2027-10-02.ics", f"Rule's last day to renew: {name}")

    assert before["DTSTART;VALUE=DATE"] == "20271001"
    assert "the rule wants it by Sun 3 Oct 2027" in before["DESCRIPTION"]
    assert "so file by Fri 1 Oct 2027" in before["DESCRIPTION"]
    assert after["DTSTART;VALUE=DATE"] == "20271003"
    assert "so file at once and ask" in after["DESCRIPTION"]
    assert before["UID"] == after["UID"]
    assert (before["SEQUENCE"], after["SEQUENCE"]) == ("0", "1")


@pytest.mark.usefixtures("two_papers")
def test_last_day_to_renew_is_taken_back_once_the_renewal_is_filed(run: Run) -> None:
    """Filed on Monday 20 September, well before 1 October: nothing is left to file."""
    words = "File the renewal by today (the rule says Sun 3 Oct 2027)"
    assert run(["calendar", "--on", "2027-09-20", "-o", "one.ics", "--years", "2"])[0] == 0
    filed = ["log", "mailed", "faa.exemption", "--on", "2027-09-20", "--today", "2027-09-21"]
    assert run([*filed, "--anyway", "told"])[0] == 0
    assert run(["calendar", "--on", "2027-09-21", "-o", "two.ics", "--years", "2"])[0] == 0

    before = read_entry("one.ics", words)
    after = read_entry("two.ics", f"{CANCELLED_PREFIX}{words}")

    assert before["UID"] == after["UID"]


def test_renewal_names_the_duty_and_the_gap(
    two_papers: Callable[[str], tuple[str, str]],
) -> None:
    """45 federal working days before 31 January 2028, from memory as the table's row says.

    November has the 11th and 25th, December the 24th (for the 25th), January the 17th and, for
    1 January, Friday 31 December (5 USC 6103).
    """
    said = two_papers("2027-09-20")[1]

    assert (
        "a day after Mon 31 Jan 2028 leaves a gap: the paper is needed again for pasture-ne of "
        "2028 on Wed 24 May 2028, and nothing that needs it flies in between "
        "`mailby duties` asks for it by Tue 23 Nov 2027: Renewal of the authorization filed "
        "(public COAs; from memory, not read)" in said
    )
    assert (
        "`mailby duties` asked for it by Tue 23 Nov 2027: Renewal of the authorization filed"
        in two_papers("2027-11-24")[1]
    )
