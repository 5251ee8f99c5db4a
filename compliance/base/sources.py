"""YAML text to plain nodes that remember their place; nothing is guessed about types."""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from compliance.base.problems import Problem, SourceRef
from compliance.base.signs import HIDDEN

# libyaml is several times quicker and gives the same events and marks.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_UNKEEPABLE = frozenset({"Cc", "Cs"})  # control characters, halves of a character

MAX_BYTES = 2_000_000
MAX_DEPTH = 30
MAX_NODES = 200_000


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single text; ``plain`` is False when it was quoted."""

    text: str
    place: SourceRef
    plain: bool = True


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of nodes in file order."""

    items: "tuple[Node, ...]"
    place: SourceRef


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys in file order, each with the place of the key and its node."""

    entries: "dict[str, tuple[SourceRef, Node]]"
    place: SourceRef


Node = Scalar | Sequence | Mapping


_BAD_KEY = Scalar("", SourceRef(file=""))  # stands for a key that is no text; its value is dropped


class _StopReadingError(Exception):
    def __init__(self, problem: Problem) -> None:
        self.problem = problem


@dataclass(slots=True)
class _Frame:
    """A list or mapping being filled; ``key`` waits for its value in a mapping."""

    place: SourceRef
    is_mapping: bool
    items: list[Node] = field(default_factory=list)
    entries: dict[str, tuple[SourceRef, Node]] = field(default_factory=dict)
    key: Scalar | None = None

    def close(self) -> Node:
        if self.is_mapping:
            return Mapping(self.entries, self.place)
        return Sequence(tuple(self.items), self.place)


def decode_text(data: bytes, file: str) -> tuple[str, tuple[Problem, ...]]:
    """Decode bytes as UTF-8, or say where they are not.

    Shape: the text and no problem, or an empty text and one problem. A byte-order mark is dropped.
    """
    if len(data) > MAX_BYTES:
        place = SourceRef(file=file)
        sentence = f"the file is {len(data):,} bytes; at most {MAX_BYTES:,} are read"
        return "", (Problem(place=place, code="S001", sentence=sentence, hint="split the file"),)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, column = _locate(data[: error.start].decode("utf-8", "replace"))
        return "", (
            Problem(
                place=SourceRef(file=file, line=line, column=column),
                code="S002",
                sentence=f"the text is not UTF-8: byte 0x{data[error.start]:02x} cannot be read",
                hint="save the file again with the encoding UTF-8",
            ),
        )
    return text, ()


def parse_yaml(text: str, file: str) -> tuple[Node | None, tuple[Problem, ...]]:
    """Read one YAML document into nodes.

    Scalars stay text, so ``NO``, ``012`` and ``1:30`` mean what they say. Duplicate keys, aliases,
    anchors, tags, a second document, too deep nesting and control characters are problems.

    Shape: the root node, or None with at least one problem. An empty text gives None and a problem.
    """
    bad = _find_control_character(text, file)
    if bad is not None:
        return None, (bad,)
    problems: list[Problem] = []
    try:
        root = _build(yaml.parse(text, Loader=_LOADER), file, problems)
    except _StopReadingError as stop:
        problems.append(stop.problem)
        return None, tuple(sorted(problems))
    except yaml.MarkedYAMLError as error:
        problems.append(_syntax_problem(error, file))
        return None, tuple(sorted(problems))
    except yaml.YAMLError as error:
        sentence = f"the YAML cannot be read: {error}".splitlines()[0]
        problems.append(Problem(place=SourceRef(file=file), code="S003", sentence=sentence))
        return None, tuple(sorted(problems))
    if root is None and not problems:
        empty = Problem(
            place=SourceRef(file=file),
            code="S004",
            sentence="the file is empty",
            hint="start from the example in the README, or run mailby setup",
        )
        problems.append(empty)
    return root, tuple(sorted(problems))


def find_hidden(text: str) -> str | None:
    """Find the first character of a text that a file may not hold, or None.

    It is one that controls a screen, turns or hides text, or is half a character.
    """
    found = HIDDEN.search(text)
    return found.group() if found is not None else None


def find_unkeepable(text: str) -> str | None:
    """Find the first character that one line of text may not hold, or None.

    It is a control character, such as a tab, one that turns or hides text, or half a character.
    """
    # Most texts are plain, and of those in a table of records there are hundreds of thousands.
    if text.isascii() and text.isprintable():
        return None
    found = (sign for sign in text if unicodedata.category(sign) in _UNKEEPABLE)
    return next(found, find_hidden(text))


def say_unkeepable(sign: str) -> str:
    """Name a character that cannot be kept."""
    word = "a tab" if sign == "\t" else "a character"
    return f"{word} that cannot be kept (U+{ord(sign):04X})"


def find_place(root: Node, *path: str | int) -> SourceRef:
    """Give the place of the value down a path of keys and list positions counted from 0.

    Shape: total; where the path breaks off, the place of the last node that is there.
    """
    node = root
    for step in path:
        below: Node | None = None
        if isinstance(node, Mapping) and isinstance(step, str) and step in node.entries:
            below = node.entries[step][1]
        elif isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            below = node.items[step]
        if below is None:
            break
        node = below
    return node.place


def _build(events: Iterator[yaml.Event], file: str, problems: list[Problem]) -> Node | None:
    stack: list[_Frame] = []
    root: Node | None = None
    documents = 0
    count = 0
    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise _StopReadingError(
                    _problem(
                        event, file, "S005", "the file holds a second YAML document", "keep one"
                    )
                )
        if not isinstance(event, yaml.NodeEvent | yaml.CollectionEndEvent):
            continue
        count += 1
        if count > MAX_NODES:
            raise _StopReadingError(
                _problem(
                    event, file, "S001", f"the file holds over {MAX_NODES:,} values", "split it"
                )
            )
        node = _take(event, stack, file)
        if node is None:
            continue
        if stack:
            _add(stack[-1], node, problems)
        else:
            root = node
    return root


def _take(event: yaml.Event, stack: list[_Frame], file: str) -> Node | None:
    """Turn one event into a finished node, or open a frame and return None."""
    if isinstance(event, yaml.CollectionEndEvent):
        return stack.pop().close()
    if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) is not None:
        hint = "write the values out; & and * at the start of a value must be in quotes"
        raise _StopReadingError(_problem(event, file, "S006", "YAML aliases are not read", hint))
    tag = getattr(event, "tag", None)
    if tag is not None and tag != "!":
        raise _StopReadingError(
            _problem(event, file, "S007", f"YAML tags such as {tag} are not read", "remove it")
        )
    place = _place(event, file)
    if isinstance(event, yaml.ScalarEvent):
        hidden = HIDDEN.search(event.value)  # escapes such as "\x07" hide from the first look
        if hidden is not None:
            raise _StopReadingError(_control_problem(hidden, place))
        return Scalar(event.value, place, not event.style)
    if len(stack) >= MAX_DEPTH:
        hint = "the file format needs six levels at most"
        raise _StopReadingError(
            _problem(event, file, "S008", f"values are nested over {MAX_DEPTH} deep", hint)
        )
    stack.append(_Frame(place, isinstance(event, yaml.MappingStartEvent)))
    return None


def _add(frame: _Frame, node: Node, problems: list[Problem]) -> None:
    if not frame.is_mapping:
        frame.items.append(node)
        return
    if frame.key is None:
        if isinstance(node, Scalar):
            frame.key = node
        else:
            frame.key = _BAD_KEY
            problems.append(
                Problem(place=node.place, code="S009", sentence="a key must be a single word")
            )
        return
    key, frame.key = frame.key, None
    if key is _BAD_KEY:
        return
    if key.text in frame.entries:
        first = frame.entries[key.text][0]
        problems.append(
            Problem(
                place=key.place,
                code="S010",
                sentence=f"the key {key.text!r} stands twice; first on line {first.line}",
                hint="keep one of them",
            )
        )
        return
    frame.entries[key.text] = (key.place, node)


def _place(event: yaml.Event, file: str) -> SourceRef:
    mark = event.start_mark
    if mark is None:  # only events made by hand have none
        return SourceRef(file=file)
    return SourceRef(file=file, line=mark.line + 1, column=mark.column + 1)


def _problem(event: yaml.Event, file: str, code: str, sentence: str, hint: str) -> Problem:
    return Problem(place=_place(event, file), code=code, sentence=sentence, hint=hint)


def _syntax_problem(error: yaml.MarkedYAMLError, file: str) -> Problem:
    mark = error.problem_mark or error.context_mark
    place = SourceRef(file=file)
    if mark is not None:
        place = SourceRef(file=file, line=mark.line + 1, column=mark.column + 1)
    what = error.problem or error.context or "unreadable"
    return Problem(
        place=place,
        code="S003",
        sentence=f"the YAML cannot be read here: {what}",
        hint="check the indentation, and put text that holds : # or quotes in quotes",
    )


def _find_control_character(text: str, file: str) -> Problem | None:
    found = HIDDEN.search(text)
    if found is None:
        return None
    line, column = _locate(text[: found.start()])
    return _control_problem(found, SourceRef(file=file, line=line, column=column))


def _control_problem(found: re.Match[str], place: SourceRef) -> Problem:
    return Problem(
        place=place,
        code="S011",
        sentence=f"a control character (U+{ord(found.group()):04X}) stands here",
        hint="delete it; it is invisible in most editors",
    )


def _locate(before: str) -> tuple[int, int]:
    """Line and column, from 1, of what follows *before*."""
    line = before.count("\n") + 1
    return line, len(before) - (before.rfind("\n") + 1) + 1
