"""Files of office times are kept and forgotten whole."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import Session, text

from compliance.base.problems import StoreError
from compliance.store.offices import (
    OfficeFile,
    OfficeTime,
    delete_office_file,
    load_office_files,
    load_office_times,
    next_office_file,
    save_office_file,
)
from compliance.store.session import open_session

FILE = OfficeFile(
    number=1, name="times.csv", digest="d" * 64, imported_on=date(2027, 1, 11), packets=4
)
TIMES = (
    OfficeTime(
        step="faa.registration-n.review",
        sent_on=date(2026, 10, 1),
        reached_on=date(2026, 10, 5),
        decided_on=date(2026, 11, 2),
        outcome="granted",
        times=3,
    ),
    OfficeTime(
        step="faa.registration-n.review",
        sent_on=date(2026, 12, 1),
        reached_on=None,
        decided_on=None,
        outcome="pending",
        times=1,
    ),
)


@pytest.fixture(name="session")
def opened_session(db: Path) -> Iterator[Session]:
    with open_session(str(db)) as opened:
        yield opened


def test_file_comes_back_as_it_was_kept(session: Session) -> None:
    """In the order of its lines, the file with it."""
    assert next_office_file(session) == 1

    save_office_file(session, FILE, TIMES)

    assert load_office_files(session) == (FILE,)
    assert load_office_times(session) == ((FILE, TIMES),)
    assert next_office_file(session) == 2


def test_forgotten_file_leaves_nothing_behind(session: Session) -> None:
    """And says whether there was one."""
    save_office_file(session, FILE, TIMES)

    assert delete_office_file(session, 1)
    assert not delete_office_file(session, 1)
    assert load_office_times(session) == ()
    assert session.connection().execute(text("select count(*) from office_time")).scalar() == 0


def test_damaged_day_is_refused(session: Session) -> None:
    """A value that mailby does not write is named, not guessed."""
    save_office_file(session, FILE, TIMES)
    session.connection().execute(text("update office_time set sent_on = 'soon'"))
    session.expire_all()

    with pytest.raises(StoreError) as caught:
        load_office_times(session)

    assert "the database holds office times with a value that mailby does not write" in str(
        caught.value.message
    )
