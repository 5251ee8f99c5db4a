"""Cross-check on choices: exactly one box, and the one that fits the facts."""

from collections.abc import Iterator

from compliance.engine.check_facts import find_fact
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import Case, Crosscheck, Sheet
from compliance.engine.choices import find_boxes
from compliance.facts.basis import Confidence
from compliance.facts.model import EntityType
from compliance.forms.model import Blank

ENTITY = "operation.entity"
_ENTITIES = frozenset(str(one) for one in EntityType)


def check_choice(case: Case) -> Iterator[CheckFinding]:
    """Refuse two boxes where one is asked for, and a box that the facts contradict."""
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            if blank.one_of and sheet.is_filled(blank.id):
                yield from _check_boxes(case, sheet, blank)


def _check_boxes(case: Case, sheet: Sheet, blank: Blank) -> Iterator[CheckFinding]:
    boxes = find_boxes(blank, sheet.says(blank.id))
    fact = find_fact(case.context, blank.equals) if blank.equals else ""
    ticked = ", ".join(f"`{box}`" for box in boxes)
    if len(boxes) > 1:
        sentence = f"`{blank.label}`: {len(boxes)} boxes are ticked ({ticked}), only one may be."
        yield sheet.stop(blank, sentence, "Fill in a fresh form and tick one box.")
    elif not boxes or boxes[0] not in blank.one_of:
        # Without a fact to compare, a form may print a box that is not in our list.
        if fact or not boxes:
            said = f"says {ticked}" if boxes else "is ticked"
            sentence = f"`{blank.label}` {said}, but nobody has said which box it is."
            yield sheet.open(blank, sentence, f"Which box is ticked: {', '.join(blank.one_of)}?")
    elif fact and boxes[0] != fact and boxes[0] in _ENTITIES:
        sentence = f"`{blank.label}`: the box {ticked} is ticked, the facts say `{fact}`."
        yield sheet.stop(blank, sentence, "Tick the box that fits, on a fresh form.")
    elif fact and boxes[0] != fact:
        sentence = f"`{blank.label}`: the box {ticked} is ticked, the facts say only `{fact}`."
        yield sheet.note(blank, sentence, "Make sure that this is the right one.")


ONE_BOX = Crosscheck(
    id="one-box",
    title="Of a choice exactly one box is ticked, and it fits the facts",
    citation="14 CFR 47.31(b)(1); the boxes of the form from memory",
    confidence=Confidence.MEMORY,
    example="A company applies, and the box for an individual is ticked.",
    run=check_choice,
)
