"""Texts typed at the command are held to what a file may say."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from compliance.app.typed import clean_typed
from compliance.base.problems import RefusedError
from compliance.base.reading import MAX_TEXT
from compliance.base.sources import Mapping, Scalar, parse_yaml
from compliance.base.yaml_text import render_yaml


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("", ""),
        ("  INVENTED-1 ", "INVENTED-1"),
        ("two\nlines\tand  blanks", "two lines and blanks"),
        ("Łódź \U0001f69c e\u0301", "Łódź \U0001f69c e\u0301"),
        ("x" * MAX_TEXT, "x" * MAX_TEXT),
    ],
)
def test_clean_typed_keeps_what_can_be_read(text: str, kept: str) -> None:
    assert clean_typed(text, "reason") == kept


def test_clean_typed_control_character_is_named() -> None:
    with pytest.raises(RefusedError) as caught:
        clean_typed("a\x1b[31m", "reason")

    assert caught.value.message == "the reason holds a character that cannot be kept (U+001B)"


@pytest.mark.parametrize("text", ["\ud800", "\0", "\x7f", "\x80", "a\u200bb", "\u202ex", "\ufeff"])
def test_clean_typed_no_character_is_refused(text: str) -> None:
    with pytest.raises(RefusedError):
        clean_typed(text, "reason")


@given(st.text(max_size=30))
@example("a\u2066b")
def test_clean_typed_gives_only_what_a_file_may_say(text: str) -> None:
    """What is kept can be exported and read again."""
    try:
        kept = clean_typed(text, "reason")
    except RefusedError:
        return

    node, problems = parse_yaml(render_yaml({"reason": kept}), "x.yaml")

    assert problems == ()
    assert isinstance(node, Mapping)
    value = node.entries["reason"][1]
    assert isinstance(value, Scalar)
    assert value.text == kept


def test_clean_typed_too_long_is_refused() -> None:
    with pytest.raises(RefusedError, match="the reason has 2,001 characters; at most 2,000"):
        clean_typed("x" * 2001, "reason")
