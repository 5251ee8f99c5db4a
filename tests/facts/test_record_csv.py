"""Tables of records: formulas are guarded, what is written reads back, every bad line is named."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.facts.record_csv import COLUMNS, guard_cell, read_table, unguard_cell, write_table

# Beginnings that OWASP's page on CSV injection names, and common payloads (from memory).
INJECTIONS = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(1+1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://x.example","click")',
    "＝1+1",  # noqa: RUF001 - the full-width sign is the case
    "'=1+1",
    "-2+3+cmd|' /C calc'!A0",
]


@pytest.mark.parametrize("text", INJECTIONS)
def test_formula_is_guarded_and_comes_back(text: str) -> None:
    data = write_table([[text, "plain"]]).decode("utf-8-sig")
    [[cell, plain]] = list(csv.reader(io.StringIO(data, newline="")))

    assert cell == f"'{text}"
    assert plain == "plain"
    assert unguard_cell(cell) == text


@given(st.text())
def test_guard_can_be_taken_away_again(text: str) -> None:
    guarded = guard_cell(text)

    assert unguard_cell(guarded) == text
    assert not guarded.startswith(("=", "+", "-", "@", "\t", "\r"))


def test_lines_end_as_the_standard_says() -> None:
    """Source: RFC 4180, section 2: CRLF, quotes doubled, commas inside quotes."""
    data = write_table([["a,b", 'say "so"'], ["c", ""]])

    assert data == b'\xef\xbb\xbf"a,b","say ""so"""\r\nc,\r\n'


def test_lines_of_one_record_are_its_products() -> None:
    text = "record,day,place,product\nx,2027-06-15,Here,A\nx,2027-06-15,Here,B\n,2027-06-16,,C\n"

    records, problems = read_table(text, "t.csv")

    assert problems == ()
    assert [[one["product"].text for one in record.products] for record in records] == [
        ["A", "B"],
        ["C"],
    ]
    assert records[0].what == "the record on line 2"
    assert records[1].cells["day"].place.line == 4


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ["t.csv:1:1: W36 the table is empty\n  hint: begin with its columns"]),
        (
            "dya,product\n",
            [
                (
                    "t.csv:1:1: W36 column 1 is called 'dya', which is not known\n"
                    "  hint: did you mean `day`?"
                ),
                (
                    "t.csv:1:1: W36 there is no column `day`\n  hint: the first line names the "
                    "columns, such as job, state, aircraft, pilot, day, start, end"
                ),
            ],
        ),
        (
            "day,day\n",
            ["t.csv:1:2: W36 the column `day` stands twice\n  hint: keep one of them"],
        ),
        (
            "day,place\n2027-06-15\n2027-06-15,a,b\n",
            [
                (
                    "t.csv:2:1: W36 the line has 1 cells, but the table 2 columns\n"
                    "  hint: a cell with a comma in it stands in quotes"
                ),
                (
                    "t.csv:3:1: W36 the line has 3 cells, but the table 2 columns\n"
                    "  hint: a cell with a comma in it stands in quotes"
                ),
            ],
        ),
        (
            'day,place\n2027-06-15,"a"b\n',
            [
                (
                    "t.csv:2:1: W36 the line cannot be read: ',' expected after '\"'\n"
                    '  hint: a quote inside a cell is written twice: ""'
                )
            ],
        ),
        (
            'day,place\n2027-06-15,"a\nb"\n',
            [
                (
                    "t.csv:2:2: W22 `place` holds a character that cannot be kept (U+000A)\n"
                    "  hint: type the cell anew, on one line"
                )
            ],
        ),
        (
            "record,day,product\n1,2027-06-15,A\n1,2027-06-16,B\n",
            [
                (
                    "t.csv:3:2: W38 `day` is '2027-06-16', but '2027-06-15' on line 2, which "
                    "is of the "
                    "same record\n  hint: make both the same, or give this line another `record`"
                )
            ],
        ),
    ],
)
def test_bad_table_is_said(text: str, expected: list[str]) -> None:
    records, problems = read_table(text, "t.csv")

    assert records == ()
    assert [str(problem) for problem in problems] == expected


def test_columns_are_all_known_to_the_reader() -> None:
    assert read_table(",".join(COLUMNS) + "\r\n", "t.csv") == ((), ())


def test_read_table_refuses_a_character_that_hides_in_a_cell() -> None:
    """What is kept must be readable again from a file of records, which refuses it too."""
    records, problems = read_table("day,customer\n2027-06-15,Harlan\u200b Quill\n", "t.csv")

    assert records == ()
    assert [str(one) for one in problems] == [
        (
            "t.csv:2:2: W22 `customer` holds a character that cannot be kept (U+200B)\n"
            "  hint: type the cell anew, on one line"
        )
    ]
