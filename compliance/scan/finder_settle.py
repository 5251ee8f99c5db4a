"""What a blank is for when its own words do not tell: its neighbours and its column decide."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

import re
from collections.abc import Sequence

from compliance.scan.finder_kinds import find_kind, is_role, is_sworn_role
from compliance.scan.finder_shapes import Slot

ROOM_TO_SIGN = 26.0
"""Over a line to sign on this much is left free, in points."""
_CHOICES = re.compile(
    r"^(yes|no|n/?a|none|good|fair|bad|poor|ok|pass|fail|true|false|done|agree|disagree|always|"
    r"never|sometimes|satisfactory|unsatisfactory|new|worn|full|empty|x)\b",
    re.IGNORECASE,
)
_BARE_DATE = re.compile(r"^\W*(date|date signed|dated|signed on)\W*$", re.IGNORECASE)


def are_choices(heads: Sequence[str]) -> bool:
    """Tell whether the headings of columns side by side are answers to be ticked.

    >>> are_choices(("Good", "Bad", "None there")), are_choices(("Model", "New"))
    (True, False)
    """
    named = sum(_CHOICES.match(head.strip()) is not None for head in heads)
    brief = all(len(head.split()) <= 3 for head in heads)
    return len(heads) > 1 and brief and named >= 2 and 2 * named >= len(heads)


def is_signed(slot: Slot, slots: Sequence[Slot]) -> bool:
    """Tell whether a line named only by who is meant, such as "Pilot", is to be signed.

    It is when such a person does nothing else on a form, as a witness; when a bare "Date" stands
    further right on the same height; or when much room is left over a line with its words under
    it and who is meant is no firm, whose name is as likely asked for.
    """
    if slot.how != "rule" or slot.sort == "check":
        return False
    label = slot.label.split(": ")[-1]
    if is_sworn_role(label) or is_sworn_role(re.sub(r"e?s\W*$", "", label)):
        return slot.height >= 14
    if not is_role(label):
        return False
    return slot.sort == "role" or any(
        abs(other.bottom - slot.bottom) < 4
        and other.left > slot.left
        and _BARE_DATE.match(other.label)
        for other in slots
        if other is not slot
    )


def find_cell_kind(label: str) -> str:
    """Give the kind of a blank in a table whose label joins the words of its row and column.

    >>> find_cell_kind("Checked on, Motors"), find_cell_kind("Motors, Model")
    ('date', 'text')
    """
    kind = find_kind(label)
    first, _, rest = label.partition(", ")
    return find_kind(first) if kind == "text" and rest else kind
