"""How the elements of a record are read; limits and units are our own."""

import pytest

from compliance.facts.record_elements import ELEMENTS, PRODUCT_KEYS, RECORD_KEYS, ElementKind
from compliance.facts.record_values import Unread, read_value


@pytest.mark.parametrize(
    ("name", "text", "kept"),
    [
        ("day", "2028-02-29", "2028-02-29"),
        ("start", "6:10", "06:10"),
        ("end", "23:59", "23:59"),
        ("area", " 12.5 ", "12.5"),
        ("temperature", "-5", "-5"),
        ("re-entry", "0", "0"),
        ("amount", "12.5 Gal.", "12.5 gal"),
        ("amount", "3FL OZ", "3 fl oz"),
        # 40 CFR 156.10(e): company and product number, a distributor's third (from memory).
        ("registration", "EPA Reg. No. 99999-1", "99999-1"),
        ("registration", "99999-1-88888", "99999-1-88888"),
        # 40 CFR 162.153: state code and six digits for special local needs (from memory).
        ("registration", "SLN No. NE-270001", "NE-270001"),
        ("registration", "Exempt", "exempt"),
        ("place", "gate 5, section 9", "gate 5, section 9"),
    ],
)
def test_value_is_kept_as(name: str, text: str, kept: str) -> None:
    assert read_value(ELEMENTS[name], text) == kept


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("day", "2027-02-29", "the day of the application is '2027-02-29', which is no date"),
        ("start", "24:00", "the time it began is '24:00', which is no time"),
        ("area", "40 ac", "the area treated in acres is '40 ac', which is no number"),
        ("wind-speed", "101", "the wind speed in miles an hour is 101; it must be 0 to 100"),
        (
            "re-entry",
            "1.5",
            "the restricted-entry interval in hours is '1.5', which is no number",
        ),
        ("amount", "12", "the total amount of the product is '12', which is no amount"),
        ("amount", "0 gal", "the total amount of the product is nothing"),
        (
            "amount",
            "2 gals",
            "the total amount of the product is in 'gals', a unit that is not known here",
        ),
        ("registration", "1", "the EPA registration number is '1', which does not look like one"),
        ("place", "", "the place of the application is empty"),
        ("place", "a\nb", "the place of the application runs over several lines"),
        ("place", "x" * 2001, "the place of the application has 2,001 characters; at most 2,000"),
    ],
)
def test_what_is_no_value_is_said(name: str, text: str, sentence: str) -> None:
    found = read_value(ELEMENTS[name], text)

    assert isinstance(found, Unread)
    assert found.sentence == sentence
    assert found.hint


def test_keys_cover_the_closed_list_once() -> None:
    plain = [one for one in ELEMENTS.values() if one.kind is not ElementKind.EITHER]

    assert set(RECORD_KEYS.values()) | set(PRODUCT_KEYS.values()) == set(plain)
    assert not set(RECORD_KEYS) & set(PRODUCT_KEYS)
    assert all(part in ELEMENTS for one in ELEMENTS.values() for part in one.either)
