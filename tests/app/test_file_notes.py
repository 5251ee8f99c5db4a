"""What a verdict says of an old print of our own page. Common practice, no source."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.checking import open_checking
from compliance.app.file_notes import note_files
from compliance.app.known_forms import KnownForm, save_known
from compliance.app.own_facts import find_facts, is_old_edition
from compliance.app.planning import Planned
from compliance.app.seen import SeenFile
from compliance.engine.check import compute_check
from compliance.forms.model import FormTemplate
from compliance.outputs.own_documents import compute_own_documents
from compliance.outputs.own_model import OwnChoice, OwnDocument
from compliance.store.repository import save_operation

PACKET = "faa.registration-n:tg46"
NAME = "llc-statement"
AGAINST = f"hold it against a new one: mailby packet {PACKET}"
ANEW = "print it anew and have that one filled in and signed: mailby packet faa.registration-n:tg46"


@pytest.fixture
def statement(demo_planned: Planned, templates: Mapping[str, FormTemplate]) -> OwnDocument:
    """The company's statement as it would be printed today."""
    paper = demo_planned.plan.find_paper(PACKET)
    assert paper is not None
    made = compute_own_documents(demo_planned.plan, paper, templates)
    return next(one for one in made if one.name == NAME)


def give_other_boxes(document: OwnDocument) -> OwnDocument:
    """The paper as another edition of it might ask: one choice with other boxes."""
    fields = tuple(
        replace(one, choices=(OwnChoice(text="Yes"), OwnChoice(text="No")))
        if one.blank == "may-act-alone"
        else one
        for one in document.fields
    )
    return replace(document, fields=fields)


def test_an_edition_is_what_a_paper_asks_for_not_whom_it_is_about(statement: OwnDocument) -> None:
    """Another day or address is no other edition; other boxes are, and so are other words."""
    today = find_facts(statement)
    moved = find_facts(replace(statement, from_lines=("Elsewhere",)))

    assert find_facts(replace(statement, as_of=date(2028, 1, 1))) == today
    assert (moved == today, is_old_edition(moved, today)) == (False, False)
    assert is_old_edition(find_facts(give_other_boxes(statement)), today)
    assert is_old_edition(find_facts(replace(statement, closing="Other words.")), today)
    assert not is_old_edition("0123456789abcdef", today)


@pytest.mark.parametrize(
    ("printed", "line"),
    [
        ("same", ""),
        ("bare", ""),
        ("boxes", f"is an old edition of our paper; {ANEW}"),
        ("moved", f"would say something else today; {AGAINST}"),
    ],
)
def test_an_old_print_is_named_in_the_verdict(
    session: Session,
    demo_planned: Planned,
    statement: OwnDocument,
    tmp_path: Path,
    printed: str,
    line: str,
) -> None:
    """Every time, not only when its photo is looked at; the verdict itself stays."""
    save_operation(session, demo_planned.plan.operation, namespace="n")
    shown = {
        "same": statement,
        "bare": statement,
        "boxes": give_other_boxes(statement),
        "moved": replace(statement, from_lines=("Elsewhere",)),
    }[printed]
    form = KnownForm(
        template="faa-llc-statement",
        code="AAAAAA",
        kept_on=date(2027, 1, 4),
        blank_file=tmp_path / "blank.pdf",
        places=(),
        packet=PACKET,
        # Papers were once kept with no mark of their edition.
        facts=find_facts(shown).partition(".")[0] if printed == "bare" else find_facts(shown),
    )
    save_known(session, form)
    photo = tmp_path / "page.jpg"
    photo.write_bytes(b"")
    seen = SeenFile(
        path=str(photo), sha256="", document=NAME, sheet=1, kind="photo", kept="", form="AAAAAA"
    )
    checking = replace(open_checking(session, demo_planned, PACKET), files=(seen,))
    before = compute_check(checking.context)

    after = note_files(session, before, checking)

    added = [one for one in after.findings if one not in before.findings]
    assert [(one.check, str(one.severity), one.document) for one in added] == (
        [("file-old", "note", NAME)] if line else []
    )
    assert all(one.sentence.startswith("page.jpg: this page") for one in added)
    assert all(one.sentence.endswith(f"{line}.") for one in added)
    assert after.ready is before.ready
