"""The tables of the database. Rows are dumb: facts are checked before they come here.

They stand in modules by subject, because building a table takes a while: a command builds those it
reads, and all of them only for a new database.
"""

from importlib import import_module

from sqlalchemy import MetaData, Table
from sqlmodel import Field, SQLModel

_MODULES = {
    "tables_calendar": ("calendar_ledger", "calendar_years", "trip"),
    "tables_log": ("log", "job_event"),
    "tables_offices": ("office_file", "office_time"),
    "tables_operation": (
        "operation",
        "aircraft",
        "pilot",
        "job",
        "held_paper",
        "closure",
        "place",
        "product",
    ),
    "tables_papers": ("packet_check", "learned_form", "attachment"),
    "tables_records": ("application_record", "disposed_record"),
    "tables_rules": ("override", "rules_pack"),
    "tables_talk": ("interview_answer",),
}


class MetaRow(SQLModel, table=True):
    """One setting of the database itself, such as the version of its tables."""

    __tablename__ = "meta"

    key: str = Field(primary_key=True)
    value: str


def all_tables() -> MetaData:
    """Build every table of the database and give them together."""
    for module in _MODULES:
        import_module(f"compliance.store.{module}")
    return SQLModel.metadata


def find_table(name: str) -> Table:
    """Build the tables of one subject and give one of them by its name."""
    for module, names in _MODULES.items():
        if name in names:
            import_module(f"compliance.store.{module}")
    return SQLModel.metadata.tables[name]
