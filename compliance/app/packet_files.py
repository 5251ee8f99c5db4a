"""The papers around a packet: checklist, cover sheet, our own papers; all written or none."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from compliance.app.own_papers import OwnPaper, check_characters, render_own_papers
from compliance.app.planning import Planned, find_paper
from compliance.app.resources import write_files
from compliance.app.tables import load_templates
from compliance.base.problems import RefusedError
from compliance.engine.check_model import CheckResult
from compliance.engine.plan_model import PaperPlan
from compliance.outputs.checklist import render_checklist_markdown
from compliance.outputs.checklist_pdf import render_checklist_pdf
from compliance.outputs.coversheet import render_coversheet
from compliance.outputs.packet_model import compute_checklist, compute_coversheet

Checks: TypeAlias = Mapping[str, CheckResult]
NO_CHECKS: Checks = {}
Keep: TypeAlias = Callable[[tuple[OwnPaper, ...]], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketWritten:
    """The files of one packet."""

    packet: str
    paths: tuple[Path, ...]


def write_packet(
    planned: Planned,
    name: str,
    folder: Path,
    checks: Checks = NO_CHECKS,
    keep: Keep | None = None,
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
    return write_packets(planned, (paper,), folder, checks, keep)[0]


def write_packets(
    planned: Planned,
    papers: tuple[PaperPlan, ...],
    folder: Path,
    checks: Checks = NO_CHECKS,
    keep: Keep | None = None,
) -> tuple[PacketWritten, ...]:
    """Write several packets into one folder, all of them or none.

    *checks* are the checks made so far, by packet; they show on the papers. *keep* is given our own
    papers before any file is written, so that a page never leaves without its places being known.

    Raises:
        RefusedError: A text holds a character the font lacks.
        OutputError: A file cannot be written; none was.
    """
    templates = load_templates()
    contents: dict[str, bytes] = {}
    names: dict[str, list[str]] = {}
    own: list[OwnPaper] = []
    for paper in papers:
        stem = paper.id.replace(":", "_")
        checklist = compute_checklist(planned.plan, paper, templates, checks.get(paper.id))
        sheet = compute_coversheet(planned.plan, paper, checks.get(paper.id))
        check_characters(checklist)
        check_characters(sheet)
        made = {
            f"{stem}_checklist.md": render_checklist_markdown(checklist).encode(),
            f"{stem}_checklist.pdf": render_checklist_pdf(checklist),
            f"{stem}_cover-sheet.pdf": render_coversheet(sheet),
        }
        ours = render_own_papers(planned.plan, paper, templates)
        own += ours
        made |= {f"{stem}_{one.name}.pdf": one.pages.pdf for one in ours}
        contents |= made
        names[paper.id] = list(made)
    if keep is not None:
        keep(tuple(own))
    write_files(folder, contents)
    return tuple(
        PacketWritten(packet=packet, paths=tuple(folder / name for name in files))
        for packet, files in names.items()
    )
