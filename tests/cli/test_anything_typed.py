"""Whatever is typed or loaded, there is a code and a sentence, never a traceback or a half change.

Calls and spoilt files are put together by chance from a fixed seed: the same ones on every run.
"""

import hashlib
import os
import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from compliance.app.demo import FACTS

Run = Callable[[list[str]], tuple[int, str, str]]

# 0 done, 2 usage, 3 data, 4 not found, 5 database, 6 could not write, 10 overdue: README.md.
EXPECTED_CODES = {0, 2, 3, 4, 5, 6, 10}


def database(isolated: Path) -> Path:
    return isolated.parent / "mailby.sqlite"


def rows(path: Path) -> str:
    """Everything a database holds, as SQL."""
    with closing(sqlite3.connect(path)) as connection:
        return "\n".join(connection.iterdump())


# No absolute path is among them: some of these words name places to write.
TOKENS = (
    "show", "export", "plan", "today", "why", "packet", "calendar", "log", "rules", "list",
    "check", "set", "unset", "signed", "mailed", "returned", "granted", "done", "withdraw",
    "--on", "--today", "--db", "--operation", "--format", "-o", "--output", "--first-spray",
    "--fail-if-late", "--because", "--step", "--reason", "--number", "--issued", "--log",
    "--help", "--", "-", "=", "2027-01-11", "2027-13-45", "2000-01-01", "2079-12-31", "json",
    "text", "all", "sandbur_flats.yaml", "missing.yaml", ".", "out", "a/b", "faa.exemption",
    "faa.registration-n:tg46", "faa.registration-n:tg46/mail~2", "faa.remote-pilot", "~",
    ":tg46", "1", "-1", "0", "99999999999999999999", "days.usual", "1e9", "nan",
    "sandbur-flats",
)  # fmt: skip
STRANGE = (
    "", " ", "\0", "a\0b", "\ud800", "\udcff", "e\u0301", "\U0001f69c", "\u202ex", "\n", "%s%n",
    "{0}", "[red]", "'; DROP TABLE job; --", "x" * 5000, "sqlite://", "nosuch://", "http://[",
    "\u0662\u0660\u0662\u0667-01-11",
)  # fmt: skip
STARTS: tuple[list[str], ...] = (
    ["plan"], ["today"], ["why"], ["packet"], ["calendar"], ["show"], ["export"], ["load"],
    ["log", "signed"], ["log", "mailed"], ["log", "withdraw"], ["rules", "show"], ["rules", "set"],
    [],
)  # fmt: skip


def test_main_anything_typed_gives_a_code_and_no_traceback(loaded: Run, isolated: Path) -> None:
    """Two hundred calls put together by chance, always the same ones."""
    chance = random.Random(2027)  # noqa: S311 - no secret
    failed = []
    codes = set()
    assert Path.cwd() == isolated
    for _ in range(200):
        argv = [
            *chance.choice(STARTS),
            *(
                chance.choice(TOKENS if chance.random() < 0.75 else STRANGE)
                for _ in range(chance.randint(0, 4))
            ),
        ]
        code, _, err = loaded(argv)
        codes.add(int(code))
        if code not in EXPECTED_CODES or "Traceback" in err or "fault of its own" in err:
            failed.append((argv, code, err))

    assert failed == []
    assert {0, 2, 4} <= codes


@pytest.mark.parametrize(
    "before",
    [
        ["load"],
        ["why"],
        ["packet"],
        ["log", "signed"],
        ["rules", "list"],
        ["rules", "show"],
        ["plan", "--db"],
        ["plan", "--operation"],
        ["plan", "--on"],
        ["log", "returned", "faa.exemption", "--reason"],
        ["rules", "set", "faa.registration-n", "fee.amount_usd", "--because", "b"],
        ["rules", "set", "faa.registration-n", "fee.amount_usd", "5", "--because"],
    ],
    ids=" ".join,
)
def test_main_strange_text_in_any_place(loaded: Run, before: list[str]) -> None:
    answers = [(text, *loaded([*before, text])) for text in STRANGE]
    failed = [
        (text, code, err)
        for text, code, _, err in answers
        if code not in EXPECTED_CODES or "Traceback" in err or "fault of its own" in err
    ]

    assert failed == []


@pytest.mark.parametrize(
    "option", ["export -o", "calendar -o", "packet faa.exemption -o", "demo --into"]
)
def test_main_no_such_place_to_write(loaded: Run, option: str, isolated: Path) -> None:
    before = sorted(isolated.rglob("*"))
    texts = ["", " ", "\0", "a\0b", "\ud800", "x" * 5000]
    answers = [loaded([*option.split(), text]) for text in texts]

    assert {(code, out) for code, out, _ in answers} <= {(3, ""), (6, "")}
    assert [err for _, _, err in answers if "fault of its own" in err] == []
    assert sorted(isolated.rglob("*")) == before


def test_main_name_that_is_not_utf8_is_written_and_told(loaded: Run, isolated: Path) -> None:
    """An old disk may hold names in Latin-1, which reach us as lone surrogates."""
    code, out, err = loaded(["export", "-o", os.fsdecode(b"caf\xe9.yaml")])

    assert (code, out, err) == (0, "wrote caf\\udce9.yaml\n", "")
    assert (isolated / os.fsdecode(b"caf\xe9.yaml")).is_file()


def spoil(lines: list[str], chance: random.Random) -> list[str]:
    """Delete, double, garble, shift or cut one line."""
    at = chance.randrange(len(lines))
    line = lines[at]
    cut = chance.randrange(len(line) + 1)
    change = chance.choice(
        [
            [],
            [line, line],
            [line[:cut] + chance.choice("\0:#{}[]&*!|>'\"%@`\t-,\ud7ff\U0001f69c") + line[cut:]],
            [" " * chance.randint(1, 3) + line],
            [line[:cut]],
            [line.replace("20", chance.choice(["19", "99999", "x", "-"]), 1)],
        ]
    )
    return [*lines[:at], *change, *lines[at + 1 :]]


def test_main_spoilt_facts_are_refused_or_kept_whole(
    loaded: Run, demo_file: Path, demo_files: dict[str, str], isolated: Path
) -> None:
    """A hundred copies of the demo's facts with one line spoilt, always the same ones."""
    chance = random.Random(46)  # noqa: S311 - no secret
    failed = []
    codes = []
    before = rows(database(isolated))
    for number in range(100):
        text = "\n".join(spoil(demo_files[FACTS].splitlines(), chance))
        demo_file.write_text(text, encoding="utf-8")
        code, out, err = loaded(["load", str(demo_file)])
        codes.append(code)
        after = rows(database(isolated))
        if code not in {0, 3} or "Traceback" in err or (code and (out or after != before)):
            failed.append((number, code, out, err))
        before = after

    assert failed == []
    assert min(codes.count(0), codes.count(3)) > 10


def test_main_bad_load_leaves_the_database_bytes_alone(loaded: Run, isolated: Path) -> None:
    (isolated / "bad.yaml").write_text("mailby_file: 1\n")
    before = hashlib.sha256(database(isolated).read_bytes()).hexdigest()

    assert loaded(["load", "bad.yaml"])[0] == 3
    assert hashlib.sha256(database(isolated).read_bytes()).hexdigest() == before
