"""What belongs on a phone, under ids that never move with a date."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.app.planning import Planned
from compliance.engine.ledger import Entry, EntryState
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import Plan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind
from compliance.outputs.calendar_entries import ALARMS, compute_entries

DAYS = [date(2026, 6, 1) + timedelta(days=30 * at) for at in range(16)]


def plan_on(planned: Planned, day: date) -> Plan:
    return compute_plan(planned.plan.operation, planned.table, planned.log, day)


def by_key(plan: Plan) -> dict[tuple[str, ...], Entry]:
    return {entry.key: entry for entry in compute_entries(plan)}


@pytest.mark.parametrize("day", DAYS)
def test_compute_entries_keys_are_one_each_and_sorted(demo_planned: Planned, day: date) -> None:
    entries = compute_entries(plan_on(demo_planned, day))

    assert Counter(entry.key for entry in entries).most_common(1)[0][1] == 1
    assert list(entries) == sorted(entries, key=lambda entry: (entry.on, entry.key))


@pytest.mark.parametrize("day", DAYS)
def test_compute_entries_nothing_to_do_lies_in_the_past(demo_planned: Planned, day: date) -> None:
    """A phone that rings for yesterday helps nobody; a job that goes on may have begun."""
    past = [
        entry.key[0]
        for entry in compute_entries(plan_on(demo_planned, day))
        if entry.state is EntryState.LIVE and entry.on < day
    ]

    assert set(past) <= {"job"}


def test_compute_entries_every_job_and_every_mailing_is_there(demo_plan: Plan) -> None:
    keys = by_key(demo_plan)
    mailings = [
        ("do", "sandbur-flats", paper.id, str(paper.packet.need_by.year))
        for paper in demo_plan.papers
        if paper.packet.planned and paper.mail_step and paper.mailed_on is None
    ]

    assert [
        job.job.id
        for job in demo_plan.jobs
        if ("job", "sandbur-flats", job.job.id, "2027") not in keys
    ] == []
    assert len(mailings) > 3
    assert [one for one in mailings if one not in {key[:4] for key in keys}] == []


def test_compute_entries_keys_hold_no_day(demo_planned: Planned) -> None:
    """A job moved by a week keeps every key, so that the phone moves the entry."""
    operation = demo_planned.plan.operation
    moved = move_first_spray(operation, date(2027, 6, 1))
    later = compute_plan(moved, demo_planned.table, demo_planned.log, demo_planned.plan.as_of)
    before, after = by_key(demo_planned.plan), by_key(later)

    assert before.keys() == after.keys()
    assert [key for key in before if before[key].on != after[key].on]


def test_compute_entries_ring_twice_the_evening_before_first(demo_plan: Plan) -> None:
    """Some calendars keep only the first alarm."""
    assert {entry.alarms for entry in compute_entries(demo_plan)} == {ALARMS, ()}
    assert (ALARMS[0].days_before, ALARMS[0].hour) == (1, 18)


def test_compute_entries_lead_to_entries_that_are_there(demo_plan: Plan) -> None:
    keys = by_key(demo_plan)
    related = [entry.related_to for entry in keys.values() if entry.related_to is not None]

    assert related
    assert [key for key in related if key not in keys] == []


def test_compute_entries_done_act_keeps_its_key(demo_planned: Planned) -> None:
    entry = LogEntry(
        number=7,
        kind=EventKind.NOTARIZED,
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        happened_on=date(2027, 1, 12),
    )
    log = (*demo_planned.log, entry)
    plan = compute_plan(demo_planned.plan.operation, demo_planned.table, log, date(2027, 1, 12))
    key = ("do", "sandbur-flats", "faa.registration-n:tg46", "2027", "notarize~1")
    before, after = by_key(demo_planned.plan)[key], by_key(plan)[key]

    assert (before.state, after.state) == (EntryState.LIVE, EntryState.DONE)
    assert (after.on, after.title) == (date(2027, 1, 12), before.title)


def test_compute_entries_announce_every_act_that_opens_a_packet(demo_planned: Planned) -> None:
    """The registration from nothing: forms to fill, and a seller to ask, who takes weeks.

    The first act of the packet is its start; the other says in its own words what it is.
    """
    plan = compute_plan(demo_planned.plan.operation, demo_planned.table, (), date(2027, 1, 11))
    subject = "Aircraft registration with an N-number (Part 47), TG-46 46-00017"

    titles = {
        key[4]: entry.title
        for key, entry in by_key(plan).items()
        if key[0] == "do" and key[2] == "faa.registration-n:tg46"
    }

    assert titles == {
        "prepare~1": f"Start: {subject}",
        "ask-seller~1": (
            "Ask the seller for the signed bill of sale, and for every earlier change of hands: "
            f"{subject}"
        ),
        "notarize~1": f"Notary: {subject}",
        "mail~1": f"Mail: {subject}",
    }


def test_compute_entries_second_round_begins_with_mending(demo_plan: Plan) -> None:
    """The demo's registration came back; what was done before the return is over."""
    titles = [
        (key[4], entry.title.partition(":")[0])
        for key, entry in by_key(demo_plan).items()
        if key[:3] == ("do", "sandbur-flats", "faa.registration-n:tg46")
        and entry.state is EntryState.LIVE
    ]

    assert sorted(titles) == [("mail~1", "Mail"), ("mend~1", "Mend"), ("notarize~1", "Notary")]


def test_compute_entries_filed_packets_say_file(demo_plan: Plan) -> None:
    sent = {
        entry.title.partition(":")[0]
        for key, entry in by_key(demo_plan).items()
        if key[0] == "last"
        for paper in demo_plan.papers
        if paper.id == key[2] and not paper.is_mailed
    }

    assert sent == {"LAST DAY to file"}


def test_compute_entries_last_day_stands_beside_the_safe_day(demo_plan: Plan) -> None:
    lasts = {entry.key[2]: entry for entry in compute_entries(demo_plan) if entry.key[0] == "last"}

    assert lasts
    for paper in demo_plan.papers:
        if paper.id in lasts:
            assert lasts[paper.id].on == paper.mail_last
            assert lasts[paper.id].title.startswith("LAST DAY to ")


def test_compute_entries_text_says_why_and_warns(demo_plan: Plan) -> None:
    for entry in compute_entries(demo_plan):
        assert "not legal advice" in entry.text
        if entry.key[0] in {"do", "last", "expect"} and entry.state is EntryState.LIVE:
            assert f"Packet: {entry.key[2]}" in entry.text
            assert "Why: mailby why " in entry.text


def test_compute_entries_no_jobs_no_entries(demo_planned: Planned) -> None:
    operation = replace(demo_planned.plan.operation, jobs=())
    plan = compute_plan(operation, demo_planned.table, (), date(2027, 1, 11))

    assert compute_entries(plan) == ()


def test_compute_entries_ask_says_why_that_day(demo_shown: Plan) -> None:
    """The same words as in the plan, on a line of their own."""
    (entry,) = [one for one in compute_entries(demo_shown) if one.key[0] == "ask"]

    assert entry.text.splitlines()[:3] == [
        "Ask the office if nothing has come",
        "Why that day: the paper is needed then",
        "Packet: faa.exemption",
    ]


def test_compute_entries_what_waits_for_an_overdue_paper_has_no_day(demo_planned: Planned) -> None:
    """Of the business license, which needs Part 137, only the last day to mail it is kept.

    The exemption is overdue since 6 February 2027, and Part 137 waits for it.
    """
    subject = "Nebraska aerial pesticide business license"
    entries = [
        entry
        for entry in compute_entries(plan_on(demo_planned, date(2027, 2, 12)))
        if entry.key[2] == "ne.aerial-business"
    ]

    assert [(entry.title, entry.on, entry.state) for entry in entries] == [
        (f"Mail: {subject}", date(2027, 4, 21), EntryState.NO_DAY),
        (f"Start: {subject}", date(2027, 4, 21), EntryState.NO_DAY),
        (
            f"LAST DAY to mail, once the overdue paper is here: {subject}",
            date(2027, 4, 21),
            EntryState.LIVE,
        ),
    ]
    assert entries[0].text.splitlines()[:3] == [
        "Mail the packet at the counter and keep the proof",
        (
            "It has no day until this is here, which is overdue: Exemption for spraying with "
            "unmanned aircraft"
        ),
        "Packet: ne.aerial-business",
    ]
    assert [entry.related_to for entry in entries] == [None] * 3
