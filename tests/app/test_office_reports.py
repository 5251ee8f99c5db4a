"""The day to ask an office is one: what `offices` names is what the plan names.

Our own promise; farm and log are the demo's.
"""

from collections.abc import Iterator
from datetime import date

import pytest
from sqlmodel import Session

from compliance.app.logbook import Happened, add_entry
from compliance.app.office_reports import report_offices
from compliance.app.planning import make_plan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.outputs.offices_text import render_offices_json, render_offices_text
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

HEARD = date(2027, 2, 12)


@pytest.fixture
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    """The demo, whose exemption is at the office; on 12 February they said when it is done."""
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        append_log(opened, demo_operation.id, demo_log)
        happened = Happened(
            kind=EventKind.HEARD,
            packet="faa.exemption",
            on=HEARD,
            reason="soon",
            expects=date(2027, 3, 7),
        )
        add_entry(opened, None, happened, HEARD)
        yield opened


@pytest.mark.parametrize(
    "day", [HEARD, date(2027, 3, 8), date(2027, 3, 13), date(2027, 5, 31), date(2027, 8, 2)]
)
def test_offices_names_the_day_to_ask_that_the_plan_names(session: Session, day: date) -> None:
    """31 May 2027 is Memorial Day (5 U.S.C. 6103): the office opens on 1 June.

    Before, `offices` went on naming 8 March, the day they had named.
    """
    reports = report_offices(session, "", day, every=False)
    plan = make_plan(session, None, day).plan
    (paper,) = [one for one in plan.papers if one.ask_day is not None]
    waiting = [one for report in reports for kind in report.kinds for one in kind.waiting]

    assert [one.planned for one in waiting] == [paper.ask_day]
    ask = paper.ask_day
    assert ask is not None
    assert waiting[0].planned is not None
    assert waiting[0].planned.open_on == ask.open_on


def test_offices_says_that_the_day_to_ask_is_past(session: Session) -> None:
    day = date(2027, 5, 31)
    reports = report_offices(session, "", day, every=False)
    text = " ".join(render_offices_text(reports, day).split())

    assert "ask again on Tue 1 Jun 2027, when they open; the day to ask was Mon 8 Mar 2027" in text
    assert '"ask_on": "2027-06-01"' in render_offices_json(reports, day)
