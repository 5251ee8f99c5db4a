"""Own terms against the table; the grant and its conditions are invented."""

import pytest

from compliance.app.demo import FACTS
from compliance.app.facts_file import parse_facts
from compliance.base.problems import DataProblemsError
from compliance.rules.model import RulesTable

PAPER = """
  - paper: faa.airspace-authorization
    holder: operation
    issued_on: 2027-03-10
    valid_through: 2029-03-10
    own_terms:
"""


def load(demo_files: dict[str, str], table: RulesTable, terms: str) -> list[str]:
    """Give the messages for the demo's file with one more paper; its lines begin at 84."""
    text = demo_files[FACTS].replace("papers:\n", f"papers:{PAPER}{terms}", 1)
    try:
        parse_facts(text, "farm.yaml", table)
    except DataProblemsError as error:
        return [str(problem).partition(": ")[2] for problem in error.problems]
    return []


@pytest.mark.parametrize(
    ("terms", "messages"),
    [
        (
            (
                "      - {duty: faa.airspace-authorization.notam, count: 48, unit: hours, "
                "opens: 168, document: item 7}\n"
            ),
            [],
        ),
        ("      - {duty: faa.exemption.monthly-report, applies: no, document: grant}\n", []),
        (
            (
                "      - {duty: faa.airspace-authorization.notams, count: 48, unit: hours, "
                "document: item 7}\n"
            ),
            [
                (
                    "F63 the duty `faa.airspace-authorization.notams` is not in the rules table\n"
                    "  hint: did you mean `faa.airspace-authorization.notam`?"
                )
            ],
        ),
        (
            (
                "      - {duty: faa.airspace-authorization.monthly-report, count: 48, unit: hours, "
                "document: item 9}\n"
            ),
            [
                (
                    "F64 your own term for `faa.airspace-authorization.monthly-report` counts "
                    "hours from `month-flown`, which has no hour\n"
                    "  hint: read item 9 again; mailby rules show "
                    "faa.airspace-authorization.monthly-report says how it counts"
                )
            ],
        ),
        (
            (
                "      - {duty: faa.airspace-authorization.notam, count: 24, unit: hours, "
                "opens: 24, document: item 7}\n"
            ),
            [
                (
                    "F64 your own term for `faa.airspace-authorization.notam` opens 24 hours "
                    "before its event but closes at 24\n"
                    "  hint: read item 7 again; mailby rules show faa.airspace-authorization.notam "
                    "says how it counts"
                )
            ],
        ),
        (
            "      - {duty: faa.airspace-authorization.notam, count: 24, document: item 7}\n",
            [
                (
                    "F03 a term of paper `faa.airspace-authorization` lacks `unit`\n"
                    "  hint: add a line `unit: ...`"
                )
            ],
        ),
        (
            (
                "      - {duty: faa.airspace-authorization.notam, count: 24, unit: hours, "
                "document: item 7}\n"
                "      - {duty: faa.airspace-authorization.notam, count: 48, unit: hours, "
                "document: item 8}\n"
            ),
            [
                (
                    "F12 `own_terms` of paper `faa.airspace-authorization` names "
                    "`faa.airspace-authorization.notam` twice\n"
                    "  hint: keep the one your document has"
                )
            ],
        ),
    ],
)
def test_own_terms_are_held_to_the_table(
    terms: str, messages: list[str], demo_files: dict[str, str], table: RulesTable
) -> None:
    assert load(demo_files, table, terms) == messages
