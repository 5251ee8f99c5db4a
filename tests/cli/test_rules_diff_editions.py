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
