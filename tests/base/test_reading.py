"""Typed reading of nodes: right values, and every fault with its code and place."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.base.problems import Problem
from compliance.base.reading import MAX_TEXT, Reader, suggest
from compliance.base.sources import Scalar, parse_yaml

WORDS = ("new", "used", "imported")


def reader_of(text: str) -> Reader:
    root, faults = parse_yaml(text, "x")
    assert root is not None
    return Reader(root, "the thing", "F", list(faults))


def said(reader: Reader) -> list[str]:
    """The lines a user would see."""
    return [line for problem in reader.problems for line in str(problem).splitlines()]


def test_reader_gives_values_of_every_type() -> None:
    reader = reader_of(
        "name: ' Sandbur '\nkind: used\nflag: YES\nday: 2027-05-24\ncount: -3\nweight: 54.9\n"
        "list: [a, 'b']\npart: {inner: x}\n"
    )
    part = reader.part("part", "the part", required=True)

    assert reader.text("name") == "Sandbur"
    assert reader.choice("kind", WORDS) == "used"
    assert reader.flag("flag") is True
    assert reader.date("day") == date(2027, 5, 24)
    assert reader.whole("count", low=-3, high=3) == -3
    assert reader.number("weight", above=0, most=55) == Decimal("54.9")
    assert reader.words("list") == ("a", "b")
    assert part is not None
    assert part.text("inner") == "x"
    part.finish()
    reader.finish()
    assert reader.problems == []


def test_reader_missing_keys_give_defaults() -> None:
    reader = reader_of("{}")

    assert reader.node("a") is None
    assert reader.scalar("a") is None
    assert reader.text("a", required=False) == ""
    assert reader.text("a", required=False, default="b") == "b"
    assert reader.choice("a", WORDS, default="used") == "used"
    assert reader.flag("a", default=True) is True
    assert reader.date("a") is None
    assert reader.whole("a", low=1, high=3, default=2) == 2
    assert reader.number("a", above=0, most=1, required=False) is None
    assert reader.items("a") == ()
    assert reader.words("a") == ()
    assert reader.part("a", "the part") is None
    assert not reader.has("a")
    assert reader.problems == []


def test_reader_missing_required_keys_are_all_noted() -> None:
    reader = reader_of("b: 1")

    assert reader.text("t") == ""
    assert reader.choice("c", WORDS) == "new"
    assert reader.flag("f") is False
    assert reader.date("d", required=True) is None
    assert reader.whole("w", low=1, high=3) == 1
    assert reader.number("n", above=0, most=1) is None
    assert reader.items("i", required=True) == ()
    assert reader.words("o", required=True) == ()
    assert reader.part("p", "the part", required=True) is None
    assert said(reader) == [
        line
        for key in "tcfdwniop"
        for line in (
            f"x:1:1: F03 the thing lacks `{key}`",
            f"  hint: add a line `{key}: ...`",
        )
    ]


def test_reader_of_a_list_notes_once() -> None:
    reader = reader_of("- a")
    reader.text("a")
    reader.finish()

    assert not reader.usable
    assert said(reader) == ["x:1:1: F01 the thing must be a set of `key: value` lines"]


@pytest.mark.parametrize("value", ["", " ''", " ~", " null", " '  '"])
def test_text_empty_is_noted_only_if_required(value: str) -> None:
    reader = reader_of(f"a:{value}")

    assert reader.text("a", required=False, default="d") == "d"
    assert reader.problems == []
    assert reader.text("a") == ""
    assert [problem.code for problem in reader.problems] == ["F08"]


def test_text_quoted_null_is_a_text() -> None:
    assert reader_of("a: '~'").text("a") == "~"


def test_text_length_limit() -> None:
    longest = "a" * MAX_TEXT
    reader = reader_of(f"a: {longest}\nb: {longest}b")

    assert reader.text("a") == longest
    assert reader.text("b", default="d") == "d"
    assert said(reader) == ["x:2:4: F08 `b` of the thing has 2,001 characters; at most 2,000"]


def test_choice_wrong_word_suggests() -> None:
    reader = reader_of("a: imprted")

    assert reader.choice("a", WORDS, default="used") == "used"
    assert said(reader) == [
        "x:1:4: F05 `a` of the thing is 'imprted'; allowed: new, used, imported",
        "  hint: did you mean `imported`?",
    ]


@pytest.mark.parametrize(
    ("word", "value"),
    [("yes", True), ("No", False), ("true", True), ("FALSE", False), ("y", None), ("1", None)],
)
def test_flag_words(word: str, value: bool | None) -> None:
    reader = reader_of(f"a: {word}")

    assert reader.flag("a") is bool(value)
    assert [problem.code for problem in reader.problems] == ([] if value is not None else ["F05"])


@pytest.mark.parametrize("word", ["3", "12", "007", "-1"])
def test_whole_reads_digits(word: str) -> None:
    assert reader_of(f"a: {word}").whole("a", low=-9, high=99) == int(word)


@pytest.mark.parametrize(
    ("word", "code"),
    [
        ("1.0", "F04"),
        ("1e2", "F04"),
        ("1_0", "F04"),
        ("--1", "F04"),
        ("-", "F04"),
        ("+1", "F04"),
        ("\u0663", "F04"),  # an Arabic-Indic digit
        ("1234567890", "F04"),
        ("0", "F07"),
        ("4", "F07"),
    ],
)
def test_whole_refused(word: str, code: str) -> None:
    reader = reader_of(f"a: '{word}'")

    assert reader.whole("a", low=1, high=3, default=2) == 2
    assert [problem.code for problem in reader.problems] == [code]


@pytest.mark.parametrize(
    ("word", "code"),
    [
        ("heavy", "F04"),
        ("1,118", "F04"),
        ("NaN", "F04"),
        ("Infinity", "F04"),
        ("1e2", "F04"),
        ("1_1", "F04"),
        (".5", "F04"),
        ("5.", "F04"),
        ("0.1234567", "F04"),
        ("\u0661\u0661", "F04"),
        ("0", "F07"),
        ("-1", "F07"),
        ("55.01", "F07"),
    ],
)
def test_number_refused(word: str, code: str) -> None:
    reader = reader_of(f"a: '{word}'")

    assert reader.number("a", above=0, most=55) is None
    assert [problem.code for problem in reader.problems] == [code]


@pytest.mark.parametrize("word", ["0.01", "54.9", "55", "55.00"])
def test_number_at_the_edges(word: str) -> None:
    assert reader_of(f"a: {word}").number("a", above=0, most=55) == Decimal(word)


def test_scalar_of_a_list_is_the_wrong_type() -> None:
    reader = reader_of("a: [1]\nb: {c: 1}")

    assert reader.text("a") == ""
    assert reader.date("b") is None
    assert [str(problem.place) for problem in reader.problems] == ["x:1:4", "x:2:4"]
    assert {problem.code for problem in reader.problems} == {"F04"}


def test_words_takes_one_word_alone_and_refuses_nests() -> None:
    reader = reader_of("a: one\nb: [x, [y], '']\nc:\nd: {e: 1}")

    assert reader.words("a") == ("one",)
    assert reader.words("b") == ("x",)
    assert reader.words("c") == ()
    assert reader.words("d") == ()
    assert [(problem.code, str(problem.place)) for problem in reader.problems] == [
        ("F04", "x:2:8"),
        ("F04", "x:2:13"),
        ("F04", "x:4:4"),
    ]


def test_items_of_nothing_is_empty() -> None:
    reader = reader_of("a:\nb: ~\nc: [1]\nd: word")

    assert reader.items("a") == ()
    assert reader.items("b") == ()
    assert [item.text for item in reader.items("c") if isinstance(item, Scalar)] == ["1"]
    assert reader.items("d") == ()
    assert said(reader) == [
        "x:4:4: F04 `d` of the thing must be a list",
        "  hint: begin lines with -",
    ]


def test_date_refused_with_an_example() -> None:
    reader = reader_of("a: 5/24/2027")

    assert reader.date("a") is None
    assert said(reader) == [
        "x:1:4: F06 `a` of the thing is '5/24/2027', which is no date",
        "  hint: write year-month-day: 2027-05-24, within 2000-2079",
    ]


def test_finish_names_unknown_keys_with_the_nearest() -> None:
    reader = reader_of("serail: 1\ncolour: 2\nserial: 3")
    reader.text("serial")
    reader.text("serial")
    reader.finish()

    assert said(reader) == [
        "x:1:1: F02 the thing has an entry `serail` that is not known here",
        "  hint: did you mean `serial`?",
        "x:2:1: F02 the thing has an entry `colour` that is not known here",
        "  hint: known here: serial",
    ]


def test_place_of_a_missing_key_is_the_mapping() -> None:
    reader = reader_of("a: 1\nb:\n  c: 2")

    assert str(reader.place_of("b")) == "x:3:3"
    assert str(reader.place_of("z")) == "x:1:1"


def test_part_shares_the_list_of_problems() -> None:
    reader = reader_of("p: 5")
    part = reader.part("p", "the part")

    assert part is not None
    assert reader.problems == [
        Problem(
            place=reader.place_of("p"),
            code="F01",
            sentence="the part must be a set of `key: value` lines",
        )
    ]


@given(st.text(max_size=20), st.lists(st.text(max_size=8), max_size=5))
def test_suggest_names_a_known_word_or_nothing(word: str, known: list[str]) -> None:
    hint = suggest(word, known)

    assert hint == "" or hint in {f"did you mean `{name}`?" for name in known}
