"""Several looks at one paper: what they show together, and which files a verdict rests on."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from compliance.app.seen import SeenFile
from compliance.facts.answers import Answer, Source, Status
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate
from compliance.scan.decide import NOTHING_FILLED_IN
from compliance.scan.model import PageFinding, RegionFinding, Seen
from compliance.scan.ways import list_decisive

_OTHERS = {
    FilledBy.NOTARY: "the notary",
    FilledBy.SELLER: "the seller",
    FilledBy.INSURER: "the insurer",
    FilledBy.MAKER: "the maker",
    FilledBy.REGISTRY: "the registry",
    FilledBy.OFFICE: "whoever issues it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """What all pictures of one look show in one place; ``picture`` is the one that decided."""

    finding: RegionFinding
    picture: str


def merge_repeats(pages: tuple[PageFinding, ...]) -> tuple[Sighting, ...]:
    """Give one finding for each place, from however many pictures show it.

    Shape: in the order in which the places were first seen. Ink in one picture counts where
    another cannot tell; so does an empty place. Ink in one and an empty place in another cannot be
    both: it is left to the person, and the reason says that the pictures differ.
    """
    seen: dict[str, list[Sighting]] = {}
    for page in pages:
        for finding in page.findings:
            one = Sighting(finding=finding, picture=page.picture)
            seen.setdefault(finding.region.id, []).append(one)
    return tuple(_merge(repeats) for repeats in seen.values())


def _merge(repeats: list[Sighting]) -> Sighting:
    """Merge what several pictures show in the same place."""
    first: dict[Seen, Sighting] = {}
    for one in repeats:
        first.setdefault(one.finding.seen, one)
    there, empty = first.get(Seen.PRESENT), first.get(Seen.MISSING)
    if there is None or empty is None:
        return there or empty or repeats[0]
    why = (
        f"The pictures differ: there is ink here in {there.picture} and none in {empty.picture}. "
        "Look at the paper."
    )
    return replace(empty, finding=replace(empty.finding, seen=Seen.CANNOT_TELL, why=why))


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What is said of a blank that an earlier picture shows otherwise.

    ``is_open``: the sentence asks about it; otherwise the earlier picture counts.
    """

    blank: str
    sentence: str
    is_open: bool


def say_seen(
    sightings: tuple[Sighting, ...],
    template: FormTemplate | None = None,
    beside: tuple[Beside, ...] = (),
    blanks: Mapping[str, str] | None = None,
) -> Iterator[str]:
    """Say what is not plainly there, and what earlier pictures show otherwise of a form's blanks.

    *blanks* are the blanks that places belong to, by the id of the place.
    """
    labels = {blank.id: blank.label for blank in (template.blanks if template else ())}
    counts = {one.blank for one in beside if not one.is_open}
    for one in list_decisive([sighting.finding for sighting in sightings]):
        blank = (blanks or {}).get(one.region.id, "")
        if one.seen is not Seen.PRESENT and blank not in counts:
            is_box = one.region.kind == BlankKind.CHECK
            whole = labels.get(one.region.part_of, "") if is_box else ""
            known = template.find_blank(blank) if template else None
            why = _say_why(one, known)
            yield f"{whole or one.region.label or one.region.id}: {one.seen}; {why}"
    for told in beside:
        yield f"{labels.get(told.blank, told.blank)}: {told.sentence}"


def _say_why(finding: RegionFinding, blank: Blank | None) -> str:
    """Say why, and of an empty place who fills it in, or that it may be left."""
    if blank is None:
        return finding.why
    if not blank.must and finding.seen is Seen.MISSING:
        if blank.kind is BlankKind.SIGNATURE:
            return "No signature seen here. It may be left where nobody else has to sign."
        return "Nothing seen here. It may be left."
    if finding.why != NOTHING_FILLED_IN:
        return finding.why
    who = _OTHERS.get(blank.filled_by)
    return f"Nothing seen here. Have {who} fill it in before you mail it." if who else finding.why


def leave_printed(
    old: tuple[Answer, ...], new: tuple[Answer, ...], template: FormTemplate
) -> tuple[tuple[Answer, ...], frozenset[str]]:
    """Let the texts of a filled PDF stay where a photo tells only that something stands there.

    Shape: the new answers to be taken, and the blanks whose text stays. Ink is what the photo says.
    """
    typed = {
        (one.document, one.sheet, one.blank)
        for one in old
        if one.source is Source.PDF and one.status is Status.FILLED and (one.says or one.on)
    }
    by_hand = {
        one.id for one in template.blanks if one.kind.is_notarial or one.kind is BlankKind.SIGNATURE
    }
    stay = frozenset(
        one.blank
        for one in new
        if one.source is Source.PHOTO
        and one.status is Status.FILLED
        and not (one.says or one.on)
        and one.blank not in by_hand
        and (one.document, one.sheet, one.blank) in typed
    )
    return tuple(one for one in new if one.blank not in stay), stay


def keep_counting(
    old: tuple[SeenFile, ...], new: tuple[SeenFile, ...], stay: frozenset[str] = frozenset()
) -> tuple[SeenFile, ...]:
    """Give the files a verdict rests on after new ones were looked at.

    A blank rests on the last file that told about it; an earlier file of the same sheet on which
    none rests any more makes room; the texts of the blanks that *stay* rest on the PDF too. When
    another picture took the name of an earlier one, the earlier one lives on in its copy.
    """
    sheets = {(one.document, one.sheet) for one in new}
    told = {(one.document, one.sheet, blank) for one in new for blank in one.blanks}
    taken = {one.path for one in new}
    kept: list[SeenFile] = []
    for one in old:
        left = tuple(
            name
            for name in one.blanks
            if (one.document, one.sheet, name) not in told
            or (name in stay and one.kind == Source.PDF and (one.document, one.sheet) in sheets)
        )
        path = one.kept if one.path in taken else one.path
        counts = left or (one.document, one.sheet) not in sheets
        if counts and path:
            kept.append(replace(one, path=path, blanks=left))
    return (*kept, *new)
