"""Printed papers of our own that are forgotten: which, when, and which never."""

import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.known_forms import KnownForm, load_known, save_known
from compliance.app.old_papers import MOST_COPIES, MOST_DAYS, forget_old_papers
from compliance.app.seen import SeenFile
from compliance.facts.model import Operation
from compliance.store.checks import StoredCheck, save_check
from compliance.store.repository import save_operation
from compliance.store.session import open_session

DAY = date(2027, 1, 11)
PACKET = "faa.registration-n:tg46"
FORM = "faa-llc-statement"


@pytest.fixture
def session(demo_operation: Operation) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        yield opened


def keep(
    session: Session, folder: Path, code: str, *, on: date = DAY, packet: str = PACKET
) -> Path:
    """Keep a printed paper with its copy; without a packet it is one that was learned."""
    path = folder / f"{FORM}_{code}.pdf"
    path.write_bytes(b"%PDF")
    form = KnownForm(
        template=FORM, code=code, kept_on=on, blank_file=path, places=(), packet=packet
    )
    save_known(session, form)
    return path


def keep_check(session: Session, *seen: SeenFile, files: str = "", packet: str = PACKET) -> None:
    """Keep a check that looked at files."""
    check = StoredCheck(
        packet=packet,
        turn=1,
        answers="",
        files=files or json.dumps([asdict(one) for one in seen]),
        ready=False,
        fingerprint="",
        checked_on=DAY,
    )
    save_check(session, "sandbur-flats", check)


def look(form: str, kind: str = "photo") -> SeenFile:
    return SeenFile(
        path="/p.jpg", sha256="0", document="llc-statement", sheet=1, kind=kind, kept="", form=form
    )


def codes(session: Session) -> set[str]:
    return {form.code for form in load_known(session, FORM)}


def test_forget_the_oldest_beyond_ten_of_one_packet(session: Session, tmp_path: Path) -> None:
    paths = [keep(session, tmp_path, f"c{number:02}") for number in range(MOST_COPIES + 2)]
    other = keep(session, tmp_path, "other", packet="faa.registration-n:tg18")

    forget_old_papers(session, tmp_path, DAY)

    assert codes(session) == {f"c{number:02}" for number in range(2, MOST_COPIES + 2)} | {"other"}
    assert [path.exists() for path in (*paths[:3], other)] == [False, False, True, True]


def test_forget_on_the_day_after_the_last(session: Session, tmp_path: Path) -> None:
    """Our own rule: 400 days old stays, 401 goes."""
    keep(session, tmp_path, "old", on=DAY - timedelta(days=MOST_DAYS + 1))
    keep(session, tmp_path, "last", on=DAY - timedelta(days=MOST_DAYS))

    forget_old_papers(session, tmp_path, DAY)

    assert codes(session) == {"last"}
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"{FORM}_last.pdf"]


def test_forget_never_what_a_check_used_nor_what_was_learned(
    session: Session, tmp_path: Path
) -> None:
    long_ago = DAY - timedelta(days=2_000)
    for code in ("used", "unused"):
        keep(session, tmp_path, code, on=long_ago)
    keep(session, tmp_path, "learned", on=long_ago, packet="")
    keep_check(session, look("used"), look("", kind="pdf"))

    forget_old_papers(session, tmp_path, DAY)

    assert codes(session) == {"used", "learned"}


@pytest.mark.parametrize("files", ["", "{", "[1]"])
def test_forget_nothing_of_a_packet_whose_pictures_do_not_say(
    session: Session, tmp_path: Path, files: str
) -> None:
    """A picture kept without the code of its edition may be of any of them."""
    long_ago = DAY - timedelta(days=2_000)
    keep(session, tmp_path, "old", on=long_ago)
    keep(session, tmp_path, "other", on=long_ago, packet="faa.exemption")
    keep_check(session, look(""), files=files)

    forget_old_papers(session, tmp_path, DAY)

    assert codes(session) == {"old"}


def test_forget_leaves_files_outside_the_folder(session: Session, tmp_path: Path) -> None:
    path = keep(session, tmp_path, "old", on=DAY - timedelta(days=2_000))

    forget_old_papers(session, tmp_path / "kept", DAY)

    assert codes(session) == set()
    assert path.exists()


def test_forget_nothing_for_a_page_printed_for_a_day_to_come(
    session: Session, tmp_path: Path
) -> None:
    """Ten looks ahead do not push out the page really printed."""
    keep(session, tmp_path, "real", on=DAY)
    for number in range(MOST_COPIES + 1):
        keep(session, tmp_path, f"c{number}", on=DAY + timedelta(days=500 + number))

    forget_old_papers(session, tmp_path, DAY)

    assert len(codes(session)) == MOST_COPIES + 2
