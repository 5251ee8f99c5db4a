"""From a database URL to a session: creation, version check, durability, clear refusals."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from sqlalchemy import URL, Engine, event, make_url
from sqlalchemy.exc import ArgumentError, DatabaseError, NoSuchModuleError, OperationalError
from sqlalchemy.pool import NullPool
from sqlmodel import Session, SQLModel, create_engine

from compliance.base.problems import StoreError
from compliance.store.tables import MetaRow

SCHEMA_VERSION = 1
_BUSY_SECONDS = 5


@contextmanager
def open_session(url: str) -> Iterator[Session]:
    """Open a session in one transaction: all of it is kept, or nothing.

    A missing SQLite file is made, readable by its owner alone. An error inside rolls back.

    Raises:
        StoreError: The URL is wrong, the database cannot be opened, is locked, is damaged, or was
            made by a newer version.
    """
    parsed = _parse_url(url)
    name = parsed.render_as_string(hide_password=True)
    _make_file(parsed)
    try:
        engine = create_engine(parsed, poolclass=NullPool)
    except (NoSuchModuleError, ModuleNotFoundError, ArgumentError) as error:
        raise StoreError(
            f"the database {name} needs a driver that is not installed: {error}",
            hint="use a SQLite file, or install the driver beside mailby",
        ) from None
    try:
        if parsed.get_backend_name() == "sqlite":
            _set_up_sqlite(engine)
        with Session(engine) as session:
            _check_version(session, engine)
            yield session
            session.commit()
    except DatabaseError as error:
        raise _explain(error, name) from None
    finally:
        engine.dispose()


def _parse_url(url: str) -> URL:
    try:
        if "://" not in url:
            return URL.create("sqlite", database=url)
        return make_url(url)
    except ArgumentError:
        raise StoreError(
            f"{url!r} is no database URL",
            hint="write a file name, or sqlite:///FILE, or postgresql://USER@HOST/NAME",
        ) from None


def _make_file(url: URL) -> None:
    if url.get_backend_name() != "sqlite" or not url.database or url.database == ":memory:":
        return
    path = Path(url.database)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # Made by us before SQLite does, so that it is never readable by others, not for a moment.
        with suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except OSError as error:
        raise StoreError(
            f"the database {path} cannot be made: {error.strerror}",
            hint="choose another place with --db FILE or MAILBY_DB",
        ) from None


def _set_up_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def _set_pragmas(connection, _record) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001 - the driver's own types
        cursor = connection.cursor()
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.execute(f"PRAGMA busy_timeout = {_BUSY_SECONDS * 1000}")
        cursor.close()


def _check_version(session: Session, engine: Engine) -> None:
    connection = session.connection()
    if not engine.dialect.has_table(connection, MetaRow.__tablename__):
        SQLModel.metadata.create_all(connection)
        session.add(MetaRow(key="schema_version", value=str(SCHEMA_VERSION)))
        session.flush()
        return
    row = session.get(MetaRow, "schema_version")
    version = int(row.value) if row is not None and row.value.isdigit() else 0
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


def _explain(error: DatabaseError, name: str) -> StoreError:
    text = str(error.orig or error)
    low = text.lower()
    if "locked" in low:
        hint = "another mailby is writing; wait a moment and try again"
        return StoreError(f"the database {name} is locked", hint=hint)
    if "readonly" in low or "read-only" in low:
        hint = "make the file and its folder writable, or choose another with --db"
        return StoreError(f"the database {name} can be read but not written", hint=hint)
    if "full" in low:
        hint = "free some space; nothing of this change was kept"
        return StoreError(f"the disk is full; the database {name} was not changed", hint=hint)
    if "not a database" in low or "malformed" in low:
        hint = "restore a copy, or load the YAML file into a new one with --db"
        return StoreError(f"{name} is not a database, or it is damaged", hint=hint)
    what = "cannot be opened" if isinstance(error, OperationalError) else "refused the change"
    return StoreError(f"the database {name} {what}: {text}", hint="check the name and its folder")
