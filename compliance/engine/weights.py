"""Weights as papers show them, in pounds or kilograms, held against the pounds of the facts.

One pound is 0.45359237 kg exactly: the agreement of 1959 between the English-speaking national
laboratories, in the United States 24 FR 5348 and NIST Special Publication 811, appendix B.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

KG_IN_A_POUND = Decimal("0.45359237")
_COARSEST = Decimal("0.05")
_POUNDS = frozenset({"lb", "lbs", "pound", "pounds", "#"})
_KILOGRAMS = frozenset({"kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"})
_UNIT = "|".join(sorted(_POUNDS | _KILOGRAMS, key=len, reverse=True))
_WEIGHT = re.compile(
    rf"((?:\d{{1,3}}(?:,\d{{3}})+|\d+)(?:\.\d+)?)(?:[\s\-]*({_UNIT})(?![a-z]))?\.?", re.IGNORECASE
)
_BETWEEN = re.compile(r"[\s()/=;:.,]*")
# What may stand beside the whole weight; any other word, such as `empty`, `about` or `less than`,
# may make another weight of it. Common practice, no source.
_BESIDE = re.compile(
    r"(?:with|incl|including)\.? (?:(?:full|all|the|a|its) )*"
    r"(?:(?:tanks?|fuel|batter(?:y|ies)|payload|load|liquid|product)(?: and | & |, )?(?:full )?)+"
    r"|with (?:everything|all) (?:attached|aboard|on board)"
    r"|\b(?:at|max|maximum|m\.?t\.?o\.?[wm]|m\.?g\.?t\.?o\.?w|g\.?t\.?o\.?w|m?gtow|mgw|auw|take-?\s?off|gross|total|all-?\s?up|full|fully|"
    r"loaded|weight|mass|and|or|is)\b\.?",
    re.IGNORECASE,
)
# Words of a label that would make another weight of it when they stand beside a number.
_NOT_OF_LABEL = frozenset(
    {"about", "above", "below", "dry", "empty", "exceed", "exceeding", "least", "less", "minus"}
    | {
        "more",
        "net",
        "no",
        "not",
        "only",
        "over",
        "payload",
        "than",
        "to",
        "under",
        "up",
        "without",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """One weight that stands on a paper; ``unit`` is ``lb``, ``kg`` or empty."""

    number: Decimal
    unit: str

    @property
    def pounds(self) -> Decimal:
        """Give it in pounds; one without a unit is taken as pounds."""
        return self.number / KG_IN_A_POUND if self.unit == "kg" else self.number

    def is_of(self, pounds: Decimal) -> bool:
        """Tell whether it is a weight of so many pounds.

        Pounds must be equal. Kilograms may be rounded to the last digit written, though never by
        more than 0.05 kg.
        """
        if self.unit != "kg":
            return self.number == pounds
        exponent = self.number.as_tuple().exponent
        half = Decimal(5).scaleb(int(exponent) - 1)
        return abs(self.number - pounds * KG_IN_A_POUND) <= min(half, _COARSEST)


def read_weights(text: str, label: str = "") -> tuple[Weight, ...]:
    """Read every weight in a text; empty when it cannot be made out.

    Words such as `max` or `take-off weight` may stand beside, and those of the blank's own *label*;
    with any other word nobody can tell whether it is the weight that was asked for.

    Example:
        >>> [(str(one.number), one.unit) for one in read_weights("118 lb (53.5 kg)")]
        [('118', 'lb'), ('53.5', 'kg')]
        >>> read_weights("118 stone"), read_weights("53,5 kg"), read_weights("118 lb empty")
        ((), (), ())
    """
    found = tuple(_WEIGHT.finditer(text))
    read = tuple(_make(one[1], (one[2] or "").casefold()) for one in found)
    beside = _BESIDE.sub(" ", _WEIGHT.sub(" ", text))
    is_clean = _BETWEEN.fullmatch(_leave_out(beside, label)) is not None
    has_comma = re.search(r"\d,\d", text) is not None and not _has_thousands(text)
    return read if is_clean and not has_comma else ()


def _leave_out(beside: str, label: str) -> str:
    """Leave out the words of a label, but for those that would make another weight of it."""
    own = set(re.findall(r"[a-z]+", label.casefold())) - _NOT_OF_LABEL
    return re.sub(r"[A-Za-z]+", lambda word: " " if word[0].casefold() in own else word[0], beside)


def _has_thousands(text: str) -> bool:
    """Tell whether every comma between digits parts thousands."""
    return all(re.match(r",\d{3}(?!\d)", text[one.start() :]) for one in re.finditer(r",\d", text))


def _make(number: str, unit: str) -> Weight:
    value = Decimal(number.replace(",", ""))
    if unit in _POUNDS:
        return Weight(number=value, unit="lb")
    return Weight(number=value, unit="kg" if unit in _KILOGRAMS else "")
