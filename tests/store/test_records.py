"""The log only grows; the user's own values, the ledger and interview answers are replaced."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session, text

from compliance.base.problems import StoreError
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, MailService, Operation
from compliance.facts.overrides import Override
from compliance.store.ledger import load_ledger, save_ledger
from compliance.store.records import (
    append_log,
    delete_override,
    hold_services,
    load_log,
    load_overrides,
    next_log_number,
    save_override,
)
from compliance.store.repository import load_operation, save_operation
from compliance.store.session import open_session
from compliance.store.talk import load_answers, save_answers

TEXTS = st.text(st.characters(codec="utf-8"), max_size=30)
MAILED = LogEntry(
    number=1,
    kind=EventKind.MAILED,
    paper="faa.registration",
    holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg-46"),
    happened_on=date(2027, 2, 1),
    step="mail",
    tracking="0000 1111 “Ł”",
)
GRANTED = LogEntry(
    number=2,
    kind=EventKind.GRANTED,
    paper="ne.licence",
    holder=Holder(kind=HolderKind.OPERATION),
    happened_on=date(2027, 1, 31),
    reason="first\nsecond",
    paper_number="NE-0000",
    issued_on=date(2027, 1, 30),
    valid_through=date(2028, 2, 29),
)
WITHDRAWN = replace(MAILED, number=3, kind=EventKind.WITHDRAWN, reason="wrong box", withdraws=1)
RETURNED = replace(
    MAILED,
    number=4,
    kind=EventKind.RETURNED,
    reason="no stamp",
    blanks=("affidavit/notary-stamp", "application/serial"),
    still_good=("sign",),
)
HEARD = replace(
    MAILED, number=5, kind=EventKind.HEARD, reason="in the pile", expects=date(2027, 2, 12)
)
EXPRESS = replace(MAILED, number=6, service=MailService.EXPRESS)
LOG = (MAILED, GRANTED, WITHDRAWN, RETURNED, HEARD, EXPRESS)
OWN = Override(
    row="nd.licence", field="review_days", value="30", reason="told so", set_on=date(2027, 1, 11)
)


@pytest.fixture
def url(db: Path, operation: Operation) -> str:
    """A database with two operations."""
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        save_operation(session, replace(operation, id="other"), namespace="n")
    return str(db)


def read_log(url: str, operation_id: str = "sandbur") -> tuple[LogEntry, ...]:
    with open_session(url) as session:
        return load_log(session, operation_id)


def refuse_log(url: str, *entries: LogEntry, operation_id: str = "sandbur") -> str:
    with pytest.raises(StoreError) as caught, open_session(url) as session:
        append_log(session, operation_id, entries)
    return caught.value.message


def test_log_round_trip_keeps_every_field_and_the_order_of_writing(url: str) -> None:
    with open_session(url) as session:
        append_log(session, "sandbur", LOG[:1])
    with open_session(url) as session:
        append_log(session, "sandbur", LOG[1:])

    assert read_log(url) == LOG
    assert read_log(url, "other") == ()


def test_services_are_held_where_a_mailing_says_none(url: str) -> None:
    """Of the papers named, of one operation; what went another way keeps it."""
    other = replace(MAILED, number=7, paper="ne.licence", withdraws=None)
    with open_session(url) as session:
        append_log(session, "sandbur", (*LOG, other))
        append_log(session, "other", (MAILED,))
        hold_services(session, "sandbur", MailService.PRIORITY, ("faa.registration",))

    held = replace(MAILED, service=MailService.PRIORITY)
    assert read_log(url) == (held, *LOG[1:], other)
    assert read_log(url, "other") == (MAILED,)


def test_log_sorts_by_number_not_as_text(url: str) -> None:
    long = tuple(replace(MAILED, number=number) for number in range(1, 13))
    with open_session(url) as session:
        append_log(session, "sandbur", reversed(long))

    assert read_log(url) == long


def test_next_log_number_counts_within_each_operation(url: str) -> None:
    with open_session(url) as session:
        append_log(session, "sandbur", LOG)

    with open_session(url) as session:
        assert next_log_number(session, "sandbur") == len(LOG) + 1
        assert next_log_number(session, "other") == 1
        assert next_log_number(session, "nobody") == 1


def test_append_log_refuses_a_number_that_is_taken(url: str) -> None:
    """So an entry is never written over, and nothing of the same call is kept."""
    with open_session(url) as session:
        append_log(session, "sandbur", (MAILED,))

    told = refuse_log(url, GRANTED, replace(MAILED, tracking="another"))

    assert told == (
        f"the database {url} refused the change: "
        "UNIQUE constraint failed: log.operation_id, log.number"
    )
    assert read_log(url) == (MAILED,)


@pytest.mark.parametrize(
    "entry",
    [
        replace(WITHDRAWN, withdraws=99),
        replace(WITHDRAWN, withdraws=2),  # stands in the other operation's log only
    ],
)
def test_append_log_refuses_to_withdraw_what_is_not_there(url: str, entry: LogEntry) -> None:
    with open_session(url) as session:
        append_log(session, "sandbur", (MAILED,))
        append_log(session, "other", (MAILED, GRANTED))

    told = refuse_log(url, entry)

    assert told == f"the database {url} refused the change: FOREIGN KEY constraint failed"
    assert read_log(url) == (MAILED,)


def test_append_log_refuses_an_unknown_operation(url: str) -> None:
    told = refuse_log(url, MAILED, operation_id="nobody")

    assert told == f"the database {url} refused the change: FOREIGN KEY constraint failed"


def test_load_log_refuses_a_value_edited_by_hand(url: str) -> None:
    with open_session(url) as session:
        append_log(session, "sandbur", LOG)
        session.connection().execute(text("UPDATE log SET kind = 'lost' WHERE number = 2"))

    with pytest.raises(StoreError) as caught:
        read_log(url)

    assert caught.value.message == (
        "the database holds a log with a value that mailby does not write: "
        "'lost' is not a valid EventKind"
    )


def test_overrides_come_back_by_row_and_field(url: str) -> None:
    rows = tuple(
        replace(OWN, row=row, field=field)
        for row, field in (("b", "a"), ("a", "b"), ("a", "a"), ("a.b", "a"))
    )
    with open_session(url) as session:
        for own in rows:
            save_override(session, own)

    with open_session(url) as session:
        assert load_overrides(session) == (rows[2], rows[1], rows[3], rows[0])


def test_save_override_again_replaces_the_earlier(url: str) -> None:
    later = replace(OWN, value="45", reason="", set_on=date(2027, 3, 1))
    with open_session(url) as session:
        save_override(session, OWN)
    with open_session(url) as session:
        save_override(session, later)

    with open_session(url) as session:
        assert load_overrides(session) == (later,)


def test_delete_override_tells_whether_there_was_one(url: str) -> None:
    with open_session(url) as session:
        save_override(session, OWN)
    with open_session(url) as session:
        told = [
            delete_override(session, OWN.row, "other"),
            delete_override(session, OWN.row, OWN.field),
            delete_override(session, OWN.row, OWN.field),
        ]

    assert told == [False, True, False]
    with open_session(url) as session:
        assert load_overrides(session) == ()


def test_ledger_is_replaced_whole_and_by_operation(url: str) -> None:
    with open_session(url) as session:
        save_ledger(session, "sandbur", {"b": '{"n": 1}', "a": "{}"})
        save_ledger(session, "other", {"a": "theirs"})
    with open_session(url) as session:
        before = load_ledger(session, "sandbur")
        save_ledger(session, "sandbur", {"a": "later", "c": ""})

    with open_session(url) as session:
        after = load_ledger(session, "sandbur")
        other = load_ledger(session, "other")

    assert list(before.items()) == [("a", "{}"), ("b", '{"n": 1}')]
    assert list(after.items()) == [("a", "later"), ("c", "")]
    assert other == {"a": "theirs"}


def test_ledger_and_log_outlive_a_new_save_of_the_operation(url: str, operation: Operation) -> None:
    with open_session(url) as session:
        save_ledger(session, "sandbur", {"a": "kept"})
        append_log(session, "sandbur", LOG)

    with open_session(url) as session:
        save_operation(session, replace(operation, jobs=()), namespace="n")

    with open_session(url) as session:
        assert load_ledger(session, "sandbur") == {"a": "kept"}
        assert load_log(session, "sandbur") == LOG


def test_answers_keep_their_order_and_are_replaced_whole(url: str) -> None:
    first = {"name": "Sandbur Flats Aerial LLC", "entity": "llc", "address": ""}
    then = {"state": "NE", "name": "Sandbur"}
    with open_session(url) as session:
        save_answers(session, "set-up", first)
        save_answers(session, "mailing", {"name": "not mine"})
    with open_session(url) as session:
        before = load_answers(session, "set-up")
        save_answers(session, "set-up", then)

    with open_session(url) as session:
        after = load_answers(session, "set-up")
        other = load_answers(session, "mailing")

    assert list(before.items()) == list(first.items())
    assert list(after.items()) == list(then.items())
    assert other == {"name": "not mine"}


def test_answers_none_at_all_forgets_the_interview(url: str) -> None:
    with open_session(url) as session:
        save_answers(session, "set-up", {"name": "Sandbur"})
    with open_session(url) as session:
        save_answers(session, "set-up", {})

    with open_session(url) as session:
        assert load_answers(session, "set-up") == {}


@given(
    answers=st.dictionaries(TEXTS, TEXTS, max_size=6),
    lines=st.dictionaries(TEXTS, TEXTS),
    own=TEXTS,
)
@settings(max_examples=50, deadline=None)
def test_records_round_trip_keeps_any_text(
    drafts: Session, operation: Operation, answers: dict[str, str], lines: dict[str, str], own: str
) -> None:
    override = replace(OWN, value=own, reason=own)
    entry = replace(MAILED, tracking=own, reason=own, paper_number=own)

    drafts.rollback()
    save_operation(drafts, operation, namespace="n")
    save_answers(drafts, "set-up", answers)
    save_ledger(drafts, "sandbur", lines)
    save_override(drafts, override)
    append_log(drafts, "sandbur", (entry,))
    drafts.expunge_all()  # or the session would hand back the rows it was given

    assert list(load_answers(drafts, "set-up").items()) == list(answers.items())
    assert load_ledger(drafts, "sandbur") == lines
    assert load_overrides(drafts) == (override,)
    assert load_log(drafts, "sandbur") == (entry,)
    assert load_operation(drafts, "sandbur") == operation
