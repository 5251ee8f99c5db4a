"""The append-only log of what really happened."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from compliance.facts.model import Holder, MailService


class EventKind(StrEnum):
    """What happened to a paper or one of its steps."""

    SIGNED = "signed"
    NOTARIZED = "notarized"
    CHECKED = "checked"
    PAID = "paid"
    MAILED = "mailed"
    RECEIVED = "received"
    RETURNED = "returned"
    GRANTED = "granted"
    DONE = "done"
    HEARD = "heard"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One thing that happened.

    ``number`` counts from 1 within an operation and never changes. ``step`` is empty when the kind
    says which step it was. ``withdraws`` is the number of an entry that was wrong.
    ``issued_on`` and ``valid_through`` belong to ``granted``; ``reason`` to ``returned``, as do
    ``blanks``, the blanks at fault as ``document/blank``, and ``still_good``, the names of steps
    that need not be done again for the next mailing. ``heard`` says that the office was asked or
    spoke up, in ``reason`` what it said and in ``expects`` the day it named, if any; it does no
    step. ``service`` belongs to ``mailed``: how it went, where that is not by the mail service of
    the operation.
    """

    number: int
    kind: EventKind
    paper: str
    holder: Holder
    happened_on: date
    step: str = ""
    tracking: str = ""
    reason: str = ""
    paper_number: str = ""
    issued_on: date | None = None
    valid_through: date | None = None
    withdraws: int | None = None
    blanks: tuple[str, ...] = ()
    still_good: tuple[str, ...] = ()
    expects: date | None = None
    service: MailService | None = None


def find_standing(log: tuple[LogEntry, ...]) -> tuple[LogEntry, ...]:
    """Give the entries that still stand, by day and then number.

    A withdrawn entry and the entry that withdrew it are both left out.
    """
    gone = {entry.withdraws for entry in log if entry.kind is EventKind.WITHDRAWN}
    kept = (
        entry for entry in log if entry.kind is not EventKind.WITHDRAWN and entry.number not in gone
    )
    return tuple(sorted(kept, key=lambda entry: (entry.happened_on, entry.number)))
