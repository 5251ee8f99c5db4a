"""The tables of the database. Rows are dumb: facts are checked before they come here."""

from datetime import date

from sqlalchemy import ForeignKeyConstraint
from sqlmodel import Field, SQLModel

_OPERATION = "operation.id"


class MetaRow(SQLModel, table=True):
    """One setting of the database itself, such as the version of its tables."""

    __tablename__ = "meta"

    key: str = Field(primary_key=True)
    value: str


class OperationRow(SQLModel, table=True):
    """One operation; address lines are joined by line feeds, weekdays by commas."""

    __tablename__ = "operation"

    id: str = Field(primary_key=True)
    legal_name: str
    entity: str
    managed_by: str | None = None
    mailing_lines: str
    physical_lines: str | None = None
    contact_name: str
    contact_phone: str
    contact_email: str
    home_state: str
    mail_service: str
    notary_days: str
    post_office_days: str
    calendar_namespace: str
    time_zone: str = ""


class AircraftRow(SQLModel, table=True):
    """One aircraft of an operation; ``position`` keeps the order of the file.

    The weight is kept as text, because SQLite knows no decimals and would round them.
    """

    __tablename__ = "aircraft"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    id: str = Field(primary_key=True)
    position: int
    maker: str
    model: str
    serial: str
    remote_id_serial: str
    takeoff_weight_lb: str
    acquired: str
    registration_number: str
    n_number_wanted: bool


class PilotRow(SQLModel, table=True):
    """One pilot of an operation."""

    __tablename__ = "pilot"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    id: str = Field(primary_key=True)
    position: int
    name: str


class JobRow(SQLModel, table=True):
    """One job of an operation; the aircraft and pilots it names are joined by commas."""

    __tablename__ = "job"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    id: str = Field(primary_key=True)
    position: int
    first_day: date
    last_day: date
    state: str
    for_hire: bool
    restricted_use: bool
    material: str
    aircraft: str
    pilots: str
    controlled_airspace: bool
    outside_blanket_area: bool
    congested_area: bool
    note: str
    time_zone: str = ""
    first_flight: str = ""
    products: str = ""


class HeldPaperRow(SQLModel, table=True):
    """One paper in hand; ``own_terms`` is JSON text, a list."""

    __tablename__ = "held_paper"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    position: int = Field(primary_key=True)
    paper: str
    holder_kind: str
    holder_ref: str
    number: str
    issued_on: date | None = None
    valid_through: date | None = None
    own_terms: str = "[]"


class ClosureRow(SQLModel, table=True):
    """Days on which somebody is not available."""

    __tablename__ = "closure"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    position: int = Field(primary_key=True)
    who: str
    first_day: date
    last_day: date
    why: str


class PlaceRow(SQLModel, table=True):
    """One place in town; days are joined by commas, ``hours`` is JSON text: day -> hours."""

    __tablename__ = "place"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    position: int = Field(primary_key=True)
    kind: str
    name: str
    town: str
    days: str
    hours: str
    phone: str


class ProductRow(SQLModel, table=True):
    """One product of an operation, as far as its label was read."""

    __tablename__ = "product"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    id: str = Field(primary_key=True)
    position: int
    name: str
    registration: str
    active_ingredient: str
    maker: str
    by_air: str
    restricted_use: bool
    re_entry_hours: int | None = None


class LogRow(SQLModel, table=True):
    """One entry of the append-only log; the names of its two lists are joined by commas."""

    __tablename__ = "log"
    __table_args__ = (
        ForeignKeyConstraint(["operation_id", "withdraws"], ["log.operation_id", "log.number"]),
    )

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    number: int = Field(primary_key=True)
    kind: str
    paper: str
    holder_kind: str
    holder_ref: str
    happened_on: date
    step: str
    tracking: str
    reason: str
    paper_number: str
    issued_on: date | None = None
    valid_through: date | None = None
    withdraws: int | None = None
    blanks: str = ""
    still_good: str = ""


class JobEventRow(SQLModel, table=True):
    """One thing that happened around flying; append-only.

    ``start`` and ``end`` are ISO texts in UTC, ``zone`` the time zone of the place.
    """

    __tablename__ = "job_event"
    __table_args__ = (
        ForeignKeyConstraint(
            ["operation_id", "withdraws"], ["job_event.operation_id", "job_event.number"]
        ),
    )

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    number: int = Field(primary_key=True)
    kind: str
    on: date
    job: str
    start: str = ""
    end: str = ""
    zone: str = ""
    aircraft: str
    pilot: str
    product: str
    re_entry_hours: int | None = None
    duty: str
    occasion: str
    and_before: bool
    note: str
    withdraws: int | None = None


class ApplicationRow(SQLModel, table=True):
    """One version of the record of an application; none is ever changed.

    ``products`` are the products' names in small letters, to be searched; ``content`` is JSON text.
    """

    __tablename__ = "application_record"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    number: int = Field(primary_key=True)
    version: int = Field(primary_key=True)
    on: date
    written_on: date
    job: str
    state: str
    products: str
    content: str


class DisposedRow(SQLModel, table=True):
    """One record that was thrown away when its time was over; its number is not used again."""

    __tablename__ = "disposed_record"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    number: int = Field(primary_key=True)
    on: date
    disposed_on: date
    kept_through: date | None = None
    rule: str
    why: str


class OfficeFileRow(SQLModel, table=True):
    """One file of office times that was read in; ``digest`` is the hash of its bytes."""

    __tablename__ = "office_file"

    number: int = Field(primary_key=True)
    name: str
    digest: str
    imported_on: date
    packets: int


class OfficeTimeRow(SQLModel, table=True):
    """Packets of one imported file that are the same in all but their number, ``times``."""

    __tablename__ = "office_time"

    number: int = Field(primary_key=True, foreign_key="office_file.number")
    position: int = Field(primary_key=True)
    step: str
    sent_on: date
    reached_on: date | None = None
    decided_on: date | None = None
    outcome: str
    times: int


class OverrideRow(SQLModel, table=True):
    """One value of the rules table that the user replaced."""

    __tablename__ = "override"

    row: str = Field(primary_key=True)
    field: str = Field(primary_key=True)
    value: str
    reason: str
    set_on: date


class LedgerRow(SQLModel, table=True):
    """What the calendar file last said under one id, as JSON text."""

    __tablename__ = "calendar_ledger"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    uid: str = Field(primary_key=True)
    line: str


class TripRow(SQLModel, table=True):
    """One trip the calendar file has named: its number, its day and what was to be done on it.

    ``errands`` is JSON text: the keys of the errands, which hold no date.
    """

    __tablename__ = "trip"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    number: int = Field(primary_key=True)
    planned_on: date
    errands: str


class AnswerRow(SQLModel, table=True):
    """One answer of an interrupted interview, by its question."""

    __tablename__ = "interview_answer"

    interview: str = Field(primary_key=True)
    question: str = Field(primary_key=True)
    position: int
    answer: str


class PacketCheckRow(SQLModel, table=True):
    """What is known about the papers of one mailing of a packet, and the last verdict on them.

    ``answers`` is the YAML text of an answers file; ``files`` is JSON text: the files looked at,
    with the hash and the place of each and of the copy kept.
    """

    __tablename__ = "packet_check"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
    packet: str = Field(primary_key=True)
    turn: int = Field(primary_key=True)
    answers: str
    files: str
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


class RulesPackRow(SQLModel, table=True):
    """One pack of rules of the user's own, as the text it was added with; ``sha256`` is of it."""

    __tablename__ = "rules_pack"

    name: str = Field(primary_key=True)
    file: str
    content: str
    sha256: str
    added_on: date


class AttachmentRow(SQLModel, table=True):
    """One copy attached to a packet or paper; the file is kept beside the database by its hash."""

    __tablename__ = "attachment"

    operation_id: str = Field(primary_key=True, foreign_key=_OPERATION)
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
