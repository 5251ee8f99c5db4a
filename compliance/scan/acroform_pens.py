"""Tell a field for a signature from those for the name, title and date that stand beside it.

Their words are nearly the same ("Typed or printed name beside the signature"), and mixing them up
calls an empty name filled.

Source: the words are those met on US forms (common practice, no source); measured in
``tests/scan/test_acroform_pens.py``.
"""

import re

from compliance.scan.pdf_model import Field, FieldKind

_SIGNATURE = "signature"
_ASKED = {
    "name": frozenset({"name", "names", "print", "printed", "typed", "type"}),
    "title": frozenset({"title", "titles", "capacity", "position"}),
    "date": frozenset({"date", "dated", "dates", "day", "month", "year"}),
}
_SIGNED_ON = re.compile(r"\bsigned on\b(?! behalf)")
# One line for both: "Signature and title".
_BOTH = re.compile(r"\bsignatures?\s*(and|&|/|,)|(\band|&|/|,)\s*signatures?\b")
_SIGNS = frozenset({"sig", "sign", "signs", "signed", "signing", "signature", "signatures"})
_PENS = ("signature", "notary-signature")
_TYPED = (FieldKind.TEXT, FieldKind.CHOICE)


def cannot_hold(field: Field, label: str, kind: str) -> bool:
    """Tell whether a field plainly asks for another part of a signing block than a blank does.

    Shape: *label* and *kind* are the blank's. The words beside a field count, then its help, then
    its own name; when the words beside it and its help say different parts, it is none of them.
    """
    if field.kind not in _TYPED:
        return False
    wanted = _SIGNATURE if kind in _PENS else _find_part(label)
    if not wanted:
        return False
    parts = {part for text in (field.label_nearby, field.tooltip) if (part := _find_part(text))}
    if len(parts) > 1:
        return _SIGNATURE in parts
    said = next(iter(parts), "") or _find_part(_split_name(field.name))
    return bool(said) and said != wanted and _SIGNATURE in (said, wanted)


def is_at_odds(field: Field) -> bool:
    """Tell whether a field's own name speaks of a signature and its words on the page do not."""
    beside = _find_part(field.label_nearby) or _find_part(field.tooltip)
    own = _find_part(_split_name(field.name))
    return bool(beside and own) and beside != own and _SIGNATURE in (beside, own)


def asks_for_signature(field: Field) -> bool:
    """Tell whether a typed field stands for the signature itself, by its words, help or name."""
    texts = (field.label_nearby, field.tooltip, _split_name(field.name))
    part = next((part for text in texts if (part := _find_part(text))), "")
    return field.kind in _TYPED and part == _SIGNATURE


def _split_name(name: str) -> str:
    last = re.sub(r"\[\d+\]", "", name.rsplit(".", 1)[-1])
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", last)


def _find_part(text: str) -> str:
    """Give the part of a signing block that a text asks for, empty for none."""
    short = re.sub(r"\([^()]*\)", " ", text)
    low = (short if short.strip() else text).lower()
    if _BOTH.search(low):
        return ""
    if _SIGNED_ON.search(low):
        return "date"
    words = set(re.findall(r"[a-z]+", low))
    part = next((part for part, own in _ASKED.items() if words & own), "")
    return part or (_SIGNATURE if words & _SIGNS else "")
