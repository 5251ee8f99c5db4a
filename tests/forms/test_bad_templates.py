"""One bad template for each problem code, with the lines a user sees beside it."""

from pathlib import Path

import pytest

from compliance.forms.template import parse_template

FOLDER = Path(__file__).parents[1] / "data" / "bad_input"
BAD = sorted(FOLDER.glob("t[0-9]*.yaml"))
CODES = {f"T{number:02}" for number in (*range(1, 9), *range(11, 21), 23)}


def test_bad_templates_has_a_file_for_each_code() -> None:
    assert {path.stem.upper() for path in BAD} == CODES


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_template_gives_the_expected_lines(path: Path) -> None:
    template, problems = parse_template(path.read_text(encoding="utf-8"), path.name)

    assert template is None
    assert [line for problem in problems for line in str(problem).splitlines()] == (
        path.with_suffix(".expected").read_text(encoding="utf-8").splitlines()
    )
    assert path.stem.upper() in {problem.code for problem in problems}
