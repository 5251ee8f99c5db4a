"""All cross-checks in one tuple, the likeliest reason of a return first."""

from dataclasses import replace

from compliance.engine import crosschecks_age as age
from compliance.engine import crosschecks_amounts as amounts
from compliance.engine import crosschecks_blanks as blanks
from compliance.engine import crosschecks_choice as choice
from compliance.engine import crosschecks_dates as dates
from compliance.engine import crosschecks_documents as documents
from compliance.engine import crosschecks_envelope as envelope
from compliance.engine import crosschecks_evidence as evidence
from compliance.engine import crosschecks_facts as facts
from compliance.engine import crosschecks_insurance as insurance
from compliance.engine import crosschecks_notary as notary
from compliance.engine import crosschecks_notary_person as notary_person
from compliance.engine import crosschecks_person as person
from compliance.engine import crosschecks_said as said
from compliance.engine import crosschecks_signer as signer
from compliance.engine.check_sheets import Crosscheck

# No office publishes how often it returns what. What came back once comes first, then what is
# missing altogether, then what must agree, then the envelope, then what is only worth a look.
_IN_ORDER = (
    documents.EARLIER_RETURN,
    documents.ENCLOSED_ALL,
    blanks.SIGNATURES,
    notary.CERTIFICATE,
    blanks.PRINTED_NAMES,
    blanks.BLANKS,
    said.TALK,
    facts.NAMES_SAME,
    person.PERSONS,
    choice.ONE_BOX,
    signer.CAPACITY,
    signer.CO_OWNERS_SIGNED,
    facts.MACHINE_SAME,
    evidence.OWNERS,
    evidence.BILLS,
    evidence.FOREIGN,
    evidence.COMPANY,
    signer.AUTHORITY_SHOWN,
    signer.AGENT,
    signer.SELLER_TITLE,
    said.SELLER_SIGNER,
    envelope.AMOUNT,
    amounts.AMOUNT_WORDS,
    envelope.PAYEE,
    facts.STREETS,
    notary.ACT_DATES,
    age.LOGGED_ACT,
    notary.COMMISSION,
    notary.NAMED_SIGNER,
    notary.ACT,
    notary.VENUE,
    signer.ONE_PERSON,
    facts.NUMBERS,
    facts.SAME,
    documents.ORIGINALS,
    documents.CORRECTIONS,
    blanks.SIGNATURE_KIND,
    dates.DATES_READ,
    dates.AHEAD,
    dates.STALE,
    age.BEFORE_SALE,
    age.OLD_SIGNING,
    age.OLD_CHECK,
    dates.FRESH,
    dates.WINDOW,
    insurance.INSURED_DAYS,
    insurance.INSURED_AIRCRAFT,
    envelope.CARRIER,
    envelope.ADDRESS,
    notary_person.PARTY,
    notary_person.SIGNER_ID,
    facts.ADDRESSES,
    blanks.UNCLEAR,
    blanks.OPEN_BLANKS,
    documents.PICTURES,
)

CROSSCHECKS: tuple[Crosscheck, ...] = tuple(
    replace(check, rank=rank) for rank, check in enumerate(_IN_ORDER, 1)
)


def find_crosscheck(name: str) -> Crosscheck | None:
    """Give the cross-check of an id."""
    return next((check for check in CROSSCHECKS if check.id == name), None)
