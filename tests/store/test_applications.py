"""Records of applications in the database: versions are added, numbers are not used twice."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.base.problems import StoreError
from compliance.facts.model import Operation
from compliance.facts.products import ByAir
from compliance.facts.records import Application, Disposed, UsedProduct
from compliance.store.applications import (
    Wanted,
    append_records,
    dispose_record,
    find_last_version,
    load_disposed,
    load_records,
    load_versions,
    next_record_number,
)
from compliance.store.repository import save_operation
from compliance.store.session import open_session
from compliance.store.tables_records import ApplicationRow
from tests.kit_records import PLAIN

FIRST = replace(
    PLAIN,
    written_on=date(2027, 6, 16),
    state="SD",
    aircraft="tg-46",
    said=(("place", "“north” 100% _field_"), ("area", "40")),
    products=(
        UsedProduct(
            name="Thistle-Out Ä 4",
            restricted_use=True,
            by_air=ByAir.YES,
            said=(("amount", "5 gal"),),
        ),
        UsedProduct(name="100%", restricted_use=False, by_air=ByAir.YES),
    ),
)
SECOND = replace(FIRST, version=2, end="07:50", why="wrong hour")
OTHER = replace(
    FIRST, number=2, on=date(2027, 7, 1), job="cover", state="NE", products=FIRST.products[1:]
)


def fill(session: Session, operation: Operation) -> None:
    save_operation(session, operation, namespace="n")
    append_records(session, operation.id, (FIRST, OTHER))
    append_records(session, operation.id, (SECOND,))


def test_versions_come_back_whole(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        fill(session, operation)
    with open_session(str(db)) as session:
        assert load_records(session, operation.id) == (FIRST, SECOND, OTHER)
        assert find_last_version(session, operation.id, 1) == SECOND
        assert find_last_version(session, operation.id, 3) is None
        assert load_versions(session, operation.id, (1,)) == (FIRST, SECOND)


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Wanted(job="cover"), (OTHER,)),
        (Wanted(state="SD"), (FIRST, SECOND)),
        (Wanted(first=date(2027, 6, 16)), (OTHER,)),
        (Wanted(last=date(2027, 6, 15)), (FIRST, SECOND)),
        (Wanted(first=date(2027, 6, 15), last=date(2027, 7, 1)), (FIRST, SECOND, OTHER)),
        (Wanted(product="OUT ä"), (FIRST, SECOND)),
        (Wanted(product="0%"), (FIRST, SECOND, OTHER)),
        (Wanted(product="%out"), ()),
        (Wanted(product="x"), ()),
    ],
)
def test_records_are_found(
    wanted: Wanted, found: tuple[Application, ...], db: Path, operation: Operation
) -> None:
    with open_session(str(db)) as session:
        fill(session, operation)
        assert load_records(session, operation.id, wanted) == found


def test_number_of_a_disposed_record_is_not_used_again(db: Path, operation: Operation) -> None:
    gone = Disposed(
        number=2,
        on=OTHER.on,
        disposed_on=date(2031, 1, 1),
        kept_through=date(2030, 7, 1),
        rule="ne.record",
    )
    with open_session(str(db)) as session:
        fill(session, operation)
        dispose_record(session, operation.id, gone)
        assert load_records(session, operation.id) == (FIRST, SECOND)
        assert load_disposed(session, operation.id) == (gone,)
        assert next_record_number(session, operation.id) == 3


def test_records_outlive_a_new_load_of_the_operation(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        fill(session, operation)
        save_operation(session, replace(operation, jobs=()), namespace="n")
        assert len(load_records(session, operation.id)) == 3


def test_value_that_is_none_of_ours_is_refused(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        fill(session, operation)
        row = session.get(ApplicationRow, (operation.id, 1, 1))
        assert row is not None
        row.content = "{"
        session.add(row)
        session.flush()
        with pytest.raises(StoreError, match="holds the records of applications with a value"):
            load_records(session, operation.id)
