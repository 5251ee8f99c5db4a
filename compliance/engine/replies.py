"""A typed reply to a question, put into the answers or refused with a sentence."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from compliance.base.problems import Problem, SourceRef
from compliance.engine.check_facts import ONLINE
from compliance.engine.check_model import CheckContext
from compliance.engine.check_words import parse_amount
from compliance.engine.crosschecks_notary import find_state
from compliance.engine.question_model import Question, QuestionKind
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Status
from compliance.facts.answers_parse import ENCLOSED_WORDS, find_day

_YES, _NO = frozenset({"yes", "y"}), frozenset({"no", "n"})
_STATUS = {
    "empty": Status.EMPTY,
    "struck": Status.STRUCK,
    "n/a": Status.STRUCK,
    "unclear": Status.UNCLEAR,
    "?": Status.UNCLEAR,
}
_CODE = "A31"


class _RefusedError(Exception):
    """The reply does not fit; the message is the sentence, the hint what to type."""

    def __init__(self, sentence: str, hint: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.hint = hint


def apply_reply(context: CheckContext, question: Question, reply: str) -> CheckContext | Problem:
    """Put a reply into the answers.

    An empty reply takes the question's default. A reply of no to a question about the envelope may
    change nothing.

    Shape: the context with the new answers, or one problem (A31) that says what to type.
    """
    words = reply.strip() or question.default
    if not words:
        return _refuse("nothing was typed", _say_what(question))
    try:
        if question.document:
            said = _read_blank(question, words)
            return replace(context, answers=_put(context.answers, question, said))
        return replace(context, envelope=_read_envelope(context.envelope, question, words))
    except _RefusedError as refused:
        return _refuse(refused.sentence, refused.hint)


def _refuse(sentence: str, hint: str) -> Problem:
    return Problem(place=SourceRef(file=""), code=_CODE, sentence=sentence, hint=hint)


def _say_what(question: Question) -> str:
    if question.kind is QuestionKind.CHOICE:
        return f"type one of: {', '.join(question.choices)}"
    if question.kind is QuestionKind.DATE:
        return "type a date as year-month-day, for example 2027-01-12"
    if question.kind is QuestionKind.LIST:
        return "type the names with a semicolon between them"
    more = " empty, struck or unclear" if question.document else ""
    if question.kind is QuestionKind.TEXT:
        return f"type what stands there{', or' if more else ''}{more}"
    if question.expected and question.document:
        return f"type yes, or what stands there instead, or{more}"
    return f"type yes or no{', or' if more else ''}{more}"


def _put(
    answers: tuple[Answer, ...], question: Question, said: tuple[Status, str, date | None]
) -> tuple[Answer, ...]:
    """Put an answer in place of a person's earlier ones about the same blanks."""
    blanks = (question.blank, *question.also)
    status, says, on = said
    kept = [
        one
        for one in answers
        if (one.document, one.sheet) != (question.document, question.sheet)
        or one.blank not in blanks
        or one.seen_in
    ]
    new = [
        Answer(
            document=question.document,
            sheet=question.sheet,
            blank=blank,
            status=status,
            says=says if blank == question.blank else "",
            on=on if blank == question.blank else None,
        )
        for blank in blanks
    ]
    return (*kept, *new)


def _read_blank(question: Question, words: str) -> tuple[Status, str, date | None]:
    low = words.casefold()
    if question.blank == ENCLOSED:
        if low not in {*question.choices, "unclear"}:
            raise _RefusedError(f"{words!r} is none of the replies", _say_what(question))
        status, says = ENCLOSED_WORDS[low]
        return status, says, None
    if low in _STATUS:
        return _STATUS[low], "", None
    if question.kind is QuestionKind.DATE:
        return Status.FILLED, "", _read_day(question, words)
    if low in _YES and question.kind is QuestionKind.YES_NO:
        return Status.FILLED, question.expected, None
    if low in _NO and question.kind is QuestionKind.YES_NO and not question.expected:
        return Status.EMPTY, "", None
    if low in _YES | _NO or (question.kind is QuestionKind.YES_NO and not question.expected):
        raise _RefusedError(f"{words!r} does not say enough", _say_what(question))
    return Status.FILLED, words, None


def _read_day(question: Question, words: str) -> date:
    day = find_day(words)
    if day is None:
        raise _RefusedError(f"{words!r} is no date", _say_what(question))
    return day


def _read_envelope(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    reader = _READERS.get(question.blank)
    if reader is None:
        raise ValueError(f"no envelope answer is called {question.blank!r}")
    return reader(envelope, question, words)


def _read_yes(question: Question, words: str) -> bool:
    low = words.casefold()
    if low not in _YES | _NO:
        raise _RefusedError(f"{words!r} is neither yes nor no", _say_what(question))
    return low in _YES


def _take_returns(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    if not _read_yes(question, words):
        return envelope
    mended = (*envelope.earlier_reasons_mended, question.expected)
    return replace(envelope, earlier_reasons_mended=mended)


def _take_owners(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    names = tuple(name.strip() for name in words.split(";") if name.strip())
    if len(names) < 2:  # noqa: PLR2004 - a seller and a buyer
        raise _RefusedError("a chain has at least the maker and you", _say_what(question))
    return replace(envelope, owners_chain=names)


def _take_state(envelope: EnvelopeAnswers, _: Question, words: str) -> EnvelopeAnswers:
    code = find_state(words)
    if not code:
        raise _RefusedError(f"{words!r} is no state", "type its two letters, for example NE")
    return replace(envelope, notary_state=code)


def _take_amount(envelope: EnvelopeAnswers, _: Question, words: str) -> EnvelopeAnswers:
    amount = parse_amount(words)
    if amount is None:
        raise _RefusedError(f"{words!r} is no amount of dollars", "type digits, for example 5.00")
    return replace(envelope, fee_amount_usd=f"{amount:.2f}")


def _take_address(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    low = words.casefold()
    if low in _YES and question.expected:
        return replace(envelope, address_on_envelope=question.expected)
    if low in _YES | _NO:
        hint = "type the address that stands on the envelope"
        raise _RefusedError(f"{words!r} does not say which address", hint)
    return replace(envelope, address_on_envelope=ONLINE if low == ONLINE else words)


def _take_kind(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    low = words.casefold()
    if low not in question.choices:
        raise _RefusedError(f"{words!r} is none of the replies", _say_what(question))
    return replace(envelope, signature_kind=low)


_Take = Callable[[EnvelopeAnswers, Question, str], EnvelopeAnswers]
_READERS: dict[str, _Take] = {
    "earlier_reasons_mended": _take_returns,
    "owners_chain": _take_owners,
    "notary_name": lambda envelope, _, words: replace(envelope, notary_name=words),
    "notary_state": _take_state,
    "id_expires": lambda envelope, question, words: replace(
        envelope, id_expires=_read_day(question, words)
    ),
    "no_corrections": lambda envelope, question, words: replace(
        envelope, no_corrections=_read_yes(question, words)
    ),
    "signature_kind": _take_kind,
    "power_enclosed": lambda envelope, question, words: replace(
        envelope, power_enclosed=_read_yes(question, words)
    ),
    "fee_amount_usd": _take_amount,
    "fee_method": lambda envelope, _, words: replace(envelope, fee_method=words),
    "address_on_envelope": _take_address,
}
