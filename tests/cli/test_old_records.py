"""Records with signs that an earlier mailby kept: exported, read in again, and told."""

import json
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
NOW = ["--on", "2027-06-16"]
TOLD = (
    "! record 1, version 1: the place of the application is kept as 'Section\\t9', which cannot "
    "be read in again; the file says 'Section 9'"
)
STAYS = "! what is kept here stays as it is"


@pytest.fixture
def old_farm(farm: Run) -> Run:
    """The farm with a record whose place has a tab, as earlier builds took it."""
    Path("r.yaml").write_text(RECORD, encoding="utf-8")
    assert farm(["record", "pasture-sd", "--from", "r.yaml", *NOW])[0] == 0
    with sqlite3.connect(os.environ["MAILBY_DB"]) as database:
        ((content,),) = database.execute("SELECT content FROM application_record")
        held = json.loads(content)
        held["said"] = [
            [name, "Section\t9" if name == "place" else text] for name, text in held["said"]
        ]
        database.execute("UPDATE application_record SET content = ?", (json.dumps(held),))
    return farm


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_all_records_with_a_tab_are_read_in_again_and_the_tab_is_told(
    old_farm: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Here it adds nothing, on another computer it brings the record with a blank for the tab."""
    code, out, _ = old_farm(["export", "--records", "all.yaml"])

    assert code == 0
    assert TOLD in one_line(out)
    assert STAYS in one_line(out)
    here = old_farm(["records", "import", "all.yaml", *NOW])
    assert here[0] == 0
    assert here[1].startswith("0 versions of records kept; 1 was here already\n")
    monkeypatch.setenv("MAILBY_DB", str(tmp_path / "other.sqlite"))
    assert old_farm(["load", "sandbur_flats.yaml"])[0] == 0
    assert old_farm(["records", "import", "all.yaml", *NOW])[0] == 0
    shown = one_line(old_farm(["records", "show", "1", *NOW])[1])
    assert "place of the application Section 9" in shown


def test_table_with_a_tab_is_read_in_again_and_the_tab_is_told(
    old_farm: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The table of all records is cleaned and told in the same words."""
    code, out, _ = old_farm(["records", "--export", "all.csv"])

    assert code == 0
    assert TOLD in one_line(out)
    monkeypatch.setenv("MAILBY_DB", str(tmp_path / "other.sqlite"))
    assert old_farm(["load", "sandbur_flats.yaml"])[0] == 0
    assert old_farm(["records", "import", "all.csv", *NOW])[0] == 0


def test_nothing_is_told_of_records_that_a_file_can_hold(farm: Run) -> None:
    """A plain record is written as it is, and nothing is said of it."""
    Path("r.yaml").write_text(RECORD, encoding="utf-8")
    farm(["record", "pasture-sd", "--from", "r.yaml", *NOW])

    assert "!" not in farm(["export", "--records", "all.yaml"])[1]


def change_kept(**texts: str) -> None:
    """Put texts into the record that is kept, as earlier builds took them."""
    with sqlite3.connect(os.environ["MAILBY_DB"]) as database:
        ((content,),) = database.execute("SELECT content FROM application_record")
        held = json.dumps({**json.loads(content), **texts})
        database.execute("UPDATE application_record SET content = ?", (held,))


def test_table_tells_only_of_texts_that_it_holds(farm: Run) -> None:
    """The reason of a correction has no column; the file of all versions holds it, and tells."""
    Path("r.yaml").write_text(RECORD, encoding="utf-8")
    farm(["record", "pasture-sd", "--from", "r.yaml", *NOW])
    change_kept(why="was\twrong")

    table = farm(["records", "--export", "all.csv"])[1]
    book = farm(["export", "--records", "all.yaml"])[1]

    assert "!" not in table
    assert "the reason of the correction is kept as 'was\\twrong'" in one_line(book)


@pytest.fixture
def twins(farm: Run) -> Run:
    """The farm with one record, and ``two.yaml`` with the same once more as number 2."""
    Path("r.yaml").write_text(RECORD, encoding="utf-8")
    farm(["record", "pasture-sd", "--from", "r.yaml", *NOW])
    farm(["export", "--records", "all.yaml"])
    text = Path("all.yaml").read_text(encoding="utf-8")
    head, start, one = text.partition("  - number: 1\n")
    one, gone, tail = one.partition("gone:")
    two = "  - number: 2\n" + one
    Path("two.yaml").write_text(head + start + one + two + gone + tail, encoding="utf-8")
    return farm


LEFT_OUT = "! record 2 is left out: it tells of the same application as record 1"


def test_record_of_the_same_application_is_left_out_and_told(
    twins: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Beside a record that is here, and beside one that comes with it."""
    here = twins(["records", "import", "two.yaml", *NOW])
    monkeypatch.setenv("MAILBY_DB", str(tmp_path / "other.sqlite"))
    twins(["load", "sandbur_flats.yaml"])
    there = twins(["records", "import", "two.yaml", *NOW])

    assert (here[0], there[0]) == (0, 0)
    assert here[1].startswith("0 versions of records kept; 1 was here already\n")
    assert there[1].startswith("1 version of a record kept; 0 were here already\n")
    assert LEFT_OUT in one_line(here[1])
    assert LEFT_OUT in one_line(there[1])
    assert twins(["records", "show", "2", *NOW])[0] == 4
    assert twins(["records", "import", "two.yaml", *NOW])[1].startswith("0 versions")


def test_records_of_one_application_kept_before_are_written_so_that_they_are_read_in(
    twins: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The table leaves the second out and says so; both kinds of files are read in elsewhere."""
    with sqlite3.connect(os.environ["MAILBY_DB"]) as database:
        names = [row[1] for row in database.execute("PRAGMA table_info(application_record)")]
        kept = ", ".join(f'"{name}"' for name in names if name not in {"id", "number"})
        database.execute(
            f"INSERT INTO application_record (number, {kept}) "  # noqa: S608 - names of columns
            f"SELECT 2, {kept} FROM application_record"
        )

    table = twins(["records", "--export", "both.csv", *NOW])[1]
    twins(["export", "--records", "both.yaml"])

    assert table.startswith("both.csv holds 1 record\n")
    assert LEFT_OUT in one_line(table)
    assert Path("both.yaml").read_text(encoding="utf-8").count("  - number: ") == 2
    for name in ("both.csv", "both.yaml"):
        monkeypatch.setenv("MAILBY_DB", str(tmp_path / f"{name}.sqlite"))
        twins(["load", "sandbur_flats.yaml"])
        assert twins(["records", "import", name, *NOW])[0] == 0
        assert twins(["records", *NOW])[1].startswith(
            "Sandbur Flats Aerial LLC: 1 record of applications"
        )


def test_another_text_under_a_number_that_is_here_is_refused_and_not_left_out(twins: Run) -> None:
    """The same application under its own number with another text is no twin but a clash."""
    text = Path("all.yaml").read_text(encoding="utf-8")
    Path("other.yaml").write_text(text.replace("Harlan Quill", "Harlan Q"), encoding="utf-8")

    code, _, err = twins(["records", "import", "other.yaml", *NOW])

    assert code == 3
    assert "W41 record 1 of the file is not the record 1 kept here" in err
