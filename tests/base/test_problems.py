"""Problems as lines, their order, and the exit code of each error."""

import pytest

from compliance.base.problems import (
    DataProblemsError,
    ExitCode,
    MailbyError,
    NotFoundError,
    OutputError,
    Problem,
    RefusedError,
    SourceRef,
    StoreError,
)


def problem(line: int, code: str, hint: str = "") -> Problem:
    place = SourceRef(file="farm.yaml", line=line, column=3)
    return Problem(place=place, code=code, sentence="this is wrong", hint=hint)


def test_problem_as_lines() -> None:
    assert str(problem(7, "F03")) == "farm.yaml:7:3: F03 this is wrong"
    assert str(problem(7, "F03", "mend it")) == (
        "farm.yaml:7:3: F03 this is wrong\n  hint: mend it"
    )


def test_problem_sorts_by_line_as_a_number_then_code() -> None:
    late, early, other = problem(10, "F01"), problem(9, "F02"), problem(9, "F01")

    assert sorted([late, early, other]) == [other, early, late]


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (1, "1 problem; nothing was changed"),
        (2, "2 problems; nothing was changed"),
    ],
)
def test_data_problems_error_counts_and_sorts(count: int, words: str) -> None:
    problems = tuple(problem(9 - line, "F01") for line in range(count))
    error = DataProblemsError(problems)

    assert error.message == str(error) == words
    assert error.problems == problems[::-1]


def test_error_keeps_its_hint() -> None:
    error = NotFoundError("there is no job `x`", hint="known: y")

    assert (str(error), error.hint) == ("there is no job `x`", "known: y")


def test_exit_codes_are_stable() -> None:
    """Scripts rely on these numbers; they are promised in the documents."""
    kinds = (
        MailbyError,
        DataProblemsError,
        RefusedError,
        NotFoundError,
        StoreError,
        OutputError,
    )

    assert [int(kind.exit_code) for kind in kinds] == [1, 3, 3, 4, 5, 6]
    assert {code.name: int(code) for code in ExitCode} == {
        "DONE": 0,
        "CRASH": 1,
        "USAGE": 2,
        "DATA": 3,
        "NOT_FOUND": 4,
        "STORE": 5,
        "OUTPUT": 6,
        "OVERDUE": 10,
    }
