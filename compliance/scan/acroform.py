"""Read the fields of a fillable PDF, with somebody else's file kept at arm's length."""

from typing import Any

from compliance.scan.pdf_model import (
    Field,
    FieldKind,
    FieldsRead,
    Mark,
    PdfKind,
    Place,
    Seal,
    SealState,
)
from compliance.scan.sandbox import run_bounded


def read_fields(data: bytes) -> FieldsRead:
    """Read every field of a PDF with its value, its place and the words beside it.

    Shape: a PDF that needs a password or cannot be opened comes back with no fields, its kind and
    a sentence. No fields in a file that should have some means that only its picture can be
    judged, never that it is complete.

    Raises:
        RefusedError: It is no PDF, too large, has too many pages or fields, or takes too long.
    """
    answer, _ = run_bounded("fields", data)
    return FieldsRead(
        kind=PdfKind(answer["kind"]),
        why=answer["why"],
        fields=tuple(_field(item) for item in answer["fields"]),
        marks=tuple(
            Mark(kind=item["kind"], place=Place(**item["place"])) for item in answer["marks"]
        ),
        has_xfa=answer["has_xfa"],
        heading=answer["heading"],
        printed=tuple(Place(**place) for place in answer["printed"]),
    )


def _field(item: dict[str, Any]) -> Field:
    parts = {
        "kind": FieldKind(item["kind"]),
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
