"""Clocks, hours of first flights and products in the talk; any operation talked through again."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.app.interview_days import read_clock
from compliance.app.interview_products import read_hours_closed, read_registration
from compliance.app.unasked import take_over_unasked
from compliance.facts.model import (
    Job,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.own_terms import OwnTerm
from compliance.facts.parse import parse_operation
from compliance.facts.products import ByAir, Product
from compliance.facts.write import render_operation
from compliance.facts.zones import ZONES_OF_STATES, say_zone
from tests.app.test_interview import EXPECTED, KEYS, LINES, Person, begin, leave, lines_with, talk

DENVER, CHICAGO = "America/Denver", "America/Chicago"


def talked(*typed: str) -> tuple[Operation, Person]:
    """The short talk with other lines, typed to its last one."""
    person = Person(typed)
    operation = talk(person)
    assert person.typed == len(typed)
    return operation, person


def test_clock_of_a_state_on_two_is_asked_as_a_choice() -> None:
    operation, person = talked(*lines_with("business.time_zone.NE", "2"))

    assert operation == replace(EXPECTED, time_zone=DENVER)
    at = person.shown.index("\nNebraska lies on two clocks. Which one does the farm go by?")
    assert person.shown[at + 1 : at + 6] == [
        "  A number; - if you do not know. Only what is counted in hours needs it.",
        "   1  Central time, as in Chicago",
        "   2  Mountain time, as in Denver",
        "[1] > ",
        "  = Mountain time, as in Denver",
    ]


def test_clock_nobody_knows_is_left_open() -> None:
    operation, _ = talked(*lines_with("business.time_zone.NE", "-"))

    assert operation == replace(EXPECTED, time_zone="")


def test_clock_of_a_state_on_one_goes_without_saying() -> None:
    """Iowa is on Central time as a whole: comments of the IANA zone table, from memory."""
    at = KEYS.index("business.home_state")
    operation, person = talked(*LINES[:at], "ia", *LINES[at + 2 :])

    assert (operation.home_state, operation.time_zone) == ("IA", "")
    assert operation.jobs[0].time_zone == ""
    assert "clocks" not in person.text


def test_clock_of_a_job_in_another_state_on_two_is_asked() -> None:
    at = KEYS.index("jobs.1.state")
    lines = (*LINES[:at], "sd", "2", *LINES[at + 1 :])

    operation, person = talked(*lines)

    assert operation.jobs[0].time_zone == DENVER
    assert "\nSouth Dakota lies on two clocks. Which one does this job go by?" in person.shown


def test_clock_of_a_job_moved_to_another_state_is_not_taken_along() -> None:
    job = replace(EXPECTED.jobs[0], state="SD", time_zone=CHICAGO)
    person = Person(("jobs", "", "", "", "", "co", *[""] * 30))

    result = talk(person, begin(operation=replace(EXPECTED, jobs=(job,))))

    assert result.jobs == (replace(job, state="CO", time_zone=""),)


def test_every_clock_of_a_state_has_words_of_its_own() -> None:
    for state, zones in ZONES_OF_STATES.items():
        words = [say_zone(zone) for zone in zones]
        assert len({*words}) == len(words), state
        assert not {*words} & {*zones}, state
    assert say_zone("Europe/Berlin") == "Europe/Berlin"


def test_hour_of_the_first_flight_is_asked_only_when_wanted() -> None:
    lines = lines_with("jobs.hours", "y", "6:30 AM")

    operation, person = talked(*lines)

    assert operation == replace(EXPECTED, jobs=(replace(EXPECTED.jobs[0], first_flight="06:30"),))
    assert "\nJob own-quarter: at what hour is the first flight of the day?" in person.shown
    assert "at what hour is the first flight" not in talked(*LINES)[1].text


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("6:30", "06:30"),
        ("06:30", "06:30"),
        ("6 am", "06:00"),
        ("6:30 p.m.", "18:30"),
        ("12 am", "00:00"),
        ("12:15pm", "12:15"),
        ("0:00", "00:00"),
        ("23:59", "23:59"),
    ],
)
def test_clock_as_people_write_it(typed: str, value: str) -> None:
    assert read_clock(typed).value == value


@pytest.mark.parametrize(
    "typed", ["6", "24:00", "13 pm", "0 am", "6:60", "6:3", "dawn", "", "-1:00"]
)
def test_clock_that_is_none_is_refused(typed: str) -> None:
    """A bare 6 may be either half of the day."""
    reading = read_clock(typed)

    assert (reading.value, reading.fault) == ("", f"{typed!r} is no time of day")
    assert reading.hint == "such as 6:30, 6:30 am or 14:00"


def test_products_are_asked_and_tied_to_the_job() -> None:
    typed = (
        "y", "Invented 2,4-X Amine", "99999-1", "yes", "n", "48 hours",
        "y", "2,4-X", "", "", "n", "", "n", "2 1",
    )  # fmt: skip

    operation, person = talked(*lines_with("products.1", *typed))

    assert operation == replace(
        EXPECTED,
        jobs=(replace(EXPECTED.jobs[0], products=("product-2-4-x", "invented-2-4-x-amine")),),
        products=(
            Product(
                id="invented-2-4-x-amine",
                name="Invented 2,4-X Amine",
                registration="99999-1",
                by_air=ByAir.YES,
                re_entry_hours=48,
            ),
            Product(id="product-2-4-x", name="2,4-X"),
        ),
    )
    assert "\nJob own-quarter: which of the products do you use?" in person.shown


def test_products_without_a_pesticide_job_are_not_asked() -> None:
    at = KEYS.index("jobs.1.material")
    seed = (*LINES[:at], "seed", *LINES[at + 2 :])
    products = seed.index("9 Feb 2026") - 3
    lines = (*seed[:products], *seed[products + 1 :])

    operation, person = talked(*lines)

    assert operation.jobs[0].material is Material.SEED
    assert "PRODUCTS" not in person.text


def test_product_barred_from_the_air_is_not_offered_for_a_job() -> None:
    typed = ("y", "Invented Ground Oil", "", "no", "n", "", "n")

    operation, person = talked(*lines_with("products.1", *typed))

    assert operation.products == (
        Product(id="invented-ground-oil", name="Invented Ground Oil", by_air=ByAir.NO),
    )
    assert "which of the products" not in person.text


def test_product_restricted_in_a_job_that_says_none_asks_the_job_again() -> None:
    """40 CFR 152.160 classifies products for restricted use, from memory."""
    typed = ("y", "Invented Amine", "", "", "y", "", "n", "1", "y")

    operation, person = talked(*lines_with("products.1", *typed))

    assert operation.jobs[0].restricted_use
    assert operation.jobs[0].products == ("invented-amine",)
    assert person.text.count("  ! job `own-quarter` says `restricted_use: no`, but") == 1


def test_product_registration_and_hours_that_are_none_are_explained() -> None:
    registration = read_registration("EPA")
    hours = read_hours_closed("two days")

    assert (registration.value, registration.fault) == (
        "",
        "the EPA registration number is 'EPA', which does not look like one",
    )
    assert (hours.value, hours.fault, hours.hint) == (
        "",
        "'two days' is no number of hours from 0 to 10000",
        "such as 12; one day is 24",
    )


def test_enter_alone_meets_three_new_questions() -> None:
    """A clock, an hour and products: all of them with Enter, whatever the number of jobs."""
    new = {"business.time_zone.NE", "jobs.hours", "products.1"}
    at = KEYS.index("jobs.2")
    job = ("y", "second", "7/12/2027", "8/7/2027", "", "n", "", "n", "", "", "", "")
    person = Person((*LINES[:at], *job, *LINES[at:]))

    talk(person)

    asked = {key for key in person.state if "time_zone" in key or "hours" in key}
    asked |= {key for key in person.state if key.startswith("products")}
    assert asked == new


def test_take_over_keeps_what_is_not_asked() -> None:
    """Own terms and the maker of a product; of another product on its place nothing."""
    term = OwnTerm(duty="faa.exemption.accident", document="Invented grant", count=5, unit="days")
    held = replace(EXPECTED.papers[0], own_terms=(term,))
    amine = Product(id="amine", name="Invented Amine", maker="Tallgrass", active_ingredient="acid")
    old = replace(EXPECTED, papers=(held,), products=(amine,))
    new = replace(EXPECTED, products=(replace(amine, maker="", active_ingredient=""),))
    other = replace(EXPECTED, products=(Product(id="amine", name="Invented Other Amine"),))

    assert take_over_unasked(old, new) == old
    assert take_over_unasked(old, other).products == other.products
    assert take_over_unasked(None, new) == new


_ZONES = st.sampled_from(["", DENVER, CHICAGO, "America/Boise", "Europe/Berlin"])
_CLOCKS = st.sampled_from(["", "00:00", "06:30", "23:59"])


@st.composite
def operations(draw: st.DrawFn) -> Operation:
    """Operations with clocks, hours and products in any combination a facts file may have."""
    products = tuple(
        Product(
            id=name,
            name=f"Invented {name}",
            registration=draw(st.sampled_from(["", "99999-1", "99999-1-12345"])),
            active_ingredient=draw(st.sampled_from(["", "acid"])),
            maker=draw(st.sampled_from(["", "Tallgrass Rotorworks"])),
            by_air=draw(st.sampled_from(ByAir)),
            restricted_use=draw(st.booleans()),
            re_entry_hours=draw(st.sampled_from([None, 0, 48])),
        )
        for name in draw(st.lists(st.sampled_from(["a", "b", "all"]), unique=True))
    )
    usable = [one.id for one in products if one.by_air is not ByAir.NO]
    jobs = []
    for number in range(draw(st.integers(0, 3))):
        material = draw(st.sampled_from(Material))
        restricted = material is Material.PESTICIDE and draw(st.booleans())
        fit = [
            one.id for one in products
            if one.id in usable and (restricted or not one.restricted_use)
        ]  # fmt: skip
        used = draw(st.lists(st.sampled_from(fit), unique=True)) if fit else []
        first = date(2027, 5, 1) + timedelta(days=draw(st.integers(0, 60)))
        jobs.append(
            Job(
                id=f"job-{number}",
                first_day=first,
                last_day=first,
                state=draw(st.sampled_from(["NE", "SD", "IA", "ID"])),
                for_hire=draw(st.booleans()),
                restricted_use=restricted,
                material=material,
                aircraft=("m",),
                pilots=("p",),
                time_zone=draw(_ZONES),
                first_flight=draw(_CLOCKS),
                products=tuple(used),
            )
        )
    return replace(
        EXPECTED,
        home_state=draw(st.sampled_from(["NE", "IA"])),
        time_zone=draw(_ZONES),
        aircraft=(replace(EXPECTED.aircraft[0], id="m"),),
        pilots=(Pilot(id="p", name="Odile Ferrant"),),
        papers=(),
        jobs=tuple(jobs),
        products=products,
    )


@settings(max_examples=25, deadline=None)
@given(operations())
def test_known_operation_talked_through_again_stays_equal(known: Operation) -> None:
    """The answers made of an operation make it again, kept at once or asked one by one."""
    assert parse_operation(render_operation(known), "any.yaml") == (known, ())

    assert talk(Person(("keep",)), begin(operation=known)) == known
    assert talk(Person(("everything", *[""] * 200)), begin(operation=known)) == known


def test_products_stopped_at_each_question_go_on() -> None:
    lines = lines_with("products.1", "y", "Invented Amine", "99999-1", "yes", "n", "12", "n", "all")
    whole, _ = talked(*lines)
    start = KEYS.index("products.1")
    for at in range(start, start + 8):
        first = Person(lines[:at])
        leave(first)
        assert talk(Person(lines[at:]), begin(first.state)) == whole, at
        back = Person((*lines[:at], "back", "", *lines[at:]))
        assert talk(back) == whole, at
