"""An operation goes into the database and comes out the same; nothing doubles, nothing lingers."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session, SQLModel, col, func, select, text

from compliance.base.problems import StoreError
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Address, Holder, HolderKind, Operation
from compliance.store.records import append_log, load_log
from compliance.store.repository import (
    load_calendar_namespace,
    load_operation,
    load_operation_ids,
    load_told_on,
    save_operation,
)
from compliance.store.session import open_session
from compliance.store.tables_operation import (
    AircraftRow,
    ClosureRow,
    HeldPaperRow,
    JobRow,
    PilotRow,
)

PARTS: tuple[type[SQLModel], ...] = (AircraftRow, PilotRow, JobRow, HeldPaperRow, ClosureRow)
# Everything a person or a file can hand over, but for halves of characters, which are no text.
TEXTS = st.text(st.characters(codec="utf-8"), max_size=40)
LINES = st.text(st.characters(codec="utf-8", exclude_characters="\n"), min_size=1)


def save(db: Path, operation: Operation, namespace: str = "first") -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace=namespace)


def load(db: Path, operation_id: str = "sandbur") -> Operation | None:
    with open_session(str(db)) as session:
        return load_operation(session, operation_id)


def count_parts(db: Path) -> tuple[int, ...]:
    with open_session(str(db)) as session:
        return tuple(session.exec(select(func.count()).select_from(table)).one() for table in PARTS)


def test_operation_round_trip_keeps_every_field(db: Path, operation: Operation) -> None:
    save(db, operation)

    assert load(db) == operation


def test_operation_round_trip_keeps_absent_values(db: Path, operation: Operation) -> None:
    bare = replace(
        operation, managed_by=None, physical_address=None, contact_email="", notary_days=()
    )
    bare = replace(bare, aircraft=(), pilots=(), jobs=(), papers=(), closures=())

    save(db, bare)

    assert load(db) == bare


def test_day_of_telling_is_that_of_the_last_change(db: Path, operation: Operation) -> None:
    """The same facts again, or a day not given, keep the day; other facts take a new one."""
    days = [date(2027, 1, 11), date(2027, 2, 1), None, date(2027, 3, 1), None]
    other = replace(operation, contact_phone="402-555-0199")
    told = []
    for day, one in zip(days, [operation, operation, operation, other, other], strict=True):
        with open_session(str(db)) as session:
            save_operation(session, one, namespace="n", told_on=day)
        with open_session(str(db)) as session:
            told.append(load_told_on(session, operation.id))

    assert told == [date(2027, 1, 11)] * 3 + [date(2027, 3, 1)] * 2


def test_load_operation_unknown_id_gives_none(db: Path, operation: Operation) -> None:
    save(db, operation)

    assert load(db, "SANDBUR") is None
    assert load(db, "") is None


@given(texts=st.tuples(TEXTS, TEXTS, TEXTS, TEXTS), lines=st.lists(LINES, max_size=6))
@settings(max_examples=60, deadline=None)
def test_operation_round_trip_keeps_any_text(
    drafts: Session, operation: Operation, texts: tuple[str, str, str, str], lines: list[str]
) -> None:
    name, serial, note, why = texts
    written = replace(
        operation,
        legal_name=name,
        mailing_address=Address(lines=tuple(lines)),
        aircraft=(replace(operation.aircraft[0], serial=serial),),
        jobs=(replace(operation.jobs[0], note=note),),
        closures=(replace(operation.closures[0], why=why),),
    )

    drafts.rollback()
    save_operation(drafts, written, namespace="n")
    drafts.expunge_all()  # or the session would hand back the rows it was given
    read = load_operation(drafts, "sandbur")

    assert read == written


@given(weight=st.decimals(min_value="0.000001", max_value="999999999", places=6))
@settings(max_examples=60, deadline=None)
def test_weight_round_trip_is_exact(drafts: Session, operation: Operation, weight: Decimal) -> None:
    """Nine digits before the point and six after it: the most the facts file can say."""
    machine = replace(operation.aircraft[0], takeoff_weight_lb=weight)

    drafts.rollback()
    save_operation(drafts, replace(operation, aircraft=(machine,)), namespace="n")
    drafts.expunge_all()
    read = load_operation(drafts, "sandbur")

    assert read is not None
    assert str(read.aircraft[0].takeoff_weight_lb) == str(weight)


@pytest.mark.parametrize("written", ["100", "118.0", "54.99999", "55", "1E+2", "0.1"])
def test_weight_round_trip_keeps_how_it_was_written(
    db: Path, operation: Operation, written: str
) -> None:
    """A hundred pounds must not come back as 1E+2, nor 118.0 as 118."""
    machine = replace(operation.aircraft[0], takeoff_weight_lb=Decimal(written))

    save(db, replace(operation, aircraft=(machine,)))
    read = load(db)

    assert read is not None
    assert str(read.aircraft[0].takeoff_weight_lb) == written


def test_parts_keep_the_order_of_the_file(db: Path, operation: Operation) -> None:
    machine, job = operation.aircraft[0], operation.jobs[0]
    names = [f"n{at}" for at in (10, 9, 1, 2, 11, 30, 3, 0, 5, 4, 7, 6)]
    long = replace(
        operation,
        aircraft=tuple(replace(machine, id=name) for name in names),
        jobs=tuple(replace(job, id=name) for name in reversed(names)),
        papers=operation.papers * 6,
    )

    save(db, long)

    assert load(db) == long


@pytest.mark.parametrize("at", range(5))
def test_job_flags_are_not_mixed_up(db: Path, operation: Operation, at: int) -> None:
    flags = [place == at for place in range(5)]
    job = replace(
        operation.jobs[0],
        for_hire=flags[0],
        restricted_use=flags[1],
        controlled_airspace=flags[2],
        outside_blanket_area=flags[3],
        congested_area=flags[4],
    )

    save(db, replace(operation, jobs=(job,)))

    assert load(db) == replace(operation, jobs=(job,))


def test_save_again_adds_no_second_copy(db: Path, operation: Operation) -> None:
    save(db, operation)
    first = count_parts(db)
    for _ in range(3):
        save(db, operation)

    assert first == (2, 2, 2, 2, 2)
    assert count_parts(db) == first
    assert load(db) == operation


def test_save_again_replaces_changed_values(db: Path, operation: Operation) -> None:
    changed = replace(
        operation,
        legal_name="Sandbur Flats Aerial, LLC",
        managed_by=None,
        physical_address=None,
        aircraft=tuple(reversed(operation.aircraft)),
        jobs=(replace(operation.jobs[0], last_day=date(2027, 10, 1), note=""),),
    )
    save(db, operation)

    save(db, changed)

    assert load(db) == changed


def test_save_after_load_in_one_session_replaces_the_loaded_rows(
    db: Path, operation: Operation
) -> None:
    """Rows that a session has read must not come between it and their successors."""
    changed = replace(operation, pilots=operation.pilots[:1], closures=())
    save(db, operation)

    with open_session(str(db)) as session:
        kept = [row for table in PARTS for row in session.exec(select(table)).all()]
        save_operation(session, changed, namespace="n")
        in_session = load_operation(session, "sandbur")

    assert len(kept) == 10
    assert in_session == changed
    assert load(db) == changed


def test_removed_parts_vanish_and_the_log_stays(db: Path, operation: Operation) -> None:
    holder = Holder(kind=HolderKind.AIRCRAFT, ref="tg-18")
    entry = LogEntry(
        number=1,
        kind=EventKind.MAILED,
        paper="faa.registration",
        holder=holder,
        happened_on=date(2027, 1, 11),
    )
    fewer = replace(operation, aircraft=operation.aircraft[:1], jobs=(), papers=())
    save(db, operation)
    with open_session(str(db)) as session:
        append_log(session, "sandbur", (entry,))

    save(db, fewer)

    assert count_parts(db) == (1, 2, 0, 0, 2)
    assert load(db) == fewer
    with open_session(str(db)) as session:
        assert load_log(session, "sandbur") == (entry,)


def test_two_operations_do_not_touch_each_other(db: Path, operation: Operation) -> None:
    """The same part ids may stand in both."""
    other = replace(operation, id="burrell", legal_name="Second", pilots=operation.pilots[1:])
    save(db, operation)
    save(db, other)

    save(db, replace(operation, jobs=(), closures=()))

    assert load(db, "burrell") == other
    assert load(db) == replace(operation, jobs=(), closures=())
    with open_session(str(db)) as session:
        assert load_operation_ids(session) == ("burrell", "sandbur")


def test_load_operation_ids_empty_database_gives_none_of_them(db: Path) -> None:
    with open_session(str(db)) as session:
        assert load_operation_ids(session) == ()


def test_calendar_namespace_of_the_first_save_stays(db: Path, operation: Operation) -> None:
    """A new one would give every calendar entry a new id, and the user all of them twice."""
    save(db, operation, namespace="first")
    save(db, operation, namespace="second")

    with open_session(str(db)) as session:
        assert load_calendar_namespace(session, "sandbur") == "first"
        assert load_calendar_namespace(session, "nobody") == ""


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ("UPDATE operation SET entity = 'club'", "'club' is not a valid EntityType"),
        ("UPDATE job SET first_day = 'May'", "Invalid isoformat string: 'May'"),
        ("UPDATE job SET material = ''", "'' is not a valid Material"),
        (
            "UPDATE aircraft SET takeoff_weight_lb = 'heavy'",
            "[<class 'decimal.ConversionSyntax'>]",
        ),
    ],
)
def test_load_operation_refuses_a_value_edited_by_hand(
    db: Path, operation: Operation, change: str, told: str
) -> None:
    save(db, operation)
    with open_session(str(db)) as session:
        session.connection().execute(text(change))

    with pytest.raises(StoreError) as caught:
        load(db)

    assert caught.value.message == (
        f"the database holds an operation with a value that mailby does not write: {told}"
    )


def test_save_operation_refuses_half_a_character(db: Path, operation: Operation) -> None:
    """A terminal not set to UTF-8 hands over such text: PEP 383, surrogateescape."""
    save(db, operation)
    half = b"caf\xe9".decode("utf-8", errors="surrogateescape")

    with pytest.raises(StoreError) as caught:
        save(db, replace(operation, legal_name="changed", contact_name=half))

    assert caught.value.message == (
        "a text cannot be kept, because a part of it is no character: 'caf\\udce9'"
    )
    assert load(db) == operation


def test_save_operation_same_id_twice_in_one_list_is_refused(
    db: Path, operation: Operation
) -> None:
    """The facts checks say so first; the database is the second fence."""
    save(db, operation)
    twice = replace(operation, aircraft=(operation.aircraft[0], operation.aircraft[0]))

    with pytest.raises(StoreError) as caught:
        save(db, twice)

    assert caught.value.message == (
        f"the database {db} refused the change: "
        "UNIQUE constraint failed: aircraft.operation_id, aircraft.id"
    )
    assert load(db) == operation


def test_part_without_its_operation_is_refused(db: Path) -> None:
    """SQLite leaves foreign keys off unless asked: https://sqlite.org/foreignkeys.html, 2."""
    with pytest.raises(StoreError) as caught, open_session(str(db)) as session:
        session.add(PilotRow(operation_id="nobody", id="wren", position=0, name="Wren Castellow"))

    assert caught.value.message == (
        f"the database {db} refused the change: FOREIGN KEY constraint failed"
    )
    with open_session(str(db)) as session:
        assert session.exec(select(PilotRow).order_by(col(PilotRow.id))).all() == []
