"""Which boxes of a choice the fields of a filled PDF, or pictures of it, show as ticked."""

from collections.abc import Sequence

from compliance.engine.choices import BETWEEN, find_boxes
from compliance.forms.model import Blank
from compliance.scan.model import Region, RegionFinding, Seen
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead

_BOXES = (FieldKind.CHECK, FieldKind.RADIO)
_YES_OR_NO = {"yes", "no"}
_LONGEST = 60
_PLAIN, _MOST_MARKS = 0.98, 2


def read_boxes(read: FieldsRead, names: tuple[str, ...], blank: Blank) -> str:
    """Give the ticked boxes among the named fields, a semicolon between several.

    A box is called by the word of the choice that its label, help or name holds; one that holds
    none is called by the words beside it, else by the name of its field, so that somebody has to
    look.
    """
    ticked = [
        field
        for field in read.fields
        if field.name in names and field.kind in _BOXES and not field.is_empty
    ]
    return BETWEEN.join(_call(field, blank) for field in ticked)


def _call(field: Field, blank: Blank) -> str:
    by_value = (field.value, field.label_nearby, field.tooltip, field.name)
    texts = by_value if field.kind is FieldKind.RADIO else (*by_value[1:], field.value)
    for text in texts:
        boxes = [box for box in find_boxes(blank, text) if box in blank.one_of]
        if len(boxes) == 1:
            return boxes[0]
    near = (_say_words(text, blank) for text in (field.label_nearby, field.tooltip))
    return next(filter(None, near), f"field {field.name.replace(BETWEEN.strip(), ' ')}")


def read_marks(findings: Sequence[RegionFinding], blank: Blank | None) -> str:
    """Give the boxes of a choice that plainly hold ink, a semicolon between several.

    Shape: *findings* are those of all its boxes. Empty when the blank is no choice or nothing is
    sure: one box holds ink and another cannot be told, the only one marked has no name of the
    choice, two marked ones have the same, or the form is known by one place for the whole choice.
    Two marks are two only when both are beyond doubt. Three or more are rather a form printed
    otherwise than its blank than marks, so somebody has to look.
    """
    if blank is None or not blank.one_of:
        return ""
    marked = [at for at, one in enumerate(findings) if one.seen is Seen.PRESENT]
    unsure = any(one.seen is Seen.CANNOT_TELL for one in findings)
    if not marked or len(findings) == 1 or (unsure and len(marked) == 1):
        return ""
    is_plain = all(findings[at].score >= _PLAIN for at in marked)
    if len(marked) > _MOST_MARKS or (len(marked) > 1 and not is_plain):
        return ""
    names = [_name(findings[at].region, blank) for at in marked]
    if len(set(filter(None, names))) < sum(map(bool, names)) or names == [""]:
        return ""
    return BETWEEN.join(
        name or _say_words(findings[at].region.label, blank) or f"box {at + 1} of {len(findings)}"
        for at, name in zip(marked, names, strict=True)
    )


def list_names(findings: Sequence[RegionFinding], blank: Blank | None) -> frozenset[str]:
    """Give the boxes of a choice that places are, those without a name left out."""
    if blank is None:
        return frozenset()
    return frozenset(name for one in findings if (name := _name(one.region, blank)))


def has_both_marked(findings: Sequence[RegionFinding]) -> bool:
    """Tell whether all the boxes of a plain yes or no hold ink, so that nothing is said."""
    words = {one.region.label.strip().lower() for one in findings}
    return words == _YES_OR_NO and all(one.seen is Seen.PRESENT for one in findings)


def _say_words(label: str, blank: Blank) -> str:
    """Give the words beside a box as its name, none when they would be taken for its choices."""
    words = " ".join(label.replace(BETWEEN.strip(), " ").split())
    if len(words) > _LONGEST:
        words = f"{words[:_LONGEST].rsplit(' ', 1)[0]} ..."
    named = any(box in blank.one_of for box in find_boxes(blank, words))
    return "" if named else words


def _name(region: Region, blank: Blank) -> str:
    """Give the word of the choice that stands beside a box, empty when none or several do."""
    boxes = [box for box in find_boxes(blank, region.label) if box in blank.one_of]
    return boxes[0] if len(boxes) == 1 else ""
