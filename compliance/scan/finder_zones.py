"""Parts of a page with a meaning of their own: the notary's certificate, the office's corner."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from compliance.scan.finder_kinds import (
    ACT_WORDS,
    NOTARY_STRONG,
    NOTARY_WORDS,
    OFFICE_WORDS,
    find_kind,
    find_notary_kind,
    names_act,
)
from compliance.scan.finder_settle import find_cell_kind, is_signed
from compliance.scan.finder_shapes import Cell, PagePrint, Phrase, Rect, Slot, join_rects

_WHOSE = {"your", "full", "owner", "owner's", "applicant's", "signer's", "seller's", "buyer's"}
CHAIN = 115.0
"""Words of one certificate are at most this many points apart from top to bottom."""
TALL_OFFICE = 110.0
SIGNING_ROOM = 80.0
"""The notary signs at most this many points under the words of the act."""
FAR_EXPIRY = 160.0
"""The last day of the commission may stand this far under the words of the act, in points."""
_OPENS = re.compile(r"\b(being|having been) ((first|duly) )*sworn\b|\bdeposes?\b")
_JURAT = re.compile(r"\b(subscribed|signed|sworn|affirmed)\b.*\b(and|to|before)\b|before me\b")
_DEED = re.compile(r"before me\b|subscribed|acknowledged|sworn|affirmed|\bstate of\b|\bcounty of\b")
_EXPIRES = re.compile(r"\b(expires|expiration)\b")
NAME_NEAR = 65.0
"""A bare "Name" this near to a signature, in points, is the signer's printed name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone(Rect):
    """The place of a certificate; the act's words begin at the height ``act``.

    From ``body_top`` down to ``body_bottom`` stands what an affidavit swears to, which is the
    signer's and not the notary's; the two are equal where there is no such part.
    """

    act: float
    body_top: float
    body_bottom: float


def find_notary_zones(
    page: PagePrint, phrases: Sequence[Phrase], cells: Sequence[Cell], slots: Sequence[Slot]
) -> tuple[Zone, ...]:
    """Give the places of notarial certificates on a page, top first."""
    marks: list[Phrase] = [
        phrase
        for phrase in phrases
        if NOTARY_WORDS.search(phrase.text.lower()) and not _is_prose(phrase.text)
    ]
    chains: list[list[Phrase]] = []
    for mark in sorted(marks, key=lambda mark: -mark.up):
        for chain in reversed(chains):
            gap = chain[-1].bottom - mark.top
            near = gap < CHAIN or (gap < FAR_EXPIRY and _lacks_expiry(chain, mark))
            if near and not _begins_next(chain, mark) and _same_frame(chain[0], mark, cells):
                chain.append(mark)
                break
        else:
            chains.append([mark])
    sworn = any(NOTARY_STRONG.search(mark.text.lower()) for mark in marks)
    return tuple(
        _make_zone(chain, page, phrases, cells, slots)
        for chain in chains
        if len(chain) > 1
        and (
            any(NOTARY_STRONG.search(mark.text.lower()) for mark in chain)
            or (sworn and _is_venue(chain))
        )
    )


def _is_prose(text: str) -> bool:
    """Tell whether words are of a sentence about notaries, not of a certificate."""
    ends = text.endswith(".") or re.search(r"[a-z]{3}\. [A-Z]", text) is not None
    return ends and len(text.split()) > 5 and _DEED.search(text.lower()) is None


def _begins_next(chain: list[Phrase], mark: Phrase) -> bool:
    """Tell whether "State of" after the end of a commission begins another certificate."""
    return mark.text.lower().startswith("state of") and any(
        _EXPIRES.search(other.text.lower()) and mark.top < other.bottom for other in chain
    )


def _lacks_expiry(chain: list[Phrase], mark: Phrase) -> bool:
    """Tell whether words are the end of a commission, and the act above them has none yet."""
    return (
        _EXPIRES.search(mark.text.lower()) is not None
        and any(_JURAT.search(other.text.lower()) for other in chain)
        and not any(_EXPIRES.search(other.text.lower()) for other in chain)
        and abs(mark.left - chain[-1].left) < 4 * CHAIN
    )


def _is_venue(chain: list[Phrase]) -> bool:
    """Tell whether the words are "State of ... County of ...", which may stand far above."""
    text = " ".join(mark.text.lower() for mark in chain)
    return "state of" in text and "county of" in text


def _frames(phrase: Phrase, cells: Sequence[Cell], page_share: float = 1e9) -> list[Cell]:
    return [
        cell
        for cell in cells
        if cell.holds(phrase) and cell.height > 90 and cell.width < page_share
    ]


def _same_frame(one: Phrase, two: Phrase, cells: Sequence[Cell]) -> bool:
    return set(_frames(one, cells)) == set(_frames(two, cells)) or not (
        _frames(one, cells) and _frames(two, cells)
    )


def _make_zone(
    chain: list[Phrase],
    page: PagePrint,
    phrases: Sequence[Phrase],
    cells: Sequence[Cell],
    slots: Sequence[Slot],
) -> Zone:
    hull = join_rects(tuple(chain))
    labelled = [
        slot
        for slot in slots
        if hull.bottom - 22 < slot.up < hull.top + 6
        and NOTARY_WORDS.search(f"{slot.label} {slot.after}".lower())
    ]
    wide = _widen(join_rects((hull, *labelled)), chain, slots)
    left, right = wide.left - 6, wide.right + 6
    if wide.width > 0.45 * page.width:
        left, right = 0.0, page.width
    frames = [cell for cell in _frames(chain[0], cells, 0.7 * page.width) if cell.holds(chain[-1])]
    if frames:
        frame = min(frames, key=lambda cell: cell.width * cell.height)
        left, right = frame.left, frame.right
    body_top, body_bottom = _find_body(chain, hull, phrases)
    acts = [
        mark.top
        for mark in chain
        if ACT_WORDS.search(mark.text.lower())
        and len(mark.text.split()) > 2
        and not body_bottom < mark.top < body_top + 4
    ]
    # With the words of the act last, the notary still has to sign somewhere below them.
    ended = not acts or hull.bottom < min(acts) - 30
    return Zone(
        left=left,
        right=right,
        bottom=hull.bottom - (22 if ended else SIGNING_ROOM),
        top=hull.top + 14,
        act=max(acts, default=hull.top) + 4,
        body_top=body_top,
        body_bottom=body_bottom,
    )


def _find_body(chain: list[Phrase], hull: Rect, phrases: Sequence[Phrase]) -> tuple[float, float]:
    """Give the upper and lower end of what an affidavit swears to: "being sworn" to its jurat."""
    opens = next(
        (
            phrase
            for phrase in phrases
            if hull.bottom - CHAIN < phrase.base < hull.top + 2
            and phrase.share_across(hull) > 0
            and _OPENS.search(phrase.text.lower())
        ),
        None,
    )
    if opens is None:
        return 0.0, 0.0
    jurats = [
        mark.top
        for mark in chain
        if mark.top < opens.bottom - 8 and _JURAT.search(mark.text.lower())
    ]
    before = any("before me" in mark.text.lower() for mark in chain if mark.base > opens.base - 2)
    top = opens.bottom - 4 if before else opens.top + 4
    return top, max(jurats, default=-4.0) + 4


def _widen(wide: Rect, chain: list[Phrase], slots: Sequence[Slot]) -> Rect:
    """Add the blanks that go on a line of the certificate's words."""
    for slot in sorted(slots, key=lambda slot: slot.left):
        on_line = any(abs(slot.bottom - mark.base) < 7 for mark in chain)
        if on_line and wide.right < slot.right and slot.left - wide.right < 50:
            wide = join_rects((wide, slot))
    return replace(
        wide, bottom=min(mark.bottom for mark in chain), top=max(mark.top for mark in chain)
    )


def is_in_zone(slot: Slot, zone: Zone) -> bool:
    """Tell whether a blank belongs to a certificate."""
    return (
        zone.bottom < slot.bottom + min(slot.height, 24) / 2 < zone.top
        and slot.share_across(zone) > 0.5 * slot.width
        and not zone.body_bottom < slot.bottom < zone.body_top
    )


def find_slot_kind(slot: Slot, zones: Sequence[Zone], slots: Sequence[Slot]) -> str:
    """Give the kind of a blank as in ``forms.model.BlankKind``."""
    zone = next((zone for zone in zones if is_in_zone(slot, zone)), None)
    if slot.sort == "stamp":
        return "notary-stamp"
    if slot.sort == "check":
        return "notary-act" if zone is not None and names_act(slot.label) else "check"
    below = zone is None or slot.bottom <= zone.act
    certified = zone is not None or NOTARY_STRONG.search(slot.label.lower()) is not None
    if certified and slot.sort != "date":
        kind = find_notary_kind(slot.label, slot.after, below_act=below)
        if slot.sort == "signature" and not kind.endswith("signature"):
            kind = "notary-signature"
    elif slot.sort in {"signature", "date"}:
        kind = f"notary-{slot.sort}" if zone is not None and below else slot.sort
    else:
        kind = find_kind(slot.label, slot.after)
        kind = find_cell_kind(slot.label) if slot.how == "cell" and kind == "text" else kind
    kind = "printed-name" if slot.sort == "person" and kind == "text" else kind
    if kind in {"text", "printed-name"} and is_signed(slot, slots):
        kind = "signature"
    return "printed-name" if kind == "text" and _is_name_of_signer(slot, slots) else kind


def _is_name_of_signer(slot: Slot, slots: Sequence[Slot]) -> bool:
    """Tell whether a bare "Name" stands at or under a signature."""
    return _is_bare_name(slot) and any(
        find_kind(other.label) == "signature"
        and other.sort != "check"
        and -8 < other.bottom - slot.bottom < NAME_NEAR
        and (
            other.share_across(slot) > 0
            or (abs(other.bottom - slot.bottom) < 8 and other.share_across(slot) > -30)
        )
        for other in slots
        if other is not slot
    )


def _is_bare_name(slot: Slot) -> bool:
    words = slot.label.lower().strip(" :()").split()
    return bool(words) and words[-1] == "name" and (len(words) == 1 or words[0] in _WHOSE)


def find_office(
    page: PagePrint, phrases: Sequence[Phrase], cells: Sequence[Cell]
) -> tuple[Rect, ...]:
    """Give the places that the office alone fills in."""
    places: list[Rect] = []
    for phrase in phrases:
        if not OFFICE_WORDS.search(phrase.text.lower()) or len(phrase.text.split()) > 9:
            continue
        frames = [
            cell
            for cell in cells
            if cell.holds(phrase)
            and cell.height > 30
            and cell.width * cell.height < 0.4 * page.width * page.height
        ]
        if frames:
            places.append(min(frames, key=lambda cell: cell.width * cell.height))
            continue
        heading = next((cell for cell in cells if cell.holds(phrase)), None)
        places.append(
            Rect(
                left=heading.left if heading else 0.0,
                right=heading.right if heading else page.width,
                bottom=phrase.bottom - TALL_OFFICE,
                top=phrase.bottom,
            )
        )
    return tuple(places)
