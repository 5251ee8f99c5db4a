"""The edge of the program: exit codes, two streams, JSON, no traceback whatever is typed."""

import io
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from importlib.metadata import version
from pathlib import Path

import pytest

from compliance.app.demo import FACTS
from compliance.cli.main import main

Run = Callable[[list[str]], tuple[int, str, str]]


def database(isolated: Path) -> Path:
    return isolated.parent / "mailby.sqlite"


def test_main_version(run: Run) -> None:
    assert run(["--version"]) == (0, f"mailby {version('mailby')}\n", "")


def test_main_without_arguments_gives_help(run: Run) -> None:
    out = " ".join("".join(run([])[1:]).split())

    assert "Usage: mailby" in out
    assert "not legal advice" in out


@pytest.mark.parametrize(
    "argv",
    [
        ["nonsense"],
        ["plan", "--nonsense"],
        ["plan", "--on", "2027-02-30"],
        ["plan", "--on", "24 May 2027"],
        ["plan", "--format", "xml"],
        ["why"],
        ["log", "withdraw", "four"],
        ["log", "done", "faa.exemption"],
        ["rules", "set", "faa.exemption", "fee.amount_usd", "1"],
    ],
)
def test_main_usage_error_is_2_on_standard_error(run: Run, argv: list[str]) -> None:
    code, out, err = run(argv)

    assert (code, out) == (2, "")
    assert "Usage: mailby" in err


@pytest.mark.parametrize(
    ("argv", "error", "hint"),
    [
        (
            ["plan", "--format", "json", "--on", "soon"],
            (
                "Invalid value for '--on': 'soon' is no day from 2000 to 2079; write "
                "year-month-day, such as 2027-05-24"
            ),
            "mailby plan --help",
        ),
        (["plan", "--format=json", "more"], "unexpected extra argument", "mailby plan --help"),
        (["nonsense", "--format", "json"], "No such command 'nonsense'", "mailby --help"),
        (["plan", "--format", "json", "--bad"], "No such option: --bad", "mailby plan --help"),
        (["check", "--format", "json"], "name a packet", "mailby check --help"),
    ],
)
def test_main_usage_error_beside_json_is_json(
    run: Run, argv: list[str], error: str, hint: str
) -> None:
    """A program that reads JSON can read what was wrong with its own call, too."""
    code, out, err = run(argv)
    found = json.loads(err)

    assert (code, out) == (2, "")
    assert error in found["error"]
    assert (found["hint"], found["problems"]) == (hint, [])


def test_main_beside_json_the_exit_codes_stay(loaded: Run) -> None:
    """Help, results and refusals end as they do without JSON."""
    assert loaded(["plan", "--help", "--format", "json"])[0] == 0
    assert loaded(["plan", "--format", "json", "--on", "2027-01-11"])[0] == 0
    packet = "sd.commercial-applicator:odile"
    assert loaded(["check", packet, "--format", "json", "--on", "2027-01-11"])[0] == 3
    late = ["plan", "--format", "json", "--on", "2027-05-20", "--fail-if-late"]
    assert loaded(late)[0] == 10


def test_main_data_problem_is_3(run: Run, isolated: Path) -> None:
    (isolated / "bad.yaml").write_text("mailby_file: 1\noperation: {}\n")
    code, out, err = run(["load", "bad.yaml"])

    assert (code, out) == (3, "")
    assert err.startswith("bad.yaml:")
    assert err.endswith("nothing was changed\n")


def test_main_not_found_is_4(run: Run) -> None:
    code, out, err = run(["load", "missing.yaml"])

    assert (code, out) == (4, "")
    assert err == "there is no file missing.yaml\n  hint: check the name and folder\n"


def test_main_store_error_is_5(run: Run, isolated: Path) -> None:
    database(isolated).write_bytes(b"this is no database, but long enough to be read as one" * 99)
    code, out, err = run(["plan"])

    assert (code, out) == (5, "")
    assert "is not a database, or it is damaged" in err


def test_main_output_error_is_6(loaded: Run, isolated: Path) -> None:
    (isolated / "taken").mkdir()
    code, out, err = loaded(["export", "-o", "taken"])

    assert (code, out) == (6, "")
    assert "taken is a folder; a file is to be written there" in err


def test_main_locked_database_says_so(loaded: Run, isolated: Path) -> None:
    """SQLite lets one writer in at a time: https://sqlite.org/lockingv3.html."""
    path = database(isolated)
    with closing(sqlite3.connect(path)) as other:
        other.execute("BEGIN EXCLUSIVE")
        code, out, err = loaded(["plan", "--db", f"sqlite:///{path}?timeout=0.1"])

    assert (code, out) == (5, "")
    assert err == (
        f"the database {path} is locked\n"
        "  hint: another mailby is writing; wait a moment and try again\n"
    )


def test_main_newer_database_is_left_alone(loaded: Run, isolated: Path) -> None:
    path = database(isolated)
    with closing(sqlite3.connect(path)) as other:
        other.execute("UPDATE meta SET value = '999' WHERE key = 'schema_version'")
        other.commit()
    before = path.read_bytes()
    code, out, err = loaded(["plan"])

    assert (code, out) == (5, "")
    assert "was made by a newer mailby" in err
    assert path.read_bytes() == before


def test_main_default_database_lies_in_the_home_folder(
    run: Run, demo_file: Path, isolated: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("MAILBY_DB")

    assert run(["load", str(demo_file)])[0] == 0
    assert [path.name for path in (isolated.parent / "home").rglob("*.sqlite")] == ["mailby.sqlite"]


def test_main_json_problems_name_their_place(run: Run, demo_file: Path, isolated: Path) -> None:
    run(["load", str(demo_file)])
    with closing(sqlite3.connect(database(isolated))) as other:
        other.execute("DELETE FROM operation")
        other.commit()
    code, out, err = run(["plan", "--format", "json"])

    assert (code, out) == (4, "")
    assert json.loads(err) == {
        "error": f"no operation is known yet in {database(isolated)}",
        "hint": "mailby setup asks for it, mailby load FILE reads one, mailby demo shows one",
        "problems": [],
    }


def test_main_json_lists_data_problems(loaded: Run, isolated: Path) -> None:
    """A value of one's own that the table does not know any more, as after an update."""
    with closing(sqlite3.connect(database(isolated))) as other:
        columns = [row[1] for row in other.execute("PRAGMA table_info('override')")]
        values = {"row": "faa.gone", "field": "days.usual", "value": "3", "reason": "r"}
        marks = ", ".join("?" for _ in columns)
        other.execute(
            f"INSERT INTO override ({', '.join(columns)}) VALUES ({marks})",  # noqa: S608 - own names
            [values.get(name, "2027-01-01") for name in columns],
        )
        other.commit()
    code, out, err = loaded(["plan", "--format=json", "--on", "2027-01-11"])
    said = json.loads(err)

    assert (code, out, len(said["problems"])) == (3, "", 1)
    assert said["problems"][0].keys() == {"file", "line", "column", "code", "sentence", "hint"}


def test_main_fault_of_its_own_is_a_sentence(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by accident")

    monkeypatch.setattr("compliance.app.tables.check_rules", fail)
    code, out, err = run(["rules", "check"])

    assert (code, out) == (1, "")
    assert err.startswith("mailby has met a fault of its own and stopped: ZeroDivisionError")
    assert "MAILBY_DEBUG=1" in err


def test_main_stopped_by_the_user(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("compliance.app.tables.check_rules", stop)
    code, out, err = run(["rules", "check"])

    assert (code, out) == (1, "")
    assert err == "stopped; nothing was lost\n"


def test_main_reader_that_leaves_is_no_fault(tmp_path: Path) -> None:
    """As in ``mailby rules list | head -1``."""
    done = subprocess.run(
        [
            "/bin/sh",
            "-c",
            '"$0" -m compliance rules list e | head -1',
            sys.executable,
        ],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env=os.environ | {"MAILBY_DB": str(tmp_path / "db.sqlite")},
    )

    assert done.stdout.count("\n") == 1
    assert done.stderr == ""


def test_main_output_on_a_full_disk_is_6(tmp_path: Path) -> None:
    """/dev/full answers every write with "no space left on device": full(4)."""
    with Path("/dev/full").open("wb") as disk:
        done = subprocess.run(
            [sys.executable, "-m", "compliance", "rules", "list"],
            stdout=disk,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            timeout=60,
            env=os.environ | {"MAILBY_DB": str(tmp_path / "db.sqlite")},
        )

    assert done.returncode == 6
    assert done.stderr == "the result cannot be written: No space left on device\n"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_main_pipe_is_utf8_on_any_terminal(
    encoding: str, tmp_path: Path, demo_files: dict[str, str]
) -> None:
    """What is exported into a pipe must be what ``load`` reads."""
    path = tmp_path / "farm.yaml"
    name = "Łódź Sandbur"
    path.write_text(
        demo_files[FACTS].replace("legal_name: Sandbur Flats Aerial LLC ", f"legal_name: {name} "),
        encoding="utf-8",
    )
    environment = os.environ | {
        "MAILBY_DB": str(tmp_path / "db.sqlite"),
        "PYTHONIOENCODING": encoding,
    }
    # Both in one process, because starting Python takes far longer than either.
    calls = (
        "import sys; from compliance.cli.main import main; "
        'sys.exit(main(["load", sys.argv[1]]) or main(["export"]))'
    )

    done = subprocess.run(
        [sys.executable, "-c", calls, str(path)],
        capture_output=True,
        check=False,
        timeout=60,
        env=environment,
    )

    assert (done.returncode, done.stderr) == (0, b"")
    exported = done.stdout.decode("utf-8")
    assert "\nmailby_file: 1\n" in exported
    assert name in exported.partition("\nmailby_file: 1\n")[2]


def test_main_screen_without_a_letter_shows_its_code(
    isolated: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Screen(io.TextIOWrapper):
        def isatty(self) -> bool:
            return True

    screen = Screen(io.BytesIO(), encoding="cp1252", write_through=True)
    monkeypatch.setattr(sys, "stdout", screen)
    (isolated / "x").mkdir()

    assert main(["rules", "list", "Łódź"]) == 0
    screen.seek(0)
    assert screen.read() == "no row holds '\\u0141\xf3d\\u017a'\n"
