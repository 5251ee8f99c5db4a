"""Texts typed at the command: held to what a file may say, so that an export can be read again."""

import unicodedata

from compliance.base.problems import RefusedError
from compliance.base.reading import MAX_TEXT
from compliance.base.sources import find_hidden

_BAD = frozenset({"Cc", "Cs"})  # control characters, halves of a character


def clean_typed(text: str, what: str) -> str:
    """Give a typed text on one line, blanks run together.

    Raises:
        RefusedError: It holds a control character, one that turns or hides text, or half a
            character, or is too long.
    """
    line = " ".join(text.split())
    if len(line) > MAX_TEXT:
        raise RefusedError(
            f"the {what} has {len(line):,} characters; at most {MAX_TEXT:,} are kept",
            hint="say it in fewer words",
        )
    bad = next((sign for sign in line if unicodedata.category(sign) in _BAD), find_hidden(line))
    if bad is not None:
        raise RefusedError(
            f"the {what} holds a character that cannot be kept (U+{ord(bad):04X})",
            hint="type it anew; what was copied may hold signs that cannot be seen",
        )
    return line
