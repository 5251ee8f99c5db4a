"""Tell how well the fields of a PDF fit a form: whether it is that form at all.

Source: the weights are common practice, no source; measured in ``tests/app/test_form_guess.py``.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from compliance.scan.acroform_match import BlankWanted, propose_mapping, split_words
from compliance.scan.pdf_model import FieldsRead

_TITLE_WEIGHT = 0.25
_BY_HAND = frozenset({"signature", "notary-signature", "notary-stamp"})


@dataclass(frozen=True, slots=True, kw_only=True)
class FormFit:
    """How well a PDF fits a form.

    Shape: ``score`` is 0 to 1.25, the last quarter for the words of the title; ``held`` of
    ``wanted`` blanks that have to be filled in, other than by hand, seem to have a field.
    """

    score: float
    held: int
    wanted: int

    @property
    def is_thin(self) -> bool:
        """Tell whether most of the blanks that have to be filled in have no field."""
        return 2 * self.held < self.wanted


def compute_fit(read: FieldsRead, blanks: Sequence[BlankWanted], title: str) -> FormFit:
    """Compute how well the fields and the heading of a PDF fit a form."""
    matches = propose_mapping(read.fields, blanks)
    count = sum(not field.is_hidden and bool(field.places) for field in read.fields)
    tied = {match.blank for match in matches}
    must = [blank for blank in blanks if blank.must and blank.kind not in _BY_HAND]
    words = split_words(title)
    named = len(words & split_words(read.heading)) / max(1, len(words))
    score = 2 * sum(match.score for match in matches) / max(1, count + len(blanks))
    return FormFit(
        score=score + _TITLE_WEIGHT * named,
        held=sum(blank.id in tied for blank in must),
        wanted=len(must),
    )
