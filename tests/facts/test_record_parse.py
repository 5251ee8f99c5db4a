"""Files with one record: what is read, what is filled in, what is refused. Own examples."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.facts.model import Material, Operation
from compliance.facts.products import ByAir, Product
from compliance.facts.record_parse import parse_record
from compliance.facts.record_raw import read_record_file
from compliance.facts.records import Application, UsedProduct

TODAY = date(2027, 7, 2)
TEXT = """\
day: 2027-06-15
start: "6:10"
end: "07:45"
pilot: odile
place: Section 9
wind_speed: 7
products:
  - {id: thistle-out, amount: 5 gal}
  - {product: Spreader, by_air: yes, restricted_use: no, registration: exempt}
"""


@pytest.fixture
def operation(demo_operation: Operation) -> Operation:
    listed = Product(
        id="thistle-out",
        name="Thistle-Out 4",
        registration="99999-1",
        by_air=ByAir.YES,
        restricted_use=True,
    )
    ground = Product(id="ground-only", name="Groundhold", by_air=ByAir.NO)
    return replace(demo_operation, products=(listed, ground))


def parse(text: str, operation: Operation) -> tuple[Application | None, list[str]]:
    raw, problems = read_record_file(text, "r.yaml")
    if raw is None:
        return None, [str(problem) for problem in problems]
    record, problems = parse_record(raw, operation, "pasture-sd", TODAY)
    return record, [str(problem) for problem in problems]


def test_record_is_read_whole(operation: Operation) -> None:
    assert parse(TEXT, operation) == (
        Application(
            number=0,
            written_on=TODAY,
            job="pasture-sd",
            state="SD",
            for_hire=True,
            material=Material.PESTICIDE,
            on=date(2027, 6, 15),
            start="06:10",
            end="07:45",
            zone="America/Chicago",
            aircraft="tg46",
            pilot="odile",
            said=(("place", "Section 9"), ("wind-speed", "7")),
            products=(
                UsedProduct(
                    name="Thistle-Out 4",
                    restricted_use=True,
                    by_air=ByAir.YES,
                    said=(("registration", "99999-1"), ("amount", "5 gal")),
                ),
                UsedProduct(
                    name="Spreader",
                    restricted_use=False,
                    by_air=ByAir.YES,
                    said=(("registration", "exempt"),),
                ),
            ),
        ),
        [],
    )


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("day: 2027-06-15\n", "", "r.yaml:1:1: W03 the record lacks `day`"),
        (
            "2027-06-15",
            "2027-07-03",
            "r.yaml:1:6: W31 the record is of Sat 3 Jul 2027, which is still to come",
        ),
        ("07:45", "06:00", "r.yaml:3:6: W32 the record ends at 06:00, before it begins at 06:10"),
        (
            "pilot: odile",
            "pilot: odil",
            "r.yaml:4:8: W13 `pilot` of the record is 'odil', which the operation does not have",
        ),
        ("pilot: odile\n", "", "r.yaml:1:1: W03 the record lacks `pilot`"),
        (
            "place: Section 9",
            "job: pasture-ne",
            "r.yaml:5:6: W13 the record is of job 'pasture-ne', but the command names 'pasture-sd'",
        ),
        ("wind_speed", "wind", "r.yaml:6:1: W02 the record has an unknown key `wind`"),
        (
            "wind_speed: 7",
            "wind_speed: calm",
            (
                "r.yaml:6:13: W22 the record: the wind speed in miles an hour is 'calm', which "
                "is no "
                "number"
            ),
        ),
        (
            "id: thistle-out",
            "id: ground-only",
            (
                "r.yaml:8:10: W34 product 1 of the record: the label does not allow it to be "
                "applied by "
                "air (Groundhold)"
            ),
        ),
        (
            "by_air: yes, ",
            "",
            (
                "r.yaml:9:15: W35 product 2 of the record: nobody has said whether its label "
                "allows it "
                "to be applied by air (Spreader)"
            ),
        ),
        (
            "by_air: yes",
            "by_air: no",
            (
                "r.yaml:9:15: W34 product 2 of the record: the label does not allow it to be "
                "applied by "
                "air (Spreader)"
            ),
        ),
        (
            "restricted_use: no",
            "restricted_use: perhaps",
            (
                "r.yaml:9:54: W05 `restricted_use` of product 2 of the record is 'perhaps'; "
                "allowed: "
                "yes, no"
            ),
        ),
        (
            "product: Spreader",
            "product: thistle-out 4",
            "r.yaml:9:15: W12 the record names the product Thistle-Out 4 twice",
        ),
        (
            "  - {id: thistle-out, amount: 5 gal}",
            "  - thistle-out",
            "r.yaml:8:5: W01 product 1 must be a set of `key: value` lines",
        ),
    ],
)
def test_fault_is_said(old: str, new: str, expected: str, operation: Operation) -> None:
    assert old in TEXT

    record, problems = parse(TEXT.replace(old, new, 1), operation)

    assert record is None
    assert [problem.partition("\n")[0] for problem in problems] == [expected]


def test_word_in_a_record_does_not_undo_what_the_label_forbids(operation: Operation) -> None:
    text = TEXT.replace("id: thistle-out", "id: ground-only, by_air: yes")

    _, problems = parse(text, operation)

    assert [problem.split()[1] for problem in problems] == ["W34"]


def test_pesticide_without_a_product_is_refused(operation: Operation) -> None:
    text = TEXT[: TEXT.index("products:")]

    assert parse(text, operation)[1] == [
        "r.yaml:1:1: W33 the record names no product\n  hint: add `products:` with what was applied"
    ]


def test_seed_needs_no_label_for_the_air(operation: Operation) -> None:
    text = "day: 2027-06-15\npilot: odile\naircraft: tg46\nproducts: [{product: Rye}]\n"
    raw, _ = read_record_file(text, "r.yaml")
    assert raw is not None

    record, problems = parse_record(raw, operation, "cover-crop", TODAY)

    assert problems == ()
    assert record is not None
    assert record.material is Material.SEED


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("- 1\n", "r.yaml:1:1: W01 the file must be a set of `key: value` lines"),
        (
            "products: yes\n",
            "r.yaml:1:11: W04 `products` must be a list\n  hint: begin lines with -",
        ),
        ("day: [1]\n", "r.yaml:1:6: W04 `day` of the record must be a single value"),
    ],
)
def test_file_of_another_form_is_said(text: str, expected: str) -> None:
    raw, problems = read_record_file(text, "r.yaml")

    assert raw is None
    assert [str(problem) for problem in problems] == [expected]
