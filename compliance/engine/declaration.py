"""The unsworn declaration as a document of a packet: it may stand in for a notary's certificate.

It is no document of the rules table, because no office asks for it; it counts once somebody says
that it goes along, or shows it.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from compliance.base.problems import SourceRef
from compliance.engine.plan_model import PaperPlan
from compliance.facts.answers import ENCLOSED, Answer, Status
from compliance.facts.basis import Basis, Confidence
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate, Supplier
from compliance.rules.model import DocumentRow, NotaryAct

DECLARATION = "unsworn-declaration"
"""Its short name, and the id of its form."""
ASK_FIRST = (
    "Ask the office first whether it takes the declaration in place of the notary; a form that "
    "prints a notary's block may come back without one."
)
CITATION = "28 USC 1746 (1976)"

_FEDERAL = ("faa.", "epa.")
"""Papers of federal offices, by the beginning of their ids."""
_BASIS = Basis(
    citation=CITATION,
    edition="text of 1976",
    confidence=Confidence.READ,
    reviewed_on=date(2026, 11, 25),
)
_PLACE = SourceRef(file=DECLARATION)


def _blank(name: str, label: str, kind: BlankKind, *, must: bool = True) -> Blank:
    return Blank(id=name, label=label, kind=kind, filled_by=FilledBy.OWNER, must=must, place=_PLACE)


SIGNED_ON = _blank("signed-on", "Executed on (date)", BlankKind.DATE)
SIGNATURE = _blank("signature", "Signature", BlankKind.SIGNATURE)
PRINTED_NAME = _blank("printed-name", "Printed name", BlankKind.PRINTED_NAME)
SIGNER_TITLE = _blank(
    "signer-title", "Title (strike it when you sign for yourself)", BlankKind.TITLE, must=False
)
OFFICE_SAID = _blank(
    "office-said",
    "Who at the office said, and when, that it takes this in place of the notary (asked of you; "
    "it does not stand on the paper)",
    BlankKind.TEXT,
)
"""Until it is answered the notary's block stays open: a form that prints one may insist on it."""

DECLARATION_FORM = FormTemplate(
    id=DECLARATION,
    title="Unsworn declaration under penalty of perjury",
    form="none",
    supplied_by=Supplier.OURS,
    get_it="mailby packet writes it.",
    summary="A dated and signed statement that may stand for a sworn one under federal law.",
    goes_stale_days=None,
    blanks=(SIGNED_ON, SIGNATURE, PRINTED_NAME, SIGNER_TITLE, OFFICE_SAID),
    basis=_BASIS,
    place=_PLACE,
)


def list_sworn(paper: PaperPlan) -> tuple[DocumentRow, ...]:
    """List the documents of a federal packet that are sworn to before a notary.

    An acknowledged signature is no statement, and of state papers the federal law does not speak.

    Source: 28 USC 1746 (1976): a dated and signed statement under penalty of perjury has the force
    of a sworn one wherever federal law asks for that, except a deposition, an oath of office, or
    an oath before a named official other than a notary.
    """
    if not paper.packet.paper.id.startswith(_FEDERAL):
        return ()
    return tuple(row for row in paper.packet.documents if row.notary is NotaryAct.JURAT)


def add_declaration(paper: PaperPlan) -> PaperPlan:
    """Give the packet with the declaration among its documents, if it may stand in for a notary."""
    if not list_sworn(paper):
        return paper
    row = DocumentRow(
        id=f"{paper.packet.paper.id}.{DECLARATION}",
        title=DECLARATION_FORM.title,
        paper=paper.packet.paper.id,
        template=DECLARATION,
        originals=0,
        copies=0,
        may_leave_out=True,
        notes=(ASK_FIRST,),
        basis=_BASIS,
        place=_PLACE,
    )
    packet = replace(paper.packet, documents=(*paper.packet.documents, row))
    return replace(paper, packet=packet)


def goes_along(row: DocumentRow, answered: Mapping[int, Mapping[str, Answer]]) -> bool:
    """Tell whether a document is a declaration of which something is known and nobody said no."""
    if row.template != DECLARATION:
        return False
    said = [sheet[ENCLOSED].status for sheet in answered.values() if ENCLOSED in sheet]
    return bool(answered) and not {Status.EMPTY, Status.STRUCK} & {*said}
