"""What a person's answers say against what a file or picture showed: they count, but it is said."""

from collections.abc import Iterator

from compliance.app.checking import Checking
from compliance.engine.check_sheets import name_of
from compliance.facts.answers import Answer, Source, Status

_SHOWN = {Status.EMPTY: "empty", Status.UNCLEAR: "not clear"}
_BY = {Source.PHOTO: "a picture", Source.PDF: "a PDF"}


def say_overruled(before: Checking, after: Checking) -> Iterator[str]:
    """Name the blanks that answers now call filled in though a file or picture showed otherwise.

    An answers file given again may be older than the picture, and nobody would notice.
    """
    context = after.context
    rows = context.paper.packet.documents
    forms = {name_of(row): context.templates.get(row.template) for row in rows}
    shown = {_key(one): one for one in before.context.answers}
    for one in context.answers:
        old, form = shown.get(_key(one)), forms.get(one.document)
        if old is None or form is None or not _is_overruled(old, one):
            continue
        blank = form.find_blank(one.blank)
        label = blank.label if blank is not None else one.blank
        yield (
            f"`{form.title}`: {_BY[old.source]} showed `{label}` {_SHOWN[old.status]}, the answers"
            " given now say that it is filled in, and they count. Look at the paper; if they are"
            " older than it, take that line out and look at it again with --scan or --file."
        )


def _is_overruled(old: Answer, new: Answer) -> bool:
    was_shown = old.source in _BY and old.status in _SHOWN
    return was_shown and new.source is Source.PERSON and new.status is Status.FILLED


def _key(answer: Answer) -> tuple[str, int, str]:
    return answer.document, answer.sheet, answer.blank
