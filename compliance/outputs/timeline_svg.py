"""A picture as SVG: text stays text, and a reader of screens gets it in words."""

from xml.sax.saxutils import escape, quoteattr

from compliance.outputs.timeline_ink import Dot, Ink, Picture, Shape, Stroke, Text

FAMILY = "'DejaVu Sans Condensed', 'Arial Narrow', 'Liberation Sans Narrow', Arial, sans-serif"


def render_timeline_svg(picture: Picture) -> bytes:
    """Make the SVG of a picture of one page; equal input gives equal bytes.

    Every text is drawn to its measured length, so that another font cannot make words overlap.

    Raises:
        ValueError: The picture has several pages.
    Source: W3C, Scalable Vector Graphics (SVG) 1.1, second edition, and SVG Accessibility API
        Mappings for title and desc, from memory.
    """
    if len(picture.pages) != 1:
        raise ValueError("an SVG file holds one page")
    page = picture.pages[0]
    width, height = _number(page.width), _number(page.height)
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}pt" height="{height}pt" '
        f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="title desc" '
        f'xml:lang="en-US" font-family="{FAMILY}">'
    )
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        opening,
        f'<title id="title">{escape(picture.title)}</title>',
        f'<desc id="desc">{escape(picture.description)}</desc>',
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
        *(_draw(one) for one in page.ink),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode()


def _draw(one: Ink) -> str:
    match one:
        case Stroke():
            dash = " ".join(_number(length) for length in one.dash)
            dashes = f' stroke-dasharray="{dash}"' if dash else ""
            return (
                f'<line x1="{_number(one.x1)}" y1="{_number(one.y1)}" x2="{_number(one.x2)}" '
                f'y2="{_number(one.y2)}" stroke="{one.color}" '
                f'stroke-width="{_number(one.width)}"{dashes}/>'
            )
        case Shape():
            corners = " ".join(f"{_number(x)},{_number(y)}" for x, y in one.corners)
            return f'<polygon points="{corners}" {_paint(one)} stroke-linejoin="round"/>'
        case Dot():
            return (
                f'<circle cx="{_number(one.x)}" cy="{_number(one.y)}" r="{_number(one.radius)}" '
                f"{_paint(one)}/>"
            )
        case Text():
            return _draw_text(one)


def _paint(one: Shape | Dot) -> str:
    stroke = f'stroke="{one.color}" stroke-width="{_number(one.width)}"' if one.color else ""
    return f'fill="{one.fill or "none"}" {stroke}'.strip()


def _draw_text(one: Text) -> str:
    left, top, right, bottom = one.box
    ground = (
        f'<rect x="{_number(left - 1)}" y="{_number(top)}" width="{_number(right - left + 2)}" '
        f'height="{_number(bottom - top)}" fill="#ffffff"/>'
        if one.paper
        else ""
    )
    bold = ' font-weight="bold"' if one.bold else ""
    color = quoteattr(one.color)
    return (
        f'{ground}<text x="{_number(one.x)}" y="{_number(one.y)}" '
        f'font-size="{_number(one.size)}" fill={color}{bold} textLength="{_number(one.width)}" '
        f'lengthAdjust="spacingAndGlyphs">{escape(one.text)}</text>'
    )


def _number(value: float) -> str:
    """Write a number of points with at most two decimals, and no minus before a nought."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
