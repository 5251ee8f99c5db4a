"""A short answer about a blank, read by the same words as a typed reply."""

from compliance.facts.answers import Status
from compliance.facts.reply_words import Meaning, is_waiting, read_meaning, says_other

STATUS_OF_MEANING = {
    Meaning.NOTHING: Status.EMPTY,
    Meaning.NOT_YET: Status.EMPTY,
    Meaning.STRUCK: Status.STRUCK,
    Meaning.UNSURE: Status.UNCLEAR,
}
"""How a blank stands when a reply says so whatever is asked."""

_MORE = {
    Meaning.NO: Status.EMPTY,
    Meaning.YES: Status.FILLED,
    Meaning.SAME: Status.FILLED,
    Meaning.THERE: Status.FILLED,
}
_OPEN = frozenset({Meaning.LATER})
_LEFT_OUT = frozenset({"left out", "leave it out", "leave out"})
_ENCLOSED = {
    Meaning.NO: "no",
    Meaning.NOT_YET: "no",
    Meaning.NOTHING: "no",
    Meaning.STRUCK: "left-out",
    Meaning.UNSURE: "unclear",
    Meaning.YES: "yes",
    Meaning.THERE: "yes",
}
HINT_OF_MARK = (
    "write yes, no, not yet, struck or unclear; a text that stands there is written as "
    "{status: filled, says: ...}"
)
HINT_OF_TEXT = (
    "write what stands there, or empty, struck or unclear, or leave the line without a value; a "
    "text to be taken as it is written is written as {status: filled, says: ...}"
)
HINT_OF_DATE = (
    "write the date as year-month-day, for example 2027-01-12, or empty, struck or unclear; or "
    "leave the line without a value"
)


def read_status(text: str) -> Status | None:
    """Tell how a blank stands by a short answer, None when it is a text or says too little."""
    meaning = read_meaning(text)
    if meaning is Meaning.NO and says_other(text):
        return None
    return STATUS_OF_MEANING.get(meaning, _MORE.get(meaning))


def is_open(text: str) -> bool:
    """Tell whether a short answer leaves the question open: nothing, or later."""
    return not text or read_meaning(text) in _OPEN


def is_text(text: str) -> bool:
    """Tell whether a short answer is read as the text that stands on the paper."""
    return read_meaning(text) is Meaning.TEXT


def is_small(text: str) -> bool:
    """Tell whether a text has no capital letter and no digit, as talk has, and a name seldom."""
    return text == text.lower() and not any(letter.isdigit() for letter in text)


def read_enclosed_word(text: str) -> str:
    """Give the word of the answers file for what is said of a document in the envelope."""
    if text.casefold().strip(". ") in _LEFT_OUT:
        return "left-out"
    return _ENCLOSED.get(read_meaning(text), text)


def say_too_little(text: str) -> str:
    """Say why a short answer is not taken."""
    if is_waiting(text):
        return "which only keeps the place of what is still to come"
    return "which does not say enough"
