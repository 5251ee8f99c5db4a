"""Values to YAML text, read back by PyYAML, which has no part in the writing."""

from datetime import date
from decimal import Decimal

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from compliance.base.yaml_text import Tree, render_yaml

TEXTS = st.text(st.characters(blacklist_categories=["Cs"]), max_size=15)
TREES = st.recursive(
    TEXTS,
    lambda below: (
        st.lists(below, max_size=4)
        | st.dictionaries(st.from_regex(r"k[a-z]{0,5}", fullmatch=True), below, max_size=4)
    ),
    max_leaves=15,
)


@given(st.dictionaries(st.from_regex(r"k[a-z]{0,5}", fullmatch=True), TREES, max_size=5))
@example({"k": "null"})
@example({"k": ["yes", "no", "~"]})
@example({"k": [[["a b"], []], {}]})
@example({"k": "\U0001f33e \u2028 \x85 \ufeff \x00"})
@settings(max_examples=150)
def test_render_yaml_reads_back_with_types_guessed(tree: dict[str, Tree]) -> None:
    """Even a reader that guesses types (YAML 1.1) takes every text for the same text."""
    assert yaml.safe_load(render_yaml(tree)) == tree


@pytest.mark.parametrize(
    "text",
    [
        "NO",
        "on",
        "y",
        "012",
        "1:30",
        "1e3",
        "2027-05-24",
        "~",
        "",
        "#",
        "a: b",
        "a #b",
        "- a",
        "{}",
    ],
)
def test_render_yaml_quotes_what_looks_like_something_else(text: str) -> None:
    assert yaml.safe_load(render_yaml({"key": text})) == {"key": text}


def test_render_yaml_keeps_words_bare() -> None:
    tree: dict[str, Tree] = {
        "name": "Sandbur Flats Aerial LLC",
        "note": "rye, turnip",
        "weight": Decimal("54.90"),
        "hundred": Decimal("1E+2"),
        "flag": True,
        "off": False,
        "count": 3,
        "day": date(2027, 5, 24),
        "days": ("tue", "thu"),
        "lines": ["Box 1", "Town"],
        "none": [],
        "nested": {"inner": {"a": "b"}, "empty": {}},
        "rows": [{"a": "b", "c": ["d e"]}, [["f g"]]],
    }

    assert render_yaml(tree) == (
        "name: Sandbur Flats Aerial LLC\n"
        "note: rye, turnip\n"
        "weight: 54.90\n"
        "hundred: 100\n"
        "flag: yes\n"
        "off: no\n"
        "count: 3\n"
        "day: 2027-05-24\n"
        "days: [tue, thu]\n"
        "lines:\n  - Box 1\n  - Town\n"
        "none: []\n"
        "nested:\n  inner:\n    a: b\n  empty: {}\n"
        "rows:\n  - a: b\n    c:\n      - d e\n  - - - f g\n"
    )


def test_render_yaml_of_nothing() -> None:
    assert render_yaml({}) == "{}\n"
