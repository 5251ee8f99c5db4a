"""The command ``mailby setup`` through its one entry, with lines typed on standard input."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from compliance.cli.main import main
from compliance.store.repository import load_operation_ids
from compliance.store.session import open_session
from compliance.store.talk import load_answers

LINES = """\
Odile Ferrant

ne

1 Invented Road
Burrell Crossing, NE 00000



402-555-0143

Tallgrass Rotorworks
TG-18
18-00204

49






y
own quarter
7/12/2027
8/7/2027

n

n






n


tue, thu



keep
"""


def run(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    db: Path,
    typed: str,
    *options: str,
) -> tuple[int, str, str]:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    code = main(["setup", "--db", str(db), *options])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def start(db: Path, typed: bytes, *options: str) -> tuple[int, str, str]:
    """Run it as a process of its own, so that standard input is real."""
    done = subprocess.run(
        [sys.executable, "-m", "compliance", "setup", "--db", str(db), *options],
        input=typed,
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONUTF8": "1"},
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def kept(db: Path) -> tuple[tuple[str, ...], dict[str, str]]:
    with open_session(str(db)) as session:
        return tuple(load_operation_ids(session)), load_answers(session, "setup")


@pytest.fixture
def db(tmp_path: Path) -> Path:
    return tmp_path / "sandbur.db"


def test_setup_whole_keeps_the_operation_and_forgets_the_answers(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    code, out, err = run(monkeypatch, capsys, db, LINES)

    assert (code, err) == (0, "")
    assert out.endswith(
        "= yes, keep it\n"
        "Odile Ferrant (odile-ferrant) is kept:\n"
        "  added operation: Odile Ferrant\n"
        "  added aircraft tg18: Tallgrass Rotorworks TG-18, serial 18-00204, 49 lb\n"
        "  added pilot odile: Odile Ferrant\n"
        "  added job own-quarter: Mon 12 Jul 2027 to Sat 7 Aug 2027 in NE\n"
        "Next: mailby plan\n"
    )
    assert kept(db) == (("odile-ferrant",), {})


def test_setup_shows_the_facts_before_keeping_them(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    _, out, _ = run(monkeypatch, capsys, db, LINES.removesuffix("keep\n"))

    summary = out[out.index("Odile Ferrant (odile-ferrant), individual") :]
    assert summary.splitlines()[:4] == [
        "Odile Ferrant (odile-ferrant), individual",
        "  home state   NE",
        "  mail to      1 Invented Road, Burrell Crossing, NE 00000",
        "  contact      Odile Ferrant, 402-555-0143",
    ]
    assert kept(db)[0] == ()


def test_setup_closed_early_keeps_only_the_answers_and_goes_on(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    lines = LINES.splitlines(keepends=True)
    first = run(monkeypatch, capsys, db, "".join(lines[:5]))
    after = kept(db)
    second = run(monkeypatch, capsys, db, "".join(lines[5:]))

    assert first[0] == 1
    assert first[1].endswith(
        "\nStopped before the end; your answers are kept.\nNext: mailby setup goes on from here\n"
    )
    assert after == (
        (),
        {
            "business.legal_name": "Odile Ferrant",
            "business.entity": "individual",
            "business.home_state": "NE",
            "business.time_zone.NE": "America/Chicago",
            "mail.to.1": "1 Invented Road",
        },
    )
    assert second[0] == 0
    assert second[1].startswith("Going on where you stopped: 5 answers are kept.")
    assert kept(db) == (("odile-ferrant",), {})


def test_setup_stop_ends_well(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    code, out, err = run(monkeypatch, capsys, db, "Odile Ferrant\nstop\n")

    assert (code, err) == (0, "")
    assert out.endswith("\nStopped; your answers are kept.\nNext: mailby setup goes on from here\n")
    assert kept(db) == ((), {"business.legal_name": "Odile Ferrant"})


def test_setup_restart_begins_anew(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    run(monkeypatch, capsys, db, "Odile Ferrant\n")
    code, out, _ = run(monkeypatch, capsys, db, "", "--restart")

    assert code == 1
    assert out.startswith("Answer and press Enter;")
    assert kept(db) == ((), {})


def test_setup_operation_changes_what_is_known(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    run(monkeypatch, capsys, db, LINES)
    typed = "contact\n\n402-555-0199\n\nkeep\n"
    code, out, _ = run(monkeypatch, capsys, db, typed, "--operation", "odile-ferrant")

    assert code == 0
    assert out.startswith("Changing Odile Ferrant (odile-ferrant).\n")
    assert out.endswith(
        "Odile Ferrant (odile-ferrant) is kept:\n"
        "  changed contact's telephone of the operation: 402-555-0143 -> 402-555-0199\n"
        "Next: mailby plan\n"
    )


def test_setup_second_operation_is_told_how_to_change_the_first(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    run(monkeypatch, capsys, db, LINES)
    _, out, _ = run(monkeypatch, capsys, db, "stop\n")

    assert out.startswith(
        "This asks for a new operation. Known already: odile-ferrant; to change one, use\n"
        "mailby setup --operation ID.\n"
    )


def test_setup_unknown_operation_is_not_found(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    run(monkeypatch, capsys, db, LINES)
    code, _, err = run(monkeypatch, capsys, db, "", "--operation", "odile-ferant")

    assert (code, err) == (
        4,
        "no operation is called 'odile-ferant'\n  hint: did you mean `odile-ferrant`?\n",
    )


def test_setup_interrupted_keeps_the_answers(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], db: Path
) -> None:
    class Keyboard(io.StringIO):
        """Types its lines, then Ctrl-C."""

        def readline(self, *sizes: int) -> str:  # type: ignore[override]  # typeshed: bytes or str
            line = super().readline(*sizes)
            if not line:
                raise KeyboardInterrupt
            return line

    monkeypatch.setattr(sys, "stdin", Keyboard("Odile Ferrant\n"))

    code = main(["setup", "--db", str(db)])

    assert code == 1
    assert capsys.readouterr().out.endswith("\nNext: mailby setup goes on from here\n")
    assert kept(db) == ((), {"business.legal_name": "Odile Ferrant"})


@pytest.mark.parametrize("gone", [None, "closed"])
def test_setup_without_standard_input_stops(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    db: Path,
    gone: str | None,
) -> None:
    stream = io.StringIO()
    stream.close()
    monkeypatch.setattr(sys, "stdin", stream if gone else None)

    code = main(["setup", "--db", str(db)])

    assert code == 1
    assert "Stopped before the end" in capsys.readouterr().out


@pytest.mark.slow
def test_setup_bytes_that_are_no_text_are_refused_in_words(db: Path) -> None:
    typed = b"Odile\xff\n\x00\n" + b"x" * 10_000 + b"\n\x1b[A\nOdile Ferrant\n"

    code, out, err = start(db, typed)

    assert (code, err) == (1, "")
    assert "  ! a part of the answer is no text" in out
    assert "  ! a control character (U+0000) stands here" in out
    assert "  ! a control character (U+001B) stands here" in out
    assert "  ! the answer has 10,000 characters; at most 2,000" in out
    assert kept(db) == ((), {"business.legal_name": "Odile Ferrant"})
