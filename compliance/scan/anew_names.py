"""What those who write pages anew and those who place them agree on; it loads no library."""

from dataclasses import dataclass

PAGE_FORM = "/Whole"
"""The name under which a page written anew holds its drawing."""

LOCKED = "it opens only with a password"
NOT_TO_BE_PRINTED = "whoever made it does not allow it to be printed"
HIDDEN_LAYERS = "it has layers that are hidden; print it as PDF and attach that"
OTHER_LANGUAGE = "only some viewers draw its form; print it as PDF and attach that"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPage:
    """Where one page written anew goes: ``sheet`` of ours, ``file`` and ``page`` of theirs, from 0.

    Units: PDF points for the lower left corner; ``scale`` is 1 for the page's own size.
    """

    sheet: int
    file: int
    page: int
    left: float
    bottom: float
    scale: float
