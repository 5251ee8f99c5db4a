"""What-if tells what happens: the plan with a change is the plan after the change was really made.

Our own promise; farm, log and days are the demo's.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date

import pytest
from sqlmodel import Session

from compliance.app.chances import add_chances
from compliance.app.logbook import Happened, add_entry, import_entries
from compliance.app.mail_services import hold_mailings
from compliance.app.planning import make_plan
from compliance.app.tables import set_override
from compliance.app.trips import add_trip_days
from compliance.app.what_if import Tried, try_changes
from compliance.engine.agenda import list_once
from compliance.engine.plan import move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.wish import Wish
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import MailService, Operation
from compliance.facts.overrides import Override
from compliance.store.repository import save_operation
from compliance.store.session import open_session

DAY = date(2027, 1, 11)
REGISTRATION = "faa.registration-n:tg46"
AIRSPACE = "faa.airspace-authorization.review"

GOOD_NEWS = (
    "a return today can make a chance higher or a likely day sooner: it ends a wait that might "
    "have gone on for long, and tells how quick the office is"
)

Make = Callable[[Session], None]


@contextmanager
def farm(operation: Operation, log: tuple[LogEntry, ...], today: date) -> Iterator[Session]:
    with open_session(":memory:") as session:
        save_operation(session, operation, namespace="n")
        import_entries(session, operation.id, log, today=today)
        yield session


def plan_of(session: Session, day: date) -> Plan:
    planned = add_trip_days(make_plan(session, None, day))
    return add_chances(session, planned.plan, planned.table)


def try_it(session: Session, day: date, wish: Wish) -> Tried:
    return try_changes(session, None, day, wish, chance=0.9)


@pytest.mark.parametrize(
    ("packet", "day"),
    [
        ("faa.exemption", date(2026, 10, 5)),
        ("faa.exemption", date(2026, 12, 21)),
        ("faa.exemption", DAY),
        ("faa.exemption", date(2027, 2, 15)),
        (REGISTRATION, date(2026, 12, 7)),
        (REGISTRATION, date(2026, 12, 28)),
        (REGISTRATION, date(2027, 1, 5)),
    ],
)
def test_return_tried_is_the_return_logged(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], packet: str, day: date
) -> None:
    """Days and chances, of every job and packet, also when the return teaches a slow office."""
    log = tuple(one for one in demo_log if one.happened_on <= day)
    with farm(demo_operation, log, day) as session:
        tried = try_it(session, day, Wish(returned=(packet,)))
        back = Happened(
            kind=EventKind.RETURNED, packet=packet, on=day, reason="what if it came back"
        )
        add_entry(session, None, back, day)
        logged = plan_of(session, day)

    assert tried.after == logged
    assert tried.after.chances != tried.before.chances


def spray_later(session: Session) -> None:
    operation = make_plan(session, None, DAY).plan.operation
    save_operation(session, move_first_spray(operation, date(2027, 6, 14)), namespace="n")


def choose_service(session: Session, service: MailService) -> None:
    """Tell another mail service, as loading a changed file does."""
    planned = make_plan(session, None, DAY)
    old = planned.plan.operation
    changed = replace(old, mail_service=service)
    hold_mailings(session, old, changed, planned.table)
    save_operation(session, changed, namespace="n")


def mail_quicker(session: Session) -> None:
    choose_service(session, MailService.EXPRESS)


def drop_wren(session: Session) -> None:
    operation = make_plan(session, None, DAY).plan.operation
    jobs = tuple(replace(job, pilots=("odile",)) for job in operation.jobs)
    save_operation(session, replace(operation, jobs=jobs), namespace="n")


def drop_small_aircraft(session: Session) -> None:
    operation = make_plan(session, None, DAY).plan.operation
    jobs = tuple(replace(job, aircraft=("tg46",)) for job in operation.jobs)
    save_operation(session, replace(operation, jobs=jobs), namespace="n")


@pytest.mark.parametrize(
    ("wish", "make"),
    [
        (Wish(first_spray=date(2027, 6, 14)), spray_later),
        (Wish(mail=(("all", "express"),)), mail_quicker),
        (Wish(swap_pilot=(("own-quarter", "odile"),), drop_pilot=("wren",)), drop_wren),
        (
            Wish(swap_aircraft=(("own-quarter", "tg46"),), drop_aircraft=("tg18",)),
            drop_small_aircraft,
        ),
    ],
    ids=["first spray", "mail service", "pilot", "aircraft"],
)
def test_change_tried_is_the_change_made(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], wish: Wish, make: Make
) -> None:
    """Facts changed in the file and loaded give the plan that was shown before."""
    with farm(demo_operation, demo_log, DAY) as session:
        tried = try_it(session, DAY, wish)
        make(session)
        made = plan_of(session, DAY)

    assert tried.after == made
    assert tried.after != tried.before


def test_office_tried_is_the_office_set(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """An office of which nothing was seen; of another what-if leaves out what was seen."""
    with farm(demo_operation, demo_log, DAY) as session:
        tried = try_it(session, DAY, Wish(office=((AIRSPACE, "40"),)))
        for field in ("days.slow", "days.usual", "days.fast"):
            own = Override(row=AIRSPACE, field=field, value="40", reason="they said so", set_on=DAY)
            set_override(session, own)
        made = plan_of(session, DAY)

    assert tried.after.chances == made.chances
    assert tried.after.jobs == made.jobs
    assert [(one.id, one.mail_last, one.mail_safe) for one in tried.after.papers] == [
        (one.id, one.mail_last, one.mail_safe) for one in made.papers
    ]
    assert [one.earliest_ready for one in tried.after.papers] == [
        one.earliest_ready for one in made.papers
    ]
    assert tried.after.chances != tried.before.chances


def test_packet_not_sent_yet_goes_and_comes_back_once(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """As if both were logged, but no office has learnt anything from what is still to come.

    Mailed Tuesday 12 January 2027; five postal days (18 January is a holiday), 21 calendar days at
    the Registry, five postal days home (15 February is a holiday): 16 February.
    """
    with farm(demo_operation, demo_log, DAY) as session:
        tried = try_it(session, DAY, Wish(returned=(REGISTRATION,)))

    paper = tried.after.find_paper(REGISTRATION)
    assert paper is not None
    assert tried.words == (
        (
            f"{REGISTRATION} is mailed on Tue 12 Jan 2027, the first day the plan has for it, and "
            "comes back on Tue 16 Feb 2027, after the usual days; then it goes again. The chances "
            "count this return as certain, on a day nobody knows, and further returns as likely as "
            "before"
        ),
    )
    assert [one.happened_on for one in paper.packet.progress.returns] == [
        date(2027, 1, 6),
        date(2027, 2, 16),
    ]
    assert paper.mail_step == f"{REGISTRATION}/mail~3"
    before, after = tried.before.chances, tried.after.chances
    assert before is not None
    assert after is not None
    pairs = zip(before.jobs, after.jobs, strict=True)
    assert all(new.on_first_day <= old.on_first_day for old, new in pairs)


def test_return_to_come_rests_on_the_other_changes(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """By express it is there sooner, and so it is back sooner."""
    wish = Wish(returned=(REGISTRATION,))
    with farm(demo_operation, demo_log, DAY) as session:
        slow = try_it(session, DAY, wish).after.find_paper(REGISTRATION)
        quick = try_it(session, DAY, replace(wish, mail=(("all", "express"),))).after.find_paper(
            REGISTRATION
        )

    assert slow is not None
    assert quick is not None
    days = [paper.packet.progress.returns[-1].happened_on for paper in (quick, slow)]
    assert days == [date(2027, 2, 10), date(2027, 2, 16)]


def test_return_to_come_goes_on_the_trip_of_the_plan(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """The exam is on Tuesday 12 January 2027, the post office on the trip of Friday 15 January.

    Five postal days (18 January is a holiday), the usual days of the office, and the mail home.
    """
    packet = "sd.commercial-applicator:odile"
    with farm(demo_operation, demo_log, DAY) as session:
        tried = try_it(session, DAY, Wish(returned=(packet,)))

    paper, before = tried.after.find_paper(packet), tried.before.find_paper(packet)
    assert paper is not None
    assert before is not None
    sending = tried.before.find_step(before.mail_step)
    assert sending is not None
    assert sending.earliest == date(2027, 1, 15)
    assert paper.packet.progress.done["mail", 1] == sending.earliest
    assert tried.words[0].startswith(
        f"{packet} is mailed on Fri 15 Jan 2027, the first day the plan has for it, and comes back "
    )
    others = zip(tried.before.papers, tried.after.papers, strict=True)
    assert [one.id for one, other in others if one.earliest_ready != other.earliest_ready] == [
        packet
    ]


def test_return_behind_an_overdue_paper_hangs_on_that_paper(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """The exemption is overdue; what waits for it is sent "today" only if it came today."""
    day = date(2027, 6, 28)
    with farm(demo_operation, demo_log, day) as session:
        tried = try_it(session, day, Wish(returned=("faa.ag-operator",)))

    paper = tried.after.find_paper("faa.ag-operator")
    assert paper is not None
    assert list_once(tried.after, paper) == ("Exemption for spraying with unmanned aircraft",)
    assert tried.words[0].startswith(
        "faa.ag-operator is filed on Mon 28 Jun 2027, the first day the plan has for it if the "
        "overdue paper came today, and comes back on "
    )


@pytest.mark.parametrize(
    ("day", "remarks"),
    [
        (
            date(2026, 9, 21),
            (GOOD_NEWS,),
        ),
        (DAY, ()),
    ],
)
def test_return_today_that_betters_a_chance_says_why(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], day: date, remarks: tuple[str, ...]
) -> None:
    """A week after it was sent an answer is good news, whatever it says; after months it is not."""
    log = tuple(one for one in demo_log if one.happened_on <= day)
    with farm(demo_operation, log, day) as session:
        tried = try_it(session, day, Wish(returned=("faa.exemption",)))

    assert tried.before.chances is not None
    assert tried.after.chances is not None
    pairs = list(zip(tried.before.chances.jobs, tried.after.chances.jobs, strict=True))
    assert any(new.on_first_day > old.on_first_day for old, new in pairs) is bool(remarks)
    assert tried.remarks == remarks


def test_a_trip_that_moves_with_the_safe_day_says_so(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """By express the licenses may go later, so they do: one trip instead of two."""
    with farm(demo_operation, demo_log, DAY) as session:
        tried = try_it(session, DAY, Wish(mail=(("all", "express"),)))

    packet = "sd.commercial-applicator:odile"
    old, new = tried.before.find_paper(packet), tried.after.find_paper(packet)
    assert old is not None
    assert new is not None
    assert new.earliest_ready > old.earliest_ready
    assert list(tried.remarks) == [
        (
            "ready later only because a trip to town moves from Fri 15 Jan 2027 to Wed 27 Jan "
            "2027, which is still by the safe day: ne.commercial-applicator:wren, "
            "sd.commercial-applicator:odile, sd.commercial-applicator:wren"
        )
    ]
