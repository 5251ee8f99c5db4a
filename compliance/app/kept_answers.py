"""The answers kept of a check, taken up again: what no longer fits is named and dropped."""

from collections.abc import Mapping

from compliance.engine.check_sheets import name_of
from compliance.engine.plan_model import PaperPlan
from compliance.engine.questions import compute_asked
from compliance.facts.answers import ENCLOSED, EnvelopeAnswers
from compliance.facts.answers_parse import PacketAnswers, parse_answers
from compliance.facts.answers_salvage import LostAnswer, salvage_answers
from compliance.forms.model import FormTemplate

_KEPT = "the answers kept"


def read_kept_answers(
    text: str, paper: PaperPlan, templates: Mapping[str, FormTemplate]
) -> tuple[PacketAnswers, tuple[str, ...]]:
    """Read the answers kept of a packet's check.

    Shape: those that fit the forms of today, and one sentence for each that does not: which packet,
    which paper and blank, and what was answered. The blank counts as never answered then.
    """
    asked = compute_asked(paper, templates)
    said, problems = parse_answers(text, _KEPT, paper.id, asked)
    if said is not None and not problems:
        return said, ()
    said, lost = salvage_answers(text, paper.id, asked)
    return said, tuple(_say(one, paper, templates) for one in lost)


def _say(lost: LostAnswer, paper: PaperPlan, templates: Mapping[str, FormTemplate]) -> str:
    if not lost.blank:
        return f"{paper.id}: the answers kept can no longer be read; everything is asked again"
    rows = {name_of(row): row for row in paper.packet.documents}
    row = rows.get(lost.document)
    template = templates.get(row.template) if row is not None else None
    known = template.find_blank(lost.blank) if template is not None else None
    what = "whether it is enclosed" if lost.blank == ENCLOSED else f"`{lost.blank}`"
    what = f"`{known.label}`" if known is not None else what
    sheet = f" (sheet {lost.sheet})" if lost.sheet > 1 else ""
    if not lost.document and lost.blank not in EnvelopeAnswers.__slots__:
        why = f"is dropped, because nothing of that name is asked any more: {what} of the envelope"
    elif not lost.document:
        why = f"no longer fits and is asked again: {what} of the envelope"
    elif row is None or template is None:
        why = f"is dropped, because the packet has no such paper any more: {what} on "
        why += f"{lost.document}{sheet}"
    elif known is None and lost.blank != ENCLOSED:
        why = f"is dropped, because the form has no such blank any more: {what} on "
        why += f"{row.title}{sheet}"
    else:
        why = f"no longer fits and is asked again: {what} on {row.title}{sheet}"
    return f"{paper.id}: an answer kept {why}" + (f", said: {lost.value}" if lost.value else "")
