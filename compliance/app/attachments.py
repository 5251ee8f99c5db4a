"""Attach copies to papers and packets, list them, detach them; the files are kept by content."""

import hashlib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import NoReturn

from sqlmodel import Session

from compliance.app.looking import named
from compliance.app.operations import choose_operation
from compliance.app.resources import read_binary, write_private_files
from compliance.app.tables import load_table
from compliance.app.typed import clean_typed
from compliance.base.dates import say_date
from compliance.base.problems import NotFoundError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.packets import packet_id
from compliance.facts.attachments import Attachment, AttachmentKind
from compliance.facts.model import Holder, HolderKind, Operation
from compliance.outputs.pdf_kit import check_glyphs
from compliance.rules.model import RulesTable
from compliance.scan.anew import make_page_pictures, write_pages_anew
from compliance.scan.sandbox import HEADER_WITHIN, check_is_pdf
from compliance.store.attachments import (
    add_attachment,
    load_attachments,
    mark_detached,
    next_attachment_number,
)

FOLDER = "attached"
_PICTURES = (
    (b"\xff\xd8\xff", AttachmentKind.JPEG),
    (b"\x89PNG\r\n\x1a\n", AttachmentKind.PNG),
    (b"II*\0", AttachmentKind.TIFF),
    (b"MM\0*", AttachmentKind.TIFF),
    (b"II+\0", AttachmentKind.TIFF),
    (b"MM\0+", AttachmentKind.TIFF),
)
# Archives and old office files; what they are and what to do is said by who reads PDFs.
_KNOWN_OTHERS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"{\\rtf")
_LONGEST_NAME = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """A copy that was attached; ``is_new`` is False when the same file was there already."""

    attachment: Attachment
    kept: Path
    is_new: bool


def attach_file(
    session: Session, wanted: str | None, name: str, path: str, what: str, folder: Path, on: date
) -> Attached:
    """Keep a copy of a file for a paper or packet, readable by the owner alone.

    The same file attached twice to the same paper is left as it is; for two papers it is kept once.

    Raises:
        NotFoundError: No such file, operation, paper, aircraft or pilot.
        RefusedError: It is no PDF, JPEG, PNG or TIFF, is damaged or too large, or a text holds
            what cannot be kept or printed.
        OutputError: The copy cannot be written.
    """
    operation = choose_operation(session, wanted)
    packet = find_packet(operation, load_table(session), name)
    said = _clean_what(what)
    data = read_binary(path)
    digest = hashlib.sha256(data).hexdigest()
    for one in load_attachments(session, operation.id):
        if (one.packet, one.sha256, one.detached_on) == (packet, digest, None):
            _keep(folder, one, data)
            return Attached(attachment=one, kept=folder / one.kept_name, is_new=False)
    kind, pages, kept_out = inspect_file(path, data)
    attachment = Attachment(
        number=next_attachment_number(session, operation.id),
        packet=packet,
        what=said,
        file_name=say_file_name(path),
        sha256=digest,
        kind=kind,
        size=len(data),
        pages=pages,
        kept_out=kept_out,
        attached_on=on,
    )
    _keep(folder, attachment, data)
    add_attachment(session, operation.id, attachment)
    return Attached(attachment=attachment, kept=folder / attachment.kept_name, is_new=True)


def _keep(folder: Path, attachment: Attachment, data: bytes) -> None:
    write_private_files(folder, {attachment.kept_name: data})


def inspect_file(path: str, data: bytes) -> tuple[AttachmentKind, int, str]:
    """Tell what a file is, how many pages it has, and why they cannot be shown, if they cannot.

    Raises:
        RefusedError: It is no file of these kinds, damaged, too large or too long.
    """
    kind = next((kind for magic, kind in _PICTURES if data.startswith(magic)), None)
    if kind is not None:
        return kind, sum(1 for _ in make_page_pictures(path, data)), ""
    if b"%PDF-" not in data[:HEADER_WITHIN]:
        _refuse_kind(path, data)
    with named(path):
        anew = write_pages_anew(data)
    return AttachmentKind.PDF, anew.count, anew.kept_out


def _refuse_kind(path: str, data: bytes) -> NoReturn:
    """Refuse a file that is none of the four kinds, and say what it is where that is known.

    Raises:
        RefusedError: Always.
    """
    if not data:
        raise RefusedError(f"{path} is empty", hint="save or download it again")
    with named(path):
        if data[4:8] == b"ftyp" or data.startswith(_KNOWN_OTHERS):
            check_is_pdf(data)
    raise RefusedError(
        f"{path} is no PDF, JPEG, PNG or TIFF file",
        hint="save or print it as PDF, or take a picture of it",
    )


def say_file_name(path: str) -> str:
    """Give the name of a file so that it can be printed: what the font lacks as its code."""
    name = Path(path).name[:_LONGEST_NAME]
    shown = "".join(sign if sign.isprintable() else f"<{ord(sign):X}>" for sign in name)
    for sign in check_glyphs(shown):
        shown = shown.replace(sign, f"<{ord(sign):X}>")
    return shown


def _clean_what(what: str) -> str:
    """Give the words for a copy on one line.

    Raises:
        RefusedError: They hold what cannot be kept or printed.
    """
    said = clean_typed(what, "name of the copy")
    missing = check_glyphs(said)
    if missing:
        raise RefusedError(
            f"the name of the copy holds {', '.join(missing)}, which the printed font does not "
            "have",
            hint="write it in Latin, Greek or Cyrillic letters",
        )
    return said


def find_packet(operation: Operation, table: RulesTable, name: str) -> str:
    """Give the id of the paper or packet meant: the paper, its aircraft or pilot after a colon.

    Raises:
        NotFoundError: There is no such paper, or nobody it could belong to.
    """
    paper, _, ref = name.partition(":")
    row = next((row for row in table.papers if row.id == paper), None)
    if row is None:
        known = [one.id for one in table.papers]
        hint = suggest(paper, known) or "mailby rules list names the papers"
        raise NotFoundError(f"no paper is called {paper!r}", hint=hint)
    refs = {
        HolderKind.OPERATION: ("",),
        HolderKind.AIRCRAFT: tuple(one.id for one in operation.aircraft),
        HolderKind.PILOT: tuple(one.id for one in operation.pilots),
    }[row.holder]
    ids = [packet_id(paper, Holder(kind=row.holder, ref=one)) for one in refs]
    if name in ids:
        return name
    if not ref and len(ids) == 1:
        return ids[0]
    if not ids:
        raise NotFoundError(
            f"{paper} belongs to {_SAID[row.holder]}, and {operation.id} has none",
            hint="put it into the facts first: mailby setup, or mailby load FILE",
        )
    problem = f"{paper} has several holders" if not ref else f"{paper} has no holder {ref!r}"
    raise NotFoundError(problem, hint=f"name {'one of: ' if len(ids) > 1 else ''}{', '.join(ids)}")


_SAID = {
    HolderKind.AIRCRAFT: "an aircraft",
    HolderKind.PILOT: "a pilot",
    HolderKind.OPERATION: "the operation",
}


def detach(session: Session, wanted: str | None, number: int, why: str, on: date) -> Attachment:
    """Leave a copy out of binders from now on; its entry and its file stay.

    Raises:
        NotFoundError: There is no copy of that number.
        RefusedError: It was detached before.
    """
    operation = choose_operation(session, wanted)
    known = load_attachments(session, operation.id)
    found = next((one for one in known if one.number == number), None)
    if found is None:
        numbers = ", ".join(str(one.number) for one in known) or "none"
        raise NotFoundError(f"no copy has the number {number}", hint=f"known: {numbers}")
    if found.detached_on is not None:
        raise RefusedError(f"copy {number} was detached on {say_date(found.detached_on)} already")
    mark_detached(session, operation.id, number, on, clean_typed(why, "reason"))
    return found


def list_attachments(
    session: Session, wanted: str | None
) -> tuple[Operation, tuple[Attachment, ...]]:
    """Give an operation and the copies attached to its papers, detached ones included.

    Raises:
        NotFoundError: No such operation.
    """
    operation = choose_operation(session, wanted)
    return operation, load_attachments(session, operation.id)
