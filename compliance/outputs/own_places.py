"""Where the pages of our own papers leave room to write: the renderer tells as it draws."""

from typing import Any

from reportlab.lib.colors import black
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from compliance.outputs.own_model import OwnPlace, OwnSpot
from compliance.scan.model import Places
from compliance.scan.symbol import PAGES, code_rects, list_runs, make_code_modules


class PlaceCanvas(Canvas):  # type: ignore[misc]  # reportlab has no types
    """A canvas that gathers the places it is told about, page by page."""

    def __init__(self, *given: Any, **named: Any) -> None:  # noqa: ANN401 - they are reportlab's
        super().__init__(*given, **named)
        self.places: list[OwnPlace] = []

    def note_place(self, spot: OwnSpot, width: float, height: float) -> None:
        """Note a place whose lower left is where the canvas stands; sizes in points."""
        left, bottom = self.absolutePosition(0, 0)
        self.places.append(
            OwnPlace(
                spot=spot,
                page=self.getPageNumber() - 1,
                left=left,
                bottom=bottom,
                right=left + width,
                top=bottom + height,
            )
        )


class Spot(Flowable):  # type: ignore[misc]  # reportlab has no types
    """Something without size that marks a place; it draws nothing.

    Units: the place is as wide as there is room, ``height`` points high and begins ``below`` points
    under where the flowable stands, as a cell's own padding lies there.
    """

    def __init__(self, spot: OwnSpot, height: float = 0.0, below: float = 0.0) -> None:
        super().__init__()
        self.spot = spot
        self.high = height
        self.below = below
        self.room = 0.0

    def wrap(self, room: float, _height: float) -> tuple[float, float]:
        """Take no room; learn how wide the place is."""
        self.room = room
        return 0, 0

    def draw(self) -> None:
        """Tell the canvas where the place lies."""
        self.canv.translate(0, -self.below)
        self.canv.note_place(self.spot, self.room, self.high)


def draw_codes(canvas: Canvas, form_code: str, size: tuple[float, float]) -> Places:
    """Draw the corner codes of the page at hand and give their places.

    Shape: none on a page beyond the thirty-sixth, which a code cannot name.
    """
    page = canvas.getPageNumber() - 1
    if page >= len(PAGES):
        return ()
    canvas.setFillColor(black)
    places = code_rects(*size)
    for corner, place in enumerate(places):
        path = canvas.beginPath()
        for left, bottom, right, top in list_runs(
            make_code_modules(form_code, page, corner), place
        ):
            path.rect(left, bottom, right - left, top - bottom)
        canvas.drawPath(path, stroke=0, fill=1)
    return places
