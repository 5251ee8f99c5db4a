"""A file of office times: what is taken, and every way a line can be wrong; offices are ours."""

from collections import Counter
from datetime import date

import pytest

from compliance.engine import office_file
from compliance.engine.office_file import Packets, parse_office_file
from compliance.engine.turnaround import Outcome

OFFICES = {
    "own.license.review": "own.office",
    "own.permit.look": "own.office",
    "new.card.issue": "new.office",
}
TODAY = date(2027, 1, 11)
HEAD = "step,office,sent,reached,decided,outcome\n"


def parse(text: str) -> tuple[Counter[Packets], list[str]]:
    found, problems = parse_office_file(text, "times.csv", OFFICES, TODAY)
    return found, [str(problem) for problem in problems]


def test_packets_that_are_the_same_are_counted() -> None:
    """Columns in any order, blank lines, quotes, letter case of the outcome and of the head."""
    found, problems = parse(
        "Outcome,Sent,Decided,Step\n"
        "granted,2026-10-01,2026-11-02,own.license.review\n"
        "\n"
        'GRANTED,2026-10-01,2026-11-02,"own.license.review"\n'
        "pending,2026-12-01,,own.license.review\n"
    )

    sent, decided = date(2026, 10, 1), date(2026, 11, 2)
    assert problems == []
    assert found == Counter(
        {
            Packets("own.license.review", sent, None, decided, Outcome.GRANTED): 2,
            Packets("own.license.review", date(2026, 12, 1), None, None, Outcome.PENDING): 1,
        }
    )


def test_office_with_one_kind_of_packet_is_enough() -> None:
    """The day it was reached goes along."""
    found, problems = parse(
        "office,sent,reached,decided,outcome\n"
        "new.office,2026-10-01,2026-10-05,2026-10-20,returned\n"
    )

    days = (date(2026, 10, 1), date(2026, 10, 5), date(2026, 10, 20))
    assert problems == []
    assert found == Counter({Packets("new.card.issue", *days, Outcome.RETURNED): 1})


LINE = "own.license.review,,"


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "own.license.reviw,,2026-10-01,,2026-11-02,granted",
            (
                "O13 no step at an office is called 'own.license.reviw'\n"
                "  hint: did you mean `own.license.review`?"
            ),
        ),
        (
            ",ownoffice,2026-10-01,,2026-11-02,granted",
            "O13 no office is called 'ownoffice'\n  hint: did you mean `own.office`?",
        ),
        (
            "own.license.review,new.office,2026-10-01,,2026-11-02,granted",
            (
                "O13 the step own.license.review is not at the office new.office\n"
                "  hint: it is at own.office; leave `office` empty or correct one of them"
            ),
        ),
        (
            ",own.office,2026-10-01,,2026-11-02,granted",
            (
                "O14 the office own.office has 2 kinds of packets\n"
                "  hint: name one in a column `step`: own.license.review, own.permit.look"
            ),
        ),
        (
            ",,2026-10-01,,2026-11-02,granted",
            "O03 the line names neither a step nor an office\n  hint: mailby offices --all",
        ),
        (
            f"{LINE}2026-10-01,,2026-09-30,granted",
            (
                "O11 `decided` is Wed 30 Sep 2026, before `sent` on Thu 1 Oct 2026\n"
                "  hint: swap the two days, or correct the year"
            ),
        ),
        (
            f"{LINE}2026-10-01,2026-11-03,2026-11-02,granted",
            (
                "O11 `decided` is Mon 2 Nov 2026, before `reached` on Tue 3 Nov 2026\n"
                "  hint: swap the two days, or correct the year"
            ),
        ),
        (
            f"{LINE}2027-01-12,,,pending",
            (
                "O12 `sent` is Tue 12 Jan 2027, which is in the future\n"
                "  hint: write what has happened; leave `decided` empty while it is pending"
            ),
        ),
        (
            f"{LINE}2026-1-1,,,pending",
            "O06 `sent` is '2026-1-1', which is no day\n  hint: write it as 2027-05-24",
        ),
        (f"{LINE},,,pending", "O06 `sent` is empty\n  hint: write it as 2027-05-24"),
        (
            f"{LINE}2026-10-01,,,granted",
            (
                "O10 it is granted without a day of decision\n"
                "  hint: add the day in `decided`, or write pending"
            ),
        ),
        (
            f"{LINE}2026-10-01,,2026-10-09,pending",
            (
                "O10 it is pending and has a day of decision\n"
                "  hint: write granted or returned, or leave `decided` empty"
            ),
        ),
        (
            f"{LINE}2026-10-01,,2026-10-09,returnd",
            (
                "O05 `outcome` is 'returnd'; allowed: granted, returned, pending\n"
                "  hint: did you mean `returned`?"
            ),
        ),
        (
            f"{LINE}=cmd(),,2026-10-09,granted",
            (
                "O15 `sent` is '=cmd()', which looks like a formula\n"
                "  hint: write plain text; a value that begins so may be run by a spreadsheet"
            ),
        ),
        (
            f"{LINE}-5,,2026-10-09,granted",
            (
                "O15 `sent` is '-5', a number with a sign\n"
                "  hint: no column of this file takes a number; a day: write it as 2027-05-24"
            ),
        ),
        (
            f"{LINE}2026-10-01,,2026-10-09",
            (
                "O16 5 values for 6 columns\n"
                "  hint: one value for each column; put a text with a comma in quotes"
            ),
        ),
        (
            f"{LINE}2006-10-01,,2026-10-09,granted",
            (
                "O07 sent on Sun 1 Oct 2006 and not decided within 3,660 days\n"
                "  hint: correct the year, or leave the line out"
            ),
        ),
        (
            f'"{LINE}2026-10-01',
            "O01 the line is no CSV: unexpected end of data\n  hint: save the file again as CSV",
        ),
    ],
)
def test_wrong_line(line: str, expected: str) -> None:
    """One problem, at its line, and nothing is taken."""
    good = f"{LINE}2026-10-01,,2026-11-02,granted\n"

    found, problems = parse(f"{HEAD}{good}{line}\n")

    assert found == Counter()
    assert problems == [f"times.csv:3:1: {expected}"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ["1:1: O03 the file has no packets"]),
        (HEAD, ["2:1: O03 the file has no packets"]),
        ("step,sent,outcome,speed\n", ["1:1: O02 the file has an unknown column 'speed'"]),
        ("step,sent,sent,outcome\n", ["1:1: O17 the column `sent` stands twice"]),
        (
            "decided\n",
            [
                "1:1: O03 the column `outcome` is missing",
                "1:1: O03 the column `sent` is missing",
                "1:1: O03 the columns `step` and `office` are both missing",
            ],
        ),
    ],
)
def test_wrong_head(text: str, expected: list[str]) -> None:
    """Without its columns nothing else is read."""
    found, problems = parse(text)

    assert found == Counter()
    assert [problem.partition("\n")[0] for problem in problems] == [
        f"times.csv:{line}" for line in expected
    ]


def test_every_wrong_line_is_reported() -> None:
    """Each with its own line, also behind a value that runs over two."""
    lines = [f"{LINE}2026-13-01,,,pending", '"own\nlicense",,2026-10-01,,,pending', ",,,,,"]

    problems = parse(HEAD + "\n".join([*lines, f"{LINE}2027-02-01,,,pending"]))[1]

    assert [problem.split(" ")[:2] for problem in problems] == [
        ["times.csv:2:1:", "O06"],
        ["times.csv:3:1:", "O13"],
        ["times.csv:6:1:", "O12"],
    ]


def test_too_many_packets(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bound is a million; a small one shows what is said."""
    monkeypatch.setattr(office_file, "MAX_ROWS", 2)

    found, problems = parse(HEAD + f"{LINE}2026-10-01,,2026-11-02,granted\n" * 3)

    assert found == Counter()
    assert problems == ["times.csv:4:1: O18 the file has over 2 packets\n  hint: split the file"]


def test_reading_stops_after_a_thousand_problems() -> None:
    """And says so."""
    problems = parse(HEAD + f"{LINE}x,,,pending\n" * 1_200)[1]

    assert len(problems) == 1_001
    assert problems[-1] == "times.csv:1001:1: O19 1,000 problems so far; the rest was not read"


def test_semicolons_are_named_once() -> None:
    """A spreadsheet set to another country writes semicolons; one problem says what to do."""
    found, problems = parse("step;sent;decided;outcome\nown.license.review;2026-10-01;;pending\n")

    assert found == Counter()
    (problem,) = problems
    assert problem.endswith(
        "O01 the values are parted by semicolons, not by commas\n"
        "  hint: save the file again as CSV with commas"
    )
