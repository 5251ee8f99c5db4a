"""Opening a database: made when missing, private, whole or nothing, and clear refusals.

The messages are the product's own; what SQLite itself says is quoted by it word for word.
"""

import os
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import make_url
from sqlmodel import Session, text

from compliance.base.problems import ExitCode, StoreError
from compliance.facts.model import Operation
from compliance.store.questions import SCHEMA_VERSION
from compliance.store.reading import say_database
from compliance.store.repository import load_operation, load_operation_ids, save_operation
from compliance.store.session import open_session, say_url

TABLES = {
    "aircraft",
    "application_record",
    "attachment",
    "calendar_ledger",
    "calendar_years",
    "closure",
    "disposed_record",
    "held_paper",
    "interview_answer",
    "job",
    "job_event",
    "learned_form",
    "log",
    "meta",
    "office_file",
    "office_time",
    "rules_pack",
    "operation",
    "override",
    "packet_check",
    "pilot",
    "place",
    "product",
    "trip",
}


def run_sql(db: Path, statement: str, *values: str | bytes) -> None:
    """Do something to a file behind mailby's back."""
    with closing(sqlite3.connect(db)) as connection:
        connection.execute(statement, values)
        connection.commit()


def read_tables(db: Path) -> set[str]:
    with closing(sqlite3.connect(db)) as connection:
        rows = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
        return {name for (name,) in rows}


def ask(session: Session, question: str) -> object:
    return session.connection().execute(text(question)).scalar_one()


def save_both_and_fail(session: Session, first: Operation, second: Operation) -> None:
    save_operation(session, first, namespace="n")
    save_operation(session, second, namespace="n")
    raise ZeroDivisionError


def refuse(url: str | Path) -> StoreError:
    with pytest.raises(StoreError) as caught, open_session(str(url)):
        pass
    return caught.value


def test_open_session_missing_file_makes_tables_and_version(db: Path) -> None:
    with open_session(str(db)) as session:
        version = ask(session, "SELECT value FROM meta WHERE key = 'schema_version'")

    assert version == str(SCHEMA_VERSION)
    assert read_tables(db) == TABLES


def test_open_session_makes_the_file_for_its_owner_alone(db: Path) -> None:
    """Even where files are otherwise made for everybody to read and write."""
    inner = db.parent / "one" / "two" / db.name
    before = os.umask(0)
    try:
        with open_session(str(inner)):
            during = inner.stat().st_mode & 0o777
    finally:
        os.umask(before)

    assert during == 0o600
    assert inner.stat().st_mode & 0o777 == 0o600


def test_open_session_keeps_the_mode_of_a_file_that_is_there(db: Path) -> None:
    db.touch()
    db.chmod(0o640)

    with open_session(str(db)):
        pass

    assert db.stat().st_mode & 0o777 == 0o640


def test_open_session_empty_file_is_a_new_database(db: Path, operation: Operation) -> None:
    db.write_bytes(b"")
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")

    with open_session(str(db)) as session:
        assert load_operation(session, "sandbur") == operation


def test_open_session_file_name_and_url_are_the_same_database(
    db: Path, operation: Operation
) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")

    with open_session(f"sqlite:///{db}") as session:
        assert load_operation_ids(session) == ("sandbur",)


def test_open_session_awkward_file_name_is_taken_as_it_is(tmp_path: Path) -> None:
    db = tmp_path / "é? %41&mode=ro #1.db"

    with open_session(str(db)):
        pass

    assert [path.name for path in tmp_path.iterdir()] == [db.name]


@pytest.mark.parametrize("url", [":memory:", "sqlite://"])
def test_open_session_in_memory_makes_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, url: str
) -> None:
    monkeypatch.chdir(tmp_path)

    with open_session(url) as session:
        assert load_operation_ids(session) == ()
    assert list(tmp_path.iterdir()) == []


def test_open_session_writes_its_sql_once_for_all_files(
    tmp_path: Path, operation: Operation
) -> None:
    """A second database is filled and read with the statements of the first, and no other."""

    def use(name: str) -> int:
        with open_session(str(tmp_path / name)) as session:
            save_operation(session, operation, namespace="n")
            assert load_operation(session, operation.id) == operation
            return len(session.get_bind().engine.get_execution_options()["compiled_cache"])

    use("first.sqlite")
    statements = use("second.sqlite")

    assert statements > 0
    assert use("third.sqlite") == statements


def test_open_session_sqlite_keeps_its_promises(db: Path) -> None:
    """Foreign keys on; synchronous 2, FULL: https://sqlite.org/pragma.html."""
    with open_session(str(db)) as session:
        assert ask(session, "PRAGMA foreign_keys") == 1
        assert ask(session, "PRAGMA synchronous") == 2
        assert ask(session, "PRAGMA busy_timeout") == 5000


def test_open_session_error_inside_leaves_the_file_as_before(
    db: Path, operation: Operation
) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
    before = db.read_bytes()

    with pytest.raises(ZeroDivisionError), open_session(str(db)) as session:
        save_both_and_fail(session, replace(operation, jobs=()), replace(operation, id="other"))

    assert db.read_bytes() == before
    assert [path.name for path in db.parent.iterdir()] == [db.name]


def test_open_session_error_inside_the_first_leaves_no_file(db: Path, operation: Operation) -> None:
    """Tables are made in the same transaction, so there is never a half of them."""
    with pytest.raises(ZeroDivisionError), open_session(str(db)) as session:
        save_both_and_fail(session, operation, replace(operation, id="other"))

    assert list(db.parent.iterdir()) == []


def test_open_session_error_inside_leaves_an_empty_file_that_was_there(db: Path) -> None:
    """Only what this run made is removed again."""
    db.write_bytes(b"")

    with pytest.raises(ZeroDivisionError), open_session(str(db)):
        raise ZeroDivisionError

    assert db.read_bytes() == b""


def test_open_session_used_after_an_error_in_the_first_is_a_new_database(
    db: Path, operation: Operation
) -> None:
    with pytest.raises(ZeroDivisionError), open_session(str(db)):
        raise ZeroDivisionError

    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")

    assert read_tables(db) == TABLES
    assert db.stat().st_mode & 0o777 == 0o600


def test_open_session_first_that_only_looks_keeps_its_tables(db: Path) -> None:
    with open_session(str(db)) as session:
        assert load_operation_ids(session) == ()

    assert read_tables(db) == TABLES


def test_say_database_is_the_file_however_it_was_named(db: Path) -> None:
    with open_session(str(db)) as session:
        by_name = say_database(session)
    with open_session(f"sqlite:///{db}?timeout=1") as session:
        by_url = say_database(session)
    with open_session(":memory:") as session:
        in_memory = say_database(session)

    assert (by_name, by_url, in_memory) == (str(db), str(db), ":memory:")


@pytest.mark.parametrize(
    ("url", "said"),
    [
        ("postgresql://odile:secret@h/x", "postgresql://odile:***@h/x"),
        ("sqlite://", "sqlite://"),
        ("sqlite:///x.db?timeout=1", "x.db"),
    ],
)
def testsay_url_hides_the_password_and_keeps_the_server(url: str, said: str) -> None:
    assert say_url(make_url(url)) == said


def test_open_session_read_alone_changes_no_byte(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
    before = (db.read_bytes(), db.stat().st_mtime_ns)

    with open_session(str(db)) as session:
        load_operation(session, "sandbur")

    assert (db.read_bytes(), db.stat().st_mtime_ns) == before


def test_open_session_newer_version_is_refused_and_left_alone(db: Path) -> None:
    with open_session(str(db)):
        pass
    run_sql(db, "UPDATE meta SET value = '2' WHERE key = 'schema_version'")
    before = db.read_bytes()

    error = refuse(db)

    assert error.message == (
        "the database was made by a newer mailby (tables version 2; this one knows 1)"
    )
    assert error.hint == "update mailby; the database was left alone"
    assert error.exit_code is ExitCode.STORE
    assert db.read_bytes() == before


@pytest.mark.parametrize(
    "version",
    [
        *("", "0", "-1", "one", "1.0", " 1", "1\n", b"1", "9" * 5000),
        *("\N{SUPERSCRIPT TWO}", "\N{ARABIC-INDIC DIGIT ONE}"),
    ],
)
def test_open_session_without_usable_version_is_refused(db: Path, version: str | bytes) -> None:
    with open_session(str(db)):
        pass
    run_sql(db, "UPDATE meta SET value = ?", version)
    before = db.read_bytes()

    error = refuse(db)

    assert error.message == "the database has no usable version entry"
    assert error.hint == "it is not one of mailby's, or it is damaged; choose another with --db"
    assert db.read_bytes() == before


def test_open_session_without_version_entry_is_refused(db: Path) -> None:
    with open_session(str(db)):
        pass
    run_sql(db, "DELETE FROM meta")

    assert refuse(db).message == "the database has no usable version entry"


@pytest.mark.parametrize(
    "table",
    [
        "CREATE TABLE bales (field TEXT, count INTEGER)",
        "CREATE TABLE meta (name TEXT, version INTEGER)",
        "CREATE TABLE operation (id TEXT)",
    ],
)
def test_open_session_other_programs_database_is_refused_and_left_alone(
    db: Path, table: str
) -> None:
    run_sql(db, table)
    before = db.read_bytes()

    error = refuse(db)

    assert error.message == f"the database {db} holds other tables and none of mailby's"
    assert error.hint == (
        "it belongs to another program and was left alone; choose another with --db"
    )
    assert db.read_bytes() == before


@pytest.mark.parametrize(
    "content",
    [b"mailby_file: 1\n", b"\x00\x00", b"SQLite format 3\x00" + b"\x00" * 200, b"%PDF-1.7\n" * 400],
)
def test_open_session_not_a_database_is_refused_and_left_alone(db: Path, content: bytes) -> None:
    db.write_bytes(content)

    error = refuse(db)

    assert error.message == f"{db} is not a database, or it is damaged"
    assert error.hint == "restore a copy, or load the YAML file into a new one with --db"
    assert db.read_bytes() == content


@pytest.mark.parametrize("url", ["", "  "])
def test_open_session_empty_name_is_refused(url: str) -> None:
    """SQLite would keep everything in memory and lose it: https://sqlite.org/inmemorydb.html."""
    error = refuse(url)

    assert (error.message, error.hint) == (
        "no database is named",
        "write a file name after --db",
    )


@pytest.mark.parametrize(
    ("url", "shown"),
    [
        ("://", "://"),
        ("sandbur.db://", "sandbur.db://"),
        ("postgresql://odile:secret@h:port/x", "postgresql://***@h:port/x"),
    ],
)
def test_open_session_unreadable_url_is_refused_without_its_password(url: str, shown: str) -> None:
    error = refuse(url)

    assert error.message == f"{shown!r} is no database URL"
    assert error.hint == "write a file name, or sqlite:///FILE, or postgresql://USER@HOST/NAME"


@pytest.mark.parametrize(
    ("url", "name", "plugin"),
    [
        (
            "barn://odile:secret@h/x",
            "barn://odile:***@h/x",
            "sqlalchemy.dialects:barn",
        ),
        (
            "sqlite+barn:///x.db",
            "x.db",
            "sqlalchemy.dialects:sqlite.barn",
        ),
    ],
)
def test_open_session_unknown_driver_is_refused_and_makes_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, url: str, name: str, plugin: str
) -> None:
    monkeypatch.chdir(tmp_path)

    error = refuse(url)

    assert error.message == (
        f"the database {name} needs a driver that is not installed: Can't load plugin: {plugin}"
    )
    assert error.hint == "use a SQLite file, or install the driver beside mailby"
    assert list(tmp_path.iterdir()) == []


def test_open_session_folder_in_place_of_a_file_is_refused(tmp_path: Path) -> None:
    error = refuse(tmp_path)

    assert error.message == (
        f"the database {tmp_path} cannot be opened: unable to open database file"
    )


def test_open_session_file_in_place_of_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notes").write_text("a file")

    error = refuse(tmp_path / "notes" / "inner" / "x.db")

    assert error.message == (
        f"the database {tmp_path}/notes/inner/x.db cannot be made: Not a directory"
    )
    assert error.hint == "choose another place with --db FILE or MAILBY_DB"
