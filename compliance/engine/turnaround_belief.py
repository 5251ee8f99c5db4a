"""What is believed of each office now: by when packets are decided, and how many come back."""

import math
from dataclasses import dataclass

import numpy as np

from compliance.engine.turnaround import Seen, prior_of, returns_of
from compliance.engine.turnaround_grid import (
    Cells,
    Floats,
    Prior,
    compute_cells,
    compute_office_grid,
    log_survival,
)
from compliance.rules.model import StepRow

_MOST_DAYS = 1 << 20


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of one kind of packet.

    ``comes_back`` is the expected chance that one decision sends the packet back, 0 when none can.
    """

    prior: Prior
    cells: Cells
    chances: Floats
    comes_back: float

    def chance_by(self, days: float) -> float:
        """Give the chance that a packet is decided within so many counted days."""
        if days <= 0:
            return 0.0
        z = (math.log(days / self.prior.median) - self.cells.shifts[:, None]) / self.cells.sigmas
        return float((self.chances * (1 - np.exp(log_survival(z)))).sum())

    def days_by(self, chance: float, *, after: float = 0.0) -> int:
        """Give the counted days within which it is decided with a chance.

        Shape: whole days, rounded up. With *after* the chance is that of a packet which is still
        out after that many days.

        Raises:
            ValueError: The chance is not above 0 and below 1.
        """
        if not 0 < chance < 1:
            raise ValueError(f"a chance lies between 0 and 1; got {chance}")
        past = self.chance_by(after)
        wanted = past + chance * (1 - past)
        low = math.floor(after)
        high = max(low + 1, math.ceil(self.prior.median))
        while high < _MOST_DAYS and self.chance_by(high) < wanted:
            low, high = high, min(2 * high, _MOST_DAYS)
        while high - low > 1:
            middle = (low + high) // 2
            if self.chance_by(middle) < wanted:
                low = middle
            else:
                high = middle
        return high


def compute_beliefs(rows: tuple[StepRow, ...], seen: Seen) -> dict[str, Belief]:
    """Compute what is believed of step rows, by their ids.

    Rows of one office are believed together: pass all rows of an office that were seen. Of several
    editions of a row the first counts. The result is worked out from the rows and what was seen
    each time; nothing of it is kept.
    """
    kinds: dict[str, StepRow] = {}
    for row in rows:
        kinds.setdefault(row.id, row)
    by_office: dict[str, list[StepRow]] = {}
    for row in kinds.values():
        by_office.setdefault(seen.office(row.id), []).append(row)
    found: dict[str, Belief] = {}
    for members in by_office.values():
        found |= _believe_office(members, seen)
    return {name: found[name] for name in kinds}


def believe_without(rows: tuple[StepRow, ...], seen: Seen, step: str, age: int) -> Belief:
    """Compute what would be believed of a kind if one pending packet of an age had not been seen.

    A packet must not make its own slowness look usual.
    """
    office = seen.office(step)
    members = tuple(row for row in rows if seen.office(row.id) == office)
    tallies = {**seen.tallies, step: seen.tally(step).without_pending(age)}
    return compute_beliefs(members, Seen(offices=seen.offices, tallies=tallies))[step]


def _believe_office(members: list[StepRow], seen: Seen) -> dict[str, Belief]:
    priors = {row.id: prior_of(row) for row in members}
    cells = {row.id: compute_cells(priors[row.id], seen.tally(row.id)) for row in members}
    grid = compute_office_grid(cells)
    found = {}
    for row in members:
        first, second = returns_of(row, seen.tally(row.id))
        found[row.id] = Belief(
            priors[row.id], cells[row.id], grid.weigh_kind(row.id), first / (first + second)
        )
    return found
