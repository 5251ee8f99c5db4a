"""From a database URL to a session: creation, version check, durability, clear refusals."""

import operator
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import (
    URL,
    Column,
    ColumnElement,
    Connection,
    Dialect,
    Engine,
    ExceptionContext,
    event,
    inspect,
    make_url,
    select,
)
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, OperationalError
from sqlalchemy.pool import NullPool
from sqlmodel import Session, create_engine

from compliance.base.problems import StoreError
from compliance.store.questions import BUSY_SECONDS, SCHEMA_VERSION, Question, Sign
from compliance.store.refusals import (
    explain_database_error,
    is_cut,
    refuse_damaged,
    refuse_half_characters,
)
from compliance.store.tables import MetaRow, all_tables, find_table

_VERSION = re.compile(r"[0-9]{1,9}")
# SQL is written once for all SQLite databases a process opens, not anew for each: every one is read
# by the same driver, whose dialect is kept once it has made a connection.
_sqlite_dialects: dict[str, Dialect] = {}
_sqlite_statements: dict[Any, Any] = {}
_COMPARE: dict[Sign, Callable[[Any, Any], ColumnElement[bool]]] = {
    "=": operator.eq,
    ">=": operator.ge,
    "<=": operator.le,
}


@contextmanager
def open_session(url: str) -> Iterator[Session]:
    """Open a session in one transaction: all of it is kept, or nothing.

    A missing SQLite file is made, readable by its owner alone. An error inside rolls back. A
    locked SQLite file is waited for, 5 seconds or the ``timeout`` of the URL.

    Raises:
        StoreError: The URL is wrong, the database cannot be opened, is locked, is damaged, is
            somebody else's, or was made by a newer version.
    """
    parsed = _parse_url(url)
    is_sqlite = parsed.get_backend_name() == "sqlite"
    name = say_url(parsed)
    engine = _make_engine(parsed, name)
    made: Path | None = None
    try:
        if is_sqlite:
            made = _make_file(parsed)
            _set_up_sqlite(engine)
        event.listen(engine, "handle_error", _refuse_half_characters)
        with Session(engine) as session:
            _check_version(session, name)
            if is_sqlite:
                _sqlite_dialects.setdefault(parsed.drivername, engine.dialect)
            yield session
            session.commit()
    except DBAPIError as error:
        raise _explain(error, name) from None
    finally:
        engine.dispose()
        # A first run that failed leaves no empty file behind.
        if made is not None and made.is_file() and made.stat().st_size == 0:
            made.unlink(missing_ok=True)


def ask_session(session: Session, question: Question) -> list[tuple[Any, ...]]:
    """Give the values of the columns asked for, row by row, with what was written before.

    Raises:
        ValueError, TypeError: A value is none of its column's type.
    """
    columns = find_table(question.table).columns
    query = (
        select(*(columns[name] for name in question.columns))
        .where(*(_compare(columns[name], sign, value) for name, sign, value in question.where))
        .order_by(*(columns[name] for name in question.order))
    )
    session.flush()
    return [tuple(row) for row in session.connection().execute(query)]


def _compare(column: Column[Any], sign: Sign, value: Any) -> ColumnElement[bool]:  # noqa: ANN401 - of any column's type
    if sign == "in":
        return column.in_(value)
    if sign == "holds":
        return column.contains(value, autoescape=True)
    return _COMPARE[sign](column, value)


def _parse_url(url: str) -> URL:
    if not url.strip():
        # SQLite would take it for a database in memory and lose everything without a word.
        raise StoreError("no database is named", hint="write a file name after --db")
    try:
        if "://" not in url:
            return URL.create("sqlite", database=url)
        return make_url(url)
    except (ArgumentError, ValueError):
        shown = re.sub(r"//.*@", "//***@", url)  # no password on the screen
        raise StoreError(
            f"{shown!r} is no database URL",
            hint="write a file name, or sqlite:///FILE, or postgresql://USER@HOST/NAME",
        ) from None


def say_url(url: URL) -> str:
    """Give the file name of a SQLite database, of any other the URL without its password."""
    name = url.database if url.get_backend_name() == "sqlite" else None
    return name or url.render_as_string(hide_password=True)


def _make_engine(url: URL, name: str) -> Engine:
    wait = url.get_backend_name() == "sqlite" and "timeout" not in url.query
    try:
        engine = create_engine(
            url, poolclass=NullPool, connect_args={"timeout": BUSY_SECONDS} if wait else {}
        )
    except (NoSuchModuleError, ModuleNotFoundError, ArgumentError) as error:
        raise StoreError(
            f"the database {name} needs a driver that is not installed: {error}",
            hint="use a SQLite file, or install the driver beside mailby",
        ) from None
    if url.get_backend_name() != "sqlite":
        return engine
    dialect = _sqlite_dialects.get(url.drivername, engine.dialect)
    # Statements are kept by dialect, so those of another one are never taken.
    return Engine(
        engine.pool, dialect, url, execution_options={"compiled_cache": _sqlite_statements}
    )


def _make_file(url: URL) -> Path | None:
    """Make a missing database file; give its path if it was made now."""
    if not url.database or url.database == ":memory:" or url.database.startswith("file:"):
        return None
    path = Path(url.database)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # Made by us before SQLite does, so that it is never readable by others, not for a moment.
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        except FileExistsError:
            return None
    except OSError as error:
        raise StoreError(
            f"the database {path} cannot be made: {error.strerror}",
            hint="choose another place with --db FILE or MAILBY_DB",
        ) from None
    return path


def _set_up_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def _set_pragmas(connection, _record) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001 - the driver's own types
        cursor = connection.cursor()
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # The driver of itself begins a transaction only before a change of rows: reads and new
        # tables would stand outside of it, and a killed first run would leave half the tables.
        connection.exec_driver_sql("BEGIN")


def _check_version(session: Session, name: str) -> None:
    connection = session.connection()
    inspector = inspect(connection)
    tables = inspector.get_table_names()
    if not tables:
        all_tables().create_all(connection)
        session.add(MetaRow(key="schema_version", value=str(SCHEMA_VERSION)))
        session.flush()
        return
    if connection.dialect.name == "sqlite":
        _check_length(connection, name)
    meta = str(MetaRow.__tablename__)
    columns = {column["name"] for column in inspector.get_columns(meta)} if meta in tables else ()
    if not {"key", "value"}.issubset(columns):
        raise StoreError(
            f"the database {name} holds other tables and none of mailby's",
            hint="it belongs to another program and was left alone; choose another with --db",
        )
    row = session.get(MetaRow, "schema_version")
    text = str(row.value) if row is not None else ""
    version = int(text) if _VERSION.fullmatch(text) else 0
    if version > SCHEMA_VERSION:
        raise StoreError(
            f"the database was made by a newer mailby (tables version {version}; "
            f"this one knows {SCHEMA_VERSION})",
            hint="update mailby; the database was left alone",
        )
    if version < SCHEMA_VERSION:
        raise StoreError(
            "the database has no usable version entry",
            hint="it is not one of mailby's, or it is damaged; choose another with --db",
        )


def _check_length(connection: Connection, name: str) -> None:
    file = str(connection.exec_driver_sql("PRAGMA database_list").all()[0][2])
    page_size = int(connection.exec_driver_sql("PRAGMA page_size").scalar_one())
    if is_cut(file, page_size):
        raise refuse_damaged(name)


def _refuse_half_characters(context: ExceptionContext) -> None:
    error = context.original_exception
    if isinstance(error, UnicodeEncodeError):
        raise refuse_half_characters(error) from None


def _explain(error: DBAPIError, name: str) -> StoreError:
    is_operational = isinstance(error, OperationalError)
    return explain_database_error(str(error.orig or error), name, is_operational=is_operational)
