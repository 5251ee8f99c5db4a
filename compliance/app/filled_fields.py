"""Fields of a filled PDF: which blank each is, what they hold, the pages marked up."""

import hashlib
import json
from datetime import date

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from sqlmodel import Session

from compliance.app.wanted import wanted_blanks
from compliance.forms.model import FormTemplate
from compliance.scan.acroform_findings import BlankFinding
from compliance.scan.acroform_match import FieldMatch, propose_mapping
from compliance.scan.blank import INK_DPI
from compliance.scan.mark import render_crop, render_marked
from compliance.scan.model import PageFinding, Region, RegionFinding, Seen
from compliance.scan.pdf_model import FieldsRead, SealState
from compliance.scan.render import open_pdf, render_page
from compliance.store.checks import LearnedForm, load_learned, save_learned
from compliance.store.kept_json import parse_kept
from compliance.store.refusals import refuse_unreadable

FIELDS = "fields"
# A field either holds something or not; half stands for what a person has to look at.
_SCORES = {Seen.PRESENT: 1.0, Seen.CANNOT_TELL: 0.5, Seen.MISSING: 0.0}


def tie_fields(
    session: Session, read: FieldsRead, template: FormTemplate
) -> tuple[tuple[FieldMatch, ...], bool]:
    """Give the tie of fields to blanks, and whether a person has confirmed it."""
    edition = _edition(read)
    for known in load_learned(session, template.id, FIELDS):
        if known.edition == edition:
            with refuse_unreadable("the fields of a learned form"):
                return parse_kept(FieldMatch, known.content), True
    return propose_mapping(read.fields, wanted_blanks(template)), False


def keep_ties(
    session: Session,
    read: FieldsRead,
    template: FormTemplate,
    matches: tuple[FieldMatch, ...],
    on: date,
) -> None:
    """Keep a confirmed tie of fields to blanks for this edition of the form."""
    ties = [
        {"field": one.field, "blank": one.blank, "score": one.score, "why": one.why}
        for one in matches
    ]
    save_learned(
        session,
        LearnedForm(
            template=template.id,
            kind=FIELDS,
            edition=_edition(read),
            learned_on=on,
            content=json.dumps(ties, ensure_ascii=False),
            blank_file="",
        ),
    )


def _edition(read: FieldsRead) -> str:
    """Tell editions of a form apart by the names of its fields."""
    names = "\0".join(sorted(field.name for field in read.fields))
    return hashlib.sha256(names.encode()).hexdigest()[:16]


def read_value(read: FieldsRead, names: tuple[str, ...]) -> str:
    """Give the text of the named fields when only one of them holds any, else nothing."""
    values = [
        field.value.strip()
        for field in read.fields
        if field.name in names and field.seal is None and field.value.strip()
    ]
    return values[0] if len(values) == 1 else ""


def say_seals(read: FieldsRead) -> list[str]:
    """Say of every signed signature field what can be said about it."""
    lines = []
    for field in read.fields:
        seal = field.seal
        if seal is None or seal.state is SealState.UNSIGNED:
            continue
        if seal.state is SealState.DRAWN:
            lines.append(f"{field.name}: drawn with a pen tool; ask whether ink is wanted")
            continue
        whole = {True: "the signed bytes are intact", False: "the signed bytes were CHANGED"}
        text = whole.get(seal.is_intact, "whether the bytes are intact could not be told")  # type: ignore[arg-type]
        lines.append(
            f"{field.name}: a digital signature is present; {text}; the certificate was not judged"
        )
    return lines


def mark_fields(
    data: bytes, path: str, findings: tuple[BlankFinding, ...]
) -> tuple[PageFinding, ...]:
    """Draw every page of a filled PDF with its fields framed by what they hold.

    Shape: one finding a page, with a crop of each field that is not plainly filled in. A blank that
    several fields share has a place for each.

    Raises:
        RefusedError: A page cannot be drawn.
    """
    marked = []
    for number, size in enumerate(open_pdf(data).pages):
        page = render_page(data, number, INK_DPI, colour=True)
        seen = tuple(
            RegionFinding(
                region=region,
                seen=finding.seen,
                why=finding.why,
                score=_SCORES[finding.seen],
                crop=_crop(page, region, finding, size.height),
            )
            for finding in findings
            for region in _regions(finding, number)
        )
        marks = [(one.region, one.seen) for one in seen]
        dark = (1 - page.min(axis=2) / np.float32(255)).astype(np.float32)
        marked.append(
            PageFinding(
                picture=path,
                page=number,
                how="fields",
                why="Read from the fields of the PDF.",
                findings=seen,
                marked=render_marked(dark, marks, size.height),
            )
        )
    return tuple(marked)


def _crop(page: NDArray[np.uint8], region: Region, finding: BlankFinding, height: float) -> bytes:
    if finding.seen is Seen.PRESENT:
        return b""
    return render_crop(Image.fromarray(page), region, height)


def _regions(finding: BlankFinding, page: int) -> tuple[Region, ...]:
    """Give the places of a blank on one page."""
    blank = finding.blank
    return tuple(
        Region(
            id=blank.id if number == 1 else f"{blank.id}-{number}",
            label=blank.label,
            kind=blank.kind,
            page=page,
            left=place.left,
            bottom=place.bottom,
            right=place.right,
            top=place.top,
            must=blank.must,
        )
        for number, place in enumerate(finding.places, 1)
        if place.page == page
    )


def say_without_field(findings: tuple[BlankFinding, ...]) -> list[str]:
    """Name the blanks that no field of the PDF was found for: the marked pages do not show them."""
    names = [finding.blank.label for finding in findings if not finding.places]
    return [f"not marked on the pages, no field was found: {', '.join(names)}"] if names else []
