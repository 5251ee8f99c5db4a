"""``mailby go``, as a user types it."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.app.demo import FACTS, LOG

Run = Callable[[list[str]], tuple[int, str, str]]
GOLDEN = Path(__file__).parents[1] / "golden"


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"])[0] == 0
    return loaded


def test_day_without_a_job_is_done(logged: Run) -> None:
    text = (GOLDEN / "go_january.txt").read_text(encoding="utf-8")

    assert logged(["go", "--on", "2027-01-11"]) == (0, text, "")


def test_no_go_exits_with_10_and_says_everything(logged: Run) -> None:
    text = (GOLDEN / "go_january_job.txt").read_text(encoding="utf-8")

    assert logged(["go", "--on", "2027-01-11", "--job", "pasture-ne"]) == (10, text, "")


def test_no_go_as_json(logged: Run) -> None:
    code, out, err = logged(["go", "--on", "2027-05-24", "--format", "json"])

    assert (code, err) == (10, "")
    document = json.loads(out)
    assert [one["answer"] for one in document["jobs"]] == ["NO-GO"]
    assert "not legal advice" in document["cautions"][-1]


MORE = """\
papers:
  - {paper: faa.exemption, holder: operation, issued_on: 2027-02-01, valid_through: 2029-01-31}
  - {paper: faa.ag-operator, holder: operation, issued_on: 2027-04-01}
"""


def test_go_through_a_day_exits_with_0(
    logged: Run, demo_file: Path, demo_files: dict[str, str]
) -> None:
    """Wren may fly her own quarter through 31 July 2027, the end of her 24 calendar months."""
    demo_file.write_text(demo_files[FACTS].replace("papers:\n", MORE, 1), encoding="utf-8")
    assert logged(["load", str(demo_file)])[0] == 0

    before = logged(["go", "--on", "2027-07-30"])
    last = logged(["go", "--on", "2027-07-31"])
    after = logged(["go", "--on", "2027-08-01"])

    assert [one[0] for one in (before, last, after)] == [0, 0, 10]
    for one in (before, last):
        assert "\nGO through Sat 31 Jul 2027 only:  own-quarter, NE," in one[1]
    assert "\nNO-GO:  own-quarter, NE," in after[1]
    assert "Wren Castellow: ran out on Sat 31 Jul\n    2027\n" in after[1]


def test_unknown_job_is_refused(logged: Run) -> None:
    code, out, err = logged(["go", "--job", "pasture-n"])

    assert (code, out) == (4, "")
    assert "pasture-n" in err
    assert "pasture-ne" in err


def test_unknown_pilot_is_refused(logged: Run) -> None:
    assert logged(["go", "--on", "2027-05-24", "--pilot", "wrenn"]) == (
        3,
        "",
        "no job asked about has the pilot 'wrenn'\n  hint: did you mean `wren`?\n",
    )
