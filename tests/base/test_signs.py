"""Signs that do not print: Unicode Standard 16, general categories Cc and Cs, from memory."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from compliance.base.signs import drop_signs, has_signs


@given(text=st.text())
def test_drop_signs_leaves_nothing_that_steers_a_screen(text: str) -> None:
    """But line breaks and tabs, and what prints is all there."""
    left = drop_signs(text)

    assert {unicodedata.category(sign) for sign in left if sign not in "\n\r\t"}.isdisjoint(
        {"Cc", "Cs"}
    )
    assert "".join(filter(str.isalnum, left)) == "".join(filter(str.isalnum, text))
    assert drop_signs(left) == left


def test_drop_signs_by_example() -> None:
    """A lone return would write over the line; a sign that turns text round is left out."""
    assert drop_signs("a\rb\r\nc\x0bd\u202ee\x9bf\x1b") == "a\nb\r\nc def"
    assert [has_signs(one) for one in ("a\r\n\tb", "a\x00")] == [False, True]
