"""Papers that a person gives anew by word: older ink says nothing of them.

Common practice, no source: nobody mends a typed name or number on a signed paper, and what was
crossed out or written over is mended on a fresh form. See :mod:`compliance.app.new_print` for
prints that a filled PDF stands for.
"""

from collections.abc import Iterator
from dataclasses import replace

from compliance.app.checking import Checking
from compliance.app.earlier_pictures import mark_sheet
from compliance.app.new_print import forget_answers, leave_prints, put_envelope
from compliance.app.print_texts import list_retold
from compliance.engine.check_model import Key
from compliance.engine.check_sheets import SIGNING_DAYS, Sheet, open_case
from compliance.engine.crosschecks_documents import dislikes_corrections
from compliance.facts.answers import Answer, Source
from compliance.forms.model import Blank, BlankKind, FormTemplate


def _is_by_hand(blank: Blank) -> bool:
    """Tell whether a blank is written at the signing or by the notary, so on one print alone."""
    return blank.kind is BlankKind.SIGNATURE or blank.kind.is_notarial or blank.id in SIGNING_DAYS


def leave_older_ink(before: Checking, after: Checking) -> tuple[Checking, tuple[str, ...]]:
    """Ask again of the ink of every sheet of which a person now gives another text.

    So are all papers that must have no change, once somebody who saw one says that there is none.
    Signatures, signing days and the notary's certificate of which the answers given in this run
    speak too are left: those are of the paper with the new text.

    Shape: the check without the older ink and pictures, and a sentence for each such sheet.
    """
    told = {_key(one) for one in after.given.answers} if after.given is not None else set()
    lines: list[str] = []
    for document, sheet, title, form in _list_sheets(after):
        pairs = list_retold(before.context.answers, after.context.answers, form, (document, sheet))
        if not pairs:
            continue
        blank, old, new = pairs[0]
        after = leave_prints(mark_sheet(after, (document, sheet)), (document, sheet), new.says)
        lost = _list_ink(after, (document, sheet), form, told)
        after = put_envelope(forget_answers(after, lost))
        if lost:
            lines.append(
                f"`{title}`: you say `{new.says}` under `{blank.label}`, before it was"
                f" `{old.says}`: another print. What was said or seen of {_name(lost, form)} is"
                " asked again."
            )
    after, more = _leave_corrected(before, after, told)
    return after, (*lines, *more)


def _leave_corrected(
    before: Checking, after: Checking, told: set[Key]
) -> tuple[Checking, tuple[str, ...]]:
    """Ask again of the ink of papers with a change once a person says that they have none.

    Pictures taken before the change was seen show the old form.
    """
    was, now = (one.context.envelope.no_corrections for one in (before, after))
    if now is False and was is not False:
        for sheet in _list_clean(after):
            after = mark_sheet(after, (sheet.document, sheet.number))
    if not (was is False and now):
        return after, ()
    earlier = {one.sha256 for one in after.pictures if one.is_earlier}
    lines: list[str] = []
    for sheet in _list_clean(after):
        lost = tuple(
            one
            for one in _list_ink(after, (sheet.document, sheet.number), sheet.template, told)
            if one.source is Source.PERSON or one.seen_in in earlier
        )
        after = forget_answers(after, lost)
        if lost:
            lines.append(
                f"`{sheet.title}`: without a change it is a fresh form. What was said or seen of"
                f" {_name(lost, sheet.template)} is asked again."
            )
    envelope = replace(after.context.envelope, no_corrections=True)
    return replace(after, context=replace(after.context, envelope=envelope)), tuple(lines)


def _list_clean(checking: Checking) -> Iterator[Sheet]:
    """Give the sheets that must have no change on them."""
    yield from (one for one in open_case(checking.context).sheets if dislikes_corrections(one))


def _list_ink(
    checking: Checking, sheet: tuple[str, int], form: FormTemplate, told: set[Key]
) -> tuple[Answer, ...]:
    ink = {blank.id for blank in form.blanks if _is_by_hand(blank)}
    return tuple(
        one
        for one in checking.context.answers
        if (one.document, one.sheet) == sheet and one.blank in ink and _key(one) not in told
    )


def _name(lost: tuple[Answer, ...], form: FormTemplate) -> str:
    names = {one.blank for one in lost}
    return ", ".join(f"`{blank.label}`" for blank in form.blanks if blank.id in names)


def _list_sheets(checking: Checking) -> Iterator[tuple[str, int, str, FormTemplate]]:
    """Give the sheets about which something is answered, each with its title and its form."""
    answered = {(one.document, one.sheet) for one in checking.context.answers}
    for enclosure in open_case(checking.context).enclosures:
        for one in enclosure.sheets:
            if (one.document, one.number) in answered:
                yield one.document, one.number, one.title, one.template


def _key(answer: Answer) -> Key:
    return answer.document, answer.sheet, answer.blank
