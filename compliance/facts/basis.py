"""Where a row or a form comes from: citation, edition, confidence and day of last review."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from compliance.base.reading import Reader


class Confidence(StrEnum):
    """How sure a row is of its source, the surest first."""

    READ = "read"
    SECOND_HAND = "second-hand"
    CONFLICTING = "conflicting"
    MEMORY = "memory"
    COMMON_PRACTICE = "common-practice"


WORDS_OF_CONFIDENCE = {
    Confidence.READ: "the text itself was read",
    Confidence.SECOND_HAND: "read only in somebody else's summary",
    Confidence.CONFLICTING: "two sources disagree; the cautious one is used",
    Confidence.MEMORY: "from memory, not read",
    Confidence.COMMON_PRACTICE: "common practice, no source",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """Where a row comes from: citation, edition read, confidence, day of last review."""

    citation: str
    edition: str
    confidence: Confidence
    reviewed_on: date
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inherited:
    """Values that a row takes from its file or its paper when it does not name them."""

    edition: str = ""
    reviewed_on: date | None = None
    applies_from: date | None = None
    applies_until: date | None = None


NONE_READ = "none read"
"""The edition of a row that rests on no text."""

_UNREAD = {Confidence.MEMORY, Confidence.COMMON_PRACTICE}


def parse_basis(reader: Reader, inherited: Inherited) -> Basis:
    """Read citation, edition, confidence and review date of a row.

    What is from memory or common practice has no edition and must not take one from its paper.
    """
    confidence = Confidence(reader.choice("confidence", tuple(Confidence)))
    default = NONE_READ if confidence in _UNREAD else inherited.edition
    edition = reader.text("edition", required=not default, default=default)
    has_default = inherited.reviewed_on is not None
    reviewed_on = reader.date("reviewed", required=not has_default) or inherited.reviewed_on
    return Basis(
        citation=reader.text("cite"),
        edition=edition,
        confidence=confidence,
        reviewed_on=reviewed_on or date.min,
        note=reader.text("note", required=False),
    )
