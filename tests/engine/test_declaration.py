"""The unsworn declaration in the check: it counts once something is known of it."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.app.checking import Checking, merge_answers, open_checking
from compliance.app.planning import Planned
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext, CheckFinding
from compliance.engine.declaration import DECLARATION
from compliance.engine.questions import compute_questions
from compliance.facts.answers import ENCLOSED, Answer, Status
from compliance.facts.model import Operation
from compliance.store.repository import save_operation
from compliance.store.session import open_session

PACKET = "faa.registration-n:tg46"
GOES = Answer(document=DECLARATION, blank=ENCLOSED, status=Status.FILLED, says="original")
AGREED = Answer(
    document=DECLARATION,
    blank="office-said",
    status=Status.FILLED,
    says="R. Example, registry, 4 Jan 2027",
)
AFFIDAVIT = Answer(document="affidavit", blank=ENCLOSED, status=Status.FILLED, says="original")


@pytest.fixture(scope="module")
def checking(demo_planned: Planned) -> Checking:
    operation: Operation = demo_planned.plan.operation
    with open_session(":memory:") as session:
        save_operation(session, operation, namespace="n")
        return open_checking(session, demo_planned, PACKET)


def context_with(checking: Checking, *answers: Answer) -> CheckContext:
    context = checking.context
    return replace(context, answers=merge_answers(context.answers, answers))


def of_notary(context: CheckContext) -> list[CheckFinding]:
    return [one for one in compute_check(context).findings if one.blank.startswith("notary-")]


def about(context: CheckContext) -> list[tuple[str, str]]:
    found = compute_check(context).findings
    return [(str(one.severity), one.blank) for one in found if one.document == DECLARATION]


def test_declaration_of_which_nothing_is_known_asks_nothing(checking: Checking) -> None:
    context = context_with(checking, AFFIDAVIT)

    assert about(context) == []
    assert not any(one.document == DECLARATION for one in compute_questions(context))
    assert {str(one.severity) for one in of_notary(context)} == {"open"}


def test_declaration_that_goes_along_is_asked_like_any_document(checking: Checking) -> None:
    """28 USC 1746 (1976, read): in writing, dated, signed."""
    context = context_with(checking, AFFIDAVIT, GOES)

    asked = [one.blank for one in compute_questions(context) if one.document == DECLARATION]
    assert asked == ["signed-on", "signature", "printed-name", "signer-title", "office-said"]
    assert {("open", "signed-on"), ("open", "signature"), ("open", "printed-name")} <= {
        *about(context)
    }


def test_declaration_without_the_word_of_the_office_leaves_the_notary_in_place(
    checking: Checking,
) -> None:
    """An empty notary's block is never taken for in order because of a paper beside it."""
    context = context_with(checking, AFFIDAVIT, GOES)

    assert {str(one.severity) for one in of_notary(context)} == {"open"}
    assert ("open", "office-said") in about(context)


def test_declaration_the_office_takes_stands_in_for_the_notary_with_a_note(
    checking: Checking,
) -> None:
    context = context_with(checking, AFFIDAVIT, GOES, AGREED)

    (found,) = of_notary(context)
    assert (str(found.severity), found.sentence, found.citation) == (
        "note",
        (
            "Affidavit of ownership for an unmanned aircraft: no notary signs it; the unsworn "
            "declaration stands in."
        ),
        "28 USC 1746 (1976)",
    )
    assert found.todo == (
        "Ask the office first whether it takes the declaration in place of the notary; a form that "
        "prints a notary's block may come back without one."
    )
    assert not any("notary" in one.blank for one in compute_questions(context))


@pytest.mark.parametrize("status", [Status.EMPTY, Status.STRUCK])
def test_declaration_left_out_leaves_the_notary_in_place(
    checking: Checking, status: Status
) -> None:
    context = context_with(checking, AFFIDAVIT, replace(GOES, status=status, says=""))

    assert about(context) == []
    assert {str(one.severity) for one in of_notary(context)} == {"open"}


def test_declaration_beside_a_notarized_affidavit_takes_nothing_away(checking: Checking) -> None:
    stamped = replace(AFFIDAVIT, blank="notary-stamp", says="")
    context = context_with(checking, AFFIDAVIT, GOES, AGREED, stamped)

    assert {str(one.severity) for one in of_notary(context)} == {"open"}


def test_declaration_signed_on_a_day_to_come_is_refused(checking: Checking) -> None:
    day = replace(GOES, blank="signed-on", says="", on=date(2099, 1, 1))

    assert ("stop", "signed-on") in about(context_with(checking, GOES, day))


def test_declaration_is_no_document_of_a_state_paper(demo_planned: Planned) -> None:
    with open_session(":memory:") as session:
        save_operation(session, demo_planned.plan.operation, namespace="n")
        state = open_checking(session, demo_planned, "sd.commercial-applicator:odile")

    assert not any(row.template == DECLARATION for row in state.context.paper.packet.documents)
