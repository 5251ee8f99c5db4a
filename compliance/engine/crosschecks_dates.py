"""Cross-checks on dates: readable, not ahead, not too old, not outside a window."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import add_days, add_months, list_readings, say_date, say_days
from compliance.engine.check_model import CheckFinding, Severity
from compliance.engine.check_sheets import SIGNING_DAYS, Case, Crosscheck, Sheet, find_envelope
from compliance.engine.crosschecks_age import PAID_ON
from compliance.engine.validity import compute_renewal_opens
from compliance.facts.basis import Confidence
from compliance.facts.log import EventKind
from compliance.forms.model import Blank, BlankKind
from compliance.rules.model import StepUse

MAY_LIE_AHEAD = frozenset({"effective-on", "expires-on", "first-day", "last-day", "valid-through"})
NEVER_COMPARED = frozenset({"birth-date", "organized-on", "ended-on"})
_DAYS = (BlankKind.DATE, BlankKind.NOTARY_DATE)


def _dates(case: Case, *kinds: BlankKind) -> Iterator[tuple[Sheet, Blank]]:
    for sheet in case.sheets:
        for blank in sheet.of_kind(*kinds):
            if sheet.is_filled(blank.id):
                yield sheet, blank


def check_dates_read(case: Case) -> Iterator[CheckFinding]:
    """Ask for every date that is filled in but was not told, and has to be compared."""
    for sheet, blank in _dates(case, *_DAYS, BlankKind.NOTARY_EXPIRY):
        if sheet.on(blank.id) is None and blank.id not in NEVER_COMPARED:
            says = sheet.says(blank.id)
            told = f"says `{says}`" if says else "is filled, but nobody has said which date it is"
            days = list_readings(says)
            todo = "Which date is it, as year-month-day? Of several give the oldest."
            if len(days) == 1:
                todo = f"Is it {days[0]}? Say which date it is, as year-month-day."
            yield sheet.open(blank, f"`{blank.label}` {told}.", todo)


def check_ahead(case: Case) -> Iterator[CheckFinding]:
    """Refuse a date of signing, selling, paying or certifying that has not come yet."""
    as_of, mail_on = case.context.as_of, case.context.mail_on
    for sheet, blank in _dates(case, *_DAYS):
        day = sheet.on(blank.id)
        if day is None or blank.id in MAY_LIE_AHEAD:
            continue
        if day > as_of:
            sentence = f"`{blank.label}` is {say_date(day)}, which has not come yet."
            todo = "Write a new check" if blank.id == PAID_ON else "Fill in a fresh form"
            yield sheet.stop(blank, sentence, f"{todo}, with the right date.")
        elif day > mail_on:
            sentence = f"`{blank.label}` is {say_date(day)}, after the day of mailing."
            yield sheet.stop(blank, sentence, f"It is to be mailed on {say_date(mail_on)}.")


def check_stale(case: Case) -> Iterator[CheckFinding]:
    """Refuse a paper that was signed too long before it is mailed."""
    mail_on = case.context.mail_on
    for sheet, blank in _dates(case, BlankKind.DATE):
        day, days = sheet.on(blank.id), sheet.template.goes_stale_days
        if day is None:
            continue
        if blank.id in SIGNING_DAYS and days is not None and add_days(day, days) < mail_on:
            sentence = f"signed on {say_date(day)}, it may be mailed for {say_days(days)} only."
            yield sheet.stop(blank, sentence, "Sign a fresh one.")
        limit = blank.limit
        months = limit.at_most_months if limit is not None else None
        if limit is not None and months is not None and add_months(day, months) < mail_on:
            sentence = f"`{blank.label}` is {say_date(day)}, more than {months} months ago."
            todo = "It is too old; get a new one."
            yield sheet.stop(blank, sentence, todo, citation=limit.basis.citation)
        if blank.id == "valid-through" and day < mail_on:
            sentence = f"`{blank.label}` is {say_date(day)}, before the day of mailing."
            yield sheet.stop(blank, sentence, "Enclose the one that is in force.")


def check_fresh(case: Case) -> Iterator[CheckFinding]:
    """Refuse mailing later after an earlier step than the rule allows."""
    paper, mail_on = case.context.paper, case.context.mail_on
    for step in paper.steps:
        fresh = step.row.fresh
        if fresh is None or step.row.event is not EventKind.MAILED or step.done_on is not None:
            continue
        before = paper.find_step(fresh.after)
        if before is not None and before.done_on is not None:
            last = add_days(before.done_on, fresh.days)
            if last < mail_on:
                sentence = (
                    f"`{before.row.title}` was on {say_date(before.done_on)}; it must be mailed by "
                    f"{say_date(last)}."
                )
                todo = "Do that step again before mailing."
                yield find_envelope(Severity.STOP, "mail_on", sentence, todo)


def check_window(case: Case) -> Iterator[CheckFinding]:
    """Refuse a renewal that is mailed before its window opens."""
    packet, mail_on = case.context.paper.packet, case.context.mail_on
    through = packet.valid_through
    if packet.use is not StepUse.RENEWAL or packet.paper.renewal is None or through is None:
        return
    opens = compute_renewal_opens(packet.paper.renewal, through)
    if opens is not None and mail_on < opens:
        sentence = f"The renewal may be filed from {say_date(opens)} on, not before."
        yield _early(sentence, opens)


def _early(sentence: str, opens: date) -> CheckFinding:
    return find_envelope(Severity.STOP, "mail_on", sentence, f"Mail it on {say_date(opens)}.")


DATES_READ = Crosscheck(
    id="dates-read",
    title="Every date that is compared is known",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="You said that the date of signing is filled in, but not which date it is.",
    run=check_dates_read,
)
AHEAD = Crosscheck(
    id="ahead",
    title="No date lies in the future or after the day of mailing",
    citation="NDCC 44-06.1-14 for certificates; for the rest common practice",
    confidence=Confidence.COMMON_PRACTICE,
    example="The check is dated next month, or the wrong year stands beside the signature.",
    run=check_ahead,
)
STALE = Crosscheck(
    id="stale",
    title="Nothing is too old on the day of mailing",
    citation="the form's own rule, where its template names one",
    confidence=Confidence.SECOND_HAND,
    example="Missouri wants a photo taken within 12 months; this one is 14 months old.",
    run=check_stale,
)
FRESH = Crosscheck(
    id="fresh",
    title="Steps that must be close together are",
    citation="the step rows of the rules table",
    confidence=Confidence.SECOND_HAND,
    example="A form that must be mailed within 30 days of signing was signed 40 days ago.",
    run=check_fresh,
)
WINDOW = Crosscheck(
    id="renewal-window",
    title="A renewal is mailed inside its window",
    citation="14 CFR 47.40(b); 14 CFR 48.100(c)(1)",
    confidence=Confidence.READ,
    example="The registration ends in December and the renewal is mailed in May, a month early.",
    run=check_window,
)
