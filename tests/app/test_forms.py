"""A form by its id, or a sentence that helps to find it."""

import pytest

from compliance.app.forms import find_template
from compliance.base.problems import NotFoundError
from compliance.forms.model import FormTemplate


def test_find_template_by_its_id(templates: dict[str, FormTemplate]) -> None:
    assert find_template("faa-8050-2") == templates["faa-8050-2"]


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("faa-8710-33", "did you mean `faa-8710-3`?"),
        ("zzz", "mailby forms list names them all"),
        ("", "mailby forms list names them all"),
    ],
)
def test_find_template_unknown_says_what_to_do(name: str, hint: str) -> None:
    with pytest.raises(NotFoundError) as caught:
        find_template(name)

    assert (caught.value.message, caught.value.hint) == (f"no form is called {name!r}", hint)
