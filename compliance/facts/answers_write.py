"""Answers about a packet to YAML text that reads back as the same answers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

from compliance.base.signs import drop_signs
from compliance.base.yaml_text import Tree, Unset, render_yaml
from compliance.facts.answers import ENCLOSED, Answer, Source, Status
from compliance.facts.answers_parse import ENCLOSED_WORDS, AskedDocument, PacketAnswers
from compliance.facts.answers_short import is_small, is_text

_UNKNOWN = AskedDocument(name="", blanks=(), dates=frozenset())


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLine:
    """A line of an answers file that has no value yet, and what is to be written there.

    ``document`` is empty for the envelope; ``blank`` may be :data:`ENCLOSED`.
    """

    document: str
    sheet: int
    blank: str
    note: str


def render_answers(
    said: PacketAnswers,
    asked: tuple[AskedDocument, ...] = (),
    still_open: tuple[OpenLine, ...] = (),
) -> str:
    """Write the answers about a packet as an answers file.

    Shape: parses to equal answers, if each blank of a sheet is answered once, texts have no outer
    blanks, and sheets count from 1 without a gap. *asked* tells which blanks are dates; without it
    every date is written out at length. *still_open* are written without a value, each with its
    note; they read back as no answer.
    """
    known = {one.name: one for one in asked}
    by_document: dict[str, dict[int, list[Answer]]] = {}
    for answer in said.answers:
        by_document.setdefault(answer.document, {}).setdefault(answer.sheet, []).append(answer)
    waiting: dict[str, dict[int, dict[str, str]]] = {}
    for line in still_open:
        if line.document:
            by_document.setdefault(line.document, {}).setdefault(line.sheet, [])
        waiting.setdefault(line.document, {}).setdefault(line.sheet, {})[line.blank] = line.note
    tree: dict[str, Tree] = {"packet": said.packet}
    documents: dict[str, Tree] = {
        name: _sheets(sheets, known.get(name, _UNKNOWN), waiting.get(name, {}))
        for name, sheets in by_document.items()
    }
    if documents:
        tree["documents"] = documents
    envelope = _envelope(said)
    for notes in waiting.get("", {}).values():
        envelope |= {name: Unset(note) for name, note in notes.items()}
    if envelope:
        tree["envelope"] = envelope
    return render_yaml({name: _readable(below) for name, below in tree.items()})


def _readable(tree: Tree) -> Tree:
    """Leave out of every text what the reader of a file of answers refuses."""
    if isinstance(tree, str):
        return drop_signs(tree)
    if isinstance(tree, Mapping):
        return {name: _readable(below) for name, below in tree.items()}
    return [_readable(below) for below in tree] if isinstance(tree, Sequence) else tree


def _sheets(
    sheets: Mapping[int, list[Answer]],
    asked: AskedDocument,
    waiting: Mapping[int, Mapping[str, str]],
) -> Tree:
    pages = [
        _sheet(sheets.get(number, []), asked, waiting.get(number, {}))
        for number in range(1, max(sheets) + 1)
    ]
    return pages[0] if len(pages) == 1 else pages


def _sheet(
    answers: list[Answer], asked: AskedDocument, waiting: Mapping[str, str]
) -> dict[str, Tree]:
    tree: dict[str, Tree] = {}
    blanks: dict[str, Tree] = {}
    for answer in answers:
        if answer.blank == ENCLOSED:
            tree[ENCLOSED] = _enclosed(answer)
        else:
            blanks[answer.blank] = _blank(answer, asked)
    for name, note in waiting.items():
        (tree if name == ENCLOSED else blanks)[name] = Unset(note)
    if waiting:
        order = {name: at for at, name in enumerate(asked.blanks)}
        blanks = dict(sorted(blanks.items(), key=lambda one: order.get(one[0], len(order))))
    if blanks:
        tree["blanks"] = blanks
    return tree


def _enclosed(answer: Answer) -> str:
    said = (answer.status, answer.says)
    return next((word for word, means in ENCLOSED_WORDS.items() if means == said), "unclear")


def _blank(answer: Answer, asked: AskedDocument) -> Tree:
    short = _short(answer, is_date=answer.blank in asked.dates, is_mark=answer.blank in asked.marks)
    if answer.says and answer.blank in asked.names and is_small(answer.says):
        short = None
    is_plain = answer.source is Source.PERSON and not (answer.seen_in or answer.picture_empty)
    if short is not None and is_plain:
        return short
    tree: dict[str, Tree] = {"status": str(answer.status)}
    if answer.says:
        tree["says"] = answer.says
    if answer.on is not None:
        tree["on"] = answer.on
    if answer.source is not Source.PERSON:
        tree["source"] = str(answer.source)
    if answer.seen_in:
        tree["seen_in"] = answer.seen_in
    if answer.picture_empty:
        tree["picture_empty"] = "yes"
    return tree


def _short(answer: Answer, *, is_date: bool, is_mark: bool) -> Tree | None:
    """Give the one-word form, or None when it would be read as something else."""
    if answer.on is None and not answer.says:
        return str(answer.status)
    if answer.status is not Status.FILLED:
        return None
    if answer.on is not None:
        return answer.on if is_date and not answer.says else None
    # A text that would be read as a word about the blank, or be refused, is written at length.
    return None if is_date or is_mark or not is_text(answer.says) else answer.says


def _envelope(said: PacketAnswers) -> dict[str, Tree]:
    tree: dict[str, Tree] = {}
    for field in fields(said.envelope):
        value = getattr(said.envelope, field.name)
        if value is not None and value not in ("", ()):
            tree[field.name] = value
    return tree
