"""What changed between two readings, in the words a user sees."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from compliance.facts.compare import Change, ChangeKind, compare_operations
from compliance.facts.model import Address, Closure, Operation
from compliance.facts.parse import parse_operation

DEMO_FILE = Path(__file__).parents[2] / "demo_data" / "sandbur_flats.yaml"


def read_demo() -> Operation:
    operation, problems = parse_operation(DEMO_FILE.read_text(encoding="utf-8"), "demo")
    assert problems == ()
    assert operation is not None
    return operation


DEMO = read_demo()


def lines(old: Operation | None, new: Operation) -> list[str]:
    return [str(change) for change in compare_operations(old, new)]


def test_compare_same_is_nothing() -> None:
    assert compare_operations(DEMO, read_demo()) == ()


def test_compare_order_of_a_list_is_nothing() -> None:
    turned = replace(
        DEMO,
        aircraft=DEMO.aircraft[::-1],
        jobs=DEMO.jobs[::-1],
        papers=DEMO.papers[::-1],
        closures=DEMO.closures[::-1],
    )

    assert compare_operations(DEMO, turned) == ()


def test_compare_first_load_adds_everything() -> None:
    changes = compare_operations(None, DEMO)

    assert {change.kind for change in changes} == {ChangeKind.ADDED}
    assert len(changes) == 1 + 2 + 2 + 4 + 7 + 4 + 2
    assert str(changes[0]) == "added operation: Sandbur Flats Aerial LLC"
    assert str(changes[1]) == (
        "added aircraft tg46: Tallgrass Rotorworks TG-46, serial 46-00017, 118 lb"
    )


def test_compare_change_has_both_values() -> None:
    assert compare_operations(DEMO, replace(DEMO, legal_name="Sandbur Aerial LLC")) == (
        Change(
            kind=ChangeKind.CHANGED,
            what="legal name of the operation",
            old="Sandbur Flats Aerial LLC",
            new="Sandbur Aerial LLC",
        ),
    )


def with_machine(**changes: object) -> Callable[[Operation], Operation]:
    first, *rest = DEMO.aircraft
    return lambda operation: replace(operation, aircraft=(replace(first, **changes), *rest))  # type: ignore[arg-type] # fields by name


def with_job(**changes: object) -> Callable[[Operation], Operation]:
    first, *rest = DEMO.jobs
    return lambda operation: replace(operation, jobs=(replace(first, **changes), *rest))  # type: ignore[arg-type] # fields by name


def with_last_paper(**changes: object) -> Callable[[Operation], Operation]:
    *rest, last = DEMO.papers
    return lambda operation: replace(operation, papers=(*rest, replace(last, **changes)))  # type: ignore[arg-type] # fields by name


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (
            with_machine(takeoff_weight_lb=Decimal("120.5")),
            ["changed take-off weight of aircraft tg46: 118 lb -> 120.5 lb"],
        ),
        (
            with_machine(registration_number="N1", n_number_wanted=True),
            [
                "changed registration number of aircraft tg46: nothing -> N1",
                "changed wish for an N-number of aircraft tg46: no -> yes",
            ],
        ),
        (
            with_job(first_day=date(2027, 5, 31)),
            ["changed first day of job pasture-ne: Mon 24 May 2027 -> Mon 31 May 2027"],
        ),
        (
            with_job(pilots=("odile",)),
            ["changed pilots of job pasture-ne: odile, wren -> odile"],
        ),
        (
            with_job(restricted_use=False, note=""),
            [
                "changed use of a restricted-use product of job pasture-ne: yes -> no",
                (
                    "changed note of job pasture-ne: leafy spurge and musk thistle in pastures "
                    "south of Burrell Crossing -> nothing"
                ),
            ],
        ),
        (
            with_last_paper(number="INVENTED-NE-32"),
            [
                (
                    "changed number of paper ne.commercial-applicator of Odile Ferrant: "
                    "INVENTED-NE-31 -> INVENTED-NE-32"
                )
            ],
        ),
        (
            with_last_paper(valid_through=None),
            [
                (
                    "changed last day in force of paper ne.commercial-applicator of Odile Ferrant: "
                    "Sat 15 Apr 2028 -> nothing"
                )
            ],
        ),
        (
            lambda demo: replace(demo, physical_address=None, managed_by=None),
            [
                "changed manager of the operation: members -> nothing",
                (
                    "changed physical address of the operation: "
                    "1 Invented Road, Burrell Crossing, NE 00000 -> nothing"
                ),
            ],
        ),
        (
            lambda demo: replace(demo, mailing_address=Address(lines=()), notary_days=()),
            [
                (
                    "changed mailing address of the operation: "
                    "P.O. Box 0, Burrell Crossing, NE 00000 -> nothing"
                ),
                "changed days the notary is in of the operation: tue, thu -> nothing",
            ],
        ),
        (
            lambda demo: replace(demo, pilots=demo.pilots[:1]),
            ["removed pilot wren: Wren Castellow"],
        ),
        (
            lambda demo: replace(demo, jobs=demo.jobs[1:]),
            ["removed job pasture-ne: Mon 24 May 2027 to Sat 12 Jun 2027 in NE"],
        ),
    ],
)
def test_compare_in_words(change: Callable[[Operation], Operation], expected: list[str]) -> None:
    assert lines(DEMO, change(DEMO)) == expected


def test_compare_renewed_paper_is_added_not_changed() -> None:
    """The old policy stays; a new one with its own number stands before it in the file."""
    policy = next(held for held in DEMO.papers if held.paper == "ins.liability")
    renewed = replace(
        policy,
        number="INVENTED-POLICY-8",
        issued_on=date(2027, 11, 1),
        valid_through=date(2028, 10, 31),
    )

    assert lines(DEMO, replace(DEMO, papers=(renewed, *DEMO.papers))) == [
        (
            "added paper ins.liability of Sandbur Flats Aerial LLC: "
            "number INVENTED-POLICY-8, valid through Tue 31 Oct 2028"
        )
    ]


def test_compare_removed_paper_names_the_old_holder() -> None:
    """The pilot is gone from the new file, so the old one must give the name."""
    kept = tuple(held for held in DEMO.papers if held.holder.ref != "wren")
    changed = replace(DEMO, pilots=DEMO.pilots[:1], papers=kept)

    assert lines(DEMO, changed) == [
        "removed pilot wren: Wren Castellow",
        "removed paper faa.remote-pilot of Wren Castellow: number INVENTED-0002, no end given",
        "removed paper faa.pilot-recency of Wren Castellow: valid through Sat 31 Jul 2027",
    ]


def test_compare_moved_closure_is_one_change_a_day() -> None:
    first, *rest = DEMO.closures
    moved = replace(first, last_day=date(2027, 3, 21))

    assert lines(DEMO, replace(DEMO, closures=(moved, *rest))) == [
        "changed last day of closure of field: Sun 14 Mar 2027 -> Sun 21 Mar 2027"
    ]


def test_compare_closure_moved_as_a_whole_keeps_its_reason() -> None:
    first, *rest = DEMO.closures
    moved = replace(first, first_day=date(2027, 3, 15), last_day=date(2027, 3, 21))

    assert lines(DEMO, replace(DEMO, closures=(moved, *rest))) == [
        "changed first day of closure of field: Mon 8 Mar 2027 -> Mon 15 Mar 2027",
        "changed last day of closure of field: Sun 14 Mar 2027 -> Sun 21 Mar 2027",
    ]


def test_compare_new_closure_without_a_reason() -> None:
    extra = Closure(who="federal", first_day=date(2027, 12, 24), last_day=date(2027, 12, 24))

    assert lines(DEMO, replace(DEMO, closures=(*DEMO.closures, extra))) == [
        "added closure of federal: Fri 24 Dec 2027 to Fri 24 Dec 2027"
    ]
