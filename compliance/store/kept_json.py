"""Values kept as JSON text in a row, read back strictly: a damaged one is told, never guessed."""

import json
from collections.abc import Mapping
from typing import TypeVar, get_type_hints

T = TypeVar("T")


def parse_kept(kind: type[T], text: str) -> tuple[T, ...]:
    """Read a list of flat values kept as JSON.

    Shape: as :func:`read_kept_entry`, one value for each entry.

    Raises:
        ValueError, TypeError: It is no JSON, no list, or an entry is not of that kind.
    """
    found = json.loads(text)
    if not isinstance(found, list):
        raise TypeError("no list where one belongs")
    return tuple(read_kept_entry(kind, entry) for entry in found)


def read_kept_entry(kind: type[T], entry: object) -> T:
    """Read one flat value back: a frozen dataclass of texts, numbers, truths and lists of texts.

    Raises:
        ValueError, TypeError: A key is missing or too many, or a value has another type.
    """
    hints = get_type_hints(kind)
    if not isinstance(entry, Mapping):
        raise TypeError(f"{entry!r} where a {kind.__name__} belongs")
    unknown = sorted(str(name) for name in entry.keys() - hints.keys())
    if unknown:
        raise ValueError(f"a {kind.__name__} has no {', '.join(unknown)}")
    return kind(**{name: _read(name, hints[name], entry[name]) for name in entry})


def _read(name: str, wanted: object, value: object) -> object:
    """Give a value as its type wants it: JSON has lists for tuples and may write 1 for 1.0."""
    if wanted == tuple[str, ...] and isinstance(value, list):
        if all(isinstance(one, str) for one in value):
            return tuple(value)
    elif wanted is float and isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    elif type(value) is wanted:
        return value
    raise ValueError(f"{name} holds {value!r}")
