"""Small questions that the values answer about themselves."""

from dataclasses import replace
from pathlib import Path

import pytest

from compliance.facts.model import Address, Holder, HolderKind, Operation
from compliance.facts.parse import parse_operation

DEMO_FILE = Path(__file__).parents[2] / "demo_data" / "sandbur_flats.yaml"


@pytest.fixture(scope="module")
def demo() -> Operation:
    operation, problems = parse_operation(DEMO_FILE.read_text(encoding="utf-8"), "demo")
    assert problems == ()
    assert operation is not None
    return operation


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        # Ways to write a box: USPS Publication 28, section 28 (from memory).
        ("PO Box 12", True),
        ("P.O. Box 12", True),
        ("P. O. Box 12", True),
        ("po box 12", True),
        ("12 Boxelder Road", False),
        ("Box 12, Rural Route 1", False),
        ("12 Depot Box Road", False),
    ],
)
def test_address_po_box(line: str, expected: bool) -> None:
    assert Address(lines=("Care of Pat", line, "Exampleton, NE 00000")).is_po_box is expected


def test_aircraft_registration_shows_remote_id_serial_first(demo: Operation) -> None:
    machine = demo.aircraft[0]

    assert machine.registration_serial == "INVENTED-TG46-00017"
    assert replace(machine, remote_id_serial="").registration_serial == "46-00017"


def test_operation_first_spray_is_the_earliest_job(demo: Operation) -> None:
    assert replace(demo, jobs=demo.jobs[::-1]).first_spray == demo.jobs[0].first_day
    assert replace(demo, jobs=()).first_spray is None


def test_operation_finds_by_id(demo: Operation) -> None:
    assert demo.find_aircraft("tg18") == demo.aircraft[1]
    assert demo.find_aircraft("wren") is None
    assert demo.find_pilot("wren") == demo.pilots[1]
    assert demo.find_pilot("tg18") is None


@pytest.mark.parametrize(
    ("kind", "ref", "words"),
    [
        (HolderKind.OPERATION, "", "Sandbur Flats Aerial LLC"),
        (HolderKind.AIRCRAFT, "tg46", "TG-46 46-00017"),
        (HolderKind.PILOT, "wren", "Wren Castellow"),
    ],
)
def test_operation_says_holder(demo: Operation, kind: HolderKind, ref: str, words: str) -> None:
    assert demo.say_holder(Holder(kind=kind, ref=ref)) == words


def test_holder_as_text() -> None:
    assert str(Holder(kind=HolderKind.PILOT, ref="wren")) == "pilot:wren"
    assert str(Holder(kind=HolderKind.OPERATION)) == "operation"
