"""Duties that are open several times: each line names whose it is and a tick that is taken.

14 CFR 107.77: a pilot whose permanent mailing address changes tells of it within 30 days.
"""

import re
import shlex
from collections.abc import Callable

import pytest

Run = Callable[[list[str]], tuple[int, str, str]]
DUTY = "faa.remote-pilot.address-change"
ON = ["--on", "2027-06-17"]
TOLD = re.compile(r"for (the move [^;]*?) Later than.*?(mailby log did \S+)")


def tell_of_moves(run: Run, *days: tuple[str, str]) -> None:
    for who, day in days:
        whose = ["--pilot", who] if who else []
        assert run(["log", "moved", *whose, "--on", day, "--today", "2027-06-16"])[0] == 0


def list_moves(run: Run) -> list[tuple[str, str]]:
    """Give what each line of the duty is for and the command that ticks it off."""
    text = " ".join(run(["duties", *ON, "--days", "60"])[1].split())
    return TOLD.findall(text)


@pytest.mark.parametrize(
    ("days", "lines"),
    [
        (
            (("wren", "2027-06-15"), ("odile", "2027-06-15")),
            [
                ("the move of Tue 15 Jun 2027, Odile Ferrant", f"{DUTY}:odile/event-2"),
                ("the move of Tue 15 Jun 2027, Wren Castellow", f"{DUTY}:wren/event-1"),
            ],
        ),
        (
            (("wren", "2027-06-10"), ("odile", "2027-06-15")),
            [
                ("the move of Thu 10 Jun 2027, Wren Castellow", f"{DUTY}:wren/event-1"),
                ("the move of Tue 15 Jun 2027, Odile Ferrant", f"{DUTY}:odile/event-2"),
            ],
        ),
        (
            (("", "2027-06-15"), ("wren", "2027-06-15")),
            [
                ("the move of Tue 15 Jun 2027, Odile Ferrant", f"{DUTY}:odile/event-1"),
                ("the move of Tue 15 Jun 2027, Wren Castellow", f"{DUTY}:wren/event-1"),
                ("the move of Tue 15 Jun 2027, Wren Castellow", f"{DUTY}:wren/event-2"),
            ],
        ),
    ],
)
def test_each_move_is_a_line_with_a_name_and_a_tick(
    days: tuple[tuple[str, str], ...], lines: list[tuple[str, str]], loaded: Run
) -> None:
    tell_of_moves(loaded, *days)

    found = list_moves(loaded)

    assert found == [(about, f"mailby log did {name}") for about, name in lines]
    for left in range(len(found), 0, -1):
        assert len(list_moves(loaded)) == left
        code, out, err = loaded([*shlex.split(found[left - 1][1])[1:], *ON, "--today", ON[1]])
        assert (code, err) == (0, "")
        assert f"for {found[left - 1][0]}" in " ".join(out.split())
    assert list_moves(loaded) == []


def test_move_of_everybody_names_each_when_it_is_told(loaded: Run) -> None:
    out = loaded(["log", "moved", "--on", "2027-06-15", "--today", "2027-06-16"])[1]
    text = " ".join(out.split())

    for name in ("Odile Ferrant", "Wren Castellow"):
        assert (
            "Airmen Certification told of a new permanent mailing address, for the move of Tue 15 "
            f"Jun 2027, {name}" in text
        )


def test_accidents_of_one_moment_are_ticked_off_one_by_one(loaded: Run) -> None:
    """49 CFR 830.5 asks for each accident by itself, also when two come to the same last day."""
    for pilot, machine in (("odile", "tg46"), ("wren", "tg18")):
        told = ["--pilot", pilot, "--aircraft", machine, "--at", "2027-05-25 09:00"]
        assert loaded(["log", "accident", "pasture-ne", *told, "--today", "2027-05-26"])[0] == 0

    text = " ".join(loaded(["duties", "--on", "2027-05-26", "--days", "60"])[1].split())
    ticks = [one for one in re.findall(r"mailby log did (\S+)", text) if "/event-" in one]

    assert len(ticks) == len(set(ticks)) > 2
    assert {one.rpartition("/")[2] for one in ticks} == {"event-1", "event-2"}
    for name in ticks:
        done = ["log", "did", name, "--on", "2027-05-26", "--today", "2027-05-26"]
        assert loaded(done)[0] == 0, name


def test_duty_of_several_that_is_not_named_whole_is_refused_with_the_people(loaded: Run) -> None:
    """Each tick stands beside whose it is and the day of the move; each of them is taken."""
    tell_of_moves(loaded, ("", "2027-06-15"), ("wren", "2027-06-12"))
    done = ["--on", "2027-06-17", "--today", "2027-06-17"]
    ticks = (
        f"{DUTY}:wren/event-2 (Wren Castellow, Sat 12 Jun 2027)",
        f"{DUTY}:odile/event-1 (Odile Ferrant, Tue 15 Jun 2027)",
        f"{DUTY}:wren/event-1 (Wren Castellow, Tue 15 Jun 2027)",
    )

    assert loaded(["log", "did", DUTY, *done]) == (
        3,
        "",
        (
            f"{DUTY} is open 3 times\n  hint: name one of {', '.join(ticks)}; --and-before ticks "
            "the earlier ones too\n"
        ),
    )
    assert loaded(["log", "did", f"{DUTY}:wren", *done]) == (
        3,
        "",
        (
            f"{DUTY}:wren is open 2 times\n  hint: name one of {ticks[0]}, {ticks[2]}; "
            "--and-before ticks the earlier ones too\n"
        ),
    )
    for tick in ticks:
        assert loaded(["log", "did", tick.partition(" ")[0], *done])[0] == 0
    assert list_moves(loaded) == []
