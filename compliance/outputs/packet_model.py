"""From a planned paper to its checklist and cover sheet."""

from collections.abc import Mapping
from dataclasses import replace

from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.check_facts import find_fee, find_holder_fact
from compliance.engine.check_model import CheckResult
from compliance.engine.explain_words import say_in_force, say_source
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.answers import Status
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.model import MailService, Operation
from compliance.facts.places import describe_places
from compliance.forms.model import Blank, FilledBy, FormTemplate
from compliance.outputs.checklist import (
    Checklist,
    ChecklistBlank,
    ChecklistDocument,
    ChecklistStep,
)
from compliance.outputs.coversheet import CoverSheet, EnclosureLine, FeeLine
from compliance.outputs.words import AVIATION_CAUTION, CAUTION
from compliance.rules.model import (
    CountsOn,
    DocumentRow,
    Fee,
    NotaryAct,
    OfficeRow,
    StepKind,
)

_COUNTS = {
    CountsOn.RECEIVED: "the day the office receives it",
    CountsOn.SENT: "the day it is sent",
    CountsOn.FILED: "the day it is filed online",
}
_NOTARY = {
    NotaryAct.NONE: "",
    NotaryAct.JURAT: "sworn and signed in front of the notary (jurat)",
    NotaryAct.ACKNOWLEDGMENT: "signature acknowledged before a notary",
    NotaryAct.AS_PRINTED: "before a notary, as the form prints it",
}
_KINDS = {
    "notary-state": "notary: state",
    "notary-county": "notary: county",
    "notary-date": "notary: date of the act",
    "notary-act": "notary: kind of act",
    "notary-signature": "notary: signature",
    "notary-title": "notary: title of office",
    "notary-stamp": "notary: stamp",
    "notary-expiry": "notary: commission expiry",
}

# Kinds that the label says already.
_PLAIN_KINDS = {"text", "number", "amount", "address"}


def compute_checklist(
    plan: Plan,
    paper: PaperPlan,
    templates: Mapping[str, FormTemplate],
    check: CheckResult | None = None,
) -> Checklist:
    """Compute the checklist of a packet: what to do in order, every document and blank.

    With a check each blank shows how it was found; of several sheets the worst.
    """
    packet = paper.packet
    office = packet.office
    acts = [step for step in paper.steps if step.kind is StepKind.ACT]
    return Checklist(
        packet_id=paper.id,
        title=packet.paper.title,
        holder=plan.operation.say_holder(packet.holder),
        as_of=plan.as_of,
        caution=f"{AVIATION_CAUTION} {CAUTION}",
        mail_by_last=paper.mail_last,
        mail_by_safe=None if paper.is_tight else paper.mail_safe,
        address_lines=_office_lines(office, plan.operation, paper),
        verb="mail" if paper.is_mailed else "file",
        steps=tuple(
            ChecklistStep(
                order=number,
                text=step.row.title,
                by_last=step.last,
                by_safe=step.safe if step.safe and step.safe >= step.earliest else None,
                place=describe_places(plan.operation.places, step.row.done_at),
                done_on=step.done_on,
            )
            for number, step in enumerate(acts, 1)
        ),
        documents=tuple(_document(row, templates, plan, paper, check) for row in packet.documents),
        fee_lines=_fee_lines(paper, office),
        warnings=(*_warnings(paper), *plan.reviews),
        notes=packet.paper.notes,
        citations=_sources(paper),
    )


def _document(
    row: DocumentRow,
    templates: Mapping[str, FormTemplate],
    plan: Plan,
    paper: PaperPlan,
    check: CheckResult | None,
) -> ChecklistDocument:
    template = templates.get(row.template)
    notes = list(row.notes)
    if row.keep_copy:
        notes.append("Keep a copy for yourself.")
    blanks: tuple[ChecklistBlank, ...] = ()
    form = ""
    if template is not None:
        notes.insert(0, template.get_it)
        form = "" if template.form == "none" else template.form
        name = row.id.rpartition(".")[2]
        blanks = tuple(
            _with_state(_blank(blank, plan, paper), _status_of(check, name, blank.id))
            for blank in template.blanks
        )
    return ChecklistDocument(
        title=row.title,
        form=form,
        original_or_copy=_say_count(row),
        count=max(row.originals + row.copies, 1),
        signer=row.signer,
        notary=_NOTARY[row.notary],
        notes=tuple(notes),
        citation=f"{row.basis.citation} ({row.basis.edition})",
        confidence=_confidence(row, several=paper.packet.has_several(row)),
        blanks=blanks,
    )


def _say_count(row: DocumentRow) -> str:
    parts = []
    if row.originals:
        parts.append(f"{row.originals} original{'s' if row.originals > 1 else ''}")
    if row.copies:
        parts.append(f"{row.copies} cop{'ies' if row.copies > 1 else 'y'}")
    return " and ".join(parts) or "nothing goes into the envelope; kept by you"


def _blank(blank: Blank, plan: Plan, paper: PaperPlan) -> ChecklistBlank:
    said = find_fact(blank.equals, plan.operation, paper)
    label = f"{blank.label}: {said}" if said else blank.label
    if blank.note:
        label = f"{label} ({blank.note})"
    if not blank.must:
        label = f"{label} (if it applies; otherwise strike it)"
    kind = _KINDS.get(str(blank.kind), str(blank.kind).replace("-", " "))
    kind = "" if kind in _PLAIN_KINDS else kind
    who = "" if blank.filled_by is FilledBy.NOTARY else str(blank.filled_by)
    return ChecklistBlank(label=label, kind=kind, who=who)


def _status_of(check: CheckResult | None, document: str, blank: str) -> Status | None:
    """Give how a blank stands over all sheets of a document: the worst, None when unknown."""
    states = [
        state.status
        for state in (check.blanks if check is not None else ())
        if (state.document, state.blank.id) == (document, blank)
    ]
    if not states or None in states:
        return None
    order = (Status.STRUCK, Status.FILLED, Status.UNCLEAR, Status.EMPTY)
    return max((state for state in states if state is not None), key=order.index)


def _with_state(blank: ChecklistBlank, status: Status | None) -> ChecklistBlank:
    if status is None:
        return blank
    is_done = status in {Status.FILLED, Status.STRUCK}
    return replace(blank, state=str(status), is_done=is_done)


def find_fact(name: str, operation: Operation, paper: PaperPlan) -> str:
    """Give the text a blank must agree with, or an empty text when it is not known."""
    if name.startswith("paper.") and name.endswith(".number"):
        wanted = name.removeprefix("paper.").removesuffix(".number")
        numbers = [held.number for held in operation.papers if held.paper == wanted]
        return numbers[0] if len(numbers) == 1 else ""
    return find_holder_fact(operation, paper.packet.holder, name)


def _office_lines(
    office: OfficeRow | None, operation: Operation, paper: PaperPlan
) -> tuple[str, ...]:
    if office is None:
        return ()
    if not paper.is_mailed:
        return _filing_lines(office)
    if operation.mail_service is MailService.COURIER and office.courier_to:
        return _envelope(office, office.courier_to)
    if office.mail_to:
        return _envelope(office, office.mail_to)
    return _filing_lines(office)


def _filing_lines(office: OfficeRow) -> tuple[str, ...]:
    """Give where a filing goes: the office's online way, or its address when it has none."""
    if office.online:
        return (office.title, office.online)
    return _envelope(office, office.mail_to)


def _envelope(office: OfficeRow, lines: tuple[str, ...]) -> tuple[str, ...]:
    """Give the lines of an envelope; the office's name stands once."""
    if not lines:
        return (office.title, "address not in the table; take it from the agency's form")
    return lines if lines[0] in office.title else (office.title, *lines)


def _confidence(row: DocumentRow, *, several: bool) -> str:
    """Say how sure a row is, and which of several editions it is."""
    words = WORDS_OF_CONFIDENCE[row.basis.confidence]
    return f"{words}, {say_in_force(row)}" if several else words


def _sources(paper: PaperPlan) -> tuple[str, ...]:
    """Give the sources of a packet: paper, office, and steps and papers with several editions."""
    packet, office = paper.packet, paper.packet.office
    steps = (step.row for step in paper.steps if packet.has_several(step.row))
    fee = (packet.fee_row,) if packet.fee_row is not packet.paper else ()
    rows = (packet.paper, *fee, *((office,) if office is not None else ()), *steps)
    return tuple(dict.fromkeys(say_source(row, several=packet.has_several(row)) for row in rows))


def _fee_lines(paper: PaperPlan, office: OfficeRow | None) -> tuple[str, ...]:
    fee = find_fee(paper)
    if fee is None:
        name = office.title if office is not None else "the office"
        return (f"No fee is in the rules table; ask {name} before sending.",)
    per = f" per {fee.per}" if fee.per else ""
    return (f"${fee.amount_usd:.2f}{per}, {fee.method}, payable to {fee.payee}",)


def _warnings(paper: PaperPlan) -> tuple[str, ...]:
    packet = paper.packet
    anyway = packet.progress.anyway
    unchecked = (f"It was sent without a ready check: {anyway}",) if anyway else ()
    returns = tuple(
        f"It came back on {say_date(entry.happened_on)}: {entry.reason}; look at that first"
        for entry in packet.progress.returns
    )
    confirm = tuple(f"Confirm: {line}" for line in paper.confirm)
    tight: tuple[str, ...] = ()
    if paper.is_tight and paper.mail_safe is not None:
        tight = (
            f"No room is left for a return: the safe day would be {say_date(paper.mail_safe)}",
        )
    return (*returns, *unchecked, *tight, *paper.warnings, *packet.paper.cautions, *confirm)


def compute_coversheet(
    plan: Plan, paper: PaperPlan, check: CheckResult | None = None
) -> CoverSheet:
    """Compute the cover sheet of a packet."""
    operation, packet = plan.operation, paper.packet
    office = packet.office
    fee = find_fee(paper)
    return CoverSheet(
        packet_id=paper.id,
        as_of=plan.as_of,
        caution=CAUTION,
        from_lines=(operation.legal_name, *operation.mailing_address.lines),
        to_lines=_to_lines(office, paper),
        courier_lines=_envelope(office, office.courier_to)
        if office is not None and office.courier_to and paper.is_mailed
        else (),
        verb="mail" if paper.is_mailed else "file",
        re_lines=_re_lines(plan, paper),
        enclosures=tuple(
            EnclosureLine(
                title=row.title,
                originals=row.originals,
                copies=row.copies,
                note=_NOTARY[row.notary],
            )
            for row in packet.documents
            if row.originals or row.copies
        ),
        fee=_fee_line(fee, paper) if fee is not None else None,
        checked=_say_check(check),
        contact_lines=tuple(
            line
            for line in (operation.contact_name, operation.contact_phone, operation.contact_email)
            if line
        ),
        counts_on=_COUNTS[office.counts_on] if office is not None else "",
        last_mail_by=paper.mail_last,
        safe_mail_by=None if paper.is_tight else paper.mail_safe,
        citations=(f"{packet.paper.id}: {packet.paper.basis.citation}",),
        look_out=plan.reviews,
    )


def _to_lines(office: OfficeRow | None, paper: PaperPlan) -> tuple[str, ...]:
    if office is None:
        return ()
    return _envelope(office, office.mail_to) if paper.is_mailed else _filing_lines(office)


def _say_check(check: CheckResult | None) -> str:
    if check is None:
        return "not yet"
    known = sum(state.status is not None for state in check.blanks)
    verdict = "ready to send" if check.ready else "NOT ready"
    return f"{say_date(check.as_of)}: {verdict}; {known} of {len(check.blanks)} blanks looked at"


def _re_lines(plan: Plan, paper: PaperPlan) -> tuple[str, ...]:
    machine = plan.operation.find_aircraft(paper.packet.holder.ref)
    lines = [paper.packet.paper.title if machine is not None else subject_of(plan, paper)]
    if machine is not None:
        # One serial number only: two on one sheet are a reason to send a packet back.
        serial = machine.registration_serial
        lines.append(f"{machine.maker} {machine.model}, serial number {serial}")
    if machine is not None and machine.registration_number:
        lines.append(f"registration number {machine.registration_number}")
    return tuple(lines)


def _fee_line(fee: Fee, paper: PaperPlan) -> FeeLine:
    per = f" per {fee.per}" if fee.per else ""
    return FeeLine(
        amount_text=f"${fee.amount_usd:.2f}{per}",
        payee=fee.payee,
        method=fee.method,
        citation=_fee_citation(paper),
    )


def _fee_citation(paper: PaperPlan) -> str:
    """Give the citation of the payment among the documents, else of the paper."""
    rows = [row for row in paper.packet.documents if row.id.endswith((".fee", ".fee-check"))]
    return (rows[0] if rows else paper.packet.paper).basis.citation
