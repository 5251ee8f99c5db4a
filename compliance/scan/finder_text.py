"""The words of a page with their places, from the text layer of a PDF."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from ctypes import byref, c_double, c_float, c_int, c_uint, create_string_buffer
from dataclasses import dataclass, replace

import pypdfium2 as pdfium
import pypdfium2.raw as api

from compliance.scan.finder_shapes import Rect, Word

SQUARES = (
    "\u2610\u25a1\u25a2\u25fb\u25fd\u2751\u2752\u274f\u2750\u25cb\u25ef\u274d"
    "\uf0a8\uf06f\uf071\uf072"
)
"""Characters that are drawn as an empty box or ring; the last four are of a symbol font."""
_ALONE = rf"_+|[.\u00b7]{{4,}}|\u2026{{2,}}|[{SQUARES}\[\]]|^\)"
_TOKENS = re.compile(rf"{_ALONE}|.+?(?={_ALONE}|$)")
_HIDDEN_MODES = {3, 7}  # text rendering modes "neither fill nor stroke" of ISO 32000, table 106

_PALE, _WHITE = 105, 240
"""Letters with a grey between these, 0 black to 255 white, are pale."""

Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Char(Rect):
    text: str
    start: float
    end: float
    base: float
    size: float
    upright: bool
    index: int


def apply_matrix(matrix: Matrix, x: float, y: float) -> tuple[float, float]:
    """Give the point after the matrix (a, b, c, d, e, f) of ISO 32000, 8.3."""
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f


def apply_rect(matrix: Matrix, left: float, bottom: float, right: float, top: float) -> Rect:
    """Give the rectangle around a rectangle after the matrix."""
    x1, y1 = apply_matrix(matrix, left, bottom)
    x2, y2 = apply_matrix(matrix, right, top)
    return Rect(left=min(x1, x2), bottom=min(y1, y2), right=max(x1, x2), top=max(y1, y2))


def find_words(page: pdfium.PdfPage, shown: Matrix) -> tuple[Word, ...]:
    """Give the words of the page; *shown* takes the page's own points to points as shown."""
    text = page.get_textpage()
    try:
        chars = tuple(
            char
            for index in range(api.FPDFText_CountChars(text.raw))
            if (char := _measure_char(text, index, shown)) is not None
        )
        words = [word for group in _group(chars) for word in _split(text, group)]
    finally:
        text.close()
    return _join_runs(words)


def _measure_char(text: pdfium.PdfTextPage, index: int, shown: Matrix) -> _Char | None:
    raw = text.raw
    code = api.FPDFText_GetUnicode(raw, index)
    if code < 32 or code in {0xFFFE, 0xFFFF} or api.FPDFText_IsGenerated(raw, index) == 1:
        return None
    left, right, bottom, top = c_double(), c_double(), c_double(), c_double()
    x, y = c_double(), c_double()
    matrix, loose = api.FS_MATRIX(), api.FS_RECTF()
    api.FPDFText_GetCharBox(raw, index, byref(left), byref(right), byref(bottom), byref(top))
    api.FPDFText_GetCharOrigin(raw, index, byref(x), byref(y))
    api.FPDFText_GetMatrix(raw, index, byref(matrix))
    api.FPDFText_GetLooseCharBox(raw, index, byref(loose))
    room = apply_rect(shown, loose.left, loose.bottom, loose.right, loose.top)
    box = apply_rect(shown, left.value, bottom.value, right.value, top.value)
    base = apply_matrix(shown, x.value, y.value)[1]
    turn = (*shown[:4], 0.0, 0.0)
    along = apply_matrix(turn, matrix.a, matrix.b)
    size = float(api.FPDFText_GetFontSize(raw, index)) * (matrix.c**2 + matrix.d**2) ** 0.5
    return _Char(
        left=box.left,
        bottom=box.bottom,
        right=box.right,
        top=box.top,
        text=chr(code) if code <= 0x10FFFF else " ",
        start=min(room.left, box.left),
        end=max(room.right, box.right),
        base=base,
        size=size or 1.0,
        upright=along[0] > 0 and abs(along[1]) < 0.05 * along[0],
        index=index,
    )


def _group(chars: tuple[_Char, ...]) -> list[list[_Char]]:
    """Part the characters where a space, a gap or a new line is."""
    groups: list[list[_Char]] = [[]]
    for char in chars:
        if char.text.isspace():
            groups.append([])
            continue
        last = groups[-1][-1] if groups[-1] else None
        if last is not None:
            gap = char.start - last.end
            if (
                abs(char.base - last.base) > 0.15 * char.size
                or not -0.6 * char.size < gap < 0.18 * char.size
                or char.upright != last.upright
            ):
                groups.append([])
        groups[-1].append(char)
    return [group for group in groups if group]


def _split(text: pdfium.PdfTextPage, group: list[_Char]) -> list[Word]:
    """Make words of a group: typed lines and typed boxes stand by themselves."""
    words = []
    joined = "".join(char.text[0] for char in group)
    bold, hidden, pale = _ask_font(text, group[0].index)
    for token in _TOKENS.finditer(joined):
        part = group[token.start() : token.end()]
        words.append(
            Word(
                left=min(char.left for char in part),
                bottom=min(char.bottom for char in part),
                right=max(char.right for char in part),
                top=max(char.top for char in part),
                text=token.group() if part[0].upright else "\u00a0",
                base=part[0].base,
                size=part[0].size,
                bold=bold,
                hidden=hidden,
                pale=pale,
            )
        )
    return words


def _ask_font(text: pdfium.PdfTextPage, index: int) -> tuple[bool, bool, bool]:
    """Give whether the letter is bold, whether it is invisible and whether it is pale."""
    name = create_string_buffer(200)
    flags = c_int()
    api.FPDFText_GetFontInfo(text.raw, index, name, 200, byref(flags))
    heavy = re.search(rb"bold|black|heavy|demi", name.value, re.IGNORECASE) is not None
    thing = api.FPDFText_GetTextObject(text.raw, index)
    mode = api.FPDFTextObj_GetTextRenderMode(thing) if thing else 0
    red, green, blue, alpha = c_uint(), c_uint(), c_uint(), c_uint()
    api.FPDFPageObj_GetFillColor(thing, byref(red), byref(green), byref(blue), byref(alpha))
    pale = _PALE < 0.3 * red.value + 0.59 * green.value + 0.11 * blue.value < _WHITE
    return heavy, mode in _HIDDEN_MODES, bool(thing) and pale


def _join_runs(words: list[Word]) -> tuple[Word, ...]:
    """Join dots or underscores typed with spaces between them into one typed line."""
    done: list[Word] = []
    for word in words:
        last = done[-1] if done else None
        if (
            last is not None
            and word.text[0] in "_."
            and not word.text.strip("_.")
            and set(word.text) == set(last.text)
            and len(word.text) <= 2
            and abs(word.base - last.base) < 1
            and 0 <= word.left - last.right < 0.8 * word.size
        ):
            done[-1] = replace(last, right=word.right, text=last.text + word.text)
        elif not any(_is_again(word, other) for other in done[-30:]):
            done.append(word)
    return tuple(done)


def _is_again(word: Word, other: Word) -> bool:
    """Tell whether a word is printed twice in one place, which makes it look bold."""
    return (
        word.text == other.text
        and abs(word.left - other.left) < 1
        and abs(word.base - other.base) < 1
    )


def measure_sheet(page: pdfium.PdfPage) -> tuple[float, float, float, float]:
    """Give left, bottom, right, top of the part of a page that is shown, in the page's own points.

    Source: ISO 32000-1, 14.11.2 (a crop box is cut to the media box); that a crop box off the
    sheet counts for nothing is what pdfium does.
    """
    media, crop = (_put_in_order(box) for box in (page.get_mediabox(), page.get_cropbox()))
    left, bottom = max(media[0], crop[0]), max(media[1], crop[1])
    right, top = min(media[2], crop[2]), min(media[3], crop[3])
    return (left, bottom, right, top) if left < right and bottom < top else media


def _put_in_order(box: tuple[float, ...]) -> tuple[float, float, float, float]:
    x1, y1, x2, y2 = box
    return min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)


def ask_matrix(thing: pdfium.PdfObject) -> Matrix:
    """Give the matrix of a page object."""
    matrix = api.FS_MATRIX()
    api.FPDFPageObj_GetMatrix(thing, byref(matrix))
    return (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)


def join_matrix(first: Matrix, then: Matrix) -> Matrix:
    """Give the matrix that does *first* and *then* the other."""
    a, b, c, d, e, f = first
    a2, b2, c2, d2, e2, f2 = then
    return (
        a * a2 + b * c2,
        a * b2 + b * d2,
        c * a2 + d * c2,
        c * b2 + d * d2,
        e * a2 + f * c2 + e2,
        e * b2 + f * d2 + f2,
    )


def ask_point(segment: pdfium.PdfObject) -> tuple[float, float]:
    """Give the end point of a path segment."""
    x, y = c_float(), c_float()
    api.FPDFPathSegment_GetPoint(segment, byref(x), byref(y))
    return x.value, y.value
