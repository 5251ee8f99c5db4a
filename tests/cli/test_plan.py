"""plan, today, why as a user types them."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from compliance.app.demo import FACTS, LOG
from compliance.engine.plan_model import Plan
from compliance.outputs.plan_json import compute_plan_document
from compliance.outputs.plan_text import render_plan_text

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]
PACKET = "sd.commercial-applicator:odile"
SCHEMA = json.loads(
    (Path(__file__).parents[1] / "data" / "plan.schema.json").read_text(encoding="utf-8")
)


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"]) == (
        0,
        "6 entries added to the log\n",
        "",
    )
    return loaded


def test_plan_is_the_demo_plan(logged: Run, demo_shown: Plan) -> None:
    assert logged(["plan", *ON]) == (0, render_plan_text(demo_shown), "")


def test_plan_json_is_the_demo_plan(logged: Run, demo_shown: Plan) -> None:
    code, out, err = logged(["plan", *ON, "--format", "json"])

    assert (code, err) == (0, "")
    assert json.loads(out) == compute_plan_document(demo_shown)


def test_plan_chance_moves_the_mail_by_days(logged: Run) -> None:
    """More certainty asks for an earlier day; the chances themselves are the same."""
    found = []
    for chance in ("0.5", "90%", "0.99"):
        code, out, err = logged(["plan", *ON, "--format", "json", "--chance", chance])
        assert (code, err) == (0, "")
        found.append(json.loads(out)["chances"])
    days = [
        next(one["mail_by"] for one in chances["packets"] if one["packet"] == PACKET)
        for chances in found
    ]

    assert [chances["wanted"] for chances in found] == [0.5, 0.9, 0.99]
    assert found[0]["jobs"] == found[1]["jobs"] == found[2]["jobs"]
    assert days[0] > days[1]
    assert days[2] is None or days[1] > days[2]


@pytest.mark.parametrize("typed", ["0.49", "1", "0.999", "-0.9", "nan", "inf", "much", "", "49 %"])
def test_plan_chance_out_of_reach_is_refused(logged: Run, typed: str) -> None:
    assert logged(["plan", *ON, "--chance", typed]) == (
        3,
        "",
        (
            f"a chance to plan for is a number from 0.5 to 0.99, not {typed!r}\n"
            "  hint: 0.9 stands for nine seasons in ten; nothing is certain enough for more than "
            "0.99\n"
        ),
    )


@pytest.mark.parametrize("day", ["2026-06-01", "2027-05-01", "2027-07-20", "2027-12-01"])
def test_plan_json_keeps_its_shape_on_other_days(loaded: Run, day: str) -> None:
    out = loaded(["plan", "--on", day, "--format", "json"])[1]

    jsonschema.Draft202012Validator(
        SCHEMA, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    ).validate(json.loads(out))


def test_plan_on_another_day_changes_nothing_kept(logged: Run) -> None:
    first = logged(["plan", *ON])
    logged(["plan", "--on", "2027-06-01"])

    assert logged(["plan", *ON]) == first


def test_plan_first_spray_is_tried_and_not_kept(logged: Run) -> None:
    before = logged(["plan", *ON])
    code, out, err = logged(["plan", *ON, "--first-spray", "2027-06-01"])

    assert (code, err) == (0, "")
    assert "First spray Tue 1 Jun 2027" in out
    assert logged(["plan", *ON]) == before


def test_plan_first_spray_past_is_refused(logged: Run) -> None:
    assert logged(["plan", *ON, "--first-spray", "2027-01-10"]) == (
        3,
        "",
        (
            "the first spray Sun 10 Jan 2027 is past; today is Mon 11 Jan 2027\n"
            "  hint: give a day to come, or plan as of an earlier day with --on\n"
        ),
    )


def test_plan_late_is_10_only_when_asked(logged: Run) -> None:
    late = ["plan", *ON, "--first-spray", "2027-02-10"]
    code, out, _ = logged(late)
    asked = logged([*late, "--fail-if-late"])

    assert (code, "WHAT WOULD HELP" in out) == (0, True)
    assert asked == (10, out, "")


def test_plan_in_time_is_0_when_asked(logged: Run) -> None:
    assert logged(["plan", *ON, "--fail-if-late"])[0] == 0


@pytest.fixture
def grounded(run: Run, isolated: Path, demo_files: dict[str, str]) -> Run:
    """The command with one job, on own land, whose exemption runs out on 24 July, in the midst."""
    text = demo_files[FACTS]
    jobs, own = text.index("  - id: pasture-ne"), text.index("  - id: own-quarter")
    rest, papers = text.index("  - id: cover-crop"), text.index("papers:\n")
    held = (
        "papers:\n"
        "  - {paper: faa.exemption, issued_on: 2025-07-24, valid_through: 2027-07-24}\n"
        "  - {paper: faa.ag-operator, issued_on: 2025-08-01, valid_through: open}\n"
    )
    text = text[:jobs] + text[own:rest] + held + text[papers:].removeprefix("papers:\n")
    (isolated / "own.yaml").write_text(text, encoding="utf-8")
    assert run(["load", "own.yaml"])[0] == 0
    return run


@pytest.mark.parametrize(("day", "code"), [("2027-01-11", 0), ("2027-06-01", 10)])
def test_plan_gap_is_10_when_asked(grounded: Run, day: str, code: int) -> None:
    """A renewal begun in January is there in time; one begun in June is not."""
    shown = grounded(["plan", "--on", day])
    asked = grounded(["plan", "--on", day, "--fail-if-late"])

    assert (shown[0], "LATE by" in shown[1], "GROUNDED" in shown[1]) == (0, False, code == 10)
    assert asked == (code, *shown[1:])


def test_today_names_a_grounded_job(grounded: Run) -> None:
    out = grounded(["today", "--on", "2027-06-01"])[1]
    in_time = grounded(["today", *ON])[1]

    assert (
        "! own-quarter is grounded after Sat 24 Jul 2027: faa.exemption runs out, and a new one "
        "can be there on Sun 24 Oct 2027"
    ) in " ".join(out.split())
    assert "grounded" not in in_time


@pytest.mark.parametrize("day", ["1999-12-31", "2080-01-01", "9999-12-31", "2027-02-30", "soon"])
@pytest.mark.parametrize("option", ["--on", "--first-spray"])
def test_plan_day_out_of_reach_says_which_can_be_typed(run: Run, option: str, day: str) -> None:
    code, out, err = run(["plan", option, day])

    assert (code, out) == (2, "")
    assert f"'{day}' is no day from 2000 to 2079; write year-month-day, such as 2027-05-24" in (
        " ".join(err.replace("│", " ").split())
    )


@pytest.mark.parametrize("day", ["2000-01-01", "2079-12-31"])
def test_plan_first_and_last_day_can_be_typed(loaded: Run, day: str) -> None:
    assert loaded(["plan", "--on", day])[0] == 0


def test_plan_today_is_the_day_on_the_wall(logged: Run) -> None:
    assert logged(["plan", "--on", "today"]) == logged(["plan"])


def test_plan_long_after_the_season(loaded: Run) -> None:
    code, out, err = loaded(["plan", "--on", "2030-01-01"])

    assert (code, err) == (0, "")
    assert out.startswith("Sandbur Flats Aerial LLC, as of Tue 1 Jan 2030\n")


def test_today_names_what_falls_in_the_week(logged: Run) -> None:
    code, out, err = logged(["today", *ON])

    assert (code, err) == (0, "")
    assert out.startswith("Sandbur Flats Aerial LLC: Mon 11 Jan 2027 and the next seven days\n")
    assert "Tue 12 Jan 2027 (tomorrow): Mail the packet at the counter" in out
    assert "\nFri 22 Jan 2027" not in out  # no line of its own, though a limit may name it


def test_why_paper_packet_and_step(logged: Run) -> None:
    for name in (
        "faa.registration-n",
        "faa.registration-n:tg46",
        "faa.registration-n:tg46/mail",
        "faa.registration-n:tg46/mail~2",
    ):
        code, out, err = logged(["why", name, *ON])

        assert (code, err) == (0, "")
        assert "What sets the safe day (slow times, this packet comes back once)" in " ".join(
            out.split()
        )
        assert out.endswith("ask a licensed professional when in doubt.\n")


def test_why_paper_of_several_holders_tells_each(logged: Run) -> None:
    out = logged(["why", "faa.remote-pilot", *ON])[1]

    assert out.count("Remote pilot certificate is needed for ") == 2


@pytest.mark.parametrize("command", ["why", "packet"])
def test_unknown_name_gives_a_hint(logged: Run, command: str) -> None:
    code, out, err = logged([command, "faa.exemtion", *ON])

    assert (code, out) == (4, "")
    assert err.endswith("  hint: did you mean `faa.exemption`?\n")


def test_own_value_shows_wherever_it_counts(logged: Run, isolated: Path) -> None:
    row = "faa.registration-n.review"
    before = logged(["plan", *ON])[1]
    logged(["rules", "set", row, "days.usual", "30", "--because", "the office said a month", *ON])
    plan = logged(["plan", *ON])[1]
    why = logged(["why", "faa.registration-n:tg46/mail", *ON])[1]
    logged(["packet", "faa.registration-n", "-o", "p", *ON])
    checklist = (isolated / "p" / "faa.registration-n_tg46_checklist.md").read_text("utf-8")
    logged(["rules", "unset", row, "days.usual"])

    assert "the office said a month" not in before
    assert [
        "the office said a month" in " ".join(text.split()) for text in (plan, why, checklist)
    ] == [
        True,
        True,
        True,
    ]
    assert logged(["plan", *ON])[1] == before


def test_own_value_moves_the_last_day_by_as_much(logged: Run) -> None:
    """Review takes 21 calendar days in the table; nine more move the last day nine days back."""

    def last(out: str) -> date:
        papers = json.loads(out)["papers"]
        (paper,) = [one for one in papers if one["packet"] == "faa.registration-n:tg46"]
        (step,) = [one for one in paper["steps"] if one["step"].endswith("/transit~2")]
        return date.fromisoformat(step["last"])

    shown = ["plan", *ON, "--format", "json"]
    before = last(logged(shown)[1])
    logged(["rules", "set", "faa.registration-n.review", "days.usual", "30", "--because", "b", *ON])

    assert (before - last(logged(shown)[1])).days >= 9
