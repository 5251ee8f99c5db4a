"""A picture as PDF, with the shipped font inside."""

from io import BytesIO

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from compliance.outputs.pdf_kit import FONT, FONT_BOLD, measure_text
from compliance.outputs.timeline_ink import Dot, Ink, Picture, Shape, Stroke, Text


def render_timeline_pdf(picture: Picture) -> bytes:
    """Make the PDF of a picture, each page of its own size; equal input gives equal bytes."""
    measure_text("", 1.0)  # the fonts are there from the first measuring on
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, initialFontName=FONT, lang="en-US")
    canvas.setTitle(picture.title)
    canvas.setSubject(picture.description)
    canvas.setAuthor("")
    canvas.setCreator("mailby")
    for page in picture.pages:
        canvas.setPageSize((page.width, page.height))
        for one in page.ink:
            _draw(canvas, one, page.height)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _draw(canvas: Canvas, one: Ink, height: float) -> None:
    """Draw one command; PDF counts upward, so *height* turns it round."""
    match one:
        case Stroke():
            canvas.setStrokeColor(HexColor(one.color))
            canvas.setLineWidth(one.width)
            canvas.setDash(*([list(one.dash)] if one.dash else []))
            canvas.line(one.x1, height - one.y1, one.x2, height - one.y2)
            canvas.setDash()
        case Shape():
            _paint(canvas, one)
            path = canvas.beginPath()
            (x, y), *rest = one.corners
            path.moveTo(x, height - y)
            for x, y in rest:
                path.lineTo(x, height - y)
            path.close()
            canvas.drawPath(path, stroke=int(bool(one.color)), fill=int(bool(one.fill)))
        case Dot():
            _paint(canvas, one)
            canvas.circle(
                one.x,
                height - one.y,
                one.radius,
                stroke=int(bool(one.color)),
                fill=int(bool(one.fill)),
            )
        case Text():
            _draw_text(canvas, one, height)


def _paint(canvas: Canvas, one: Shape | Dot) -> None:
    if one.fill:
        canvas.setFillColor(HexColor(one.fill))
    if one.color:
        canvas.setStrokeColor(HexColor(one.color))
    canvas.setLineWidth(one.width)


def _draw_text(canvas: Canvas, one: Text, height: float) -> None:
    if one.paper:
        left, top, right, bottom = one.box
        canvas.setFillColor(HexColor("#ffffff"))
        canvas.rect(left - 1, height - bottom, right - left + 2, bottom - top, stroke=0, fill=1)
    canvas.setFillColor(HexColor(one.color))
    canvas.setFont(FONT_BOLD if one.bold else FONT, one.size)
    canvas.drawString(one.x, height - one.y, one.text)
