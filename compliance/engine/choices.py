"""Which box of a choice is ticked, by what was said or by the box's label on the form."""

from compliance.engine.check_words import split_words
from compliance.forms.model import Blank

_OTHER_WORDS = {
    "llc": ("limited liability company", "l l c", "limited liability co"),
    "co-owner": ("co owned", "co ownership", "co owners"),
    "non-citizen corporation": ("non citizen corp",),
}
BETWEEN = "; "
"""Stands between the boxes when more than one is ticked."""


def find_boxes(blank: Blank, says: str) -> tuple[str, ...]:
    """Give the boxes that a text names, in the order of the choice.

    Shape: names of ``one_of``; what stands between semicolons and names none is given as it is.

    """
    found: list[str] = []
    for part in filter(None, (one.strip() for one in says.split(BETWEEN.strip()))):
        found.extend(_name_boxes(blank, part) or [part])
    return tuple(dict.fromkeys(found))


def _name_boxes(blank: Blank, text: str) -> list[str]:
    rest = f" {' '.join(split_words(text))} "
    named = set()
    # The longest first, so that its words are not taken for a shorter box's.
    for option in sorted(blank.one_of, key=len, reverse=True):
        for words in (" ".join(split_words(option)), *_OTHER_WORDS.get(option, ())):
            if f" {words} " in rest:
                named.add(option)
                rest = rest.replace(f" {words} ", " ")
    return [option for option in blank.one_of if option in named]
