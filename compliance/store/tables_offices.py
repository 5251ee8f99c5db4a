"""The tables of office times that were read in."""

from datetime import date

from sqlmodel import Field, SQLModel


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
