"""Application records on their way into a binder."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from sqlmodel import Session

from compliance.app.binder_records import load_kept_records
from compliance.facts.model import Operation
from compliance.facts.products import ByAir
from compliance.facts.records import UsedProduct
from compliance.store.applications import append_records
from compliance.store.repository import save_operation
from compliance.store.session import open_session
from tests.kit_records import PLAIN

FIRST = replace(
    PLAIN,
    written_on=date(2027, 5, 25),
    job="pasture-ne",
    on=date(2027, 5, 24),
    said=(("wind-speed", "7"),),
    products=(
        UsedProduct(
            name="Invented Thistle Stop",
            restricted_use=True,
            by_air=ByAir.YES,
            said=(("registration", "99999-1"),),
        ),
    ),
)
CORRECTED = replace(
    FIRST, version=2, on=date(2027, 6, 2), why="wrong day", written_on=date(2027, 6, 3)
)
ALWAYS = (date.min, date.max)


@pytest.fixture
def session(demo_operation: Operation) -> Iterator[Session]:
    """A database with one record and its correction, which moved the day."""
    with open_session(":memory:") as session:
        save_operation(session, demo_operation, namespace="n")
        append_records(session, demo_operation.id, (FIRST,))
        append_records(session, demo_operation.id, (CORRECTED,))
        yield session


def test_only_the_version_that_stands_is_shown(session: Session, demo_operation: Operation) -> None:
    """Once, on its corrected day, with every element in plain words and each product apart."""
    (record,) = load_kept_records(session, demo_operation, "", ALWAYS)

    assert record.title == "Record 1: Wed 2 Jun 2027, pasture-ne, NE"
    assert record.groups == (
        (
            ("written on", "Thu 3 Jun 2027"),
            ("corrected", "version 2: wrong day; the earlier ones are kept"),
            ("time it began", "06:10 (America/Chicago)"),
            ("time it ended", "07:45 (America/Chicago)"),
            ("for hire", "yes"),
            ("what was applied", "pesticide"),
            ("aircraft", "TG-46 46-00017"),
            ("flown by", "Odile Ferrant"),
            ("wind speed in miles an hour", "7"),
        ),
        (
            ("product name", "Invented Thistle Stop"),
            ("restricted-use product", "yes"),
            ("EPA registration number", "99999-1"),
        ),
    )


@pytest.mark.parametrize(
    ("job", "bounds", "count"),
    [
        ("pasture-ne", ALWAYS, 1),
        ("pasture-sd", ALWAYS, 0),
        ("", (date(2027, 5, 24), date(2027, 5, 31)), 0),
        ("", (date(2027, 6, 2), date(2027, 6, 2)), 1),
        ("", (date(2027, 6, 3), date(2027, 6, 30)), 0),
    ],
)
def test_records_are_chosen_by_the_day_that_stands(
    job: str, bounds: tuple[date, date], count: int, session: Session, demo_operation: Operation
) -> None:
    """Both ends of the period count; the day before the correction does not."""
    assert len(load_kept_records(session, demo_operation, job, bounds)) == count


@pytest.mark.parametrize(
    ("as_of", "title"),
    [
        (
            date(2027, 5, 24),
            "Record 1: Mon 24 May 2027, pasture-ne, NE (written later, on Tue 25 May 2027)",
        ),
        (
            date(2027, 6, 2),
            "Record 1: Mon 24 May 2027, pasture-ne, NE (corrected later, on Thu 3 Jun 2027)",
        ),
        (date(2027, 6, 3), "Record 1: Wed 2 Jun 2027, pasture-ne, NE"),
    ],
)
def test_record_is_shown_as_it_stood_on_the_day(
    as_of: date, title: str, session: Session, demo_operation: Operation
) -> None:
    """What was written or corrected after the day of the binder is said with its day."""
    (record,) = load_kept_records(session, demo_operation, "", ALWAYS, as_of)

    assert record.title == title
