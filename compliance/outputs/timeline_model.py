"""A season as marks and lines in days and rows, before anything is measured or drawn."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Weight(StrEnum):
    """How a stretch of days is to be told from others, without colour.

    Happened: what is past. Ahead: what is planned. Room: days to spare. Late: days that are
    missing. In force: a paper is in hand. Spraying: the days of a job.
    """

    HAPPENED = "happened"
    AHEAD = "ahead"
    ROOM = "room"
    LATE = "late"
    IN_FORCE = "in force"
    SPRAYING = "spraying"


class Sign(StrEnum):
    """The shape of a mark; what it means stands beside it in words."""

    DONE = "done"
    BACK = "back"
    SAFE = "safe"
    LAST = "last"
    READY = "ready"
    NEEDED = "needed"
    ENDS = "ends"
    TOWN = "town"
    ASK = "ask"
    SPREAD = "spread"
    EDGE = "edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Days from ``first`` through ``last``, both inclusive."""

    first: date
    last: date
    weight: Weight


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Days on which an answer may come: the soonest, the most likely and a slow one."""

    soonest: date
    likely: date
    slow: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One day with its words; ``short`` says the same where room is scarce.

    ``said`` says more to those who cannot see the picture; empty when the words are enough.
    ``order`` sorts marks that compete for room: the lowest number is placed first.
    """

    on: date
    sign: Sign
    words: str
    short: str
    said: str = ""
    order: int = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One calm line: title and notes at its left, stretches, spreads and marks along the days."""

    key: str
    title: str
    notes: tuple[str, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    spreads: tuple[Spread, ...] = ()
    marks: tuple[Mark, ...] = ()
    is_late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Rows that belong to the same thing, under its name."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Everything one page shows.

    Shape: ``first`` is the first day of a month and ``last`` the last day of one, both inclusive;
    every stretch and mark lies between them. A spread may end later and is then cut off in the
    picture. ``begins`` are the first days of the jobs, drawn down through all rows. ``notices``
    stand at the foot.
    """

    title: str
    under: tuple[str, ...]
    as_of: date
    first: date
    last: date
    groups: tuple[Group, ...]
    begins: tuple[date, ...]
    notices: tuple[str, ...]

    @property
    def row_count(self) -> int:
        """Count the rows of all groups."""
        return sum(len(group.rows) for group in self.groups)


def say_season(season: Season) -> str:
    """Say the whole picture in words, for somebody who cannot see it; one line a row."""
    lines = [f"{season.title}. {' '.join(season.under)}"]
    for group in season.groups:
        lines.append(f"{group.title}:")
        for row in group.rows:
            marks = [
                mark.said or mark.words for mark in sorted(row.marks, key=lambda mark: mark.on)
            ]
            lines.append(f"{'; '.join([row.title, *row.notes, *marks])}.")
    lines.extend(season.notices)
    return "\n".join(lines)
