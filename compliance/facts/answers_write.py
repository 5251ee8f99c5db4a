"""Answers about a packet to YAML text that reads back as the same answers."""

from collections.abc import Mapping
from dataclasses import fields

from compliance.base.yaml_text import Tree, render_yaml
from compliance.facts.answers import ENCLOSED, Answer, Source, Status
from compliance.facts.answers_parse import (
    ENCLOSED_WORDS,
    AskedDocument,
    PacketAnswers,
    find_day,
)

_STATUS_WORDS = frozenset(str(status) for status in Status)


def render_answers(said: PacketAnswers, asked: tuple[AskedDocument, ...] = ()) -> str:
    """Write the answers about a packet as an answers file.

    Shape: parses to equal answers, if each blank of a sheet is answered once, texts have no outer
    blanks, and sheets count from 1 without a gap. *asked* tells which blanks are dates; without it
    every date is written out at length.
    """
    dates = {one.name: one.dates for one in asked}
    by_document: dict[str, dict[int, list[Answer]]] = {}
    for answer in said.answers:
        by_document.setdefault(answer.document, {}).setdefault(answer.sheet, []).append(answer)
    tree: dict[str, Tree] = {"packet": said.packet}
    documents: dict[str, Tree] = {
        name: _sheets(sheets, dates.get(name, frozenset())) for name, sheets in by_document.items()
    }
    if documents:
        tree["documents"] = documents
    envelope = _envelope(said)
    if envelope:
        tree["envelope"] = envelope
    return render_yaml(tree)


def _sheets(sheets: Mapping[int, list[Answer]], dates: frozenset[str]) -> Tree:
    pages = [_sheet(sheets.get(number, []), dates) for number in range(1, max(sheets) + 1)]
    return pages[0] if len(pages) == 1 else pages


def _sheet(answers: list[Answer], dates: frozenset[str]) -> dict[str, Tree]:
    tree: dict[str, Tree] = {}
    blanks: dict[str, Tree] = {}
    for answer in answers:
        if answer.blank == ENCLOSED:
            tree[ENCLOSED] = _enclosed(answer)
        else:
            blanks[answer.blank] = _blank(answer, is_date=answer.blank in dates)
    if blanks:
        tree["blanks"] = blanks
    return tree


def _enclosed(answer: Answer) -> str:
    said = (answer.status, answer.says)
    return next((word for word, means in ENCLOSED_WORDS.items() if means == said), "unclear")


def _blank(answer: Answer, *, is_date: bool) -> Tree:
    short = _short(answer, is_date=is_date)
    if short is not None and answer.source is Source.PERSON and not answer.seen_in:
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
    return tree


def _short(answer: Answer, *, is_date: bool) -> Tree | None:
    """Give the one-word form, or None when it would be read as something else."""
    if answer.on is None and not answer.says:
        return str(answer.status)
    if answer.status is not Status.FILLED:
        return None
    if answer.on is not None:
        return answer.on if is_date and not answer.says else None
    if answer.says in _STATUS_WORDS or (is_date and find_day(answer.says) is not None):
        return None
    return None if is_date else answer.says


def _envelope(said: PacketAnswers) -> dict[str, Tree]:
    tree: dict[str, Tree] = {}
    for field in fields(said.envelope):
        value = getattr(said.envelope, field.name)
        if value is not None and value not in ("", ()):
            tree[field.name] = value
    return tree
