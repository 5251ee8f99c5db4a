"""A photo that a program saved as a PDF page of a yard and more: an inch for 72 dots."""

from io import BytesIO

from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from compliance.app.looking import open_all
from compliance.scan.acroform import read_fields
from compliance.scan.pdf_model import PdfKind


def make_page(picture: Image.Image) -> bytes:
    target = BytesIO()
    canvas = Canvas(target, pagesize=picture.size, invariant=1)
    canvas.drawImage(ImageReader(picture), 0, 0, *picture.size)
    canvas.save()
    return target.getvalue()


def test_picture_of_any_size_is_drawn_with_as_many_dots_as_it_can_use() -> None:
    """3024 by 4032 dots make 42 by 56 inches; ISO 32000-1 annex C.2 (from memory) allows 200."""
    data = make_page(Image.new("RGB", (3024, 4032), (240, 238, 230)))
    ((name, png),), refused = open_all((("photo.pdf", data),))

    assert (name, refused) == ("photo.pdf, page 1", [])
    drawn = Image.open(BytesIO(png))
    assert 2 * 3024 > drawn.width >= 3024
    assert abs(drawn.width / drawn.height - 3 / 4) < 0.001
    assert read_fields(data).kind is PdfKind.SCANNED
