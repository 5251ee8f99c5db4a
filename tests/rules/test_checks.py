"""Each case takes a sound invented table and breaks one thing; no outside source is needed."""

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import yaml

from compliance.base.problems import Problem
from compliance.facts.model import MailService
from compliance.rules.checks import check_reviews, check_services, check_table
from compliance.rules.checks_parts import find_circles
from compliance.rules.checks_steps import check_step_days
from compliance.rules.model import RulesTable, StepKind
from compliance.rules.parse import parse_table
from compliance.rules.validity_model import Validity, ValidityKind

SOURCES = Path(__file__).parents[2] / "compliance" / "rules"
DATA = Path(__file__).parents[1] / "data" / "bad_rules" / "checks"
FORMS = frozenset({"a-form", "b-form"})
BASIS = "cite: own example, edition: none, confidence: common-practice"

SOUND = (DATA / "sound.yaml").read_text(encoding="utf-8")
CASES: dict[str, tuple[list[list[str]], str]] = {
    case["name"]: (case["edits"], case["problems"])
    for case in yaml.safe_load((DATA / "cases.yaml").read_text(encoding="utf-8"))["cases"]
}


def _parse(text: str) -> RulesTable:
    table, problems = parse_table({"sound.yaml": text})
    assert problems == ()
    return table


def _say(problems: Iterable[Problem]) -> str:
    return "".join(f"{problem}\n" for problem in problems)


def test_sound_table_has_no_problem() -> None:
    assert check_table(_parse(SOUND), FORMS) == ()


@pytest.mark.parametrize(("edits", "expected"), CASES.values(), ids=CASES)
def test_edited_table_gives_exactly_these_problems(edits: list[list[str]], expected: str) -> None:
    text = SOUND
    for old, new in edits:
        assert old in text
        text = text.replace(old, new.replace("BASIS", BASIS), 1)

    assert _say(check_table(_parse(text), FORMS)) == expected


def test_cases_cover_every_code_the_checks_can_give() -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in SOURCES.glob("checks*.py"))
    by_hand = {"R53"}  # the parser wants days too, so no file gets as far as the check

    codes = {f"R{number}" for number in re.findall(r', "(\d\d)", ', text)}
    tested = {code for _, lines in CASES.values() for code in re.findall(r":\d+: (R\d\d) ", lines)}
    assert codes == tested | by_hand


def test_paper_without_steps_is_a_problem() -> None:
    text = SOUND[: SOUND.rindex("    steps:")] + SOUND[SOUND.rindex("    documents:") :]

    problems = check_table(_parse(text), FORMS)

    expected = "sound.yaml:36:5: R54 paper `b.permit` has no steps\n"
    assert _say(problems) == f"{expected}  hint: add `pattern` or `steps`\n"


def test_row_without_day_of_review_is_a_problem() -> None:
    office = _parse(SOUND).offices[0]
    office = replace(office, basis=replace(office.basis, reviewed_on=date.min))

    problems = check_reviews(RulesTable(offices=(office,)))

    expected = "sound.yaml:11:5: R44 `a.office` has no day of last review\n"
    expected += "  hint: look the rule up again, then write that day as `reviewed`\n"
    assert _say(problems) == expected


def test_table_without_services_lacks_every_mail_service() -> None:
    problems = check_services(RulesTable())

    expected = "".join(
        f"rules table:1:1: R41 there is no row for the mail service `mail.{service}`\n"
        f"  hint: add one with `id: mail.{service}` under `services`\n"
        for service in MailService
    )
    assert _say(problems) == expected


@pytest.mark.parametrize(
    ("validity", "sentence", "hint"),
    [
        (
            Validity(kind=ValidityKind.MONTHS_TO_MONTH_END),
            "paper `b.permit` is valid for 0 months",
            "write the number of months",
        ),
        (
            Validity(kind=ValidityKind.FIXED_DAY),
            "paper `b.permit` ends on a day of the year, but none is written",
            "add `day: MM-DD` to `validity`",
        ),
    ],
)
def test_validity_that_cannot_be_counted_is_a_problem(
    validity: Validity, sentence: str, hint: str
) -> None:
    table = _parse(SOUND)
    license_, permit = table.papers
    permit = replace(permit, validity=validity, notes=("Ask the office.",))

    problems = check_table(replace(table, papers=(license_, permit)), FORMS)

    assert _say(problems) == f"sound.yaml:36:5: R50 {sentence}\n  hint: {hint}\n"


def test_step_without_what_its_kind_needs_is_a_problem() -> None:
    steps = _parse(SOUND).steps
    act = next(step for step in steps if step.name == "apply")
    wait = next(step for step in steps if step.name == "issue")
    notice = replace(wait, kind=StepKind.NOTICE, mail="out")
    table = RulesTable(steps=(replace(act, done_at=""), replace(wait, days=None), notice))

    problems = check_step_days(table)

    expected = (
        "sound.yaml:46:9: R51 step `b.permit.apply` is something to do, but says not where\n"
        "  hint: add a line `done_at: farm`\n"
        "sound.yaml:47:9: R53 step `b.permit.issue` is a wait without days\n"
        "  hint: add a line `days: ...`\n"
        "sound.yaml:47:9: R52 step `b.permit.issue` travels by mail, but its kind is notice\n"
        "  hint: write `kind: wait`, or remove `mail`\n"
    )
    assert _say(problems) == expected


def test_circles_are_named_in_the_order_of_waiting_from_the_first_name() -> None:
    graph = {
        "a": ("b",),
        "b": ("d", "c"),
        "c": (),
        "d": ("b", "nobody"),
        "e": ("f",),
        "f": ("g",),
        "g": ("e",),
        "h": ("h", "e"),
    }

    circles = set(find_circles(graph))

    assert circles == {("b", "d", "b"), ("e", "f", "g", "e"), ("h", "h")}
