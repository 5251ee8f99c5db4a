"""Words about a held paper that the morning's answer, the years ahead and the binder share."""

from datetime import date

from compliance.base.dates import say_date
from compliance.engine.in_force import PaperStanding
from compliance.facts.model import HeldPaper

ASK_LATE = (
    "ask the office whether it takes a late one or wants a whole new paper, and what that needs"
)
NO_NUMBER = "number not written down"


def say_terms(paper: PaperStanding) -> str:
    """Say the number and last day of a paper in force, and those of the one that follows it.

    A number belongs to the paper it came with; one without is said to lack it only where another
    paper of the kind has one.
    """
    if paper.follower is None:
        return _say_term(paper, paper.held, paper.through)
    first = _say_term(paper, paper.held, paper.held_through)
    return f"{first}; then {_say_term(paper, paper.follower, paper.through)}"


def say_when(held: HeldPaper) -> str:
    """Say while which paper is in force its own terms count, to be read on; empty without a day."""
    first = f"from {say_date(held.issued_on)}" if held.issued_on is not None else ""
    last = f"through {say_date(held.valid_through)}" if held.valid_through is not None else ""
    days = " ".join(filter(None, (first, last)))
    if not days and not held.number:
        return ""
    which = f"no. {held.number}" if held.number else "that paper"
    return f", while {which} is in force" + (f", {days}" if days else "")


def say_numbers(paper: PaperStanding) -> str:
    """Say the numbers of a paper and of the one that follows it, empty when none is known."""
    first = _say_number(paper, paper.held)
    if paper.follower is None or not paper.numbered:
        return first
    return f"{first}, then {_say_number(paper, paper.follower)}"


def _say_term(paper: PaperStanding, held: HeldPaper | None, through: date | None) -> str:
    number = _say_number(paper, held)
    number = number if number in {"", NO_NUMBER} else f"no. {number}"
    end = f"through {say_date(through)}" if through is not None else "no last day"
    return f"{number}, {end}" if number else end


def _say_number(paper: PaperStanding, held: HeldPaper | None) -> str:
    if held is not None and held.number:
        return held.number
    return NO_NUMBER if paper.numbered and held is not None else ""
