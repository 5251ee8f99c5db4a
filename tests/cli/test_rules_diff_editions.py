"""A duty of one of several editions of a pack that goes: it is said for which days; invented."""

import json
from collections.abc import Callable
from pathlib import Path

from tests.kit_packs import TOWNSHIP

Run = Callable[[list[str]], tuple[int, str, str]]
HEAD, _, PERMIT = TOWNSHIP.partition("  - id: bc.permit\n")
PAPER = f"  - id: bc.permit\n{PERMIT}".replace("    documents:", "    @days\n    documents:")
KEEP = """\
    duties:
      - {id: bc.permit.keep, title: Keep the slip, event: flight, trigger: the day,
         direction: after, kind: keep-record, count: @months, unit: months, cite: ordinance,
         confidence: read}
"""
FIRST = "applies_until: 2027-06-30"
SECOND = "applies_from: 2027-07-01\n    applies_until: 2027-12-31"
THIRD = "applies_from: 2028-01-01"


def write(name: str, *editions: tuple[str, int]) -> str:
    parts = (
        PAPER.replace("@days", days) + (KEEP.replace("@months", str(months)) if months else "")
        for days, months in editions
    )
    Path(name).write_text(HEAD + "".join(parts), encoding="utf-8")
    return name


def test_duty_of_one_edition_that_goes_is_said_with_its_days(run: Run, isolated: Path) -> None:
    old = write("old.yaml", (FIRST, 36), (SECOND, 12), (THIRD, 0))
    new = write("new.yaml", (FIRST, 0), (SECOND, 6), (THIRD, 0))

    code, out, err = run(["rules", "diff", old, new])

    assert (code, err) == (0, "")
    assert isolated == Path.cwd()
    assert out.partition("\n\n")[0] == (
        "RULES GONE\n"
        "  bc.permit.keep through Wed 30 Jun 2027  Keep the slip\n"
        "RULES CHANGED\n"
        "  bc.permit.keep from Thu 1 Jul 2027 through Fri 31 Dec 2027  Keep the slip\n"
        "      count: 12 -> 6"
    )
    rows = json.loads(run(["rules", "diff", old, new, "--format", "json"])[1])["rows"]
    assert [(one["how"], one["applies_from"], one["applies_until"]) for one in rows] == [
        ("gone", None, "2027-06-30"),
        ("changed", "2027-07-01", "2027-12-31"),
    ]


HEARING = """\
    without_steps: [check]
    steps:
      - {name: hearing, title: Speak before the board, kind: act, done_at: farm, after: [sign],
         cite: ordinance, confidence: read}
"""
CHECK = "Check every blank against the checklist before the envelope is sealed"
BOARD = "Speak before the board"


def write_hearing() -> str:
    """Write the permit with a hearing in place of the last look, from 1 July 2027 on."""
    until = PAPER.replace("@days", "applies_until: 2027-06-30")
    since = PAPER.replace("    @days\n", f"    applies_from: 2027-07-01\n{HEARING}")
    Path("new.yaml").write_text(f"{HEAD}{until}{since}", encoding="utf-8")
    return "new.yaml"


def test_steps_that_go_and_come_with_an_edition_are_named(run: Run, isolated: Path) -> None:
    old = isolated / "old.yaml"
    old.write_text(TOWNSHIP, encoding="utf-8")

    code, out, err = run(["rules", "diff", str(old), write_hearing()])

    assert (code, err) == (0, "")
    added = " ".join(out.partition("RULES ADDED")[2].split())
    assert added.startswith(
        "bc.permit from Thu 1 Jul 2027 Township spraying permit a new edition; against the one "
        f"before it: steps no longer asked for: {CHECK} -> nothing steps asked for from then on: "
        f"nothing -> {BOARD} bc.permit.prepare from"
    )
    rows = json.loads(run(["rules", "diff", str(old), "new.yaml", "--format", "json"])[1])["rows"]
    permit = next(one for one in rows if one["id"] == "bc.permit" and one["how"] == "added")
    assert permit["fields"] == [
        {"name": "steps_no_longer_asked_for", "old": CHECK, "new": "nothing"},
        {"name": "steps_asked_for_from_then_on", "old": "nothing", "new": BOARD},
    ]


def test_steps_that_go_and_come_are_told_when_a_pack_is_added(run: Run, isolated: Path) -> None:
    """The same words stand in the list of packs ever after; an edition alike has none."""
    told = (
        f"! from Thu 1 Jul 2027 on the edition of bc.permit no longer asks for: step check, {CHECK}"
        f" ! from Thu 1 Jul 2027 on the edition of bc.permit also asks for: step hearing, {BOARD} "
    )

    code, out, err = run(["rules", "add", write_hearing(), "--on", "2027-01-11"])

    assert (code, err) == (0, "")
    assert isolated == Path.cwd()
    assert told in " ".join(out.split())
    assert told in " ".join(run(["rules", "packs"])[1].split())
    alike = write("alike.yaml", (FIRST, 0), (SECOND, 0), (THIRD, 0))
    assert run(["rules", "drop", "new"])[0] == 0
    assert "asks for" not in run(["rules", "add", alike, "--on", "2027-01-11"])[1]
