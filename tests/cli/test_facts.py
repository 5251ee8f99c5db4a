"""load, show, export as a user types them."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from compliance.app.demo import FACTS

Run = Callable[[list[str]], tuple[int, str, str]]

NESTED = "[" * 5_000_000 + "]" * 5_000_000


def test_load_says_what_is_kept(run: Run, demo_file: Path) -> None:
    code, out, err = run(["load", str(demo_file)])

    assert (code, err) == (0, "")
    assert out.splitlines()[0] == "Sandbur Flats Aerial LLC (sandbur-flats) is kept:"
    assert "  added job pasture-ne: Mon 24 May 2027 to Sat 12 Jun 2027 in NE" in out.splitlines()


def test_load_again_says_nothing_has_changed(loaded: Run, demo_file: Path) -> None:
    assert loaded(["load", str(demo_file)]) == (
        0,
        "Sandbur Flats Aerial LLC: nothing has changed\n",
        "",
    )


def test_load_changed_says_what_and_doubles_nothing(loaded: Run, demo_file: Path) -> None:
    before = loaded(["show"])[1]
    text = demo_file.read_text(encoding="utf-8")
    demo_file.write_text(text.replace("weight_lb: 118", "weight_lb: 119"), encoding="utf-8")

    code, out, err = loaded(["load", str(demo_file)])

    assert (code, err) == (0, "")
    assert out.splitlines()[1:] == [
        "  changed take-off weight of aircraft tg46: 118 lb -> 119 lb",
        "Next: mailby plan",
    ]
    assert loaded(["show"])[1] == before.replace("118 lb", "119 lb")


def test_load_lists_every_problem_with_its_line(run: Run, demo_file: Path) -> None:
    text = demo_file.read_text(encoding="utf-8")
    text = text.replace("state: SD", "state: XX").replace("for_hire: no", "for_hire: maybe")
    demo_file.write_text(text, encoding="utf-8")
    lines = [
        number
        for number, line in enumerate(text.splitlines(), 1)
        if "state: XX" in line or "for_hire: maybe" in line
    ]

    code, out, err = run(["load", FACTS])
    places = [int(line.split(":")[1]) for line in err.splitlines() if line.startswith(FACTS)]

    assert (code, out, places) == (3, "", lines)
    assert err.splitlines()[-1] == "2 problems; nothing was changed"


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"", "the file is empty"),
        (b"\n\n# only notes\n", "the file is empty"),
        (b"\0\0\0", "control character"),
        (b"a: \x00b", "control character"),
        (bytes(range(256)), "control character|not UTF-8"),
        (b"\x89PNG\r\n\x1a\n" + b"\xff" * 500, "not UTF-8"),
        ("mailby_file: 1\n".encode("utf-16"), "not UTF-8"),
        (NESTED.encode(), "longer than"),
        (NESTED[4_500_000:-4_500_000].encode(), "nesting"),
        (b"- {" * 400_000, "cannot be read"),
        (b"{a: " * 31 + b"b" + b"}" * 31, "nested over 30 deep"),
        (b"a: &x [*x]", "aliases"),
        (b"!!python/object/apply:os.system [id]", "tags"),
        (b"just words", "."),
        (b"- 1\n- 2\n", "."),
        (b"a: 1\n---\nb: 2\n", "second YAML document"),
        (b"mailby_file: 999\noperation: {}\n", "."),
    ],
    ids=range(17),
)
def test_load_any_other_content_is_refused(
    run: Run, isolated: Path, content: bytes, word: str
) -> None:
    (isolated / "x.yaml").write_bytes(content)

    code, out, err = run(["load", "x.yaml"])

    assert (code, out) == (3, "")
    assert err.startswith("x.yaml:")
    assert any(one in err for one in word.split("|"))
    assert "fault of its own" not in err


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("missing.yaml", "there is no file missing.yaml"),
        (".", ". is a folder, not a file"),
        ("sandbur_flats.yaml/x", "cannot be read: Not a directory"),
        ("x" * 300, "cannot be read: File name too long"),
    ],
)
def test_load_nothing_to_read_is_not_found(
    run: Run, demo_file: Path, name: str, message: str
) -> None:
    assert demo_file.is_file()
    code, out, err = run(["load", name])

    assert (code, out) == (4, "")
    assert message in err


def test_two_operations_must_be_named(loaded: Run, demo_file: Path) -> None:
    text = demo_file.read_text(encoding="utf-8").replace("id: sandbur-flats", "id: second-farm")
    demo_file.write_text(text, encoding="utf-8")
    assert loaded(["load", str(demo_file)])[0] == 0

    answers = {
        command: loaded([*command.split(), "--on", "2027-01-11"])
        for command in ("plan", "today", "why faa.exemption", "calendar", "packet faa.exemption")
    }
    named = loaded(["plan", "--on", "2027-01-11", "--operation", "second-farm"])

    assert {(code, out) for code, out, _ in answers.values()} == {(4, "")}
    assert {err for _, _, err in answers.values()} == {
        (
            "the database holds 2 operations\n"
            "  hint: name one with --operation: sandbur-flats, second-farm\n"
        )
    }
    assert named[0] == 0


def test_show_without_an_operation(run: Run, isolated: Path) -> None:
    code, out, err = run(["show"])

    assert (code, out) == (4, "")
    assert err.startswith(f"no operation is known yet in {isolated.parent / 'mailby.sqlite'}\n")


def test_export_comes_back_unchanged(loaded: Run, isolated: Path) -> None:
    written = loaded(["export", "-o", "out/farm.yaml"])
    on_screen = loaded(["export"])[1]

    assert written == (0, "wrote out/farm.yaml\n", "")
    assert (isolated / "out" / "farm.yaml").read_text(encoding="utf-8") == on_screen
    assert "nothing has changed" in loaded(["load", "out/farm.yaml"])[1]


def test_export_log_comes_back_unchanged(loaded: Run, isolated: Path) -> None:
    loaded(["log", "signed", "faa.registration-n", "--on", "2027-01-04", "--today", "2027-01-11"])
    first = loaded(["export", "--log"])[1]
    (isolated / "log.yaml").write_text(first, encoding="utf-8")
    with closing(sqlite3.connect(isolated.parent / "mailby.sqlite")) as other:
        other.execute("DELETE FROM log")
        other.commit()

    call = ["log", "import", "log.yaml", "--today", "2027-01-11"]

    assert loaded(call) == (0, "1 entry added to the log\n", "")
    assert loaded(["export", "--log"])[1] == first


def test_export_into_a_file_as_folder(loaded: Run) -> None:
    code, out, err = loaded(["export", "-o", f"{FACTS}/x.yaml"])

    assert (code, out) == (6, "")
    assert "cannot be written" in err
