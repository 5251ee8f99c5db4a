"""Blanks of a form that no picture was looked at for, because the known form has no place of them.

Somebody who reads that a picture was looked at believes that all of the page was.
"""

from collections.abc import Iterator
from dataclasses import replace

from sqlmodel import Session

from compliance.app.checking import Checking
from compliance.app.known_forms import KnownForm, find_edition
from compliance.engine.check_model import BlankState, CheckFinding, CheckResult, Place, Severity
from compliance.facts.answers import Answer, Source, Status
from compliance.forms.model import Blank, FormTemplate

FILE_BLIND = "file-blind"
"""Name under which a verdict speaks of them; it is no cross-check."""
_LAST = 1000
_GROUPS = (
    ("your word stands for", {Source.PERSON}),
    ("the PDF stands for", {Source.PDF}),
    ("an earlier picture stands for", {Source.PHOTO}),
    ("still to be answered:", {None}),
)


def list_untied(form: KnownForm, template: FormTemplate) -> tuple[Blank, ...]:
    """Give the blanks of a template that a known form has no place for, nor says in print.

    A paper of our own has places of all that is filled in on it; the rest is asked, not written.
    """
    if form.is_own:
        return ()
    known = {place.blank for place in form.places} | {one.blank for one in form.printed}
    return tuple(blank for blank in template.blanks if blank.id not in known)


def say_without_place(
    answers: tuple[Answer, ...], form: KnownForm, template: FormTemplate, sheet: tuple[str, int]
) -> Iterator[str]:
    """Name the blanks no picture of a form was looked at for, those already answered apart."""
    untied = list_untied(form, template)
    if not untied:
        return
    told = {
        one.blank: one.source
        for one in answers
        if (one.document, one.sheet) == sheet and one.status is not Status.UNCLEAR
    }
    groups = tuple(
        (word, [blank.label for blank in untied if told.get(blank.id) in sources])
        for word, sources in _GROUPS
    )
    what = "; ".join(f"{word} {', '.join(labels)}" for word, labels in groups if labels)
    yield (
        "not looked at in this picture, because no place on the learned form is tied to them: "
        f"{what}; {_say_how(form)}"
    )


def note_untied(session: Session, result: CheckResult, checking: Checking) -> CheckResult:
    """Say in a verdict what only somebody's word stands for although its page was looked at.

    Shape: one note a sheet, after all other findings, about the blanks that must be filled in.
    """
    sheets = dict.fromkeys((one.document, one.sheet) for one in checking.files if one.form)
    notes = tuple(note for sheet in sheets for note in _note(session, result, checking, sheet))
    return replace(result, findings=(*result.findings, *notes))


def _note(
    session: Session, result: CheckResult, checking: Checking, sheet: tuple[str, int]
) -> Iterator[CheckFinding]:
    files = [one for one in checking.files if (one.document, one.sheet) == sheet]
    forms = [found for one in files if one.form and (found := find_edition(session, one.form))]
    shown = {blank for one in files for blank in one.blanks}
    states = [one for one in result.blanks if (one.document, one.sheet) == sheet]
    for form in forms[-1:]:
        template = checking.context.templates.get(form.template)
        untied = {blank.id for blank in list_untied(form, template)} if template else set()
        labels = [
            f"`{one.blank.label}`"
            for one in states
            if one.blank.id in untied - shown and _is_word_alone(one)
        ]
        if labels:
            yield _make(form, sheet, labels)


def _is_word_alone(state: BlankState) -> bool:
    is_said = state.status is Status.FILLED and state.source is Source.PERSON
    return state.blank.must and is_said


def _make(form: KnownForm, sheet: tuple[str, int], labels: list[str]) -> CheckFinding:
    return CheckFinding(
        severity=Severity.NOTE,
        sentence=(
            f"{sheet[0]}: your word alone stands for {', '.join(labels)}: the pictures were not "
            "looked at there, because no place on the learned form is tied to them."
        ),
        todo=f"look at the paper once more; {_say_how(form)}",
        where=Place.HOME,
        document=sheet[0],
        sheet=sheet[1],
        citation="none",
        check=FILE_BLIND,
        rank=_LAST,
    )


def _say_how(form: KnownForm) -> str:
    learn = f"mailby forms learn BLANK.pdf --form {form.template}"
    return (
        f"to tie them: {learn} --write-places FILE, write them behind `blank` in that file, then "
        f"{learn} --places FILE"
    )
