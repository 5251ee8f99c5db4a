"""Places in town: kinds of places, days, hours, and how they are said."""

import pytest

from compliance.facts.model import Operation
from compliance.facts.parse import parse_operation
from compliance.facts.places import (
    DayHours,
    Place,
    PlaceKind,
    Span,
    are_in_order,
    describe_place,
    describe_places,
    find_place_days,
    find_place_kind,
    parse_spans,
    say_hours,
)

HEAD = """\
mailby_file: 1
operation:
  id: example-farm
  legal_name: Pat Example
  entity: individual
  home_state: NE
  mailing_address: [1 Example Road, "Exampleton, NE 00000"]
  contact: {name: Pat Example, phone: 402-555-0100}
"""
BANK = """\
places:
  - kind: notary
    name: Invented Bank
    town: Burrell Crossing
    hours: {tue: "9:00-12:00", thu: "8:00-11:30, 12:30-16:00"}
    phone: 402-555-0150
"""


def read(text: str) -> Operation:
    operation, problems = parse_operation(HEAD + text, "farm.yaml")
    assert [str(problem) for problem in problems] == []
    assert operation is not None
    return operation


def complain(text: str) -> list[str]:
    operation, problems = parse_operation(HEAD + text, "farm.yaml")
    assert operation is None
    return [str(problem) for problem in problems]


@pytest.mark.parametrize(
    ("done_at", "kind"),
    [
        ("notary", PlaceKind.NOTARY),
        ("post office", PlaceKind.POST_OFFICE),
        ("class or test center", PlaceKind.TEST_CENTER),
        ("class", PlaceKind.TEST_CENTER),
        ("town hall", PlaceKind.OFFICE),
        ("a place nobody thought of", PlaceKind.OFFICE),
        ("farm", None),
        ("field", None),
        ("", None),
        ("online", None),
        ("class, online or test center", None),
    ],
)
def test_find_place_kind(done_at: str, kind: PlaceKind | None) -> None:
    assert find_place_kind(done_at) is kind


def test_place_with_hours_by_day_has_their_days() -> None:
    """The days of the notary's place are the days of the notary."""
    operation = read(BANK)

    assert operation.notary_days == ("tue", "thu")
    assert operation.places == (
        Place(
            kind=PlaceKind.NOTARY,
            name="Invented Bank",
            town="Burrell Crossing",
            days=("tue", "thu"),
            hours=(
                DayHours(day="tue", spans=(Span(opens=540, closes=720),)),
                DayHours(
                    day="thu", spans=(Span(opens=480, closes=690), Span(opens=750, closes=960))
                ),
            ),
            phone="402-555-0150",
        ),
    )


def test_two_places_of_a_kind_open_on_the_days_of_either() -> None:
    more = "  - {kind: notary, name: Own Title Office, days: [fri, tue]}\n"
    operation = read(BANK + more)

    assert operation.notary_days == ("tue", "thu", "fri")
    assert find_place_days(operation.places, PlaceKind.NOTARY) == ("tue", "thu", "fri")
    assert find_place_days(operation.places, PlaceKind.BANK) == ()


def test_days_said_twice_and_alike_are_fine() -> None:
    assert read("notary_days: [thu, tue]\n" + BANK).notary_days == ("thu", "tue")


def test_place_without_days_leaves_the_days_alone() -> None:
    operation = read("notary_days: [fri]\nplaces:\n  - {kind: notary, name: Invented Bank}\n")

    assert operation.notary_days == ("fri",)


def test_hours_that_end_before_they_begin() -> None:
    text = """\
places:
  - kind: post-office
    name: Counter
    days: [mon]
    hours: "16:30-9:00"
"""

    assert complain(text) == [
        (
            "farm.yaml:13:12: F14 `hours` of place `Counter` end before they begin: 16:30-9:00\n"
            "  hint: count the hours from 0:00 to 24:00: 16:30 is 4:30 pm"
        )
    ]


def test_unknown_weekday_in_days_and_in_hours() -> None:
    text = """\
places:
  - {kind: bank, name: Invented Bank, days: [tuesday]}
  - {kind: office, name: Town hall, hours: {Thu: "9:00-10:00"}}
"""

    assert complain(text) == [
        (
            "farm.yaml:10:45: F05 `days` of place `Invented Bank` holds 'tuesday'; allowed: mon, "
            "tue, wed, thu, fri, sat, sun\n  hint: did you mean `tue`?"
        ),
        (
            "farm.yaml:11:50: F05 `hours` of place `Town hall` holds 'Thu'; allowed: mon, tue, "
            "wed, thu, fri, sat, sun\n  hint: did you mean `thu`?"
        ),
    ]


def test_place_twice_and_a_telephone_that_is_none() -> None:
    text = """\
places:
  - {kind: bank, name: Invented Bank, phone: ask Pat}
  - {kind: bank, name: Invented Bank}
  - {kind: notary, name: Invented Bank}
"""

    assert complain(text) == [
        (
            "farm.yaml:10:46: F23 `phone` of place `Invented Bank` is 'ask Pat', no telephone "
            "number\n  hint: write at least 7 digits, for example 402-555-0143"
        ),
        (
            "farm.yaml:11:24: F12 the bank `Invented Bank` stands twice; first on line 10\n"
            "  hint: keep one, with all its days"
        ),
    ]


def test_unknown_kind_of_place_and_unknown_key() -> None:
    text = "places:\n  - {kind: notery, name: Invented Bank, open: always}\n"

    assert complain(text) == [
        (
            "farm.yaml:10:12: F05 `kind` of a place is 'notery'; allowed: notary, post-office, "
            "test-center, office, bank\n  hint: did you mean `notary`?"
        ),
        (
            "farm.yaml:10:41: F02 place `Invented Bank` has an entry `open` that is not known "
            "here\n"
            "  hint: known here: kind, name, town, days, hours, phone"
        ),
    ]


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("9:00-16:30", ((540, 990),)),
        ("00:00 - 24:00", ((0, 1440),)),
        ("8:00-11:30,12:30-16:00", ((480, 690), (750, 960))),
    ],
)
def test_parse_spans(text: str, spans: tuple[tuple[int, int], ...]) -> None:
    found = parse_spans(text)

    assert found == tuple(Span(opens=opens, closes=closes) for opens, closes in spans)
    assert are_in_order(found)


@pytest.mark.parametrize("text", ["", "9-16", "9:00", "9:60-10:00", "9:00-24:01", "9:00-10:00,"])
def test_parse_spans_gives_none_for_what_is_no_hours(text: str) -> None:
    assert parse_spans(text) is None


@pytest.mark.parametrize("text", ["9:00-9:00", "10:00-9:00", "9:00-11:00, 10:30-12:00"])
def test_are_in_order_refuses_empty_backward_and_overlapping_hours(text: str) -> None:
    spans = parse_spans(text)

    assert spans is not None
    assert not are_in_order(spans)


def test_are_in_order_takes_spans_that_touch() -> None:
    assert are_in_order(parse_spans("9:00-11:00, 11:00-12:00") or ())


def test_place_in_words() -> None:
    place = read(BANK).places[0]

    assert (str(place), say_hours(place)) == (
        "Invented Bank, Burrell Crossing",
        "tue 9:00-12:00; thu 8:00-11:30, 12:30-16:00",
    )
    assert describe_place(place) == (
        "notary: Invented Bank, Burrell Crossing, tue 9:00-12:00, "
        "thu 8:00-11:30 and 12:30-16:00, 402-555-0150"
    )


def test_describe_places_names_those_of_the_kind_only() -> None:
    places = read(BANK).places

    assert describe_places(places, "post office") == "post office"
    assert describe_places(places, "farm") == "farm"
    assert describe_places((*places, Place(kind=PlaceKind.NOTARY, name="Other")), "notary") == (
        "notary (Invented Bank, Burrell Crossing, tue 9:00-12:00, "
        "thu 8:00-11:30 and 12:30-16:00, 402-555-0150; or Other)"
    )
