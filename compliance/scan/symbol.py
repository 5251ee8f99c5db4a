"""The small square symbol of a corner code, drawn by the standard, without any picture library.

Papers of our own carry it even where no package for looking at pictures is installed.
"""

import base64
import hashlib
import re
from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from compliance.base.problems import RefusedError
from compliance.scan.model import Rect

CODE_MODULES = 14
CODE_SIDE = 30.8
"""Side of the printed modules in points: 2.2 points a module, 3.4 picture pixels at 110 dpi."""
PRINTER_EDGE = 18.0
"""What common printers leave unprinted along every edge: a quarter inch. Common practice."""
CODE_QUIET = 2.6
"""Points around a code that must stay unprinted: a bit over the one module of ISO/IEC 16022."""
CODE_MARGIN = PRINTER_EDGE + CODE_QUIET
"""How near to the edges of the page a code may stand, in points."""
CORNERS = 4
PAGES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""The letter of a page in a code, by its number from 0."""
PAYLOAD = re.compile(r"([A-Z2-7]{1,6})([0-9A-Z])([0-3])")
"""What is written in a code: form, page, corner."""

_FORM_CODE = re.compile(r"[A-Z2-7]{1,6}")
# ISO/IEC 16022, table 7: a symbol of 14 by 14 holds 8 codewords of data and 10 of correction.
_DATA, _CORRECTION = 8, 10
_FIELD, _BYTE = 0x12D, 0xFF
"""The polynomial of the Galois field of ISO/IEC 16022, and the most a codeword holds."""
_PAD = 129
_PAD_STEP, _PAD_TURN, _PAD_TOP = 149, 253, 254
# ISO/IEC 16022, annex F: where the bits of a codeword lie, from its last one, bit 1 first.
_SHAPE = ((-2, -2), (-2, -1), (-1, -2), (-1, -1), (-1, 0), (0, -2), (0, -1), (0, 0))


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

    Source: ISO/IEC 16022 (Data Matrix ECC 200, size 14 x 14), from memory; the tests read it back
    with a reader that is not ours.
    """
    if not _FORM_CODE.fullmatch(form_code):
        raise RefusedError(f"a form code is one to six of A-Z and 2-7, not {form_code!r}")
    if not (0 <= page < len(PAGES) and 0 <= corner < CORNERS):
        raise RefusedError(f"there is no code for page {page}, corner {corner}")
    words = [ord(letter) + 1 for letter in f"{form_code}{PAGES[page]}{corner}"]
    words += list(_pad(len(words)))
    side = CODE_MODULES - 2
    modules = np.zeros((CODE_MODULES, CODE_MODULES), dtype=np.bool_)
    modules[0, ::2] = modules[1::2, -1] = True
    modules[:, 0] = modules[-1] = True
    bits = _place(side)
    for at, word in enumerate((*words, *compute_correction(words, _CORRECTION))):
        for bit in range(8):
            row, column = bits[at * 8 + bit]
            modules[row + 1, column + 1] = bool(word & (0x80 >> bit))
    return modules


def code_rects(page_width: float, page_height: float) -> tuple[Rect, Rect, Rect, Rect]:
    """Give the usual places of the codes: upper left, upper right, lower right, lower left."""
    left, right = CODE_MARGIN, page_width - CODE_MARGIN
    bottom, top = CODE_MARGIN, page_height - CODE_MARGIN
    side = CODE_SIDE
    return (
        (left, top - side, left + side, top),
        (right - side, top - side, right, top),
        (right - side, bottom, right, bottom + side),
        (left, bottom, left + side, bottom + side),
    )


def list_runs(modules: NDArray[np.bool_], place: Rect) -> Iterator[Rect]:
    """Give the black modules of a code printed at a place as rectangles, one for each run.

    Shape: drawn as one path they show no hairlines between neighbours.
    """
    left, bottom, right, _ = place
    side = (right - left) / CODE_MODULES
    for down, row in enumerate(modules):
        low = bottom + (CODE_MODULES - 1 - down) * side
        start: int | None = None
        for across, dark in enumerate((*row, False)):
            if dark and start is None:
                start = across
            elif not dark and start is not None:
                yield left + start * side, low, left + across * side, low + side
                start = None


def _pad(used: int) -> Iterator[int]:
    """Fill the codewords left over: the first plain, the rest by the 253-state algorithm."""
    for place in range(used + 1, _DATA + 1):
        if place == used + 1:
            yield _PAD
        else:
            value = _PAD + _PAD_STEP * place % _PAD_TURN + 1
            yield value if value <= _PAD_TOP else value - _PAD_TOP


@cache
def _powers() -> tuple[tuple[int, ...], dict[int, int]]:
    """Give the powers of 2 in the field, and their exponents."""
    values = [1]
    for _ in range(254):
        value = values[-1] << 1
        values.append(value ^ _FIELD if value > _BYTE else value)
    return tuple(values), {value: at for at, value in enumerate(values)}


def _multiply(one: int, other: int) -> int:
    values, exponents = _powers()
    return values[(exponents[one] + exponents[other]) % 255] if one and other else 0


def compute_correction(words: Sequence[int], count: int) -> list[int]:
    """Compute the Reed-Solomon codewords: the rest of a division by (x - 2)...(x - 2^count).

    Source: ISO/IEC 16022, annex E, from memory.
    """
    divisor = [1]
    for power in range(1, count + 1):
        root = _powers()[0][power]
        longer = [*divisor, 0]
        for at, factor in enumerate(divisor):
            longer[at + 1] ^= _multiply(factor, root)
        divisor = longer
    rest = [0] * count
    for word in words:
        first = word ^ rest[0]
        rest = [
            after ^ _multiply(first, factor)
            for after, factor in zip([*rest[1:], 0], divisor[1:], strict=True)
        ]
    return rest


@cache
def _place(side: int) -> tuple[tuple[int, int], ...]:
    """Give row and column of every bit: codeword after codeword, the highest bit first.

    Source: ISO/IEC 16022, annex F, with the one corner that a side of 12 needs.
    """
    taken: set[tuple[int, int]] = set()
    order: list[tuple[int, int]] = []
    for row, column in _walk(side):
        shape: Iterator[tuple[int, int]]
        if (row, column) == (side, 0):
            shape = iter(_split_corner(side))
        elif 0 <= row < side and 0 <= column < side and (row, column) not in taken:
            shape = (_wrap(row + down, column + across, side) for down, across in _SHAPE)
        else:
            continue
        for place in shape:
            taken.add(place)
            order.append(place)
    return tuple(order)


def _walk(side: int) -> Iterator[tuple[int, int]]:
    """Give where codewords may end, going up and down the diagonals."""
    row, column = 4, 0
    while row < side or column < side:
        if (row, column) == (side, 0):
            yield row, column
        while row >= 0 and column < side:
            if row < side:
                yield row, column
            row, column = row - 2, column + 2
        row, column = row + 1, column + 3
        while row < side and column >= 0:
            yield row, column
            row, column = row + 2, column - 2
        row, column = row + 3, column + 1


def _split_corner(side: int) -> tuple[tuple[int, int], ...]:
    """Give the bits of the codeword that is split between two corners."""
    end = side - 1
    return (
        *((end, column) for column in range(3)),
        (0, end - 1),
        *((row, end) for row in range(4)),
    )


def _wrap(row: int, column: int, side: int) -> tuple[int, int]:
    """Bring a bit that lies above or left of the matrix back to its other end."""
    if row < 0:
        row, column = row + side, column + 4 - (side + 4) % 8
    if column < 0:
        row, column = row + 4 - (side + 4) % 8, column + side
    return row, column
