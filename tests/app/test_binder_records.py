"""Application records on their way into a binder."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from sqlmodel import Session

from compliance.app.binder_records import load_kept_records
from compliance.facts.model import Operation
from compliance.facts.products import ByAir
from compliance.facts.records import Application, UsedProduct
from compliance.rules.model import RulesTable
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
# 25 NAC 2 and 7 CFR 110.3 as the shared table has them: 48 hours from memory, 14 days second-hand.
NEBRASKA = (
    "Nebraska asks for it within 48 hours, by {}: 25 NAC 2 (none read; from memory, not read)"
)
FEDERAL = (
    "The federal government asks for it within 14 days, by {}: 7 CFR 110.3; 60 FR 8118 (Extension "
    "stewardship page, undated; read only in somebody else's summary)"
)
EARLY = (
    "first written Tue 25 May 2027, before its work as corrected, which does not make it in time; "
    "for the day of work it was first written with it was in time"
)
NINE_LESS = (
    "it still lacks total amount of the product, place of the application, area treated in acres, "
    "crop, commodity or site, applicator's name, applicator's certificate or license number"
)


@pytest.fixture
def session(demo_operation: Operation) -> Iterator[Session]:
    """A database with one record and its correction, which moved the day."""
    with open_session(":memory:") as session:
        save_operation(session, demo_operation, namespace="n")
        append_records(session, demo_operation.id, (FIRST,))
        append_records(session, demo_operation.id, (CORRECTED,))
        yield session


def test_only_the_version_that_stands_is_shown(
    session: Session, demo_operation: Operation, table: RulesTable
) -> None:
    """Once, on its corrected day, with every element in plain words and each product apart."""
    (record,) = load_kept_records(session, demo_operation, table, "", ALWAYS)

    assert record.title == "Record 1: Wed 2 Jun 2027, pasture-ne, NE"
    assert record.groups == (
        (
            ("written", "Tue 25 May 2027, corrected Thu 3 Jun 2027"),
            (
                "corrected",
                "version 2, Thu 3 Jun 2027: wrong day; the earlier ones are kept",
            ),
            (
                "time to write it",
                f"{NEBRASKA.format('Fri 4 Jun 2027')}; {EARLY}, by Wed 26 May 2027",
            ),
            (
                "time to write it",
                f"{FEDERAL.format('Wed 16 Jun 2027')}; {EARLY}, by Mon 7 Jun 2027; {NINE_LESS}",
            ),
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
    job: str,
    bounds: tuple[date, date],
    count: int,
    session: Session,
    demo_operation: Operation,
    table: RulesTable,
) -> None:
    """Both ends of the period count; the day before the correction does not."""
    assert len(load_kept_records(session, demo_operation, table, job, bounds)) == count


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
    as_of: date, title: str, session: Session, demo_operation: Operation, table: RulesTable
) -> None:
    """What was written or corrected after the day of the binder is said with its day."""
    (record,) = load_kept_records(session, demo_operation, table, "", ALWAYS, as_of)

    assert record.title == title


def _list_times(
    operation: Operation,
    table: RulesTable,
    versions: tuple[Application, ...],
    as_of: date = date.max,
) -> list[str]:
    """Keep versions of one record in a new database and give the binder's lines of its times."""
    with open_session(":memory:") as session:
        save_operation(session, operation, namespace="n")
        for one in versions:
            append_records(session, operation.id, (one,))
        (record,) = load_kept_records(session, operation, table, "", ALWAYS, as_of)
    return [text for label, text in record.groups[0] if label in {"written", "time to write it"}]


WHOLE = replace(
    FIRST,
    said=tuple(
        (name, "said")
        for name in ("place", "area", "crop", "applicator", "certificate", "wind-speed")
    ),
    products=(replace(FIRST.products[0], said=(("registration", "99999-1"), ("amount", "5 gal"))),),
)
WITHOUT_PLACE = replace(WHOLE, said=tuple(one for one in WHOLE.said if one[0] != "place"))


def test_correction_long_after_makes_no_record_late(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Written on the next day, corrected after 14 days have passed: in time, as it was."""
    later = replace(WHOLE, version=2, why="wind", written_on=date(2027, 7, 1))

    assert _list_times(demo_operation, table, (WHOLE, later)) == [
        "Tue 25 May 2027, corrected Thu 1 Jul 2027",
        f"{NEBRASKA.format('Wed 26 May 2027')}; first written in time",
        f"{FEDERAL.format('Mon 7 Jun 2027')}; first written in time",
    ]


def test_correction_makes_no_late_record_timely(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Written 15 days after the work is late by either time, corrected or not, on any day."""
    late = replace(WHOLE, written_on=date(2027, 6, 8))
    again = replace(late, version=2, why="wind", written_on=date(2027, 6, 9))
    said = [
        f"{NEBRASKA.format('Wed 26 May 2027')}; first written LATE",
        f"{FEDERAL.format('Mon 7 Jun 2027')}; first written LATE",
    ]

    assert _list_times(demo_operation, table, (late,)) == ["Tue 8 Jun 2027", *said]
    assert _list_times(demo_operation, table, (late, again)) == [
        "Tue 8 Jun 2027, corrected Wed 9 Jun 2027",
        *said,
    ]
    assert _list_times(demo_operation, table, (late, again), date(2027, 6, 8)) == [
        "Tue 8 Jun 2027",
        *said,
    ]


def test_correction_that_moves_the_day_of_work_leaves_both_answers(
    demo_operation: Operation, table: RulesTable
) -> None:
    """The work's day is moved ten days on, and the late record would be in time by it alone."""
    late = replace(WHOLE, written_on=date(2027, 6, 8))
    moved = replace(
        late, version=2, on=date(2027, 6, 3), why="wrong day", written_on=date(2027, 6, 9)
    )

    assert _list_times(demo_operation, table, (late, moved)) == [
        "Tue 8 Jun 2027, corrected Wed 9 Jun 2027",
        f"{NEBRASKA.format('Sat 5 Jun 2027')}; first written LATE",
        (
            f"{FEDERAL.format('Thu 17 Jun 2027')}; first written in time for the day of work as "
            "corrected, but LATE for the one it was first written with, by Mon 7 Jun 2027"
        ),
    ]


def test_what_was_added_after_the_time_is_said(
    demo_operation: Operation, table: RulesTable
) -> None:
    """A record made whole after 14 days was written in time, and what came later says so."""
    whole = replace(WHOLE, version=2, why="place", written_on=date(2027, 6, 8))
    soon = replace(whole, written_on=date(2027, 6, 7))
    twice = replace(whole, version=3, why="wind")

    assert _list_times(demo_operation, table, (WITHOUT_PLACE, whole))[2:] == [
        (
            f"{FEDERAL.format('Mon 7 Jun 2027')}; first written in time; what it lacked then was "
            "added Tue 8 Jun 2027, after that day"
        )
    ]
    assert _list_times(demo_operation, table, (WITHOUT_PLACE, soon, twice)) == [
        "Tue 25 May 2027, corrected Mon 7 Jun 2027 and Tue 8 Jun 2027",
        f"{NEBRASKA.format('Wed 26 May 2027')}; first written in time",
        f"{FEDERAL.format('Mon 7 Jun 2027')}; first written in time",
    ]


def test_unknown_day_of_writing_stays_unknown_when_corrected(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Of a record read in nobody knows when it was written; a correction does not tell it."""
    read = replace(WHOLE, written_known=False)
    again = replace(WHOLE, version=2, why="wind", written_on=date(2027, 6, 9))

    assert _list_times(demo_operation, table, (read, again)) == [
        "day not known, read in Tue 25 May 2027, corrected Wed 9 Jun 2027",
        f"{NEBRASKA.format('Wed 26 May 2027')}; whether it was written in time is not known",
        f"{FEDERAL.format('Mon 7 Jun 2027')}; whether it was written in time is not known",
    ]


def test_version_dated_back_counts_from_the_one_before_it(
    demo_operation: Operation, table: RulesTable
) -> None:
    """The third version corrects one of 14 June but says 12 June: on 13 June the first stood."""
    second = replace(WHOLE, version=2, why="wind", written_on=date(2027, 6, 14))
    third = replace(WHOLE, version=3, why="back", written_on=date(2027, 6, 12))
    kept = (WHOLE, second, third)

    shown = [_list_times(demo_operation, table, kept, date(2027, 6, day))[0] for day in (13, 14)]

    assert shown == [
        "Tue 25 May 2027",
        "Tue 25 May 2027, corrected Mon 14 Jun 2027 and Sat 12 Jun 2027",
    ]
