"""The sheet that travels on top of a packet, and the copy of it that stays at home."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from typing import TypeAlias

from reportlab.platypus import Flowable, KeepTogether, Spacer

from compliance.outputs.checklist_pdf import make_mail_days
from compliance.outputs.pdf_kit import (
    TEXT_WIDTH,
    Footer,
    Part,
    make_banner,
    make_block,
    make_heading,
    make_table,
    make_text,
    make_write_lines,
    render_pages,
)

Lines: TypeAlias = tuple[str, ...]
"""Plain text, one entry a line."""

_COLUMNS = ("Enclosed", "Originals", "Copies", "Note")
_WIDTHS = (TEXT_WIDTH - 290, 62.0, 52.0, 176.0)
_RETURN_REQUEST = (
    "If these papers have to come back, please send this sheet back with them: the packet number "
    "above tells us which ones they are."
)
_AFTERWARDS = (
    ("Date mailed", "Who took it"),
    ("Carrier, tracking no.",),
    ("Date received", "Date returned"),
    ("Why it came back",),
    ("",),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class EnclosureLine:
    """One thing in the envelope: how many originals and how many copies of it."""

    title: str
    originals: int
    copies: int
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeLine:
    """The payment in the envelope: amount as written, payee, way of paying, and the citation."""

    amount_text: str
    payee: str
    method: str
    citation: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverSheet:
    """Everything the two sheets say.

    Shape: plain text, one entry a line. ``courier_lines`` is empty when there is no street
    address for a carrier. ``fee`` is None when no money goes with the packet. ``counts_on`` says
    what the deadline looks at, such as "must be received by".
    Units: ``last_mail_by`` and ``safe_mail_by`` are the last days that are on time, inclusive;
    None when no deadline was worked out. ``verb`` is ``mail`` or ``file``.
    ``look_out`` stands on the copy to keep alone.
    """

    packet_id: str
    as_of: date
    from_lines: Lines
    to_lines: Lines
    re_lines: Lines
    enclosures: tuple[EnclosureLine, ...]
    caution: str
    courier_lines: Lines = ()
    fee: FeeLine | None = None
    contact_lines: Lines = ()
    counts_on: str = ""
    last_mail_by: date | None = None
    safe_mail_by: date | None = None
    citations: Lines = ()
    verb: str = "mail"
    checked: str = ""
    look_out: Lines = ()


def render_coversheet(sheet: CoverSheet) -> bytes:
    """Make the PDF: the sheet for the envelope, then the copy to keep.

    The sheet for the envelope says nothing about our own mailing days; they are nobody's
    business but the keeper's. Equal input gives equal bytes.

    Raises:
        ValueError: if the packet id is empty or too long for a QR code, or if the caution is too
            long for the foot of a page.
    """
    footer = Footer(packet_id=sheet.packet_id, as_of=sheet.as_of, caution=sheet.caution)
    parts = (
        Part(name="For the envelope", build=lambda: _build_envelope(sheet)),
        Part(name="Keep this copy", build=lambda: _build_keep(sheet)),
    )
    return render_pages(f"Cover sheet {sheet.packet_id}", footer, parts)


def _build_envelope(sheet: CoverSheet) -> list[Flowable]:
    return [
        *make_banner("Cover sheet", sheet.packet_id),
        *_build_essentials(sheet, _keep_lines),
        Spacer(0, 10),
        KeepTogether(
            [
                make_write_lines((("Date mailed", "Mailed by"),)),
                Spacer(0, 12),
                make_text(_RETURN_REQUEST),
            ]
        ),
    ]


def _build_keep(sheet: CoverSheet) -> list[Flowable]:
    return [
        *make_banner(
            "Keep this copy",
            sheet.packet_id,
            ("It stays at home. Write on it what happens to the packet.",),
        ),
        *_build_days(sheet),
        # The keeper knows who it is from; the room is needed for what happens to it.
        *_build_essentials(replace(sheet, from_lines=(), contact_lines=()), _join_lines),
        Spacer(0, 4),
        *make_block("Rules", sheet.citations),
        *make_block("Look out", sheet.look_out),
        KeepTogether([*make_heading("What happened to it"), make_write_lines(_AFTERWARDS)]),
    ]


def _build_days(sheet: CoverSheet) -> list[Flowable]:
    counts = (sheet.counts_on,) if sheet.counts_on else ()
    return [
        *make_mail_days(sheet.safe_mail_by, sheet.last_mail_by, sheet.verb),
        *make_block("What counts", counts),
        *make_block("Checked", (sheet.checked,) if sheet.checked else ()),
    ]


def _build_essentials(sheet: CoverSheet, address: Callable[[Lines], Lines]) -> list[Flowable]:
    """Build what both sheets say; *address* lays out the lines of an address."""
    return [
        *make_block("To", address(sheet.to_lines)),
        *make_block("By courier to", address(sheet.courier_lines)),
        *make_block("From", address(sheet.from_lines)),
        *make_block("Re", sheet.re_lines),
        *make_block("Contact", address(sheet.contact_lines)),
        *make_block("Fee", _say_fee(sheet.fee)),
        Spacer(0, 2),
        make_table(_COLUMNS, _enclosure_rows(sheet.enclosures), _WIDTHS),
    ]


def _keep_lines(lines: Lines) -> Lines:
    return lines


def _join_lines(lines: Lines) -> Lines:
    """Join an address into one running line: the copy to keep needs the room for notes."""
    return (", ".join(lines),) if lines else ()


def _say_fee(fee: FeeLine | None) -> Lines:
    if fee is None:
        return ("$________ (write the amount in, or strike this line)",)
    lines = (f"{fee.amount_text} by {fee.method}, payable to {fee.payee}", fee.citation)
    return tuple(line for line in lines if line)


def _enclosure_rows(enclosures: tuple[EnclosureLine, ...]) -> tuple[Lines, ...]:
    """List the enclosures, numbered, and the totals so that the envelope can be counted."""
    rows = [
        (f"{number}. {line.title}", str(line.originals), str(line.copies), line.note)
        for number, line in enumerate(enclosures, start=1)
    ]
    originals = sum(line.originals for line in enclosures)
    copies = sum(line.copies for line in enclosures)
    return (*rows, ("In all", str(originals), str(copies), ""))
