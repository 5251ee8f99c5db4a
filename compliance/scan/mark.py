"""Pictures for the person who has to look: crops of single places, and the page marked up."""

from collections.abc import Sequence
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from compliance.scan.ink import POINT, find_box
from compliance.scan.model import Region, Seen

_AROUND = 20.0
_WORDS = {Seen.PRESENT: "present", Seen.MISSING: "MISSING", Seen.CANNOT_TELL: "LOOK"}
_LETTERS = 15
_DASH = 9
_COMPRESS = 3
"""Half the time of level 5 on a page of grain, and a tenth larger."""
_GREYS = 16
_WHITE = _GREYS - 1


def render_crop(page: Image.Image, region: Region, height: float) -> bytes:
    """Render one region with some paper round it as a PNG picture.

    Units: ``page`` is straightened at the resolution ink is measured at; ``height`` in points.
    """
    rows, columns = find_box(region, height)
    around = round(_AROUND / POINT)
    # A place beside the page still gives a strip of its edge.
    left = min(max(0, columns.start - around), page.width - 1)
    top = min(max(0, rows.start - around), page.height - 1)
    right = max(left + 1, min(page.width, columns.stop + around))
    bottom = max(top + 1, min(page.height, rows.stop + around))
    return _save(page.crop((left, top, right, bottom)))


def render_marked(
    dark: NDArray[np.float32], marks: Sequence[tuple[Region, Seen]], height: float
) -> bytes:
    """Render the page in grey with every region framed and named, as a PNG picture.

    Shape: ``dark`` is the darkness next to the paper, 0 to 1, at the resolution ink is measured at;
    missing has a heavy frame and white letters on black, cannot tell a heavy broken frame
    and the word LOOK, present a thin frame; all black, so that a print tells them apart.
    """
    # Few greys keep the file small; without the shadows of the photo it prints well.
    steps = np.clip(np.round((1 - dark) * _WHITE), 0, _WHITE).astype(np.uint8)
    grey = Image.frombytes("P", steps.shape[::-1], steps.tobytes())
    grey.putpalette([step * 255 // _WHITE for step in range(_GREYS) for _ in "RGB"])
    pen = ImageDraw.Draw(grey)
    font = ImageFont.load_default(_LETTERS)
    for region, seen in marks:
        rows, columns = find_box(region, height)
        box = (columns.start - 2, rows.start - 2, columns.stop + 2, rows.stop + 2)
        if seen is Seen.CANNOT_TELL:
            _draw_broken(pen, box)
        else:
            pen.rectangle(box, outline=0, width=4 if seen is Seen.MISSING else 1)
        _draw_word(pen, box, seen, font)
    return _save(grey)


def _draw_word(
    pen: ImageDraw.ImageDraw,
    box: tuple[int, int, int, int],
    seen: Seen,
    font: ImageFont.FreeTypeFont | ImageFont.ImageFont,
) -> None:
    word, heavy = _WORDS[seen], seen is Seen.MISSING
    wide, tall = round(pen.textlength(word, font=font)) + 8, _LETTERS + 5
    # Above the frame on the right, where rules and labels leave room most often.
    left = max(0, box[2] - wide)
    top = max(0, box[1] - tall)
    pen.rectangle((left, top, left + wide, top + tall), fill=0 if heavy else _WHITE, outline=0)
    pen.text((left + 4, top + 1), word, fill=_WHITE if heavy else 0, font=font)


def _draw_broken(pen: ImageDraw.ImageDraw, box: tuple[int, int, int, int]) -> None:
    left, top, right, bottom = box
    for x in range(left, right, 2 * _DASH):
        for y in (top, bottom):
            pen.line((x, y, min(x + _DASH, right), y), fill=0, width=4)
    for y in range(top, bottom, 2 * _DASH):
        for x in (left, right):
            pen.line((x, y, x, min(y + _DASH, bottom)), fill=0, width=4)


def _save(picture: Image.Image) -> bytes:
    stream = BytesIO()
    picture.save(stream, "PNG", compress_level=_COMPRESS)
    return stream.getvalue()
