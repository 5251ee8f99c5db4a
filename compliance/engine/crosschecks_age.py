"""Cross-checks on papers that are oddly old: signed long ago, before the sale or the return."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import add_months, say_date
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import SIGNING_DAYS, Case, Crosscheck, Sheet, is_bill_of_sale
from compliance.engine.crosschecks_notary import find_notary_blank, notarized
from compliance.facts.basis import Confidence
from compliance.facts.log import EventKind
from compliance.forms.model import Blank, BlankKind, FilledBy, Supplier

PAID_ON = "paid-on"
_OLD_CHECK_MONTHS = 6
_OLD_PAPER_MONTHS = 12
_WRONG_LOG = "If the log is wrong: mailby log withdraw NUMBER; mailby show lists the numbers."


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
    yield from _check_founded(case, bought)
    for sheet in case.sheets:
        if is_bill_of_sale(sheet.template) or not _names_machine(sheet):
            continue
        early = [(blank, day) for blank, day in _signing_days(sheet) if day < bought]
        for blank, day in early[:1]:
            sentence = f"signed on {say_date(day)}, but the aircraft was sold on "
            sentence += f"{say_date(bought)}: the signer did not own it yet."
            yield sheet.open(blank, sentence, "Is one of the dates wrong? Else sign a fresh one.")


def _check_founded(case: Case, bought: date) -> Iterator[CheckFinding]:
    """Ask about a company that bought the machine before it was organized."""
    for sheet in case.sheets:
        blank, day = sheet.template.find_blank("organized-on"), sheet.on("organized-on")
        if blank is not None and day is not None and day > bought:
            sentence = f"organized on {say_date(day)}, but the aircraft was sold on "
            sentence += f"{say_date(bought)}: the company could not buy it yet."
            yield sheet.stop(blank, sentence, "Correct whichever date is wrong.")


def check_logged_act(case: Case) -> Iterator[CheckFinding]:
    """Compare the days in the certificates with the day of the notary's act in the log.

    Once a packet came back, an act logged since then asks for a page of since then; where one of
    several pages is as new, the others may have been left as they were. A notary's page that is
    left as it is (``still_good``) is not compared.
    """
    acted = _find_logged_act(case)
    days = [
        (sheet, blank, day)
        for sheet in notarized(case)
        if (blank := find_notary_blank(sheet, BlankKind.NOTARY_DATE)) is not None
        and (day := sheet.on(blank.id)) is not None
    ]
    if acted is None or not days:
        return
    returns = case.context.paper.packet.progress.returns
    back = returns[-1].happened_on if returns else None
    newest = max(day for _, _, day in days)
    for sheet, blank, day in days:
        if day == acted:
            continue
        on_page = f"`{blank.label}` is {say_date(day)}"
        if back is not None and newest < back:
            sentence = (
                f"the log says that it was notarized anew on {say_date(acted)}, but {on_page}"
            )
            sentence += f", before the packet came back on {say_date(back)}."
            todo = "Does the old page lie in the envelope? Put the new one in."
            yield sheet.stop(blank, sentence, f"{todo} {_WRONG_LOG}")
        else:
            sentence = f"the log says that it was notarized on {say_date(acted)}, {on_page}."
            yield sheet.note(blank, sentence, f"Which is right? {_WRONG_LOG}")


def _find_logged_act(case: Case) -> date | None:
    """Give the day in the log of the notary's act for the mailing that is worked on."""
    paper = case.context.paper
    progress = paper.packet.progress
    turn, back = progress.round, None
    if progress.returns:
        back = progress.returns[-1].happened_on
    for step in paper.steps:
        name = step.row.name
        if step.row.event is not EventKind.NOTARIZED or name in progress.still_good(turn):
            continue
        day = progress.done.get((name, turn))
        if day is None and back is not None:
            # A step that is not done again after a return keeps the round of the first mailing.
            first = progress.done.get((name, 1))
            day = first if first is not None and first > back else None
        if day is not None:
            return day
    return None


def _signing_days(sheet: Sheet) -> Iterator[tuple[Blank, date]]:
    """Give the days beside the owner's or pilot's signature."""
    for blank in sheet.template.blanks:
        day = sheet.on(blank.id)
        is_own = blank.filled_by in {FilledBy.OWNER, FilledBy.PILOT}
        if blank.id in SIGNING_DAYS and is_own and day is not None:
            yield blank, day


def _names_machine(sheet: Sheet) -> bool:
    return any(blank.equals.startswith("aircraft.") for blank in sheet.template.blanks)


LOGGED_ACT = Crosscheck(
    id="logged-act",
    title="The notary's page is the one of which the log speaks",
    citation="your own log",
    confidence=Confidence.COMMON_PRACTICE,
    example="It was notarized anew after the return, and the old page lies in the envelope.",
    run=check_logged_act,
)
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
