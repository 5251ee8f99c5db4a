"""plan, today, why as a user types them."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from compliance.app.demo import LOG
from compliance.engine.plan_model import Plan
from compliance.outputs.plan_json import compute_plan_document
from compliance.outputs.plan_text import render_plan_text

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]
SCHEMA = json.loads(
    (Path(__file__).parents[1] / "data" / "plan.schema.json").read_text(encoding="utf-8")
)


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG])[0] == 0
    return loaded


def test_plan_is_the_demo_plan(logged: Run, demo_plan: Plan) -> None:
    assert logged(["plan", *ON]) == (0, render_plan_text(demo_plan), "")


def test_plan_json_is_the_demo_plan(logged: Run, demo_plan: Plan) -> None:
    code, out, err = logged(["plan", *ON, "--format", "json"])

    assert (code, err) == (0, "")
    assert json.loads(out) == compute_plan_document(demo_plan)


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
    assert "Fri 22 Jan 2027" not in out


def test_why_paper_packet_and_step(logged: Run) -> None:
    for name in (
        "faa.registration-n",
        "faa.registration-n:tg46",
        "faa.registration-n:tg46/mail",
        "faa.registration-n:tg46/mail~2",
    ):
        code, out, err = logged(["why", name, *ON])

        assert (code, err) == (0, "")
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
