"""Typed reading of located nodes: every fault becomes a problem, and reading goes on."""

import difflib
import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from compliance.base.dates import FIRST_YEAR, LAST_YEAR, parse_iso_date, say_how_to_write
from compliance.base.problems import Problem, SourceRef
from compliance.base.sources import Mapping, Node, Scalar, Sequence

_YES = {"yes": True, "true": True, "no": False, "false": False}
MAX_TEXT = 2_000
_WHOLE = re.compile(r"-?\d{1,9}", re.ASCII)
_NUMBER = re.compile(r"-?\d{1,9}(\.\d{1,6})?", re.ASCII)


class Reader:
    """Read the keys of one mapping, noting faults under the codes of one family.

    Each getter returns a value of the right type, or its default after noting a problem, so that
    all faults of a file come out together. Call :meth:`finish` last: it reports unknown keys.

    Codes (with the family's letter): x01 not a mapping, x02 unknown key, x03 missing key, x04 wrong
    type, x05 not one of the choices, x06 not a date, x07 out of range, x08 empty or too long.
    """

    def __init__(self, node: Node, what: str, family: str, problems: list[Problem]) -> None:
        self.what = what
        self.family = family
        self.problems = problems
        self.place = node.place
        self._entries: dict[str, tuple[SourceRef, Node]] = {}
        self._seen: list[str] = []
        self.usable = isinstance(node, Mapping)
        if isinstance(node, Mapping):
            self._entries = node.entries
        else:
            self.note("01", node.place, f"{what} must be a set of `key: value` lines")

    def note(self, number: str, place: SourceRef, sentence: str, hint: str = "") -> None:
        """Record a problem of this family."""
        code = f"{self.family}{number}"
        self.problems.append(Problem(place=place, code=code, sentence=sentence, hint=hint))

    def has(self, key: str) -> bool:
        """Tell whether the key stands in the mapping."""
        return key in self._entries

    def place_of(self, key: str) -> SourceRef:
        """Give the place of a key's value, or of the mapping when the key is missing."""
        entry = self._entries.get(key)
        return entry[1].place if entry else self.place

    def node(self, key: str, *, required: bool = False) -> Node | None:
        """Give the raw node of a key; a required one that is missing is noted."""
        self._seen.append(key)
        entry = self._entries.get(key)
        if entry is None:
            if required and self.usable:
                self.note(
                    "03", self.place, f"{self.what} lacks `{key}`", f"add a line `{key}: ...`"
                )
            return None
        return entry[1]

    def scalar(self, key: str, *, required: bool = False) -> Scalar | None:
        """Give a single value as written; lists and mappings are noted as the wrong type."""
        node = self.node(key, required=required)
        if node is None or isinstance(node, Scalar):
            return node
        self.note("04", node.place, f"`{key}` of {self.what} must be a single value")
        return None

    def text(self, key: str, *, required: bool = True, default: str = "") -> str:
        """Give a text of 1 to 2,000 characters with outer blanks removed."""
        scalar = self.scalar(key, required=required)
        if scalar is None:
            return default
        value = scalar.text.strip()
        if not value or (scalar.plain and value in {"~", "null"}):
            if required:
                self.note("08", scalar.place, f"`{key}` of {self.what} is empty", "fill it in")
            return default
        if len(value) > MAX_TEXT:
            sentence = f"`{key}` of {self.what} has {len(value):,} characters; at most {MAX_TEXT:,}"
            self.note("08", scalar.place, sentence)
            return default
        return value

    def choice(self, key: str, allowed: Iterable[str], *, default: str | None = None) -> str:
        """Give one of the allowed words; a missing key gives the default, or is noted."""
        names = tuple(allowed)
        scalar = self.scalar(key, required=default is None)
        if scalar is None:
            return names[0] if default is None else default
        word = scalar.text.strip()
        if word in names:
            return word
        sentence = f"`{key}` of {self.what} is {word!r}; allowed: {', '.join(names)}"
        self.note("05", scalar.place, sentence, suggest(word, names))
        return names[0] if default is None else default

    def flag(self, key: str, *, default: bool | None = None) -> bool:
        """Give yes or no; a missing key gives the default, or is noted."""
        scalar = self.scalar(key, required=default is None)
        if scalar is None:
            return bool(default)
        value = _YES.get(scalar.text.strip().lower())
        if value is None:
            sentence = f"`{key}` of {self.what} is {scalar.text!r}; allowed: yes, no"
            self.note("05", scalar.place, sentence)
            return bool(default)
        return value

    def date(self, key: str, *, required: bool = False) -> date | None:
        """Give an ISO date, or None."""
        scalar = self.scalar(key, required=required)
        if scalar is None:
            return None
        day = parse_iso_date(scalar.text.strip())
        if day is None:
            sentence = f"`{key}` of {self.what} is {scalar.text!r}, which is no date"
            how = say_how_to_write(scalar.text.strip(), "2027-05-24")
            hint = f"{how}, within {FIRST_YEAR}-{LAST_YEAR}"
            self.note("06", scalar.place, sentence, hint)
        return day

    def whole(self, key: str, *, low: int, high: int, default: int | None = None) -> int:
        """Give a whole number with low <= number <= high."""
        scalar = self.scalar(key, required=default is None)
        fallback = low if default is None else default
        if scalar is None:
            return fallback
        word = scalar.text.strip()
        if _WHOLE.fullmatch(word) is None:
            self.note("04", scalar.place, f"`{key}` of {self.what} is {word!r}, no whole number")
            return fallback
        number = int(word)
        if not low <= number <= high:
            sentence = f"`{key}` of {self.what} is {number}; it must be {low:,} to {high:,}"
            self.note("07", scalar.place, sentence)
            return fallback
        return number

    def number(self, key: str, *, above: int, most: int, required: bool = True) -> Decimal | None:
        """Give a decimal number with above < number <= most, or None."""
        scalar = self.scalar(key, required=required)
        if scalar is None:
            return None
        word = scalar.text.strip()
        if _NUMBER.fullmatch(word) is None:
            hint = "write digits, without commas, for example 118 or 54.9"
            sentence = f"`{key}` of {self.what} is {word!r}, which is no number"
            self.note("04", scalar.place, sentence, hint)
            return None
        value = Decimal(word)
        if not above < value <= most:
            sentence = (
                f"`{key}` of {self.what} is {word}; it must be over {above:,} and at most {most:,}"
            )
            self.note("07", scalar.place, sentence)
            return None
        return value

    def items(self, key: str, *, required: bool = False) -> tuple[Node, ...]:
        """Give the nodes of a list; a missing key gives an empty tuple."""
        node = self.node(key, required=required)
        if node is None or (isinstance(node, Scalar) and node.text.strip() in {"", "~"}):
            return ()
        if isinstance(node, Sequence):
            return node.items
        self.note("04", node.place, f"`{key}` of {self.what} must be a list", "begin lines with -")
        return ()

    def words(self, key: str, *, required: bool = False) -> tuple[str, ...]:
        """Give a list of texts; one text alone counts as a list of one."""
        node = self.node(key, required=required)
        if isinstance(node, Scalar):
            return (node.text.strip(),) if node.text.strip() else ()
        found: list[str] = []
        for item in self.items(key):
            if isinstance(item, Scalar) and item.text.strip():
                found.append(item.text.strip())
            else:
                self.note("04", item.place, f"`{key}` of {self.what} must list single values")
        return tuple(found)

    def part(self, key: str, what: str, *, required: bool = False) -> "Reader | None":
        """Give a reader for a mapping below a key, or None when it is missing."""
        node = self.node(key, required=required)
        return None if node is None else Reader(node, what, self.family, self.problems)

    def finish(self) -> None:
        """Report every key that no getter asked for."""
        for key, (place, _) in self._entries.items():
            if key not in self._seen:
                hint = (
                    suggest(key, self._seen)
                    or f"known here: {', '.join(dict.fromkeys(self._seen))}"
                )
                self.note(
                    "02", place, f"{self.what} has an entry `{key}` that is not known here", hint
                )


def suggest(word: str, known: Iterable[str]) -> str:
    """Give `did you mean ...?` for the nearest known word, or an empty text."""
    near = difflib.get_close_matches(word, tuple(known), n=1, cutoff=0.6)
    return f"did you mean `{near[0]}`?" if near else ""
