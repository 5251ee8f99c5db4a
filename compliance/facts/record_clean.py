"""Records that an earlier mailby kept, made fit for a file that is read in again."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from compliance.base.reading import MAX_TEXT
from compliance.base.sources import find_unkeepable
from compliance.facts.record_elements import ELEMENTS, ElementKind
from compliance.facts.record_values import Unread, read_value
from compliance.facts.records import Application, Disposed, RecordBook, Said, UsedProduct
from compliance.facts.zones import is_zone

NAMELESS = "name cannot be read"
_ZONE, _WHY = "time zone", "reason of the correction"
NO_COLUMN = frozenset({_ZONE, _WHY})
"""What a table of records has no column for, as ``Cleaned.what`` names it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleaned:
    """One text that a file does not hold as it is kept; ``new`` is empty where it is left out.

    ``version`` is 0 of a record that was thrown away; ``what`` names the text in plain words.
    """

    number: int
    version: int
    what: str
    old: str
    new: str


def clean_line(text: str) -> str:
    """Give a text as one line that can be kept: a blank for each sign that cannot, none outside.

    Shape: a text that can be kept is given as it is, but for outer blanks; at most 2,000 signs.
    """
    line = text
    # Many records are cleaned at once, and what prints can all be kept.
    if not text.isprintable():
        line = " ".join(text.splitlines())
        line = "".join(" " if find_unkeepable(sign) else sign for sign in line)
    return line.strip()[:MAX_TEXT].strip()


def clean_book(book: RecordBook) -> tuple[RecordBook, tuple[Cleaned, ...]]:
    """Give a book whose texts can all be read in again, and every text that is not as it was."""
    versions: list[Application] = []
    found: list[Cleaned] = []
    for one in book.versions:
        record, changes = clean_record(one)
        versions.append(record)
        found.extend(changes)
    gone = []
    for left in book.gone:
        kept = clean_disposed(left)
        gone.append(kept)
        if kept.why != left.why:
            found.append(
                Cleaned(number=left.number, version=0, what="reason", old=left.why, new=kept.why)
            )
    return replace(book, versions=tuple(versions), gone=tuple(gone)), tuple(found)


def clean_disposed(gone: Disposed) -> Disposed:
    """Give what is left of a record with a reason that can be read in again."""
    return replace(gone, why=clean_line(gone.why), rule=clean_line(gone.rule))


def clean_record(record: Application) -> tuple[Application, tuple[Cleaned, ...]]:
    """Give a record whose texts can all be read in again, and those that are not as they were.

    Shape: a record that a file can hold is given as it is; cleaned twice is as cleaned once. An
    element without a text is left out and not told of, for nothing is lost with it.
    """
    if _is_fit(record):
        return record, ()
    changes: list[tuple[str, str, str]] = []
    zone = record.zone if is_zone(record.zone) else ""
    if zone != record.zone:
        changes.append((_ZONE, record.zone, zone))
    cleaned = replace(
        record,
        zone=zone,
        aircraft=_clean_line("aircraft", record.aircraft, changes),
        pilot=_clean_line("pilot", record.pilot, changes),
        why=_clean_line(_WHY, record.why, changes),
        anyway=_clean_line("reason for keeping it all the same", record.anyway, changes),
        start=_clean_element("start", record.start, changes),
        end=_clean_element("end", record.end, changes),
        said=tuple(_clean_said(record.said, changes)),
        products=tuple(_clean_product(one, changes) for one in record.products),
    )
    return cleaned, tuple(
        Cleaned(number=record.number, version=record.version, what=what, old=old, new=new)
        for what, old, new in changes
    )


def _is_fit(record: Application) -> bool:
    """Tell whether every text can be kept as it is, as nearly always; this is the quick way."""
    lines = (record.aircraft, record.pilot, record.why, record.anyway)
    names = tuple(product.name for product in record.products)
    said = [("start", record.start), ("end", record.end), *record.said]
    for product in record.products:
        said += product.said
    return (
        (not record.zone or is_zone(record.zone))
        and all(names)
        and all(line == clean_line(line) for line in (*lines, *names))
        and all(text == _read_element(name, text) for name, text in said)
        and all(text for _, text in said[2:])
    )


def _clean_line(what: str, text: str, changes: list[tuple[str, str, str]]) -> str:
    line = clean_line(text)
    if line != text:
        changes.append((what, text, line))
    return line


def _clean_product(product: UsedProduct, changes: list[tuple[str, str, str]]) -> UsedProduct:
    name = clean_line(product.name) or NAMELESS
    if name != product.name:
        changes.append(("name of a product", product.name, name))
    return replace(product, name=name, said=tuple(_clean_said(product.said, changes)))


def _clean_said(said: Said, changes: list[tuple[str, str, str]]) -> Iterator[tuple[str, str]]:
    for name, text in said:
        value = _clean_element(name, text, changes)
        if value:
            yield name, value


def _clean_element(name: str, text: str, changes: list[tuple[str, str, str]]) -> str:
    """Give the text of an element as it will be read, empty where it cannot be."""
    value = _read_element(name, text)
    if value != text:
        changes.append((ELEMENTS[name].words, text, value))
    return value


@lru_cache(maxsize=20_000)
def _read_element(name: str, text: str) -> str:
    """Give the text as it will be read; the same few hours, areas and products stand in many."""
    line, element = clean_line(text), ELEMENTS[name]
    read = line if element.kind is ElementKind.TEXT else read_value(element, line)
    return "" if isinstance(read, Unread) else read
