"""Amounts in words, as checks are written; the words are common English, no source."""

from decimal import Decimal

import pytest

from compliance.engine.number_words import read_dollars, say_dollars


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("five dollars", "5"),
        ("Five and 00/100", "5"),
        ("Five and no/100 dollars only", "5"),
        ("*** THIRTY-FIVE and 50/100 ***", "35.5"),
        ("thirty five dollars and fifty cents", "35.5"),
        ("one hundred and five dollars", "105"),
        ("One Thousand Two Hundred Forty Dollars", "1240"),
        ("twelve thousand", "12000"),
    ],
)
def test_read_dollars(text: str, amount: str) -> None:
    """Hyphens, capitals, stars and `only` change nothing."""
    assert read_dollars(text) == Decimal(amount)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "filled",
        "fife dollars",
        "dollars",
        "hundred",
        "five and up",
        "5.00",
        "five five",
        "one fifty",
        "cents",
    ],
)
def test_read_dollars_gives_nothing_for_other_words(text: str) -> None:
    """A word that is not understood makes the whole unread, never a part of it."""
    assert read_dollars(text) is None


def test_say_dollars_reads_back() -> None:
    """Every amount said is read as itself."""
    amounts = [Decimal(cents) / 100 for cents in range(0, 99_999_900, 7_919)]

    assert [one for one in amounts if read_dollars(say_dollars(one)) != one] == []
    assert say_dollars(Decimal("5.00")) == "five dollars"
    assert say_dollars(Decimal("1240.50")) == "one thousand two hundred forty and 50/100 dollars"


@pytest.mark.parametrize("amount", ["-1", "1000000"])
def test_say_dollars_refuses_what_no_check_says(amount: str) -> None:
    """A negative amount or a million is a mistake of the caller."""
    with pytest.raises(ValueError, match="no amount of a check"):
        say_dollars(Decimal(amount))
