"""Cross-checks on papers that are oddly old: signed long ago, before the sale, an old check."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import add_months, say_date
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import SIGNING_DAYS, Case, Crosscheck, Sheet, is_bill_of_sale
from compliance.facts.basis import Confidence
from compliance.forms.model import Blank, FilledBy, Supplier

PAID_ON = "paid-on"
_OLD_CHECK_MONTHS = 6
_OLD_PAPER_MONTHS = 12


def check_old_check(case: Case) -> Iterator[CheckFinding]:
    """Ask about a check so old that a bank need not pay it."""
    mail_on = case.context.mail_on
    for sheet in case.sheets:
        blank, day = sheet.template.find_blank(PAID_ON), sheet.on(PAID_ON)
        if blank is not None and day is not None and add_months(day, _OLD_CHECK_MONTHS) < mail_on:
            sentence = f"`{blank.label}` is {say_date(day)}, more than six months before mailing."
            todo = "A bank need not pay a check that old. Is the date right? Else write a new one."
            yield sheet.open(blank, sentence, todo)


def check_old_signing(case: Case) -> Iterator[CheckFinding]:
    """Ask about a form signed more than a year before mailing, where the form sets no limit."""
    mail_on = case.context.mail_on
    for sheet in case.sheets:
        is_own = sheet.template.supplied_by is Supplier.AGENCY or sheet.template.is_notarized
        if not is_own or sheet.template.goes_stale_days is not None:
            continue
        for blank, day in _signing_days(sheet):
            if add_months(day, _OLD_PAPER_MONTHS) < mail_on:
                sentence = f"signed on {say_date(day)}, more than a year before mailing."
                yield sheet.open(blank, sentence, "Is the date right? Else sign a fresh one.")


def check_before_sale(case: Case) -> Iterator[CheckFinding]:
    """Ask about a paper on the machine that its owner signed before the owner had bought it."""
    sold = [
        day
        for sheet in case.sheets
        if is_bill_of_sale(sheet.template) and (day := sheet.on("sold-on")) is not None
    ]
    if not sold:
        return
    bought = max(sold)
    for sheet in case.sheets:
        if is_bill_of_sale(sheet.template) or not _names_machine(sheet):
            continue
        early = [(blank, day) for blank, day in _signing_days(sheet) if day < bought]
        for blank, day in early[:1]:
            sentence = f"signed on {say_date(day)}, but the aircraft was sold on "
            sentence += f"{say_date(bought)}: the signer did not own it yet."
            yield sheet.open(blank, sentence, "Is one of the dates wrong? Else sign a fresh one.")


def _signing_days(sheet: Sheet) -> Iterator[tuple[Blank, date]]:
    """Give the days beside the owner's or pilot's signature."""
    for blank in sheet.template.blanks:
        day = sheet.on(blank.id)
        is_own = blank.filled_by in {FilledBy.OWNER, FilledBy.PILOT}
        if blank.id in SIGNING_DAYS and is_own and day is not None:
            yield blank, day


def _names_machine(sheet: Sheet) -> bool:
    return any(blank.equals.startswith("aircraft.") for blank in sheet.template.blanks)


OLD_CHECK = Crosscheck(
    id="old-check",
    title="The check is not older than six months",
    citation="UCC 4-404 (from memory): a bank need not pay a check older than six months",
    confidence=Confidence.MEMORY,
    example="The check was written last year and lay in the drawer.",
    run=check_old_check,
)
OLD_SIGNING = Crosscheck(
    id="old-signing",
    title="No form was signed more than a year ago",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="In January last year's number was written beside the signature.",
    run=check_old_signing,
)
BEFORE_SALE = Crosscheck(
    id="before-sale",
    title="Nothing about the aircraft was signed before the owner bought it",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="The affidavit was sworn to in January, the bill of sale is of March.",
    run=check_before_sale,
)
