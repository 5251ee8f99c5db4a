"""What to take to the notary, what to look at there, and the federal paper that needs no notary."""

from dataclasses import dataclass
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.declaration import (
    PRINTED_NAME,
    SIGNATURE,
    SIGNED_ON,
    SIGNER_TITLE,
    list_sworn,
)
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.log import EventKind
from compliance.forms.model import Blank
from compliance.outputs.own_known import list_subject, say_title
from compliance.outputs.own_model import Lines, OwnSignLine
from compliance.outputs.packet_model import compute_coversheet
from compliance.rules.model import DocumentRow, NotaryAct

# The tokens of 28 USC 1746(2), text of 1976 (read).
DECLARATION = "I declare under penalty of perjury that the foregoing is true and correct."


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitItem:
    """One thing to bring, to look at or to leave alone, and where that comes from."""

    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotaryVisit:
    """The page for the visit.

    Shape: ``papers`` are the documents that are signed there, each with its signer; ``days`` say
    until when; ``look_out`` tells what went wrong the last times, and which rules are past their
    review day.
    """

    packet_id: str
    as_of: date
    re_lines: Lines
    papers: Lines
    days: Lines
    look_out: Lines
    bring: tuple[VisitItem, ...]
    look_at: tuple[VisitItem, ...]
    avoid: tuple[VisitItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnswornDeclaration:
    """The sheet that may stand in for a notary under federal law, if the office takes it."""

    packet_id: str
    as_of: date
    from_lines: Lines
    re_lines: Lines
    papers: Lines
    office: str
    sign_lines: tuple[OwnSignLine, ...]


_BRING = (
    VisitItem(
        text=(
            "The page, filled in but NOT signed. Where nothing applies there is a dash or n/a; "
            "no line is left empty."
        ),
        source="Secretaries of State of North Dakota and Iowa",
    ),
    VisitItem(
        text=("Yourself: whoever signs comes in person."),
        source="NDCC 44-06.1-05",
    ),
    VisitItem(
        text=(
            "Your driver's license, passport or state ID, not expired (some states take one up to "
            "three years past, others do not)."
        ),
        source="57 Pa.C.S. 307: current; 26 V.S.A. 5365: three years",
    ),
    VisitItem(
        text=("Money for the fee; it is counted for each act, not for each page."),
        source="Minnesota Secretary of State",
    ),
    VisitItem(
        text="Telephone first: is the notary in, until what hour, and at what fee?",
        source="common practice, no source",
    ),
)

_LOOK_AT = (
    VisitItem(text="State: the one you are standing in.", source="ORS 194.285; Iowa Code 9B.15"),
    VisitItem(
        text="County: where the notary is, not where you live.",
        source="ORS 194.285; Iowa Code 9B.15",
    ),
    VisitItem(
        text="Date: today, the day you signed, and the same date as beside your signature.",
        source="ORS 194.285(3); same day: from memory",
    ),
    VisitItem(
        text="Your name in the certificate: letter for letter as on the page.",
        source="California county recorders, 2012",
    ),
    VisitItem(
        text="The words of the act: signed and sworn to, or as the form prints them.",
        source="ORS 194.285(3)",
    ),
    VisitItem(text="The notary's signature.", source="Minn. Stat. 358.65; NDCC 44-06.1-14"),
    VisitItem(
        text="The notary's title, such as Notary Public.",
        source="Minn. Stat. 358.65; Iowa Code 9B.15",
    ),
    VisitItem(
        text="Stamp: you can read every letter, and it covers no print and no signature.",
        source="Iowa Code 9B.17; California county recorders, 2012",
    ),
    VisitItem(
        text="Commission expiry: written in or in the stamp, and not before today.",
        source="Iowa Code 9B.15; Minn. Stat. 358.65",
    ),
)

_AVOID = (
    VisitItem(
        text="Do not sign before you stand in front of the notary.",
        source="ORS 194.285(3); in front of the notary: from memory",
    ),
    VisitItem(
        text="No correction fluid, nothing written over. Spoiled? Take a fresh page.",
        source="California county recorders, 2012",
    ),
    VisitItem(
        text=(
            "The notary may not be you, your husband or wife, or anybody with an interest in the "
            "paper."
        ),
        source="57 Pa.C.S. 304; Wyo. Stat. 32-3-123",
    ),
    VisitItem(
        text="Do not leave with only a stamp and a signature; that is no certificate.",
        source="Minn. Stat. 358.65; Iowa Code 9B.15",
    ),
    VisitItem(
        text="Do not sign by video unless the office has said that it takes such a paper.",
        source="NDCC 44-06.1-13.1; ask the office",
    ),
)


def compute_notary_visit(plan: Plan, paper: PaperPlan) -> NotaryVisit | None:
    """Compute the page for the visit to the notary; None when the packet needs no notary."""
    rows = _list_notarized(paper)
    if not rows and paper.find_event(EventKind.NOTARIZED) is None:
        return None
    return NotaryVisit(
        packet_id=paper.id,
        as_of=plan.as_of,
        re_lines=list_subject(plan, paper),
        papers=tuple(f"{row.title} (signer: {row.signer})" for row in rows),
        days=_say_days(paper),
        look_out=(
            *(
                f"It came back on {say_date(entry.happened_on)}: {entry.reason}"
                for entry in paper.packet.progress.returns
            ),
            *plan.reviews,
        ),
        bring=_BRING,
        look_at=_LOOK_AT,
        avoid=_AVOID,
    )


def compute_unsworn_declaration(plan: Plan, paper: PaperPlan) -> UnswornDeclaration | None:
    """Compute the sheet for a sworn federal paper; None for state papers and for unsworn ones."""
    sworn = list_sworn(paper)
    if not sworn:
        return None
    sheet = compute_coversheet(plan, paper)
    office = paper.packet.office
    return UnswornDeclaration(
        packet_id=paper.id,
        as_of=plan.as_of,
        from_lines=sheet.from_lines,
        re_lines=list_subject(plan, paper),
        papers=tuple(row.title for row in sworn),
        office=office.title if office is not None else "the office",
        sign_lines=(
            _line(SIGNED_ON),
            _line(SIGNATURE, tall=True),
            _line(PRINTED_NAME),
            _line(SIGNER_TITLE, known=say_title(plan.operation)),
        ),
    )


def _line(blank: Blank, *, known: str = "", tall: bool = False) -> OwnSignLine:
    return OwnSignLine(label=blank.label, blank=blank.id, kind=blank.kind, known=known, tall=tall)


def _list_notarized(paper: PaperPlan) -> tuple[DocumentRow, ...]:
    return tuple(row for row in paper.packet.documents if row.notary is not NotaryAct.NONE)


def _say_days(paper: PaperPlan) -> Lines:
    """Say until when the notary must have done it, as planned."""
    step = paper.find_event(EventKind.NOTARIZED)
    if step is None:
        return ()
    if step.done_on is not None:
        return (f"Done on {say_date(step.done_on)}",)
    days = []
    if step.safe is not None and step.safe >= step.earliest:
        days.append(f"Go by {say_date(step.safe)} to be safe")
    if step.last is not None:
        days.append(f"The last day is {say_date(step.last)}")
    return tuple(days)
