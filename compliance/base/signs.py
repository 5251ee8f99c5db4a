"""Signs that do not print: they steer a screen, turn or hide text, or are half a character."""

import re
import unicodedata

# Surrogates are halves of characters: they come from careless decoding and break libyaml.
# Beside the control characters those that turn or hide text: a name that is compared letter for
# letter must not look like another.
HIDDEN = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]"
)

# Whatever may have to go; a text without it, as nearly all are, is given back at once.
_SUSPECT = re.compile(rf"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]|{HIDDEN.pattern}")
_RETURN = re.compile(r"\r(?!\n)")
_STAY = frozenset("\n\r\t")
_BREAKS = frozenset("\x0b\x0c\x85\u2028\u2029")
_NO_SIGNS = frozenset({"Cc", "Cs"})


def drop_signs(text: str) -> str:
    r"""Leave out what does not print; a sign that begins a new line or page becomes a blank.

    Line breaks and tabs stay; a lone carriage return is a line break.

    Example:
        >>> drop_signs("Mem\x0bber \x1b[31mA\u202eB"), drop_signs("a\r\n\tb")
        ('Mem ber [31mAB', 'a\r\n\tb')
    """
    if not _SUSPECT.search(text):
        return text
    return "".join(_keep(sign) for sign in _RETURN.sub("\n", text))


def show_signs(text: str) -> str:
    r"""Give a text as a screen may have it: halves of characters are written out, as of file names.

    Example:
        >>> show_signs("caf\udce9 \x1b[31mA")
        'caf\\udce9 [31mA'
    """
    return drop_signs(text.encode("utf-8", "backslashreplace").decode("utf-8"))


def has_signs(text: str) -> bool:
    """Tell whether a text holds a sign that :func:`drop_signs` leaves out or makes a blank."""
    return any(_keep(sign) != sign for sign in text)


def _keep(sign: str) -> str:
    if sign in _STAY:
        return sign
    if sign in _BREAKS:
        return " "
    is_bad = unicodedata.category(sign) in _NO_SIGNS or HIDDEN.match(sign) is not None
    return "" if is_bad else sign
