"""Tie places of a form to blanks by the fields that its PDF has there.

A field says in its help and its name what the words beside it may not. Only places that words left
untied are tied so, and only to blanks that have no place yet.
"""

from collections.abc import Mapping, Sequence

from sqlmodel import Session

from compliance.app.filled_fields import tie_fields
from compliance.forms.model import BlankKind, FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.acroform_match import FieldMatch
from compliance.scan.model import Region
from compliance.scan.pdf_model import FieldsRead, PdfKind, Place

LEAST_COVER = 0.5
"""A place is that of a field when each covers at least this share of the other."""


def tie_by_fields(
    session: Session,
    pdf: bytes,
    regions: Sequence[Region],
    tied: Mapping[str, str],
    template: FormTemplate,
) -> dict[str, str]:
    """Give the blanks of places that words left untied, by the fields there: place id -> blank id.

    Shape: of a tie that nobody has confirmed only what is beyond doubt. Empty for a PDF without
    fields. A box to tick is tied to a blank that is ticked, and nothing else is.

    Raises:
        RefusedError: The PDF cannot be used.
    """
    read = read_fields(pdf)
    if read.kind is not PdfKind.FILLABLE:
        return {}
    matches, _ = tie_fields(session, read, template)
    kinds = {blank.id: blank.kind for blank in template.blanks if blank.id not in tied.values()}
    sure = [one for one in matches if one.blank in kinds and not one.doubt]
    found = {}
    for region in regions:
        blanks = {one.blank for one in sure if _is_at(region, one, read)}
        if region.id in tied or len(blanks) != 1:
            continue
        blank = blanks.pop()
        if (region.kind == BlankKind.CHECK) == (kinds[blank] is BlankKind.CHECK):
            found[region.id] = blank
    return found


def _is_at(region: Region, match: FieldMatch, read: FieldsRead) -> bool:
    places = (place for one in read.fields if one.name == match.field for place in one.places)
    return any(place.page == region.page and _covers(region, place) for place in places)


def _covers(region: Region, place: Place) -> bool:
    wide = min(region.right, place.right) - max(region.left, place.left)
    high = min(region.top, place.top) - max(region.bottom, place.bottom)
    one = (region.right - region.left) * (region.top - region.bottom)
    two = (place.right - place.left) * (place.top - place.bottom)
    return min(wide, high) > 0 and wide * high >= LEAST_COVER * max(one, two)
