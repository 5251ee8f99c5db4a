"""Reach into the objects of a PDF without trusting what they hold; in the child process only."""

from typing import Any

from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    NameObject,
    NullObject,
    PdfObject,
    StreamObject,
)

MAX_TEXT = 20_000
MAX_DEPTH = 32
_MAX_ITEMS = 500
# A rectangle has two corners.
_CORNERS = 4


def resolved(value: object) -> Any:  # noqa: ANN401 - what a file holds may be anything
    """Follow a reference; None for nothing."""
    found = value.get_object() if isinstance(value, PdfObject) else None
    return None if isinstance(found, NullObject) else found


def plain(value: object) -> str:
    """Give a value as text; lists are joined by commas, names lose their slash."""
    found = resolved(value)
    if found is None:
        return ""
    if isinstance(found, ByteStringObject):
        return found.decode("latin-1")[:MAX_TEXT]
    if isinstance(found, NameObject):
        return found[1 : MAX_TEXT + 1]
    if isinstance(found, StreamObject):
        return found.get_data()[:MAX_TEXT].decode("utf-8", "replace")
    if isinstance(found, ArrayObject):
        return ", ".join(plain(item) for item in items(found))[:MAX_TEXT]
    return "" if isinstance(found, DictionaryObject) else str(found)[:MAX_TEXT]


def items(value: object, most: int = _MAX_ITEMS) -> list[PdfObject]:
    """Give the items of a list, references as they are; none when it is no list."""
    found = resolved(value)
    return list(found)[:most] if isinstance(found, ArrayObject) else []


def integer(value: object) -> int:
    """Give a whole number, 0 for anything else."""
    found = resolved(value)
    return int(found) if isinstance(found, int | float) else 0


def integers(value: object) -> tuple[int, ...]:
    """Give the whole numbers of a list; other items are left out."""
    found = (resolved(item) for item in items(value))
    return tuple(int(number) for number in found if isinstance(number, int))


def corners(value: object) -> tuple[float, ...] | None:
    """Give the four numbers of a rectangle, None when they are not four."""
    found = (resolved(item) for item in items(value))
    numbers = tuple(float(number) for number in found if isinstance(number, int | float))
    return numbers if len(numbers) == _CORNERS else None


def chain(start: DictionaryObject) -> tuple[DictionaryObject, ...]:
    """Give a field and what is over it, nearest first; a ring ends where it closes."""
    links = [start]
    while len(links) < MAX_DEPTH:
        parent = resolved(links[-1].get("/Parent"))
        if not isinstance(parent, DictionaryObject) or any(parent is link for link in links):
            break
        links.append(parent)
    return tuple(links)
