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
