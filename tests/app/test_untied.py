"""Blanks that a picture was not looked at for; the form is drawn by the test, no source."""

from dataclasses import replace

import pytest

from compliance.app.checking import Checking
from compliance.app.evidence import take_pictures
from compliance.app.file_notes import note_files
from compliance.app.tables import load_templates
from compliance.app.untied import FILE_BLIND, say_without_place
from compliance.engine.check import compute_check
from compliance.engine.check_model import Severity
from compliance.facts.answers import Answer, Source, Status
from tests.app.test_evidence import (
    LINES,
    UNTIED,
    Shown,
    checking,
    make_photo,
    shown,
)

__all__ = ["checking", "shown"]
WORD = Answer(
    document="application", blank="categories", status=Status.FILLED, source=Source.PERSON
)
HOW = UNTIED.partition("; ")[2]


def test_word_alone_is_told_beside_the_picture_and_on_the_verdict(
    shown: Shown, checking: Checking
) -> None:
    """The categories are on the form but have no place; a person's word stands for them."""
    told = replace(checking, context=replace(checking.context, answers=(WORD,)))
    files = (("page.jpg", make_photo(shown.coded, *LINES)),)
    looked = take_pictures(shown.session, told, files, "application", 1)
    result = note_files(shown.session, compute_check(looked.checking.context), looked.checking)
    notes = [one for one in result.findings if one.check == FILE_BLIND]

    assert looked.lines[-1] == UNTIED.replace("still to be answered:", "your word stands for")
    assert [(one.severity, one.document, one.sentence, one.todo) for one in notes] == [
        (
            Severity.NOTE,
            "application",
            (
                "application: your word alone stands for `Categories, aerial among them`: the "
                "pictures were not looked at there, because no place on the learned form is tied "
                "to them."
            ),
            f"look at the paper once more; {HOW}",
        )
    ]


@pytest.mark.parametrize(
    ("source", "status", "words"),
    [
        (Source.PDF, Status.FILLED, "the PDF stands for"),
        (Source.PHOTO, Status.FILLED, "an earlier picture stands for"),
        (Source.PERSON, Status.STRUCK, "your word stands for"),
        (Source.PDF, Status.UNCLEAR, "still to be answered:"),
    ],
)
def test_what_stands_for_a_blank_without_a_place_is_named(
    shown: Shown, source: Source, status: Status, words: str
) -> None:
    """The PDF's field is not somebody's word."""
    template = load_templates()[shown.form.template]
    told = (replace(WORD, source=source, status=status),)
    lines = list(say_without_place(told, shown.form, template, ("application", 1)))

    assert lines == [UNTIED.replace("still to be answered:", words)]


def test_what_nobody_said_or_another_file_shows_is_no_word_alone(
    shown: Shown, checking: Checking
) -> None:
    """An open blank is asked anyway; one that a filled PDF shows too does not rest on a word."""
    files = (("page.jpg", make_photo(shown.coded, *LINES)),)
    open_one = take_pictures(shown.session, checking, files, "application", 1).checking
    told = replace(open_one, context=replace(open_one.context, answers=(WORD,)))
    pdf = replace(told.files[0], kind="pdf", form="", blanks=("categories",))
    for one in (open_one, replace(told, files=(*told.files, pdf))):
        result = note_files(shown.session, compute_check(one.context), one)
        assert [note for note in result.findings if note.check == FILE_BLIND] == []
