"""A file read with the driver itself gives what a session gives, and is refused as there.

What the tables are is asked of their definitions, which SQLModel holds; what SQLite says of a
damaged file is quoted by it.
"""

import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import Table
from sqlalchemy.dialects import sqlite
from sqlalchemy.pool import NullPool
from sqlmodel import Session, create_engine, insert

import compliance.store.reader
from compliance.base.problems import StoreError
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, Operation
from compliance.facts.overrides import Override
from compliance.facts.packs import KeptPack
from compliance.facts.products import ByAir
from compliance.facts.records import Application, Disposed, UsedProduct
from compliance.facts.trip_names import NamedTrip
from compliance.store.applications import (
    Wanted,
    add_disposed,
    append_records,
    find_last_version,
    load_disposed,
    load_records,
    load_versions,
)
from compliance.store.events import append_events, load_events
from compliance.store.offices import (
    OfficeFile,
    OfficeTime,
    load_office_files,
    load_office_times,
    save_office_file,
)
from compliance.store.packs import load_packs, save_pack
from compliance.store.questions import Question
from compliance.store.reader import Reader
from compliance.store.reading import Readable, open_reading, read_rows, say_database
from compliance.store.records import append_log, load_log, load_overrides, save_override
from compliance.store.repository import (
    load_calendar_namespace,
    load_operation,
    load_operation_ids,
    save_operation,
)
from compliance.store.session import open_session
from compliance.store.tables import all_tables, find_table
from compliance.store.tables_rules import OverrideRow
from compliance.store.trips import load_trips, save_trips
from tests.kit_records import PLAIN

TABLES = tuple(name for name in all_tables().tables if name != "meta")
SQLITE = sqlite.dialect()
EMPTY: dict[str, object] = {
    "VARCHAR": "",
    "INTEGER": 0,
    "DATE": date(1999, 12, 31),
    "BOOLEAN": False,
}
FULL: dict[str, object] = {
    "VARCHAR": '“Ł” \U0001f69c\n, "; DROP TABLE job;',
    "INTEGER": 9_007_199_254_740_993,
    "DATE": date(2027, 2, 28),
    "BOOLEAN": True,
}
LOG = (
    LogEntry(
        number=1,
        kind=EventKind.RETURNED,
        paper="faa.registration",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg-46"),
        happened_on=date(2027, 2, 1),
        reason="no stamp",
        blanks=("affidavit/notary-stamp", "application/serial"),
        still_good=("sign",),
        issued_on=date(2027, 1, 30),
        valid_through=date(2028, 2, 29),
        expects=date(2027, 2, 12),
    ),
    LogEntry(
        number=2,
        kind=EventKind.WITHDRAWN,
        paper="faa.registration",
        holder=Holder(kind=HolderKind.OPERATION),
        happened_on=date(2027, 2, 2),
        withdraws=1,
    ),
)
EVENTS = (
    JobEvent(
        number=1,
        kind=JobEventKind.MOVED,
        on=date(2027, 6, 1),
        pilot="wren",
        re_entry_hours=0,
        and_before=True,
    ),
    JobEvent(number=2, kind=JobEventKind.WITHDRAWN, on=date(2027, 6, 3), withdraws=1),
)
FIRST = replace(
    PLAIN,
    products=(
        UsedProduct(name="100% Ä_4", restricted_use=True, by_air=ByAir.YES, said=(("area", "4"),)),
    ),
    flights=(1, 2),
)
RECORDS = (
    FIRST,
    replace(FIRST, version=2, why="wrong hour"),
    replace(FIRST, number=2, on=date(2027, 7, 1), job="cover", state="NE", products=()),
)
GONE = Disposed(
    number=3,
    on=date(2024, 6, 1),
    disposed_on=date(2027, 7, 1),
    kept_through=date(2027, 6, 1),
    rule="x.y",
    why="over",
    flights=(7, 9),
)
OWN = Override(row="a.b", field="usual", value="9", reason="asked", set_on=date(2027, 1, 2))
PACK = KeptPack(name="p", file="p.yaml", content="x: 1\n", sha256="00", added_on=date(2027, 1, 3))
FILE = OfficeFile(number=1, name="t.csv", digest="00", imported_on=date(2027, 1, 4), packets=3)
TIMES = (
    OfficeTime("a.b.review", date(2026, 1, 2), None, None, "out", 1),
    OfficeTime("a.b.review", date(2026, 1, 2), date(2026, 1, 5), date(2026, 3, 1), "granted", 2),
)
TRIP = NamedTrip(number=1, planned_on=date(2027, 2, 3), errands=("b", "a"))
LOADERS: dict[str, Callable[[Readable, str], object]] = {
    "ids": lambda source, _: load_operation_ids(source),
    "operation": load_operation,
    "namespace": load_calendar_namespace,
    "log": load_log,
    "events": load_events,
    "own values": lambda source, _: load_overrides(source),
    "packs": lambda source, _: load_packs(source),
    "records": load_records,
    "versions": lambda source, name: load_versions(source, name, (2, 1)),
    "standing": lambda source, name: find_last_version(source, name, 1),
    "disposed": load_disposed,
    "office files": lambda source, _: load_office_files(source),
    "office times": lambda source, _: load_office_times(source),
    "trips": load_trips,
}


def fill(session: Session, operation: Operation) -> None:
    save_operation(session, operation, namespace="space")
    append_log(session, operation.id, LOG)
    append_events(session, operation.id, EVENTS)
    append_records(session, operation.id, RECORDS)
    add_disposed(session, operation.id, (GONE,))
    save_override(session, OWN)
    save_pack(session, PACK)
    save_office_file(session, FILE, TIMES)
    save_trips(session, operation.id, (TRIP,))


@pytest.fixture
def kept(db: Path, operation: Operation) -> Path:
    """A file with something of everything in it."""
    with open_session(str(db)) as session:
        fill(session, operation)
    return db


@pytest.fixture
def no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    """A locked file is not waited for."""
    monkeypatch.setattr(compliance.store.reader, "BUSY_SECONDS", 0)


def change(db: Path, *statements: str) -> None:
    """Do something to a file behind mailby's back."""
    with closing(sqlite3.connect(db)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def refuse(opened: Callable[[str], object], db: Path) -> tuple[str, str]:
    with pytest.raises(StoreError) as caught:
        opened(str(db))
    return caught.value.message, caught.value.hint


def read_by_session(url: str) -> object:
    with open_session(url) as session:
        return load_operation(session, "sandbur")


def read_by_driver(url: str) -> object:
    with open_reading(url) as source:
        return load_operation(source, "sandbur")


def make_rows(table: Table) -> list[dict[str, object]]:
    """A row with as little as may be, and one with a value in every column."""
    rows: list[dict[str, object]] = [{}, {}]
    for column in table.columns:
        kind = column.type.compile(SQLITE)  # a fifth kind must be read by both ways first
        rows[0][column.name] = None if column.nullable else EMPTY[kind]
        rows[1][column.name] = FULL[kind]
    return rows


def types_of(rows: list[dict[str, object]]) -> list[list[type]]:
    return [[type(value) for value in row.values()] for row in rows]


@pytest.mark.parametrize("name", TABLES)
def test_both_ways_give_the_same_values_of_every_column(db: Path, name: str) -> None:
    """Every table with values of every type and with none, as SQLModel's own types write them."""
    table = find_table(name)
    rows = make_rows(table)
    with open_session(str(db)):
        pass
    engine = create_engine(f"sqlite:///{db}", poolclass=NullPool)  # it asks for no other rows
    with engine.begin() as connection:
        connection.execute(insert(table), rows)
    columns = tuple(table.columns.keys())
    question = Question(table=name, columns=columns, order=columns[:1])

    with open_session(str(db)) as session:
        by_session = read_rows(session, question)
    with open_reading(str(db)) as source:
        assert isinstance(source, Reader)
        by_driver = read_rows(source, question)

    assert by_session == rows
    assert by_driver == rows
    assert types_of(by_driver) == types_of(by_session) == types_of(rows)


def test_table_is_found_by_its_name() -> None:
    """The names are those that the definitions themselves say."""
    assert [find_table(name).name for name in all_tables().tables] == list(all_tables().tables)


def test_new_process_finds_each_table() -> None:
    """None is found only because another test has built it."""
    code = """
import sys
from compliance.store.tables import find_table
for name in sys.argv[1:]:
    print(find_table(name).name)
"""
    done = subprocess.run(
        [sys.executable, "-c", code, *TABLES],
        check=True,
        timeout=120,
        capture_output=True,
        text=True,
    )

    assert tuple(done.stdout.split()) == TABLES


def test_both_ways_load_what_was_kept(kept: Path, operation: Operation) -> None:
    expected: dict[str, object] = {
        "ids": (operation.id,),
        "operation": operation,
        "namespace": "space",
        "log": LOG,
        "events": EVENTS,
        "own values": (OWN,),
        "packs": (PACK,),
        "records": RECORDS,
        "versions": RECORDS,
        "standing": RECORDS[1],
        "disposed": (GONE,),
        "office files": (FILE,),
        "office times": ((FILE, TIMES),),
        "trips": (TRIP,),
    }
    with open_session(str(kept)) as session:
        by_session = {name: load(session, operation.id) for name, load in LOADERS.items()}
    with open_reading(str(kept)) as source:
        assert isinstance(source, Reader)
        by_driver = {name: load(source, operation.id) for name, load in LOADERS.items()}

    assert by_session == expected
    assert by_driver == expected
    assert repr(by_driver) == repr(by_session)  # 1 equals True, but is not written so


def test_nothing_is_loaded_of_an_operation_that_is_not_there(kept: Path) -> None:
    with open_reading(str(kept)) as source:
        found = {name: load(source, "other") for name, load in LOADERS.items()}

    assert {name for name, value in found.items() if value} == {
        "ids",
        "own values",
        "packs",
        "office files",
        "office times",
    }


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Wanted(job="cover"), RECORDS[2:]),
        (Wanted(state="NE", job="pasture"), RECORDS[:2]),
        (Wanted(first=date(2027, 6, 15), last=date(2027, 6, 15)), RECORDS[:2]),
        (Wanted(first=date(2027, 6, 16)), RECORDS[2:]),
        (Wanted(last=date(2027, 6, 14)), ()),
        (Wanted(product="0% ä_"), RECORDS[:2]),
        (Wanted(product="Ä_4"), RECORDS[:2]),
        (Wanted(product="1%4"), ()),
        (Wanted(product="Ä44"), ()),
    ],
)
def test_both_ways_find_the_same_records(
    kept: Path, operation: Operation, wanted: Wanted, found: tuple[Application, ...]
) -> None:
    """Signs that stand for others in a search of SQLite stand for themselves."""
    with open_session(str(kept)) as session:
        by_session = load_records(session, operation.id, wanted)
    with open_reading(str(kept)) as source:
        by_driver = load_records(source, operation.id, wanted)

    assert by_session == found
    assert by_driver == found


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE job SET first_day = '2027-02-30'",
        "UPDATE job SET first_day = 20270230",
        "UPDATE job SET first_day = '20270228'",
        "UPDATE job SET material = 'sand'",
        "UPDATE aircraft SET takeoff_weight_lb = 'heavy'",
        "UPDATE operation SET legal_name = CAST(x'53ff' AS TEXT)",
        "ALTER TABLE job DROP COLUMN products",
        "DROP TABLE place",
        "UPDATE meta SET value = '2'",
        "UPDATE meta SET value = 'one'",
        "DELETE FROM meta",
        "DROP TABLE meta",
    ],
)
def test_both_ways_refuse_the_same_damage(kept: Path, statement: str) -> None:
    """What is told is compared but for the driver's own words about a day."""
    change(kept, statement)
    before = kept.read_bytes()

    by_session, by_driver = refuse(read_by_session, kept), refuse(read_by_driver, kept)

    if "20270228" in statement or "20270230" in statement:
        start = "the database holds an operation with a value that mailby does not write: "
        assert by_session == (f"{start}fromisoformat: argument must be str", by_session[1])
        assert by_driver == (f"{start}a number stands where a day belongs", by_session[1])
    else:
        assert by_driver == by_session
    assert kept.read_bytes() == before


def test_truth_kept_as_another_number_is_read_as_a_session_reads_it(kept: Path) -> None:
    change(kept, "UPDATE job SET for_hire = 2", "UPDATE job SET congested_area = 0.0")

    assert read_by_driver(str(kept)) == read_by_session(str(kept))


def test_truth_that_is_none_is_refused(kept: Path) -> None:
    change(kept, "UPDATE job SET for_hire = 'maybe'")

    assert refuse(read_by_driver, kept)[0] == (
        "the database holds an operation with a value that mailby does not write: could not "
        "convert string to float: b'maybe'"
    )


@pytest.mark.parametrize("content", [b"x" * 5000, b"SQLite format 3\0" + b"x" * 5000])
def test_file_that_is_no_database_is_refused(db: Path, content: bytes) -> None:
    db.write_bytes(content)

    assert refuse(read_by_driver, db) == refuse(read_by_session, db)
    assert db.read_bytes() == content


def test_truncated_file_is_refused_wherever_it_is_cut(kept: Path) -> None:
    whole = kept.read_bytes()
    told = set()
    for size in range(512, len(whole), 8 * 512 - 512):
        kept.write_bytes(whole[:size])
        told.add(refuse(read_by_driver, kept)[0])

    assert told == {f"{kept} is not a database, or it is damaged"}


def test_missing_file_is_made_as_a_session_makes_it(db: Path) -> None:
    with open_reading(str(db)) as source:
        assert not isinstance(source, Reader)
        assert load_operation_ids(source) == ()
        assert say_database(source) == str(db)

    with open_reading(str(db)) as source:
        assert isinstance(source, Reader)
        assert load_operation_ids(source) == ()
        assert say_database(source) == str(db)
    assert db.stat().st_mode & 0o777 == 0o600


def test_url_is_read_by_a_session(kept: Path, operation: Operation) -> None:
    """As every database that is no SQLite file must be."""
    with open_reading(f"sqlite:///{kept}") as source:
        assert isinstance(source, Session)
        assert load_operation(source, operation.id) == operation


def test_folder_is_refused(tmp_path: Path) -> None:
    assert refuse(read_by_driver, tmp_path) == refuse(read_by_session, tmp_path)


@pytest.mark.usefixtures("no_wait")
def test_locked_file_is_refused(kept: Path) -> None:
    with closing(sqlite3.connect(kept, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        told = refuse(read_by_driver, kept)

    assert told == (
        f"the database {kept} is locked",
        "another mailby is writing; wait a moment and try again",
    )


def test_reading_sees_one_state_though_another_run_changes_it(
    kept: Path, operation: Operation
) -> None:
    """Without a journal of another kind SQLite lets nobody write while we read."""
    with open_reading(str(kept)) as source:
        assert load_operation_ids(source) == (operation.id,)
        with closing(sqlite3.connect(kept, timeout=0)) as other:
            other.execute("UPDATE operation SET legal_name = 'changed'")
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.commit()
        assert load_operation(source, operation.id) == operation


def test_half_character_is_refused_as_a_session_refuses_it(kept: Path) -> None:
    def ask_session(url: str) -> object:
        with open_session(url) as session:
            return load_operation(session, "\udc80")

    def ask_driver(url: str) -> object:
        with open_reading(url) as source:
            return load_operation(source, "\udc80")

    assert refuse(ask_driver, kept) == refuse(ask_session, kept)


def test_session_reads_what_it_has_just_written(db: Path, operation: Operation) -> None:
    """Also what was only handed to it and not yet sent to the database."""
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        session.add(OverrideRow(**{name: getattr(OWN, name) for name in Override.__slots__}))
        assert load_overrides(session) == (OWN,)
