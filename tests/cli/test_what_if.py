"""what-if as a user types it: side by side, nothing kept unless asked for."""

from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.app.demo import LOG

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"])[0] == 0
    return loaded


def row(out: str, label: str, within: str) -> list[str]:
    """The two columns of a line below the line that begins a job or a packet."""
    lines = out[out.index(f"  {within}") :].splitlines()
    line = next(one for one in lines if one.strip().startswith(label))
    return [line[38:60].strip(), line[60:].strip()]


def test_faster_mail_and_slow_office_side_by_side(logged: Run) -> None:
    before = logged(["export"]), logged(["plan", *ON])
    code, out, err = logged(
        ["what-if", *ON, "--mail", "all=express", "--office", "faa.registry=slow"]
    )

    assert (code, err) == (0, "")
    assert "  - every packet goes by express\n" in out
    assert "Nothing of it is kept.\n" in out
    assert row(out, "mail by, last", "ne.aerial-business") == [
        "Wed 21 Apr 2027",
        "Sat 24 Apr 2027",
    ]
    assert row(out, "mail by, last", "faa.registration-n:tg46") == [
        "Tue 30 Mar 2027",
        "Wed 3 Mar 2027",
    ]
    assert max(map(len, out.splitlines())) <= 80
    assert out.endswith("ask a licensed professional when in doubt.\n")
    assert (logged(["export"]), logged(["plan", *ON])) == before


def test_quicker_mail_never_lowers_a_chance(logged: Run) -> None:
    """The same draws are used for both plans."""
    out = logged(["what-if", *ON, "--mail", "all=express"])[1]

    for job in ("pasture-ne", "pasture-sd", "own-quarter", "cover-crop"):
        old, new = row(out, "chance on its first day", job)
        assert int(old.removesuffix(" %")) <= int(new.removesuffix(" %"))


def test_change_is_kept_when_asked(logged: Run) -> None:
    code, out, err = logged(
        ["what-if", *ON, "--swap-pilot", "own-quarter=odile", "--drop-pilot", "wren", "--keep"]
    )
    exported = logged(["export"])[1]

    assert (code, err) == (0, "")
    assert "Kept: this is the plan from now on.\n" in out
    assert "    no longer needed\n" in out
    assert exported.count("pilots: [odile]") == 4
    assert "Wren Castellow" in exported


def test_what_cannot_be_kept_is_refused_whole(logged: Run) -> None:
    before = logged(["export"])
    found = logged(
        ["what-if", *ON, "--first-spray", "2027-06-01", "--trip", "2027-03-09", "--keep"]
    )

    assert found == (
        3,
        "",
        (
            "this cannot be kept: an extra day in town: change the closure in your facts and load "
            "them\n"
            "  hint: leave out --keep, or the part that cannot be kept; nothing was changed\n"
        ),
    )
    assert logged(["export"]) == before


def test_return_of_a_packet_at_an_office(logged: Run) -> None:
    code, out, err = logged(["what-if", *ON, "--returned", "faa.exemption"])

    assert (code, err) == (0, "")
    assert row(out, "sent off", "faa.exemption") == ["Mon 14 Sep 2026", "-"]
    assert row(out, "first lawful day", "pasture-ne") == ["Mon 24 May 2027", "Mon 23 Aug 2027"]


def test_trip_on_a_closed_day_comes_sooner(logged: Run) -> None:
    """The notary is away from 9 to 11 February; a trip on the 9th comes sooner."""
    out = logged(["what-if", "--on", "2027-02-08", "--trip", "2027-02-09"])[1]
    old, new = row(out, "ready at the earliest", "faa.registration-n:tg46")

    assert old != new


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            [],
            (
                "nothing to try was given\n"
                "  hint: such as --first-spray 2027-06-01, --mail all=express, "
                "--office faa.registry=slow\n"
            ),
        ),
        (
            ["--mail", "express"],
            (
                "--mail takes two names with an equals sign between them, not 'express'\n"
                "  hint: mailby what-if --help shows the names\n"
            ),
        ),
        (
            ["--drop-aircraft", "tg18"],
            (
                "own-quarter would have no aircraft left without tg18\n"
                "  hint: give it another one first: --swap-aircraft own-quarter=ID\n"
            ),
        ),
        (
            ["--chance", "2", "--trip", "2027-03-09"],
            (
                "a chance to plan for is a number from 0.5 to 0.99, not '2'\n"
                "  hint: 0.9 stands for nine seasons in ten; nothing is certain enough for more "
                "than 0.99\n"
            ),
        ),
    ],
)
def test_what_makes_no_sense_is_refused(logged: Run, arguments: list[str], message: str) -> None:
    assert logged(["what-if", *ON, *arguments]) == (3, "", message)


def test_no_such_day_is_a_usage_error(logged: Run) -> None:
    code, out, err = logged(["what-if", *ON, "--trip", "2027-02-30"])

    assert (code, out) == (2, "")
    assert "'2027-02-30' is no day from 2000 to 2079" in " ".join(err.split())
