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
            "knows; without it what was logged stays in the log and in `mailby history`, but no "
            "plan counts it, and an exported log with it is read in only where a pack has such a "
            "paper\n"
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
    later = mailed(["history", "bc.permit", "--on", "2027-01-13"])[1]
    assert later.startswith(
        "bc.permit (bc.permit)\n\n  Tue 12 Jan 2027  sent off\n"
        "                   without a ready check: tried\n\nIt never came back.\n"
    )
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
    newer = ["rules", "add", "newer.yaml", "--as", "township", "--on", "2027-01-14"]
    changed = mailed([*newer, "--keep-entries"])[1]

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


def test_changed_pack_without_a_paper_that_is_logged_is_refused_before(
    mailed: Run, isolated: Path
) -> None:
    """As a drop of the pack is; before, it was only a warning."""
    renamed = TOWNSHIP.replace("bc.permit", "bc.paper")
    (isolated / "newer.yaml").write_text(renamed, encoding="utf-8")
    packs = mailed(["rules", "packs"])

    assert mailed(["rules", "add", "newer.yaml", "--as", "township", *DAY]) == (
        3,
        "",
        (
            "the log of sandbur-flats has 1 entry of bc.permit, which the pack `township` has and "
            "this file has not; with this file in its place what was logged stays in the log and "
            "in `mailby history`, but no plan counts it, and an exported log with it is read in "
            "only where a pack has such a paper\n"
            "  hint: mailby rules add newer.yaml --as township --keep-entries takes it all the "
            "same; with such a paper added again what was logged counts again\n"
        ),
    )
    assert mailed(["rules", "packs"]) == packs


def test_changed_steps_under_which_a_log_would_not_read_in_again_are_refused(
    mailed: Run, isolated: Path
) -> None:
    """Also of a pack that was dropped meanwhile, and with the flag: an export always reads back."""
    other = TOWNSHIP.replace("pattern: mailed", "pattern: mailed-notarized")
    (isolated / "other.yaml").write_text(other, encoding="utf-8")
    line = ["rules", "add", "other.yaml", "--as", "township", *DAY]
    packs = mailed(["rules", "packs"])
    told = (
        "entry 1 in the log of sandbur-flats, mailed bc.permit on Tue 12 Jan 2027, does not fit "
        "the rules with this file: bc.permit cannot be mailed before it is notarized; an exported "
        "log with it would not be read in again\n"
        "  hint: write what changed as a later edition of the paper beside the old one, with "
        "`applies_from` after the days that are logged; or take what was logged wrong back, "
        "mailby log withdraw 1, add the file, and log it anew\n"
    )

    assert mailed(line) == (3, "", told)
    assert mailed([*line, "--keep-entries"]) == (3, "", told)
    assert mailed(["rules", "packs"]) == packs
    assert mailed(["rules", "drop", "township", "--keep-entries"])[0] == 0
    assert mailed(line) == (3, "", told)
    assert mailed(["rules", "add", "township.yaml", *DAY])[0] == 0


def read_back(run: Run, rules: str) -> tuple[int, str, str]:
    """Read the exported log into another database with a pack, and give the answer."""
    Path("log.yaml").write_text(run(["export", "--log"])[1], encoding="utf-8")
    there = ["--db", "other.db"]
    assert run(["load", "sandbur_flats.yaml", *there])[0] == 0
    assert run(["rules", "add", rules, "--as", "township", *DAY, *there])[0] == 0
    return run(["log", "import", "log.yaml", "--today", "2027-03-01", *there])


def test_change_written_as_a_later_edition_is_taken_and_the_log_reads_back(
    mailed: Run, isolated: Path
) -> None:
    """The first remedy that the refusal names."""
    head, paper = TOWNSHIP.split("papers:\n")
    cite = "    cite: ordinance\n    edition"
    old = paper.replace(cite, f"    applies_until: 2027-02-28\n{cite}", 1)
    new = paper.replace(cite, f"    applies_from: 2027-03-01\n{cite}", 1)
    new = new.replace("pattern: mailed", "pattern: mailed-notarized")
    (isolated / "editions.yaml").write_text(f"{head}papers:\n{old}{new}", encoding="utf-8")

    assert mailed(["rules", "add", "editions.yaml", "--as", "township", *DAY])[0] == 0
    assert read_back(mailed, "editions.yaml") == (0, "1 entry added to the log\n", "")


def test_withdrawn_entry_bars_no_change_and_the_log_reads_back(mailed: Run, isolated: Path) -> None:
    """The second remedy; what was logged wrong is not judged any more, it counts nowhere."""
    other = TOWNSHIP.replace("pattern: mailed", "pattern: mailed-notarized")
    (isolated / "other.yaml").write_text(other, encoding="utf-8")
    today = ["--today", "2027-01-13"]

    assert mailed(["log", "withdraw", "1", *today])[0] == 0
    assert mailed(["rules", "add", "other.yaml", "--as", "township", *DAY])[0] == 0
    assert mailed(["log", "notarized", "bc.permit", "--on", "2027-01-11", *today])[0] == 0
    sent = ["log", "mailed", "bc.permit", "--on", "2027-01-12", "--anyway", "tried", *today]
    assert mailed(sent)[0] == 0
    assert read_back(mailed, "other.yaml") == (0, "4 entries added to the log\n", "")


def test_drop_of_a_pack_whose_paper_has_other_steps_in_the_table_is_refused(
    loaded: Run, isolated: Path
) -> None:
    """The pack's paper goes by a notary, the table's whose place it took does not."""
    own = TOWNSHIP.replace(
        "  - id: bc.permit\n",
        "  - id: faa.exemption\n    replaces: faa.exemption\n    because: tried\n",
    ).replace("pattern: mailed", "pattern: mailed-notarized")
    (isolated / "own.yaml").write_text(own, encoding="utf-8")
    assert loaded(["rules", "add", "own.yaml", "--without-duties", *DAY])[0] == 0
    line = ["log", "notarized", "faa.exemption", "--on", "2027-01-11", "--today", "2027-01-12"]
    assert loaded(line)[0] == 0

    assert loaded(["rules", "drop", "own"]) == (
        3,
        "",
        (
            "entry 1 in the log of sandbur-flats, notarized faa.exemption on Mon 11 Jan 2027, does "
            "not fit the rules without the pack `own`: faa.exemption has no step that is "
            "`notarized`; an exported log with it would not be read in again\n"
            "  hint: mailby rules drop own --keep-entries drops it all the same; with its file "
            "added again what was logged counts again\n"
        ),
    )
    assert loaded(["rules", "drop", "own", "--keep-entries"])[0] == 0
