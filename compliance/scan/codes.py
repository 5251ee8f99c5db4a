"""The small square codes in the corners of a printed page, found again in a picture."""

from dataclasses import dataclass

import numpy as np
import zxingcpp
from numpy.typing import NDArray

from compliance.scan.symbol import PAGES, PAYLOAD

_ONLY = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.DataMatrix])


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCode:
    """A corner code seen in a picture.

    Shape: ``quad`` holds the four outer corners in picture pixels (x right, y down), in the order
    upper left, upper right, lower right, lower left of the code as printed. ``corner`` counts 0 to
    3 in the same order round the page; ``page`` counts from 0.
    """

    form_code: str
    page: int
    corner: int
    quad: tuple[tuple[float, float], ...]


def read_codes(grey: NDArray[np.uint8]) -> tuple[FoundCode, ...]:
    """Find the corner codes in a picture; codes that are not ours are left out.

    Shape: sorted by form code, page, corner; of two codes that say the same the first stays.
    """
    found: dict[tuple[str, int, int], FoundCode] = {}
    for code in zxingcpp.read_barcodes(np.ascontiguousarray(grey), _ONLY, try_invert=False):
        match = PAYLOAD.fullmatch(code.text.rstrip())
        if not match:
            continue
        place = code.position
        corners = (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
        key = (match[1], PAGES.index(match[2]), int(match[3]))
        found.setdefault(
            key,
            FoundCode(
                form_code=key[0],
                page=key[1],
                corner=key[2],
                quad=tuple((point.x + 0.5, point.y + 0.5) for point in corners),
            ),
        )
    return tuple(found[key] for key in sorted(found))
