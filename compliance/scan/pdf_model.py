"""What was read from a PDF: its pages, its fields, the marks drawn on it and its signatures."""

from dataclasses import dataclass
from enum import StrEnum


class PdfKind(StrEnum):
    """What sort of PDF it is, which decides how it can be checked.

    ``flattened`` has print on its pages but no fields; ``scanned`` has only pictures;
    ``xfa-only`` keeps its fields in a form language that only some viewers draw; ``empty`` has
    nothing on its pages.
    """

    FILLABLE = "fillable"
    FLATTENED = "flattened"
    SCANNED = "scanned"
    XFA_ONLY = "xfa-only"
    EMPTY = "empty"
    ENCRYPTED = "encrypted"
    DAMAGED = "damaged"


class FieldKind(StrEnum):
    """What sort of field it is."""

    TEXT = "text"
    CHECK = "check"
    RADIO = "radio"
    CHOICE = "choice"
    SIGNATURE = "signature"
    BUTTON = "button"


class SealState(StrEnum):
    """How a signature field was signed, if it was."""

    UNSIGNED = "unsigned"
    DRAWN = "drawn"
    SIGNED = "signed"


class Shown(StrEnum):
    """What prints where the boxes of a field are, against what the field holds.

    ``nothing``: no box of it would print what it holds, and nothing else either; ``cut``: a box is
    too small, so that only a part of it would be printed; ``other``: something else would be.
    """

    AS_HELD = "as-held"
    NOTHING = "nothing"
    CUT = "cut"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSize:
    """Size of a page as it is shown, turned pages included; in PDF points (1/72 inch)."""

    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PdfFacts:
    """What a PDF is before anything on it is judged.

    ``is_encrypted`` is True for a file that opens without a password but restricts what a viewer
    may do with it.
    """

    kind: PdfKind
    pages: tuple[PageSize, ...]
    is_encrypted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A rectangle on a page and the words printed beside it.

    Units: ``page`` counts from 0; PDF points (1/72 inch), origin at the lower left of the page as
    it is shown.
    """

    page: int
    left: float
    bottom: float
    right: float
    top: float
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something drawn, stamped or typed on a page that is not a field; ``kind`` as in the PDF."""

    kind: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Seal:
    """What can be said about a signature field.

    ``is_intact``: the signed bytes give the digest that was signed; None when that cannot be
    worked out. ``covers_file``: nothing follows the signed bytes; ``added_bytes`` counts what does
    and ``changed_fields`` names the fields whose value differs from the one that was signed.
    Whether the certificate belongs to the person, and whether the signature was made with it, is
    never judged.
    """

    state: SealState
    is_intact: bool | None = None
    covers_file: bool = False
    added_bytes: int = 0
    changed_fields: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field of a fillable PDF with everything that shows what it is for.

    Shape: ``places`` has one entry for each box of the field, none when it is on no page.
    ``is_empty``: no value, only blanks, or no box ticked. ``is_preset``: still the value that the
    blank form came with. ``shown`` says whether what it holds is what prints, ``shown_text`` what
    prints instead, where that can be read. ``seal`` is None unless it is a signature field.
    """

    name: str
    kind: FieldKind
    value: str = ""
    is_empty: bool
    is_required: bool = False
    is_read_only: bool = False
    is_hidden: bool = False
    is_preset: bool = False
    shown: Shown = Shown.AS_HELD
    shown_text: str = ""
    tooltip: str = ""
    places: tuple[Place, ...] = ()
    seal: Seal | None = None

    @property
    def page(self) -> int | None:
        """Give the page of its first box, counted from 0."""
        return self.places[0].page if self.places else None

    @property
    def label_nearby(self) -> str:
        """Give the words printed beside its boxes."""
        return " / ".join(dict.fromkeys(place.label for place in self.places if place.label))


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldsRead:
    """What was read from a PDF; ``why`` says in a sentence what its kind means for the check.

    Shape: fields in reading order of their first boxes, those on no page last. ``has_xfa`` is
    True when the file also carries the form in the other form language, whose values may differ.
    ``heading`` holds the words printed on the upper third of the first page, ``printed`` all words
    on the pages, a run of words with its place each, fields left out. ``cleaned`` names the fields
    that held signs which do not print; those were left out of ``value``.
    """

    kind: PdfKind
    why: str
    fields: tuple[Field, ...] = ()
    marks: tuple[Mark, ...] = ()
    has_xfa: bool = False
    heading: str = ""
    printed: tuple[Place, ...] = ()
    cleaned: tuple[str, ...] = ()
