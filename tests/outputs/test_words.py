"""Words that several outputs share."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.engine.plan_model import Plan
from compliance.outputs.words import (
    AVIATION_CAUTION,
    CAUTION,
    CHEMICAL_CAUTION,
    list_cautions,
    say_relative,
    say_waiting,
    wrap,
)

DAY = date(2027, 2, 27)


@given(st.text(), st.integers(0, 20), st.integers(0, 20))
def test_wrap_keeps_every_word_and_the_width(text: str, indent: int, hang: int) -> None:
    lines = wrap(text, indent=indent, hang=hang).split("\n")

    assert " ".join(lines).split(" ") is not None
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert [line for line in lines if len(line) > 80 and " " in line.strip()] == []


def test_wrap_indents_the_first_line_and_hangs_the_rest() -> None:
    lines = wrap("word " * 40, indent=2, hang=5).splitlines()

    assert [len(line) - len(line.lstrip()) for line in lines] == [2, 5, 5]


def test_wrap_never_breaks_a_name_or_an_id() -> None:
    long = "faa.registration-n:tg46/notarize~2" * 4

    assert long in wrap(f"see {long} for it").splitlines()


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "tomorrow"),
        (2, "in 2 days"),
        (1500, "in 1,500 days"),
        (-1, "1 day ago"),
        (-30, "30 days ago"),
    ],
)
def test_say_relative(days: int, words: str) -> None:
    assert say_relative(DAY + timedelta(days=days), DAY) == words


def test_list_cautions_end_with_the_general_one(demo_plan: Plan) -> None:
    assert list_cautions(demo_plan) == (AVIATION_CAUTION, CHEMICAL_CAUTION, CAUTION)
    assert list_cautions(replace(demo_plan, jobs=())) == (CAUTION,)


def test_say_waiting_names_who_and_what(demo_plan: Plan) -> None:
    said = {paper.id: say_waiting(paper) for paper in demo_plan.papers if paper.packet.planned}

    assert said["faa.exemption"].startswith("the office; at usual pace the paper comes by ")
    assert said["faa.registration-n:tg46"] == "you: Put right what the office asked for"
    assert said["faa.pilot-recency:wren"].endswith(" (online)")
