"""Plain values to YAML text that reads back as the same values."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Unset:
    """A key without a value yet; ``note`` is written behind it as a comment of one line."""

    note: str


Leaf: TypeAlias = str | bool | int | Decimal | date | Unset
Tree: TypeAlias = Leaf | Sequence["Tree"] | Mapping[str, "Tree"]

# Words only, so that no reader of YAML, old or new, takes a text for a number, a date or a flag.
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9.@-]*(,? [A-Za-z0-9.@-]+)*", re.ASCII)
_WORD = re.compile(r"[a-z][a-z0-9-]*", re.ASCII)
_NOT_TEXT = frozenset({"null", "true", "false", "yes", "no", "on", "off", "y", "n"})
_ASCII_END, _SHORT_END = 0x100, 0x10000


def render_yaml(tree: Mapping[str, Tree]) -> str:
    r"""Write a mapping as YAML, keys in the order given, two blanks to a level.

    Shape: ends with a line break; an empty mapping gives ``{}``. Texts are quoted unless they are
    plainly words; every character that does not print is written as an escape. Keys are names of
    our own and are written as they are.

    Example:
        >>> render_yaml({"id": "tg46", "serial": "0046", "days": ["tue", "thu"]})
        'id: tg46\nserial: "0046"\ndays: [tue, thu]\n'
    """
    return "\n".join(_block(tree) or ["{}"]) + "\n"


def _block(value: Tree) -> list[str] | None:
    """The lines of a value, or None for one that stands on the line of its key."""
    if isinstance(value, Mapping):
        return _entries(value) if value else None
    if isinstance(value, str) or not isinstance(value, Sequence) or _is_flow(value):
        return None
    lines: list[str] = []
    for item in value:
        below = _block(item) or [_inline(item)]
        lines.extend(f"{'- ' if row == 0 else '  '}{line}" for row, line in enumerate(below))
    return lines


def _entries(tree: Mapping[str, Tree]) -> list[str]:
    lines: list[str] = []
    for key, value in tree.items():
        below = _block(value)
        lines.append(f"{key}:" if below else f"{key}: {_inline(value)}")
        lines.extend(f"  {line}" for line in below or ())
    return lines


def _inline(value: Tree) -> str:
    """A leaf, an empty mapping, or a list of short words."""
    if isinstance(value, Unset):
        return f" # {' '.join(value.note.split())}"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Mapping):
        return "{}"
    if isinstance(value, Sequence):
        return f"[{', '.join(str(item) for item in value)}]"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _is_flow(items: Sequence[Tree]) -> bool:
    return all(isinstance(item, str) and _is_word(item) for item in items)


def _is_word(text: str) -> bool:
    return _WORD.fullmatch(text) is not None and text not in _NOT_TEXT


def _text(text: str) -> str:
    if _PLAIN.fullmatch(text) is not None and text.lower() not in _NOT_TEXT:
        return text
    return f'"{"".join(_escaped(character) for character in text)}"'


def _escaped(character: str) -> str:
    if character in {'"', "\\"}:
        return f"\\{character}"
    if character.isprintable():
        return character
    number = ord(character)
    if number < _ASCII_END:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < _SHORT_END else f"\\U{number:08x}"
