"""No paper rule of the shipped table is without worked cases, and no case is about nothing."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from compliance.facts.conditions import ALWAYS
from compliance.rules.model import DutyEvent, DutyKind, RulesTable
from compliance.rules.parse import parse_table

HERE = Path(__file__).parent
TABLE = HERE.parents[1] / "compliance" / "rules" / "table"
# Asks whose answer is a day, or that there is none.
ABOUT_DATES = {
    "validity",
    "renewal-opens",
    "renew-by",
    "late-fee-from",
    "reexam-from",
    "last-day",
    "safe-day",
}

Case = dict[str, Any]


@pytest.fixture(name="table", scope="module")
def read_table() -> RulesTable:
    files = {path.name: path.read_text(encoding="utf-8") for path in TABLE.glob("*.yaml")}
    table, problems = parse_table(files)
    assert problems == ()
    return table


@pytest.fixture(name="cases", scope="module")
def read_cases() -> list[Case]:
    found: list[Case] = []
    for path in sorted((HERE / "cases").glob("*.yaml")):
        # Every word stays a text, so that `yes` is not a truth value here and a date there.
        loaded = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506 - makes texts only
        found.extend(loaded["cases"])
    return found


def test_every_paper_has_a_worked_date(table: RulesTable, cases: list[Case]) -> None:
    dated = {case.get("paper") for case in cases if case["ask"] in ABOUT_DATES}

    assert [row.id for row in table.papers if row.id not in dated] == []


def test_every_paper_has_a_case_in_which_it_is_needed(table: RulesTable, cases: list[Case]) -> None:
    asked = [case for case in cases if case["ask"] == "applies"]
    needed = {case["paper"] for case in asked if case["expect"] == "yes"}

    assert [row.id for row in table.papers if row.id not in needed] == []


def test_every_paper_with_a_condition_has_a_case_in_which_it_is_not_needed(
    table: RulesTable, cases: list[Case]
) -> None:
    asked = [case for case in cases if case["ask"] == "applies"]
    spared = {case["paper"] for case in asked if case["expect"] == "no"}
    conditional = [row.id for row in table.papers if row.when != ALWAYS]

    assert conditional != []
    assert [row for row in conditional if row not in spared] == []


def test_every_duty_has_a_case_on_time_and_one_a_day_or_a_minute_later(
    table: RulesTable, cases: list[Case]
) -> None:
    """A duty that only a person can date has a case for its last day alone."""
    good: dict[str, set[str]] = {}
    for case in cases:
        if case["ask"] == "duty-state":
            good.setdefault(case["given"]["duty"], set()).add(case["expect"])
    plain = {case["given"]["duty"] for case in cases if case["ask"] == "duty"}

    missing = []
    for row in table.duties:
        resting = row.kind in {DutyKind.KEEP_RECORD, DutyKind.LAST_DAY}
        first = "running" if resting else "open"
        then = {"gone"} if resting else {"overdue", "gone", "careful-day-past"}
        found = good.get(row.id, set())
        covered = first in found and bool(then & found)
        if not covered and not (row.events == (DutyEvent.OTHER,) and row.id in plain):
            missing.append(row.id)

    assert missing == []


def test_every_case_is_about_a_row_of_the_table_and_names_its_source(
    table: RulesTable, cases: list[Case]
) -> None:
    papers = {row.id for row in table.papers}
    duties = {row.id for row in table.duties}

    lost = [case["name"] for case in cases if case.get("paper", "epa") not in papers | {"epa"}]
    idle = [one["name"] for one in cases if one["given"].get("duty", "") not in duties | {""}]
    bare = [case["name"] for case in cases if not case.get("source", "").strip()]

    assert (lost, idle, bare) == ([], [], [])


def test_no_case_stands_twice(cases: list[Case]) -> None:
    asked = [
        (case["ask"], case.get("paper", ""), tuple(sorted(case["given"].items()))) for case in cases
    ]

    assert [one for one in dict.fromkeys(asked) if asked.count(one) > 1] == []
