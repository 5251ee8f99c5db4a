"""Values a user put in place of a rule row's own."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """A value the user put in place of a row's own, with the reason and the day it was set."""

    row: str
    field: str
    value: str
    reason: str
    set_on: date
