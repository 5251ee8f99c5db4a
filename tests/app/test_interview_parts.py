"""One typed answer at a time."""

import pytest

from compliance.app.interview_parts import (
    Reading,
    guess_entity,
    make_business_name,
    make_name,
    read_address_line,
    read_choice,
    read_name,
    read_several,
    read_state,
    read_weight,
    read_yes_no,
)
from compliance.facts.model import EntityType

OPTIONS = (("tg46", "TG-46"), ("tg18", "TG-18"), ("faa.exemption:operation", "Exemption"))


@pytest.mark.parametrize(
    ("typed", "value"),
    [("118", "118"), ("54.90", "54.90"), ("118 lb", "118"), ("49LBS.", "49"), ("7 pounds", "7")],
)
def test_weight_typed_plainly_is_read(typed: str, value: str) -> None:
    assert read_weight(typed) == Reading(value=value)


@pytest.mark.parametrize("typed", ["", "0", "-3", "1e3", "1,180", "118 kg", "1321", "nan", "²"])
def test_weight_that_the_facts_file_refuses_is_refused(typed: str) -> None:
    assert read_weight(typed).fault


@pytest.mark.parametrize(
    ("typed", "value"), [("y", "yes"), (" YES ", "yes"), ("n", "no"), ("No", "no")]
)
def test_yes_and_no_are_read(typed: str, value: str) -> None:
    assert read_yes_no(typed) == Reading(value=value)


def test_yes_no_other_word_is_refused() -> None:
    assert read_yes_no("true") == Reading(
        fault="'true' is neither yes nor no", hint="type yes or no"
    )


@pytest.mark.parametrize("typed", ["2", "tg18", " TG18 "])
def test_choice_by_number_or_word_is_read(typed: str) -> None:
    assert read_choice(OPTIONS)(typed) == Reading(value="tg18", words="TG-18")


@pytest.mark.parametrize("typed", ["0", "4", "-1", "99999999999999999999", "²", "tg", ""])
def test_choice_outside_the_list_is_refused(typed: str) -> None:
    assert read_choice(OPTIONS)(typed).fault == f"{typed!r} is none of the choices"


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("all", "tg46,tg18,faa.exemption:operation"),
        ("2, 1", "tg18,tg46"),
        ("2 1 and tg18", "tg18,tg46"),
        ("3;", "faa.exemption:operation"),
        ("none", ""),
    ],
)
def test_several_are_read_in_the_order_typed_each_once(typed: str, value: str) -> None:
    assert read_several(OPTIONS, needed=False)(typed).value == value


def test_several_needed_but_none_is_refused() -> None:
    assert read_several(OPTIONS, needed=True)("none") == Reading(
        fault="at least one is needed", hint="type its number"
    )


def test_several_aircraft_called_all_is_the_aircraft() -> None:
    read = read_several((("tg46", "TG-46"), ("all", "ALL")), needed=True)

    assert read("all") == Reading(value="all", words="ALL")


@pytest.mark.parametrize("typed", ["SD", "sd", "South Dakota", " south   dakota "])
def test_state_by_code_or_name_is_read(typed: str) -> None:
    assert read_state(typed) == Reading(value="SD", words="South Dakota")


def test_address_line_of_a_place_is_no_box() -> None:
    read = read_address_line(is_place=True)

    assert read("p.o. box 7").fault == "nobody lives or works in a P.O. box"
    assert read("1 Invented Road") == Reading(value="1 Invented Road")
    assert read_address_line(is_place=False)("P.O. Box 7") == Reading(value="P.O. Box 7")


@pytest.mark.parametrize("length", [80, 81])
def test_address_line_longer_than_an_envelope_is_refused(length: int) -> None:
    assert bool(read_address_line(is_place=False)("x" * length).fault) == (length > 80)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("TG-46", "tg-46"),
        ("Pasture, North 40", "pasture-north-40"),
        ("José O'Neill", "jose-oneill"),
        ("无人机 🚜", ""),
        ("a" * 100, "a" * 60),
        ("--- ", ""),
    ],
)
def test_name_of_any_text_is_made(text: str, name: str) -> None:
    assert make_name(text) == name


def test_name_that_begins_with_a_digit_or_is_taken_is_refused() -> None:
    read = read_name("name", "the job", {"pasture"})

    assert read("40 acres").fault == "`name` of the job is '40-acres'"
    assert read("Pasture") == Reading(fault="'pasture' is taken already", hint="choose another")
    assert read("The Pasture") == Reading(value="the-pasture", words="the-pasture")


@pytest.mark.parametrize(
    ("legal_name", "name", "entity"),
    [
        ("Sandbur Flats Aerial LLC", "sandbur-flats-aerial", EntityType.LLC),
        ("Sandbur Flats Aerial, L.L.C.", "sandbur-flats-aerial-l-l-c", EntityType.LLC),
        ("The Sandbur Flats Co., Inc.", "sandbur-flats", EntityType.CORPORATION),
        ("Sandbur Flats LP", "sandbur-flats", EntityType.PARTNERSHIP),
        ("Odile Ferrant", "odile-ferrant", EntityType.INDIVIDUAL),
        ("LLC", "", EntityType.LLC),
    ],
)
def test_business_name_gives_a_short_name_and_a_guess(
    legal_name: str, name: str, entity: EntityType
) -> None:
    assert make_business_name(legal_name) == name
    assert guess_entity(legal_name) is entity
