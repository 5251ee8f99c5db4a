"""Flights and other events kept and read back; nothing is ever changed."""

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import text

from compliance.base.problems import StoreError
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.model import Operation
from compliance.facts.own_terms import OwnTerm
from compliance.store.events import append_events, load_events, next_event_number
from compliance.store.repository import load_operation, save_operation
from compliance.store.session import open_session

ZONE = ZoneInfo("America/Chicago")
EVENTS = (
    JobEvent(
        number=1,
        kind=JobEventKind.FLEW,
        on=date(2027, 11, 7),
        job="pasture",
        start=datetime(2027, 11, 7, 1, 10, tzinfo=ZONE),
        end=datetime(2027, 11, 7, 1, 10, fold=1, tzinfo=ZONE),
        aircraft="tg46",
        pilot="odile",
        product="Invented Brush 4L",
        re_entry_hours=0,
    ),
    JobEvent(number=2, kind=JobEventKind.MOVED, on=date(2027, 6, 1), pilot="wren", note="own"),
    JobEvent(
        number=3,
        kind=JobEventKind.DID,
        on=date(2027, 6, 2),
        duty="a.b.c",
        occasion="event-2",
        and_before=True,
    ),
    JobEvent(number=4, kind=JobEventKind.WITHDRAWN, on=date(2027, 6, 3), withdraws=2),
)


def test_events_come_back_as_they_were(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="space")
        assert next_event_number(session, operation.id) == 1
        append_events(session, operation.id, EVENTS)

    with open_session(str(db)) as session:
        events = load_events(session, operation.id)

        assert events == EVENTS
        assert next_event_number(session, operation.id) == 5
        assert load_events(session, "other") == ()
    start, end = events[0].start, events[0].end
    assert start is not None
    assert end is not None
    # The same time on the wall, an hour apart.
    assert end.timestamp() - start.timestamp() == 3600


def test_own_terms_and_zones_come_back_with_the_operation(
    db: Path, demo_operation: Operation
) -> None:
    term = OwnTerm(duty="faa.exemption.extend", document="grant", count=150, unit="days")
    job = replace(demo_operation.jobs[0], time_zone="America/Denver", first_flight="06:30")
    held = replace(demo_operation.papers[0], own_terms=(term, replace(term, applies=False)))
    changed = replace(demo_operation, jobs=(job,), papers=(held,))
    with open_session(str(db)) as session:
        save_operation(session, changed, namespace="space")

    with open_session(str(db)) as session:
        assert load_operation(session, changed.id) == changed


def test_damaged_zone_is_a_store_error(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="space")
        append_events(session, operation.id, EVENTS[:1])
        session.connection().execute(text("update job_event set zone = 'Central'"))

    with (
        pytest.raises(StoreError, match="the log of flights"),
        open_session(str(db)) as session,
    ):
        load_events(session, operation.id)
