"""Texts of papers compared the way an examiner reads them."""

import re
import unicodedata
from decimal import Decimal
from difflib import SequenceMatcher

from compliance.facts.reply_words import is_line

_MARKS = re.compile(r"[^\w\s]+")
_PARTS = re.compile(r"\w+|[^\w\s]")
_MARK_NAMES = {
    ",": "a comma",
    ".": "a period",
    "-": "a hyphen",
    "'": "an apostrophe",
    "&": "an & sign",
    "/": "a slash",
    " ": "a blank",
}
_COMPANY = frozenset({"llc", "inc", "corp", "co", "company", "corporation", "ltd", "lp", "llp"})
_SEVERAL = re.compile(r"[,;|]|\bor\b|\band\b", re.IGNORECASE)
_WITH_COUNTRY = 11
_KEYS = {"Pd": "-", "Zs": " "}
# The minus sign, a hyphen that shows only at the end of a line, dots and slashes like others.
_ALIKE = {0x2212: "-", 0xAD: "-", 0xB7: ".", 0x2022: ".", 0x2219: ".", 0x2044: "/", 0x2215: "/"}
_ROUND = " \t\n<>()[]{}\"'`,;:."
_AMOUNT = re.compile(r"\$?\s*(\d{1,3}(?:,\d{3})+|\d{1,9})(\.\d{1,2})?(?:\s*(?:usd|dollars))?")


def say_difference(expected: str, got: str) -> str:
    """Say in a few words how a text differs from what it must be; empty when they are equal.

    Only blanks at the ends are passed over: offices compare names letter for letter.

    Example:
        >>> say_difference("Sandbur Flats Aerial LLC", "Sandbur Flats Aerial, LLC")
        'a comma too many'
        >>> say_difference("Sandbur Flats Aerial LLC", "Sandbur Flats Aerial")
        '`LLC` is missing'
    """
    expected, got = expected.strip(), got.strip()
    if expected == got:
        return ""
    if expected.split() == got.split():
        return "the blanks between the words differ"
    if expected.casefold() == got.casefold():
        return "capital and small letters differ"
    # Where only marks and blanks differ they are compared one by one, otherwise whole words.
    only_marks = squash(expected) == squash(got)
    wanted = list(expected) if only_marks else _PARTS.findall(expected)
    found = list(got) if only_marks else _PARTS.findall(got)
    parts = []
    for tag, a, b, c, d in SequenceMatcher(None, wanted, found, autojunk=False).get_opcodes():
        glue = "" if only_marks else " "
        lost, extra = glue.join(wanted[a:b]), glue.join(found[c:d])
        if tag == "delete":
            parts.append(f"{_name(lost)} is missing")
        elif tag == "insert":
            parts.append(f"{_name(extra)} too many")
        elif tag == "replace":
            parts.append(f"{_name(extra)} in place of {_name(lost)}")
    return ", ".join(_say_times(part, parts.count(part)) for part in dict.fromkeys(parts))


def _say_times(part: str, times: int) -> str:
    return part if times == 1 else f"{part} ({times} times)"


def _name(text: str) -> str:
    return _MARK_NAMES.get(text, f"`{text}`")


def squash(text: str) -> str:
    """Leave letters and digits only, small: two ways to write one address become equal.

    Example:
        >>> squash("P.O. Box 7, Anytown") == squash("PO BOX 7 Anytown")
        True
    """
    return "".join(character for character in text.casefold() if character.isalnum())


def is_same_phone(says: str, fact: str) -> bool:
    """Tell whether a text is a telephone number, digit for digit; of several all must be.

    Other numbers beside it make the text another. Marks between digits count for nothing, nor does
    the country code 1: North American Numbering Plan, from memory.

    Example:
        >>> is_same_phone("+1 (402) 555-0143", "402/555.0143"), is_same_phone("", "402")
        (True, False)
    """
    wanted = phone_digits(fact)
    if not wanted or phone_digits(says) == wanted:
        return bool(wanted)
    parts = [part for part in _SEVERAL.split(says) if phone_digits(part)]
    return bool(parts) and all(
        phone_digits(part) == wanted or {phone_digits(one) for one in part.split("/")} == {wanted}
        for part in parts
    )


def phone_digits(text: str) -> str:
    """Give the digits of a telephone number, the country's 1 left out."""
    digits = "".join(character for character in text if character.isdigit())
    return digits.removeprefix("1") if len(digits) == _WITH_COUNTRY else digits


def unify_marks(text: str) -> str:
    """Write dashes, blanks, dots and slashes of every sort as those of a keyboard.

    Source: the characters of Unicode's categories Pd and Zs, and NFKC; dots and slashes that stand
    for others are common practice, no source.

    Example:
        >>> unify_marks("402\u2013555\u20110199")
        '402-555-0199'
    """
    plain = unicodedata.normalize("NFKC", text).translate(_ALIKE)
    return "".join(_KEYS.get(unicodedata.category(one), one) for one in plain)


def is_same_email(says: str, fact: str) -> bool:
    """Tell whether two e-mail addresses are one. Common practice, no source.

    Capitals, brackets round it, a mark after it and ``mailto:`` before it count for nothing.

    Example:
        >>> is_same_email("<mailto:Office@sandburflats.example>.", "office@sandburflats.example")
        True
    """
    return _bare_email(says) == _bare_email(fact)


def _bare_email(text: str) -> str:
    return unify_marks(text).casefold().strip(_ROUND).removeprefix("mailto:").strip(_ROUND)


def split_words(text: str) -> tuple[str, ...]:
    """Give the words of a text in small letters, without marks."""
    return tuple(_MARKS.sub(" ", text.casefold()).split())


def is_company_name(text: str) -> bool:
    """Tell whether a name ends like a company's."""
    words = split_words(text.replace(".", ""))
    return bool(words) and words[-1] in _COMPANY


def is_placeholder(text: str) -> bool:
    """Tell whether a text is only a line, dots or brackets to be written over."""
    return is_line(text)


def parse_amount(text: str) -> Decimal | None:
    """Read an amount of dollars such as ``$5.00``; anything else gives None.

    Example:
        >>> parse_amount("$1,240.5"), parse_amount("five")
        (Decimal('1240.5'), None)
    """
    found = _AMOUNT.fullmatch(text.strip().lower())
    if found is None:
        return None
    return Decimal(found[1].replace(",", "") + (found[2] or ""))
