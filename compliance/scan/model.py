"""What a look at a filled paper gives: for every blank present, missing or cannot tell."""

from dataclasses import dataclass
from enum import StrEnum


class Seen(StrEnum):
    """What was found in the place of a blank."""

    PRESENT = "present"
    MISSING = "missing"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """The place of one blank on a form.

    Units: ``page`` counts from 0; the rectangle is in PDF points (1/72 inch) with the origin at the
    lower left of the page as it is shown. ``kind`` is a kind of blank as in ``forms.model``.
    """

    id: str
    label: str
    kind: str
    page: int
    left: float
    bottom: float
    right: float
    top: float
    must: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionFinding:
    """What was seen in one region; ``crop`` is a PNG picture of it unless it is plainly present.

    ``score`` is the estimated chance that there is ink of the right size, 0 to 1. "Present" never
    means that a signature is genuine or a stamp valid.
    """

    region: Region
    seen: Seen
    why: str
    score: float
    crop: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFinding:
    """What was seen on one picture.

    ``page`` is the form's page the picture shows, None when it could not be lined up; then
    ``why`` says what to do and there are no findings. ``how`` is ``codes`` or ``print``.
    ``marked`` is a PNG of the straightened page with every region marked.
    """

    picture: str
    page: int | None
    how: str
    why: str
    findings: tuple[RegionFinding, ...] = ()
    marked: bytes = b""
