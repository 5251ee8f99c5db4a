"""Whatever would bring a packet back is asked again, and right replies mend it.

The faults are the worked examples of the cross-checks; the replies are of somebody whose papers are
right by now.
"""

from collections.abc import Callable
from dataclasses import replace

import pytest

from compliance.engine.again import find_again
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext, Severity
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions import compute_questions
from compliance.engine.replies import apply_reply
from tests.engine.test_crosschecks import CASES, Case, reply_to, right_papers

# What no word mends: days that pass, and what the facts and the table say.
NO_WORD = frozenset({"for 2 days only", "must be mailed by", "no street address in the table"})
FAULTS = tuple(
    (at, case)
    for at, case in enumerate(CASES)
    if case.severity == "stop" and case.words not in NO_WORD
)
CHAIN = ("Tallgrass Rotorworks", "Burrell Implement LLC", "Sandbur Flats Aerial LLC")
__all__ = ["right_papers"]


def reply_rightly(case: Case, question: Question) -> str:
    """Reply as somebody whose papers are right by now."""
    if "bought it before" in case.words:
        names = {"seller-name": question.sheet - 1, "buyer-name": question.sheet}
        if question.blank in names:
            return CHAIN[names[question.blank]]
        if question.blank == "owners_chain":
            return "; ".join(CHAIN)
    if question.blank == "signer-title" and question.kind is not QuestionKind.YES_NO:
        return question.default or "General Partner"
    return reply_to(question)


def mend(context: CheckContext, case: Case) -> tuple[CheckContext, list[Question]]:
    """Reply to what is asked, first to what is asked again; give what was asked too."""
    again = find_again(context)
    asked: list[Question] = []
    while questions := compute_questions(replace(context, again=again)):
        question = next((one for one in questions if one.before), questions[0])
        after = apply_reply(context, question, reply_rightly(case, question))
        assert isinstance(after, CheckContext), (question, after)
        again -= {(*question.key[:2], blank) for blank in (question.blank, *question.also)}
        asked.append(question)
        assert len(asked) < 200, question
        context = after
    return context, asked


@pytest.mark.parametrize(
    "case", [case for _, case in FAULTS], ids=[f"{at}-{case.check}" for at, case in FAULTS]
)
def test_a_fault_is_asked_again(case: Case, right_papers: Callable[[Case], CheckContext]) -> None:
    faulty = case.change(right_papers(case))
    mended, asked = mend(faulty, case)
    left = {one.check for one in compute_check(mended).findings if one.severity is Severity.STOP}

    assert case.check not in left, (asked, left)


def test_a_state_that_differs_asks_for_the_commission_too(
    right_papers: Callable[[Case], CheckContext],
) -> None:
    """Either may be the wrong one, and only one of the two stands on the page."""
    right = right_papers(CASES[0])
    wrong = replace(right, envelope=replace(right.envelope, notary_state="SD"))

    again = find_again(wrong)
    asked = {one.key: one.before for one in compute_questions(replace(wrong, again=again))}

    assert asked[("", 1, "notary_state")] == "Last time you said: SD."
    assert asked[("affidavit", 1, "notary-state")] == "Last time you said: `Nebraska`."


def test_a_reason_that_is_not_mended_brings_no_other_reply(
    right_papers: Callable[[Case], CheckContext],
) -> None:
    """What was said of one return is nothing that was said of another."""
    context = right_papers(CASES[0])
    mended = replace(context, envelope=replace(context.envelope, earlier_reasons_mended=("x",)))
    again = find_again(mended)
    (question,) = compute_questions(replace(mended, again=again))

    assert question.blank == "earlier_reasons_mended"
    assert question.before == ""
