"""Questions about the blanks of one sheet."""

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.base.dates import list_readings
from compliance.engine.check_facts import find_fact, find_fee
from compliance.engine.check_model import CheckContext
from compliance.engine.check_sheets import REGISTRY_HALF, Case, Sheet, is_bill_of_sale
from compliance.engine.check_words import is_company_name, parse_amount
from compliance.engine.crosschecks_amounts import AMOUNT_IN_WORDS
from compliance.engine.crosschecks_blanks import is_certificate
from compliance.engine.crosschecks_dates import NEVER_COMPARED
from compliance.engine.crosschecks_envelope import fits_fee, is_left_to_form
from compliance.engine.crosschecks_evidence import COMPANY_STATEMENT, find_signer
from compliance.engine.crosschecks_facts import (
    EMAIL,
    NAMES,
    PHONE,
    WEIGHT,
    find_equals,
    is_street_only,
    needs_street,
)
from compliance.engine.crosschecks_notary import WORDS_OF_ACT, is_waived
from compliance.engine.crosschecks_said import (
    find_seller_signer,
    is_doubtful,
    is_known_text,
    is_talk,
    lacks_name,
)
from compliance.engine.crosschecks_signer import CO_OWNERS
from compliance.engine.number_words import LEAST_TOO_LARGE, say_dollars
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.weights import read_weights
from compliance.facts.answers import ENCLOSED, Status
from compliance.facts.model import EntityType, ManagedBy
from compliance.forms.model import Blank, BlankKind, FilledBy
from compliance.rules.model import NotaryAct

DATES = (BlankKind.DATE, BlankKind.NOTARY_DATE, BlankKind.NOTARY_EXPIRY)
_NAMES = frozenset({BlankKind.PRINTED_NAME, BlankKind.NOTARY_COUNTY, BlankKind.NOTARY_STATE})
_NAMED = frozenset({"payee", "seller-name", "buyer-name", "notary-signer"})
_LISTS = frozenset({"members", "managers"})
_SEEN_ONLY = (BlankKind.NOTARY_SIGNATURE, BlankKind.NOTARY_TITLE, BlankKind.NOTARY_STAMP)
_TITLES = {
    ManagedBy.MEMBERS: "Member",
    ManagedBy.MANAGERS: "Manager",
    ManagedBy.OFFICERS: "President",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    """What is asked of a blank: the text it must hold, and whether its text is asked at all.

    ``compared``: a cross-check needs the text, so that `filled` alone is no answer.
    """

    expected: str = ""
    asks_text: bool = False
    compared: bool = False


def is_name(blank: Blank) -> bool:
    """Tell whether the name of a person, a firm or a place stands in a blank."""
    return blank.kind in _NAMES or blank.id in _NAMED or find_equals(blank) in NAMES


def ask_sheet(case: Case, sheet: Sheet) -> Iterator[Question]:
    """Ask for the blanks of a sheet in order, the notary's certificate after the rest."""
    for blank in sheet.template.blanks:
        if not is_certificate(blank) and _is_asked(case, sheet, blank):
            yield from _ask_blank(case, sheet, blank)
    if _asks_block(sheet) and not case.is_declared(sheet):
        yield from _ask_block(case, sheet)


def _is_asked(case: Case, sheet: Sheet, blank: Blank) -> bool:
    """Tell whether a blank is worth a question: it must be filled, or something hangs on it."""
    if is_at_fault(case, sheet.document, blank.id) or _is_again(case, sheet, blank):
        return True
    if blank.must or sheet.status(blank.id) in {Status.FILLED, Status.UNCLEAR}:
        return True
    if sheet.template.find_blank(REGISTRY_HALF) is not None:
        return True
    return _hangs_on_owner(case, sheet, blank) or needs_street(case, sheet, blank)


def _is_again(case: Case, sheet: Sheet, blank: Blank) -> bool:
    return (sheet.document, sheet.number, blank.id) in case.context.again


def is_at_fault(case: Case, document: str, blank: str) -> bool:
    """Tell whether a blank was at fault when this packet came back, or another of the office did.

    Of another packet the blank alone counts: its documents have names of their own.
    """
    own = case.context.paper.packet.progress.returns
    if any(f"{document}/{blank}" in entry.blanks for entry in own):
        return True
    return any(
        name.partition("/")[2] == blank
        for entry in case.context.office_returns
        for name in entry.blanks
        if document and blank != ENCLOSED
    )


def _hangs_on_owner(case: Case, sheet: Sheet, blank: Blank) -> bool:
    """Tell whether the kind of owner or seller makes a blank needed that may else be left."""
    operation = case.context.operation
    if blank.id == CO_OWNERS:
        return operation.entity is EntityType.PARTNERSHIP
    if blank.id == "managers":
        return operation.managed_by not in {None, ManagedBy.MEMBERS}
    if blank.kind is not BlankKind.TITLE:
        return False
    if blank.filled_by is FilledBy.SELLER:
        return (
            is_company_name(sheet.says("seller-name"))
            or find_seller_signer(case, sheet) is not None
        )
    return blank.filled_by is FilledBy.OWNER and operation.entity is not EntityType.INDIVIDUAL


def _want(case: Case, sheet: Sheet, blank: Blank) -> _Wanted:
    name = find_equals(blank)
    if name:
        fact = find_fact(case.context, name)
        return _Wanted(expected=fact) if name in {PHONE, EMAIL} else _compared(fact)
    if blank.filled_by is FilledBy.NOTARY:
        return _want_of_notary(sheet, blank)
    if blank.id in {"seller-name", "buyer-name"} and is_bill_of_sale(sheet.template):
        place = sheet.number - (blank.id == "seller-name")
        chain = case.context.envelope.owners_chain
        return _compared(chain[place] if place < len(chain) else "")
    if blank.id in {"payee", "amount", AMOUNT_IN_WORDS}:
        return _want_payment(case.context, sheet, blank)
    if sheet.document == COMPANY_STATEMENT and case.context.operation.managed_by is not None:
        return _want_company(case, blank)
    return _Wanted(
        asks_text=_is_told(blank) or blank.kind is BlankKind.PRINTED_NAME, compared=_is_told(blank)
    )


def _is_told(blank: Blank) -> bool:
    """Tell whether a cross-check reads a blank that need not equal a fact."""
    if (blank.must and lacks_name(blank)) or is_street_only(blank) or blank.one_of:
        return True
    is_title = blank.kind is BlankKind.TITLE and blank.filled_by is FilledBy.OWNER
    return is_title or (blank.id == "aircraft" and blank.filled_by is FilledBy.INSURER)


def _want_of_notary(sheet: Sheet, blank: Blank) -> _Wanted:
    if blank.kind is BlankKind.NOTARY_ACT:
        return _compared(WORDS_OF_ACT.get(sheet.row.notary, ""))
    if blank.kind is BlankKind.PRINTED_NAME:
        return _compared(sheet.says("printed-name") or sheet.says("owner-printed-name"))
    return _Wanted(asks_text=blank.kind is BlankKind.NOTARY_STATE)


def _compared(expected: str) -> _Wanted:
    return _Wanted(expected=expected, asks_text=True, compared=True)


def _want_company(case: Case, blank: Blank) -> _Wanted:
    managed = case.context.operation.managed_by
    if blank.id == "managed-by":
        return _compared(str(managed))
    if blank.id == ("members" if managed is ManagedBy.MEMBERS else "managers"):
        return _compared(find_signer(case))
    if blank.kind is BlankKind.TITLE or blank.one_of:
        return _compared("")
    return _Wanted(asks_text=blank.kind is BlankKind.PRINTED_NAME)


def _want_payment(context: CheckContext, sheet: Sheet, blank: Blank) -> _Wanted:
    if blank.id == AMOUNT_IN_WORDS:
        figures = parse_amount(sheet.says("amount"))
        due = find_fee(context.paper)
        # Words that fit a wrong amount would make a wrong check look right.
        if due is not None and figures is not None and not fits_fee(due, figures):
            figures = due.amount_usd
        small = figures is not None and figures < LEAST_TOO_LARGE
        return _compared(say_dollars(figures) if figures is not None and small else "")
    fee = find_fee(context.paper)
    if fee is None:
        return _Wanted()
    if blank.id == "payee":
        return _compared("" if is_left_to_form(fee.payee) else fee.payee)
    return _compared(f"{fee.amount_usd:.2f}")


def _is_known(case: Case, sheet: Sheet, blank: Blank, wanted: _Wanted) -> bool:
    status = sheet.status(blank.id)
    if status is None or status is Status.UNCLEAR or _is_again(case, sheet, blank):
        return False
    if status is not Status.FILLED:
        return True
    if blank.kind in DATES:
        return sheet.on(blank.id) is not None or blank.id in NEVER_COMPARED
    says = sheet.says(blank.id)
    is_real = says == wanted.expected or is_known_text(case, blank, says)
    if not is_real and (is_doubtful(sheet, blank) or (blank.must and is_talk(blank, says))):
        return False
    if find_equals(blank) == WEIGHT and says and not read_weights(says, blank.label):
        return False
    return bool(says) or not wanted.compared


def _ask_blank(case: Case, sheet: Sheet, blank: Blank) -> Iterator[Question]:
    wanted = _want(case, sheet, blank)
    if _is_known(case, sheet, blank, wanted):
        return
    if blank.kind in DATES:
        yield _ask_date(sheet, blank)
    elif wanted.expected:
        text = f"`{blank.label}`: {_ask_for(blank)} `{wanted.expected}`?"
        yield _question(sheet, blank, text, QuestionKind.YES_NO, expected=wanted.expected)
    elif wanted.asks_text:
        text = f"What stands under `{blank.label}`?"
        if blank.one_of:
            text = f"Which box is ticked under `{blank.label}`: {', '.join(blank.one_of)}?"
        default = _default(case.context, blank)
        yield _question(sheet, blank, text, QuestionKind.TEXT, default=default)
    elif blank.kind is BlankKind.SIGNATURE:
        text = f"Is it signed (`{blank.label}`)?"
        yield _question(sheet, blank, text, QuestionKind.YES_NO)
    else:
        text = f"Is `{blank.label}` filled in?"
        yield _question(sheet, blank, text, QuestionKind.YES_NO)


def _ask_date(sheet: Sheet, blank: Blank) -> Question:
    """Ask for a date; what a file says of it is shown, and offered where it can mean one day."""
    says = sheet.says(blank.id)
    days = list_readings(says)
    text = f"Which date stands under `{blank.label}`?"
    if says:
        text = f"Which date stands under `{blank.label}`? Read was `{says}`."
    default = str(days[0]) if len(days) == 1 else ""
    return _question(sheet, blank, text, QuestionKind.DATE, default=default)


def _ask_for(blank: Blank) -> str:
    if blank.one_of:
        return "is the only box ticked"
    if blank.id in _LISTS:
        return "does it name"
    is_free = blank.kind is BlankKind.ADDRESS or blank.id == AMOUNT_IN_WORDS
    is_free = is_free or find_equals(blank) in {PHONE, EMAIL}
    return "does it say" if is_free else "does it say exactly"


def _default(context: CheckContext, blank: Blank) -> str:
    managed = context.operation.managed_by
    if blank.kind is BlankKind.TITLE and managed is not None:
        return _TITLES[managed]
    if blank.kind is BlankKind.NOTARY_ACT:
        return WORDS_OF_ACT[NotaryAct.JURAT] if "sworn" in blank.label else ""
    return ""


def _question(
    sheet: Sheet,
    blank: Blank,
    text: str,
    kind: QuestionKind,
    *,
    expected: str = "",
    default: str = "",
) -> Question:
    return Question(
        document=sheet.document,
        sheet=sheet.number,
        blank=blank.id,
        about=sheet.title,
        text=text,
        help=blank.note,
        kind=kind,
        expected=expected,
        default=default,
        is_name=is_name(blank),
    )


def _asks_block(sheet: Sheet) -> bool:
    if sheet.row.notary is NotaryAct.NONE or not sheet.template.is_notarized:
        return False
    # A half that the owner does not use has no certificate either.
    owner_half = sheet.template.find_blank("owner-signature")
    if owner_half is not None and is_waived(sheet):
        return sheet.is_filled(owner_half.id)
    return True


def _ask_block(case: Case, sheet: Sheet) -> Iterator[Question]:
    if is_waived(sheet) and all(sheet.status(blank.id) is None for blank in sheet.block):
        yield Question(
            document=sheet.document,
            sheet=sheet.number,
            blank=sheet.block[0].id,
            also=tuple(blank.id for blank in sheet.block[1:]),
            about=sheet.title,
            text="Does the form print a block for a notary, and is it filled in?",
            help="Reply struck if it prints none, empty if it is not filled in.",
            kind=QuestionKind.YES_NO,
            no_means=None,
        )
        return
    seen = [blank for blank in sheet.block if blank.kind in _SEEN_ONLY]
    together = all(
        sheet.status(blank.id) is None and not is_at_fault(case, sheet.document, blank.id)
        for blank in seen
    )
    for blank in sheet.block:
        if not (together and blank in seen):
            yield from _ask_blank(case, sheet, blank)
    if together and seen:
        names = ", ".join(blank.label for blank in seen)
        yield Question(
            document=sheet.document,
            sheet=sheet.number,
            blank=seen[0].id,
            also=tuple(blank.id for blank in seen[1:]),
            about=sheet.title,
            text=f"In the notary's certificate, are all of these there: {names}?",
            help="If one is missing reply no; they are then asked one by one.",
            kind=QuestionKind.YES_NO,
            no_means=Status.UNCLEAR,
        )
