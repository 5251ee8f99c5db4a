"""Products of a facts file, and jobs that name them."""

from dataclasses import replace
from pathlib import Path

import pytest

from compliance.facts.compare import compare_operations
from compliance.facts.parse import parse_operation
from compliance.facts.products import ByAir, Product
from compliance.facts.write import render_operation

DEMO = Path(__file__).parents[2] / "demo_data" / "sandbur_flats.yaml"
TEXT = DEMO.read_text(encoding="utf-8").replace(
    "    note: pastures across the state line\n",
    "    note: pastures across the state line\n    products: [thistle-out]\n",
)
LISTED = """
products:
  - id: thistle-out
    name: Thistle-Out 4
    registration: 99999-1
    active_ingredient: inventedone
    maker: Invented Chemistry Co.
    by_air: yes
    restricted_use: yes
    restricted_entry_hours: 48
  - {id: plain, name: Plain}
"""


def test_products_are_read_whole_and_written_back() -> None:
    operation, problems = parse_operation(TEXT + LISTED, "op.yaml")

    assert problems == ()
    assert operation is not None
    assert operation.products == (
        Product(
            id="thistle-out",
            name="Thistle-Out 4",
            registration="99999-1",
            active_ingredient="inventedone",
            maker="Invented Chemistry Co.",
            by_air=ByAir.YES,
            restricted_use=True,
            re_entry_hours=48,
        ),
        Product(id="plain", name="Plain"),
    )
    assert operation.jobs[1].products == ("thistle-out",)
    assert parse_operation(render_operation(operation), "op.yaml") == (operation, ())


def test_changed_product_is_told() -> None:
    operation, _ = parse_operation(TEXT + LISTED, "op.yaml")
    assert operation is not None
    first, second = operation.products
    new = replace(operation, products=(first, replace(second, by_air=ByAir.NO)))

    assert [str(change) for change in compare_operations(operation, new)] == [
        "changed label's word on application by air of product plain: unknown -> no"
    ]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "by_air: yes",
            "by_air: no",
            (
                "F72 job `pasture-sd` names Thistle-Out 4, but the label does not allow it to be "
                "applied by air\n  hint: take it out of the job; no paper makes that lawful"
            ),
        ),
        (
            "id: plain",
            "id: thistle-out",
            "F12 the id `thistle-out` stands twice\n  hint: give each its own id",
        ),
        (
            "[thistle-out]",
            "[thistle]",
            (
                "F13 job `pasture-sd` names 'thistle', which is no product of the file\n"
                "  hint: did you mean `thistle-out`?"
            ),
        ),
        (
            "99999-1",
            "none",
            (
                "F71 the EPA registration number is 'none', which does not look like one\n  "
                "hint: copy "
                "it from the label: digits, a hyphen and digits, such as 99999-1; or exempt"
            ),
        ),
        (
            "    restricted_use: yes\n    aircraft: tg46\n",
            "    restricted_use: no\n    aircraft: tg46\n",
            (
                "F73 job `pasture-sd` says `restricted_use: no`, but Thistle-Out 4 is one\n  hint: "
                "write `restricted_use: yes`; it decides which licenses are needed"
            ),
        ),
    ],
)
def test_fault_of_a_product_is_said(old: str, new: str, expected: str) -> None:
    text = TEXT + LISTED
    assert old in text

    operation, problems = parse_operation(text.replace(old, new, 1), "op.yaml")

    assert operation is None
    assert [str(problem).partition(" ")[2] for problem in problems] == [expected]
