"""Texts that print against texts that fields hold.

Outside check: ``datetime.strftime`` writes the same days another way. The other pairs are common
practice, no source.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.scan.printed_text import is_part, is_same_text, is_sifted


@pytest.mark.parametrize(
    ("held", "printed"),
    [
        ("Odile Ferrant", "O d i l e F e r r a n t"),
        ("2 Invented Road\rBurrell Crossing", "2 Invented Road Burrell Crossing"),
        ("402-555-0143", "(402) 555-0143"),
        ("Peña", "PENA"),
        ("Łada 7", "ada 7"),
        ("1250.5", "$1,250.50"),
        ("-", "-"),
    ],
)
def test_same_text_written_another_way(held: str, printed: str) -> None:
    """Cells, lines, marks, accents, letters a font lacks, and amounts do not make another text."""
    assert is_same_text(held, printed)


@pytest.mark.parametrize(
    ("held", "printed"),
    [
        ("Member", "Manager"),
        ("Member", "Managing member"),
        ("46-00018", "46-00081"),
        ("46-00018", "6-00018"),
        ("2026-11-26", "2026-11-27"),
        ("May Farms 7", "June Farms 7"),
        ("Member", ""),
        ("-", ""),
        ("-", "Member"),
    ],
)
def test_another_text(held: str, printed: str) -> None:
    """A word, a digit or a day that differs does."""
    assert not is_same_text(held, printed)


@given(
    day=st.dates(date(1950, 1, 1), date(2049, 12, 31)),
    how=st.sampled_from(["%m/%d/%Y", "%d.%m.%Y", "%m-%d-%y", "%d-%b-%Y", "%B %d, %Y"]),
)
def test_day_written_another_way(day: date, how: str) -> None:
    """Every day of a century in five ways, against the ISO form."""
    assert is_same_text(day.isoformat(), day.strftime(how))


def test_form_that_writes_values_itself() -> None:
    """Digits may be other digits then; words stay words."""
    assert is_same_text("118", "53.5 kg", is_formatted=True)
    assert not is_same_text("Member", "Manager", is_formatted=True)
    assert not is_same_text("118", "none", is_formatted=True)


def test_part_of_a_text() -> None:
    """What was cut off at the right, the left or both; nothing is no part."""
    assert is_part("Sandbur Flats Aerial LLC", "bur Flats Ae")
    assert not is_part("Sandbur Flats Aerial LLC", "Flats LLC")
    assert not is_part("Sandbur Flats Aerial LLC", " ")


def test_letters_left_out_of_a_text() -> None:
    """In order they may be; another letter or another order is another text."""
    assert is_sifted("beyond the right", "beond the riht")
    assert not is_sifted("beyond the right", "right beyond")
    assert not is_sifted("beyond", "beyind")
    assert not is_sifted("beyond", " ")
