"""Tie signatures, and the name, title and date that stand beside each, to a template's blanks."""

import re
from collections.abc import Sequence

from compliance.app.tie_words import list_words, split_all, split_label
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate
from compliance.scan.model import Region

REACH = 150.0
"""What belongs to a signature stands at most this far from it, in points."""
SIDEWAYS = 0.5
"""A point to the side counts as so many points up or down."""
_SIGNER = "sign authorized applicant"
_ROLES = {
    FilledBy.OWNER: f"{_SIGNER} owner member manager president officer representative licensee"
    " holder registrant principal petitioner affiant secretary partner operator declarant",
    FilledBy.PILOT: f"{_SIGNER} pilot airman licensee applicator affiant candidate declarant",
    FilledBy.SELLER: "sign authorized seller grantor",
    FilledBy.INSURER: "sign authorized insurer insurance agent representative producer underwriter",
    FilledBy.OFFICE: "sign official officer",
    FilledBy.REGISTRY: "sign official officer registrar registry authority",
    FilledBy.MAKER: "sign authorized maker representative",
    FilledBy.NOTARY: "sign notary",
}
_OTHERS = (
    "witness buyer lessor lessee trainer supervisor inspector instructor employer landowner"
    " neighbor tenant guardian spouse co co-owner second bank customer dealer consultant"
    " reviewer approved checked"
)
_ANY_ROLE = frozenset(" ".join((*_ROLES.values(), _OTHERS)).split())
_KINDS = {
    BlankKind.DATE: frozenset(["date", "sign", "month", "year", "mm", "dd", "yyyy"]),
    BlankKind.PRINTED_NAME: frozenset(["name", "print", "sign", "block", "letter", "capital"]),
    BlankKind.TITLE: frozenset(["title", "position", "office", "capacity", "held", "sign", "rank"]),
}
_NAME = re.compile(r"\bnames?\b|^\W*(please )?print(ed)?\W*$", re.IGNORECASE)


def tie_signing(regions: Sequence[Region], template: FormTemplate) -> dict[str, str]:
    """Tie the signatures that are plain, and what stands beside each of them."""
    blanks = [blank for blank in template.blanks if blank.kind is BlankKind.SIGNATURE]
    places = [region for region in regions if region.kind == BlankKind.SIGNATURE]
    found: dict[str, str] = {}
    for blank in blanks:
        fits = [place for place in places if _fits(place, blank, blanks)]
        best = max((_closeness(place, blank) for place in fits), default=0.0)
        chosen = [place for place in fits if _closeness(place, blank) == best]
        # What may be left out is tied only to a place that says who signs it.
        plain = blank.must or len(blanks) == 1 or best >= 1
        if len(chosen) == 1 and plain and chosen[0].id not in found:
            found[chosen[0].id] = blank.id
    for place in places:
        if place.id in found:
            blank = next(one for one in blanks if one.id == found[place.id])
            found |= _tie_beside(place, blank, regions, template)
    return found


def _roles(text: str) -> frozenset[str]:
    return split_all(text) & _ANY_ROLE


def _fits(place: Region, blank: Blank, blanks: Sequence[Blank]) -> bool:
    """Tell whether nobody else is asked to sign than the blank says."""
    said = _roles(place.label) - {"sign"}
    allowed = _allowed(blank)
    if not said and re.search(r"\byour\b", place.label, re.IGNORECASE):
        return blank.filled_by in {FilledBy.OWNER, FilledBy.PILOT}
    if not said:
        return len([one for one in blanks if one.must]) == 1 or len(blanks) == 1
    return said <= allowed


def _allowed(blank: Blank) -> frozenset[str]:
    return frozenset(_ROLES[blank.filled_by].split()) | _roles(f"{blank.id} {blank.label}")


def _closeness(place: Region, blank: Blank) -> float:
    """Give how many words about who signs both have; a place that says nobody comes last."""
    said = _roles(place.label) - {"sign"}
    return len(said & list_words(blank).all) + 0.5 * bool(said)


def _tie_beside(
    place: Region, blank: Blank, regions: Sequence[Region], template: FormTemplate
) -> dict[str, str]:
    """Tie the date, the printed name and the title that stand beside a signature."""
    found: dict[str, str] = {}
    for kind in _KINDS:
        wanted = _find_mate(kind, blank, template)
        near = sorted(
            (_distance(place, region), at, region.id)
            for at, region in enumerate(regions)
            if is_signing_label(region, regions, kind)
            and _roles(region.label) <= _allowed(blank)
            and _find_nearest(region, regions) is place
        )
        if wanted is not None and near:
            found[near[0][2]] = wanted.id
    return found


def _find_mate(kind: BlankKind, blank: Blank, template: FormTemplate) -> Blank | None:
    """Give the blank of a kind that goes with a signature's blank."""
    prefix = blank.id.removesuffix("signature")
    names = {
        BlankKind.DATE: (f"{prefix}signed-on",),
        BlankKind.PRINTED_NAME: (f"{prefix}printed-name", f"{prefix}name"),
        BlankKind.TITLE: (f"{prefix}title", f"{prefix}signer-title"),
    }[kind]
    mates = [one for one in template.blanks if one.kind is kind and one.id in names]
    return mates[0] if len(mates) == 1 else None


def is_signing_label(
    region: Region, regions: Sequence[Region], kind: BlankKind | None = None
) -> bool:
    """Tell whether a place asks for nothing but the date, name or title beside a signature.

    Without a *kind* for any of them. A bare "Name" or "Date" counts only near a signature.
    """
    if region.kind == BlankKind.SIGNATURE or region.kind.startswith("notary-"):
        return False
    if _find_nearest(region, regions) is None:
        return False
    said = split_label(region.label) - _ANY_ROLE
    kinds = (kind,) if kind else tuple(_KINDS)
    return any(_is_only(region, said, one) for one in kinds)


def is_of_tied(region: Region, regions: Sequence[Region], tied: dict[str, str]) -> bool:
    """Tell whether the signature a place stands beside is tied, or there is none."""
    nearest = _find_nearest(region, regions)
    return nearest is None or nearest.id in tied


def _is_only(region: Region, said: frozenset[str], kind: BlankKind) -> bool:
    if kind is BlankKind.PRINTED_NAME:
        is_named = _NAME.search(region.label) is not None
        signs = "print" in said or "sign" in split_label(region.label)
        is_bare = not split_label(region.label) & _ANY_ROLE
        own = is_named and (signs or is_bare) and region.kind in {kind, BlankKind.TEXT}
        return own and said <= _KINDS[kind]
    whose = split_label(region.label) & _ANY_ROLE - {"sign", "officer", "authorized"}
    main = {BlankKind.DATE: "date", BlankKind.TITLE: "title"}[kind]
    own = region.kind in {kind, BlankKind.TEXT} and not whose - {"applicant", "owner"}
    held = main in said or (kind is BlankKind.TITLE and bool(said))
    return own and held and said <= _KINDS[kind]


def _find_nearest(region: Region, regions: Sequence[Region]) -> Region | None:
    """Give the signature that a place stands beside, the notary's too; None when all are far."""
    near = [
        (_distance(other, region), at, other)
        for at, other in enumerate(regions)
        if other.kind.endswith("signature") and other.page == region.page
    ]
    best = min(near, default=None, key=lambda item: item[:2])
    return best[2] if best and best[0] <= REACH else None


def _distance(one: Region, two: Region) -> float:
    """Give how far two places are apart; what stands above a signature is further than below."""
    gap = max(0.0, max(one.left, two.left) - min(one.right, two.right))
    up = two.bottom - one.bottom
    return abs(up) * (1.5 if up > 0 else 1.0) + SIDEWAYS * gap
