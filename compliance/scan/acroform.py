"""Read the fields of a fillable PDF, with somebody else's file kept at arm's length."""

from dataclasses import replace
from typing import Any

from compliance.base.signs import drop_signs, has_signs
from compliance.scan.pdf_model import (
    Field,
    FieldKind,
    FieldsRead,
    Mark,
    PdfKind,
    Place,
    Seal,
    SealState,
    Shown,
)
from compliance.scan.sandbox import run_bounded

_NO_TEXT = (FieldKind.CHECK, FieldKind.RADIO, FieldKind.BUTTON, FieldKind.SIGNATURE)


def read_fields(data: bytes) -> FieldsRead:
    """Read every field of a PDF with its value, its place and the words beside it.

    Signs that do not print are left out of its texts; ``cleaned`` names the fields that held some.

    Shape: a PDF that needs a password or cannot be opened comes back with no fields, its kind and
    a sentence. No fields in a file that should have some means that only its picture can be
    judged, never that it is complete.

    Raises:
        RefusedError: It is no PDF, too large, has too many pages or fields, or takes too long.
    """
    answer, _ = run_bounded("fields", data)
    read = tuple(_field(item) for item in answer["fields"])
    fields = tuple(_clean(field) for field in read)
    if len({field.name for field in fields}) < len(read):
        fields = tuple(replace(new, name=old.name) for new, old in zip(fields, read, strict=True))
    return FieldsRead(
        kind=PdfKind(answer["kind"]),
        why=answer["why"],
        fields=fields,
        cleaned=tuple(
            new.name for new, old in zip(fields, read, strict=True) if has_signs(old.value)
        ),
        marks=tuple(
            Mark(kind=item["kind"], place=Place(**item["place"])) for item in answer["marks"]
        ),
        has_xfa=answer["has_xfa"],
        heading=drop_signs(answer["heading"]),
        printed=tuple(_clean_place(Place(**place)) for place in answer["printed"]),
    )


def _clean(field: Field) -> Field:
    """Leave out of the texts of a field what does not print."""
    value = drop_signs(field.value)
    return replace(
        field,
        name=drop_signs(field.name) or field.name,
        value=value,
        is_empty=field.is_empty or not (value.strip() or field.kind in _NO_TEXT),
        shown_text=drop_signs(field.shown_text),
        tooltip=drop_signs(field.tooltip),
        places=tuple(_clean_place(place) for place in field.places),
    )


def _clean_place(place: Place) -> Place:
    return replace(place, label=drop_signs(place.label))


def _field(item: dict[str, Any]) -> Field:
    parts = {
        "kind": FieldKind(item["kind"]),
        "shown": Shown(item["shown"]),
        "places": tuple(Place(**place) for place in item["places"]),
        "seal": _seal(item["seal"]),
    }
    return Field(**{**item, **parts})


def _mark(item: dict[str, Any]) -> Mark:
    return Mark(kind=item["kind"], place=Place(**item["place"]))


def _seal(item: dict[str, Any] | None) -> Seal | None:
    if item is None:
        return None
    parts = {
        "state": SealState(item["state"]),
        "changed_fields": tuple(item["changed_fields"]),
    }
    return Seal(**{**item, **parts})
