"""The tables of what really happened: to packets, and around flying."""

from datetime import date

from sqlalchemy import ForeignKeyConstraint
from sqlmodel import Field, SQLModel

from compliance.store.tables_operation import OPERATION


class LogRow(SQLModel, table=True):
    """One entry of the append-only log; the names of its two lists are joined by commas."""

    __tablename__ = "log"
    __table_args__ = (
        ForeignKeyConstraint(["operation_id", "withdraws"], ["log.operation_id", "log.number"]),
    )

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
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
    expects: date | None = None
    service: str = ""


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

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
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
