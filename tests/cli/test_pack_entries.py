"""Packs whose papers have log entries, and packs added again; the township is invented."""

from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.outputs.words import wrap
from tests.kit_packs import TOWNSHIP

Run = Callable[[list[str]], tuple[int, str, str]]
DAY = ["--on", "2027-01-11"]
STAYS = "what is in the log stays there, and counts again with a pack that has such a paper"


@pytest.fixture
def township(loaded: Run, isolated: Path) -> Run:
    """The demo with a township's pack."""
    (isolated / "township.yaml").write_text(TOWNSHIP, encoding="utf-8")
    assert loaded(["rules", "add", "township.yaml", *DAY])[0] == 0
    return loaded


@pytest.fixture
def mailed(township: Run) -> Run:
    """The same with the township's permit mailed."""
    sent = ["log", "mailed", "bc.permit", "--today", "2027-01-12", "--anyway", "tried"]
    assert township(sent)[0] == 0
    return township


def test_drop_of_a_pack_without_entries_says_that_its_rules_are_gone(township: Run) -> None:
    """It replaced nothing, so nothing is said of the table's own."""
    assert township(["rules", "drop", "township"]) == (
        0,
        "the pack `township` is gone; its rules do not count any more\n",
        "",
    )


def test_drop_of_a_pack_with_log_entries_is_refused_before(mailed: Run) -> None:
    packs = mailed(["rules", "packs"])

    assert mailed(["rules", "drop", "township"]) == (
        3,
        "",
        (
            "the log of sandbur-flats has 1 entry of bc.permit, which only the pack `township` "
            "knows; without it what was logged stays in the log, but no plan and no history has "
            "it, and an exported log with it is read in only where the pack is\n"
            "  hint: mailby rules drop township --keep-entries drops it all the same; with its "
            "file added again what was logged counts again\n"
        ),
    )
    assert mailed(["rules", "packs"]) == packs


def test_pack_dropped_all_the_same_leaves_the_log_as_it_is(mailed: Run) -> None:
    """Added again, its paper is where it was."""
    story = mailed(["history", "bc.permit", *DAY])
    log = mailed(["export", "--log"])
    text = f"! the log of sandbur-flats has 1 entry of bc.permit; {STAYS}"

    assert mailed(["rules", "drop", "township", "--keep-entries"]) == (
        0,
        (f"the pack `township` is gone; its rules do not count any more\n{wrap(text, hang=2)}\n"),
        "",
    )
    assert mailed(["export", "--log"]) == log
    assert mailed(["history", "bc.permit", *DAY])[0] == 4
    assert mailed(["rules", "add", "township.yaml", *DAY])[0] == 0
    assert mailed(["history", "bc.permit", *DAY]) == story


def test_exported_log_of_a_paper_of_a_pack_names_paper_and_remedy(mailed: Run) -> None:
    """In a database without the pack; with it the log is read."""
    Path("log.yaml").write_text(mailed(["export", "--log"])[1], encoding="utf-8")
    other = ["--db", "other.db"]
    read = ["log", "import", "log.yaml", "--today", "2027-01-12", *other]
    assert mailed(["load", "sandbur_flats.yaml", *other])[0] == 0

    assert mailed(read) == (
        3,
        "",
        (
            "log.yaml:2:5: L41 no paper is called 'bc.permit'\n"
            "  hint: did you mean `mt.farm-permit`? If it is of a pack of your own, add that "
            "first: mailby rules add FILE; or leave this entry out\n"
            "1 problem; nothing was changed\n"
        ),
    )
    assert mailed(["rules", "add", "township.yaml", *DAY, *other])[0] == 0
    assert mailed(read) == (0, "1 entry added to the log\n", "")


def test_pack_added_again_says_whether_it_has_changed(mailed: Run, isolated: Path) -> None:
    day = ["--on", "2027-01-13"]
    same = mailed(["rules", "add", "township.yaml", *day])[1]
    renamed = TOWNSHIP.replace("bc.permit", "bc.paper")
    (isolated / "newer.yaml").write_text(renamed, encoding="utf-8")
    changed = mailed(["rules", "add", "newer.yaml", "--as", "township", "--on", "2027-01-14"])[1]

    old = same.partition("content")[2].split()[0]
    assert same.startswith(
        "pack township: 12 rules from township.yaml, added Wed 13 Jan 2027, content\n"
        f"{old}\n  its content is the same as that added on Mon 11 Jan 2027\n\n"
    )
    took = f"it takes the place of that added on Wed 13 Jan 2027 (township.yaml, content {old})"
    lost = "! the log of sandbur-flats has 1 entry of bc.permit, which this file does not have; "
    assert (
        f"\n{wrap(took, indent=2, hang=4)}\n{wrap(lost + STAYS, indent=2, hang=4)}\n\n" in changed
    )


def test_empty_name_of_a_pack_is_refused(township: Run) -> None:
    code, out, err = township(["rules", "add", "township.yaml", "--as", "", *DAY])

    assert (code, out) == (3, "")
    assert err.startswith("'' is no name for a pack; names are ")
    assert err.endswith("\n  hint: give it another with --as NAME\n")
