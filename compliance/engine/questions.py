"""What has to be asked about a packet before mailing: only what cannot be known."""

from collections.abc import Iterable, Iterator, Mapping

from compliance.base.dates import say_date
from compliance.engine.again import remind
from compliance.engine.check_facts import ONLINE, find_fee, is_online
from compliance.engine.check_model import CheckContext, CheckFinding, Severity
from compliance.engine.check_sheets import Case, Enclosure, Sheet, name_of, open_case
from compliance.engine.crosschecks_blanks import check_signature_kind
from compliance.engine.crosschecks_documents import (
    check_corrections,
    find_unmended,
    may_leave_out,
)
from compliance.engine.crosschecks_envelope import (
    check_address,
    check_amount,
    check_payee,
    find_check,
    find_lines,
    is_left_to_form,
)
from compliance.engine.crosschecks_evidence import check_owners
from compliance.engine.crosschecks_notary import is_waived, notarized
from compliance.engine.crosschecks_notary_person import check_party, check_signer_id
from compliance.engine.crosschecks_signer import check_agent
from compliance.engine.plan_model import PaperPlan
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions_blanks import DATES, ask_sheet, is_at_fault, is_name
from compliance.facts.answers import COPY, ENCLOSED, ORIGINAL, SIGNATURE_KINDS, Status
from compliance.facts.answers_parse import AskedDocument
from compliance.facts.log import LogEntry
from compliance.forms.model import FormTemplate


def compute_asked(
    paper: PaperPlan, templates: Mapping[str, FormTemplate]
) -> tuple[AskedDocument, ...]:
    """Give the documents of a packet and their blanks, as an answers file may name them."""
    return tuple(
        AskedDocument(
            name=name_of(row),
            blanks=tuple(blank.id for blank in template.blanks),
            dates=frozenset(blank.id for blank in template.blanks if blank.kind in DATES),
            marks=frozenset(blank.id for blank in template.blanks if blank.is_mark),
            names=frozenset(blank.id for blank in template.blanks if is_name(blank)),
        )
        for row in paper.packet.documents
        if (template := templates.get(row.template)) is not None
    )


def compute_questions(context: CheckContext) -> tuple[Question, ...]:
    """Compute what is still to be asked, in the order a person goes through the papers.

    Shape: reasons of earlier returns and the blanks that were at fault, then each document (is it
    there, its blanks, the notary's certificate), then the signing and the envelope. What is
    answered or follows from the facts is left out, unless the answer was unclear. Compute them
    again after each reply: a reply may spare other questions. A reply that changes nothing leaves
    its question in the list. What stands in ``context.again`` is asked though it is answered.
    """
    case = open_case(context)
    asked = (
        *_ask_returns(case),
        *_faulty_first(
            case, (question for one in case.enclosures for question in _ask_document(case, one))
        ),
        *_ask_signing(case),
        *_ask_payment(case),
        *_ask_address(case),
    )
    # A change on the papers means fresh forms, whose ink is asked only then.
    first = [one for one in asked if one.blank == "no_corrections" and one.key in context.again]
    rest = [one for one in asked if one not in first]
    return tuple(remind(case, one) for one in (*first, *rest))


def _has_open(case: Case, findings: Iterator[CheckFinding], name: str) -> bool:
    """Tell whether a cross-check waits for an envelope answer, or it is asked again."""
    return ("", 1, name) in case.context.again or any(
        finding.severity is Severity.OPEN and not finding.document and finding.blank == name
        for finding in findings
    )


def _ask_returns(case: Case) -> Iterator[Question]:
    for entry, is_own in find_unmended(case):
        day = say_date(entry.happened_on)
        text = f"It came back on {day}: {entry.reason}. Is that mended?"
        if not is_own:
            text = f"{entry.paper}, at the same office, came back on {day}: {entry.reason}. "
            text += "Is that in order here?"
        yield Question(
            blank="earlier_reasons_mended",
            text=text,
            help=_say_faults(case, entry) if is_own else "",
            kind=QuestionKind.YES_NO,
            expected=entry.reason,
        )


def _say_faults(case: Case, entry: LogEntry) -> str:
    """Name the blanks a return was about, as they are printed."""
    said = []
    for name in entry.blanks:
        document, _, blank = name.partition("/")
        one = case.find_enclosure(document)
        known = one.template.find_blank(blank) if one is not None and one.template else None
        if one is not None:
            title = one.row.title
            said.append(f"`{known.label}` on {title}" if known is not None else title)
    return f"At fault: {'; '.join(dict.fromkeys(said))}." if said else ""


def _faulty_first(case: Case, asked: Iterable[Question]) -> tuple[Question, ...]:
    """Put the questions about blanks that were at fault before the others."""
    questions = tuple(asked)
    faulty = {
        one: any(is_at_fault(case, one.document, blank) for blank in (one.blank, *one.also))
        for one in questions
    }
    return tuple(sorted(questions, key=lambda one: not faulty[one]))


def _ask_document(case: Case, enclosure: Enclosure) -> Iterator[Question]:
    if enclosure.is_kept or enclosure.template is None:
        return
    if enclosure.template.find_blank("seller-name") and _has_open(
        case, check_owners(case), "owners_chain"
    ):
        yield _ask_owners(case)
    for sheet in enclosure.sheets:
        enclosed = sheet.status(ENCLOSED)
        is_open = enclosed is None or enclosed is Status.UNCLEAR
        is_open = is_open or (sheet.document, sheet.number, ENCLOSED) in case.context.again
        if is_open or _lacks_kind(case, enclosure, sheet):
            yield _ask_enclosed(case, enclosure, sheet)
        if enclosed not in {Status.EMPTY, Status.STRUCK}:
            yield from ask_sheet(case, sheet)


def _lacks_kind(case: Case, enclosure: Enclosure, sheet: Sheet) -> bool:
    """Tell whether it is in the envelope, and nobody said whether as original or copy."""
    if is_online(case.context) or enclosure.needed <= enclosure.row.copies:
        return False
    return sheet.is_filled(ENCLOSED) and sheet.says(ENCLOSED) not in {ORIGINAL, COPY}


def _ask_owners(case: Case) -> Question:
    operation = case.context.operation
    machine = operation.find_aircraft(case.context.paper.packet.holder.ref)
    maker = machine.maker if machine is not None else ""
    return Question(
        blank="owners_chain",
        text="Who owned the aircraft, from the maker to you, in order?",
        help="Put a semicolon between the names, and write each as on its bill of sale.",
        kind=QuestionKind.LIST,
        default=f"{maker}; {operation.legal_name}",
    )


def _ask_enclosed(case: Case, enclosure: Enclosure, sheet: Sheet) -> Question:
    choices = [ORIGINAL, COPY, "no"]
    if may_leave_out(case, enclosure):
        choices.append("left-out")
    wanted = ORIGINAL if sheet.number <= enclosure.needed - enclosure.row.copies else COPY
    where = "ready to send" if is_online(case.context) else "in the envelope"
    return Question(
        document=sheet.document,
        sheet=sheet.number,
        blank=ENCLOSED,
        about=sheet.title,
        text=f"Is it {where}? The office asks for the {wanted}.",
        help=" ".join(enclosure.row.notes),
        kind=QuestionKind.CHOICE,
        choices=tuple(choices),
        default=wanted,
    )


def _ask_signing(case: Case) -> Iterator[Question]:
    envelope = case.context.envelope
    notarial = any(not is_waived(sheet) for sheet in notarized(case))
    if _has_open(case, check_party(case), "notary_name"):
        yield Question(
            blank="notary_name",
            text="What is the notary's name, as in the stamp?",
            kind=QuestionKind.TEXT,
            is_name=True,
        )
    if notarial and (not envelope.notary_state or ("", 1, "notary_state") in case.context.again):
        yield Question(
            blank="notary_state",
            text="From which state is the notary's commission?",
            kind=QuestionKind.TEXT,
            default=case.context.operation.home_state,
        )
    if _has_open(case, check_signer_id(case), "id_expires"):
        yield Question(
            blank="id_expires",
            text="Until which day is the identity card good that you show to the notary?",
            kind=QuestionKind.DATE,
        )
    yield from _ask_papers(case)


def _ask_papers(case: Case) -> Iterator[Question]:
    if _has_open(case, check_corrections(case), "no_corrections"):
        yield Question(
            blank="no_corrections",
            text=("Are all papers free of correction fluid, crossed-out and written-over words?"),
            kind=QuestionKind.YES_NO,
        )
    if _has_open(case, check_signature_kind(case), "signature_kind"):
        yield Question(
            blank="signature_kind",
            text="How were the papers signed?",
            help="A digital signature shows who signed and when; a picture is only pasted in.",
            kind=QuestionKind.CHOICE,
            choices=SIGNATURE_KINDS,
            default="ink",
        )
    if _has_open(case, check_agent(case), "power_enclosed"):
        yield Question(
            blank="power_enclosed",
            text="An agent signed. Is the power of attorney enclosed, and is the owner named?",
            kind=QuestionKind.YES_NO,
        )


def _ask_payment(case: Case) -> Iterator[Question]:
    fee = find_fee(case.context.paper)
    if fee is None:
        return
    is_again = ("", 1, "fee_amount_usd") in case.context.again
    is_elsewhere = find_check(case) is not None and not is_again
    if not is_elsewhere and _has_open(case, check_amount(case), "fee_amount_usd"):
        yield Question(
            blank="fee_amount_usd",
            text=f"How many dollars are paid? The fee is ${fee.amount_usd:.2f}.",
            help=f"per {fee.per}" if fee.per else "",
            kind=QuestionKind.TEXT,
            default=f"{fee.amount_usd:.2f}",
        )
    if _has_open(case, check_payee(case), "fee_method"):
        taken = "as the form says" if is_left_to_form(fee.method) else fee.method
        yield Question(
            blank="fee_method",
            text=f"How is the fee paid? The office takes: {taken}.",
            kind=QuestionKind.TEXT,
            default="check" if "check" in fee.method or is_left_to_form(fee.method) else fee.method,
        )


def _ask_address(case: Case) -> Iterator[Question]:
    office = case.context.paper.packet.office
    if office is None or not _has_open(case, check_address(case), "address_on_envelope"):
        return
    lines = ", ".join(find_lines(case, office))
    hint = f"Reply {ONLINE} if you file it online." if office.online else ""
    if lines:
        yield Question(
            blank="address_on_envelope",
            text=f"Is the envelope addressed to `{lines}`?",
            help=hint,
            kind=QuestionKind.YES_NO,
            expected=lines,
        )
    else:
        yield Question(
            blank="address_on_envelope",
            text="Which address stands on the envelope? Take it from the agency's form.",
            help=hint,
            kind=QuestionKind.TEXT,
        )
