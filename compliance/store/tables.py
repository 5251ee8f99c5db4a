"""The tables of the database. Rows are dumb: facts are checked before they come here.

They stand in modules by subject, because building a table takes a while: a command builds those it
reads, and all of them only for a new database.
"""

from sqlalchemy import MetaData
from sqlmodel import Field, SQLModel


class MetaRow(SQLModel, table=True):
    """One setting of the database itself, such as the version of its tables."""

    __tablename__ = "meta"

    key: str = Field(primary_key=True)
    value: str


def all_tables() -> MetaData:
    """Build every table of the database and give them together."""
    from compliance.store import (  # noqa: PLC0415, F401 - only a new database needs all of them
        tables_calendar,
        tables_log,
        tables_offices,
        tables_operation,
        tables_papers,
        tables_records,
        tables_rules,
        tables_talk,
    )

    return SQLModel.metadata
