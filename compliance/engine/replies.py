"""A typed reply to a question, put into the answers or refused with a sentence."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from compliance.base.dates import list_readings, say_how_to_write
from compliance.base.problems import Problem, SourceRef
from compliance.engine.check_facts import ONLINE, is_online, list_people
from compliance.engine.check_model import CheckContext
from compliance.engine.check_words import parse_amount
from compliance.engine.question_model import Question, QuestionKind
from compliance.facts.answers import (
    COPY,
    ENCLOSED,
    ORIGINAL,
    SIGNATURE_KINDS,
    Answer,
    EnvelopeAnswers,
    Status,
    keep_empty_picture,
)
from compliance.facts.answers_parse import ENCLOSED_WORDS, find_day
from compliance.facts.answers_short import STATUS_OF_MEANING, is_small
from compliance.facts.reply_words import Meaning, read_meaning, unquote
from compliance.facts.states import find_state

_AGREES = frozenset({Meaning.YES, Meaning.SAME})
_ENCLOSED = {"the original": ORIGINAL, "a copy": COPY, "the copy": COPY, "photocopy": COPY}
_LEFT_OUT = "left-out"
_INK = frozenset({"in ink", "with ink", "pen", "by pen", "with a pen", "by hand"})
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
        return _refuse("nothing was typed", f"{_say_what(question)}; or later to pass over it")
    try:
        if question.document:
            said = _read_blank(context, question, words)
            return replace(context, answers=_put(context.answers, question, said))
        return replace(context, envelope=_read_envelope(context.envelope, question, words))
    except _RefusedError as refused:
        return _refuse(refused.sentence, refused.hint)


def _refuse(sentence: str, hint: str) -> Problem:
    return Problem(place=SourceRef(file=""), code=_CODE, sentence=sentence, hint=hint)


def say_replies(question: Question) -> str:
    """Say which replies a question takes."""
    what = _say_what(question)
    return f"{what[0].upper()}{what[1:]}; later passes over it, stop ends."


def _say_what(question: Question) -> str:
    if question.kind is QuestionKind.CHOICE:
        return f"type one of: {', '.join(question.choices)}"
    if question.kind is QuestionKind.DATE:
        return "type a date as year-month-day, for example 2027-01-12"
    if question.kind is QuestionKind.LIST:
        return "type the names with a semicolon between them"
    what = "yes or no"
    if question.kind is QuestionKind.TEXT:
        what = "what stands there"
    elif question.blank == "address_on_envelope" and question.expected:
        what = "yes, or the address that stands there instead"
    elif question.expected and question.document:
        what = "yes, or what stands there instead"
    return f"type {what}, or empty, struck or unclear" if question.document else f"type {what}"


def _put(
    answers: tuple[Answer, ...], question: Question, said: tuple[Status, str, date | None]
) -> tuple[Answer, ...]:
    """Put an answer in place of the earlier ones about the same blanks."""
    blanks = (question.blank, *question.also)
    status, says, on = said
    sheet = (question.document, question.sheet)
    old = {one.blank: one for one in answers if (one.document, one.sheet) == sheet}
    kept = [one for one in answers if (one.document, one.sheet) != sheet or one.blank not in blanks]
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
    return (*kept, *(keep_empty_picture(old.get(one.blank), one) for one in new))


def _read_blank(
    context: CheckContext, question: Question, words: str
) -> tuple[Status, str, date | None]:
    meaning = read_meaning(words)
    if question.blank == ENCLOSED:
        status, says = _read_enclosed(context, question, words, meaning)
        return status, says, None
    if words in {question.default, question.expected, *list_people(context.operation)}:
        meaning = Meaning.TEXT
    if question.kind is QuestionKind.YES_NO and not question.expected:
        return _read_presence(question, words, meaning), "", None
    if meaning in STATUS_OF_MEANING:
        return STATUS_OF_MEANING[meaning], "", None
    if question.kind is QuestionKind.DATE:
        takes_default = question.default and meaning in _AGREES
        return Status.FILLED, "", _read_day(question.default if takes_default else words)
    return Status.FILLED, _read_words(question, words, meaning), None


def _read_words(question: Question, words: str, meaning: Meaning) -> str:
    """Read what stands in a blank, or that it is what must stand there."""
    if question.kind is QuestionKind.YES_NO and meaning in _AGREES:
        return question.expected
    if meaning is not Meaning.TEXT:
        raise _RefusedError(_say_too_little(words, meaning), _say_what(question))
    text = unquote(words)
    if text == words:
        _refuse_small(question, words)
    return text


def _refuse_small(question: Question, words: str) -> None:
    """Refuse talk such as "forgot it" for a name: names have a capital letter or a digit."""
    if question.is_name and is_small(words) and words not in {question.default, question.expected}:
        raise _RefusedError(
            f"{words!r} has no capital letter",
            "type it as it stands there, in quotation marks if it has none; or empty, or later to"
            " pass over it",
        )


def _read_presence(question: Question, words: str, meaning: Meaning) -> Status:
    """Read a reply about whether something stands there, whatever it says."""
    if meaning in _AGREES or meaning is Meaning.THERE:
        return Status.FILLED
    if meaning is Meaning.NO and question.no_means is not None:
        return question.no_means
    if question.no_means is Status.UNCLEAR and meaning in {Meaning.HALF, Meaning.NOT_YET}:
        return Status.UNCLEAR
    if meaning in STATUS_OF_MEANING:
        return STATUS_OF_MEANING[meaning]
    raise _RefusedError(f"{words!r} does not say enough", _say_what(question))


def _say_too_little(words: str, meaning: Meaning) -> str:
    if meaning is Meaning.THERE:
        return f"{words!r} says that something stands there, not what"
    if meaning is Meaning.WAITING:
        return f"{words!r} only keeps the place of what is still to come"
    return f"{words!r} does not say enough"


def _read_enclosed(
    context: CheckContext, question: Question, words: str, meaning: Meaning
) -> tuple[Status, str]:
    low = words.casefold()
    low = _ENCLOSED.get(low, low)
    if meaning is Meaning.STRUCK or low in {"left out", "leave it out"}:
        low = _LEFT_OUT
    if low in question.choices:
        return ENCLOSED_WORDS[low]
    if meaning in {Meaning.NO, Meaning.NOT_YET, Meaning.NOTHING}:
        return Status.EMPTY, ""
    if meaning is Meaning.UNSURE:
        return Status.UNCLEAR, ""
    if meaning in {Meaning.YES, Meaning.THERE}:
        if is_online(context):
            return Status.FILLED, ""
        sentence = f"{words!r} does not say whether it is the original or a copy"
        raise _RefusedError(sentence, _say_what(question))
    raise _RefusedError(f"{words!r} is none of the replies", _say_what(question))


def _read_day(words: str) -> date:
    readings = list_readings(words)
    day = find_day(words) or (readings[0] if len(readings) == 1 else None)
    if day is None:
        how = say_how_to_write(words, "2027-01-12").removeprefix("write ")
        raise _RefusedError(f"{words!r} is no date", f"type a date as {how}")
    return day


def _read_envelope(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    reader = _READERS.get(question.blank)
    if reader is None:
        raise ValueError(f"no envelope answer is called {question.blank!r}")
    return reader(envelope, question, words)


def _read_yes(question: Question, words: str, *also: Meaning) -> bool:
    """Read yes or no; *also* are meanings that are as good as yes here, and their absence as no."""
    meaning = read_meaning(words)
    if meaning is Meaning.YES or meaning in also:
        return True
    if meaning is Meaning.NO or (also and meaning in {Meaning.NOT_YET, Meaning.NOTHING}):
        return False
    hint = f"{_say_what(question)}; or later to pass over it"
    raise _RefusedError(f"{words!r} is neither yes nor no", hint)


def _read_text(question: Question, words: str, sentence: str, hint: str) -> str:
    """Read a text; talk is not taken for one."""
    if words != question.default and read_meaning(words) is not Meaning.TEXT:
        raise _RefusedError(f"{words!r} {sentence}", f"{hint}; or later to pass over it")
    text = unquote(words)
    if text == words:
        _refuse_small(question, words)
    return text


def _take_returns(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    if not _read_yes(question, words, Meaning.THERE):
        return envelope
    mended = (*envelope.earlier_reasons_mended, question.expected)
    return replace(envelope, earlier_reasons_mended=mended)


def _take_owners(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    names = tuple(name.strip() for name in words.split(";") if name.strip())
    if len(names) < 2:  # noqa: PLR2004 - a seller and a buyer
        raise _RefusedError("a chain has at least the maker and you", _say_what(question))
    vague = next((one for one in names if read_meaning(one) is not Meaning.TEXT), "")
    if vague:
        raise _RefusedError(f"{vague!r} is no name of an owner", _say_what(question))
    names = tuple(unquote(one) for one in names)
    return replace(envelope, owners_chain=names)


def _take_state(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    code = find_state(unquote(words))
    if code == "OK" and words.casefold() == "ok" and question.default not in {"", "OK"}:
        hint = f"type Oklahoma, or {question.default}"
        raise _RefusedError(f"{words!r} may mean Oklahoma or yes", hint)
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
    if low == ONLINE:
        return replace(envelope, address_on_envelope=ONLINE)
    if question.expected and (read_meaning(words) in _AGREES or words == question.expected):
        return replace(envelope, address_on_envelope=question.expected)
    hint = "type the address that stands on the envelope"
    address = _read_text(question, words, "does not say which address", hint)
    return replace(envelope, address_on_envelope=address)


def _take_kind(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    low = words.casefold()
    low = SIGNATURE_KINDS[0] if low in _INK else low
    if low not in question.choices:
        raise _RefusedError(f"{words!r} is none of the replies", _say_what(question))
    return replace(envelope, signature_kind=low)


def _take_name(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    name = _read_text(question, words, "is no name", "type the name as in the stamp")
    return replace(envelope, notary_name=name)


def _take_method(envelope: EnvelopeAnswers, question: Question, words: str) -> EnvelopeAnswers:
    hint = "type how, for example check"
    method = _read_text(question, words, "does not say how the fee is paid", hint)
    return replace(envelope, fee_method=method)


_Take = Callable[[EnvelopeAnswers, Question, str], EnvelopeAnswers]
_READERS: dict[str, _Take] = {
    "earlier_reasons_mended": _take_returns,
    "owners_chain": _take_owners,
    "notary_name": _take_name,
    "notary_state": _take_state,
    "id_expires": lambda envelope, _, words: replace(envelope, id_expires=_read_day(words)),
    "no_corrections": lambda envelope, question, words: replace(
        envelope, no_corrections=_read_yes(question, words)
    ),
    "signature_kind": _take_kind,
    "power_enclosed": lambda envelope, question, words: replace(
        envelope, power_enclosed=_read_yes(question, words, Meaning.THERE)
    ),
    "fee_amount_usd": _take_amount,
    "fee_method": _take_method,
    "address_on_envelope": _take_address,
}
