"""Several things tried together give the plan that follows when all of them are really done.

Our own promise, held without tolerance: every day and chance of every job and packet is the same.
The farm is the demo's, with a registration that was mailed, came back and was mailed again.
"""

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session

from compliance.app.chances import add_chances
from compliance.app.logbook import Happened, add_entry
from compliance.app.mail_services import hold_mailings
from compliance.app.planning import make_plan
from compliance.app.trips import add_trip_days
from compliance.app.what_if import try_changes
from compliance.engine.plan import move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.wish import Wish
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, MailService, Operation
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

REGISTRATION, EXEMPTION = "faa.registration-n:tg46", "faa.exemption"
SENT_AGAIN = date(2027, 1, 12)
# On its way by usual days, and overdue.
DAYS = (date(2027, 1, 20), date(2027, 2, 1), date(2027, 3, 15))


def fill(session: Session, operation: Operation, log: tuple[LogEntry, ...]) -> None:
    """Write the demo with the second mailing of its registration."""
    again = LogEntry(
        number=len(log) + 1,
        kind=EventKind.MAILED,
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        happened_on=SENT_AGAIN,
    )
    save_operation(session, operation, namespace="n")
    append_log(session, operation.id, (*log, again))


def tell(session: Session, day: date, wish: Wish) -> None:
    """Tell the facts that a wish has, as loading a changed file does."""
    planned = make_plan(session, None, day)
    old = changed = planned.plan.operation
    if wish.first_spray is not None:
        changed = move_first_spray(changed, wish.first_spray)
    for _, service in wish.mail:
        changed = replace(changed, mail_service=MailService(service))
    if wish.drop_pilot:
        jobs = tuple(replace(job, pilots=("odile",)) for job in changed.jobs)
        changed = replace(changed, jobs=jobs)
    hold_mailings(session, old, changed, planned.table)
    save_operation(session, changed, namespace="n")


def do(session: Session, day: date, wish: Wish) -> Plan:
    """Really do what a wish has, and plan."""
    tell(session, day, wish)
    for packet in wish.returned:
        back = Happened(
            kind=EventKind.RETURNED, packet=packet, on=day, reason="what if it came back"
        )
        add_entry(session, None, back, day)
    planned = add_trip_days(make_plan(session, None, day))
    return add_chances(session, planned.plan, planned.table)


@st.composite
def wishes(draw: st.DrawFn) -> Wish:
    """Draw one to four changes that can be done together."""
    service = draw(st.sampled_from(("", *MailService)))
    spray = draw(st.sampled_from((None, date(2027, 5, 10), date(2027, 6, 14))))
    returned = draw(st.lists(st.sampled_from((REGISTRATION, EXEMPTION)), unique=True))
    drops = draw(st.booleans())
    wish = Wish(
        first_spray=spray,
        mail=(("all", service),) if service else (),
        returned=tuple(returned),
        swap_pilot=(("own-quarter", "odile"),) if drops else (),
        drop_pilot=("wren",) if drops else (),
    )
    return Wish(mail=(("all", "express"),)) if wish.is_empty else wish


@settings(deadline=None, derandomize=True, database=None, max_examples=10)
@given(wish=wishes(), day=st.sampled_from(DAYS))
def test_changes_tried_together_are_the_changes_done(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], wish: Wish, day: date
) -> None:
    """Another mail service leaves what is in the mail, which may be overdue, as it was sent."""
    with open_session(":memory:") as session:
        fill(session, demo_operation, demo_log)
        tried = try_changes(session, None, day, wish, chance=0.9)
        done = do(session, day, wish)

    assert tried.after == done
