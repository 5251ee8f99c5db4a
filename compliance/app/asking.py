"""The questions of a check, one at a time, each answer kept at once."""

import textwrap
from collections.abc import Callable
from dataclasses import replace

from compliance.app.checking import Checking
from compliance.app.retold import leave_older_ink
from compliance.base.problems import Problem
from compliance.engine.again import find_again
from compliance.engine.check_model import Key
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions import compute_questions
from compliance.engine.replies import apply_reply, say_replies
from compliance.facts.answers import EnvelopeAnswers
from compliance.facts.reply_words import Meaning, read_meaning

WIDTH = 78
_LATER = "later"
_MOST_REFUSED = 5
_Key = tuple[str, int, str, tuple[str, ...]]


def ask_questions(
    checking: Checking,
    read_line: Callable[[str], str | None],
    tell: Callable[[str], None],
    keep: Callable[[Checking], None],
) -> Checking:
    """Ask what is open until nothing is, or the person stops.

    What was answered before this run and would bring the packet back is asked again, each with what
    was said last time; nothing typed leaves it so.

    ``stop`` or the end of input ends it with what was answered; ``later`` or ``skip`` passes over a
    question; ``?`` or ``help`` shows its help. A question that a reply leaves open is not asked
    twice in one sitting, nor one after five replies that cannot be taken.
    """
    again = find_again(checking.context) - _list_given(checking)
    passed: set[_Key] = set()
    refused: dict[_Key, int] = {}
    reopened: set[Key] = set()
    about = ""
    first = True
    while True:
        questions = compute_questions(replace(checking.context, again=again))
        left = [one for one in questions if _key(one) not in passed]
        if not left:
            return checking
        question = _choose(left, reopened)
        if first:
            many = "1 question" if len(questions) == 1 else f"{len(questions)} questions"
            tell(f"{many}. Type stop to go on another day, ? for help.")
            first = False
        if question.about != about:
            about = question.about
            tell(f"\n{about or 'The signing and the envelope'}")
        reply = _ask_one(question, read_line, tell)
        if reply is None:
            return checking
        passed.add(_key(question))
        if reply == _LATER or (question.before and not reply):
            continue
        changed = apply_reply(checking.context, question, reply)
        if isinstance(changed, Problem):
            tell("; ".join(filter(None, (f"  {changed.sentence}", changed.hint))))
            refused[_key(question)] = refused.get(_key(question), 0) + 1
            if refused[_key(question)] < _MOST_REFUSED:
                passed.discard(_key(question))
            else:
                stays = "stays as it was" if question.before else "stays open"
                tell(f"  passed over for now; it {stays}")
            continue
        again -= {(*question.key[:2], blank) for blank in (question.blank, *question.also)}
        told = replace(checking, context=changed)
        checking, lines = leave_older_ink(checking, told)
        reopened |= _list_answered(told) - _list_answered(checking)
        for line in lines:
            tell(textwrap.fill(line, WIDTH, initial_indent="  ", subsequent_indent="  "))
        passed -= {_key(one) for one in compute_questions(checking.context)} if lines else set()
        keep(checking)


def _choose(left: list[Question], reopened: set[Key]) -> Question:
    """Give the next question: of one document last the ink that a mended text has opened again.

    The next text that is mended would open it once more.
    """
    mine = [one for one in left if one.about == left[0].about]
    return next((one for one in mine if one.key not in reopened), left[0])


def _list_answered(checking: Checking) -> set[Key]:
    return {(one.document, one.sheet, one.blank) for one in checking.context.answers}


def _list_given(checking: Checking) -> frozenset[Key]:
    """Give what the answers taken in this run speak of: that is not asked again at once."""
    given = checking.given
    if given is None:
        return frozenset()
    envelope = {
        ("", 1, name)
        for name in EnvelopeAnswers.__slots__
        if getattr(given.envelope, name) not in (None, "", ())
    }
    return frozenset(envelope | {(one.document, one.sheet, one.blank) for one in given.answers})


def _key(question: Question) -> _Key:
    # The parts of a block are asked one by one after a reply of no; that is another question.
    return question.document, question.sheet, question.blank, question.also


def _ask_one(
    question: Question, read_line: Callable[[str], str | None], tell: Callable[[str], None]
) -> str | None:
    """Ask one question; None when the person stops."""
    while True:
        text = " ".join(filter(None, (question.text, question.before)))
        tell(textwrap.fill(text, WIDTH, initial_indent="- ", subsequent_indent="  "))
        line = read_line(f"  {_prompt(question)}: ")
        words = (line or "").strip()
        meaning = read_meaning(words)
        if line is None or meaning is Meaning.STOP:
            return None
        if meaning is Meaning.LATER:
            return _LATER
        if words != "?" and meaning is not Meaning.HELP:
            return words
        known = " ".join(filter(None, (question.help, say_replies(question))))
        tell(textwrap.indent(textwrap.fill(known, WIDTH - 2), "  "))


def _prompt(question: Question) -> str:
    kinds = {
        QuestionKind.YES_NO: "yes or no",
        QuestionKind.DATE: "date, such as 2027-01-12",
        QuestionKind.CHOICE: " or ".join(question.choices),
        QuestionKind.LIST: "separated by ;",
        QuestionKind.TEXT: "what stands there",
    }
    if question.kind is QuestionKind.YES_NO and question.expected and question.document:
        kinds[QuestionKind.YES_NO] = "yes, or what stands there instead"
    if question.blank == "address_on_envelope":
        kinds[QuestionKind.YES_NO] = "yes, or the address that stands there instead"
    default = f" [{question.default}]" if question.default else ""
    default = " [as before]" if question.before else default
    return f"{kinds[question.kind]}{default}"
