"""Cross-checks on the notary and the signer as persons: no party, a card that is good."""

from collections.abc import Iterator

from compliance.base.dates import add_months, say_date
from compliance.engine.check_facts import list_people
from compliance.engine.check_model import CheckFinding, Place, Severity
from compliance.engine.check_sheets import Case, Crosscheck, Sheet, find_envelope
from compliance.engine.check_words import split_words
from compliance.engine.crosschecks_notary import (
    find_notary_blank,
    is_waived,
    notarized,
)
from compliance.engine.near_names import Likeness, compare_name
from compliance.facts.basis import Confidence
from compliance.facts.states import STATES, find_state
from compliance.forms.model import BlankKind

ID_MONTHS_AFTER_EXPIRY = {"IA": 36, "VT": 36}
"""States where a notary takes an identity card some months after its last day.

Source: 26 VSA 5365 (in force 2019-07-01, read); a notary association's note on Iowa (2013).
"""
ID_MUST_BE_CURRENT = frozenset({"PA", "MN", "IL"})
"""Source: 57 Pa.C.S. 307 (read); a notary association's notes on Minnesota (2020), Illinois."""


def check_party(case: Case) -> Iterator[CheckFinding]:
    """Ask who the notary is, and refuse one who is a party to the papers."""
    sheets = [sheet for sheet in notarized(case) if not is_waived(sheet)]
    notary = case.context.envelope.notary_name
    if sheets and not notary.strip():
        sentence = "Nobody has said who the notary is."
        todo = "Which name stands in the notary's stamp?"
        yield find_envelope(Severity.OPEN, "notary_name", sentence, todo, Place.NOTARY)
    if not sheets or not notary.strip():
        return
    names = [*list_people(case.context.operation)]
    for sheet in case.sheets:
        names += [sheet.says(blank.id) for blank in sheet.of_kind(BlankKind.PRINTED_NAME)]
    told = split_words(notary)
    for name in dict.fromkeys(filter(None, names)):
        words = split_words(name)
        if words == told:
            sentence = f"The notary, {notary}, is a party to these papers."
            todo = "Go to a notary who has no part in them."
            yield find_envelope(Severity.STOP, "notary_name", sentence, todo, Place.NOTARY)
        elif compare_name(notary, name) is Likeness.SLIP:
            sentence = f"The notary is said to be {notary}, nearly the name of {name}."
            todo = "Which name stands in the stamp? A notary may have no part in the papers."
            yield find_envelope(Severity.STOP, "notary_name", sentence, todo, Place.NOTARY)
        elif words[-1:] == told[-1:]:
            sentence = f"The notary, {notary}, has the same last name as {name}."
            todo = "A notary may not act for a husband or wife; if so, go to another."
            yield find_envelope(Severity.NOTE, "notary_name", sentence, todo, Place.NOTARY)


def check_signer_id(case: Case) -> Iterator[CheckFinding]:
    """Ask whether the card the signer shows is still good for the notary's state.

    Where a state's rule was not read, the card must be in date.
    """
    envelope = case.context.envelope
    for sheet in notarized(case):
        if is_waived(sheet) or (sheet.is_certified and envelope.id_expires is None):
            continue  # the notary has looked at the card already
        day = find_notary_blank(sheet, BlankKind.NOTARY_DATE)
        acted = (sheet.on(day.id) if day is not None else None) or case.context.as_of
        state = find_state(envelope.notary_state) or _venue(sheet)
        if envelope.id_expires is None:
            sentence = "Nobody has said until when the signer's identity card is valid."
            todo = "Which last day stands on the card you show to the notary?"
            yield find_envelope(Severity.OPEN, "id_expires", sentence, todo)
            return
        spare = ID_MONTHS_AFTER_EXPIRY.get(state, 0)
        if acted <= add_months(envelope.id_expires, spare):
            continue
        unread = "" if spare or state in ID_MUST_BE_CURRENT else " (that state's rule was not read)"
        where = STATES.get(state, "the notary's state")
        sentence = (
            f"The signer's identity card ended on {say_date(envelope.id_expires)}; in {where} it "
            f"would be too old on {say_date(acted)}{unread}."
        )
        todo = "Take a passport or another card that is in date, or ask the notary first."
        yield find_envelope(Severity.STOP, "id_expires", sentence, todo)
        return


def _venue(sheet: Sheet) -> str:
    blank = find_notary_blank(sheet, BlankKind.NOTARY_STATE)
    return find_state(sheet.says(blank.id)) if blank is not None else ""


PARTY = Crosscheck(
    id="notary-party",
    title="The notary is no party to the papers",
    citation="57 Pa.C.S. 304; Wyo. Stat. 32-3-123",
    confidence=Confidence.READ,
    example="Wren Castellow is a notary and a member of the company: she may not notarize for it.",
    run=check_party,
)
SIGNER_ID = Crosscheck(
    id="signer-id",
    title="The signer's identity card is good for the notary's state",
    citation="57 Pa.C.S. 307; 26 VSA 5365; notary associations' notes on MN, IA, IL",
    confidence=Confidence.SECOND_HAND,
    example="The driver's license ended in March and the notary is in Minnesota.",
    run=check_signer_id,
)
