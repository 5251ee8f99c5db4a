"""Where a row or a form comes from: citation, edition, confidence and day of last review."""

from dataclasses import dataclass
from datetime import date, timedelta
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


# A row that nobody has looked at for a year is pointed out.
REVIEW_AFTER_DAYS = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """Where a row comes from: citation, edition read, confidence, day of last review.

    ``review_by``: the last day it is to be relied on without another look, where a change is known
    to be under way; None when the usual year counts.
    """

    citation: str
    edition: str
    confidence: Confidence
    reviewed_on: date
    note: str = ""
    review_by: date | None = None

    @property
    def review_due(self) -> date:
        """Give the last day before another look is due: ``review_by``, or 365 days on; inclusive.

        The earlier of the two counts.
        """
        if self.reviewed_on > date.max - timedelta(days=REVIEW_AFTER_DAYS):
            return date.max
        usual = self.reviewed_on + timedelta(days=REVIEW_AFTER_DAYS)
        return usual if self.review_by is None else min(usual, self.review_by)


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
        review_by=reader.date("review_by"),
    )
