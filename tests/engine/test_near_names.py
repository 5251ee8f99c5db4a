"""Names beside one another. The distance is checked against its definition, worked out anew here.

Definition: restricted Damerau-Levenshtein distance, by the recursion of Boytsov, "Indexing methods
for approximate dictionary searching", ACM JEA 16 (2011), from memory. How near counts as a slip is
our own choice, checked on made-up names.
"""

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.engine.near_names import (
    Likeness,
    compare_name,
    find_person,
    find_slips,
    is_one_person,
    measure_distance,
    say_slip,
)

PEOPLE = ("Odile Ferrant", "Wren Castellow")
LETTERS = st.text(alphabet="abc", max_size=7)


def by_definition(one: str, other: str) -> int:
    """Give the distance by the recursion on the ends of the two words."""

    @cache
    def away(at: int, to: int) -> int:
        if not at or not to:
            return at + to
        is_same = one[at - 1] == other[to - 1]
        ways = [away(at - 1, to) + 1, away(at, to - 1) + 1, away(at - 1, to - 1) + (not is_same)]
        if one[at - 2 : at] == other[to - 2 : to][::-1] and min(at, to) > 1:
            ways.append(away(at - 2, to - 2) + 1)
        return min(ways)

    return away(len(one), len(other))


@settings(max_examples=200, deadline=None)
@given(one=LETTERS, other=LETTERS)
def test_measure_distance_is_that_of_its_definition(one: str, other: str) -> None:
    """The rows give what the recursion gives, both ways round."""
    assert measure_distance(one, other) == by_definition(one, other) == measure_distance(other, one)


@settings(max_examples=200, deadline=None)
@given(data=st.data())
def test_compare_name_one_letter_dropped_doubled_or_swapped_is_never_passed(
    data: st.DataObject,
) -> None:
    """Whatever single slip is made in a known name, it is a slip of that person."""
    person = data.draw(st.sampled_from(PEOPLE))
    at = data.draw(st.integers(0, len(person) - 2).filter(lambda one: person[one].isalpha()))
    swapped = person[:at] + person[at + 1] + person[at] + person[at + 2 :]
    slips = [person[:at] + person[at + 1 :], person[:at] + person[at] + person[at:]]
    if person[at + 1].isalpha() and person[at].casefold() != person[at + 1].casefold():
        slips.append(swapped)
    for slip in slips:
        expected = Likeness.SAME if slip == person else Likeness.SLIP
        assert find_person(slip, PEOPLE) == (person, expected), slip


@pytest.mark.parametrize(
    "name",
    [
        "Corin Vale",
        "Corin Ferrant",
        "Hale Castellow",
        "Wren Ferrant",
        "Odile Castellow",
        "Odile Smithers",
        "W. Ferrant",
        "Petra Lund",
        "Sandbur Flats Aerial LLC",
        "Tallgrass Rotorworks",
        "Ida Quillfeather",
        "",
    ],
)
def test_find_person_another_real_person_is_no_misspelling(name: str) -> None:
    """One word in common, or the same last name, makes nobody another person."""
    assert find_person(name, PEOPLE) == ("", Likeness.OTHER)


@pytest.mark.parametrize(
    "name",
    [
        "ODILE FERRANT",
        "Odile M. Ferrant",
        "Odile Marie Ferrant",
        "O. Ferrant",
        "Odile F.",
        "Ferrant, Odile",
        "Odile Ferrant, Member",
        "Odile Ferrant Jr.",
        "Odile F\u00e9rrant",
        "Odile-Ferrant",
    ],
)
def test_compare_name_another_way_to_write_it_is_no_slip(name: str) -> None:
    """Initials, middle names, capitals, marks, order and titles are another way."""
    assert compare_name(name, "Odile Ferrant") is Likeness.WAY


@pytest.mark.parametrize(
    ("name", "person"),
    [("Erica Vale", "Eric Vale"), ("Mario Vale", "Maria Vale"), ("Don Vale", "Dan Vale")],
)
def test_compare_name_what_may_be_another_of_the_family_is_no_slip(name: str, person: str) -> None:
    """A brother or sister may sign as well: worth a look, nothing to refuse."""
    assert compare_name(name, person) is Likeness.WAY


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Odil Ferrant", "a letter is missing"),
        ("Odile Ferrantt", "a letter too many"),
        ("Odlie Ferrant", "two letters have changed places"),
        ("Odila Ferrant", "a letter is wrong"),
        ("Odil M. Ferrant", "`Odil M .` in place of `Odile`"),
        ("Odil Ferrent", "`Odil Ferrent` in place of `Odile Ferrant`"),
        ("Odil Ferrant, Member", "`Odil` in place of `Odile`, `, Member` too many"),
        ("Ferrant, Odil", "`Odile` is missing, `, Odil` too many"),
        ("Odile", "`Ferrant` is missing"),
    ],
)
def test_say_slip_names_what_is_wrong(name: str, words: str) -> None:
    """One letter is told as one letter, more as words."""
    assert compare_name(name, "Odile Ferrant") is Likeness.SLIP
    assert say_slip(name, "Odile Ferrant") == words


def test_find_person_one_who_is_known_letter_for_letter_goes_first() -> None:
    """Two people of nearly one name: each is right as written."""
    people = ("Erik Larson", "Erik Larsen")

    assert [find_person(one, people)[1] for one in people] == [Likeness.SAME, Likeness.SAME]
    assert find_person("Erik Larsun", people)[1] is Likeness.SLIP


@pytest.mark.parametrize(
    ("text", "slips"),
    [
        ("Odile Ferrant, individual, US citizen; Wren Castellow, individual, US citizen", []),
        ("Wren Castelow individual US citizen", [("Wren Castelow", "Wren Castellow")]),
        ("Odil Ferrant and Wren Castellow", [("Odil Ferrant", "Odile Ferrant")]),
        ("Odile Ferrent, 402-555-0143, o@x.example", [("Odile Ferrent", "Odile Ferrant")]),
        ("Corin Vale; Hale Castellow; Lund Holdings LLC", []),
        ("Wren Castellow; Wren Castelow", []),
        ("", []),
    ],
)
def test_find_slips_in_a_text_with_other_words(text: str, slips: list[tuple[str, str]]) -> None:
    """Who also stands there letter for letter is not called misspelt."""
    assert list(find_slips(text, PEOPLE)) == slips


@pytest.mark.parametrize(
    ("one", "other", "near"),
    [
        ("Odile Ferrant", "ODILE M. FERRANT", True),
        ("Odile Ferrant", "Wren Castellow", False),
        ("Odile Ferrant", "", False),
        ("José Núñez", "Jose R. Nunez", True),
        ("Odile Ferrant", "Odile Ferrant Jr.", False),
        ("Eric Ferrant", "Erica Ferrant", False),
    ],
)
def test_is_one_person(one: str, other: str, *, near: bool) -> None:
    assert is_one_person(one, other) is near
