"""From a planned paper to the papers of it that this program writes itself."""

from collections.abc import Mapping
from dataclasses import replace

from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.basis import WORDS_OF_CONFIDENCE, Basis
from compliance.facts.model import Operation
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate, Supplier
from compliance.outputs.own_known import find_hint, find_known, list_rows, list_subject, say_title
from compliance.outputs.own_model import (
    Lines,
    OwnCertificate,
    OwnChoice,
    OwnDocument,
    OwnField,
    OwnSignLine,
)
from compliance.outputs.own_wording import (
    PLAIN,
    WORDINGS,
    Wording,
    count_rows,
    list_choices,
    say_label,
)
from compliance.outputs.packet_model import compute_coversheet
from compliance.rules.model import DocumentRow, NotaryAct

_SIGNING = (BlankKind.PRINTED_NAME, BlankKind.TITLE, BlankKind.DATE)

# ORS 194.285(3), copy of 2023 (read): signed and sworn to. ORS 194.285(1), the wording for a
# record that is acknowledged, is from memory.
_JURAT = OwnCertificate(
    act="Signed and sworn to (or affirmed) before me on",
    by="by (name of the person who makes the statement)",
    source="in the short form of the uniform act, as in ORS 194.285(3)",
)
_ACKNOWLEDGMENT = OwnCertificate(
    act="This record was acknowledged before me on",
    by="by (name of the person who signed)",
    source="in the short form of the uniform act, as in ORS 194.285(1), from memory",
)


def compute_own_documents(
    plan: Plan, paper: PaperPlan, templates: Mapping[str, FormTemplate]
) -> tuple[OwnDocument, ...]:
    """Compute the papers of a packet whose template says that we supply them.

    Shape: in the order of the packet's documents; empty when an agency supplies them all.
    """
    return tuple(
        _compute(row, templates[row.template], plan, paper)
        for row in paper.packet.documents
        if row.template in templates and templates[row.template].supplied_by is Supplier.OURS
    )


def _compute(row: DocumentRow, template: FormTemplate, plan: Plan, paper: PaperPlan) -> OwnDocument:
    wording = WORDINGS.get(template.id, PLAIN)
    plain, blocks = _split(template.blanks)
    sheet = compute_coversheet(plan, paper)
    title = say_title(plan.operation)
    return OwnDocument(
        name=row.id.rpartition(".")[2],
        title=wording.title or template.title,
        packet_id=paper.id,
        as_of=plan.as_of,
        from_lines=_join_address(sheet.from_lines),
        to_lines=_join_address(sheet.to_lines) if wording.addressed else (),
        addressed=wording.addressed,
        re_lines=list_subject(plan, paper) if wording.with_subject else (),
        opening=wording.opening,
        fields=tuple(_field(wording, template.id, blank, plan.operation, paper) for blank in plain),
        enclosures=_list_enclosures(row, paper) if wording.enclosing else (),
        closing=wording.closing,
        signatures=tuple(_sign_block(block, title) for block in blocks),
        certificate=_certificate(row, template),
        written_after=_say_basis(template.basis),
    )


def _split(blanks: tuple[Blank, ...]) -> tuple[list[Blank], list[list[Blank]]]:
    """Split the blanks into those of the text and one list for each signature.

    Name, title and date belong to the signature before them. The notary's blanks are left out:
    the certificate has its own fixed wording.
    """
    plain: list[Blank] = []
    blocks: list[list[Blank]] = []
    for blank in blanks:
        if blank.kind.is_notarial or blank.filled_by is FilledBy.NOTARY:
            continue
        if blank.kind is BlankKind.SIGNATURE:
            blocks.append([blank])
        elif blocks and blank.kind in _SIGNING:
            blocks[-1].append(blank)
        else:
            plain.append(blank)
    return plain, blocks


def _field(
    wording: Wording, template: str, blank: Blank, operation: Operation, paper: PaperPlan
) -> OwnField:
    known = find_known(template, blank, operation, paper)
    rows = 0 if known else count_rows(wording, blank)
    note = "" if known else blank.note  # notes tell how to fill a blank in
    columns: Lines = () if known else wording.columns.get(blank.id, ())
    table: tuple[Lines, ...] = ()
    choices: tuple[OwnChoice, ...] = ()
    hint = ""
    if columns:
        empty = tuple("" for _ in columns)
        table = list_rows(template, blank, operation, paper) or tuple(empty for _ in range(rows))
        rows = 0
    elif blank.kind is BlankKind.CHECK:
        choices = _choices(wording, blank, operation)
        rows = 0
    elif not known:
        hint = find_hint(template, blank, operation, paper)
    return OwnField(
        label=say_label(blank, known=bool(known)),
        note=" ".join(part for part in (note, f"{hint}." if hint else "") if part),
        section=wording.sections.get(blank.id, ""),
        known=known,
        rows=rows,
        columns=columns,
        table=table,
        choices=choices,
        blank=blank.id,
        kind=blank.kind,
    )


def _choices(wording: Wording, blank: Blank, operation: Operation) -> tuple[OwnChoice, ...]:
    ticked = operation.managed_by if blank.id == "managed-by" else None
    return tuple(
        OwnChoice(text=text, ticked=ticked is not None and text == ticked)
        for text in list_choices(wording, blank)
    )


def _list_enclosures(row: DocumentRow, paper: PaperPlan) -> Lines:
    others = [
        other
        for other in paper.packet.documents
        if other.id != row.id and (other.originals or other.copies)
    ]
    return tuple(f"{number}. {other.title}" for number, other in enumerate(others, 1))


def _sign_block(block: list[Blank], title: str) -> tuple[OwnSignLine, ...]:
    """Make the lines of one signature; a printed name stands with it in any case.

    Source: 14 CFR 47.13(a), eCFR copy of 2026-06-20, asks for the name beside an ink signature.
    """
    first, *rest = (_sign_line(blank, title) for blank in block)
    if any(blank.kind is BlankKind.PRINTED_NAME for blank in block):
        return (first, *rest)
    return (first, OwnSignLine(label="Printed name"), *rest)


def _sign_line(blank: Blank, title: str) -> OwnSignLine:
    is_own_title = blank.kind is BlankKind.TITLE and blank.filled_by is FilledBy.OWNER
    known = title if is_own_title else ""
    return OwnSignLine(
        label=say_label(blank, known=bool(known)),
        note="" if known else blank.note,
        known=known,
        tall=blank.kind is BlankKind.SIGNATURE,
        blank=blank.id,
        kind=blank.kind,
    )


def _join_address(lines: Lines) -> Lines:
    """Put the lines of an address under the name into one."""
    return (lines[0], ", ".join(lines[1:])) if len(lines) > 1 else lines


def _say_basis(basis: Basis) -> str:
    words = WORDS_OF_CONFIDENCE[basis.confidence]
    if basis.citation == words:
        return f"Our own paper: {words}."
    return f"Written after: {basis.citation} ({basis.edition}); {words}."


def _certificate(row: DocumentRow, template: FormTemplate) -> OwnCertificate | None:
    if not template.is_notarized:
        return None
    words = _ACKNOWLEDGMENT if row.notary is NotaryAct.ACKNOWLEDGMENT else _JURAT
    blanks = tuple(
        (blank.kind, blank.id)
        for blank in template.blanks
        if blank.kind.is_notarial or blank.filled_by is FilledBy.NOTARY
    )
    return replace(words, blanks=blanks)
