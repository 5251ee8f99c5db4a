"""What the fields of a filled PDF say about the blanks of a sheet, as answers."""

import hashlib
from collections.abc import Iterator

from compliance.app.filled_fields import read_value
from compliance.app.ticked import read_boxes
from compliance.engine.questions_blanks import DATES
from compliance.facts.answers import Answer, Source, Status
from compliance.facts.answers_parse import find_day
from compliance.forms.model import FormTemplate
from compliance.scan.acroform_findings import BlankFinding
from compliance.scan.model import Seen
from compliance.scan.pdf_model import FieldsRead, Shown

_MOST_SHOWN = 40
STATUS = {
    Seen.PRESENT: Status.FILLED,
    Seen.MISSING: Status.EMPTY,
    Seen.CANNOT_TELL: Status.UNCLEAR,
}
"""How a blank stands by what was seen of it."""


def answer_field(
    read: FieldsRead,
    finding: BlankFinding,
    sheet: tuple[str, int],
    data: bytes,
    template: FormTemplate,
) -> Answer:
    """Give the answer about a blank from its fields; *sheet* is the document and its number."""
    blank = template.find_blank(finding.blank.id)
    says = read_value(read, finding.fields)
    if blank is not None and blank.one_of:
        says = read_boxes(read, finding.fields, blank) or says
    is_day = finding.seen is Seen.PRESENT and finding.blank.kind in DATES
    return Answer(
        document=sheet[0],
        blank=finding.blank.id,
        status=STATUS[finding.seen],
        says=says if finding.seen is Seen.PRESENT else "",
        on=find_day(says.strip()) if is_day else None,
        sheet=sheet[1],
        source=Source.PDF,
        seen_in=hashlib.sha256(data).hexdigest(),
    )


def say_without_answer(
    answers: tuple[Answer, ...], findings: tuple[BlankFinding, ...], sheet: tuple[str, int]
) -> Iterator[str]:
    """Name the blanks this PDF has no field for, those already answered apart."""
    answered = {one.blank for one in answers if (one.document, one.sheet) == sheet}
    without = [one.blank for one in findings if not one.fields]
    still = [blank.label for blank in without if blank.id not in answered]
    kept = [blank.label for blank in without if blank.id in answered]
    if kept:
        yield f"no field in this PDF, so your answer stays: {', '.join(kept)}"
    if still:
        yield f"no field in this PDF, so it is still to be answered: {', '.join(still)}"


def say_print(read: FieldsRead, findings: tuple[BlankFinding, ...]) -> Iterator[str]:
    """Say where a PDF does not print what its fields hold: signs left out, then whole blanks."""
    yield from _say_cleaned(read)
    unprinted = {one.name for one in read.fields if one.shown is not Shown.AS_HELD}
    for finding in findings:
        if finding.seen is Seen.CANNOT_TELL and not unprinted.isdisjoint(finding.fields):
            yield f"{finding.blank.label}: {finding.why}"


def _say_cleaned(read: FieldsRead) -> Iterator[str]:
    """Name the fields that held signs which do not print, in one line, with how they are read."""
    held = [
        f"`{' '.join((one.label_nearby or one.tooltip or one.name).split())}` is read as"
        f" `{' '.join(one.value.split())[:_MOST_SHOWN]}`"
        for one in read.fields
        if one.name in read.cleaned
    ]
    if held:
        yield f"signs that do not print were left out of this PDF: {'; '.join(held)}"
