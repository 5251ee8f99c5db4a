"""Gap rows: what the table has no rule for. The examples are invented."""

import pytest

from compliance.base.problems import SourceRef
from compliance.facts.basis import Confidence
from compliance.rules.checks_editions import check_ids
from compliance.rules.model import GapAbout, GapRow, RulesTable
from compliance.rules.parse import parse_table

HEAD = """\
authority: An example
reviewed: 2026-11-25
gaps:
"""
GAP = """\
  - id: xx.insurance
    title: Insurance in an example
    state: WY
    about: insurance
    what: for how much cover must be shown
    cite: looked for in an example code; not found
    edition: of 2026
    confidence: read
"""

NO_SUCH_SUBJECT = (
    "xx.yaml:7:12: R05 `about` of a gap is 'hangars'; allowed: papers, exams, expiry, "
    "renewal, insurance, records, notices, order, fees\n"
)
NO_SUCH_KEY = (
    "xx.yaml:11:5: R02 a gap has an entry `ask` that is not known here\n"
    "  hint: known here: id, title, when, confidence, edition, reviewed, cite, note, "
    "review_by, applies_from, applies_until, replaces, because, state, about, what\n"
)


def parse_gaps(text: str) -> tuple[RulesTable, str]:
    table, problems = parse_table({"xx.yaml": HEAD + text})
    return table, "".join(f"{problem}\n" for problem in problems)


def test_gap_is_read_with_all_it_says() -> None:
    """Every key of a gap ends up in its row, and the row counts among all rows."""
    table, problems = parse_gaps(GAP)

    (row,) = table.gaps
    assert problems == ""
    assert table.rows == (row,)
    assert isinstance(row, GapRow)
    assert (row.id, row.title, row.state, row.about, row.what) == (
        "xx.insurance",
        "Insurance in an example",
        "WY",
        GapAbout.INSURANCE,
        "for how much cover must be shown",
    )
    assert row.place == SourceRef(file="xx.yaml", line=4, column=5)
    assert row.basis.citation == "looked for in an example code; not found"
    assert row.basis.confidence is Confidence.READ


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "state: WY",
            "state: Wyoming",
            "xx.yaml:6:12: R16 'Wyoming' is no state code\n",
        ),
        (
            "about: insurance",
            "about: hangars",
            NO_SUCH_SUBJECT,
        ),
        (
            "    what: for how much cover must be shown\n",
            "",
            "xx.yaml:4:5: R03 a gap lacks `what`\n  hint: add a line `what: ...`\n",
        ),
        (
            "    edition: of 2026\n",
            "    edition: of 2026\n    ask: the agency\n",
            NO_SUCH_KEY,
        ),
    ],
)
def test_gap_that_cannot_be_read_is_a_problem(old: str, new: str, expected: str) -> None:
    """A gap is read as strictly as any other row."""
    assert old in GAP

    _, problems = parse_gaps(GAP.replace(old, new))

    assert problems == expected


def test_gap_that_stands_twice_is_a_problem() -> None:
    """Two gaps of one id for the same days are found."""
    table, _ = parse_gaps(GAP + GAP)

    said = "".join(f"{problem}\n" for problem in check_ids(table))

    assert said == (
        "xx.yaml:12:5: R31 the gap `xx.insurance` stands twice for the same days; "
        "first at xx.yaml:4\n"
        "  hint: give it another id, or `applies_from` and `applies_until` of its own\n"
    )
