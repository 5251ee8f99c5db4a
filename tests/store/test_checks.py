"""Checks and learned forms come back as they were kept; the newest of a form comes first."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import text

from compliance.base.problems import StoreError
from compliance.facts.model import Operation
from compliance.store.checks import (
    LearnedForm,
    StoredCheck,
    load_check,
    load_learned,
    save_check,
    save_learned,
)
from compliance.store.repository import save_operation
from compliance.store.session import open_session

CHECK = StoredCheck(
    packet="faa.registration-n:tg-46",
    turn=1,
    answers='packet: "faa.registration-n:tg-46"\n# “Ł” \U0001f69c, "; DROP TABLE packet_check;\n',
    files='[{"path": "C:\\\\papers\\\\affidavit.jpg"}]',
    ready=False,
    fingerprint="0" * 64,
    checked_on=date(2027, 1, 11),
)
FORM = LearnedForm(
    template="faa-ua-affidavit",
    kind="print",
    edition="SANDBR",
    learned_on=date(2027, 1, 11),
    content='{"has_codes": true, "places": []}',
    blank_file="papers/ürün/affidavit.pdf",
)


def test_save_check_comes_back_equal(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        save_check(session, operation.id, CHECK)

    with open_session(str(db)) as session:
        assert load_check(session, operation.id, CHECK.packet, 1) == CHECK


@pytest.mark.parametrize(
    ("whose", "packet", "turn"),
    [
        ("sandbur", CHECK.packet, 2),
        ("sandbur", "faa.registration-n:tg-18", 1),
        ("other", CHECK.packet, 1),
    ],
)
def test_load_check_of_another_mailing_is_none(
    db: Path, operation: Operation, whose: str, packet: str, turn: int
) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        save_check(session, operation.id, CHECK)

        assert load_check(session, whose, packet, turn) is None


def test_save_check_again_takes_the_place_of_the_one_before(db: Path, operation: Operation) -> None:
    later = replace(CHECK, ready=True, answers="packet: x\n", checked_on=date(2027, 1, 12))
    second = replace(CHECK, turn=2)
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        for check in (CHECK, second, later):
            save_check(session, operation.id, check)

        assert load_check(session, operation.id, CHECK.packet, 1) == later
        assert load_check(session, operation.id, CHECK.packet, 2) == second


def test_save_operation_again_leaves_its_checks(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        save_check(session, operation.id, CHECK)

    with open_session(str(db)) as session:
        save_operation(session, replace(operation, legal_name="Other LLC"), namespace="n")

        assert load_check(session, operation.id, CHECK.packet, 1) == CHECK


def test_load_learned_gives_the_newest_first(db: Path) -> None:
    older = replace(FORM, edition="OLDONE", learned_on=date(2026, 3, 2))
    fields = replace(FORM, kind="fields")
    other = replace(FORM, template="faa-8050-1")
    with open_session(str(db)) as session:
        for form in (older, FORM, fields, other):
            save_learned(session, form)

    with open_session(str(db)) as session:
        assert load_learned(session, "faa-ua-affidavit", "print") == (FORM, older)
        assert load_learned(session, "faa-ua-affidavit", "fields") == (fields,)
        assert load_learned(session, "faa-8050-2", "print") == ()


@pytest.mark.parametrize("editions", [("AAAAAA", "ZZZZZZ"), ("ZZZZZZ", "AAAAAA")])
def test_load_learned_of_one_day_gives_the_later_first(db: Path, editions: tuple[str, str]) -> None:
    """The codes of editions say nothing about which was learned later; a wrong one is mended so."""
    first, second = (replace(FORM, edition=edition) for edition in editions)
    with open_session(str(db)) as session:
        save_learned(session, first)
    with open_session(str(db)) as session:
        save_learned(session, second)

        assert load_learned(session, FORM.template, FORM.kind) == (second, first)

        save_learned(session, first)

        assert load_learned(session, FORM.template, FORM.kind) == (first, second)


def test_save_learned_again_takes_the_place_of_the_same_edition(db: Path) -> None:
    mended = replace(FORM, content='{"has_codes": false, "places": []}')
    with open_session(str(db)) as session:
        save_learned(session, FORM)
        save_learned(session, mended)

        assert load_learned(session, FORM.template, FORM.kind) == (mended,)


def test_load_check_with_a_day_that_is_none_is_refused_in_words(
    db: Path, operation: Operation
) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="n")
        save_check(session, operation.id, CHECK)
        session.connection().execute(text("UPDATE packet_check SET checked_on = 'tomorrow'"))
        session.expire_all()

        with pytest.raises(StoreError, match="the database holds the check of a packet with"):
            load_check(session, operation.id, CHECK.packet, 1)
