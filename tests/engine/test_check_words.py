"""Texts of papers compared letter for letter, and told apart in words."""

from decimal import Decimal

import pytest

from compliance.engine.check_words import (
    is_company_name,
    is_placeholder,
    is_same_phone,
    parse_amount,
    say_difference,
)

NAME = "Sandbur Flats Aerial LLC"


@pytest.mark.parametrize(
    ("got", "said"),
    [
        (NAME, ""),
        (f"  {NAME} ", ""),
        ("Sandbur  Flats Aerial LLC", "the blanks between the words differ"),
        ("SANDBUR FLATS AERIAL LLC", "capital and small letters differ"),
        ("Sandbur Flats Aerial, LLC", "a comma too many"),
        ("Sandbur Flats Aerial", "`LLC` is missing"),
        ("Sandbur Flats Aerial L.L.C.", "a period too many (3 times)"),
        ("Sandbur Flats Aerial Inc", "`Inc` in place of `LLC`"),
        ("SandburFlats Aerial LLC", "a blank is missing"),
        ("The Sandbur Flats Aerial LLC", "`The` too many"),
        ("", "`Sandbur Flats Aerial LLC` is missing"),
    ],
)
def test_say_difference(got: str, said: str) -> None:
    assert say_difference(NAME, got) == said


def test_say_difference_names_a_mark_in_place_of_another() -> None:
    assert say_difference("O'Neal", "O\u2019Neal") == "`\u2019` in place of an apostrophe"


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("5", Decimal(5)),
        ("$5.00", Decimal("5.00")),
        ("1,240.5", Decimal("1240.5")),
        ("5 dollars", Decimal(5)),
        ("5.005", None),
        ("five", None),
        ("", None),
    ],
)
def test_parse_amount(text: str, amount: Decimal | None) -> None:
    assert parse_amount(text) == amount


@pytest.mark.parametrize(
    ("name", "company"),
    [
        ("Burrell Implement LLC", True),
        ("Burrell L.L.C.", True),
        ("Odile Ferrant", False),
        ("", False),
    ],
)
def test_is_company_name(name: str, *, company: bool) -> None:
    assert is_company_name(name) is company


@pytest.mark.parametrize(
    ("text", "placeholder"), [("____", True), ("[ ]", True), ("Custer", False), ("", False)]
)
def test_is_placeholder(text: str, *, placeholder: bool) -> None:
    assert is_placeholder(text) is placeholder


@pytest.mark.parametrize(
    ("says", "same"),
    [
        ("402/555.0143", True),
        ("+1 402/555-0143", True),
        ("1-402-555-0143", True),
        ("402-555-0143 or 402-555-0999", False),
        ("402-555-0143/402-555-0999", False),
        ("402-555-0143, (402) 555-0143", True),
        ("402/555-0999", False),
        ("555-0143", False),
        ("", False),
    ],
)
def test_telephones_are_compared_digit_for_digit(says: str, same: bool) -> None:
    """Marks and the country code 1 count for nothing: North American Numbering Plan, memory."""
    assert is_same_phone(says, "+1 (402) 555-0143") is same
