"""The tables of the user's own values and packs of rules."""

from datetime import date

from sqlmodel import Field, SQLModel


class OverrideRow(SQLModel, table=True):
    """One value of the rules table that the user replaced."""

    __tablename__ = "override"

    row: str = Field(primary_key=True)
    field: str = Field(primary_key=True)
    value: str
    reason: str
    set_on: date


class RulesPackRow(SQLModel, table=True):
    """One pack of rules of the user's own, as the text it was added with; ``sha256`` is of it."""

    __tablename__ = "rules_pack"

    name: str = Field(primary_key=True)
    file: str
    content: str
    sha256: str
    added_on: date
