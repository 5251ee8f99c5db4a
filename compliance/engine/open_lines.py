"""What an answers file has no value for yet: every open blank, with what is to be written."""

from collections.abc import Iterator

from compliance.engine.check_model import CheckContext
from compliance.engine.check_sheets import Sheet, open_case
from compliance.engine.questions import compute_questions
from compliance.engine.questions_blanks import DATES
from compliance.facts.answers import ENCLOSED
from compliance.facts.answers_write import OpenLine
from compliance.forms.model import Blank, FilledBy

_WHO = {
    FilledBy.OWNER: "you fill it in",
    FilledBy.PILOT: "the pilot fills it in",
    FilledBy.SELLER: "the seller fills it in",
    FilledBy.NOTARY: "the notary fills it in",
    FilledBy.INSURER: "the insurer fills it in",
    FilledBy.MAKER: "the maker fills it in",
    FilledBy.REGISTRY: "the registry fills it in",
    FilledBy.OFFICE: "whoever issues the paper fills it in",
}


def list_open_lines(context: CheckContext) -> tuple[OpenLine, ...]:
    """Give every line of the packet's papers and its envelope that nobody has answered.

    Papers that stay with you are left out.
    """
    return tuple(
        line
        for enclosure in open_case(context).enclosures
        if not enclosure.is_kept
        for sheet in enclosure.sheets
        for line in _of_sheet(sheet)
    ) + tuple(
        OpenLine(document="", sheet=1, blank=question.blank, note=question.text)
        for question in compute_questions(context)
        if not question.document and not getattr(context.envelope, question.blank)
    )


def _of_sheet(sheet: Sheet) -> Iterator[OpenLine]:
    names = {ENCLOSED: f"{sheet.title}: original, copy or no"}
    names |= {blank.id: _note(blank) for blank in sheet.template.blanks}
    for name, note in names.items():
        if sheet.status(name) is None:
            yield OpenLine(document=sheet.document, sheet=sheet.number, blank=name, note=note)


def _note(blank: Blank) -> str:
    who = _WHO[blank.filled_by]
    left = "" if blank.must else "; may be left"
    if blank.kind in DATES:
        how = "; year-month-day"
    elif blank.one_of:
        how = f"; one of: {', '.join(blank.one_of)}"
    else:
        how = "; yes or no" if blank.is_mark else ""
    return f"{blank.label} ({who}{left}{how})"
