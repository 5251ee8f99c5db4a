"""Cross-checks on the envelope: the fee, the address, the carrier."""

from collections.abc import Iterator
from decimal import Decimal

from compliance.engine.check_facts import find_fee, is_online
from compliance.engine.check_model import CheckFinding, Place, Severity
from compliance.engine.check_sheets import Case, Crosscheck, Sheet, find_envelope
from compliance.engine.check_words import parse_amount, split_words, squash
from compliance.facts.answers import ENCLOSED
from compliance.facts.basis import Confidence
from compliance.facts.model import Address, MailService
from compliance.forms.model import BlankKind
from compliance.rules.model import Fee, OfficeRow

_FEE_FIELDS = {"fee.amount_usd"}
_CHECKS = frozenset({"check", "checks", "cheque", "cheques", "order", "orders", "draft", "warrant"})
"""Words of a check, a money order or what else is drawn on a bank; common practice, no source."""
_OWN_WORDS = ("as printed", "as the form")


def find_check(case: Case) -> Sheet | None:
    """Give the sheet that pays: the one with a payee and an amount."""
    for enclosure in case.enclosures:
        for sheet in enclosure.sheets:
            if sheet.template.find_blank("payee") and sheet.of_kind(BlankKind.AMOUNT):
                return sheet
    return None


def _told(case: Case, blank: str, field: str) -> str:
    """Give what the check says, or else what was said of the payment."""
    sheet = find_check(case)
    on_check = sheet.says(blank) if sheet is not None else ""
    return on_check or str(getattr(case.context.envelope, field)).strip()


def _is_unsaid(case: Case, blank: str) -> bool:
    """Tell whether no other cross-check asks about a blank of the check that pays."""
    sheet = find_check(case)
    return sheet is None or sheet.is_filled(blank)


def is_left_to_form(text: str) -> bool:
    """Tell whether the table leaves a thing to the agency's form."""
    return text.startswith(_OWN_WORDS)


def fits_fee(fee: Fee, amount: Decimal) -> bool:
    """Tell whether an amount is the fee, or another one that the fee's own words allow."""
    others = [parse_amount(word.rstrip(".;,")) for word in fee.per.split() if word.startswith("$")]
    if "at most" in fee.per and amount <= fee.amount_usd:
        return True
    return amount == fee.amount_usd or amount in others


def check_amount(case: Case) -> Iterator[CheckFinding]:
    """Compare the amount paid with the fee of the row, own values counting."""
    fee, text = find_fee(case.context.paper), _told(case, "amount", "fee_amount_usd")
    if fee is None:
        if find_check(case) is not None:
            sentence = "The rules table knows no fee for this paper."
            todo = "Take the amount from the agency's form of this year."
            yield _about_fee(Severity.NOTE, "fee_amount_usd", sentence, todo)
        return
    amount = parse_amount(text)
    usual = f"${fee.amount_usd:.2f}" + (f" per {fee.per}" if fee.per else "")
    if amount is None and (text or _is_unsaid(case, "amount")):
        told = f"The amount reads `{text}`." if text else "Nobody has said how much is paid."
        todo = f"How much is paid? The fee is {usual}."
        yield _about_fee(Severity.OPEN, "fee_amount_usd", told, todo)
    elif amount is not None and not fits_fee(fee, amount):
        sentence = f"${amount:.2f} is paid, the fee is {usual}."
        row = case.context.paper.packet.paper
        set_by_user = any(one.field in _FEE_FIELDS for one in row.overrides)
        # Where the table itself points to the form of the year, the form may be right.
        unsure = is_left_to_form(fee.method) and not set_by_user
        severity = Severity.OPEN if unsure else Severity.STOP
        todo = (
            f"Pay ${fee.amount_usd:.2f}, or if the agency asks another amount: mailby rules set "
            f"{row.id} fee.amount_usd {amount:.2f} --because ..."
        )
        yield _about_fee(severity, "fee_amount_usd", sentence, todo)
    yield from _check_two_amounts(case)


def _check_two_amounts(case: Case) -> Iterator[CheckFinding]:
    sheet = find_check(case)
    on_check = parse_amount(sheet.says("amount")) if sheet is not None else None
    said = parse_amount(case.context.envelope.fee_amount_usd)
    if on_check is not None and said is not None and on_check != said:
        sentence = f"The check says ${on_check:.2f}, you say ${said:.2f} is paid."
        yield _about_fee(Severity.STOP, "fee_amount_usd", sentence, "Make them agree.")


def check_payee(case: Case) -> Iterator[CheckFinding]:
    """Compare the payee and the kind of payment with the row."""
    fee = find_fee(case.context.paper)
    if fee is None:
        return
    payee = _told(case, "payee", "fee_payee")
    if not payee and find_check(case) is not None and _is_unsaid(case, "payee"):
        todo = f"To whom is it payable? It must be: {fee.payee}."
        yield _about_fee(Severity.OPEN, "fee_payee", "Nobody has said whom the fee pays.", todo)
    elif payee and not is_left_to_form(fee.payee) and squash(payee) != squash(fee.payee):
        sentence = f"The fee is payable to `{payee}`, it must be `{fee.payee}`."
        yield _about_fee(Severity.STOP, "fee_payee", sentence, "Write a new check.")
    method = case.context.envelope.fee_method.strip()
    if not method:
        todo = f"How is it paid? It must be: {fee.method}."
        yield _about_fee(Severity.OPEN, "fee_method", "Nobody has said how the fee is paid.", todo)
    elif not fits_method(fee, method):
        sentence = f"The fee is paid by {method}, the office takes {fee.method}."
        yield _about_fee(Severity.STOP, "fee_method", sentence, f"Pay by {fee.method}.")
    elif _has_check(case) and not is_by_check(fee, method):
        sentence = f"A check is enclosed, you say it is paid in `{method}`."
        todo = "Which is right? Say check or money order if that is what lies in the envelope."
        yield _about_fee(Severity.STOP, "fee_method", sentence, todo)


def _has_check(case: Case) -> bool:
    """Tell whether somebody said that the sheet that pays is in the envelope."""
    sheet = find_check(case)
    return sheet is not None and sheet.in_play and sheet.is_filled(ENCLOSED)


def is_by_check(fee: Fee, method: str) -> bool:
    """Tell whether a kind of payment is a check or money order, or the row's very words."""
    words = split_words(method)
    return words == split_words(fee.method) or not _CHECKS.isdisjoint(words)


def fits_method(fee: Fee, method: str) -> bool:
    """Tell whether a kind of payment is one the row names."""
    if is_left_to_form(fee.method):
        return True
    taken = [split_words(one) for one in fee.method.split(" or ")]
    words = split_words(method)
    return words == split_words(fee.method) or any(
        words == one or (len(one) > 1 and words == one[:1] and one[-1] == "online") for one in taken
    )


def _about_fee(severity: Severity, name: str, sentence: str, todo: str) -> CheckFinding:
    return find_envelope(severity, name, sentence, todo, Place.HOME)


def uses_courier(case: Case) -> bool:
    """Tell whether a private courier carries the packet."""
    return case.context.operation.mail_service is MailService.COURIER


def find_lines(case: Case, office: OfficeRow) -> tuple[str, ...]:
    """Give the lines the envelope must show: the courier's address or the mailing address."""
    return office.courier_to if uses_courier(case) else office.mail_to


def check_address(case: Case) -> Iterator[CheckFinding]:
    """Compare the address on the envelope with the office's."""
    office, told = case.context.paper.packet.office, case.context.envelope.address_on_envelope
    if office is None or is_online(case.context) or not _mails(case):
        return
    lines = find_lines(case, office)
    if not told.strip():
        wanted = ", ".join(lines) or f"the address of {office.title} from the agency's form"
        sentence = "Nobody has said which address stands on the envelope."
        todo = f"Which one? It must be: {wanted}."
        yield find_envelope(Severity.OPEN, "address_on_envelope", sentence, todo)
    elif not all(squash(_bare(line)) in squash(told) for line in _place_lines(office, lines)):
        sentence = f"The envelope says `{told}`."
        todo = f"Address it to: {', '.join(lines)}."
        yield find_envelope(Severity.STOP, "address_on_envelope", sentence, todo)


def _place_lines(office: OfficeRow, lines: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out the office's own name, which may be written in more than one way."""
    return lines[1:] if lines and lines[0] in office.title else lines


def _mails(case: Case) -> bool:
    return any(not enclosure.is_kept for enclosure in case.enclosures)


def _bare(line: str) -> str:
    """Leave out the four further digits of a ZIP code."""
    head, dash, tail = line.rpartition("-")
    return head if dash and tail.isdigit() and head[-5:].isdigit() else line


def check_carrier(case: Case) -> Iterator[CheckFinding]:
    """Refuse a private courier to a P.O. box."""
    office, told = case.context.paper.packet.office, case.context.envelope.address_on_envelope
    if office is None or not uses_courier(case) or is_online(case.context) or not _mails(case):
        return
    if told.strip() and Address(lines=(told,)).is_po_box:
        sentence = "A private courier is to carry it to a P.O. box."
        street = ", ".join(office.courier_to) or "a street address; ask the office for one"
        todo = f"Use the Postal Service, or address it to: {street}."
        yield find_envelope(Severity.STOP, "address_on_envelope", sentence, todo)
    elif not office.courier_to and Address(lines=office.mail_to).is_po_box:
        sentence = f"{office.title} has no street address in the table, only a P.O. box."
        todo = "Use the Postal Service for this packet."
        yield find_envelope(Severity.STOP, "address_on_envelope", sentence, todo)


AMOUNT = Crosscheck(
    id="fee",
    title="The fee is the right amount",
    citation="14 CFR 47.17, 47.31(a)(3); elsewhere the row of the paper",
    confidence=Confidence.SECOND_HAND,
    example="Two aircraft, two packets, but one check of $5 for both.",
    run=check_amount,
)
PAYEE = Crosscheck(
    id="payee",
    title="The fee is payable to the right office, in a way it takes",
    citation="reproductions of FAA's page on registering aircraft; elsewhere the row of the paper",
    confidence=Confidence.SECOND_HAND,
    example="The check is payable to the registry's city instead of the agency.",
    run=check_payee,
)
ADDRESS = Crosscheck(
    id="address",
    title="The envelope shows the office's address",
    citation="the office rows of the rules table",
    confidence=Confidence.SECOND_HAND,
    example="The envelope shows the box of another branch of the same agency.",
    run=check_address,
)
CARRIER = Crosscheck(
    id="carrier",
    title="No private courier to a P.O. box",
    citation="guidance of tax agencies on private carriers; IRM 1.22.2",
    confidence=Confidence.SECOND_HAND,
    example="A courier's label is addressed to P.O. Box 25504.",
    run=check_carrier,
)
