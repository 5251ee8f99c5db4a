"""The papers this program writes itself, as plain values: what their pages say and leave open."""

from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from compliance.forms.model import BlankKind
from compliance.scan.model import Places

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
    is a heading that begins with this field. ``blank`` is the template's blank, ``kind`` its kind.
    """

    label: str
    note: str = ""
    section: str = ""
    known: Lines = ()
    rows: int = 0
    columns: Lines = ()
    table: tuple[Lines, ...] = ()
    choices: tuple[OwnChoice, ...] = ()
    blank: str = ""
    kind: BlankKind = BlankKind.TEXT


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSignLine:
    """One line of a signature block; ``tall`` leaves the room a signature takes.

    ``blank`` is the template's blank, empty when it has none; ``kind`` its kind.
    """

    label: str
    note: str = ""
    known: str = ""
    tall: bool = False
    blank: str = ""
    kind: BlankKind = BlankKind.TEXT


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCertificate:
    """A notary's certificate to be filled in by the notary.

    ``act`` are the words of the act up to its date. ``blanks`` are (kind, id) of the template's.
    """

    act: str
    by: str
    source: str
    blanks: tuple[tuple[BlankKind, str], ...] = ()

    def find_blank(self, kind: BlankKind) -> str:
        """Give the first blank of a kind, empty when there is none."""
        return next((name for one, name in self.blanks if one is kind), "")


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


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSpot:
    """What a place on a page is for.

    Shape: places of one ``way`` belong together, such as the cells of a row; of several ways one
    is enough, such as of boxes to tick or lines to write on. ``printed`` is what stands there
    already; such a place is not to be filled in.
    """

    blank: str
    kind: BlankKind
    label: str
    way: str = ""
    printed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPlace:
    """Where a place lies.

    Units: ``page`` counts from 0; points from the lower left of the page.
    """

    spot: OwnSpot
    page: int
    left: float
    bottom: float
    right: float
    top: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPages:
    """The pages of one of our own papers as printed.

    ``code`` is the name of this edition in its corner codes, ``codes`` their places page by page.
    ``places`` are in the order drawn.
    """

    pdf: bytes
    code: str
    codes: tuple[Places, ...]
    places: tuple[OwnPlace, ...]
