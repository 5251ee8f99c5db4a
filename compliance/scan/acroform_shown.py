"""Tell whether what a field holds is what prints; in the child process only.

Source: ISO 32000-1 12.5.3 (table 165: a box that is hidden, not viewed, or not marked to be
printed), 12.7.3.3 (without an appearance, or with ``NeedAppearances``, viewers draw the value) and
12.5.5 (a tick box draws the state named by ``AS``).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import pypdf
from pypdf.generic import BooleanObject, DictionaryObject

from compliance.scan.acroform_walk import Sheet, Widget, annotations, placed
from compliance.scan.pdf_model import Field, FieldKind, Place, Shown
from compliance.scan.pdf_objects import integer, plain, resolved
from compliance.scan.pdf_places import Box
from compliance.scan.pdf_prints import BoxPrint, look_at_boxes
from compliance.scan.printed_text import is_part, is_same_text, is_sifted, squeeze

_F_HIDDEN, _F_PRINT, _F_NO_VIEW = 1 << 1, 1 << 2, 1 << 5
_FF_MULTILINE, _FF_PASSWORD, _FF_COMBO = 1 << 12, 1 << 13, 1 << 17
_TICKS = (FieldKind.CHECK, FieldKind.RADIO)
_LOOKED_AT = (*_TICKS, FieldKind.TEXT, FieldKind.CHOICE)
# Boxes that only touch do not bring words into one another, in points.
_TOUCH = 1.0
_MOST_SHOWN = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """The form, its pages, every box on each page, and what prints within the boxes looked at."""

    draws_values: bool
    sheets: Sequence[Sheet]
    boxes: Mapping[int, Sequence[Box]]
    prints: Mapping[tuple[int, Box], BoxPrint]


def add_shown(
    fields: Sequence[Field],
    groups: Mapping[str, Sequence[Widget]],
    reader: pypdf.PdfReader,
    data: bytes,
    sheets: Sequence[Sheet],
) -> tuple[Field, ...]:
    """Add to every field that holds something whether that prints.

    Shape: of several boxes of one text, every one that would print must print it, and one at least
    does; of several tick boxes one is enough. A signature is not looked at: a digital one may be
    meant to be out of sight.
    """
    held = [field for field in fields if field.kind in _LOOKED_AT and not field.is_empty]
    if not held:
        return tuple(fields)
    wanted: dict[int, dict[Box, None]] = {}
    for field in held:
        for widget in groups[field.name]:
            place = _on_page(widget, sheets)
            if place is not None:
                wanted.setdefault(place.page, {})[_box(place)] = None
    looked = look_at_boxes(data, {page: list(boxes) for page, boxes in wanted.items()})
    page = _Page(
        draws_values=_draws_values(reader),
        sheets=sheets,
        boxes=_list_boxes(reader, sheets),
        prints={
            (number, box): found
            for number, boxes in wanted.items()
            for box, found in zip(boxes, looked[number], strict=True)
        },
    )
    names = {field.name for field in held}
    return tuple(
        _with_shown(field, groups[field.name], page) if field.name in names else field
        for field in fields
    )


def _draws_values(reader: pypdf.PdfReader) -> bool:
    form = resolved(reader.root_object.get("/AcroForm"))
    wish = resolved(form.get("/NeedAppearances")) if isinstance(form, DictionaryObject) else None
    return isinstance(wish, BooleanObject) and bool(wish.value)


def _list_boxes(reader: pypdf.PdfReader, sheets: Sequence[Sheet]) -> dict[int, list[Box]]:
    found: dict[int, list[Box]] = {}
    for number, own, _ in annotations(reader):
        place = placed(own, number, sheets)
        if place is not None:
            found.setdefault(number, []).append(_box(place))
    return found


def _box(place: Place) -> Box:
    return place.left, place.bottom, place.right, place.top


def _on_page(widget: Widget, sheets: Sequence[Sheet]) -> Place | None:
    """Give the place of a box, None when no part of it lies on the page as it is shown."""
    place = placed(widget.own, widget.page, sheets)
    if place is None:
        return None
    frame = sheets[place.page].frame
    is_on = place.left < frame.width and place.bottom < frame.height
    return place if is_on and place.right > 0 and place.top > 0 else None


def _with_shown(field: Field, boxes: Sequence[Widget], page: _Page) -> Field:
    is_tick = field.kind in _TICKS
    verdicts = list(_judge_ticks(boxes, page) if is_tick else _judge_text(field, boxes, page))
    held = [shown is Shown.AS_HELD for shown, _ in verdicts]
    if any(held) if is_tick else (held and all(held)):
        return field
    told = (one for one in verdicts if one[0] in (Shown.CUT, Shown.OTHER))
    shown, text = next(told, (Shown.NOTHING, ""))
    return replace(field, shown=shown, shown_text=" ".join(text.split())[:_MOST_SHOWN])


def _may_print(own: DictionaryObject) -> bool:
    flags = integer(own.get("/F"))
    return bool(flags & _F_PRINT) and not flags & (_F_HIDDEN | _F_NO_VIEW)


def _appearance(own: DictionaryObject) -> DictionaryObject | None:
    """Give what is drawn for a box at rest: a drawing, or one for each state of a tick box."""
    drawings = resolved(own.get("/AP"))
    found = resolved(drawings.get("/N")) if isinstance(drawings, DictionaryObject) else None
    return found if isinstance(found, DictionaryObject) else None


def _judge_text(field: Field, boxes: Sequence[Widget], page: _Page) -> Iterator[tuple[Shown, str]]:
    """Judge every box that would print, and those where the page itself says what they hold."""
    for widget in boxes:
        place = _on_page(widget, page.sheets)
        if place is None:
            continue
        printed = page.prints[place.page, _box(place)]
        if _is_under(field, widget, printed):
            yield Shown.AS_HELD, ""
        elif printed.under_fills and is_part(field.value, printed.under):
            yield Shown.CUT, printed.under
        elif not _may_print(widget.own):
            continue
        elif _is_drawn_anew(widget, page):
            yield _judge_anew(field, widget, printed)
        else:
            yield _judge_words(field, widget, printed, is_overlaid=_is_overlaid(place, page))


def _is_under(field: Field, widget: Widget, printed: BoxPrint) -> bool:
    """Tell whether the page itself says it, as when a program has put the fields onto the page."""
    is_part_of_list = _is_list(field, widget) and squeeze(field.value) in squeeze(printed.under)
    return is_same_text(field.value, printed.under) or is_part_of_list


def _judge_anew(field: Field, widget: Widget, printed: BoxPrint) -> tuple[Shown, str]:
    """Judge a box that viewers draw anew: from the value, but with letters of the same size.

    Where the form leaves the size to the viewer, not every viewer makes the text fit.
    """
    if is_same_text(field.value, printed.text) or not printed.is_readable:
        return Shown.AS_HELD, ""
    if _is_too_tall(field.value, printed):
        return Shown.CUT, ""
    is_cut = _is_cut(field.value, printed.text, widget, printed)
    return (Shown.CUT, printed.text) if is_cut else (Shown.AS_HELD, "")


def _is_cut(held: str, text: str, widget: Widget, printed: BoxPrint) -> bool:
    """Tell whether a text is what a box has room for; of lines the last ones may be missing."""
    if integer(widget.find("/Ff")) & _FF_MULTILINE:
        return is_sifted(held, text)
    return printed.fills and is_part(held, text)


def _is_too_tall(held: str, printed: BoxPrint) -> bool:
    """Tell whether only tops or feet of a text's letters would print, of some or of all of them."""
    return not squeeze(printed.text) and is_sifted(held, printed.split)


def _is_list(field: Field, widget: Widget) -> bool:
    return field.kind is FieldKind.CHOICE and not integer(widget.find("/Ff")) & _FF_COMBO


def _is_drawn_anew(widget: Widget, page: _Page) -> bool:
    return page.draws_values or _appearance(widget.own) is None


def _is_overlaid(place: Place, page: _Page) -> bool:
    """Tell whether another box lies over a place, whose words cannot be told from its own."""
    own = _box(place)
    over = [
        box
        for box in page.boxes.get(place.page, ())
        if min(own[2], box[2]) - max(own[0], box[0]) > _TOUCH
        and min(own[3], box[3]) - max(own[1], box[1]) > _TOUCH
    ]
    return len(over) > 1


def _judge_words(
    field: Field, widget: Widget, printed: BoxPrint, *, is_overlaid: bool
) -> tuple[Shown, str]:
    words, seen = squeeze(printed.text), squeeze(printed.seen)
    is_drawn = printed.has_ink or 2 * len(seen) >= max(1, len(words))
    if not is_drawn or (not printed.has_ink and not printed.seen):
        return Shown.NOTHING, ""
    if _is_too_tall(field.value, printed):
        return Shown.CUT, ""
    is_hidden_text = bool(integer(widget.find("/Ff")) & _FF_PASSWORD)
    # Ink that is not letters, or letters in a font that does not tell which, cannot be compared.
    if not words or not printed.is_readable or is_hidden_text or _is_list(field, widget):
        return Shown.AS_HELD, ""
    formatted = _is_formatted(widget)
    held = (field.value, plain(widget.find("/V")))
    for text in (printed.text, printed.seen):
        is_same = any(is_same_text(value, text, is_formatted=formatted) for value in held)
        is_within = is_overlaid and squeeze(field.value) in squeeze(text)
        is_whole = text == printed.seen or len(seen) == len(words)
        if (is_same or is_within) and is_whole:
            return Shown.AS_HELD, ""
    text = printed.seen if len(seen) < len(words) else printed.text
    is_cut = any(_is_cut(value, text, widget, printed) for value in held)
    return (Shown.CUT if is_cut else Shown.OTHER), text


def _is_formatted(widget: Widget) -> bool:
    """Tell whether the form writes the value another way: a script for it (table 196, ``F``)."""
    actions = resolved(widget.find("/AA"))
    return isinstance(actions, DictionaryObject) and "/F" in actions


def _judge_ticks(boxes: Sequence[Widget], page: _Page) -> Iterator[tuple[Shown, str]]:
    states = [plain(one.own.get("/AS")) for one in boxes if _is_ticked(one, page)]
    value = plain(boxes[0].find("/V"))
    has_choice = len(boxes) > 1 and value not in ("", "Off")
    for state in states:
        is_other = has_choice and state and value not in states
        yield (Shown.OTHER, state) if is_other else (Shown.AS_HELD, "")


def _is_ticked(widget: Widget, page: _Page) -> bool:
    """Tell whether a box prints a tick; one whose state is not said counts by the value."""
    place = _on_page(widget, page.sheets)
    if place is None or not _may_print(widget.own):
        return False
    if _is_drawn_anew(widget, page) or "/AS" not in widget.own:
        return True
    is_on = plain(widget.own.get("/AS")) != "Off"
    return is_on and page.prints[place.page, _box(place)].has_mark
