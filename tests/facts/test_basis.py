"""Where a row comes from."""

from datetime import date

import pytest

from compliance.base.problems import Problem
from compliance.base.reading import Reader
from compliance.base.sources import parse_yaml
from compliance.facts.basis import (
    WORDS_OF_CONFIDENCE,
    Basis,
    Confidence,
    Inherited,
    parse_basis,
)

FULL = "cite: 14 CFR 48.100\nedition: e\nconfidence: read\nreviewed: 2026-11-25\nnote: n\n"


def read(text: str, inherited: Inherited) -> tuple[Basis, list[Problem]]:
    root, faults = parse_yaml(text, "rule.yaml")
    assert root is not None
    reader = Reader(root, "the row", "R", list(faults))
    basis = parse_basis(reader, inherited)
    reader.finish()
    return basis, reader.problems


def test_parse_basis_own_values_come_first() -> None:
    inherited = Inherited(edition="older", reviewed_on=date(2020, 1, 1))

    assert read(FULL, inherited) == (
        Basis(
            citation="14 CFR 48.100",
            edition="e",
            confidence=Confidence.READ,
            reviewed_on=date(2026, 11, 25),
            note="n",
        ),
        [],
    )


def test_parse_basis_takes_the_rest_from_the_file() -> None:
    inherited = Inherited(edition="older", reviewed_on=date(2020, 1, 1))

    assert read("cite: c\nconfidence: second-hand\n", inherited) == (
        Basis(
            citation="c",
            edition="older",
            confidence=Confidence.SECOND_HAND,
            reviewed_on=date(2020, 1, 1),
        ),
        [],
    )


@pytest.mark.parametrize("word", ["memory", "common-practice"])
def test_parse_basis_what_was_not_read_takes_no_edition(word: str) -> None:
    """Else a row from memory would seem to rest on the edition its paper was read in."""
    inherited = Inherited(edition="older", reviewed_on=date(2020, 1, 1))
    basis, problems = read(f"cite: c\nconfidence: {word}\n", inherited)

    assert problems == []
    assert basis.edition == "none read"


def test_parse_basis_nothing_given_and_nothing_to_take() -> None:
    basis, problems = read("{}", Inherited())

    assert basis.reviewed_on == date.min
    assert [problem.sentence for problem in problems] == [
        "the row lacks `confidence`",
        "the row lacks `edition`",
        "the row lacks `reviewed`",
        "the row lacks `cite`",
    ]


def test_every_confidence_has_words() -> None:
    assert set(WORDS_OF_CONFIDENCE) == set(Confidence)
    assert len(set(WORDS_OF_CONFIDENCE.values())) == len(Confidence)
