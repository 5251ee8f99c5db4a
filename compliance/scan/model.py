"""What a look at a filled paper gives: for every blank present, missing or cannot tell."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

Rect: TypeAlias = tuple[float, float, float, float]
"""Left, bottom, right, top in PDF points, origin at the lower left of the page as shown."""
Places: TypeAlias = tuple[Rect | None, ...]
"""The place of the code of each corner of a page, None where a corner has none."""


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
    ``part_of`` names an answer that has several places; those of one ``way`` belong together, of
    several ways one is enough.
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
    part_of: str = ""
    way: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionFinding:
    """What was seen in one region; ``crop`` is a PNG picture of it unless it is plainly present.

    ``score`` is the estimated chance that there is ink of the right size, 0 to 1. "Present" never
    means that a signature is genuine or a stamp valid. ``is_hidden``: the picture does not show the
    region, or not well enough.
    """

    region: Region
    seen: Seen
    why: str
    score: float
    crop: bytes = b""
    is_hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFinding:
    """What was seen on one picture.

    ``page`` is the form's page the picture shows, None when it could not be lined up; then
    ``why`` says what to do and there are no findings. ``how`` is ``codes``, ``print`` or
    ``fields``, of a PDF.
    ``marked`` is a PNG of the straightened page with every region marked.
    """

    picture: str
    page: int | None
    how: str
    why: str
    findings: tuple[RegionFinding, ...] = ()
    marked: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class CodedForm:
    """A blank form with its corner codes; ``places`` has the places of the codes of each page."""

    pdf: bytes
    places: tuple[Places, ...]
