"""Which boxes of a choice the fields of a filled PDF show as ticked."""

from compliance.engine.choices import BETWEEN, find_boxes
from compliance.forms.model import Blank
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead

_BOXES = (FieldKind.CHECK, FieldKind.RADIO)


def read_boxes(read: FieldsRead, names: tuple[str, ...], blank: Blank) -> str:
    """Give the ticked boxes among the named fields, a semicolon between several.

    A box is called by the word of the choice that its label, help or name holds; one that holds
    none is called by the name of its field, so that somebody has to look.
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
    return f"field {field.name.replace(BETWEEN.strip(), ' ')}"
