"""The papers around a packet: checklist, cover sheet, our own papers; all written or none."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import TypeAlias

from compliance.app.planning import Planned, find_paper
from compliance.app.resources import write_files
from compliance.app.tables import load_templates
from compliance.base.problems import RefusedError
from compliance.engine.check_model import CheckResult
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.forms.model import FormTemplate
from compliance.outputs.checklist import Checklist, render_checklist_markdown
from compliance.outputs.checklist_pdf import render_checklist_pdf
from compliance.outputs.coversheet import CoverSheet, render_coversheet
from compliance.outputs.notary_visit import (
    NotaryVisit,
    UnswornDeclaration,
    compute_notary_visit,
    compute_unsworn_declaration,
)
from compliance.outputs.notary_visit_pdf import render_notary_visit, render_unsworn_declaration
from compliance.outputs.own_documents import compute_own_documents
from compliance.outputs.own_documents_pdf import render_own_document
from compliance.outputs.own_model import OwnDocument
from compliance.outputs.packet_model import compute_checklist, compute_coversheet
from compliance.outputs.pdf_kit import check_glyphs

Checks: TypeAlias = Mapping[str, CheckResult]
NO_CHECKS: Checks = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketWritten:
    """The files of one packet."""

    packet: str
    paths: tuple[Path, ...]


def write_packet(
    planned: Planned, name: str, folder: Path, checks: Checks = NO_CHECKS
) -> PacketWritten:
    """Write a packet's checklist (Markdown and PDF), cover sheet and own papers into a folder.

    Our own papers are PDFs named after the document; a packet with a notary step also gets a page
    for the visit.

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
    return write_packets(planned, (paper,), folder, checks)[0]


def write_packets(
    planned: Planned, papers: tuple[PaperPlan, ...], folder: Path, checks: Checks = NO_CHECKS
) -> tuple[PacketWritten, ...]:
    """Write several packets into one folder, all of them or none.

    *checks* are the checks made so far, by packet; they show on the papers.

    Raises:
        RefusedError: A text holds a character the font lacks.
        OutputError: A file cannot be written; none was.
    """
    templates = load_templates()
    contents: dict[str, bytes] = {}
    names: dict[str, list[str]] = {}
    for paper in papers:
        stem = paper.id.replace(":", "_")
        checklist = compute_checklist(planned.plan, paper, templates, checks.get(paper.id))
        sheet = compute_coversheet(planned.plan, paper, checks.get(paper.id))
        _check_characters(checklist)
        _check_characters(sheet)
        made = {
            f"{stem}_checklist.md": render_checklist_markdown(checklist).encode(),
            f"{stem}_checklist.pdf": render_checklist_pdf(checklist),
            f"{stem}_cover-sheet.pdf": render_coversheet(sheet),
            **_render_own(planned.plan, paper, templates, stem),
        }
        contents |= made
        names[paper.id] = list(made)
    write_files(folder, contents)
    return tuple(
        PacketWritten(packet=packet, paths=tuple(folder / name for name in files))
        for packet, files in names.items()
    )


def _render_own(
    plan: Plan, paper: PaperPlan, templates: Mapping[str, FormTemplate], stem: str
) -> dict[str, bytes]:
    """Render the papers we supply ourselves, and the pages for the notary."""
    made = {}
    for document in compute_own_documents(plan, paper, templates):
        _check_characters(document)
        made[f"{stem}_{document.name}.pdf"] = render_own_document(document)
    visit = compute_notary_visit(plan, paper)
    if visit is not None:
        _check_characters(visit)
        made[f"{stem}_notary-visit.pdf"] = render_notary_visit(visit)
    sheet = compute_unsworn_declaration(plan, paper)
    if sheet is not None:
        _check_characters(sheet)
        made[f"{stem}_unsworn-declaration.pdf"] = render_unsworn_declaration(sheet)
    return made


def _check_characters(
    page: Checklist | CoverSheet | OwnDocument | NotaryVisit | UnswornDeclaration,
) -> None:
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
