"""Whose numbers count for a duty: the rule's own, or those of the document in force on its day."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from compliance.facts.own_terms import OwnTerm
from compliance.rules.model import DueUnit, DutyKind, DutyRow

THE_RULE = "the rule itself"
Limit = Callable[[DutyRow], tuple[date, datetime | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A duty with the numbers that count for one occasion, and whose they are.

    ``term`` is None when they are the rule's. ``beside`` names the less strict ones in force at
    once: documents, or `THE_RULE`. Before a flight or the like a window must suit all of them:
    ``not_before`` names the one that sets its opening where that is another one, ``opener`` is the
    duty by which it is counted, and ``apart`` names those that no moment of it suits.
    """

    row: DutyRow
    term: OwnTerm | None
    beside: tuple[str, ...] = ()
    not_before: str = ""
    opener: DutyRow | None = None
    apart: tuple[str, ...] = ()


def apply_term(row: DutyRow, term: OwnTerm | None) -> DutyRow:
    """Give a duty with the numbers of the holder's own document, when there is one."""
    if term is None or not term.applies:
        return row
    return replace(row, count=term.count, unit=DueUnit(term.unit), opens=term.opens)


def choose_term(
    row: DutyRow, terms: Iterable[OwnTerm | None], limit: Limit, opening: Limit
) -> Counted | None:
    """Choose the strictest of the terms in force for one occasion; None when none asks for it.

    The stricter one ends sooner, or opens later when both end together; of two times to keep
    something it is the longer one. A window before something is the part that all of them share:
    through the earliest end, and not before the latest opening. *limit* gives the last day or
    moment of a duty, *opening* its first.
    """
    every = tuple(terms)
    asked = [
        Counted(row=apply_term(row, term), term=term)
        for term in every
        if term is None or term.applies
    ]
    if len(every) == 1 or not asked:
        return asked[0] if asked else None
    first = min(asked, key=lambda one: _rank(one.row, limit))
    chosen = _share_window(first, asked, limit, opening)
    numbers = _numbers(first.row)
    named = {chosen.not_before, *chosen.apart}
    beside = tuple(
        _say_term(term)
        for term in every
        if term is not chosen.term
        and ((term is not None and not term.applies) or _numbers(apply_term(row, term)) != numbers)
        and _say_term(term) not in named
    )
    return replace(chosen, beside=tuple(dict.fromkeys(beside)))


def _share_window(
    chosen: Counted, asked: Iterable[Counted], limit: Limit, opening: Limit
) -> Counted:
    """Open the strictest window no sooner than the others do, and name those that miss it."""
    if not chosen.row.before:
        return chosen
    others = [one for one in asked if one is not chosen and one.row.opens]
    apart = [one for one in others if not _meet(one.row, chosen.row, limit, opening)]
    meeting = [one for one in others if one not in apart]
    if chosen.row.opens:
        meeting.insert(0, chosen)
    latest = max(meeting, key=lambda one: _rank_opening(one.row, opening), default=chosen)
    found = replace(chosen, apart=tuple(dict.fromkeys(_say_term(one.term) for one in apart)))
    if latest is chosen:
        return found
    same = latest.row.unit is chosen.row.unit
    return replace(
        found,
        row=replace(chosen.row, opens=latest.row.opens if same else 0),
        not_before=_say_term(latest.term),
        opener=latest.row,
    )


def _meet(late: DutyRow, chosen: DutyRow, limit: Limit, opening: Limit) -> bool:
    """Tell whether one window has opened by the end of another."""
    if late.unit is chosen.unit:
        return late.opens >= chosen.count
    (opens_on, opens_at), (due_on, due_at) = opening(late), limit(chosen)
    if opens_at is not None and due_at is not None:
        return opens_at <= due_at
    return opens_on <= due_on


def _rank_opening(row: DutyRow, opening: Limit) -> tuple[int, float, int]:
    opens_on, opens_at = opening(row)
    moment = opens_at.timestamp() if opens_at is not None else float("-inf")
    return opens_on.toordinal(), moment, -row.opens


def _rank(row: DutyRow, limit: Limit) -> tuple[int, float, float]:
    due_on, due_at = limit(row)
    if row.kind is DutyKind.KEEP_RECORD:
        return -due_on.toordinal(), 0.0, 0.0
    moment = due_at.timestamp() if due_at is not None else float("inf")
    return due_on.toordinal(), moment, row.opens or float("inf")


def _numbers(row: DutyRow) -> tuple[int, DueUnit, int]:
    return row.count, row.unit, row.opens


def _say_term(term: OwnTerm | None) -> str:
    if term is None:
        return THE_RULE
    return term.document if term.applies else f"{term.document}, which does not ask for it"
