"""The two forms of id."""

import pytest

from compliance.base.ids import MAX_ID, is_dotted_id, is_name


@pytest.mark.parametrize("text", ["a", "tg46", "north-40", "a-1-b", "a" * MAX_ID])
def test_name_accepted(text: str) -> None:
    assert is_name(text)


@pytest.mark.parametrize(
    "text",
    ["", "4a", "-a", "a-", "a--b", "A", "a b", "a.b", "a_b", "\u00e4", "a\n", "a" * (MAX_ID + 1)],
)
def test_name_refused(text: str) -> None:
    assert not is_name(text)


@pytest.mark.parametrize(
    "text", ["a." + "b" * (MAX_ID - 2), "faa.exemption", "faa.registration-n", "ne.a.b", "a.48-100"]
)
def test_dotted_id_accepted(text: str) -> None:
    assert is_dotted_id(text)


@pytest.mark.parametrize(
    "text",
    ["a." + "b" * (MAX_ID - 1), "", "faa", "faa.", ".faa", "faa..n", "FAA.n", "faa.n-", "f a.n"],
)
def test_dotted_id_refused(text: str) -> None:
    assert not is_dotted_id(text)
