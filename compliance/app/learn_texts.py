"""Whether a text on a form is a person's own, however it is written.

Common practice, no source: a serial number behind its letters, a name turned round its comma, a
telephone number with its country code.
"""

import re

from compliance.base.dates import list_readings
from compliance.engine.check_words import phone_digits, squash
from compliance.facts.answers_parse import find_day
from compliance.facts.reply_words import Meaning, read_meaning

SHORTEST = 4
"""Letters and digits of a text that is somebody's own; `NE` or `Yes` is nobody's."""
_SURE = 7
"""So long a text is somebody's own beside other words too."""
_PHONE = 10
_TOWN = re.compile(r"[^\d]*[ ,][A-Z]{2}\.? ?\d{5}(-\d{4})?")
_BARE_TOWN = re.compile(r"[a-z]+[a-z]{2}\d{5}(\d{4})?")
_STREETS = {
    "rd": "road",
    "st": "street",
    "ave": "avenue",
    "av": "avenue",
    "ln": "lane",
    "dr": "drive",
    "ct": "court",
    "hwy": "highway",
    "blvd": "boulevard",
    "cir": "circle",
    "pl": "place",
    "rte": "route",
    "n": "north",
    "s": "south",
    "e": "east",
    "w": "west",
}
"""Words of addresses and how they are cut short: common practice, no source."""
_NAME_ASKED = re.compile(
    r"\b(printed|typed|full|legal|applicant|owner|signer|seller|buyer|purchaser|pilot|notary|your|"
    r"last|first)\b.*\bnames?\b|\bnames? of (the )?(applicant|owner|signer|seller|buyer|purchaser|"
    r"pilot|notary)",
    re.IGNORECASE,
)
_DATE_ASKED = re.compile(r"\bdated?\b", re.IGNORECASE)
_MONTH = r"(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_WORDED_DAY = re.compile(
    rf"(\d{{1,2}}(st|nd|rd|th)?( of)? {_MONTH}|{_MONTH} \d{{1,2}}(st|nd|rd|th)?),? \d{{4}}",
    re.IGNORECASE,
)
_DATE_OF_FORM = re.compile(
    r"\b(form|edition|rev|revised|revision|version|omb|expir\w*)\b", re.IGNORECASE
)


def lay_bare(text: str) -> str:
    """Leave small letters and digits only, words of addresses written out.

    Example:
        >>> lay_bare("2 INVENTED RD.") == lay_bare("2 Invented Road")
        True
    """
    words = re.findall(r"[^\W_]+|[\W_]+", text.casefold())
    return squash("".join(_STREETS.get(word, word) for word in words))


def shorten_name(name: str) -> str:
    """Give a person's name with its first letter and last word, empty for a name of one word.

    Example:
        >>> shorten_name("Odile M. Ferrant"), shorten_name("Odile")
        ('O Ferrant', '')
    """
    words = name.split()
    return f"{words[0][0]} {words[-1]}" if len(words) > 1 else ""


def is_asked_of_person(label: str, text: str) -> bool:
    """Tell whether a text stands where only somebody who fills a form in writes.

    That is a name under a label that asks for a person's or owner's, or a date under one that asks
    for a date, but for those of the form itself.
    """
    if _NAME_ASKED.search(label):
        return read_meaning(text) is Meaning.TEXT and any(one.isalpha() for one in text)
    if _DATE_ASKED.search(label) and not _DATE_OF_FORM.search(label):
        is_worded = _WORDED_DAY.fullmatch(" ".join(text.split())) is not None
        return is_worded or find_day(text.strip()) is not None or bool(list_readings(text))
    return False


def is_own(text: str, own: frozenset[str]) -> bool:
    """Tell whether a text is one of a person's *own*, or holds a long one.

    *own* are bare letters and digits, as :func:`lay_bare` leaves them. A town with its ZIP counts
    alone only: other addresses hold it too.
    """
    bare = lay_bare(text)
    first, comma, last = text.partition(",")
    turned = lay_bare(f"{last} {first}") if comma else bare
    if not own.isdisjoint({bare, turned}):
        return True
    digits = phone_digits(text)
    has_phone = len(digits) == _PHONE and digits in own
    return has_phone or any(
        len(one) >= _SURE and one in bare and not _BARE_TOWN.fullmatch(one) for one in own
    )


def is_town_line(text: str) -> bool:
    """Tell whether a text is a town with its state and ZIP, and no street."""
    return _TOWN.fullmatch(text.strip()) is not None
