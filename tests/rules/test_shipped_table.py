"""The rules and forms that mailby ships are sound, and as wide as the operation's choices."""

from pathlib import Path

import pytest

from compliance.base.sources import parse_yaml
from compliance.facts.basis import Confidence
from compliance.facts.model import MailService
from compliance.rules.checks import check_table
from compliance.rules.model import RulesTable, StepKind
from compliance.rules.overrides import find_overridable
from compliance.rules.parse import parse_table

ROOT = Path(__file__).parents[2]
RULES = sorted((ROOT / "compliance" / "rules" / "table").glob("*.yaml"))
FORMS = sorted((ROOT / "forms_templates").glob("*.yaml"))


@pytest.fixture(name="table", scope="module")
def read_table() -> RulesTable:
    table, problems = parse_table({path.name: path.read_text(encoding="utf-8") for path in RULES})
    assert problems == ()
    return table


def test_shipped_table_passes_every_check_with_the_shipped_forms(table: RulesTable) -> None:
    forms = frozenset(path.stem for path in FORMS)

    assert [str(problem) for problem in check_table(table, forms)] == []


@pytest.mark.parametrize("path", [*RULES, *FORMS], ids=lambda path: str(path.stem))
def test_shipped_file_is_plain_yaml_in_lines_that_end(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    root, problems = parse_yaml(text, path.name)

    assert root is not None
    assert problems == ()
    assert text.endswith("\n")
    assert "\t" not in text


def test_every_mail_service_has_its_row(table: RulesTable) -> None:
    assert {row.id for row in table.services} == {f"mail.{service}" for service in MailService}


def test_every_state_file_is_named_after_its_state(table: RulesTable) -> None:
    files = {path.stem for path in RULES}

    assert {code.lower() for code in table.states} <= files


def test_every_guess_can_be_replaced_by_the_users_own_value(table: RulesTable) -> None:
    """Days that nobody published are of no use when a user who knows better cannot change them."""
    guesses = [
        row
        for row in table.steps
        if row.kind is StepKind.WAIT
        and not row.mail
        and row.basis.confidence in {Confidence.COMMON_PRACTICE, Confidence.MEMORY}
    ]

    assert guesses != []
    assert [row.id for row in guesses if not find_overridable(row)] == []


def test_rows_whose_sources_conflict_say_how(table: RulesTable) -> None:
    doubtful = [row for row in table.rows if row.basis.confidence is Confidence.CONFLICTING]

    assert [row.id for row in doubtful if not row.basis.note] == []


def test_every_office_that_sends_packets_back_says_how_often(table: RulesTable) -> None:
    """The share is a planning guess almost everywhere, and each row says so."""
    rows = [row for row in table.steps if row.return_path]

    assert [row.id for row in rows if row.comes_back is None] == []
    sources = {row.comes_back.cite for row in rows if row.comes_back is not None}
    assert all("planning guess, no source" in source for source in sources)
