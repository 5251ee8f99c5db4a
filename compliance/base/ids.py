"""The two forms of id: a plain name, and the dotted id of a row of the rules table."""

import re

MAX_ID = 60

_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", re.ASCII)
_DOTTED = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*(\.[a-z0-9]+(-[a-z0-9]+)*)+", re.ASCII)

NAME_FORM = "lower-case words and digits joined by hyphens, such as `north-40`"
DOTTED_FORM = "lower-case words joined by dots, such as `faa.exemption`"


def is_name(text: str) -> bool:
    """Tell whether a text is a plain name of at most 60 characters.

    Example:
        >>> is_name("tg46"), is_name("TG 46")
        (True, False)
    """
    return len(text) <= MAX_ID and _NAME.fullmatch(text) is not None


def is_dotted_id(text: str) -> bool:
    """Tell whether a text has the form of a rule's id, of at most 60 characters.

    Example:
        >>> is_dotted_id("ne.aerial-business"), is_dotted_id("nebraska")
        (True, False)
    """
    return len(text) <= MAX_ID and _DOTTED.fullmatch(text) is not None
