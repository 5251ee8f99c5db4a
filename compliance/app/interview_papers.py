"""The questions about papers in hand; offered are those that the rules table asks for."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from compliance.app.interview import Section, Talk, put
from compliance.app.interview_days import read_day, read_valid_through
from compliance.app.interview_parts import (
    FILE,
    read_line,
    read_several,
)
from compliance.base.problems import DataProblemsError
from compliance.base.yaml_text import render_yaml
from compliance.engine.applies import compute_verdicts
from compliance.engine.validity import compute_valid_through
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.facts.parse import OPEN_WORD, parse_operation
from compliance.facts.parse_parts import OPERATION_WORD, find_holders
from compliance.rules.model import PaperRow, RulesTable
from compliance.rules.validity_model import ValidityKind

_REGISTRATION = "faa.registration"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Offer:
    """A paper that may be in hand: the word for it in answers, its row and whose it is."""

    word: str
    row: PaperRow
    holder: Holder

    @property
    def owner(self) -> str:
        return self.holder.ref or OPERATION_WORD


def make_words(papers: tuple[HeldPaper, ...]) -> tuple[str, ...]:
    """Give the words that stand for held papers in the answers, each its own.

    Shape: ``paper:holder``, from the second of a kind and holder on with ``#2``, ``#3``...
    """
    words: list[str] = []
    for held in papers:
        stem = f"{held.paper}:{held.holder.ref or OPERATION_WORD}"
        count = 1 + sum(word.partition("#")[0] == stem for word in words)
        words.append(stem if count == 1 else f"{stem}#{count}")
    return tuple(words)


def ask_papers(talk: Talk, table: RulesTable, tree: Section) -> list[Section]:
    """Ask which papers are in hand, then for the details of each.

    *tree* holds the facts so far; they are checked first, because the papers follow from them.

    Raises:
        DataProblemsError: The facts so far do not fit one another.
    """
    talk.draft = render_yaml(tree)
    operation, problems = parse_operation(talk.draft, FILE)
    if operation is None:
        raise DataProblemsError(problems)
    offers = tuple(_find_offers(talk, table, operation))
    if not offers:
        return []
    options = tuple((one.word, f"{one.row.title}, {_say(operation, one)}") for one in offers)
    read = read_several(options, needed=False)
    chosen = put(talk, "papers", read, optional=True, options=options)
    words = [word for word in chosen.split(",") if word]
    by_word = {one.word: one for one in offers}
    return [_ask_details(talk, operation, by_word[word], place) for place, word in enumerate(words)]


def _find_offers(talk: Talk, table: RulesTable, operation: Operation) -> Iterator[_Offer]:
    """Give what the jobs need, then what was named before although no job needs it."""
    seen: set[str] = set()
    for verdict in compute_verdicts(operation, table):
        word = f"{verdict.paper.id}:{verdict.holder.ref or OPERATION_WORD}"
        if verdict.applies:
            seen.add(word)
            yield _Offer(word=word, row=verdict.paper, holder=verdict.holder)
    rows = {row.id: row for row in table.papers}
    holders = find_holders(operation)
    for word in talk.recall("papers").split(","):
        paper, _, owner = word.partition("#")[0].partition(":")
        row, holder = rows.get(paper), holders.find(owner)
        if word not in seen and row is not None and holder is not None:
            seen.add(word)
            yield _Offer(word=word, row=row, holder=holder)


def _say(operation: Operation, offer: _Offer) -> str:
    is_second = "#" in offer.word
    return operation.say_holder(offer.holder) + (" (one more of the kind)" if is_second else "")


def _ask_details(talk: Talk, operation: Operation, offer: _Offer, place: int) -> Section:
    key = f"papers.{offer.word}"
    what = f"{offer.row.title}, {_say(operation, offer)}"
    number = put(
        talk,
        f"{key}.number",
        read_line("number", "the paper"),
        words="papers.number",
        what=what,
        default=_find_registration(operation, offer),
        optional=True,
        path=("papers", place, "number"),
    )
    issued = put(
        talk,
        f"{key}.issued_on",
        read_day,
        words="papers.issued_on",
        what=what,
        optional=True,
        path=("papers", place, "issued_on"),
    )
    end = put(
        talk,
        f"{key}.valid_through",
        read_valid_through(issued),
        words="papers.valid_through",
        what=what,
        default=_count_end(offer.row, issued),
        path=("papers", place, "valid_through"),
    )
    section: Section = {
        "paper": offer.row.id,
        "holder": offer.owner,
        "number": number,
        "issued_on": issued,
        "valid_through": end,
    }
    return {name: value for name, value in section.items() if value != ""}


def _find_registration(operation: Operation, offer: _Offer) -> str:
    """Give the registration number that was typed for the aircraft already."""
    machine = operation.find_aircraft(offer.holder.ref)
    is_registration = offer.row.id.startswith(_REGISTRATION)
    if offer.holder.kind is not HolderKind.AIRCRAFT or machine is None or not is_registration:
        return ""
    return machine.registration_number


def _count_end(row: PaperRow, issued: str) -> str | None:
    """Give the last day in force as the row counts it, None when only the paper tells."""
    if row.validity.kind is ValidityKind.OPEN_ENDED:
        return OPEN_WORD
    end = compute_valid_through(row.validity, date.fromisoformat(issued)) if issued else None
    return end.isoformat() if end is not None else None
