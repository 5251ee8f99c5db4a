"""YAML text to located nodes, held against PyYAML's own reading of the same text."""

import random
import string
import sys
import unicodedata

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from compliance.base import sources
from compliance.base.problems import Problem, SourceRef
from compliance.base.sources import (
    MAX_BYTES,
    MAX_DEPTH,
    Mapping,
    Node,
    Scalar,
    Sequence,
    decode_text,
    find_hidden,
    find_place,
    parse_yaml,
)

FILE = "farm.yaml"


def at(line: int, column: int) -> SourceRef:
    return SourceRef(file=FILE, line=line, column=column)


def plain(node: Node) -> object:
    """The node as PyYAML's BaseLoader would give it: texts, lists, dictionaries."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return {key: plain(value) for key, (_, value) in node.entries.items()}


def read(text: str) -> Node:
    node, problems = parse_yaml(text, FILE)
    assert problems == ()
    assert node is not None
    return node


def code_and_place(text: str) -> tuple[str, SourceRef]:
    node, problems = parse_yaml(text, FILE)
    assert node is None
    assert len(problems) == 1
    return problems[0].code, problems[0].place


def test_parse_yaml_remembers_places() -> None:
    node = read('a: one\nb:\n  - "two"\n  - {c: 3}\n')

    assert node == Mapping(
        {
            "a": (at(1, 1), Scalar("one", at(1, 4))),
            "b": (
                at(2, 1),
                Sequence(
                    (
                        Scalar("two", at(3, 5), plain=False),
                        Mapping({"c": (at(4, 6), Scalar("3", at(4, 9)))}, at(4, 5)),
                    ),
                    at(3, 3),
                ),
            ),
        },
        at(1, 1),
    )


@pytest.mark.parametrize(
    "word", ["NO", "no", "012", "1:30", "1_000", "0x1f", "1e3", ".inf", "2027-05-24", "~", "null"]
)
def test_parse_yaml_guesses_no_type(word: str) -> None:
    """YAML 1.1 makes a flag, a number, a time of day or a date of these (YAML 1.1, 10.2)."""
    assert plain(read(f"value: {word}")) == {"value": word}


# Every sign that turns text (bidirectional class LRE, RLE, LRO, RLO, PDF, LRI, RLI, FSI, PDI, and
# the two marks) or that is called ZERO WIDTH, with the word joiner and its invisible fellows.
HIDDEN = "".join(
    chr(number)
    for number in (*range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2060, 0x206A), 0xFEFF)
)


@pytest.mark.parametrize("sign", HIDDEN)
def test_parse_yaml_sign_that_turns_or_hides_is_refused(sign: str) -> None:
    assert code_and_place(f"- a\n- b{sign}c\n") == ("S011", at(2, 4))
    assert parse_yaml(f"a: b{sign}c\n", FILE)[1][0].sentence == (
        f"a control character (U+{ord(sign):04X}) stands here"
    )


def test_parse_yaml_refuses_every_sign_that_turns_text() -> None:
    """The classes are those of Unicode's own table: Unicode Standard Annex 9, table 4."""
    turning = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    every = map(chr, range(sys.maxunicode + 1))
    signs = [sign for sign in every if unicodedata.bidirectional(sign) in turning]

    assert len(signs) == 9
    assert [sign for sign in signs if find_hidden(sign) is None] == []


def test_parse_yaml_keeps_letters_of_every_script() -> None:
    """Neighbours of the refused signs, letters read from right to left, joined accents, emoji."""
    kept = "\u200a\u2010\u202f\u205f\u206a\ufefc \u05d0\u0628 e\u0301 \U0001f69c \u00ad"

    assert plain(read(f"a: 'x{kept}x'")) == {"a": f"x{kept}x"}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", None),
        ("plain words, \xe9e\u0301 \U0001f69c", None),
        ("two\nlines\tand a tab", None),
        ("a\u202eb\x07", "\u202e"),
        ("a\x07b\u202e", "\x07"),
        ("\ud800", "\ud800"),
    ],
)
def test_find_hidden_gives_the_first(text: str, found: str | None) -> None:
    assert find_hidden(text) == found


TREES = st.recursive(
    st.text(
        st.characters(blacklist_categories=["Cs", "Cc"], blacklist_characters=HIDDEN), max_size=12
    ),
    lambda below: (
        st.lists(below, max_size=4)
        | st.dictionaries(st.text(string.ascii_letters, min_size=1, max_size=6), below, max_size=4)
    ),
    max_leaves=20,
)


def _read_with_pyyaml(text: str) -> object:
    return yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506 - it makes texts only, no objects


@given(TREES)
@settings(max_examples=60)
def test_parse_yaml_agrees_with_pyyaml(tree: object) -> None:
    """PyYAML writes a tree in its own way; both readers must find the same tree in it."""
    text = yaml.safe_dump(tree, allow_unicode=True)
    node, problems = parse_yaml(text, FILE)

    assert problems == ()
    assert node is not None
    assert plain(node) == _read_with_pyyaml(text) == tree


def test_parse_yaml_same_with_slow_and_quick_loader(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without libyaml the pure loader reads the same nodes and places."""
    text = "a: [1, 'two', {b: c}]\nd: >-\n  folded\n  text\n# end\n"
    quick = parse_yaml(text, FILE)
    monkeypatch.setattr(sources, "_LOADER", yaml.SafeLoader)

    assert parse_yaml(text, FILE) == quick


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("", "S004", 1, 1),
        ("# only a note\n", "S004", 1, 1),
        ("a: b: c\n", "S003", 1, 5),
        ("a: [1, 2\nb: 3\n", "S003", 2, 2),
        ("a: 'open\n", "S003", 2, 1),
        ("\ta: 1\n", "S003", 1, 1),
        ("a: 1\n---\nb: 2\n", "S005", 2, 1),
        ("a: &x 1\n", "S006", 1, 4),
        ("a: &x [1, *x]\n", "S006", 1, 4),
        ("a: *x\n", "S006", 1, 4),
        ("a: !!int 1\n", "S007", 1, 4),
        ("a: !!python/object:x.y {}\n", "S007", 1, 4),
        ("a: b\x07c\n", "S011", 1, 5),
        ("a: \ud800\n", "S011", 1, 4),
        ("\n\n  x\x7f: 1\n", "S011", 3, 4),
        ('a: "b\\a"\n', "S011", 1, 4),
        ('a:\n  - "\\x00"\n', "S011", 2, 5),
        ("a: 1\nb: x\u200by\n", "S011", 2, 5),
        ("a\u200d: 1\n", "S011", 1, 2),
        ('a: "x\\u202Ey"\n', "S011", 1, 4),
        ("# a note \u2066 of mine\na: 1\n", "S011", 1, 10),
        ("\ufeffa: 1\n", "S011", 1, 1),  # decode_text drops one at the start of a file
    ],
)
def test_parse_yaml_refuses(text: str, code: str, line: int, column: int) -> None:
    assert code_and_place(text) == (code, at(line, column))


def test_parse_yaml_quoted_tag_of_no_kind_is_read() -> None:
    """A lone ``!`` only says that the value is a text (YAML 1.1, 3.3.2)."""
    assert plain(read("a: ! 12")) == {"a": "12"}


def test_parse_yaml_fault_without_a_mark_is_at_the_top() -> None:
    """PyYAML may leave the place out; the type says so."""
    place = SourceRef(file=FILE)

    assert sources._syntax_problem(yaml.MarkedYAMLError(), FILE).place == place
    assert sources._place(yaml.DocumentStartEvent(), FILE) == place


def test_parse_yaml_depth_limit() -> None:
    deep = "[" * MAX_DEPTH + "]" * MAX_DEPTH

    assert isinstance(read(deep), Sequence)
    assert code_and_place(f"[{deep}]")[0] == "S008"


def test_parse_yaml_count_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sources, "MAX_NODES", 5)

    assert plain(read("[1, 2, 3]")) == ["1", "2", "3"]  # three texts, a start and an end
    assert code_and_place("[1, 2, 3, 4]")[0] == "S001"


def test_parse_yaml_reports_duplicate_and_reads_on() -> None:
    node, problems = parse_yaml("a: 1\nb: 2\na: 3\n[x]: 4\nb: 5\n", FILE)

    assert node is not None
    assert plain(node) == {"a": "1", "b": "2"}
    assert [(problem.code, problem.place) for problem in problems] == [
        ("S010", at(3, 1)),
        ("S009", at(4, 1)),
        ("S010", at(5, 1)),
    ]


def test_parse_yaml_list_as_key_drops_its_value() -> None:
    node, problems = parse_yaml("{a: 1}: {b: 2}\nc: 3\n", FILE)

    assert node is not None
    assert plain(node) == {"c": "3"}
    assert [problem.code for problem in problems] == ["S009"]


def test_parse_yaml_unreadable_character() -> None:
    """U+FFFE is no character of YAML (YAML 1.1, 5.1); the fault has no place of its own."""
    node, problems = parse_yaml("a: \ufffe\n", FILE)

    assert node is None
    assert [(problem.code, problem.place) for problem in problems] == [("S003", at(1, 1))]
    assert problems[0].sentence.startswith("the YAML cannot be read: unacceptable character #xfffe")


@given(st.text(max_size=60))
@example("a: \ud800")
@example("%YAML 9.9\n---\na")
@example("? a\n: b")
@example("- - - : :")
@settings(max_examples=120)
def test_parse_yaml_never_fails_on_any_text(text: str) -> None:
    node, problems = parse_yaml(text, FILE)

    assert node is not None or problems
    assert list(problems) == sorted(problems)


def test_parse_yaml_never_fails_on_damaged_file() -> None:
    """Cut, doubled and swapped pieces of a good file: an answer every time, never a crash."""
    good = "a:\n  - id: b\n    days: [tue, 'thu']\n    note: >-\n      c\n      d\n"
    dice = random.Random(20_270_111)  # noqa: S311 - a fixed seed, nothing secret
    for _ in range(500):
        first, last = sorted(dice.sample(range(len(good) + 1), 2))
        text = good[:first] + dice.choice(["", good[first:last] * 2, "\t", ": ", "&"]) + good[last:]
        node, problems = parse_yaml(text, FILE)

        assert node is not None or problems


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        ((), 1, 1),
        (("a",), 1, 4),
        (("b",), 3, 3),
        (("b", 1), 4, 5),
        (("b", 1, "c"), 4, 8),
        (("b", 2), 3, 3),  # no third item: the place of the list
        (("b", 1, "x", "y"), 4, 5),
        (("a", "x"), 1, 4),
        (("b", "c"), 3, 3),
        (("x",), 1, 1),
    ],
)
def test_find_place_goes_as_far_as_it_can(
    path: tuple[str | int, ...], line: int, column: int
) -> None:
    node = read("a: one\nb:\n  - two\n  - c: 3\n")

    assert find_place(node, *path) == at(line, column)


def test_decode_text_drops_byte_order_mark() -> None:
    assert decode_text(b"\xef\xbb\xbfa: 1", FILE) == ("a: 1", ())


def test_decode_text_says_where_it_is_not_utf8() -> None:
    text, problems = decode_text("a: 1\nb: ä".encode() + "é".encode("latin-1"), FILE)

    assert text == ""
    assert problems == (
        Problem(
            place=at(2, 5),
            code="S002",
            sentence="the text is not UTF-8: byte 0xe9 cannot be read",
            hint="save the file again with the encoding UTF-8",
        ),
    )


def test_decode_text_size_limit() -> None:
    assert decode_text(b" " * MAX_BYTES, FILE) == (" " * MAX_BYTES, ())
    assert decode_text(b" " * (MAX_BYTES + 1), FILE)[1] == (
        Problem(
            place=at(1, 1),
            code="S001",
            sentence="the file is 2,000,001 bytes; at most 2,000,000 are read",
            hint="split the file",
        ),
    )
