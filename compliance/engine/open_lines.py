"""What an answers file has no value for yet: every open blank, with what is to be written."""

from collections.abc import Iterator
from dataclasses import replace

from compliance.engine.check_model import CheckContext
from compliance.engine.check_sheets import Sheet, open_case
from compliance.engine.crosschecks_blanks import is_certificate
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions import compute_questions
from compliance.engine.questions_blanks import DATES
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Status
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
_UNSAID = (None, "", ())


def list_open_lines(context: CheckContext) -> tuple[OpenLine, ...]:
    """Give every line of the packet's papers and its envelope that nobody has answered.

    Among them is what will be asked about signing and envelope once the papers are filled in.
    Papers that stay with you are left out.
    """
    sheets = tuple(
        sheet
        for enclosure in open_case(context).enclosures
        if not enclosure.is_kept
        for sheet in enclosure.sheets
    )
    lines = tuple(line for sheet in sheets for line in _of_sheet(sheet))
    return (*lines, *_list_of_envelope(context, sheets))


def _list_of_envelope(context: CheckContext, sheets: tuple[Sheet, ...]) -> Iterator[OpenLine]:
    """Give the open lines of signing and envelope: of now, before the notary signs, and after."""
    later = [context]
    for with_notary in (False, True):
        filled = [one for sheet in sheets for one in _fill_in(sheet, with_notary=with_notary)]
        later.append(replace(context, answers=(*context.answers, *filled)))
    notes: dict[str, str] = {}
    for stage in later:
        for question in compute_questions(stage):
            if not question.document and getattr(context.envelope, question.blank) in _UNSAID:
                notes.setdefault(question.blank, f"{question.text}{_say_how(question)}")
    for name in EnvelopeAnswers.__slots__:
        if name in notes:
            yield OpenLine(document="", sheet=1, blank=name, note=notes[name])


def _fill_in(sheet: Sheet, *, with_notary: bool) -> Iterator[Answer]:
    """Give the missing answers of a sheet on which every blank that must be filled in is."""
    for name in (ENCLOSED, *(blank.id for blank in sheet.template.blanks if blank.must)):
        blank = sheet.template.find_blank(name)
        is_left = blank is not None and is_certificate(blank) and not with_notary
        if sheet.status(name) is None and not is_left:
            yield Answer(
                document=sheet.document, sheet=sheet.number, blank=name, status=Status.FILLED
            )


def _say_how(question: Question) -> str:
    if question.blank == "id_expires":
        return " (year-month-day; not needed once the notary has signed)"
    if question.blank == "notary_state":
        return " (two letters or its name, for example NE or Nebraska)"
    if question.blank == "address_on_envelope":
        online = ", or online if you file it online" if question.help else ""
        return f" (write out the address that stands on it{online})"
    if question.kind is QuestionKind.CHOICE:
        return f" (one of: {', '.join(question.choices)})"
    if question.kind is QuestionKind.YES_NO:
        return " (yes, or the reason written out)" if question.expected else " (yes or no)"
    return ""


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
