"""One bad file for each problem code, with the lines a user sees beside it."""

from pathlib import Path

import pytest

from compliance.base.problems import Problem
from compliance.base.sources import decode_text
from compliance.facts.log_parse import parse_log
from compliance.facts.model import Operation
from compliance.facts.parse import parse_operation

FOLDER = Path(__file__).parents[1] / "data" / "bad_input"
BAD = sorted(FOLDER.glob("[sfl][0-9]*.yaml"))
CODES = (
    # S001 needs a file of two megabytes and has its test in tests/base/test_sources.py.
    *(f"S{number:03}" for number in range(2, 12)),
    *(f"F{number:02}" for number in (*range(1, 9), *range(11, 24), 25, 26, *range(28, 32))),
    *(f"F{number:02}" for number in range(51, 54)),
    *("F61", "F62", "F65"),  # F63 and F64 need the rules table: tests/app/test_own_terms.py
    *(f"L{number:02}" for number in (*range(1, 9), 11, *range(13, 20), 25)),
)


@pytest.fixture(scope="module")
def operation() -> Operation:
    text = (FOLDER / "operation_of_the_logs.yaml").read_text(encoding="utf-8")
    operation, problems = parse_operation(text, "operation")
    assert problems == ()
    assert operation is not None
    return operation


def find_problems(path: Path, operation: Operation) -> tuple[Problem, ...]:
    text, problems = decode_text(path.read_bytes(), path.name)
    if problems:
        return problems
    if path.name.startswith("l"):
        entries, problems = parse_log(text, path.name, operation)
        assert not (entries and problems)
        return problems
    found, problems = parse_operation(text, path.name)
    assert (found is None) == bool(problems)
    return problems


def test_bad_input_has_a_file_for_each_code() -> None:
    assert {path.stem.upper() for path in BAD} == set(CODES)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_input_gives_the_expected_lines(path: Path, operation: Operation) -> None:
    problems = find_problems(path, operation)

    assert [line for problem in problems for line in str(problem).splitlines()] == (
        path.with_suffix(".expected").read_text(encoding="utf-8").splitlines()
    )
    assert path.stem.upper() in {problem.code for problem in problems}
    assert list(problems) == sorted(problems)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_input_is_explained_in_its_first_line(path: Path) -> None:
    assert path.read_bytes().startswith(b"# ")
