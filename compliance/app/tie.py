"""Tie places found on a form to the blanks of its template, by kind and words."""

import re

from compliance.forms.model import Blank, BlankKind, FormTemplate
from compliance.scan.model import Region

_LETTERS = re.compile(r"[a-z]+")
_SMALL = frozenset(
    {"a", "an", "and", "as", "at", "be", "beside", "by", "check", "each", "fill", "for", "full"}
    | {"if", "in", "is", "it", "of", "on", "or", "same", "stands", "the", "this", "to", "typed"}
    | {"where", "which", "with", "you", "your"}
)
# Places of these kinds look alike on paper; the words decide.
_ALIKE = (
    frozenset(
        {
            BlankKind.TEXT,
            BlankKind.NUMBER,
            BlankKind.ADDRESS,
            BlankKind.AMOUNT,
            BlankKind.TITLE,
            BlankKind.PRINTED_NAME,
        }
    ),
    frozenset({BlankKind.DATE, BlankKind.NOTARY_DATE}),
    frozenset({BlankKind.SIGNATURE, BlankKind.NOTARY_SIGNATURE}),
)
_LEAST = 0.34
_SAME_KIND = 0.5


def tie_regions(regions: tuple[Region, ...], template: FormTemplate) -> dict[str, str]:
    """Give the blank of each place that could be tied: place id -> blank id.

    The best pairs of kind and words are tied first, one place a blank; of pairs that fit alike the
    one that shares the most, so that a bare `Date` does not take the place of a birthday. A place
    left over whose kind only one blank of the form has belongs to that blank too, such as the day,
    month and year of a notary's date. What does not fit well stays untied; a wrong tie would call
    the wrong thing missing.
    """
    pairs = sorted(
        (
            (-_score(region, blank), -_closeness(region, blank), at, number, region.id, blank.id)
            for at, region in enumerate(regions)
            for number, blank in enumerate(template.blanks)
        ),
    )
    tied: dict[str, str] = {}
    for score, *_, region_id, blank_id in pairs:
        if -score >= _LEAST and region_id not in tied and blank_id not in tied.values():
            tied[region_id] = blank_id
    for region in regions:
        same = [blank.id for blank in template.blanks if blank.kind == region.kind]
        if region.id not in tied and len(same) == 1 and region.kind.startswith("notary-"):
            tied[region.id] = same[0]
    return tied


def _score(region: Region, blank: Blank) -> float:
    words = _likeness(region.label, f"{blank.id} {blank.label}")
    if region.kind == blank.kind:
        if blank.kind.is_notarial or blank.kind is BlankKind.SIGNATURE:
            return _SAME_KIND + words
        return _SAME_KIND / 2 + words if words >= _LEAST else 0.0
    alike = any({region.kind, blank.kind} <= kinds for kinds in _ALIKE)
    return words if alike and words >= _SAME_KIND else 0.0


def _closeness(region: Region, blank: Blank) -> float:
    """Give the share of all words of a pair that both have."""
    first, second = _words(region.label), _words(f"{blank.id} {blank.label}")
    return len(first & second) / max(1, len(first | second))


def _likeness(one: str, two: str) -> float:
    """Give the share of the first text's words that the second has."""
    first, second = _words(one), _words(two)
    return len(first & second) / len(first) if first else 0.0


def _words(text: str) -> set[str]:
    found = (word.removesuffix("s") for word in _LETTERS.findall(text.lower()))
    return {word for word in found if word not in _SMALL and len(word) > 1}
