"""Tell whether a text that prints is the text a field holds, written another way perhaps.

Source: ISO 32000-1 12.7.3.3 (variable text is drawn from the value, in lines, in comb cells, cut
off at the box). How programs write dates and numbers another way is common practice, no source.
"""

import re
import unicodedata
from itertools import permutations

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_PARTS_OF_DAY = 3
_MOST_DAYS, _MOST_MONTHS, _CENTURY = 31, 12, 100
_ADDED = re.compile(r"[$€£%,\s]")


def is_same_text(held: str, printed: str, *, is_formatted: bool = False) -> bool:
    """Tell whether a printed text says what a field holds.

    Shape: blanks, lines, marks, small and capital letters and accents do not count; a day or a
    number may be written another way. With *is_formatted* the form itself writes the value another
    way, so that a text with digits may stand for another one with digits.
    """
    one, two = squeeze(held), squeeze(printed)
    if not one:
        # Only marks, such as a dash: whatever marks are printed stand for it.
        return not two and bool(printed.strip())
    if one == two or (one.isascii() != two.isascii() and _ascii(one) == _ascii(two) != ""):
        return True
    if is_formatted and re.search(r"\d", one) and re.search(r"\d", two):
        return True
    return _is_same_number(held, printed) or bool(_days(held) & _days(printed))


def is_part(held: str, printed: str) -> bool:
    """Tell whether a printed text is a part of what a field holds, cut off at the box."""
    two = squeeze(printed)
    return bool(two) and two in squeeze(held)


def is_sifted(held: str, printed: str) -> bool:
    """Tell whether a printed text is what a field holds with letters left out anywhere.

    Of a line that lies half outside a box the letters that reach low are lost and others are not.
    """
    letters = iter(squeeze(held))
    return bool(squeeze(printed)) and all(one in letters for one in squeeze(printed))


def squeeze(text: str) -> str:
    """Give the letters and digits of a text alone, small and without accents."""
    parted = unicodedata.normalize("NFKD", text).casefold()
    return "".join(letter for letter in parted if letter.isalnum())


def _ascii(text: str) -> str:
    """Leave letters out that the font of a form may not have."""
    return "".join(letter for letter in text if letter.isascii())


def _is_same_number(held: str, printed: str) -> bool:
    try:
        return float(_ADDED.sub("", held)) == float(_ADDED.sub("", printed))
    except ValueError:
        return False


def _days(text: str) -> set[tuple[int, int, int]]:
    """Give the days (year of the century, month, day) a text may stand for."""
    low = text.casefold()
    named = re.search(rf"\b({'|'.join(_MONTHS)})[a-z]*\b", low)
    digits = re.findall(r"\d+", low)
    if named:
        digits.append(str(_MONTHS.index(named[1]) + 1))
        low = low.replace(named[0], "")
    if len(digits) != _PARTS_OF_DAY or re.search(r"[a-z]{3}", low):
        return set()
    found = set()
    for year, month, day in permutations([int(one[-4:]) for one in digits]):
        is_named = not named or month == int(digits[-1])
        if is_named and 1 <= month <= _MOST_MONTHS and 1 <= day <= _MOST_DAYS:
            found.add((year % _CENTURY, month, day))
    return found
