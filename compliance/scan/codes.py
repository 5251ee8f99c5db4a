"""The small square codes in the corners of a printed page: which form, which page, which corner."""

import base64
import hashlib
import re
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import zxingcpp
from numpy.typing import NDArray

from compliance.base.problems import RefusedError

Rect: TypeAlias = tuple[float, float, float, float]
"""Left, bottom, right, top in PDF points, origin at the lower left of the page as shown."""

CODE_MODULES = 14
CODE_SIDE = 34.0
"""Side of the printed modules in points: 2.4 points a module, 3.7 picture pixels at 110 dpi."""
CODE_MARGIN = 27.0
"""Clear of the quarter inch that common printers cannot reach, with a module to spare."""
CODE_QUIET = 5.0
"""Points around a code that must stay unprinted (two modules; ISO/IEC 16022 asks for one)."""

_CORNERS = 4
_HALF = 128
_ONLY = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.DataMatrix])
_PAGES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_FORM_CODE = re.compile(r"[A-Z2-7]{1,6}")
_PAYLOAD = re.compile(r"([A-Z2-7]{1,6})([0-9A-Z])([0-3])")


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


def make_form_code(edition: bytes) -> str:
    """Make the short name of one edition of a form from its bytes.

    Shape: six characters of base32 (RFC 4648) of the SHA-256 digest.
    """
    return base64.b32encode(hashlib.sha256(edition).digest())[:6].decode("ascii")


def make_code_modules(form_code: str, page: int, corner: int) -> NDArray[np.bool_]:
    """Draw the code of one corner as 14 by 14 modules, True where black, first row on top.

    Shape: the text in the code is the form code, one character for the page (0-9, A-Z), one digit
    for the corner; at most eight characters, which is what the symbol holds.

    Raises:
        RefusedError: a form code, page or corner that does not fit.

    Source: ISO/IEC 16022 (Data Matrix, size 14 x 14 holds eight data codewords).
    """
    if not _FORM_CODE.fullmatch(form_code):
        raise RefusedError(f"a form code is one to six of A-Z and 2-7, not {form_code!r}")
    if not (0 <= page < len(_PAGES) and 0 <= corner < _CORNERS):
        raise RefusedError(f"there is no code for page {page}, corner {corner}")
    text = f"{form_code}{_PAGES[page]}{corner}"
    # Short texts would get a smaller symbol; spaces at the end keep all codes of one size.
    for length in range(len(text), len(text) + 8):
        code = zxingcpp.create_barcode(text.ljust(length), zxingcpp.BarcodeFormat.DataMatrix)
        drawn = zxingcpp.write_barcode_to_image(code, scale=1, add_quiet_zones=False)
        modules = np.array(drawn) < _HALF
        if modules.shape == (CODE_MODULES, CODE_MODULES):
            return modules
    raise RefusedError(f"the code for {text!r} does not fit")


def code_rects(page_width: float, page_height: float) -> tuple[Rect, Rect, Rect, Rect]:
    """Give the places of the four codes: upper left, upper right, lower right, lower left."""
    left, right = CODE_MARGIN, page_width - CODE_MARGIN
    bottom, top = CODE_MARGIN, page_height - CODE_MARGIN
    side = CODE_SIDE
    return (
        (left, top - side, left + side, top),
        (right - side, top - side, right, top),
        (right - side, bottom, right, bottom + side),
        (left, bottom, left + side, bottom + side),
    )


def read_codes(grey: NDArray[np.uint8]) -> tuple[FoundCode, ...]:
    """Find the corner codes in a picture; codes that are not ours are left out.

    Shape: sorted by form code, page, corner; of two codes that say the same the first stays.
    """
    found: dict[tuple[str, int, int], FoundCode] = {}
    for code in zxingcpp.read_barcodes(np.ascontiguousarray(grey), _ONLY, try_invert=False):
        match = _PAYLOAD.fullmatch(code.text.rstrip())
        if not match:
            continue
        place = code.position
        corners = (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
        key = (match[1], _PAGES.index(match[2]), int(match[3]))
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
