"""A SQLite file opened with the driver itself, to be read only.

The values are those a session gives: each column says in the file of which type it was made.
"""

import sqlite3
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

from compliance.base.problems import StoreError
from compliance.store.questions import BUSY_SECONDS, SCHEMA_VERSION, Condition, Question
from compliance.store.refusals import explain_database_error, is_cut, refuse_half_characters

_VERSION = "SELECT meta.value FROM meta WHERE meta.key = 'schema_version'"


class Reader:
    """An open SQLite file in one transaction; ``name`` is what the user calls it."""

    def __init__(self, connection: sqlite3.Connection, name: str) -> None:
        self.name = name
        self._connection = connection

    def ask(self, question: Question) -> list[tuple[Any, ...]]:
        """Give the values of the columns, row by row.

        Raises:
            StoreError: The database cannot be read, or a text asked for is no text.
            ValueError, TypeError: A value is none of its column's type.
        """
        sql, values = _write_sql(question)
        try:
            return self._connection.execute(sql, values).fetchall()
        except sqlite3.Error as error:
            raise _explain(error, self.name) from None
        except UnicodeEncodeError as error:
            raise refuse_half_characters(error) from None

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()


def open_reader(name: str) -> Reader | None:
    """Open a file that is as it should be; None leaves any other to ``open_session``.

    Raises:
        StoreError: Another run has locked it, and we have waited 5 seconds.
    """
    if not name.strip() or "://" in name or name.startswith("file:"):
        return None
    connection = None
    usable = False
    try:
        path = Path(name).absolute()
        # SQLite would make a file that is missing.
        if path.is_file():
            connection = _connect(path)
            usable = _is_ours(connection, path)
    except sqlite3.Error as error:
        if "locked" in str(error):
            raise _explain(error, name) from None
    except OSError:
        usable = False
    finally:
        if connection is not None and not usable:
            connection.close()
    return Reader(connection, name) if connection is not None and usable else None


def _connect(path: Path) -> sqlite3.Connection:
    sqlite3.register_converter("DATE", _read_day)
    sqlite3.register_converter("BOOLEAN", _read_truth)
    return sqlite3.connect(
        path,
        timeout=BUSY_SECONDS,
        isolation_level=None,
        detect_types=sqlite3.PARSE_DECLTYPES,
    )


def _is_ours(connection: sqlite3.Connection, path: Path) -> bool:
    """Begin to read; tell whether the file is whole and of the version we know."""
    connection.execute("BEGIN")
    version = connection.execute(_VERSION).fetchall()
    page_size = int(connection.execute("PRAGMA page_size").fetchone()[0])
    return version == [(str(SCHEMA_VERSION),)] and not is_cut(str(path), page_size)


@lru_cache(maxsize=10_000)
def _read_day(raw: bytes) -> date:
    """Read a day; the thousands of records of some years share a few thousand of them."""
    if raw.isdigit():
        # SQLite makes a number of such a text; a session takes no number for a day either.
        raise TypeError("a number stands where a day belongs")
    return date.fromisoformat(raw.decode())


def _read_truth(raw: bytes) -> bool:
    return float(raw) != 0


def _write_sql(question: Question) -> tuple[str, list[object]]:
    """Write a question as SQL; every name in it comes from our own modules."""
    # With its table before it, SQLite takes no missing column for a text.
    names = ", ".join(f'"{question.table}"."{name}"' for name in question.columns)
    sql = f'SELECT {names} FROM "{question.table}"'  # noqa: S608 - as said above
    values: list[object] = []
    conditions = []
    for condition in question.where:
        text, some = _write_condition(question.table, condition)
        conditions.append(text)
        values.extend(some)
    if conditions:
        sql += f" WHERE {' AND '.join(conditions)}"
    if question.order:
        order = ", ".join(f'"{question.table}"."{name}"' for name in question.order)
        sql += f" ORDER BY {order}"
    return sql, values


def _write_condition(table: str, condition: Condition) -> tuple[str, list[object]]:
    name, sign, value = condition
    column = f'"{table}"."{name}"'
    if isinstance(value, tuple):
        return f"{column} IN ({', '.join('?' * len(value))})", list(value)
    if sign == "holds":
        return f"instr({column}, ?) > 0", [value]
    return f"{column} {sign} ?", [value.isoformat() if isinstance(value, date) else value]


def _explain(error: sqlite3.Error, name: str) -> StoreError:
    is_operational = isinstance(error, sqlite3.OperationalError)
    return explain_database_error(str(error), name, is_operational=is_operational)
