"""The marks drawn on a PDF, and what can be said about its signature fields; in the child only."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from io import BytesIO

import pypdf
from pypdf.generic import DictionaryObject

from compliance.scan.acroform_walk import (
    Sheet,
    Widget,
    annotations,
    grouped,
    is_hidden,
    placed,
    read_value,
)
from compliance.scan.pdf_model import Field, FieldKind, Mark, Seal, SealState
from compliance.scan.pdf_objects import integers, resolved
from compliance.scan.pdf_places import compute_cover
from compliance.scan.pdfium_reading import UnreadableError, copy_unlocked, is_locked, opened
from compliance.scan.signed_bytes import NOT_JUDGED, compute_bytes_check

# Each of them may have the whole file hashed and an earlier state of it read.
MAX_SEALS = 8
# A pen stroke counts for a signature when this share of it lies in the field.
_SHARE_IN_FIELD = 0.3
_MARKS = ("/Ink", "/Stamp", "/FreeText", "/Line", "/PolyLine", "/Square", "/Circle")
_TIME_STAMP = "/DocTimeStamp"


def read_marks(reader: pypdf.PdfReader, sheets: Sequence[Sheet]) -> Iterator[Mark]:
    """Give what was drawn, stamped or typed on the pages beside the fields."""
    for page, own, _ in annotations(reader):
        kind = str(own.get("/Subtype"))
        place = placed(own, page, sheets)
        if kind in _MARKS and place is not None and not is_hidden(own):
            yield Mark(kind=kind[1:], place=place)


def add_seals(
    fields: Sequence[Field],
    groups: Mapping[str, Sequence[Widget]],
    marks: Sequence[Mark],
    data: bytes,
) -> tuple[Field, ...]:
    """Say of every signature field whether it is signed, drawn on or open.

    Shape: all fields, in the order given; ``data`` is the file as it came, encrypted or not.
    """
    done = []
    checked = 0
    for field in fields:
        value = groups[field.name][0].find("/V") if field.kind is FieldKind.SIGNATURE else None
        held = _held(value)
        if field.kind is not FieldKind.SIGNATURE:
            done.append(field)
        elif isinstance(value, DictionaryObject) and held:
            checked += 1
            seal = (
                _read_seal(value, held, fields, data)
                if checked <= MAX_SEALS
                else Seal(state=SealState.SIGNED, why=f"Only {MAX_SEALS} signatures are checked.")
            )
            done.append(replace(field, seal=seal, is_empty=False))
        elif any(_is_signed_by(mark, field) for mark in marks):
            seal = Seal(state=SealState.DRAWN, why="Something is drawn on it with a pen tool.")
            done.append(replace(field, seal=seal))
        else:
            done.append(field)
    return tuple(done)


def _held(value: object) -> bytes:
    """Give the signed message of a signature field; zeros alone are a place kept free for one."""
    contents = resolved(value.get("/Contents")) if isinstance(value, DictionaryObject) else None
    held: bytes = getattr(contents, "original_bytes", b"")
    return held if held.strip(b"\0") else b""


def _is_signed_by(mark: Mark, field: Field) -> bool:
    return mark.kind == "Ink" and any(
        compute_cover(mark.place, place) >= _SHARE_IN_FIELD for place in field.places
    )


def _read_seal(value: DictionaryObject, held: bytes, fields: Sequence[Field], data: bytes) -> Seal:
    byte_range = integers(value.get("/ByteRange"))
    check = compute_bytes_check(data, held, byte_range, str(value.get("/SubFilter")))
    changed: tuple[str, ...] = ()
    is_intact, why = check.is_intact, check.why
    if str(value.get("/Type")) == _TIME_STAMP:
        why = f"It is a time stamp, not somebody's signature. {why}"
    if check.added_bytes:
        try:
            changed = _changed_since(fields, data[: byte_range[2] + byte_range[3]])
        except UnreadableError:
            # Nobody signs half a file: what was signed must open by itself.
            is_intact = None
            why += " The part that was signed is no whole PDF."
        if changed:
            why += f" Since then these fields were changed: {', '.join(changed)}."
    return Seal(
        state=SealState.SIGNED,
        is_intact=is_intact,
        covers_file=check.covers_file,
        added_bytes=check.added_bytes,
        changed_fields=changed,
        why=f"{why} {NOT_JUDGED}",
    )


def _changed_since(fields: Sequence[Field], signed: bytes) -> tuple[str, ...]:
    """Name the fields whose value is not the one they had in the signed part of the file."""
    with opened(signed) as document:
        signed = copy_unlocked(document) if is_locked(document) else signed
    groups = grouped(pypdf.PdfReader(BytesIO(signed)))
    before = {name: read_value(boxes) for name, boxes in groups.items()}
    return tuple(field.name for field in fields if field.value != before.get(field.name, ""))
