"""Telephones and e-mail addresses in a line with a name.

Ten digits with an area code: North American Numbering Plan, from memory; the rest common practice.
"""

import pytest

from compliance.engine.contact_words import list_other_contacts

PHONE, EMAIL = "402-555-0143", "office@sandburflats.example"


@pytest.mark.parametrize(
    "line",
    [
        "Odile Ferrant, 402-555-0143, office@sandburflats.example",
        "Odile Ferrant / +1 (402) 555.0143 / OFFICE@sandburflats.example",
        "Odile Ferrant tel. 4025550143; office@sandburflats.example.",
        "Odile Ferrant",
        "",
        "Odile Ferrant 555-0143",  # without an area code it may be any
        "certificate 12345678901, ZIP 00000-0000",  # no telephone
        "see 402-555-01431",
        "Odile 402\u2013555\u20110143, <mailto:office@sandburflats.example>.",
        "Tel/402-555-0143; 'office@sandburflats.example'",
        "serial TG46-402-555-0199, SN 4025550199A",
        "402_555_0143, 402,555,0143, 1,402,555,0143",
        "402, 555, 0199 pounds; TG_402_555_0199; 402,555,01991",
    ],
)
def test_what_is_right_or_no_contact_is_passed_over(line: str) -> None:
    """Names and other numbers are not compared."""
    assert list_other_contacts(line, PHONE, EMAIL) == ()


@pytest.mark.parametrize(
    ("line", "other"),
    [
        ("Odile, 402-555-0199", [("402-555-0199", PHONE)]),
        ("Odile 402\u2013555\u20130199", [("402-555-0199", PHONE)]),
        ("402\u2011555\u20110199", [("402-555-0199", PHONE)]),
        ("402\u2014555\u22120199", [("402-555-0199", PHONE)]),
        ("402\u00a0555\u202f0199", [("402 555 0199", PHONE)]),
        ("402\u00b7555\u00b70199", [("402.555.0199", PHONE)]),
        ("402\u2044555\u22150199", [("402/555/0199", PHONE)]),
        ("402_555_0199", [("402_555_0199", PHONE)]),
        ("Odile, 402,555,0199", [("402,555,0199", PHONE)]),
        ("+1_402_555_0199", [("+1_402_555_0199", PHONE)]),
        ("Tel/402-555-0199", [("402-555-0199", PHONE)]),
        ("tel.402-555-0199", [("402-555-0199", PHONE)]),
        ("402-555-0199/cell", [("402-555-0199", PHONE)]),
        ("402-555-0199 x12", [("402-555-0199", PHONE)]),
        ("mailto:office@sandburflat.example", [("office@sandburflat.example", EMAIL)]),
        ("<office@sandburflat.example->", [("office@sandburflat.example", EMAIL)]),
        ("Odile, 402-555-0143 or 1 402 555 0199", [("1 402 555 0199", PHONE)]),
        ("Odile, (605) 555-0143, office@sandburflats.example", [("(605) 555-0143", PHONE)]),
        ("office@sandburflat.example 402.555.0143", [("office@sandburflat.example", EMAIL)]),
        (
            "Wren 6055550111 wren@sandburflats.example",
            [("6055550111", PHONE), ("wren@sandburflats.example", EMAIL)],
        ),
        ("4025550199@mail.example", [("4025550199@mail.example", EMAIL)]),
    ],
)
def test_another_telephone_or_address_is_named(line: str, other: list[tuple[str, str]]) -> None:
    """Each with what the facts say."""
    assert list(list_other_contacts(line, PHONE, EMAIL)) == other


def test_what_the_facts_do_not_know_is_not_compared() -> None:
    """Nobody can tell which is right."""
    assert list_other_contacts("402-555-0199 a@b.example", "", "") == ()
