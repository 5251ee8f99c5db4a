"""Answers kept of a check that no longer fit the forms: what still fits, and what does not."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace

from compliance.base.signs import drop_signs
from compliance.base.sources import Mapping, Node, Scalar, Sequence, parse_yaml
from compliance.base.yaml_text import Tree, render_yaml
from compliance.facts.answers import Answer, EnvelopeAnswers
from compliance.facts.answers_parse import AskedDocument, PacketAnswers, parse_answers

_MOST_SHOWN, _MOST_LINES = 60, 20
# Escapes of signs that a file may not hold.
_ESCAPED = re.compile(
    r"\\x(?:0[0-8bcef]|1[0-9a-f]|7f)|\\u(?:d[89a-f]..|200[b-f]|202[a-e]|206.|feff)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LostAnswer:
    """An answer that fits no form any more; ``document`` is empty for one about the envelope.

    ``blank`` is empty when nothing of what was kept can be read, ``value`` is what was answered.
    """

    document: str
    blank: str
    value: str
    sheet: int = 1


def salvage_answers(
    text: str, packet: str, asked: tuple[AskedDocument, ...]
) -> tuple[PacketAnswers, tuple[LostAnswer, ...]]:
    """Read kept answers one by one, so that one that does not fit takes no other with it.

    Shape: what fits, and what does not, each in the order kept. A text that is no YAML is lost
    whole, if it stays none without a few lines: one lost answer without document, blank and value.
    """
    root = _parse_what_can(text, packet)
    said = PacketAnswers(packet=packet, answers=(), envelope=EnvelopeAnswers())
    if not isinstance(root, Mapping):
        return said, (LostAnswer(document="", blank="", value=""),)
    answers: list[Answer] = []
    lost: list[LostAnswer] = []
    for one, tree in _list_answers(root):
        read, problems = parse_answers(
            render_yaml({"packet": packet, **tree}), packet, packet, asked
        )
        if read is None or problems:
            lost.append(one)
        else:
            answers.extend(replace(answer, sheet=one.sheet) for answer in read.answers)
    envelope = EnvelopeAnswers()
    for name, node in _entries(_entries(root).get("envelope")).items():
        tree = {"packet": packet, "envelope": {name: _to_tree(node)}}
        read, problems = parse_answers(render_yaml(tree), packet, packet, asked)
        if read is None or problems:
            lost.append(LostAnswer(document="", blank=name, value=_say(node)))
        elif name in {field.name for field in fields(EnvelopeAnswers)}:
            envelope = replace(envelope, **{name: getattr(read.envelope, name)})
    return replace(said, answers=tuple(answers), envelope=envelope), tuple(lost)


def _parse_what_can(text: str, packet: str) -> Node | None:
    """Read kept answers without signs that do not print, and without lines that are no YAML."""
    lines = drop_signs(_ESCAPED.sub("", text)).splitlines()
    for _ in range(_MOST_LINES):
        root, problems = parse_yaml("\n".join(lines) + "\n", packet)
        if isinstance(root, Mapping):
            return root
        at = next((one.place.line for one in problems if one.place.line), None)
        if at is None or at > len(lines):
            return None
        del lines[at - 1]
    return None


def _list_answers(root: Mapping) -> Iterator[tuple[LostAnswer, dict[str, Tree]]]:
    """List every answer about a document, as it would be called when lost, in a file of its own."""
    for document, below in _entries(_entries(root).get("documents")).items():
        sheets = below.items if isinstance(below, Sequence) else (below,)
        for number, sheet in enumerate(sheets, 1):
            parts = _entries(sheet)
            for key, node in parts.items():
                blanks = _entries(node) if key == "blanks" else {key: node}
                for blank, value in blanks.items():
                    tree = _to_tree(value)
                    page: Tree = {key: tree} if key != "blanks" else {"blanks": {blank: tree}}
                    one = LostAnswer(
                        document=document, blank=blank, value=_say(value), sheet=number
                    )
                    yield one, {"documents": {document: page}}


def _entries(node: Node | None) -> dict[str, Node]:
    if not isinstance(node, Mapping):
        return {}
    return {name: below for name, (_, below) in node.entries.items()}


def _to_tree(node: Node) -> Tree:
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [_to_tree(item) for item in node.items]
    return {name: _to_tree(below) for name, below in _entries(node).items()}


def _say(node: Node) -> str:
    """Say an answer in short: what stands there, else how the blank stands."""
    if isinstance(node, Mapping):
        parts = _entries(node)
        told = next((parts[key] for key in ("says", "on", "status") if key in parts), None)
        return _say(told) if told is not None else ""
    if isinstance(node, Sequence):
        text = ", ".join(_say(item) for item in node.items)
    else:
        text = " ".join(node.text.split())
    return text if len(text) <= _MOST_SHOWN else f"{text[:_MOST_SHOWN]}..."
