"""The papers this program writes itself, as plain values: what their pages say and leave open."""

from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

Lines: TypeAlias = tuple[str, ...]
"""Plain text, one entry a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnChoice:
    """One box to tick, with the words beside it."""

    text: str
    ticked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnField:
    """One thing the paper asks for, with what is known of it.

    Shape: ``known`` are lines that are printed; ``rows`` counts empty ruled lines under them.
    ``table`` has a cell for each of ``columns``; an empty cell is a line to write on. ``section``
    is a heading that begins with this field.
    """

    label: str
    note: str = ""
    section: str = ""
    known: Lines = ()
    rows: int = 0
    columns: Lines = ()
    table: tuple[Lines, ...] = ()
    choices: tuple[OwnChoice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSignLine:
    """One line of a signature block; ``tall`` leaves the room a signature takes."""

    label: str
    note: str = ""
    known: str = ""
    tall: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCertificate:
    """A notary's certificate to be filled in by the notary.

    ``act`` are the words of the act up to its date.
    """

    act: str
    by: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnDocument:
    """One paper written from the facts.

    Shape: ``name`` is the last part of the document row's id. ``addressed`` tells that it goes to
    somebody, who is written in by hand when ``to_lines`` is empty. ``signatures`` holds a block
    for each person who signs. ``written_after`` names the rule the contents follow.
    """

    name: str
    title: str
    packet_id: str
    as_of: date
    from_lines: Lines
    to_lines: Lines
    addressed: bool
    re_lines: Lines
    opening: str
    fields: tuple[OwnField, ...]
    enclosures: Lines
    closing: str
    signatures: tuple[tuple[OwnSignLine, ...], ...]
    certificate: OwnCertificate | None
    written_after: str
