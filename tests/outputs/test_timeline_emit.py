"""The same ink as SVG, PDF and PNG, read back by readers that are not ours."""

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from importlib.resources import files
from io import BytesIO
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFont
from pypdf import PdfReader

from compliance.engine.plan_model import Plan
from compliance.outputs.timeline_ink import (
    Dot,
    Page,
    Picture,
    Shape,
    Stroke,
    Text,
    make_line,
    scale_ink,
)
from compliance.outputs.timeline_layout import lay_out_season
from compliance.outputs.timeline_pdf import render_timeline_pdf
from compliance.outputs.timeline_png import render_timeline_png
from compliance.outputs.timeline_season import compute_season
from compliance.outputs.timeline_svg import render_timeline_svg

Render = Callable[[Picture], bytes]
SVG = "{http://www.w3.org/2000/svg}"
RENDERERS = pytest.mark.parametrize(
    "render", [render_timeline_svg, render_timeline_pdf, render_timeline_png]
)


@pytest.fixture(scope="module")
def picture(demo_plan: Plan) -> Picture:
    return lay_out_season(compute_season(demo_plan), paged=True)


def one_of_each() -> Picture:
    """A small page with every kind of ink at known places."""
    ink = (
        Stroke(x1=10, y1=20, x2=90, y2=20, width=4, color="#ff0000"),
        Shape(corners=((10, 40), (40, 40), (40, 60), (10, 60)), fill="#00ff00", color=""),
        Dot(x=70, y=50, radius=8, fill="#0000ff", color="#0000ff"),
        make_line(10, 90, "Burrell & <Crossing>", 8, bold=True),
    )
    page = Page(width=100, height=100, ink=ink)
    return Picture(title="A & B", description="One <of> each", pages=(page,))


@RENDERERS
def test_equal_input_gives_equal_bytes(render: Render, picture: Picture) -> None:
    """Written twice, it is the same file."""
    assert render(picture) == render(picture)


@RENDERERS
def test_another_day_gives_another_file(render: Render, demo_plan: Plan) -> None:
    """The bytes follow the plan."""
    later = replace(demo_plan, as_of=date(2027, 1, 12))

    assert render(lay_out_season(compute_season(demo_plan), paged=True)) != render(
        lay_out_season(compute_season(later), paged=True)
    )


@pytest.mark.slow
@pytest.mark.parametrize("seed", ["1", "2"])
def test_equal_bytes_in_another_process(seed: str) -> None:
    """No order of hashing, no clock and no time zone gets into a file."""
    code = (
        "import hashlib\n"
        "from compliance.outputs.timeline_ink import Page, Picture, make_line\n"
        "from compliance.outputs.timeline_pdf import render_timeline_pdf\n"
        "from compliance.outputs.timeline_png import render_timeline_png\n"
        "from compliance.outputs.timeline_svg import render_timeline_svg\n"
        "page = Page(width=90, height=90, ink=(make_line(5, 50, 'mail by', 8),))\n"
        "it = Picture(title='t', description='d', pages=(page,))\n"
        "data = render_timeline_pdf(it) + render_timeline_png(it) + render_timeline_svg(it)\n"
        "print(hashlib.sha256(data).hexdigest())\n"
    )
    done = [
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={"PYTHONHASHSEED": hashes, "TZ": zone},
        ).stdout
        for hashes, zone in ((seed, "Asia/Tokyo"), ("0", "America/Chicago"))
    ]

    assert done[0] == done[1]


def test_svg_is_valid_xml_with_title_and_words(picture: Picture) -> None:
    """A reader of screens finds the title and the whole season in words (W3C SVG, 5.4)."""
    root = ET.fromstring(render_timeline_svg(picture))  # noqa: S314 - our own bytes
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")

    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "title desc"
    assert title is not None
    assert title.text == "The season of Sandbur Flats Aerial LLC"
    assert desc is not None
    assert desc.text == picture.description


def test_svg_keeps_text_as_text(picture: Picture) -> None:
    """Every line of words is one text element, at its measured length."""
    root = ET.fromstring(render_timeline_svg(picture))  # noqa: S314 - our own bytes
    drawn = list(root.iter(f"{SVG}text"))
    wanted = [one for one in picture.pages[0].ink if isinstance(one, Text)]

    assert [one.text or "" for one in drawn] == [one.text for one in wanted]
    assert [float(one.get("textLength", "0")) for one in drawn] == pytest.approx(
        [one.width for one in wanted], abs=0.006
    )


def test_svg_escapes_what_means_something_in_xml() -> None:
    """Ampersands and angle brackets of names arrive as they were written."""
    root = ET.fromstring(render_timeline_svg(one_of_each()))  # noqa: S314 - our own bytes
    drawn = next(root.iter(f"{SVG}text"))

    assert drawn.text == "Burrell & <Crossing>"
    assert root.findtext(f"{SVG}title") == "A & B"


def test_svg_has_each_kind_of_ink() -> None:
    """A line, a polygon and a circle, with the numbers of the commands."""
    root = ET.fromstring(render_timeline_svg(one_of_each()))  # noqa: S314 - our own bytes
    line, polygon, circle = (
        next(root.iter(f"{SVG}{tag}")) for tag in ("line", "polygon", "circle")
    )

    assert (line.get("x1"), line.get("x2"), line.get("stroke-width")) == ("10", "90", "4")
    assert polygon.get("points") == "10,40 40,40 40,60 10,60"
    assert (circle.get("cx"), circle.get("cy"), circle.get("r")) == ("70", "50", "8")


def test_svg_refuses_several_pages() -> None:
    """One file, one page."""
    page = Page(width=10, height=10, ink=())
    with pytest.raises(ValueError, match="an SVG file holds one page"):
        render_timeline_svg(Picture(title="", description="", pages=(page, page)))


def test_pdf_words_can_be_read_back(picture: Picture) -> None:
    """pypdf finds every line of words; the title is set."""
    reader = PdfReader(BytesIO(render_timeline_pdf(picture)), strict=True)
    said = "".join(reader.pages[0].extract_text().split())
    wanted = [one.text for one in picture.pages[0].ink if isinstance(one, Text)]

    assert [text for text in wanted if "".join(text.split()) not in said] == []
    assert reader.metadata is not None
    assert reader.metadata.title == "The season of Sandbur Flats Aerial LLC"
    assert len(reader.pages) == 1


def test_pdf_is_us_letter_lying_or_standing(picture: Picture) -> None:
    """The page is the picture's own size."""
    box = PdfReader(BytesIO(render_timeline_pdf(picture)), strict=True).pages[0].mediabox

    assert {float(box.width), float(box.height)} == {612.0, 792.0}


def test_pdf_of_several_pages_keeps_their_sizes() -> None:
    """Each page is as large as its own ink asks for."""
    small = Page(width=100, height=50, ink=(make_line(5, 20, "first", 8),))
    large = Page(width=200, height=300, ink=(make_line(5, 20, "second", 8),))
    picture = Picture(title="", description="", pages=(small, large))
    pages = PdfReader(BytesIO(render_timeline_pdf(picture)), strict=True).pages

    assert [(page.mediabox.width, page.mediabox.height) for page in pages] == [
        (100, 50), (200, 300),
    ]  # fmt: skip
    assert [page.extract_text().strip() for page in pages] == ["first", "second"]


def test_png_opens_and_has_the_ink_where_it_belongs() -> None:
    """Two pixels a point; the middle of each shape has its colour, the corner is white."""
    image = Image.open(BytesIO(render_timeline_png(one_of_each())))
    image.load()

    assert (image.format, image.mode, image.size) == ("PNG", "RGB", (200, 200))
    assert image.getpixel((100, 40)) == (255, 0, 0)
    assert image.getpixel((50, 100)) == (0, 255, 0)
    assert image.getpixel((140, 100)) == (0, 0, 255)
    assert image.getpixel((199, 199)) == (255, 255, 255)


@pytest.mark.parametrize("repeats", [1, 12])
def test_png_words_are_in_their_box(repeats: int) -> None:
    """All dark pixels of a line of words lie in its measured box, to a pixel, long lines too."""
    text = make_line(10, 50, " ".join(["Mail by Tue 30 Mar"] * repeats), 8)
    page = Page(width=100 * repeats, height=100, ink=(text,))
    image = Image.open(
        BytesIO(render_timeline_png(Picture(title="", description="", pages=(page,))))
    ).convert("L")
    dark = image.point(lambda value: 255 if value < 128 else 0).getbbox()
    left, top, right, bottom = (2 * edge for edge in text.box)

    assert dark is not None
    assert dark[0] >= left - 1
    assert dark[1] >= top - 1
    assert dark[2] <= right + 1
    assert dark[3] <= bottom + 1
    assert dark[2] - dark[0] >= 0.9 * (right - left)


def test_png_refuses_a_sheet_that_is_too_tall() -> None:
    """A picture of many megabytes is not begun."""
    page = Page(width=10, height=6_001, ink=())
    with pytest.raises(ValueError, match="a PNG file holds one page of no more than 6,000 points"):
        render_timeline_png(Picture(title="", description="", pages=(page,)))


def test_dashed_line_has_gaps_in_the_png() -> None:
    """Ink and gap take turns as the dash says."""
    ink = (Stroke(x1=0, y1=5, x2=40, y2=5, width=2, color="#000000", dash=(10, 10)),)
    page = Page(width=40, height=10, ink=ink)
    image = Image.open(
        BytesIO(render_timeline_png(Picture(title="", description="", pages=(page,))))
    )

    assert [image.getpixel((x, 10)) for x in (10, 30, 50, 70)] == [
        (0, 0, 0), (255, 255, 255), (0, 0, 0), (255, 255, 255),
    ]  # fmt: skip


@settings(deadline=None, derandomize=True, database=None, max_examples=60)
@given(text=st.text(alphabet="abcdefghijklmnopqrstuvwxyzABCDEW 0123456789,;:→Łö", max_size=60))
def test_words_are_measured_as_freetype_draws_them(text: str) -> None:
    """The measured width and that of FreeType for the same font differ by less than 3 percent.

    FreeType draws the PNG; kerning, which the measuring leaves out, makes the difference.
    """
    line = make_line(0, 0, text, 100)
    data = (files("compliance.outputs") / "fonts" / "DejaVuSansCondensed.ttf").read_bytes()
    font = ImageFont.truetype(BytesIO(data), 100, layout_engine=ImageFont.Layout.BASIC)

    assert line.width == pytest.approx(font.getlength(line.text), rel=0.03, abs=12)


def test_scaling_keeps_proportions() -> None:
    """Half the size: half of every length, letters and dashes included."""
    stroke = Stroke(x1=2, y1=4, x2=6, y2=8, width=2, dash=(4, 2))
    text = make_line(10, 20, "mail by", 8)
    small = scale_ink((stroke, text), 0.5)

    assert small == (
        Stroke(x1=1, y1=2, x2=3, y2=4, width=1, dash=(2, 1)),
        replace(text, x=5, y=10, size=4, width=text.width / 2),
    )
