"""The papers around a packet: checklist and cover sheet, written together or not at all."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path

from compliance.app.planning import Planned, find_paper
from compliance.app.resources import write_files
from compliance.app.tables import load_templates
from compliance.base.problems import RefusedError
from compliance.engine.plan_model import PaperPlan
from compliance.outputs.checklist import Checklist, render_checklist_markdown
from compliance.outputs.checklist_pdf import render_checklist_pdf
from compliance.outputs.coversheet import CoverSheet, render_coversheet
from compliance.outputs.packet_model import compute_checklist, compute_coversheet
from compliance.outputs.pdf_kit import check_glyphs


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketWritten:
    """The files of one packet."""

    packet: str
    paths: tuple[Path, ...]


def write_packet(planned: Planned, name: str, folder: Path) -> PacketWritten:
    """Write a packet's checklist (Markdown and PDF) and cover sheet (PDF) into a folder.

    Raises:
        NotFoundError: No such packet.
        RefusedError: It is in hand already, or a name holds a character the font lacks.
        OutputError: A file cannot be written; none was.
    """
    paper = find_paper(planned.plan, name)
    if not paper.packet.planned:
        raise RefusedError(
            f"{paper.id} is in hand; there is no packet to send",
            hint="its renewal is planned when a job runs past its last day",
        )
    return write_packets(planned, (paper,), folder)[0]


def write_packets(
    planned: Planned, papers: tuple[PaperPlan, ...], folder: Path
) -> tuple[PacketWritten, ...]:
    """Write several packets into one folder, all of them or none.

    Raises:
        RefusedError: A text holds a character the font lacks.
        OutputError: A file cannot be written; none was.
    """
    templates = load_templates()
    contents: dict[str, bytes] = {}
    names: dict[str, list[str]] = {}
    for paper in papers:
        stem = paper.id.replace(":", "_")
        checklist = compute_checklist(planned.plan, paper, templates)
        sheet = compute_coversheet(planned.plan, paper)
        _check_characters(checklist)
        _check_characters(sheet)
        made = {
            f"{stem}_checklist.md": render_checklist_markdown(checklist).encode(),
            f"{stem}_checklist.pdf": render_checklist_pdf(checklist),
            f"{stem}_cover-sheet.pdf": render_coversheet(sheet),
        }
        contents |= made
        names[paper.id] = list(made)
    write_files(folder, contents)
    return tuple(
        PacketWritten(packet=packet, paths=tuple(folder / name for name in files))
        for packet, files in names.items()
    )


def _check_characters(page: Checklist | CoverSheet) -> None:
    """Refuse texts that would print as empty boxes on a paper for an office."""
    for text in _list_texts(page):
        missing = check_glyphs(text)
        if missing:
            raise RefusedError(
                f"{text!r} holds {', '.join(missing)}, which the printed font does not have",
                hint="write it in Latin, Greek or Cyrillic letters, as the agency has it",
            )


def _list_texts(value: object) -> Iterator[str]:
    """List every text anywhere in the model of a page."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _list_texts(one)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _list_texts(getattr(value, field.name))
