"""The events of a log file: read strictly, written back the same; the files are invented."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from compliance.facts.events import (
    JobEvent,
    JobEventKind,
    find_flights,
    find_standing_events,
)
from compliance.facts.events_parse import parse_events
from compliance.facts.log_parse import parse_log
from compliance.facts.model import Operation
from compliance.facts.write import render_log

ZONE = ZoneInfo("America/Chicago")
FLEW = JobEvent(
    number=1,
    kind=JobEventKind.FLEW,
    on=date(2027, 5, 24),
    job="pasture-ne",
    start=datetime(2027, 5, 24, 6, 10, tzinfo=ZONE),
    end=datetime(2027, 5, 24, 7, 45, tzinfo=ZONE),
    aircraft="tg46",
    pilot="odile",
    product="Invented Brush 4L",
    re_entry_hours=0,
)
EVENTS = (
    FLEW,
    JobEvent(
        number=2,
        kind=JobEventKind.FLEW,
        on=date(2027, 11, 7),
        job="pasture-ne",
        start=datetime(2027, 11, 7, 1, 10, fold=1, tzinfo=ZONE),
        end=datetime(2027, 11, 7, 1, 45, fold=1, tzinfo=ZONE),
        note="the season ran on",
    ),
    JobEvent(
        number=3,
        kind=JobEventKind.ACCIDENT,
        on=date(2027, 5, 25),
        start=datetime(2027, 5, 25, 10, 20, tzinfo=ZoneInfo("America/Denver")),
    ),
    JobEvent(number=4, kind=JobEventKind.MOVED, on=date(2027, 6, 1), pilot="wren"),
    JobEvent(
        number=5,
        kind=JobEventKind.DID,
        on=date(2027, 6, 2),
        duty="faa.airspace-authorization.monthly-report",
        occasion="2027-05",
        and_before=True,
    ),
    JobEvent(number=6, kind=JobEventKind.WITHDRAWN, on=date(2027, 6, 3), withdraws=4),
)


def test_events_written_read_back_the_same(demo_operation: Operation) -> None:
    text = render_log((), EVENTS)

    events, problems = parse_events(text, "log.yaml", demo_operation)

    assert problems == ()
    assert events == EVENTS
    # Moments in the hour a clock shows twice are equal on the wall; the instant tells them apart.
    starts = [event.start.timestamp() for event in events if event.start is not None]
    assert starts == [event.start.timestamp() for event in EVENTS if event.start is not None]
    assert render_log((), events) == text
    assert parse_log(text, "log.yaml", demo_operation) == ((), ())


def test_log_without_events_has_none(demo_operation: Operation) -> None:
    assert parse_events("log: []\n", "log.yaml", demo_operation) == ((), ())
    assert parse_events("- x\n", "log.yaml", demo_operation) == ((), ())
    assert "events" not in render_log(())


def test_withdrawn_events_do_not_stand_and_others_are_in_order() -> None:
    assert [event.number for event in find_standing_events(EVENTS)] == [1, 3, 5, 2]
    assert [event.number for event in find_flights(EVENTS)] == [1, 2]
    assert find_flights(EVENTS, "pasture-sd") == ()


HEAD = "log: []\nevents:\n  - "


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "kind: flown\n    on: 2027-05-24",
            (
                "log.yaml:3:11: E05 `kind` of event 1 is 'flown'; allowed: flew, accident, "
                "departure, moved, changed, asked, trained, refused, did, withdrawn\n"
                "  hint: did you mean `flew`?"
            ),
        ),
        (
            "kind: flew\n    job: pasture\n    from: 2027-05-24 06:10\n    to: 2027-05-24 07:45",
            (
                "log.yaml:4:10: E13 `job` of event 1 is 'pasture', which the operation does not "
                "have\n"
                "  hint: did you mean `pasture-sd`?"
            ),
        ),
        (
            "kind: accident\n    from: 2027-05-24 06:10\n    zone: Central",
            (
                "log.yaml:5:11: E21 `zone` of event 1 is 'Central', which is no time zone\n"
                "  hint: add a line `zone: America/Chicago`, or `time_zone` to the operation"
            ),
        ),
        (
            "kind: accident\n    from: 2027-03-14 02:30",
            (
                "log.yaml:4:11: E22 `from` of event 1: 02:30 does not exist on Sun 14 Mar "
                "2027: clocks go forward\n  hint: a clock showed 03:30 then"
            ),
        ),
        (
            "kind: moved\n    on: 2027-05-24\n    withdraws: 1",
            (
                "log.yaml:5:16: E17 `withdraws` of event 1, but its `kind` is moved\n"
                "  hint: write `kind: withdrawn`, or remove the line"
            ),
        ),
        (
            "kind: moved\n    on: 24 May",
            (
                "log.yaml:4:9: E06 `on` of event 1 is '24 May', which is no date\n"
                "  hint: write year-month-day, for example 2027-05-24, within 2000-2079"
            ),
        ),
        (
            "kind: did\n    on: 2027-05-24\n    duty: a.b",
            "log.yaml:3:5: E03 event 1 lacks `occasion`\n  hint: add a line `occasion: ...`",
        ),
        (
            "kind: moved\n    on: 2027-05-24\n    whose: wren",
            (
                "log.yaml:5:5: E02 event 1 has an entry `whose` that is not known here\n"
                "  hint: known here: kind, job, re_entry_hours, on, aircraft, pilot, product, "
                "duty, occasion, and_before, note, withdraws"
            ),
        ),
        (
            "kind: moved\n    on: 2027-05-24\n    re_entry_hours: -1",
            "log.yaml:5:21: E07 `re_entry_hours` of event 1 is -1; it must be 0 to 10,000",
        ),
        ("just text", "log.yaml:3:5: E01 event 1 must be a set of `key: value` lines"),
    ],
)
def test_bad_event_gives_this_message(line: str, expected: str, demo_operation: Operation) -> None:
    events, problems = parse_events(f"{HEAD}{line}\n", "log.yaml", demo_operation)

    assert events == ()
    assert expected in [str(problem) for problem in problems]
