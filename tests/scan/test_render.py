"""Pages drawn from PDFs, measured against what reportlab was told to draw."""

from collections.abc import Callable
from io import BytesIO

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PdfWriter
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from compliance.base.problems import RefusedError
from compliance.scan.acroform_read import read_fields_here
from compliance.scan.pdf_model import PageSize, PdfFacts, PdfKind
from compliance.scan.render import open_pdf, render_page

LETTER = (612.0, 792.0)
CLEAR = Color(1, 1, 1)


def draw(work: Callable[[Canvas], object], size: tuple[float, float] = LETTER) -> bytes:
    target = BytesIO()
    canvas = Canvas(target, pagesize=size, invariant=1)
    work(canvas)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def one_red_square(canvas: Canvas) -> None:
    canvas.setFillColorRGB(1, 0, 0)
    canvas.rect(72, 720, 36, 36, stroke=0, fill=1)


def one_field(value: str) -> Callable[[Canvas], object]:
    def work(canvas: Canvas) -> None:
        canvas.drawString(72, 704, "Owner")
        canvas.acroForm.textfield(
            name="owner",
            x=230,
            y=700,
            width=200,
            height=18,
            value=value,
            fillColor=CLEAR,
            borderWidth=0,
        )

    return work


def dark_in(picture: NDArray[np.uint8], left: int, bottom: int, right: int, top: int) -> int:
    """Dark dots in a box in points of a Letter page drawn at 72 dots an inch."""
    return int((picture[792 - top : 792 - bottom, left:right] < 128).sum())


def test_open_pdf_gives_kind_and_sizes() -> None:
    def work(canvas: Canvas) -> None:
        one_red_square(canvas)
        canvas.showPage()
        canvas.setPageSize((792, 612))
        one_red_square(canvas)

    assert open_pdf(draw(work)) == PdfFacts(
        kind=PdfKind.FLATTENED,
        pages=(PageSize(width=612.0, height=792.0), PageSize(width=792.0, height=612.0)),
        is_encrypted=False,
    )


def test_open_pdf_gives_the_size_of_a_turned_page_as_shown() -> None:
    writer = PdfWriter(clone_from=BytesIO(draw(one_red_square)))
    writer.pages[0].rotate(90)
    target = BytesIO()
    writer.write(target)

    facts = open_pdf(target.getvalue())
    picture = render_page(target.getvalue(), 0, 72)

    assert facts.pages == (PageSize(width=792.0, height=612.0),)
    assert picture.shape == (612, 792)


@pytest.mark.parametrize(
    ("work", "kind"),
    [
        (one_field(""), PdfKind.FILLABLE),
        (one_red_square, PdfKind.FLATTENED),
        (lambda canvas: canvas.setTitle("x"), PdfKind.EMPTY),
    ],
)
def test_open_pdf_and_read_fields_agree_on_the_kind(
    work: Callable[[Canvas], object], kind: PdfKind
) -> None:
    data = draw(work)

    assert open_pdf(data).kind is read_fields_here(data).kind is kind


@pytest.mark.parametrize("dpi", [72, 100, 150, 200, 300])
def test_render_page_has_dots_an_inch_as_asked(dpi: int) -> None:
    """8.5 by 11 inches; the square from 1 to 1.5 inches across and 0.5 to 1 inch down."""
    picture = render_page(draw(one_red_square), 0, dpi)

    rows, columns = np.nonzero(picture < 200)
    assert picture.shape == (11 * dpi, round(8.5 * dpi))
    assert picture.dtype == np.uint8
    edges = (rows.min(), rows.max() + 1, columns.min(), columns.max() + 1)
    assert np.abs(np.array(edges) - np.array([0.5, 1, 1, 1.5]) * dpi).max() <= 1


def test_render_page_in_colour_gives_red_green_blue() -> None:
    picture = render_page(draw(one_red_square), 0, 72, colour=True)

    assert picture.shape == (792, 612, 3)
    assert picture[54, 90].tolist() == [255, 0, 0]
    assert picture[200, 300].tolist() == [255, 255, 255]


def test_render_page_draws_what_is_in_a_field() -> None:
    """Without the form being made ready first, values without an appearance stay unseen."""
    blank = render_page(draw(one_field("")), 0, 72)
    filled = render_page(draw(one_field("Odile Ferrant")), 0, 72)

    assert dark_in(blank, 230, 700, 430, 718) == 0
    assert dark_in(filled, 230, 700, 430, 718) > 100


def test_render_page_draws_a_value_that_has_no_appearance_yet() -> None:
    """Some programs store only the value and ask the viewer to draw it (ISO 32000-1 table 218)."""
    writer = PdfWriter(clone_from=BytesIO(draw(one_field(""))))
    box = writer.pages[0]["/Annots"].get_object()[0].get_object()  # type: ignore[index]
    writer.update_page_form_field_values(writer.pages[0], {"owner": "Odile Ferrant"})
    del box["/AP"]
    writer.set_need_appearances_writer(state=True)
    target = BytesIO()
    writer.write(target)

    picture = render_page(target.getvalue(), 0, 72)

    assert dark_in(picture, 230, 700, 430, 718) > 100


def test_render_page_gives_equal_dots_for_equal_bytes() -> None:
    data = draw(one_field("Odile Ferrant"))

    assert np.array_equal(render_page(data, 0, 100), render_page(data, 0, 100))


@pytest.mark.parametrize(
    ("page", "dpi", "sentence"),
    [
        (1, 72, "This PDF has no page 2."),
        (-1, 72, "This PDF has no page 0."),
        (0, 35, "A page is drawn with 36 to 600 dots an inch, not 35."),
        (0, 601, "A page is drawn with 36 to 600 dots an inch, not 601."),
    ],
)
def test_render_page_refuses_with_a_sentence(page: int, dpi: int, sentence: str) -> None:
    with pytest.raises(RefusedError) as caught:
        render_page(draw(one_red_square), page, dpi)

    assert caught.value.message == sentence


def test_render_page_refuses_too_many_dots() -> None:
    """A sheet of 33 by 47 inches at 600 dots an inch."""
    data = draw(one_red_square, (2384, 3370))

    with pytest.raises(RefusedError) as caught:
        render_page(data, 0, 600)

    assert caught.value.message == (
        "This page at 600 dots an inch has 558 million dots; at most 36 million are drawn."
    )


def test_open_pdf_takes_forty_pages_and_no_more() -> None:
    def pages(count: int) -> bytes:
        def work(canvas: Canvas) -> None:
            for _ in range(count - 1):
                canvas.showPage()

        return draw(work)

    assert len(open_pdf(pages(40)).pages) == 40
    with pytest.raises(RefusedError, match="This PDF has 41 pages"):
        open_pdf(pages(41))
