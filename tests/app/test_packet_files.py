"""The papers around a packet: their names, what they say, and that none is written by half.

Texts are read back by pypdf, the square code by zxing-cpp; neither wrote them.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from compliance.app.demo import DEMO_DAY
from compliance.app.packet_files import write_packet, write_packets
from compliance.app.planning import Planned
from compliance.base.problems import NotFoundError, OutputError, RefusedError
from compliance.engine.plan import compute_plan
from compliance.facts.log import LogEntry
from compliance.facts.model import Address, Operation
from compliance.rules.model import RulesTable

PACKET = "faa.registration-n:tg46"
STEM = "faa.registration-n_tg46"
Planner = Callable[[Operation], Planned]


@pytest.fixture
def plan_of(demo_log: tuple[LogEntry, ...], table: RulesTable) -> Planner:
    """Plan a changed demo operation."""
    return lambda operation: Planned(
        plan=compute_plan(operation, table, demo_log, DEMO_DAY), table=table, log=demo_log
    )


def text_of(path: Path) -> str:
    """The text of a PDF with all blanks taken out, since lines may break anywhere."""
    return "".join("".join(page.extract_text() for page in PdfReader(path).pages).split())


def squeeze(text: str) -> str:
    return "".join(text.split())


def test_write_packet_files_and_names(demo_planned: Planned, tmp_path: Path) -> None:
    written = write_packet(demo_planned, "faa.registration-n", tmp_path)

    assert written.packet == PACKET
    assert [path.name for path in written.paths] == [
        f"{STEM}_checklist.md",
        f"{STEM}_checklist.pdf",
        f"{STEM}_cover-sheet.pdf",
        f"{STEM}_llc-statement.pdf",
        f"{STEM}_notary-visit.pdf",
        f"{STEM}_unsworn-declaration.pdf",
    ]
    assert sorted(tmp_path.iterdir()) == sorted(written.paths)


def test_write_packets_all_names_suit_every_disk(demo_planned: Planned, tmp_path: Path) -> None:
    """No sign is special on Linux, macOS or Windows, and no two names differ by case alone."""
    papers = tuple(one for one in demo_planned.plan.papers if one.packet.planned)

    written = write_packets(demo_planned, papers, tmp_path)
    names = [path.name for one in written for path in one.paths]

    own = ("_llc-statement.pdf", "_notary-visit.pdf", "_unsworn-declaration.pdf", "_petition.pdf")
    extra = [name for name in names if name.endswith(own)]

    assert len(extra) == len(own)
    assert len(names) == 3 * len(papers) + len(own) == len({name.lower() for name in names})
    assert [name for name in names if not re.fullmatch(r"[a-z0-9._-]+", name)] == []


def test_write_packet_checklists_say_the_facts(
    demo_planned: Planned, demo_operation: Operation, tmp_path: Path
) -> None:
    markdown, checklist, *_ = write_packet(demo_planned, PACKET, tmp_path).paths
    wanted = [
        demo_operation.legal_name,
        "Tallgrass Rotorworks",
        "INVENTED-TG46-00017",
        "notary block: commission expiry left empty",
        "P.O. Box 25504",
        PACKET,
    ]
    text = squeeze(markdown.read_text(encoding="utf-8").replace("\\", ""))

    assert [one for one in wanted if squeeze(one) not in text] == []
    assert [one for one in wanted if squeeze(one) not in text_of(checklist)] == []


def test_write_packet_cover_sheets_carry_their_code(demo_planned: Planned, tmp_path: Path) -> None:
    papers = tuple(one for one in demo_planned.plan.papers if one.packet.planned)

    written = write_packets(demo_planned, papers, tmp_path)
    codes = {}
    for one in written:
        with pypdfium2.PdfDocument(one.paths[2]) as document:
            image = document[0].render(scale=2).to_pil()
        codes[one.packet] = [code.text for code in zxingcpp.read_barcodes(image)]

    assert codes == {paper.id: [paper.id] for paper in papers}


def test_write_packet_cover_sheet_addresses_the_office(
    demo_planned: Planned, demo_operation: Operation, tmp_path: Path
) -> None:
    """The office's address: FAA leaflet on recording ownership."""
    sheet = text_of(write_packet(demo_planned, PACKET, tmp_path).paths[2])
    wanted = ["P.O. Box 25504", "Oklahoma City, OK 73125", *demo_operation.mailing_address.lines]

    assert [line for line in wanted if squeeze(line) not in sheet] == []


def test_write_packet_letters_of_other_tongues_are_printed(
    plan_of: Planner, demo_operation: Operation, tmp_path: Path
) -> None:
    name = "Łódź Çiğdem Ψάρι Жито & <Sons> LLC"
    planned = plan_of(replace(demo_operation, legal_name=name))

    _, checklist, sheet, statement, _, declaration = write_packet(planned, PACKET, tmp_path).paths

    assert squeeze(name) in text_of(checklist)
    assert squeeze(name) in text_of(sheet)
    assert squeeze(name) in text_of(statement)
    assert squeeze(name) in text_of(declaration)


CHANGES: dict[str, Callable[[Operation], Operation]] = {
    "legal name": lambda operation: replace(operation, legal_name="麦田 LLC"),
    "contact name": lambda operation: replace(operation, contact_name="Odile \U0001f69c"),
    "e-mail": lambda operation: replace(operation, contact_email="\U0001f69c@farm.example"),
    "address": lambda operation: replace(
        operation, mailing_address=Address(lines=("田 1", "Burrell Crossing, NE 00000"))
    ),
    "serial": lambda operation: replace(
        operation,
        aircraft=tuple(replace(one, remote_id_serial="田1") for one in operation.aircraft),
    ),
}


@pytest.mark.parametrize("what", CHANGES)
def test_write_packet_sign_without_a_glyph_is_refused(
    plan_of: Planner,
    demo_operation: Operation,
    what: str,
    tmp_path: Path,
) -> None:
    """An empty box in a legal name would send the packet back."""
    planned = plan_of(CHANGES[what](demo_operation))

    with pytest.raises(RefusedError) as caught:
        write_packet(planned, PACKET, tmp_path / "out")

    assert "which the printed font does not have" in caught.value.message
    assert not (tmp_path / "out").exists()


def test_write_packet_return_reason_without_a_glyph_is_refused(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable, tmp_path: Path
) -> None:
    log = tuple(
        replace(entry, reason="stamp \U0001f69c") if entry.reason else entry for entry in demo_log
    )
    plan = compute_plan(demo_operation, table, log, DEMO_DAY)

    with pytest.raises(RefusedError, match="which the printed font does not have"):
        write_packet(Planned(plan=plan, table=table, log=log), PACKET, tmp_path / "out")


def test_write_packet_in_hand_is_refused(demo_planned: Planned, tmp_path: Path) -> None:
    with pytest.raises(RefusedError) as caught:
        write_packet(demo_planned, "faa.remote-pilot:wren", tmp_path)

    assert caught.value.message == "faa.remote-pilot:wren is in hand; there is no packet to send"


def test_write_packet_unknown(demo_planned: Planned, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError):
        write_packet(demo_planned, "../../etc/passwd", tmp_path)

    assert list(tmp_path.iterdir()) == []


def test_write_packets_one_in_the_way_writes_none(demo_planned: Planned, tmp_path: Path) -> None:
    papers = tuple(one for one in demo_planned.plan.papers if one.packet.planned)
    blocked = tmp_path / "sd.commercial-applicator_wren_cover-sheet.pdf"
    blocked.mkdir()

    with pytest.raises(OutputError):
        write_packets(demo_planned, papers, tmp_path)

    assert list(tmp_path.iterdir()) == [blocked]


def test_write_packets_again_is_the_same(demo_planned: Planned, tmp_path: Path) -> None:
    papers = tuple(one for one in demo_planned.plan.papers if one.packet.planned)
    write_packets(demo_planned, papers, tmp_path / "one")
    write_packets(demo_planned, papers, tmp_path / "two")

    one, two = (
        {path.name: path.read_bytes() for path in (tmp_path / name).iterdir()}
        for name in ("one", "two")
    )

    assert one == two
