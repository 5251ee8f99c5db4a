"""Walk the fields of a fillable PDF; in the child process only.

Source: ISO 32000-1 section 12.7 (fields; tables 221, 226 and 230 for ``Ff``) and table 165 (``F``).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import pypdf
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, PdfObject

from compliance.base.problems import RefusedError
from compliance.scan.pdf_model import Field, FieldKind, Place, Seal, SealState
from compliance.scan.pdf_objects import MAX_DEPTH, chain, corners, integer, items, plain, resolved
from compliance.scan.pdf_places import Frame, Phrase, find_label
from compliance.scan.pdfium_reading import MAX_PAGES

MAX_FIELDS = 5000
_FF_READ_ONLY, _FF_REQUIRED = 1, 1 << 1
_FF_RADIO, _FF_PUSH = 1 << 15, 1 << 16
_F_HIDDEN, _F_NO_VIEW = 1 << 1, 1 << 5
_TICKS = (FieldKind.CHECK, FieldKind.RADIO)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A page: how it lies and the words printed on it."""

    frame: Frame
    phrases: tuple[Phrase, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Widget:
    """One box of a field: its own dictionary, those over it nearest first, and its page."""

    links: tuple[DictionaryObject, ...]
    page: int | None

    @property
    def own(self) -> DictionaryObject:
        """Give the dictionary of the box itself."""
        return self.links[0]

    @property
    def name(self) -> str:
        """Give the full name of the field, its parts joined by dots."""
        parts = [plain(link.get("/T")) for link in self.links]
        return ".".join(reversed([part for part in parts if part]))

    def find(self, key: str) -> PdfObject | None:
        """Find a value in the box or in what is over it."""
        return next((resolved(link[key]) for link in self.links if key in link), None)


def annotations(reader: pypdf.PdfReader) -> Iterator[tuple[int, DictionaryObject, int]]:
    """Give every annotation with its page and the number of its object (0 without one)."""
    for index in range(min(len(reader.pages), MAX_PAGES)):
        for item in items(reader.pages[index].get("/Annots"), MAX_FIELDS + 1):
            found = resolved(item)
            if isinstance(found, DictionaryObject):
                yield index, found, item.idnum if isinstance(item, IndirectObject) else 0


def _widgets(reader: pypdf.PdfReader) -> Iterator[Widget]:
    """Give the boxes on the pages, then the fields of the form that are on no page."""
    seen: set[int] = set()
    for page, own, number in annotations(reader):
        if own.get("/Subtype") == "/Widget" and (number == 0 or number not in seen):
            seen.add(number)
            yield Widget(links=chain(own), page=page)
    form = resolved(reader.root_object.get("/AcroForm"))
    waiting = [(form.get("/Fields"), 0)] if isinstance(form, DictionaryObject) else []
    while waiting:
        listed, depth = waiting.pop()
        for item in items(listed, MAX_FIELDS + 1) if depth < MAX_DEPTH else ():
            number = item.idnum if isinstance(item, IndirectObject) else 0
            field = resolved(item)
            if not isinstance(field, DictionaryObject) or (number and number in seen):
                continue
            seen.add(number)
            if "/Kids" in field:
                waiting.append((field["/Kids"], depth + 1))
            else:
                yield Widget(links=chain(field), page=None)


def grouped(reader: pypdf.PdfReader) -> dict[str, list[Widget]]:
    """Give the boxes of every field by its full name.

    Raises:
        RefusedError: More than :data:`MAX_FIELDS` boxes.
    """
    groups: dict[str, list[Widget]] = {}
    for count, widget in enumerate(_widgets(reader)):
        if count >= MAX_FIELDS:
            raise RefusedError(
                f"This PDF has more than {MAX_FIELDS} fields.",
                hint="Save only the pages of the form as a PDF of their own.",
            )
        if widget.find("/FT") is not None:
            groups.setdefault(widget.name or f"(no name {count + 1})", []).append(widget)
    return groups


def _kind(widget: Widget) -> FieldKind:
    flags = integer(widget.find("/Ff"))
    button = FieldKind.CHECK
    if flags & _FF_PUSH:
        button = FieldKind.BUTTON
    elif flags & _FF_RADIO:
        button = FieldKind.RADIO
    kinds = {
        "/Tx": FieldKind.TEXT,
        "/Ch": FieldKind.CHOICE,
        "/Sig": FieldKind.SIGNATURE,
        "/Btn": button,
    }
    return kinds.get(str(widget.find("/FT")), FieldKind.BUTTON)


def read_field(name: str, boxes: Sequence[Widget], sheets: Sequence[Sheet]) -> Field:
    """Give one field as it stands; whether a signature holds is looked at elsewhere."""
    first = boxes[0]
    kind = _kind(first)
    flags = integer(first.find("/Ff"))
    value = read_value(boxes)
    preset = plain(first.find("/DV"))
    is_tick = kind in _TICKS
    return Field(
        name=name,
        kind=kind,
        value=value,
        is_empty=not value.strip(),
        is_required=bool(flags & _FF_REQUIRED),
        is_read_only=bool(flags & _FF_READ_ONLY),
        is_hidden=all(is_hidden(box.own) for box in boxes),
        is_preset=bool(value.strip()) and not is_tick and value == preset,
        tooltip=plain(first.find("/TU")).strip(),
        places=tuple(place for box in boxes if (place := _place(box, sheets, is_tick=is_tick))),
        seal=Seal(state=SealState.UNSIGNED) if kind is FieldKind.SIGNATURE else None,
    )


def is_hidden(own: DictionaryObject) -> bool:
    """Tell whether an annotation is not shown."""
    return bool(integer(own.get("/F")) & (_F_HIDDEN | _F_NO_VIEW))


def read_value(boxes: Sequence[Widget]) -> str:
    """Give the value of a field as text; ``""`` for none and for a box that is not ticked."""
    kind = _kind(boxes[0])
    if kind in (FieldKind.BUTTON, FieldKind.SIGNATURE):
        return ""
    values = [plain(box.find("/V")) for box in boxes]
    if kind in _TICKS:
        # What is drawn is the state of the box, so a box shown ticked counts without a value too.
        values += [plain(box.own.get("/AS")) for box in boxes]
        values = [value for value in values if value != "Off"]
    value = next((value for value in values if value.strip()), values[0] if values else "")
    return _choice_words(boxes[0], value) if kind is FieldKind.CHOICE else value


def _choice_words(box: Widget, value: str) -> str:
    """Give the words a chosen item is shown with: an item may be a pair of code and words."""
    for option in items(box.find("/Opt")):
        pair = resolved(option)
        if isinstance(pair, ArrayObject) and len(pair) == 2 and plain(pair[0]) == value:  # noqa: PLR2004
            return plain(pair[1])
    return value


def _place(box: Widget, sheets: Sequence[Sheet], *, is_tick: bool) -> Place | None:
    place = placed(box.own, box.page, sheets)
    if place is None:
        return None
    shown = (place.left, place.bottom, place.right, place.top)
    phrases = sheets[place.page].phrases
    return replace(place, label=find_label(shown, phrases, is_tick=is_tick))


def placed(own: DictionaryObject, page: int | None, sheets: Sequence[Sheet]) -> Place | None:
    """Give where an annotation is on the page as it is shown; None when it covers nothing."""
    found = corners(own.get("/Rect"))
    if page is None or page >= len(sheets) or found is None:
        return None
    left, bottom, right, top = sheets[page].frame.to_shown(found)
    if right <= left or top <= bottom:
        return None
    return Place(page=page, left=left, bottom=bottom, right=right, top=top)
