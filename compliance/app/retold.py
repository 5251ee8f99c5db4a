"""Texts that a person gives anew: the paper is another print, and older ink says nothing of it.

Common practice, no source: nobody mends a typed name or number on a signed paper. See
:mod:`compliance.app.new_print` for prints that a filled PDF stands for.
"""

from collections.abc import Iterator

from compliance.app.checking import Checking
from compliance.app.earlier_pictures import mark_sheet
from compliance.app.new_print import forget_answers, leave_prints, put_envelope
from compliance.app.print_texts import list_retold
from compliance.engine.check_sheets import name_of
from compliance.facts.answers import Answer
from compliance.forms.model import BlankKind, FormTemplate

_INK = frozenset({BlankKind.SIGNATURE, BlankKind.NOTARY_SIGNATURE, BlankKind.NOTARY_STAMP})


def leave_older_ink(before: Checking, after: Checking) -> tuple[Checking, tuple[str, ...]]:
    """Ask again of the ink of every sheet of which a person now gives another text.

    Signatures and stamps of which the answers given in this run speak too are left: those are of
    the paper with the new text.

    Shape: the check without the older ink and pictures, and a sentence for each such sheet.
    """
    told = {_key(one) for one in after.given.answers} if after.given is not None else set()
    lines: list[str] = []
    for document, sheet, form in _list_sheets(after):
        pairs = list_retold(before.context.answers, after.context.answers, form, (document, sheet))
        if not pairs:
            continue
        blank, old, new = pairs[0]
        after = leave_prints(mark_sheet(after, (document, sheet)), (document, sheet), new.says)
        ink = {blank.id for blank in form.blanks if blank.kind in _INK}
        lost = tuple(
            one
            for one in after.context.answers
            if (one.document, one.sheet) == (document, sheet)
            and one.blank in ink
            and _key(one) not in told
        )
        after = put_envelope(forget_answers(after, lost))
        if lost:
            names = {one.blank for one in lost}
            labels = ", ".join(f"`{one.label}`" for one in form.blanks if one.id in names)
            which = f"`{form.title}`" + (f", sheet {sheet}" if sheet > 1 else "")
            lines.append(
                f"{which}: you say `{new.says}` under `{blank.label}`, before it was `{old.says}`:"
                f" another print. What was said or seen of {labels} is asked again."
            )
    return after, tuple(lines)


def _list_sheets(checking: Checking) -> Iterator[tuple[str, int, FormTemplate]]:
    """Give the sheets about which something is answered, each with its form."""
    context = checking.context
    rows = context.paper.packet.documents
    forms = {name_of(row): context.templates.get(row.template) for row in rows}
    for document, sheet in dict.fromkeys((one.document, one.sheet) for one in context.answers):
        form = forms.get(document)
        if form is not None:
            yield document, sheet, form


def _key(answer: Answer) -> tuple[str, int, str]:
    return answer.document, answer.sheet, answer.blank
