"""What is asked of a database, whichever way it was opened."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

SCHEMA_VERSION = 1
BUSY_SECONDS = 5

Sign = Literal["=", ">=", "<=", "in", "holds"]
Condition = tuple[str, Sign, str | int | date | tuple[int, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Which columns of which rows, in which order; every condition must hold.

    Each condition is column, sign, value. ``in`` takes several numbers; ``holds`` finds a text
    within a column that is kept in small letters.
    """

    table: str
    columns: tuple[str, ...]
    where: tuple[Condition, ...] = ()
    order: tuple[str, ...] = ()
