"""Values kept as JSON come back as they were, and damaged ones are told."""

import json
from dataclasses import asdict, dataclass

import pytest

from compliance.base.problems import StoreError
from compliance.store.kept_json import parse_kept
from compliance.store.refusals import refuse_unreadable


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A value of every type that is kept."""

    name: str
    count: int
    size: float
    must: bool
    parts: tuple[str, ...] = ()


THING = Thing(name="Ł \u201cx\u201d", count=2, size=0.5, must=True, parts=("a", "b"))


def test_parse_kept_gives_back_what_was_kept() -> None:
    """A list of values comes back equal, with and without what has a default."""
    short = {"name": "x", "count": 0, "size": 3, "must": False}

    assert parse_kept(Thing, json.dumps([asdict(THING), short])) == (
        THING,
        Thing(name="x", count=0, size=3.0, must=False),
    )
    assert parse_kept(Thing, "[]") == ()


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[",
        "nothing",
        "{}",
        "null",
        "[null]",
        "[[]]",
        '["x"]',
        "[{}]",
        json.dumps([{**asdict(THING), "more": 1}]),
        *(
            json.dumps([{**asdict(THING), name: value}])
            for name, value in (
                ("name", 1),
                ("name", None),
                ("count", "2"),
                ("count", 2.0),
                ("count", True),
                ("size", "0.5"),
                ("size", True),
                ("must", 1),
                ("parts", "ab"),
                ("parts", [1]),
                ("parts", None),
            )
        ),
    ],
)
def test_parse_kept_damaged_is_a_refusal_of_the_database(text: str) -> None:
    """Whatever stands there, it is the sentence about the database with its remedy."""
    with (
        pytest.raises(StoreError, match="the database holds a thing with a value") as caught,
        refuse_unreadable("a thing"),
    ):
        parse_kept(Thing, text)

    assert caught.value.hint == ("restore a copy, or load the YAML file into a new one with --db")
