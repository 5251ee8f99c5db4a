"""Whether a text on a form is a person's own, however it is written.

Common practice, no source: a serial number behind its letters, a name turned round its comma, a
telephone number with its country code.
"""

import re

from compliance.engine.check_words import squash

SHORTEST = 4
"""Letters and digits of a text that is somebody's own; `NE` or `Yes` is nobody's."""
_SURE = 7
"""So long a text is somebody's own beside other words too."""
_PHONE, _WITH_COUNTRY = 10, 11
_TOWN = re.compile(r"[^\d]*[ ,][A-Z]{2}\.? ?\d{5}(-\d{4})?")
_BARE_TOWN = re.compile(r"[a-z]+[a-z]{2}\d{5}(\d{4})?")


def is_own(text: str, own: frozenset[str]) -> bool:
    """Tell whether a text is one of a person's *own*, or holds a long one.

    *own* are bare letters and digits, as ``squash`` leaves them. A town with its ZIP counts alone
    only: other addresses hold it too.
    """
    bare = squash(text)
    first, comma, last = text.partition(",")
    turned = squash(f"{last}{first}") if comma else bare
    if not own.isdisjoint({bare, turned}):
        return True
    digits = "".join(sign for sign in text if sign.isdigit())
    if len(digits) == _WITH_COUNTRY:
        digits = digits.removeprefix("1")
    has_phone = len(digits) == _PHONE and digits in own
    return has_phone or any(
        len(one) >= _SURE and one in bare and not _BARE_TOWN.fullmatch(one) for one in own
    )


def is_town_line(text: str) -> bool:
    """Tell whether a text is a town with its state and ZIP, and no street."""
    return _TOWN.fullmatch(text.strip()) is not None
