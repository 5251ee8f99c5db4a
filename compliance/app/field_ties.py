"""Which field of a filled PDF is which blank, written to a file, mended by hand and kept."""

from datetime import date

from sqlmodel import Session

from compliance.app.checking import Checking
from compliance.app.evidence import choose_document
from compliance.app.filled_fields import keep_ties, tie_fields
from compliance.app.looking import named, refuse_picture
from compliance.app.resources import read_binary, read_user_text
from compliance.base.problems import DataProblemsError, RefusedError
from compliance.base.reading import Reader, suggest
from compliance.base.sources import parse_yaml
from compliance.base.yaml_text import render_yaml
from compliance.forms.model import FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.acroform_match import FieldMatch
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, PdfKind

_NONE = "none"
_BY_HAND = "Tied by hand."


def render_ties(session: Session, checking: Checking, path: str, document: str) -> str:
    """Write the fields of a PDF and the blank each is, kept or proposed, as YAML.

    Raises:
        NotFoundError: There is no such file or document.
        RefusedError: The file has no fields that can be read.
    """
    _, template = choose_document(checking, document)
    read = _read(path, checking.packet)
    matches, _ = tie_fields(session, read, template)
    blanks = {one.field: one.blank for one in matches}
    rows = [
        {
            "field": field.name,
            "beside": " ".join((field.label_nearby or field.tooltip).split()) or _NONE,
            "blank": blanks.get(field.name, _NONE),
        }
        for field in _list_shown(read)
    ]
    head = [
        "# Behind `blank` write which blank of the form a field is, or none. The blanks are:",
        *(f"#   {blank.id}: {blank.label}" for blank in template.blanks),
    ]
    return "\n".join([*head, render_yaml({"form": template.id, "fields": rows})])


def take_ties(
    session: Session, checking: Checking, path: str, document: str, ties: str, on: date
) -> int:
    """Keep the ties of a file that was mended by hand for this edition of the form.

    Shape: how many fields have a blank.

    Raises:
        NotFoundError: There is no such file or document.
        RefusedError: The PDF has no fields that can be read.
        DataProblemsError: The file of ties has faults, all of them listed; nothing was kept.
    """
    _, template = choose_document(checking, document)
    read = _read(path, checking.packet)
    matches = _read_ties(ties, template, _list_shown(read))
    keep_ties(session, read, template, matches, on)
    return len(matches)


def _read(path: str, packet: str) -> FieldsRead:
    data = read_binary(path)
    refuse_picture(path, data, packet)
    with named(path):
        read = read_fields(data)
    if read.kind is not PdfKind.FILLABLE:
        raise RefusedError(
            f"{path}: {read.why}",
            hint="only a PDF with fields has ties; show its pages with --scan",
        )
    return read


def _list_shown(read: FieldsRead) -> tuple[Field, ...]:
    return tuple(
        field
        for field in read.fields
        if field.places and not field.is_hidden and field.kind is not FieldKind.BUTTON
    )


def _read_ties(
    path: str, template: FormTemplate, fields: tuple[Field, ...]
) -> tuple[FieldMatch, ...]:
    root, faults = parse_yaml(read_user_text(path), path)
    problems = list(faults)
    found: dict[str, str] = {}
    if root is not None:
        reader = Reader(root, "the file", "T", problems)
        reader.choice("form", (template.id,))
        for node in reader.items("fields", required=True):
            _read_tie(Reader(node, "a field", "T", problems), template, fields, found)
        reader.finish()
    if problems:
        raise DataProblemsError(tuple(problems))
    return tuple(
        FieldMatch(field=field.name, blank=found[field.name], score=1.0, why=_BY_HAND)
        for field in fields
        if found.get(field.name, _NONE) != _NONE
    )


def _read_tie(
    reader: Reader, template: FormTemplate, fields: tuple[Field, ...], found: dict[str, str]
) -> None:
    """Read one field with its blank into *found*: name of the field -> blank."""
    said = reader.text("field")
    names = {field.name.strip(): field.name for field in fields}
    reader.text("beside", required=False)
    blank = reader.choice("blank", (_NONE, *(blank.id for blank in template.blanks)))
    if said and said not in names:
        sentence = f"the PDF has no field `{said}`"
        reader.note("24", reader.place_of("field"), sentence, suggest(said, names))
    elif said and names[said] in found:
        reader.note("25", reader.place_of("field"), f"the field `{said}` stands twice")
    elif said:
        found[names[said]] = blank
    reader.finish()
