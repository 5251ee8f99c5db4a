"""The binder as plain values: sections, entries, what stands in them, and the copies between."""

from dataclasses import dataclass
from datetime import date
from typing import TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A paragraph; ``strong`` sets it in bold."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A label with its lines beside it; nothing is printed without lines."""

    label: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table; ``shares`` are the widths of its columns in hundredths of the line."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CopyPage:
    """One page of an attached copy: a picture, or a page of a PDF that was written anew.

    Units: PDF points for the size at which it may be shown at most; ``file`` and ``page`` count
    from 0 and mean nothing beside a ``picture``.
    """

    width: float
    height: float
    file: int = 0
    page: int = 0
    picture: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """An attached copy; without pages ``kept_out`` says why none can be shown."""

    number: int
    title: str
    pages: tuple[CopyPage, ...] = ()
    kept_out: str = ""


Block: TypeAlias = Words | Fact | Grid


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One paper, person or aircraft of a section, and the copies that follow it."""

    title: str
    blocks: tuple[Block, ...]
    copies: tuple[Copy, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section; what stands in ``blocks`` comes before its entries."""

    title: str
    blocks: tuple[Block, ...]
    entries: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Binder:
    """One binder: what stands on its cover, and its sections in order."""

    name: str
    as_of: date
    cover: tuple[Fact, ...]
    sections: tuple[Section, ...]
    caution: str
