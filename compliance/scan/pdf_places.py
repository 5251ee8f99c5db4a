"""Where things lie on a page as it is shown, and which words lie beside them."""

from collections.abc import Sequence
from dataclasses import dataclass

from compliance.scan.pdf_model import Place

Box = tuple[float, float, float, float]
"""Left, bottom, right, top in PDF points."""

# How far a label may be from its box, in points, and how a direction is weighed: the label of a
# text box is to its left or over it, that of a signature line often under it, that of a tick box
# to its right (common practice, no source).
_REACH_ASIDE = 180.0
_REACH_ABOVE = 16.0
_REACH_BELOW = 14.0
_SLACK = 2.0
_TEXT_WEIGHTS = {"left": 1.0, "above": 2.0, "below": 5.0, "right": 4.0}
_TICK_WEIGHTS = {"right": 1.0, "left": 2.5, "above": 6.0, "below": 8.0}
_START_COST = {"left": 0.0, "above": 2.0, "below": 8.0, "right": 12.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How a page's own coordinates lie on the page as it is shown.

    Units: PDF points; ``turned`` is 0, 90, 180 or 270 degrees clockwise.
    """

    left: float
    bottom: float
    right: float
    top: float
    turned: int = 0

    @property
    def width(self) -> float:
        """Give the width of the page as it is shown."""
        return self.top - self.bottom if self.turned in (90, 270) else self.right - self.left

    @property
    def height(self) -> float:
        """Give the height of the page as it is shown."""
        return self.right - self.left if self.turned in (90, 270) else self.top - self.bottom

    def to_shown(self, box: Sequence[float]) -> Box:
        """Move a box to the page as it is shown, with the origin at its lower left.

        Source: ISO 32000-1 table 30, ``Rotate`` (clockwise) and ``CropBox``.
        """
        one = self._point(box[0], box[1])
        two = self._point(box[2], box[3])
        return (min(one[0], two[0]), min(one[1], two[1]), max(one[0], two[0]), max(one[1], two[1]))

    def _point(self, x: float, y: float) -> tuple[float, float]:
        if self.turned == 90:  # noqa: PLR2004 - degrees
            return y - self.bottom, self.right - x
        if self.turned == 180:  # noqa: PLR2004 - degrees
            return self.right - x, self.top - y
        if self.turned == 270:  # noqa: PLR2004 - degrees
            return self.top - y, x - self.left
        return x - self.left, y - self.bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """A run of words on one line; the box is in points on the page as it is shown."""

    text: str
    box: Box


def group_phrases(characters: Sequence[tuple[str, Box]]) -> tuple[Phrase, ...]:
    """Join letters to phrases; a gap wider than a letter is high, or a new line, parts them.

    Shape: letters in the order of the file, each with its box; blanks have no say of their own.
    """
    phrases: list[Phrase] = []
    letters = ""
    box: Box | None = None
    for letter, own in characters:
        if letter in "\r\n" or letter == "\0":
            phrases += _phrase(letters, box)
            letters, box = "", None
            continue
        if letter.isspace():
            letters += " "
            continue
        if box is not None and not _continues(box, own):
            phrases += _phrase(letters, box)
            letters, box = "", None
        letters += letter
        box = own if box is None else _union(box, own)
    phrases += _phrase(letters, box)
    return tuple(phrases)


def _phrase(letters: str, box: Box | None) -> list[Phrase]:
    # Rows of underscores or dots are writing lines, not words.
    text = " ".join(letters.replace("_", " ").replace("....", " ").split())
    has_words = any(letter.isalnum() for letter in text)
    return [Phrase(text=text, box=box)] if box is not None and has_words else []


def _union(one: Box, two: Box) -> Box:
    return (min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3]))


def _continues(box: Box, own: Box) -> bool:
    height = max(box[3] - box[1], own[3] - own[1], 4.0)
    on_line = own[1] < box[3] and own[3] > box[1]
    gap = own[0] - box[2]
    return on_line and -height < gap <= height


def find_label(box: Box, phrases: Sequence[Phrase], *, is_tick: bool) -> str:
    """Find the words that most likely belong to a box, ``""`` when none are near.

    Source: common practice of forms, no source; see the weights above.
    """
    weights = _TICK_WEIGHTS if is_tick else _TEXT_WEIGHTS
    best = ""
    lowest = float("inf")
    for phrase in phrases:
        where, gap = _direction(box, phrase.box)
        if not where:
            continue
        cost = _START_COST[where] * (not is_tick) + gap * weights[where]
        if cost < lowest:
            best, lowest = phrase.text, cost
    return best


def _direction(box: Box, other: Box) -> tuple[str, float]:
    left, bottom, right, top = box
    middle = (other[1] + other[3]) / 2
    if bottom - _SLACK <= middle <= top + _SLACK:
        # Neither to the left nor to the right: printed inside the box, as small captions are.
        where, gap = "above", top - other[3]
        if other[2] <= left + 2 * _SLACK:
            where, gap = "left", left - other[2]
        elif other[0] >= right - 2 * _SLACK:
            where, gap = "right", other[0] - right
        return (where, max(0.0, gap)) if gap <= _REACH_ASIDE else ("", 0.0)
    if min(right, other[2]) <= max(left, other[0]):
        return ("", 0.0)
    over, under = other[1] - top, bottom - other[3]
    if -2 * _SLACK <= over <= _REACH_ABOVE:
        return ("above", max(0.0, over))
    return ("below", max(0.0, under)) if -2 * _SLACK <= under <= _REACH_BELOW else ("", 0.0)


def compute_cover(mark: Place, box: Place, *, grow: float = 8.0) -> float:
    """Give which share of a mark lies in a box grown on all sides, 0 to 1.

    Units: ``grow`` in points: people sign a little over the line.
    """
    if mark.page != box.page:
        return 0.0
    wide = min(mark.right, box.right + grow) - max(mark.left, box.left - grow)
    high = min(mark.top, box.top + grow) - max(mark.bottom, box.bottom - grow)
    # A flat stroke has next to no height; a point of thickness keeps the share defined.
    area = max(mark.right - mark.left, 1.0) * max(mark.top - mark.bottom, 1.0)
    if wide < 0 or high < 0:
        return 0.0
    return min(1.0, max(wide, 1.0) * max(high, 1.0) / area)
