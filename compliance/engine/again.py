"""What a person is asked again: answers that would bring the packet back, as they may be mended."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext, CheckFinding, Key, Severity
from compliance.engine.check_sheets import REGISTRY_HALF, Case, Sheet, is_bill_of_sale, open_case
from compliance.engine.crosschecks_amounts import AMOUNT_IN_WORDS
from compliance.engine.crosschecks_blanks import is_certificate
from compliance.engine.crosschecks_envelope import find_check
from compliance.engine.crosschecks_evidence import COMPANY
from compliance.engine.crosschecks_facts import SAME, find_equals
from compliance.engine.crosschecks_notary import NAMED_SIGNER, VENUE
from compliance.engine.crosschecks_signer import AGENT, AUTHORITY, AUTHORITY_SHOWN, ONE_PERSON
from compliance.engine.question_model import Question
from compliance.engine.questions_blanks import DATES
from compliance.facts.answers import COPY, ENCLOSED, Answer, EnvelopeAnswers, Source, Status
from compliance.forms.model import Blank, BlankKind, FormTemplate

_AMOUNTS = frozenset({"amount", AMOUNT_IN_WORDS})
_TRADERS = frozenset({"seller-name", "buyer-name"})
_ON_CHECK = {"fee_amount_usd": "amount", "fee_payee": "payee"}
"""Answers about the envelope that a bank's check may give in their place."""
_PERSONS = frozenset({NAMED_SIGNER.id, ONE_PERSON.id, COMPANY.id})
"""Checks that hold one person's name on several papers against each other."""
_ASKED_ANYWAY = "earlier_reasons_mended"
_SHOWED = {Source.PHOTO: "A picture showed", Source.PDF: "The PDF shows"}
_UNCLEAR = {
    Source.PHOTO: "A picture could not tell.",
    Source.PDF: "The PDF could not tell.",
}
_WORDS = {Status.EMPTY: "not there", Status.STRUCK: "struck", Status.UNCLEAR: "not clear"}


def find_again(context: CheckContext) -> frozenset[Key]:
    """Find the answers that would bring the packet back and that a person may mend by a word.

    Where a check compares two blanks, either may be the wrong one. A text that stands in a filled
    PDF is left: it is mended in the PDF.

    Shape: (document, sheet, blank), with an empty document and sheet 1 for the envelope.
    """
    case = open_case(context)
    return frozenset(
        key
        for finding in compute_check(context).findings
        if finding.severity is not Severity.NOTE
        for key in _list_keys(case, finding)
        if _may_mend(case, key, is_open=finding.severity is Severity.OPEN)
    )


def _list_keys(case: Case, finding: CheckFinding) -> Iterator[Key]:
    """Give what a finding is about, and what it was compared with."""
    yield (finding.document, finding.sheet, finding.blank)
    yield from _list_elsewhere(case, finding)
    one = case.find_enclosure(finding.document) if finding.document else None
    if one is None:
        return
    if finding.blank == ENCLOSED:
        yield from ((sheet.document, sheet.number, ENCLOSED) for sheet in one.sheets)
        return
    blank = one.template.find_blank(finding.blank) if one.template is not None else None
    if blank is None or one.template is None:
        return
    for sheet in one.sheets:
        if sheet.number == finding.sheet:
            for other in sheet.template.blanks:
                is_part = _is_empty_part(sheet, blank, other) or _is_other_half(sheet, other)
                if is_part or _is_beside(blank, other):
                    yield (sheet.document, sheet.number, other.id)
    yield from _list_beside(case, finding, blank, one.template)


def _list_elsewhere(case: Case, finding: CheckFinding) -> Iterator[Key]:
    """Give what would mend a finding in another place than where it was found."""
    if finding.check == VENUE.id:
        yield ("", 1, "notary_state")
    if finding.check in _PERSONS:
        for sheet in case.sheets:
            for blank in sheet.of_kind(BlankKind.PRINTED_NAME):
                yield (sheet.document, sheet.number, blank.id)
    if finding.check == AGENT.id:
        yield ("", 1, "power_enclosed")
    if finding.check == AUTHORITY_SHOWN.id:
        yield (AUTHORITY, 1, ENCLOSED)
    check = find_check(case)
    if check is not None and not finding.document and finding.blank in _ON_CHECK:
        yield (check.document, check.number, _ON_CHECK[finding.blank])
        if _ON_CHECK[finding.blank] in _AMOUNTS:
            yield (check.document, check.number, AMOUNT_IN_WORDS)


def _is_beside(blank: Blank, other: Blank) -> bool:
    """Tell whether two blanks of a sheet are compared with one another."""
    return (blank.kind in DATES and other.kind in DATES) or {blank.id, other.id} <= _AMOUNTS


def _is_other_half(sheet: Sheet, other: Blank) -> bool:
    """Tell whether it may be left on a paper of which only one half is filled in."""
    return sheet.template.find_blank(REGISTRY_HALF) is not None and not other.must


def _is_empty_part(sheet: Sheet, blank: Blank, other: Blank) -> bool:
    """Tell whether it is another part of the notary's certificate that is not there."""
    both = is_certificate(blank) and is_certificate(other)
    return both and sheet.status(other.id) is Status.EMPTY


def _list_beside(
    case: Case, finding: CheckFinding, blank: Blank, template: FormTemplate
) -> Iterator[Key]:
    """Give the blanks of other sheets with which a blank was compared."""
    is_trade = is_bill_of_sale(template) and (blank.id in _TRADERS or blank.kind in DATES)
    if is_trade:
        yield ("", 1, "owners_chain")
    for sheet in case.sheets:
        for other in sheet.template.blanks:
            is_same = finding.check == SAME.id and find_equals(other) == find_equals(blank)
            is_name = is_trade and sheet.document == finding.document and other.id in _TRADERS
            is_day = is_trade and other.id == blank.id and sheet.document == finding.document
            if is_same or is_name or is_day:
                yield (sheet.document, sheet.number, other.id)


def _may_mend(case: Case, key: Key, *, is_open: bool) -> bool:
    """Tell whether a word may mend it; what is open and not answered in full is asked anyway."""
    if not key[0]:
        names = {*EnvelopeAnswers.__slots__} - {_ASKED_ANYWAY}
        return key[2] in names and getattr(case.context.envelope, key[2]) not in (None, "", ())
    answer = find_answer(case, key)
    if answer is None or (is_open and not answer.says and answer.on is None):
        return False
    if key[2] == ENCLOSED:
        return answer.status is not Status.FILLED or answer.says == COPY
    return answer.source is not Source.PDF or answer.status is not Status.FILLED


def find_answer(case: Case, key: Key) -> Answer | None:
    """Find what is answered about a blank."""
    one = case.find_enclosure(key[0])
    sheets = one.sheets if one is not None else ()
    return next((page.answers.get(key[2]) for page in sheets if page.number == key[1]), None)


def remind(case: Case, question: Question) -> Question:
    """Say in a question that is asked again, or was answered by half, what was answered."""
    answer = find_answer(case, question.key) if question.document else None
    is_half = answer is not None and answer.status is Status.UNCLEAR
    if not is_half and question.key not in case.context.again:
        return question
    return replace(question, before=_say_before(case, question.key))


def _say_before(case: Case, key: Key) -> str:
    if not key[0]:
        return f"Last time you said: {_say_value(getattr(case.context.envelope, key[2]))}."
    answer = find_answer(case, key)
    if answer is None:
        return ""
    if answer.source is Source.PERSON:
        word = _say_enclosed(answer) if key[2] == ENCLOSED else _say_word(answer)
        return f"Last time you said: {word}."
    return _say_file(answer)


def _say_enclosed(answer: Answer) -> str:
    if answer.status is Status.STRUCK:
        return "left out"
    if answer.status is Status.UNCLEAR:
        return _WORDS[answer.status]
    return "a copy" if answer.says == COPY else "no"


def _say_word(answer: Answer) -> str:
    if answer.status is not Status.FILLED:
        return _WORDS[answer.status]
    if answer.on is not None:
        return say_date(answer.on)
    return f"`{answer.says}`" if answer.says else "there"


def _say_file(answer: Answer) -> str:
    """Say what a file or a picture showed."""
    if answer.picture_empty:
        return "The last picture showed nothing there, an earlier one did."
    if answer.status is Status.UNCLEAR:
        return _UNCLEAR[answer.source]
    word = _say_word(answer)
    if answer.status is Status.EMPTY:
        word = "nothing there"
    elif word == "there":
        word = "that something stands there"
    return f"{_SHOWED[answer.source]} {word}."


def _say_value(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(value)
    return say_date(value) if isinstance(value, date) else f"{value}"
