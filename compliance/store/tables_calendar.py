"""The tables of what the calendar file has said."""

from datetime import date

from sqlmodel import Field, SQLModel

from compliance.store.tables_operation import OPERATION


class LedgerRow(SQLModel, table=True):
    """What the calendar file last said under one id, as JSON text."""

    __tablename__ = "calendar_ledger"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    uid: str = Field(primary_key=True)
    line: str


class CalendarYearsRow(SQLModel, table=True):
    """How many years ahead an operation's calendar file shows renewals; no row means none."""

    __tablename__ = "calendar_years"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    years: int


class TripRow(SQLModel, table=True):
    """One trip the calendar file has named: its number, its day and what was to be done on it.

    ``errands`` is JSON text: the keys of the errands, which hold no date.
    """

    __tablename__ = "trip"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    number: int = Field(primary_key=True)
    planned_on: date
    errands: str
