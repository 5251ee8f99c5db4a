"""Facts files that are right, and what stands in for what they leave out."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    Closure,
    EntityType,
    HeldPaper,
    Holder,
    HolderKind,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.parse import parse_operation

DEMO = Path(__file__).parents[2] / "demo_data" / "sandbur_flats.yaml"
SMALLEST = """\
mailby_file: 1
operation:
  id: example-farm
  legal_name: Pat Example
  entity: individual
  home_state: NE
  mailing_address: [1 Example Road, "Exampleton, NE 00000"]
  contact: {name: Pat Example, phone: 402-555-0100}
"""
MACHINE = """\
aircraft:
  - {id: big, maker: Works, model: Big, serial: 0012, takeoff_weight_lb: 54.9, acquired: used-us}
pilots:
  - {id: pat, name: Pat Example}
jobs:
  - {id: j, first_day: 2027-05-24, last_day: 2027-05-24, state: NE, for_hire: no,
     restricted_use: yes}
"""


def read(text: str) -> Operation:
    operation, problems = parse_operation(text, "farm.yaml")
    assert problems == ()
    assert operation is not None
    return operation


def codes(text: str) -> list[str]:
    operation, problems = parse_operation(text, "farm.yaml")
    assert operation is None
    return [problem.code for problem in problems]


SMALLEST_OPERATION = Operation(
    id="example-farm",
    legal_name="Pat Example",
    entity=EntityType.INDIVIDUAL,
    managed_by=None,
    mailing_address=Address(lines=("1 Example Road", "Exampleton, NE 00000")),
    physical_address=None,
    contact_name="Pat Example",
    contact_phone="402-555-0100",
    contact_email="",
    home_state="NE",
    mail_service=MailService.FIRST_CLASS,
)


def test_parse_operation_smallest_file() -> None:
    assert read(SMALLEST) == SMALLEST_OPERATION


def test_parse_operation_only_machine_and_pilot_do_the_job() -> None:
    assert read(SMALLEST + MACHINE) == replace(
        SMALLEST_OPERATION,
        aircraft=(
            Aircraft(
                id="big",
                maker="Works",
                model="Big",
                serial="0012",
                takeoff_weight_lb=Decimal("54.9"),
                acquired=Acquired.USED_US,
            ),
        ),
        pilots=(Pilot(id="pat", name="Pat Example"),),
        jobs=(
            Job(
                id="j",
                first_day=date(2027, 5, 24),
                last_day=date(2027, 5, 24),
                state="NE",
                for_hire=False,
                restricted_use=True,
                material=Material.PESTICIDE,
                aircraft=("big",),
                pilots=("pat",),
            ),
        ),
    )


def test_parse_operation_demo_is_the_scenario() -> None:
    """The scenario as the project describes it; the numbers are invented."""
    demo = read(DEMO.read_text(encoding="utf-8"))

    assert demo.legal_name == "Sandbur Flats Aerial LLC"
    assert (demo.entity, demo.managed_by) == (EntityType.LLC, ManagedBy.MEMBERS)
    assert [pilot.name for pilot in demo.pilots] == ["Odile Ferrant", "Wren Castellow"]
    assert [(machine.model, machine.takeoff_weight_lb) for machine in demo.aircraft] == [
        ("TG-46", Decimal(118)),
        ("TG-18", Decimal(49)),
    ]
    assert demo.first_spray == date(2027, 5, 24)
    assert max(job.last_day for job in demo.jobs) == date(2027, 9, 30)
    assert {job.state for job in demo.jobs} == {"NE", "SD"}
    assert [job.id for job in demo.jobs if not job.for_hire] == ["own-quarter"]
    assert [job.id for job in demo.jobs if job.material is Material.SEED] == ["cover-crop"]
    assert "555" in demo.contact_phone
    assert demo.contact_email.endswith(".example")  # RFC 2606: a name nobody can own


def test_parse_operation_demo_has_a_paper_that_lapses_in_the_season() -> None:
    demo = read(DEMO.read_text(encoding="utf-8"))
    first, last = date(2027, 5, 24), date(2027, 9, 30)
    ends = [held.valid_through for held in demo.papers if held.valid_through is not None]

    assert [end for end in ends if first <= end < last] == [date(2027, 7, 31)]


def test_parse_operation_reads_every_field() -> None:
    text = (
        SMALLEST.replace("individual", "llc\n  managed_by: officers\n  mail_service: courier")
        .replace("1 Example Road", "PO Box 1")
        .replace("phone: 402-555-0100", "phone: +1 (402) 555-0100, email: pat@farm.example")
        .replace("  contact", "  physical_address: [2 Field Road, Exampleton]\n  contact")
        + MACHINE.replace("0012", '"0012", remote_id_serial: R1, registration_number: N1').replace(
            "54.9", "54.9, n_number_wanted: yes"
        )
        + "    # flags of the job\n"
        + "closures:\n  - {who: bank, first_day: 2027-03-01, last_day: 2027-03-02, why: flood}\n"
        + "papers:\n"
        + "  - {paper: faa.registration-n, holder: big, number: N1, valid_through: 2030-01-31}\n"
        + "  - {paper: faa.remote-pilot, holder: pat, issued_on: 2025-02-03, valid_through: open}\n"
        + "  - {paper: ins.liability, valid_through: }\n"
        + "notary_days: [tue]\npost_office_days: mon\n"
    ).replace(
        "restricted_use: yes}",
        "restricted_use: no, material: fertilizer, controlled_airspace: yes,\n"
        "     outside_blanket_area: yes, congested_area: yes, note: n}",
    )
    operation = read(text)

    assert operation.managed_by is ManagedBy.OFFICERS
    assert operation.mail_service is MailService.COURIER
    assert operation.mailing_address.is_po_box
    assert operation.physical_address == Address(lines=("2 Field Road", "Exampleton"))
    assert operation.contact_phone == "+1 (402) 555-0100"
    assert operation.contact_email == "pat@farm.example"
    assert operation.aircraft[0].remote_id_serial == "R1"
    assert operation.aircraft[0].registration_number == "N1"
    assert operation.aircraft[0].n_number_wanted
    job = operation.jobs[0]
    assert job.material is Material.FERTILIZER
    assert (job.controlled_airspace, job.outside_blanket_area, job.congested_area) == (True,) * 3
    assert job.note == "n"
    assert operation.papers == (
        HeldPaper(
            paper="faa.registration-n",
            holder=Holder(kind=HolderKind.AIRCRAFT, ref="big"),
            number="N1",
            valid_through=date(2030, 1, 31),
        ),
        HeldPaper(
            paper="faa.remote-pilot",
            holder=Holder(kind=HolderKind.PILOT, ref="pat"),
            issued_on=date(2025, 2, 3),
        ),
        HeldPaper(paper="ins.liability", holder=Holder(kind=HolderKind.OPERATION)),
    )
    assert operation.closures == (
        Closure(who="bank", first_day=date(2027, 3, 1), last_day=date(2027, 3, 2), why="flood"),
    )
    assert operation.notary_days == ("tue",)
    assert operation.post_office_days == ("mon",)


def test_parse_operation_of_no_text_is_a_problem() -> None:
    assert codes("") == ["S004"]


def test_parse_operation_without_its_head_still_reads_the_rest() -> None:
    assert codes("mailby_file: 1\naircraft:\n  - {id: Big}\n") == [
        "F03",  # operation
        *["F03"] * 5,  # maker, model, serial, weight, acquired
        "F11",
    ]


@pytest.mark.parametrize(
    "key", ["id", "legal_name", "entity", "home_state", "mailing_address", "contact"]
)
def test_parse_operation_lacks_one_line_of_its_head(key: str) -> None:
    rows = [row for row in SMALLEST.splitlines() if not row.startswith(f"  {key}:")]
    operation, problems = parse_operation("\n".join(rows), "farm.yaml")

    assert operation is None
    assert [str(problem).splitlines()[0] for problem in problems] == [
        f"farm.yaml:3:3: F03 the operation lacks `{key}`"
    ]


@pytest.mark.parametrize("key", ["name", "phone"])
def test_parse_operation_lacks_one_part_of_the_contact(key: str) -> None:
    text = SMALLEST.replace(f"{{{key}: Pat Example, ", "{").replace(f", {key}: 402-555-0100", "")
    operation, problems = parse_operation(text, "farm.yaml")

    assert operation is None
    assert [problem.sentence for problem in problems] == [f"the contact lacks `{key}`"]


@pytest.mark.parametrize(
    ("section", "what"),
    [("aircraft", "aircraft `x`"), ("pilots", "pilot `x`"), ("jobs", "job `x`")],
)
def test_parse_operation_names_the_item_that_lacks_something(section: str, what: str) -> None:
    _, problems = parse_operation(f"{SMALLEST}{section}:\n  - id: x\n", "farm.yaml")

    assert problems[0].sentence.startswith(f"{what} lacks ")


@pytest.mark.parametrize(
    ("section", "what"),
    [
        ("aircraft", "an aircraft"),
        ("pilots", "a pilot"),
        ("jobs", "a job"),
        ("papers", "a paper"),
        ("closures", "a closure"),
    ],
)
def test_parse_operation_item_without_a_name(section: str, what: str) -> None:
    _, problems = parse_operation(f"{SMALLEST}{section}:\n  - note: x\n", "farm.yaml")

    assert any(problem.sentence.startswith(f"{what} lacks ") for problem in problems)


def test_parse_operation_without_contact_says_it_once() -> None:
    text = SMALLEST.replace("  contact: {name: Pat Example, phone: 402-555-0100}\n", "")

    assert codes(text) == ["F03"]


def test_parse_operation_bad_entity_does_not_complain_of_the_manager() -> None:
    assert codes(SMALLEST.replace("individual", "llcc\n  managed_by: members")) == ["F05"]


def test_parse_operation_bad_manager_of_an_llc_says_it_once() -> None:
    assert codes(SMALLEST.replace("individual", "llc\n  managed_by: owners")) == ["F05"]


def test_parse_operation_bad_day_does_not_spoil_the_span() -> None:
    assert codes(SMALLEST + MACHINE.replace("last_day: 2027-05-24", "last_day: soon")) == ["F06"]
    assert codes(SMALLEST + MACHINE.replace("2027-05-24", "soon")) == ["F06", "F06"]


def test_parse_operation_no_weekday_at_all() -> None:
    assert codes(SMALLEST + "notary_days: []\n") == ["F08"]


def test_parse_operation_bad_end_of_a_paper() -> None:
    assert codes(SMALLEST + "papers:\n  - {paper: a.b, valid_through: Open}\n") == ["F06"]


@pytest.mark.parametrize(
    ("word", "codes_found"),
    [("1320", []), ("1320.01", ["F07"]), ("0.01", []), ("0", ["F07"]), ("-5", ["F07"])],
)
def test_parse_operation_weight_limits(word: str, codes_found: list[str]) -> None:
    _, problems = parse_operation(SMALLEST + MACHINE.replace("54.9", word), "farm.yaml")

    assert [problem.code for problem in problems] == codes_found


def test_parse_operation_finds_everything_at_once() -> None:
    text = (SMALLEST + MACHINE).replace("NE", "ZZ").replace("yes", "perhaps").replace("0012", "''")

    assert codes(text) == ["F16", "F08", "F16", "F05"]
