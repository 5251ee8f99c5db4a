"""Look at what prints where the boxes of fields are; in the child process only.

The words are those of the page after PDFium has put onto it what may print, less those it had
before; the ink is what the page drawn with its fields has more than the page without them.

Source: ISO 32000-1 12.5.3 (flags), 12.5.5 (appearances). The thresholds are common practice, no
source; measured in ``tests/scan/test_acroform_shown.py``.
"""

import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
from numpy.typing import NDArray

from compliance.scan.pdf_places import Box, Frame
from compliance.scan.pdfium_reading import MAX_CHARACTERS, compute_frame, opened

_DOTS_PER_POINT = 150 / 72
_MOST_DOTS = 8_000_000
# Of 255 steps of grey: what differs less is not seen on paper.
_SEEN_GREY = 24.0
# A mark that fills a box up leaves no light beside it; it is darker than this.
_FILLED_GREY = 195.0
_INSET, _MOST_INSET = 3.0, 0.3
_TICK_INSET = 0.25
# A letter of which less of its height is inside the box cannot be read: descenders may be cut off.
_LEAST_HIGH, _SPLIT_HIGH = 0.6, 0.1
# A text that was cut off reaches nearly from side to side.
_FILLS = 0.8

_Grey = NDArray[np.int16]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxPrint:
    """What prints within a box.

    Shape: ``text`` are the words its appearance brings, ``seen`` those of them with ink, ``split``
    those too high or too low to be read in it, ``under`` the words of the page itself.
    ``is_readable``: every letter is known. ``fills``, ``under_fills``: the words reach from side to
    side. ``has_ink``, ``has_mark``: something is drawn within its borders, or over its middle.
    """

    text: str
    seen: str
    split: str
    under: str
    is_readable: bool
    fills: bool
    under_fills: bool
    has_ink: bool
    has_mark: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Letter:
    sign: str
    box: Box
    is_known: bool

    @property
    def key(self) -> tuple[str, int, int]:
        return self.sign, round(self.box[0] * 4), round(self.box[1] * 4)


class _Letters:
    """The letters of a page, found by the box their middles and most of their height lie in."""

    def __init__(self, letters: Sequence[_Letter]) -> None:
        """Take the letters in the order of the file."""
        self._letters = letters
        boxes = np.array([letter.box for letter in letters], dtype=np.float64).reshape(-1, 4)
        self._x = (boxes[:, 0] + boxes[:, 2]) / 2
        self._y = (boxes[:, 1] + boxes[:, 3]) / 2
        self._low, self._top = boxes[:, 1], boxes[:, 3]

    def find(self, box: Box) -> list[_Letter]:
        """Give the letters in a box, edges included, in the order of the file."""
        is_in = self._reach_in(box, _LEAST_HIGH)
        is_in &= (self._y >= box[1]) & (self._y <= box[3])
        return [self._letters[int(at)] for at in np.flatnonzero(is_in)]

    def find_split(self, box: Box) -> list[_Letter]:
        """Give the letters of which some of the height is in a box, but too little to be read."""
        is_split = self._reach_in(box, _SPLIT_HIGH) & ~self._reach_in(box, _LEAST_HIGH)
        return [self._letters[int(at)] for at in np.flatnonzero(is_split)]

    def _reach_in(self, box: Box, share: float) -> NDArray[np.bool_]:
        """Tell which letters stand in a box by their middles, with a share of their height."""
        high = np.minimum(self._top, box[3]) - np.maximum(self._low, box[1])
        is_high = high >= share * (self._top - self._low)
        return is_high & (self._x >= box[0]) & (self._x <= box[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """A page drawn with its fields, and how much that differs from the page without them."""

    frame: Frame
    scale: float
    page: _Grey
    more: _Grey

    def cut(self, box: Box, aside: float, above: float) -> tuple[_Grey, _Grey]:
        """Give what is drawn within a box made smaller; units: points on the page as shown."""
        high, wide = self.page.shape
        first = max(0, int((box[0] + aside) * self.scale))
        last = min(wide, max(first + 1, int(np.ceil((box[2] - aside) * self.scale))))
        upper = max(0, int((self.frame.height - box[3] + above) * self.scale))
        bottom = int(np.ceil((self.frame.height - box[1] - above) * self.scale))
        lower = min(high, max(upper + 1, bottom))
        return self.page[upper:lower, first:last], self.more[upper:lower, first:last]


def look_at_boxes(data: bytes, boxes: Mapping[int, Sequence[Box]]) -> dict[int, list[BoxPrint]]:
    """Tell for every box of every page what prints within it.

    Shape: as *boxes*, by page. Units: PDF points on the page as it is shown.

    Raises:
        RefusedError: The file cannot be opened.
    """
    found = {}
    with opened(data) as document:
        for number, wanted in boxes.items():
            page = document[number]
            frame = compute_frame(page)
            drawn = _draw(page, frame)
            before = list(_list_letters(page, frame))
            pdfium_c.FPDFPage_Flatten(page, pdfium_c.FLAT_PRINT)
            page.close()
            page = document[number]
            after = list(_list_letters(page, frame))
            page.close()
            under, new = _Letters(before), _Letters(_subtract(after, before))
            found[number] = [_look(box, drawn, under, new) for box in wanted]
    return found


def _draw(page: pdfium.PdfPage, frame: Frame) -> _Drawn:
    scale = min(_DOTS_PER_POINT, (_MOST_DOTS / (frame.width * frame.height)) ** 0.5)
    pictures = [
        _copy(page.render(scale=scale, grayscale=True, draw_annots=drawn, may_draw_forms=drawn))
        for drawn in (True, False)
    ]
    return _Drawn(frame=frame, scale=scale, page=pictures[0], more=pictures[0] - pictures[1])


def _copy(bitmap: pdfium.PdfBitmap) -> _Grey:
    raw = np.frombuffer(bitmap.buffer, dtype=np.uint8)[: bitmap.stride * bitmap.height]
    return raw.reshape(bitmap.height, bitmap.stride)[:, : bitmap.width].astype(np.int16)


def _list_letters(page: pdfium.PdfPage, frame: Frame) -> Iterator[_Letter]:
    text = page.get_textpage()
    box: Box = (0.0, 0.0, 0.0, 0.0)
    for index in range(min(text.count_chars(), MAX_CHARACTERS)):
        code = pdfium_c.FPDFText_GetUnicode(text, index)
        sign = chr(code) if 0 < code <= sys.maxunicode else "\0"
        if sign.isspace():
            # A blank has no place of its own in some files; it stands where the letter before does.
            yield _Letter(sign=" ", box=box, is_known=True)
            continue
        box = frame.to_shown(text.get_charbox(index))
        is_known = sign.isprintable() and pdfium_c.FPDFText_HasUnicodeMapError(text, index) != 1
        yield _Letter(sign=sign, box=box, is_known=is_known)
    text.close()


def _subtract(after: Sequence[_Letter], before: Sequence[_Letter]) -> list[_Letter]:
    """Give the letters that were not on the page before."""
    left = Counter(letter.key for letter in before)
    new = []
    for letter in after:
        if left[letter.key]:
            left[letter.key] -= 1
        else:
            new.append(letter)
    return new


def _look(box: Box, drawn: _Drawn, before: _Letters, new: _Letters) -> BoxPrint:
    own, under = new.find(box), before.find(box)
    inset = (box[2] - box[0], box[3] - box[1])
    border = [min(_INSET, side * _MOST_INSET) for side in inset]
    middle = [side * _TICK_INSET for side in inset]
    return BoxPrint(
        text="".join(letter.sign for letter in own),
        seen="".join(letter.sign for letter in own if _has_ink(drawn.cut(letter.box, -0.5, -0.5))),
        split="".join(letter.sign for letter in new.find_split(box)),
        under="".join(letter.sign for letter in under),
        is_readable=all(letter.is_known for letter in own),
        fills=_fills(box, own),
        under_fills=_fills(box, under),
        has_ink=_has_ink(drawn.cut(box, *border)),
        has_mark=_has_mark(drawn.cut(box, *middle)[0]),
    )


def _has_ink(cut: tuple[_Grey, _Grey]) -> bool:
    """Tell whether a place is of more than one grey, and not only for what was there before."""
    return all(part.size and _reach(part) >= _SEEN_GREY for part in cut)


def _has_mark(page: _Grey) -> bool:
    """Tell whether the middle of a box is of more than one grey, or dark all over.

    Whether the box draws it or the page has it already does not matter: it prints, and no form has
    print of its own there.
    """
    return bool(page.size) and (_reach(page) >= _SEEN_GREY or float(page.mean()) <= _FILLED_GREY)


def _reach(part: _Grey) -> int:
    return int(part.max()) - int(part.min())


def _fills(box: Box, letters: Sequence[_Letter]) -> bool:
    if not letters:
        return False
    wide = max(one.box[2] for one in letters) - min(one.box[0] for one in letters)
    high = max(one.box[3] for one in letters) - min(one.box[1] for one in letters)
    return max(wide / (box[2] - box[0]), high / (box[3] - box[1]) if high > wide else 0) >= _FILLS
