"""The papers we write ourselves: rendered for a packet, and their places kept for the check."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.known_forms import KnownForm, KnownPlace, Printed, save_known
from compliance.app.old_papers import forget_old_papers
from compliance.app.own_facts import VISIT, find_facts
from compliance.app.resources import write_private_files
from compliance.base.problems import RefusedError
from compliance.engine.declaration import DECLARATION
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.forms.model import FormTemplate
from compliance.outputs.notary_visit import compute_notary_visit, compute_unsworn_declaration
from compliance.outputs.notary_visit_pdf import render_notary_visit, render_unsworn_declaration
from compliance.outputs.own_documents import compute_own_documents
from compliance.outputs.own_documents_pdf import render_own_document
from compliance.outputs.own_model import OwnPages, OwnPlace
from compliance.outputs.pdf_kit import check_glyphs
from compliance.scan.model import Region


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPaper:
    """One paper of our own, ready to be written.

    ``template`` is the id of its form, or its ``name`` when it is no document of the packet;
    ``facts`` tells papers apart that say something different, whatever day they are printed.
    """

    name: str
    template: str
    packet: str
    facts: str
    pages: OwnPages


def render_own_papers(
    plan: Plan, paper: PaperPlan, templates: Mapping[str, FormTemplate]
) -> tuple[OwnPaper, ...]:
    """Render the papers of a packet that we supply ourselves, and the pages for the notary.

    Raises:
        RefusedError: A text holds a character the font lacks.
    """
    forms = {row.id.rpartition(".")[2]: row.template for row in paper.packet.documents}
    made = []
    for document in compute_own_documents(plan, paper, templates):
        check_characters(document)
        made.append(
            OwnPaper(
                name=document.name,
                template=forms[document.name],
                packet=paper.id,
                facts=find_facts(document),
                pages=render_own_document(document),
            )
        )
    visit = compute_notary_visit(plan, paper)
    if visit is not None:
        check_characters(visit)
        made.append(_beside(VISIT, paper.id, render_notary_visit(visit)))
    sheet = compute_unsworn_declaration(plan, paper)
    if sheet is not None:
        check_characters(sheet)
        made.append(_beside(DECLARATION, paper.id, render_unsworn_declaration(sheet)))
    return tuple(made)


def _beside(name: str, packet: str, pages: OwnPages) -> OwnPaper:
    return OwnPaper(name=name, template=name, packet=packet, facts="", pages=pages)


def keep_own_papers(
    session: Session,
    papers: tuple[OwnPaper, ...],
    folder: Path,
    printed_on: date,
    *,
    clock_day: date | None = None,
) -> tuple[Path, ...]:
    """Keep the places of papers about to be printed, and a copy of each; give the copies.

    Old copies that nothing rests on are forgotten, but only when *clock_day*, the day of the clock,
    is the day printed for: who looks at another day loses nothing.

    Raises:
        OutputError: A copy cannot be written.
    """
    names = [f"{paper.template}_{paper.pages.code}.pdf" for paper in papers]
    contents = {name: paper.pages.pdf for name, paper in zip(names, papers, strict=True)}
    if contents:
        write_private_files(folder, contents)
    for name, paper in zip(names, papers, strict=True):
        save_known(session, _to_known(paper, folder / name, printed_on))
    if clock_day == printed_on:
        forget_old_papers(session, folder, printed_on)
    return tuple(folder / name for name in contents)


def _to_known(paper: OwnPaper, kept: Path, printed_on: date) -> KnownForm:
    places = paper.pages.places
    count = Counter(place.spot.blank for place in places if not place.spot.printed)
    seen: Counter[str] = Counter()
    known = []
    for place in places:
        blank = place.spot.blank
        if not place.spot.printed:
            seen[blank] += 1
            number = seen[blank] if count[blank] > 1 else 0
            known.append(KnownPlace(blank=blank, region=_to_region(place, number)))
    return KnownForm(
        template=paper.template,
        code=paper.pages.code,
        kept_on=printed_on,
        blank_file=kept,
        places=tuple(known),
        codes=paper.pages.codes,
        printed=tuple(
            Printed(blank=place.spot.blank, says=place.spot.printed, page=place.page)
            for place in places
            if place.spot.printed
        ),
        packet=paper.packet,
        facts=paper.facts,
    )


def _to_region(place: OwnPlace, number: int) -> Region:
    """Make the region of a place; *number* counts the places of its blank, 0 when it has one."""
    spot = place.spot
    return Region(
        id=f"{spot.blank}-{number}" if number else spot.blank,
        label=spot.label,
        kind=spot.kind,
        page=place.page,
        left=place.left,
        bottom=place.bottom,
        right=place.right,
        top=place.top,
        part_of=spot.blank if number else "",
        way=spot.way,
    )


def check_characters(page: object) -> None:
    """Refuse texts that would print as empty boxes on a paper for an office.

    Raises:
        RefusedError: A text holds a character the font lacks.
    """
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
