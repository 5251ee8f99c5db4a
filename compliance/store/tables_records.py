"""The tables of the records of applications."""

from datetime import date

from sqlmodel import Field, SQLModel

from compliance.store.tables_operation import OPERATION


class ApplicationRow(SQLModel, table=True):
    """One version of the record of an application; none is ever changed.

    ``products`` are the products' names in small letters, to be searched; ``content`` is JSON text.
    """

    __tablename__ = "application_record"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    number: int = Field(primary_key=True)
    version: int = Field(primary_key=True)
    on: date
    written_on: date
    job: str
    state: str
    products: str
    content: str


class DisposedRow(SQLModel, table=True):
    """One record that was thrown away when its time was over; its number is not used again.

    ``flights`` are the numbers of the flights it told of, joined by commas.
    """

    __tablename__ = "disposed_record"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    number: int = Field(primary_key=True)
    on: date
    disposed_on: date
    kept_through: date | None = None
    rule: str
    why: str
    flights: str = ""
