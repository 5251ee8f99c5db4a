"""Text that somebody typed on a flat form: found by the labels of blanks that have no place left.

A line that is written on is no place to be filled in any more, so the finder passes over it. Its
label stands there still. What stands beside it, over it or under it on a line is taken for typed.

Source: where forms put their labels is common practice, no source; measured in
``tests/app/test_learn_guard.py``.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from compliance.app.tie import tie_regions
from compliance.forms.model import BlankKind, FormTemplate
from compliance.scan.acroform_findings import is_placeholder
from compliance.scan.model import Region
from compliance.scan.pdf_model import FieldsRead, Place
from compliance.scan.render import render_page

LEAST_TYPED = 2
"""So many labels of the form's blanks with text beside them make a page that was filled in."""
_ASIDE, _ON_LINE = 260.0, 4.0
_OVER, _UNDER, _INDENT = 14.0, 22.0, 30.0
"""How far over or under its label a text stands at most, and how far to its side, in points."""
_DPI, _BLACK = 150, 150
_BELOW, _BEYOND, _WHOLE = 14.0, 18.0, 0.97
"""A line to write on lies this near under the text and goes on this far beyond it, unbroken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """A label, and the text that may be typed for it."""

    label: str
    place: Place
    text: str
    value: Place


def list_typed(
    pdf: bytes, read: FieldsRead, regions: Sequence[Region], form: FormTemplate
) -> tuple[str, ...]:
    """Say which labels of the form's blanks without a place have text beside them.

    Shape: one sentence a text; fewer than :data:`LEAST_TYPED` prove nothing. A text is counted when
    its label ends with a colon and is followed by it, or when it stands on a line that goes on
    beyond it, right of its label, over it or under it. Where neither is so, nobody can tell typed
    text from print.
    """
    known = set(tie_regions(tuple(regions), form).values())
    pairs = list(_pair_lines(read.printed))
    ties = tie_regions(tuple(_to_region(at, one) for at, one in enumerate(pairs)), form)
    found = {
        one.value: f"`{one.label}` is followed by `{one.text[:40]}`"
        for at, one in enumerate(pairs)
        if ties.get(str(at), "") not in {"", *known}
    }
    labels = {one.place for one in pairs}
    for value, words in _list_on_lines(pdf, read.printed, known, form):
        if value not in found and value not in labels:
            found[value] = words
    return tuple(found.values())


def _list_on_lines(
    pdf: bytes, printed: Sequence[Place], known: set[str], form: FormTemplate
) -> Iterator[tuple[Place, str]]:
    """Give what stands on a line beside a label of a blank that has no place."""
    alone = [
        _Pair(label=place.label.rstrip(" :"), place=place, text="", value=place)
        for place in printed
    ]
    ties = tie_regions(tuple(_to_region(at, one) for at, one in enumerate(alone)), form)
    open_labels = [at for at in range(len(alone)) if ties.get(str(at), "") not in {"", *known}]
    if not open_labels:
        return
    is_label = {alone[at].place for at in range(len(alone)) if ties.get(str(at))}
    near = [
        (_compute_gap(alone[at].place, one), at, one)
        for at in open_labels
        for one in printed
        if one not in is_label and _is_near(alone[at].place, one) and _may_be_typed(one.label)
    ]
    pages: dict[int, NDArray[np.uint8]] = {}
    found: dict[int, Place] = {}
    # The nearest first, so that no label takes the text of the next line.
    for _, at, value in sorted(near, key=lambda one: one[:2]):
        if value in found.values() or at in found:
            continue
        if value.page not in pages:
            pages[value.page] = render_page(pdf, value.page, _DPI)
        if _stands_on_line(pages[value.page], value, alone[at].place):
            found[at] = value
    for at in sorted(found):
        yield found[at], f"`{alone[at].label}` stands beside `{found[at].label[:40]}`"


def _may_be_typed(text: str) -> bool:
    # The form's own print goes on in small letters; a name or a number does not.
    return _is_text(text) and not text[:1].islower()


def _compute_gap(label: Place, value: Place) -> float:
    return max(value.bottom - label.top, label.bottom - value.top, 0.0)


def _to_region(at: int, pair: _Pair) -> Region:
    place = pair.place
    return Region(
        id=str(at),
        label=pair.label,
        kind=BlankKind.TEXT,
        page=place.page,
        left=place.left,
        bottom=place.bottom,
        right=place.right,
        top=place.top,
    )


def _is_near(label: Place, value: Place) -> bool:
    """Tell whether a text stands right of a label, over it, or under it."""
    if label.page != value.page:
        return False
    if abs(label.bottom - value.bottom) < _ON_LINE:
        return 0 < value.left - label.right < _ASIDE
    if abs(label.left - value.left) > _INDENT:
        return False
    return 0 <= value.bottom - label.top < _OVER or 0 <= label.bottom - value.top < _UNDER


def _stands_on_line(grey: NDArray[np.uint8], value: Place, label: Place) -> bool:
    """Tell whether an unbroken line lies under a text and goes on beyond its end.

    One that lies under a label beside it too is the line of a table, and both may be its heads.
    """
    under = _find_lines(grey, value, value.left, value.right + _BEYOND)
    if abs(label.bottom - value.bottom) < _ON_LINE:
        under &= ~_find_lines(grey, value, label.left, value.left)
    return bool(under.any())


def _find_lines(
    grey: NDArray[np.uint8], text: Place, left: float, right: float
) -> NDArray[np.bool_]:
    """Find which rows of dots under a text are dark from left to right; units: points."""
    scale, height = _DPI / 72, grey.shape[0]
    upper, lower = height - text.bottom * scale, height - (text.bottom - _BELOW) * scale
    columns = slice(max(0, round(left * scale)), max(1, round(right * scale)))
    rows = grey[max(0, round(upper) - 1) : max(0, round(lower)), columns] < _BLACK
    return np.asarray(rows.mean(axis=1) >= _WHOLE) if rows.size else np.zeros(1, np.bool_)


def _pair_lines(printed: Sequence[Place]) -> Iterator[_Pair]:
    """Give what ends with a colon, and the text right of it on the line."""
    for place in printed:
        label, colon, rest = place.label.partition(": ")
        if colon and _is_text(rest):
            yield _Pair(label=label.rstrip(" :"), place=place, text=rest, value=place)
        elif place.label.endswith(":"):
            beside = [
                one
                for one in printed
                if one.page == place.page
                and abs(one.bottom - place.bottom) < _ON_LINE
                and 0 < one.left - place.right < _ASIDE
            ]
            near = min(beside, key=lambda one: one.left, default=None)
            if near is not None and _is_text(near.label):
                name = place.label.rstrip(" :")
                yield _Pair(label=name, place=place, text=near.label, value=near)


def _is_text(text: str) -> bool:
    """Tell whether a text is no label, no aside and no hint of the form's own."""
    plain = text.strip()
    return not (":" in plain or plain.startswith(("(", "$", "[")) or is_placeholder(plain))
