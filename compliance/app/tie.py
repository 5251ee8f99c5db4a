"""Tie places found on a form to the blanks of its template, by kind, words and neighbours.

A wrong tie would call the wrong thing missing, so what is not plain stays untied and is asked of
the person.
"""

import re
from collections.abc import Sequence

from compliance.app.tie_boxes import tie_boxes
from compliance.app.tie_signing import is_of_tied, is_signing_label, tie_signing
from compliance.app.tie_words import (
    BlankWords,
    compute_told,
    differ_in_words,
    is_general,
    list_words,
    split_label,
)
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate
from compliance.scan.model import Region

TOLD = 0.75
"""At least this share of what a place says must be said of its blank."""
MARGIN = 0.1
"""Two blanks that fit a place as nearly alike leave it untied."""
NEAR_NOTARY = 170.0
"""The name of who signed stands this near to other parts of the certificate, in points."""
BELOW_ADDRESS = 64.0
_WRITTEN = frozenset(
    {
        BlankKind.TEXT,
        BlankKind.NUMBER,
        BlankKind.ADDRESS,
        BlankKind.AMOUNT,
        BlankKind.TITLE,
        BlankKind.PRINTED_NAME,
        BlankKind.DATE,
    }
)
_OF_SIGNER = re.compile(
    r"(^|\W)by$|appeared|known|acknowledged|(name|identity) of|sworn|^name$|before me",
    re.IGNORECASE,
)
_MORE_OF_ADDRESS = frozenset({"city", "town", "state", "zip", "code", "postal", "country"})
_SOME_ADDRESS = frozenset({"address", "mailing", "street", "permanent"})
_BARE = re.compile(
    r"^\W*(full |complete |legal )*(name|address|date|amount|\$)( of signing| signed)?"
    r"(\W*\(.*\)?)?\W*$",
    re.IGNORECASE,
)
_PERSON_ONLY = re.compile(
    r"\b(business|company|insur\w+|course|firm|maker|trade|corporation)\b", re.IGNORECASE
)
_FAR_KINDS = (
    frozenset({BlankKind.NUMBER, BlankKind.TEXT}),
    frozenset({BlankKind.NUMBER, BlankKind.PRINTED_NAME}),
    frozenset({BlankKind.ADDRESS, BlankKind.TEXT}),
    frozenset({BlankKind.ADDRESS, BlankKind.PRINTED_NAME}),
    frozenset({BlankKind.ADDRESS, BlankKind.NUMBER}),
)
SAME = 0.2
"""Words that are a blank's very name fit that much better."""
UNLIKE = 0.15
"""A place of another sort than its blank fits that much less."""


def tie_regions(regions: tuple[Region, ...], template: FormTemplate) -> dict[str, str]:
    """Give the blank of each place that could be tied: place id -> blank id.

    Shape: several places may be one blank: the parts of a notary's date, the boxes of a choice, the
    lines of an address. What does not fit well, or fits two blanks alike, stays untied.
    """
    tied = _tie_notary(regions, template)
    tied |= tie_signing(regions, template)
    tied |= tie_boxes(regions, template.blanks)
    tied |= _tie_words(regions, template, tied)
    tied |= _tie_bare(regions, template, tied)
    tied |= _tie_general(regions, template, tied)
    return tied | _tie_more_of_address(regions, template, tied)


def _tie_notary(regions: tuple[Region, ...], template: FormTemplate) -> dict[str, str]:
    """Tie the parts of the certificate by their kinds, and the name of who signed by its place."""
    tied: dict[str, str] = {}
    parts = [region for region in regions if region.kind.startswith("notary-")]
    for region in parts:
        same = [blank.id for blank in template.blanks if blank.kind == region.kind]
        if len(same) == 1:
            tied[region.id] = same[0]
    signers = [
        blank.id
        for blank in template.blanks
        if blank.kind is BlankKind.PRINTED_NAME and blank.filled_by is FilledBy.NOTARY
    ]
    for region in regions:
        near = any(
            part.page == region.page and abs(part.bottom - region.bottom) < NEAR_NOTARY
            for part in parts
        )
        is_name = region.kind == BlankKind.PRINTED_NAME and _OF_SIGNER.search(region.label)
        if signers and near and is_name and "notary" not in region.label.lower():
            tied[region.id] = signers[0]
    return tied


def _tie_words(
    regions: Sequence[Region], template: FormTemplate, tied: dict[str, str]
) -> dict[str, str]:
    """Tie what is written in by its words, the best pairs first, one place a blank."""
    free = [
        blank
        for blank in template.blanks
        if blank.kind in _WRITTEN and blank.id not in tied.values()
    ]
    open_places = [
        region
        for region in regions
        if region.id not in tied
        and region.kind in _WRITTEN
        and not is_signing_label(region, regions)
    ]
    words = {blank.id: list_words(blank) for blank in free}
    scores = {
        (region.id, blank.id): score
        for region in open_places
        for blank in free
        if (score := _score(region, blank, words[blank.id])) > 0
    }
    order = {region.id: at for at, region in enumerate(open_places)}
    found: dict[str, str] = {}
    unclear: set[str] = set()
    for region_id, blank_id in sorted(
        scores, key=lambda pair: (-round(scores[pair], 3), order[pair[0]])
    ):
        if region_id in found or region_id in unclear or blank_id in found.values():
            continue
        if _has_rival(region_id, blank_id, scores, found):
            unclear.add(region_id)
        else:
            found[region_id] = blank_id
    return found


def _has_rival(
    region_id: str, blank_id: str, scores: dict[tuple[str, str], float], found: dict[str, str]
) -> bool:
    """Tell whether another blank fits a place nearly as well, and has no better place itself."""
    mine = scores[region_id, blank_id]
    for (place, other), score in scores.items():
        if place != region_id or other == blank_id or other in found.values():
            continue
        better = max(
            (
                value
                for (elsewhere, name), value in scores.items()
                if name == other and elsewhere != region_id and elsewhere not in found
            ),
            default=0.0,
        )
        if score > mine - MARGIN and better <= score:
            return True
    return False


def _score(region: Region, blank: Blank, words: BlankWords) -> float:
    """Give how well a place fits a blank, 0 when it does not."""
    said = split_label(region.label)
    if not said or (is_general(said) and not said >= words.head):
        return 0.0
    told = compute_told(said, words.all, blank.filled_by)
    held = compute_told(words.head, said)
    shared = said & words.all
    if differ_in_words(region.label, words):
        return 0.0
    if told < TOLD or (is_general(shared) and not said >= words.head):
        return 0.0
    is_date = BlankKind.DATE in {region.kind, blank.kind} and region.kind != blank.kind
    if is_date and blank.kind is not BlankKind.TEXT and held < TOLD:
        return 0.0
    is_far = is_date or frozenset({BlankKind(region.kind), blank.kind}) in _FAR_KINDS
    return 0.6 * told + 0.4 * held + SAME * (said == words.id) - UNLIKE * is_far


def _tie_bare(
    regions: Sequence[Region], template: FormTemplate, tied: dict[str, str]
) -> dict[str, str]:
    """Tie a bare "Name", "Address" or "Date" when one place and one blank of the sort are left."""
    found: dict[str, str] = {}
    for kinds, word in (
        ({BlankKind.DATE}, "date"),
        ({BlankKind.ADDRESS}, "address"),
        ({BlankKind.AMOUNT}, "amount"),
        ({BlankKind.TEXT, BlankKind.PRINTED_NAME}, "name"),
    ):
        places = [
            region.id
            for region in regions
            if region.id not in tied
            and region.kind in {*kinds, BlankKind.TEXT}
            and _find_bare(region) == word
            and (word != "date" or is_of_tied(region, regions, tied))
        ]
        blanks = [
            blank.id
            for blank in template.blanks
            if blank.kind in kinds
            and blank.id not in tied.values()
            and blank.filled_by is not FilledBy.NOTARY
            and (word != "name" or _is_of_person(blank))
        ]
        if len(places) == len(blanks) == 1:
            found[places[0]] = blanks[0]
    return found


def _find_bare(region: Region) -> str:
    """Give the one thing that a place asks for without saying which, an empty text otherwise."""
    match = _BARE.match(region.label)
    if match is not None:
        return match.group(2).lower().replace("$", "amount")
    said = split_label(region.label) | split_label(region.label.replace("(", " "))
    return "address" if len(said) > 1 and said <= _MORE_OF_ADDRESS | _SOME_ADDRESS else ""


def _is_of_person(blank: Blank) -> bool:
    return (
        "name" in blank.label.lower()
        and not blank.id.endswith("printed-name")
        and _PERSON_ONLY.search(blank.label) is None
    )


def _tie_general(
    regions: Sequence[Region], template: FormTemplate, tied: dict[str, str]
) -> dict[str, str]:
    """Tie general words such as "Certificate number" when one place and one blank have them."""
    found: dict[str, str] = {}
    places = [
        region
        for region in regions
        if region.id not in tied and region.kind in _WRITTEN and len(split_label(region.label)) > 1
    ]
    for region in places:
        said = split_label(region.label)
        fits = [
            blank.id
            for blank in template.blanks
            if blank.kind == region.kind and said <= list_words(blank).all
        ]
        alike = [other for other in places if split_label(other.label) == said]
        if is_general(said) and len(fits) == len(alike) == 1 and fits[0] not in tied.values():
            found[region.id] = fits[0]
    return found


def _tie_more_of_address(
    regions: Sequence[Region], template: FormTemplate, tied: dict[str, str]
) -> dict[str, str]:
    """Tie city, state and ZIP to the blank of the address that stands right before them."""
    addresses = {blank.id for blank in template.blanks if blank.kind is BlankKind.ADDRESS}
    found: dict[str, str] = {}
    last: Region | None = None
    for region in regions:
        said = split_label(region.label)
        follows = (
            last is not None
            and last.page == region.page
            and abs(last.bottom - region.bottom) < BELOW_ADDRESS
        )
        if region.id not in tied and said and said <= _MORE_OF_ADDRESS:
            if follows and last is not None:
                found[region.id] = tied[last.id]
        else:
            last = region if tied.get(region.id) in addresses else None
    return found
