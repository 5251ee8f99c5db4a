"""A calendar file that is written again and again: same ids, same bytes, honest changes.

Expected revisions follow RFC 5545 3.8.7.4 (SEQUENCE) and RFC 5546 2.1.5 (the higher one wins).
The file is read back by vobject and by ical, neither of which wrote it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import vobject
from ical.calendar_stream import IcsCalendarStream
from icalendar import Calendar
from sqlmodel import Session

from compliance.app.calendar_file import parse_line, render_line, write_calendar
from compliance.app.logbook import Happened, add_entry
from compliance.base.problems import OutputError, RefusedError
from compliance.engine.ledger import LedgerLine
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.outputs.ics_lint import check_ics
from compliance.store.ledger import load_ledger, save_ledger
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

NAMESPACE = "5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11"
DAY = date(2027, 1, 11)
NOW = datetime(2027, 1, 11, 12, tzinfo=UTC)
REGISTRATION = "faa.registration-n:tg46"
LATER = NOW + timedelta(hours=5)


@dataclass(frozen=True)
class Seen:
    """What vobject sees of one entry."""

    on: date
    sequence: int
    status: str
    title: str
    alarms: int


@pytest.fixture
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace=NAMESPACE)
        append_log(opened, demo_operation.id, demo_log)
        yield opened


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "deadlines.ics"


def read(path: Path) -> dict[str, Seen]:
    calendar = vobject.readOne(path.read_text(encoding="utf-8"))
    return {
        event.uid.value: Seen(
            on=event.dtstart.value,
            sequence=int(event.sequence.value),
            status=event.status.value,
            title=event.summary.value,
            alarms=len(event.contents.get("valarm", ())),
        )
        for event in calendar.vevent_list
    }


def ledger(session: Session) -> list[LedgerLine]:
    return [parse_line(uid, text) for uid, text in load_ledger(session, "sandbur-flats").items()]


def test_write_calendar_two_readers_see_the_same(session: Session, path: Path) -> None:
    written = write_calendar(session, None, DAY, NOW, path)
    seen = read(path)
    other = IcsCalendarStream.calendar_from_ics(path.read_text(encoding="utf-8"))

    assert check_ics(path.read_bytes()) == ()
    assert (written.entries, written.added) == (len(seen), len(seen))
    assert {(event.uid, event.dtstart, event.summary) for event in other.events} == {
        (uid, one.on, one.title) for uid, one in seen.items()
    }
    assert {one.alarms for one in seen.values()} == {2}


def test_write_calendar_unchanged_gives_the_same_bytes(session: Session, path: Path) -> None:
    write_calendar(session, None, DAY, NOW, path)
    first = path.read_bytes()

    written = write_calendar(session, None, DAY, LATER, path)

    assert path.read_bytes() == first
    assert (written.added, written.moved, written.cancelled) == (0, 0, 0)


def test_write_calendar_next_day_with_the_same_dates_gives_the_same_bytes(
    session: Session, demo_operation: Operation, path: Path
) -> None:
    """A year ahead, with only what is in hand, no date depends on today."""
    held = tuple(job for job in demo_operation.jobs if job.id == "own-quarter")
    papers = tuple(
        replace(one, valid_through=date(2027, 8, 31)) if one.paper == "faa.pilot-recency" else one
        for one in demo_operation.papers
    )
    save_operation(session, replace(demo_operation, jobs=held, papers=papers), namespace=NAMESPACE)
    days = [date(2026, 6, 1), date(2026, 6, 2)]
    write_calendar(session, None, days[0], NOW, path)
    first = path.read_bytes()

    write_calendar(session, None, days[1], NOW + timedelta(days=1), path)

    moving = [one for one in read(path).values() if one.on in days]
    assert (moving == [], path.read_bytes() == first) == (True, True)


def test_write_calendar_moved_job_keeps_its_id_and_counts_up(
    session: Session, demo_operation: Operation, path: Path
) -> None:
    write_calendar(session, None, DAY, NOW, path)
    before = read(path)
    jobs = (replace(demo_operation.jobs[0], first_day=date(2027, 5, 25)), *demo_operation.jobs[1:])
    save_operation(session, replace(demo_operation, jobs=jobs), namespace="ignored")

    written = write_calendar(session, None, DAY, LATER, path)
    after = read(path)
    (uid,) = [uid for uid, one in before.items() if one.title == "First day of pasture-ne"]

    assert (before[uid].on, before[uid].sequence) == (date(2027, 5, 24), 0)
    assert (after[uid].on, after[uid].sequence) == (date(2027, 5, 25), 1)
    assert after.keys() == before.keys()
    assert written.moved == sum(after[one].on != before[one].on for one in before) > 0
    assert {after[one].sequence for one in before if after[one] == before[one]} <= {0, 1}


def test_write_calendar_job_removed_leaves_tombstones(
    session: Session, demo_operation: Operation, path: Path
) -> None:
    write_calendar(session, None, DAY, NOW, path)
    before = read(path)
    jobs = tuple(job for job in demo_operation.jobs if job.id != "pasture-sd")
    save_operation(session, replace(demo_operation, jobs=jobs), namespace="ignored")

    written = write_calendar(session, None, DAY, LATER, path)
    after = read(path)
    gone = {uid: one for uid, one in after.items() if one.status == "CANCELLED"}

    assert after.keys() == before.keys()
    assert written.cancelled == len(gone)
    assert {(one.sequence, one.alarms) for one in gone.values()} == {(1, 0)}
    assert "Off this calendar: First day of pasture-sd" in {one.title for one in gone.values()}
    assert all("South Dakota" in one.title or "pasture-sd" in one.title for one in gone.values())


def test_tombstones_of_an_earlier_file_get_true_words_and_are_not_counted_again(
    session: Session, demo_operation: Operation, path: Path
) -> None:
    """Earlier files called needless what may be to be done still."""
    write_calendar(session, None, DAY, NOW, path)
    fewer = replace(demo_operation, jobs=demo_operation.jobs[:1])
    save_operation(session, fewer, namespace="ignored")
    write_calendar(session, None, DAY, LATER, path)
    now = read(path)
    gone = {uid: one for uid, one in now.items() if one.status == "CANCELLED"}
    stored = load_ledger(session, demo_operation.id)
    earlier = {
        line.uid: render_line(
            replace(
                line,
                title=line.title.replace("Off this calendar: ", "No longer needed: "),
                content_hash="of the words of before",
            )
        )
        if line.uid in gone
        else stored[line.uid]
        for line in ledger(session)
    }
    save_ledger(session, demo_operation.id, earlier)

    written = write_calendar(session, None, DAY, LATER, path)
    after = read(path)

    assert len(gone) > 1
    assert written.cancelled == 0
    assert after == now | {uid: replace(one, sequence=2) for uid, one in gone.items()}


def test_end_that_has_come_stays_on_its_day(session: Session, path: Path) -> None:
    """14 CFR 107.65: Wren's knowledge of July 2025 is good through 31 July 2027, and ended then."""
    last, after = date(2027, 7, 31), date(2027, 8, 1)
    on_it = write_and_read(session, last, path)
    past = write_and_read(session, after, path)

    title = "Runs out: Remote pilot's 24-month knowledge, Wren Castellow"
    (uid,) = [uid for uid, one in on_it.items() if one.title == title]
    assert (on_it[uid].on, on_it[uid].status) == (last, "CONFIRMED")
    assert past[uid] == on_it[uid]


def test_write_calendar_job_that_comes_back_lives_again(
    session: Session, demo_operation: Operation, path: Path
) -> None:
    write_calendar(session, None, DAY, NOW, path)
    first = read(path)
    fewer = replace(demo_operation, jobs=demo_operation.jobs[:1])
    save_operation(session, fewer, namespace="ignored")
    write_calendar(session, None, DAY, LATER, path)
    save_operation(session, demo_operation, namespace="ignored")
    write_calendar(session, None, DAY, LATER, path)

    last = read(path)

    assert {uid: replace(one, sequence=0) for uid, one in last.items()} == first
    assert {one.sequence for one in last.values()} == {0, 2}


def test_write_calendar_done_act_is_ticked_on_its_day(session: Session, path: Path) -> None:
    write_calendar(session, None, DAY, NOW, path)
    before = read(path)
    happened = Happened(kind=EventKind.NOTARIZED, packet="faa.registration-n", on=date(2027, 1, 12))
    add_entry(session, None, happened, date(2027, 1, 12))

    write_calendar(session, None, date(2027, 1, 12), NOW + timedelta(days=1), path)
    after = read(path)
    (uid,) = [uid for uid, one in before.items() if one.title.startswith("Notary: ")]

    assert after[uid].title == f"\N{CHECK MARK} {before[uid].title}"
    assert (after[uid].on, after[uid].alarms) == (date(2027, 1, 12), 0)
    assert after[uid].sequence == before[uid].sequence + 1


def test_write_calendar_done_before_the_first_export_is_left_out(
    session: Session, path: Path
) -> None:
    """The demo's log holds acts of November, which nobody needs on a phone in January."""
    write_calendar(session, None, DAY, NOW, path)

    assert [one for one in read(path).values() if "\N{CHECK MARK}" in one.title] == []


def test_write_calendar_every_fourth_week_over_a_season(session: Session, path: Path) -> None:
    """Nobody logs anything: dates slip, papers run out, jobs pass; the phone must follow.

    An id may leave the file only when its day is over by more than 60 days, and whatever a person
    could notice raises the sequence.
    """
    before: dict[str, Seen] = {}
    faults = []
    for week in range(0, 40, 4):
        day = DAY + timedelta(days=7 * week)
        write_calendar(session, None, day, NOW + timedelta(days=7 * week), path)
        after = read(path)
        faults += [(day, fault) for fault in check_ics(path.read_bytes())]
        for uid, old in before.items():
            new = after.get(uid)
            if new is None:
                if (day - old.on).days <= 60:
                    faults.append((day, f"{old.title} is gone"))
            elif new.sequence < old.sequence or (new.sequence == old.sequence and new != old):
                faults.append((day, f"{old.title} changed unseen"))
        before = after

    assert faults == []


def test_write_calendar_nothing_to_write_is_refused(
    session: Session, demo_operation: Operation, path: Path
) -> None:
    save_operation(session, replace(demo_operation, jobs=()), namespace="ignored")

    with pytest.raises(RefusedError, match="there is nothing to put on a calendar"):
        write_calendar(session, None, DAY, NOW, path)

    assert not path.exists()


def test_write_calendar_cannot_write_keeps_the_old_ledger(
    session: Session, demo_operation: Operation, path: Path, tmp_path: Path
) -> None:
    write_calendar(session, None, DAY, NOW, path)
    before = ledger(session)
    save_operation(
        session, replace(demo_operation, jobs=demo_operation.jobs[:1]), namespace="ignored"
    )

    with pytest.raises(OutputError):
        write_calendar(session, None, DAY, LATER, tmp_path)

    assert ledger(session) == before


def test_render_line_comes_back_the_same(session: Session, path: Path) -> None:
    write_calendar(session, None, DAY, NOW, path)
    lines = ledger(session)

    assert len(lines) > 20
    assert [parse_line(line.uid, render_line(line)) for line in lines] == lines


@pytest.mark.parametrize("text", ["", "{}", "[]", "null", '{"key": 1}', "{", '{"on": "x"}'])
def test_parse_line_damaged_is_refused(text: str) -> None:
    with pytest.raises(RefusedError, match="the calendar ledger's line u1 cannot be read"):
        parse_line("u1", text)


def test_calendar_after_a_long_time_takes_back_all_that_it_showed(
    session: Session, path: Path
) -> None:
    """The exemption is overdue on 12 February; the last day to file of 10 March is past by May.

    Before, an entry whose day was past by more than 60 days was neither cancelled nor counted.
    """
    early, late = date(2027, 2, 12), date(2027, 5, 22)
    write_calendar(session, None, early, NOW + (early - DAY), path)
    before = read(path)
    written = write_calendar(session, None, late, NOW + (late - DAY), path)
    after = read(path)

    live = {uid for uid, one in before.items() if one.status == "CONFIRMED"}
    assert date(2027, 3, 10) in {before[uid].on for uid in live}
    assert live <= set(after)
    gone = [uid for uid in live if after[uid].title.startswith("Off this calendar: ")]
    assert written.cancelled == len(gone)
    assert [before[uid].title for uid in gone if before[uid].on == date(2027, 3, 10)] == [
        (
            "LAST DAY to file, once the overdue paper is here: Agricultural aircraft operator "
            "certificate (Part 137)"
        )
    ]
    assert {after[uid].status for uid in gone} == {"CANCELLED"}


def mail_again(session: Session, day: date) -> None:
    """Do what the returned registration needs, and send it off."""
    for kind in (EventKind.SIGNED, EventKind.NOTARIZED, EventKind.MAILED):
        anyway = "by hand" if kind is EventKind.MAILED else ""
        add_entry(
            session,
            None,
            Happened(kind=kind, packet=REGISTRATION, on=day, anyway=anyway),
            day,
        )


def write_and_read(session: Session, day: date, path: Path) -> dict[str, Seen]:
    """Write the calendar of a day; vobject, ical and icalendar must see the same revisions."""
    write_calendar(session, None, day, NOW + (day - DAY), path)
    seen = read(path)
    revisions = {(uid, one.sequence, one.status) for uid, one in seen.items()}
    text = path.read_text(encoding="utf-8")
    ical = IcsCalendarStream.calendar_from_ics(text).events
    assert {(one.uid, one.sequence, one.status) for one in ical} == revisions
    own = Calendar.from_ical(text).walk("VEVENT")
    assert {(str(one["UID"]), one["SEQUENCE"], str(one["STATUS"])) for one in own} == revisions
    return seen


@pytest.mark.parametrize(
    ("back_on", "live"),
    [
        (date(2027, 2, 10), ["LAST DAY to mail", "Mail", "Mend", "Notary"]),
        (date(2027, 7, 19), ["Mail", "Mend", "Notary"]),
    ],
)
def test_a_return_moves_the_entries_of_the_mailing_before(
    session: Session, path: Path, back_on: date, live: list[str]
) -> None:
    """Same ids and a higher SEQUENCE, whether an entry was ticked, taken off, or long taken off.

    The last day to mail is 30 March 2027, so there is none after a return in July; "Mend" was
    taken off in January, and its day is then past by far more than 60 days.
    """
    subject = "Aircraft registration with an N-number (Part 47), TG-46 46-00017"
    start = write_and_read(session, DAY, path)
    uids = {one.title.partition(":")[0]: uid for uid, one in start.items() if subject in one.title}
    assert sorted(uids) == ["LAST DAY to mail", "Mail", "Mend", "Notary"]

    mail_again(session, DAY + timedelta(days=1))
    sent = write_and_read(session, DAY + timedelta(days=1), path)
    write_and_read(session, back_on - timedelta(days=1), path)
    back = Happened(kind=EventKind.RETURNED, packet=REGISTRATION, on=back_on, reason="no date")
    add_entry(session, None, back, back_on)
    returned = write_and_read(session, back_on, path)

    assert {word: sent[uid].title.partition(":")[0] for word, uid in uids.items()} == {
        "LAST DAY to mail": "Off this calendar",
        "Mail": "\N{CHECK MARK} Mail",
        "Mend": "Off this calendar",
        "Notary": "\N{CHECK MARK} Notary",
    }
    moved = {word: returned[uid] for word, uid in uids.items() if word in live}
    assert [(word, one.status) for word, one in sorted(moved.items())] == [
        (word, "CONFIRMED") for word in live
    ]
    assert all(one.sequence > sent[uids[word]].sequence for word, one in moved.items())
    assert all(one.on >= back_on and one.alarms == 2 for one in moved.values())

    mail_again(session, back_on + timedelta(days=1))
    again = write_and_read(session, back_on + timedelta(days=1), path)

    asked = [uid for uid, one in sent.items() if one.title == f"Ask the office: {subject}"]
    assert [again[uid].status for uid in asked] == ["CONFIRMED"]
    assert again[asked[0]].sequence > sent[asked[0]].sequence
    known = {*start, *sent}
    assert [
        one.title for uid, one in again.items() if subject in one.title and uid not in known
    ] == []
