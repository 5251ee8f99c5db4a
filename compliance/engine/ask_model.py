"""The day to ask an office about a packet that is there, and why that day, as plain values."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class AskWhy(StrEnum):
    """What sets the day to ask.

    ``unusual``: nine in ten such packets are answered by then. ``needed``: the paper is needed
    then. ``half``: the paper is needed already, and half of such packets are answered by then.
    ``spread``: half the usual spread after the office was heard. ``named``: the office named it.
    ``too late``: the day the paper is needed had gone when the office was heard, so ask at once.
    """

    UNUSUAL = "unusual"
    NEEDED = "needed"
    HALF = "half"
    SPREAD = "spread"
    NAMED = "named"
    TOO_LATE = "too late"


@dataclass(frozen=True, slots=True, kw_only=True)
class AskDay:
    """The day to ask and what sets it.

    ``before`` is the day it would be had the office not been heard, None when it was not; when
    something was heard just now, the day it was until then.
    """

    on: date
    why: AskWhy
    before: date | None = None
