"""The revision ledger: ids, sequence numbers, tombstones.

Checked against RFC 5546 2.1.4 and 2.1.5 (a later copy has the higher SEQUENCE), RFC 5545 3.8.7.4
(SEQUENCE starts at 0), RFC 7986 5.3 (what an id may look like) and RFC 9562 (version 5 ids).
How long a tombstone stays and the words on it are our own choice.
"""

import re
import unicodedata
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import permutations
from uuid import NAMESPACE_DNS, UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.engine.ledger import (
    Alarm,
    Entry,
    EntryState,
    LedgerLine,
    LineState,
    clean_line,
    clean_text,
    compute_revision,
    compute_uid,
)

NAMESPACE = UUID("5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11")
MONDAY = datetime(2027, 1, 11, 14, 5, 9, tzinfo=UTC)
TUESDAY = MONDAY + timedelta(days=1)
EVENING_BEFORE = Alarm(id="evening", days_before=1, hour=18)
WEEK_BEFORE = Alarm(id="week", days_before=7, hour=8)
MAILING = Entry(
    key=("mail-by", "sandbur", "registration", "tg-46", "2027", "mail"),
    on=date(2027, 2, 1),
    title="Mail the registration packet for the TG-46",
    text="Certified mail.\nAsk for a return receipt.",
    alarms=(EVENING_BEFORE, WEEK_BEFORE),
)
SIGNING = Entry(
    key=("mail-by", "sandbur", "registration", "tg-46", "2027", "sign"),
    on=date(2027, 1, 25),
    title="Sign the registration form",
    related_to=MAILING.key,
)


def revise(
    entries: tuple[Entry, ...], ledger: tuple[LedgerLine, ...] = (), *, now: datetime = MONDAY
) -> tuple[LedgerLine, ...]:
    return compute_revision(entries, ledger, namespace=NAMESPACE, now=now)


def test_uid_matches_a_digest_made_by_another_tool() -> None:
    # sha1sum over the 16 octets of the namespace and "v1\x1fwww.example.com" gave
    # 4b147711 fac9 ec9e 0bf1 4f7e7090fdda...; RFC 9562 5.5 sets version 5 and the variant in it.
    # The same command without the scheme mark gave the value of RFC 9562 appendix A.4.
    uid = compute_uid(NAMESPACE_DNS, ("www.example.com",))

    assert uid == "4b147711-fac9-5c9e-8bf1-4f7e7090fdda"


def test_uid_has_only_the_signs_allowed() -> None:
    uid = compute_uid(NAMESPACE, MAILING.key)

    assert re.fullmatch("[A-Za-z0-9-]{1,254}", uid)  # RFC 7986 5.3
    assert uid == uid.lower()


def test_uid_of_a_letter_composed_two_ways_is_the_same() -> None:
    composed = compute_uid(NAMESPACE_DNS, ("caf\u00e9",))
    in_two_parts = compute_uid(NAMESPACE_DNS, ("cafe\u0301",))

    # sha1sum over the namespace and "v1\x1fcaf\xc3\xa9", version and variant set by hand.
    assert composed == in_two_parts == "8bba9d4b-03d3-5a76-9624-c94a3a9e04ef"


def test_uid_keeps_the_parts_of_a_key_apart() -> None:
    assert compute_uid(NAMESPACE, ("ab", "c")) != compute_uid(NAMESPACE, ("a", "bc"))


@pytest.mark.parametrize("key", [(), ("a\x1fb",)])
def test_uid_of_a_bad_key_is_refused(key: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match=r"a calendar key is a list of ids without U\+001F"):
        compute_uid(NAMESPACE, key)


def test_revision_of_a_new_entry_starts_at_zero() -> None:
    lines = revise((MAILING,))

    (line,) = lines
    assert (line.uid, line.sequence, line.revised_at, line.state) == (
        compute_uid(NAMESPACE, MAILING.key),
        0,
        MONDAY,
        LineState.LIVE,
    )
    assert (line.on, line.title, line.text) == (MAILING.on, MAILING.title, MAILING.text)
    assert [(alarm.uid, alarm.days_before, alarm.hour) for alarm in line.alarms] == [
        (compute_uid(NAMESPACE, (*MAILING.key, "alarm", "evening")), 1, 18),
        (compute_uid(NAMESPACE, (*MAILING.key, "alarm", "week")), 7, 8),
    ]


def test_revision_without_change_is_the_same_at_a_later_time() -> None:
    before = revise((MAILING, SIGNING))

    assert revise((MAILING, SIGNING), before, now=TUESDAY) == before


@pytest.mark.parametrize(
    "entries", list(permutations((MAILING, SIGNING, replace(SIGNING, key=("x",)))))
)
def test_revision_does_not_depend_on_the_order_of_its_input(entries: tuple[Entry, ...]) -> None:
    lines = revise(entries)

    assert lines == revise(tuple(reversed(entries)))
    assert [(line.on, line.uid) for line in lines] == sorted((line.on, line.uid) for line in lines)
    assert revise(entries, tuple(reversed(lines)), now=TUESDAY) == lines


@pytest.mark.parametrize(
    "changed",
    [
        replace(MAILING, on=date(2027, 2, 2)),
        replace(MAILING, title="Mail the packet"),
        replace(MAILING, text="Certified mail."),
        replace(MAILING, text=""),
        replace(MAILING, alarms=(WEEK_BEFORE, EVENING_BEFORE)),
        replace(MAILING, alarms=(EVENING_BEFORE, replace(WEEK_BEFORE, hour=7))),
        replace(MAILING, alarms=()),
        replace(MAILING, state=EntryState.DONE),
        replace(MAILING, related_to=SIGNING.key),
    ],
    ids=["day", "title", "text", "no text", "order", "hour", "no alarms", "done", "related"],
)
def test_revision_of_any_change_raises_the_sequence_once(changed: Entry) -> None:
    (before,) = revise((MAILING,))

    (after,) = revise((changed,), (before,), now=TUESDAY)

    assert (after.uid, after.sequence, after.revised_at) == (before.uid, 1, TUESDAY)
    assert revise((changed,), (after,), now=TUESDAY + timedelta(days=1)) == (after,)


@pytest.mark.parametrize(
    "same",
    [
        replace(MAILING, title="  Mail the registration\tpacket\r\nfor the TG-46\x07 "),
        replace(MAILING, text="Certified mail.\r\nAsk for a return receipt.\x00\n"),
        replace(MAILING, text="Certified mail.\u2028Ask for a return receipt."),
    ],
)
def test_revision_of_a_change_nobody_can_see_is_none(same: Entry) -> None:
    before = revise((MAILING,))

    assert revise((same,), before, now=TUESDAY) == before


def test_revision_of_a_done_entry_has_a_mark_and_no_alarms() -> None:
    (line,) = revise((replace(MAILING, state=EntryState.DONE),))

    assert line.title == "\u2713 Mail the registration packet for the TG-46"
    assert (line.state, line.alarms) == (LineState.DONE, ())


def test_revision_of_a_vanished_entry_leaves_a_tombstone() -> None:
    before = revise((MAILING, SIGNING))

    signed, mailed = revise((SIGNING,), before, now=TUESDAY)

    assert signed == before[0]
    assert (mailed.uid, mailed.on) == (before[1].uid, MAILING.on)
    assert mailed.title == "Off this calendar: Mail the registration packet for the TG-46"
    assert mailed.text == (
        "This date is not kept on this calendar any more; `mailby plan`, `mailby duties` or "
        "`mailby renewals` says what is still to be done.\n"
        "Before, it said:\nCertified mail.\nAsk for a return receipt."
    )
    assert (mailed.state, mailed.sequence, mailed.revised_at, mailed.alarms) == (
        LineState.CANCELLED,
        1,
        TUESDAY,
        (),
    )


@pytest.mark.parametrize("urgent", ["OVERDUE: ", "LATE: ", "LATE FOR SOME STARTS: "])
def test_tombstone_does_not_call_late_what_may_be_done_or_not(urgent: str) -> None:
    """Late or done, the calendar does not know: it only does not keep the day any more."""
    before = revise((replace(MAILING, title=f"{urgent}Monthly report", text=""),))

    (gone,) = revise((), before, now=TUESDAY)

    assert gone.title == "Off this calendar: Monthly report"
    assert gone.text == (
        "This date is not kept on this calendar any more; `mailby plan`, `mailby duties` or "
        "`mailby renewals` says what is still to be done."
    )


def test_tombstone_with_the_words_of_before_is_worded_anew_once() -> None:
    """The words are not doubled; the counter goes on, so that phones take the new copy."""
    (gone,) = revise((), revise((replace(MAILING, title="LATE: Mail it"),)), now=TUESDAY)
    words = "No longer needed: LATE: Mail it"
    stored = replace(gone, title=words, text=MAILING.text, content_hash="of the words of before")
    later = TUESDAY + timedelta(days=1)

    (anew,) = revise((), (stored,), now=later)

    assert anew == replace(gone, sequence=2, revised_at=later)
    assert revise((), (anew,), now=later + timedelta(days=1)) == (anew,)


def test_end_that_has_come_stays_on_its_day_and_one_to_come_is_taken_off() -> None:
    """It ran out on 1 February 2027, and that stays true; 2 April is 60 days later (by hand)."""
    before = revise((replace(MAILING, title="Runs out: Registration"),))
    last_day = datetime(2027, 2, 1, 23, 59, 59, tzinfo=UTC)
    last_kept = datetime(2027, 4, 2, 23, 59, 59, tzinfo=UTC)

    (gone,) = revise((), before, now=last_day)

    assert (gone.state, gone.title) == (
        LineState.CANCELLED,
        "Off this calendar: Runs out: Registration",
    )
    assert revise((), before, now=last_day + timedelta(seconds=1)) == before
    assert revise((), before, now=last_kept) == before
    assert revise((), before, now=last_kept + timedelta(seconds=1)) == ()


@pytest.mark.parametrize("state", EntryState)
def test_revision_keeps_what_vanished_through_the_sixtieth_day(state: EntryState) -> None:
    vanished = revise((), revise((replace(MAILING, state=state),)), now=TUESDAY)
    # 1 February 2027 and 60 days is 2 April 2027 (28 + 31 days are 1 April less one; by hand).
    last_kept = datetime(2027, 4, 2, 23, 59, 59, tzinfo=UTC)

    assert revise((), vanished, now=last_kept) == vanished
    assert revise((), vanished, now=last_kept + timedelta(seconds=1)) == ()


def test_revision_takes_back_what_was_shown_however_old_its_day() -> None:
    """Shown for 1 February, not written again before 22 May: cancelled then, kept to 21 July.

    22 May and 60 days is 21 July (9 days of May are left, 30 of June; by hand).
    """
    before = revise((MAILING,))
    written = datetime(2027, 5, 22, 8, tzinfo=UTC)
    last_kept = datetime(2027, 7, 21, 23, 59, 59, tzinfo=UTC)

    gone = revise((), before, now=written)

    assert [(one.state, one.sequence, one.on) for one in gone] == [
        (LineState.CANCELLED, 1, MAILING.on)
    ]
    assert revise((), gone, now=last_kept) == gone
    assert revise((), gone, now=last_kept + timedelta(seconds=1)) == ()


def test_revision_of_a_vanished_done_entry_changes_nothing() -> None:
    before = revise((replace(MAILING, state=EntryState.DONE),))

    assert revise((), before, now=TUESDAY) == before


def test_revision_of_a_revived_entry_goes_on_counting() -> None:
    first = revise((MAILING,))
    gone = revise((), first, now=TUESDAY)

    (back,) = revise((MAILING,), gone, now=TUESDAY + timedelta(hours=1))

    assert (back.sequence, back.state) == (2, LineState.LIVE)
    assert back == replace(first[0], sequence=2, revised_at=TUESDAY + timedelta(hours=1))


def test_revision_of_an_entry_without_a_day_is_cancelled_until_it_has_one() -> None:
    """A file cannot take an entry away; what is still to be done is not called needless.

    It stays where it was, also when another day is given for it, twice.
    """
    live = revise((MAILING,))
    without = replace(MAILING, on=date(2027, 3, 1), state=EntryState.NO_DAY)

    (gone,) = revise((without,), live, now=TUESDAY)
    later = replace(without, on=date(2027, 7, 8))
    (same,) = revise((later,), (gone,), now=TUESDAY + timedelta(days=1))
    (back,) = revise((MAILING,), (same,), now=TUESDAY + timedelta(days=2))

    assert gone.title == "No day yet: Mail the registration packet for the TG-46"
    assert (gone.uid, gone.on, gone.state, gone.sequence, gone.alarms) == (
        live[0].uid,
        MAILING.on,
        LineState.CANCELLED,
        1,
        (),
    )
    assert same == gone
    assert (back.title, back.on, back.state, back.sequence, len(back.alarms)) == (
        MAILING.title,
        MAILING.on,
        LineState.LIVE,
        2,
        2,
    )


def test_revision_of_a_done_entry_is_a_change_even_if_it_reads_the_same() -> None:
    typed = revise((replace(SIGNING, title="\u2713 Sign"),))

    (done,) = revise((replace(SIGNING, title="Sign", state=EntryState.DONE),), typed, now=TUESDAY)

    assert done.title == typed[0].title
    assert (done.sequence, done.state) == (1, LineState.DONE)


def test_revision_of_a_done_entry_taken_back_goes_on_counting() -> None:
    done = revise((replace(MAILING, state=EntryState.DONE),), revise((MAILING,)), now=TUESDAY)

    (back,) = revise((MAILING,), done, now=TUESDAY)

    assert (back.sequence, back.title, len(back.alarms)) == (2, MAILING.title, 2)


def test_revision_after_a_lost_ledger_starts_above_any_counter() -> None:
    (line,) = compute_revision((MAILING,), (), namespace=NAMESPACE, now=MONDAY, restarted=True)

    # 1 January 2020 to 11 January 2027: 7 years of 365 days, leap days of 2020 and 2024, 10 days.
    assert line.sequence == 7 * 365 + 2 + 10
    (again,) = compute_revision(
        (MAILING,), (line,), namespace=NAMESPACE, now=TUESDAY, restarted=True
    )
    assert again == line


def test_revision_with_a_clock_set_back_never_looks_older() -> None:
    before = revise((MAILING,), now=TUESDAY)

    (after,) = revise((replace(MAILING, title="Mail it"),), before, now=MONDAY)

    assert (after.sequence, after.revised_at) == (1, TUESDAY)


def test_revision_keeps_time_in_utc_and_whole_seconds() -> None:
    central = timezone(timedelta(hours=-6))
    now = datetime(2027, 1, 11, 20, 5, 9, 999_999, tzinfo=central)

    (line,) = revise((MAILING,), now=now)

    assert line.revised_at == datetime(2027, 1, 12, 2, 5, 9, tzinfo=UTC)
    assert line.revised_at.tzinfo is UTC


def test_revision_without_time_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="the ledger needs a time with a time zone"):
        revise((MAILING,), now=MONDAY.replace(tzinfo=None))


@pytest.mark.parametrize(
    "entries",
    [
        (MAILING, replace(MAILING, title="Again")),
        (replace(MAILING, alarms=(WEEK_BEFORE, replace(EVENING_BEFORE, id="week"))),),
        (replace(MAILING, key=("caf\u00e9",)), replace(MAILING, key=("cafe\u0301",))),
    ],
    ids=["entries", "alarms", "composed"],
)
def test_revision_with_the_same_id_twice_is_refused(entries: tuple[Entry, ...]) -> None:
    with pytest.raises(ValueError, match="two calendar entries or alarms share an id"):
        revise(entries)


def test_revision_without_a_title_is_refused() -> None:
    with pytest.raises(ValueError, match="a calendar entry needs a title"):
        revise((replace(MAILING, title=" \x07\r\n"),))


@pytest.mark.parametrize(("days_before", "hour"), [(0, 8), (-1, 8), (1, 24), (1, -1)])
def test_alarm_on_the_day_or_at_no_hour_is_refused(days_before: int, hour: int) -> None:
    with pytest.raises(ValueError, match="an alarm rings before its day, at an hour from 0 to 23"):
        Alarm(id="a", days_before=days_before, hour=hour)


@pytest.mark.parametrize(
    ("raw", "clean"),
    [
        ("a\r\nb\rc\nd\ve\ff\x85g\u2028h\u2029i", "a\nb\nc\nd\ne\nf\ng\nh\ni"),
        ("\ufeffa\x00b\x1fc\x7fd\x9fe\ud800f\tg", "abcdef g"),
        ("e\u0301", "\u00e9"),
        ("\U0001f469\u200d\U0001f33e", "\U0001f469\u200d\U0001f33e"),  # joined emoji stay joined
    ],
)
def test_clean_text_keeps_what_can_be_read(raw: str, clean: str) -> None:
    assert clean_text(raw) == clean


@given(st.text())
def test_clean_text_twice_changes_nothing(raw: str) -> None:
    once = clean_text(raw)

    assert clean_text(once) == once
    assert unicodedata.is_normalized("NFC", once)
    assert clean_line(clean_line(raw)) == clean_line(raw)


KEYS = st.sampled_from([("a",), ("b",), ("c", "d")])
ENTRIES = st.lists(
    st.builds(
        Entry,
        key=KEYS,
        on=st.dates(date(2027, 1, 1), date(2027, 12, 31)),
        title=st.sampled_from(["Sign", "Mail"]),
        state=st.sampled_from(EntryState),
    ),
    unique_by=lambda entry: entry.key,
).map(tuple)


@given(st.lists(ENTRIES, min_size=1, max_size=6))
def test_revision_over_many_rounds_never_lowers_or_loses_a_number(
    rounds: list[tuple[Entry, ...]],
) -> None:
    ledger: tuple[LedgerLine, ...] = ()
    for number, entries in enumerate(rounds):
        after = revise(entries, ledger, now=MONDAY + timedelta(hours=number))
        old = {line.uid: line for line in ledger}
        new = {line.uid: line for line in after}

        assert set(old) <= set(new)  # nothing is past by 60 days yet
        for uid, line in old.items():
            changed = replace(line, sequence=0, revised_at=MONDAY) != replace(
                new[uid], sequence=0, revised_at=MONDAY
            )
            assert new[uid].sequence == line.sequence + changed
            assert new[uid].revised_at >= line.revised_at
        ledger = after
