"""An amount of dollars in words, as on a check, to a number and back."""

import re
from decimal import Decimal

_SMALL = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen"),
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_VALUES = (
    {word: number for number, word in enumerate(_SMALL)}
    | {word: 10 * number for number, word in enumerate(_TENS, 2)}
    | {"fourty": 40, "ninty": 90, "a": 1, "no": 0}
)
_SCALES = {"thousand": 1_000, "million": 1_000_000}
_CENTS = re.compile(r"(\d{1,2}|no|xx|x|00)\s*/\s*100")
_FILLER = frozenset({"dollar", "dollars", "usd", "us", "only", "exactly", "even", "and", "the"})
_MARKS = re.compile(r"[^a-z0-9/ ]+")
_TWENTY, _HUNDRED = 20, 100
LEAST_TOO_LARGE = 1_000_000
"""No amount from here on is said in words."""


def read_dollars(text: str) -> Decimal | None:
    """Read an amount in words; None when a word is not understood.

    Cents are written as a fraction of a hundred or in words after the dollars.

    Example:
        >>> read_dollars("Thirty-five and 50/100 dollars"), read_dollars("fifty dollars and up")
        (Decimal('35.5'), None)
    """
    plain = " ".join(_MARKS.sub(" ", text.casefold()).split())
    cents = Decimal(0)
    fraction = _CENTS.search(plain)
    if fraction is not None:
        cents = Decimal(int(fraction[1]) if fraction[1].isdigit() else 0)
        plain = plain[: fraction.start()] + plain[fraction.end() :]
    elif re.search(r"\bcents?\b", plain):
        plain, _, small = re.sub(r"\bcents?\b.*", "", plain).rpartition("dollar")
        read = _read_whole(small.removeprefix("s"))
        if not plain or read is None or read >= _HUNDRED:
            return None
        cents = Decimal(read)
    whole = _read_whole(plain)
    return None if whole is None else Decimal(whole) + cents / _HUNDRED


def _read_whole(text: str) -> int | None:
    words = [word for word in text.split() if word not in _FILLER]
    total, part, seen = 0, 0, False
    for word in words:
        if word in _VALUES and _fits(part, _VALUES[word]):
            part += _VALUES[word]
        elif word == "hundred" and 0 < part < _HUNDRED:
            part *= _HUNDRED
        elif word in _SCALES and part:
            total, part = total + part * _SCALES[word], 0
        else:
            return None
        seen = True
    return total + part if seen else None


def _fits(part: int, value: int) -> bool:
    """Tell whether a number word may follow: five after twenty or a hundred, not after five."""
    room = 10 if value in range(1, 10) and part % _HUNDRED >= _TWENTY else _HUNDRED
    return part % room == 0


def say_dollars(amount: Decimal) -> str:
    """Say an amount under a million dollars as on a check.

    Raises:
        ValueError: It is negative, or a million or more.
    """
    whole = int(amount)
    if amount < 0 or whole >= LEAST_TOO_LARGE:
        raise ValueError(f"{amount} is no amount of a check")
    cents = int((amount - whole) * _HUNDRED)
    thousands, rest = divmod(whole, 1_000)
    words = [f"{_say(thousands)} thousand"] if thousands else []
    if rest or not words:
        words.append(_say(rest))
    end = f" and {cents:02}/100" if cents else ""
    return f"{' '.join(words)}{end} {'dollar' if whole == 1 and not cents else 'dollars'}"


def _say(number: int) -> str:
    hundreds, rest = divmod(number, _HUNDRED)
    words = [f"{_SMALL[hundreds]} hundred"] if hundreds else []
    if rest and rest < len(_SMALL):
        words.append(_SMALL[rest])
    elif rest:
        tens, ones = divmod(rest, 10)
        words.append(_TENS[tens - 2] + (f"-{_SMALL[ones]}" if ones else ""))
    return " ".join(words) or _SMALL[0]
