"""The day to ask an office about a packet that is there, and why that day, as plain values."""

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum


class AskWhy(StrEnum):
    """What sets the day to ask.

    ``unusual``: nine in ten such packets are answered by then. ``needed``: the paper is needed
    then. ``before needed``: it is needed before the next working day. ``usual``: the paper is
    needed already, and by usual days it ought to be there by then. ``spread``: half the usual
    spread after the office was heard. ``named``: the office named it. ``after named``: the first
    working day after the one it named. ``too late``: the day the paper is needed had gone when the
    office was heard, so ask at once.
    """

    UNUSUAL = "unusual"
    NEEDED = "needed"
    BEFORE_NEEDED = "before needed"
    USUAL = "usual"
    SPREAD = "spread"
    NAMED = "named"
    AFTER_NAMED = "after named"
    TOO_LATE = "too late"


@dataclass(frozen=True, slots=True, kw_only=True)
class AskDay:
    """The day to ask, a working day of offices, and what sets it.

    ``before`` is the day it would be had the office not been heard, None when it was not; when
    something was heard just now, the day it was until then.
    ``open_on`` is the first working day of offices from today on, None when it is not known.
    ``at_step`` is the id of the row of the office's step that the packet is at by usual days, empty
    when the office has only one.
    """

    on: date
    why: AskWhy
    before: date | None = None
    open_on: date | None = field(default=None, compare=False)
    at_step: str = field(default="", compare=False)
