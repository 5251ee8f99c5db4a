"""Places of a form tied by the fields of its PDF; the form is drawn by the test, no source."""

from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas
from sqlmodel import Session

from compliance.app.learned import find_places
from compliance.app.tie import tie_regions
from compliance.forms.model import FormTemplate

FORM = "faa-8050-1"
CITIZEN = "I am a citizen of the United States (statement of citizenship)"
NAMES = {"not-registered-abroad": "foreign"}
BOXES = {
    "not-registered-abroad": "The aircraft is not registered under the laws of any foreign country",
    "evidence": "Legal evidence of ownership is attached or has been filed",
}


def make_form(*, fields: bool) -> bytes:
    """Three statements to tick, with fields or as drawn squares."""
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792), invariant=1)
    canvas.drawString(60, 745, "AIRCRAFT REGISTRATION APPLICATION")
    canvas.setFont("Helvetica", 8)
    for row, (name, words) in enumerate({"citizen": CITIZEN, **BOXES}.items()):
        y = 600 - 30 * row
        canvas.drawString(76, y, words)
        if fields:
            canvas.acroForm.checkbox(
                name=f"cert_{NAMES.get(name, name)}", tooltip=words, x=60, y=y - 3, size=11
            )
        else:
            canvas.rect(60, y - 3, 11, 11)
    canvas.save()
    return target.getvalue()


@pytest.mark.parametrize("fields", [False, True])
def test_what_words_leave_untied_is_tied_by_the_fields(
    session: Session, templates: dict[str, FormTemplate], fields: bool
) -> None:
    """Without fields, or in words of its own, a statement stays untied and is asked."""
    places = find_places(session, templates[FORM], make_form(fields=fields))
    regions = tuple(place.region for place in places)

    assert set(tie_regions(regions, templates[FORM]).values()).isdisjoint(BOXES)
    assert {place.blank for place in places} == ({"", *BOXES} if fields else {""})
