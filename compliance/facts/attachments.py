"""Copies somebody attached to a paper or packet, to be shown to whoever asks for the papers."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class AttachmentKind(StrEnum):
    """What sort of file it is, by what it holds and not by its name."""

    PDF = "PDF"
    JPEG = "JPEG"
    PNG = "PNG"
    TIFF = "TIFF"


ENDINGS = {
    AttachmentKind.PDF: "pdf",
    AttachmentKind.JPEG: "jpg",
    AttachmentKind.PNG: "png",
    AttachmentKind.TIFF: "tif",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """One copy attached to a packet or paper.

    ``number`` counts from 1 within an operation and never changes. ``packet`` is the paper's id,
    the aircraft or pilot after a colon. ``what`` is what the person called it, ``file_name`` the
    name of the file it was copied from. ``pages`` is 0 when they cannot be counted. ``kept_out``
    says why its pages cannot be shown, empty when they can. ``detached_on``: it no longer counts;
    the copy itself stays.
    """

    number: int
    packet: str
    what: str
    file_name: str
    sha256: str
    kind: AttachmentKind
    size: int
    pages: int
    kept_out: str
    attached_on: date
    detached_on: date | None = None
    why_detached: str = ""

    @property
    def kept_name(self) -> str:
        """Give the name of the copy: its hash, so that the same file is kept once."""
        return f"{self.sha256}.{ENDINGS[self.kind]}"

    @property
    def title(self) -> str:
        """Give what to call it: what the person said, else the name of its file."""
        return self.what or self.file_name
