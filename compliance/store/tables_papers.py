"""The tables of packets' papers: checks, forms learned, copies attached."""

from datetime import date

from sqlmodel import Field, SQLModel

from compliance.store.tables_operation import OPERATION


class PacketCheckRow(SQLModel, table=True):
    """What is known about the papers of one mailing of a packet, and the last verdict on them.

    ``answers`` is the YAML text of an answers file; ``files`` is JSON text: the files looked at,
    with the hash and the place of each and of the copy kept. ``pictures`` is JSON text: every
    picture looked at, so that one of an earlier print is known again. ``editions`` is JSON text:
    the newest edition of each form that was known then.
    """

    __tablename__ = "packet_check"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    packet: str = Field(primary_key=True)
    turn: int = Field(primary_key=True)
    answers: str
    files: str
    pictures: str = "[]"
    editions: str = "[]"
    ready: bool
    fingerprint: str
    checked_on: date


class LearnedFormRow(SQLModel, table=True):
    """One edition of a form the user showed: where its blanks are, as JSON text.

    ``edition`` is the hash of the blank PDF or of its field names; ``kind`` is ``print`` for places
    on the page and ``fields`` for names of form fields. ``number`` counts up over all forms, so
    that of two learned on one day the later is known.
    """

    __tablename__ = "learned_form"

    template: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    edition: str = Field(primary_key=True)
    number: int
    learned_on: date
    content: str
    blank_file: str


class AttachmentRow(SQLModel, table=True):
    """One copy attached to a packet or paper; the file is kept beside the database by its hash."""

    __tablename__ = "attachment"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    number: int = Field(primary_key=True)
    packet: str
    what: str
    file_name: str
    sha256: str
    kind: str
    size: int
    pages: int
    kept_out: str
    attached_on: date
    detached_on: date | None = None
    why_detached: str = ""
