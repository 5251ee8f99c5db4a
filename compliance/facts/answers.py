"""What somebody, a filled PDF or a photo says about the blanks of a packet's documents."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum


class Status(StrEnum):
    """How a blank stands: filled in, left empty, struck because it does not apply, or unclear."""

    FILLED = "filled"
    EMPTY = "empty"
    STRUCK = "struck"
    UNCLEAR = "unclear"


class Source(StrEnum):
    """Who said so."""

    PERSON = "person"
    PDF = "pdf"
    PHOTO = "photo"


ENCLOSED = "enclosed"
"""The name of the answer that says whether a document is in the envelope."""


SIGNATURE_KINDS = ("ink", "digital", "picture")
"""How papers were signed; ``picture`` is a pasted image of a signature."""

COPY, ORIGINAL = "copy", "original"
"""What :data:`ENCLOSED` says of a document that is in the envelope."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer about one blank of one document.

    ``document`` is the last part of the document row's id, ``sheet`` counts from 1 when a packet
    holds several of it (bills of sale). ``blank`` is the blank's id, or :data:`ENCLOSED`. ``says``
    is the text that stands there, ``on`` the date; both only when known. ``seen_in`` is the hash of
    the file the answer comes from, empty for a person's word. ``picture_empty``: the last picture
    of the place showed nothing there, whatever a person or an earlier picture says.
    """

    document: str
    blank: str
    status: Status
    says: str = ""
    on: date | None = None
    sheet: int = 1
    source: Source = Source.PERSON
    seen_in: str = ""
    picture_empty: bool = False


def keep_empty_picture(old: Answer | None, new: Answer) -> Answer:
    """Note in a person's word that the last picture of the place showed nothing there."""
    if new.source is not Source.PERSON:
        return new
    was_empty = old is not None and (
        old.picture_empty or (old.source is Source.PHOTO and old.status is Status.EMPTY)
    )
    return replace(new, picture_empty=was_empty)


@dataclass(frozen=True, slots=True, kw_only=True)
class EnvelopeAnswers:
    """What only a person knows about the signing and the envelope, each None or empty until asked.

    ``owners_chain`` are the owners from the maker to the applicant, in order. ``id_expires`` is the
    last valid day of the identity card shown to the notary. ``address_on_envelope`` may be the word
    ``online``. ``no_corrections`` says that nothing was painted over, crossed out or written over.
    ``signature_kind`` is one of :data:`SIGNATURE_KINDS`. ``power_enclosed`` says that an agent's
    power of attorney is enclosed.
    """

    notary_name: str = ""
    notary_state: str = ""
    id_expires: date | None = None
    owners_chain: tuple[str, ...] = ()
    fee_amount_usd: str = ""
    fee_payee: str = ""
    fee_method: str = ""
    address_on_envelope: str = ""
    insured_from: date | None = None
    insured_through: date | None = None
    insured_aircraft: tuple[str, ...] = ()
    earlier_reasons_mended: tuple[str, ...] = ()
    no_corrections: bool | None = None
    signature_kind: str = ""
    power_enclosed: bool | None = None
