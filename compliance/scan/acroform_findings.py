"""Say for every blank of a form whether the fields of the PDF hold something for it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from compliance.scan.acroform_match import BlankWanted, FieldMatch
from compliance.scan.model import Seen
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
from compliance.scan.pdf_places import compute_cover

_PENS = ("signature", "notary-signature")
_TICKS = (FieldKind.CHECK, FieldKind.RADIO)
# Words a blank form puts into its own fields to say what belongs there.
_PLACEHOLDER = re.compile(
    r"\W*(select|choose|pick|enter|type|click|sign|insert)\s+"
    r"(one|a|an|any|your|the|here|from|to|date|name|state|text|value)\b.*"
    r"|\W*(please|click)\s.*"
    r"|[md]{1,2}[/.\- ][md]{1,2}[/.\- ]y{2,4}|y{4}|x{2,}|[-._?*\s]+",
    re.IGNORECASE | re.DOTALL,
)
# A mask of a date, a number or a telephone: marks, or letters that stand for what belongs there.
_MASK = re.compile(
    r"[\W_]*(?:(?:m{1,4}|d{1,2}|y{2,4}|h{1,2}|x+|mmdd(?:yy){1,2}|ddmm(?:yy){1,2})(?:[\W_]+|$))*",
    re.IGNORECASE,
)
_SHARE_IN_FIELD = 0.3
_SHOWN = 60

Verdict = tuple[Seen, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankFinding:
    """What the fields say about a blank, and where to look.

    "Present" never means that a signature is genuine, a stamp valid or a value right.
    """

    blank: BlankWanted
    seen: Seen
    why: str
    fields: tuple[str, ...] = ()
    places: tuple[Place, ...] = ()


def is_placeholder(text: str) -> bool:
    """Tell whether a text is what a blank form puts into its own fields as a hint or a mask.

    A lone letter or mark is no mask: it may be somebody's cross.
    """
    plain = text.strip()
    is_mask = len(plain) > 1 and _MASK.fullmatch(plain) is not None
    return is_mask or _PLACEHOLDER.fullmatch(plain) is not None


def compute_findings(
    read: FieldsRead, mapping: Sequence[FieldMatch], blanks: Sequence[BlankWanted]
) -> tuple[BlankFinding, ...]:
    """Say for every blank present, missing or cannot tell, with the reason.

    Shape: one finding for each blank, in their order. A PDF without fields gives only "cannot
    tell": its picture has to be judged.
    """
    by_name = {field.name: field for field in read.fields}
    found: dict[str, list[Field]] = {}
    for match in mapping:
        if match.field in by_name:
            found.setdefault(match.blank, []).append(by_name[match.field])
    return tuple(_finding(read, blank, found.get(blank.id, [])) for blank in blanks)


def _finding(read: FieldsRead, blank: BlankWanted, fields: Sequence[Field]) -> BlankFinding:
    if read.kind is not PdfKind.FILLABLE:
        seen, why = Seen.CANNOT_TELL, read.why
    elif not fields:
        seen, why = Seen.CANNOT_TELL, "No field of the PDF was found for it; look at the page."
    else:
        seen, why = _judge(blank, fields, read.marks)
    if read.has_xfa and seen is Seen.PRESENT:
        why += " The file also keeps its values in another form language, which may differ."
    return BlankFinding(
        blank=blank,
        seen=seen,
        why=why,
        fields=tuple(field.name for field in fields),
        places=tuple(place for field in fields for place in field.places),
    )


def _judge(blank: BlankWanted, fields: Sequence[Field], marks: Sequence[Mark]) -> Verdict:
    verdicts = {field.name: _judge_field(blank, field, marks) for field in fields}
    if blank.kind == "check":
        # One box of a row is enough.
        order = (Seen.PRESENT, Seen.CANNOT_TELL, Seen.MISSING)
        return min(verdicts.values(), key=lambda verdict: order.index(verdict[0]))
    if len(verdicts) == 1:
        return next(iter(verdicts.values()))
    return _join(fields, verdicts)


def _join(fields: Sequence[Field], verdicts: Mapping[str, Verdict]) -> Verdict:
    """Judge a blank that is split over several fields, such as an address."""
    empty = [field for field in fields if verdicts[field.name][0] is Seen.MISSING]
    unsure = [verdict for verdict in verdicts.values() if verdict[0] is Seen.CANNOT_TELL]
    if not empty:
        return unsure[0] if unsure else (Seen.PRESENT, f"All {len(fields)} fields are filled in.")
    names = ", ".join(field.label_nearby or field.name for field in empty)
    if len(empty) == len(fields):
        return Seen.MISSING, f"All {len(fields)} fields are empty: {names}."
    if any(field.is_required for field in empty):
        return Seen.MISSING, f"A field that the form asks for is empty: {names}."
    return Seen.CANNOT_TELL, f"{len(empty)} of {len(fields)} fields are empty: {names}."


def _judge_field(blank: BlankWanted, field: Field, marks: Sequence[Mark]) -> Verdict:
    over = {mark.kind for mark in marks if _lies_on(mark, field)}
    if field.seal is not None:
        return _judge_seal(field.seal, over)
    if not field.is_empty:
        return _judge_held(blank, field)
    if field.kind in _TICKS:
        return _or_drawn(over, "No box is ticked.")
    if blank.kind in _PENS and "Ink" in over:
        return Seen.PRESENT, "Drawn with a pen tool; an office may want ink on paper."
    return _or_drawn(over, "The field has only blanks." if field.value else "The field is empty.")


def say_unprinted(field: Field) -> str:
    """Say that what a field holds is not what would be printed, and what to do."""
    if field.shown is Shown.CUT:
        part = f"only “{_shorten(field.shown_text)}” would be printed"
        return (
            f"The field's box is too small for “{_shorten(field.value)}”: "
            f"{part if field.shown_text else 'no letter of it would be printed whole'}; write it "
            "shorter or in smaller letters, or print it and say what stands there."
        )
    is_tick = field.kind in _TICKS
    what = "no tick" if is_tick else "nothing"
    if field.shown is Shown.OTHER:
        what = f"“{_shorten(field.shown_text)}”"
    held = f"“{_shorten(field.value)}”"
    says = f"box {held} is ticked" if is_tick else f"field says {held}"
    return (
        f"The file's {says}, but {what} would be printed: print it, look, and say what stands "
        "there."
    )


def _shorten(text: str) -> str:
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."


def _judge_held(blank: BlankWanted, field: Field) -> Verdict:
    """Judge a field that holds something, which may not be what prints."""
    shown = _shorten(field.value)
    if field.kind not in _TICKS and is_placeholder(field.value):
        return Seen.CANNOT_TELL, f"“{shown}” looks like the form's own hint."
    if field.shown is not Shown.AS_HELD:
        return Seen.CANNOT_TELL, say_unprinted(field)
    if field.kind in _TICKS:
        return Seen.PRESENT, f"Ticked: {field.value}."
    if blank.kind in _PENS:
        return Seen.CANNOT_TELL, f"A name is typed (“{shown}”); an office may not take it."
    came = ", the value that the form came with" if field.is_preset else ""
    return Seen.PRESENT, f"“{shown}”{came}."


def _or_drawn(over: set[str], empty: str) -> Verdict:
    if over:
        return Seen.CANNOT_TELL, f"{empty} But something is drawn, typed or stamped over it."
    return Seen.MISSING, empty


def _judge_seal(seal: Seal, over: set[str]) -> Verdict:
    if seal.state is SealState.UNSIGNED:
        return _or_drawn(over, "It is not signed.")
    if seal.state is SealState.DRAWN:
        return Seen.PRESENT, f"{seal.why} An office may want ink on paper."
    if seal.is_intact is not True or seal.changed_fields:
        return Seen.CANNOT_TELL, f"It is signed, but look at it. {seal.why}"
    return Seen.PRESENT, f"Signed with a certificate. {seal.why}"


def _lies_on(mark: Mark, field: Field) -> bool:
    return any(compute_cover(mark.place, place) >= _SHARE_IN_FIELD for place in field.places)
