"""The arithmetic behind office times: a lognormal on a grid of medians and spreads."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from compliance.rules.model import LeadDays

Floats: TypeAlias = npt.NDArray[np.float64]
Places: TypeAlias = npt.NDArray[np.intp]

NINE_IN_TEN = 1.2815515655446004  # the standard normal quantile of 0.9
# The office's factor and the kind's own each have this standard deviation in the logarithm, about
# 0.5 together.
FACTOR_SD = 0.35
SIGMA_SD = 0.4
LEAST_SIGMA, MOST_SIGMA = 0.1, 1.5
SHORTEST = 0.5  # a median of no days has no logarithm

_REACH = 4.0  # how far a median may lie from the row's, in the logarithm: 55 times
_SIGMA_REACH = 2.0  # e squared times narrower or wider than the row says, at most
_COARSE, _FINE = (135, 51), (61, 31)
_REFINEMENTS = 4
_LOST_AFTER = 3.0  # times the slow days
_MANY_AGES = 60
_STEPS_PER_SD = 1.5  # a grid this fine gives moments of a normal weight to many digits
_SDS = 6.0
_FLOOR = 1e-300
_FACTORS = np.linspace(-6 * FACTOR_SD, 6 * FACTOR_SD, 85)
_LOG_ROOT_2_PI = 0.5 * math.log(2 * math.pi)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How often each number of days was seen, for one kind of packet.

    ``decided`` and ``pending`` are (counted days, how many), days rising; ``cut`` of the pending
    are not out any more but were sent back before this step was over. ``unseen`` were decided too,
    after days that nobody saw. ``passing`` are out at this step by usual days, and nobody will see
    when they leave it.
    """

    decided: tuple[tuple[int, int], ...] = ()
    pending: tuple[tuple[int, int], ...] = ()
    returned: int = 0
    cut: int = 0
    unseen: int = 0
    passing: int = 0

    @classmethod
    def of(
        cls,
        *,
        decided: Mapping[int, int],
        pending: Mapping[int, int],
        returned: int,
        cut: int = 0,
        unseen: int = 0,
    ) -> "Tally":
        """Sort counts by their days."""
        return cls(
            decided=tuple(sorted(decided.items())),
            pending=tuple(sorted(pending.items())),
            returned=returned,
            cut=cut,
            unseen=unseen,
        )

    @property
    def finished(self) -> int:
        """How many were decided."""
        return sum(n for _, n in self.decided) + self.unseen

    @property
    def out(self) -> int:
        """How many are pending."""
        return sum(n for _, n in self.pending) - self.cut + self.passing

    @property
    def is_empty(self) -> bool:
        """Tell whether nothing was seen."""
        return not (self.decided or self.pending or self.unseen or self.passing)

    @property
    def granted(self) -> int:
        """How many were decided and not sent back."""
        return self.finished - self.returned

    @property
    def says_days(self) -> bool:
        """Tell whether it says anything of the days an office takes."""
        return bool(self.decided) or any(days > 0 for days, _ in self.pending)

    def rough(self, most: int) -> "Tally":
        """Put pending packets of like age together, so that at most that many ages are left."""
        if len(self.pending) <= most:
            return self
        size = -(-len(self.pending) // most)
        pending: dict[int, int] = {}
        for at in range(0, len(self.pending), size):
            part = self.pending[at : at + size]
            pending[part[len(part) // 2][0]] = sum(n for _, n in part)
        return replace(self, pending=tuple(sorted(pending.items())))

    def without_pending(self, days: int) -> "Tally":
        """Leave out one pending packet of an age."""
        kept = {age: n - (age == days) for age, n in self.pending}
        pending = {age: n for age, n in kept.items() if n > 0}
        return replace(self, pending=tuple(sorted(pending.items())))


EMPTY = Tally()


class Prior(NamedTuple):
    """What a row says: a median in counted days and a spread in the logarithm."""

    median: float
    sigma: float

    @classmethod
    def of(cls, days: LeadDays) -> "Prior":
        """Take usual days as the median and slow ones as the nine-in-ten days."""
        median = max(float(days.usual), SHORTEST)
        sigma = math.log(max(days.slow, median) / median) / NINE_IN_TEN
        return cls(median, min(max(sigma, LEAST_SIGMA), MOST_SIGMA))

    @property
    def longest(self) -> float:
        """Give the days after which a packet still out is rather lost than slow.

        From then on its age says no more of the office. Without that bound a packet out for ever
        would make the office look erratic instead of slow, and the believed median would fall.
        """
        return _LOST_AFTER * self.median * math.exp(NINE_IN_TEN * self.sigma)


class Cells(NamedTuple):
    """A grid of one kind: shifts of its log median from the row's, spreads, and their weights.

    Shape: ``shifts`` (m,), ``sigmas`` (s,), both evenly spaced (spreads in the logarithm);
    ``weights`` (m, s) is the likelihood times the prior of the spread, the largest being 1. The
    prior of the shift is not in it.
    """

    shifts: Floats
    sigmas: Floats
    weights: Floats


def log_survival(z: Floats) -> Floats:
    """Give the logarithm of the chance that a standard normal is above z, also far out.

    Source: the table is `math.erfc`; between its places a cubic through values and slopes; beyond
    12 the asymptotic series (Abramowitz and Stegun 26.2.12, from memory).
    """
    table, slopes, low, step = _survival_table()
    inside = np.clip(z, low, low + step * (len(table) - 1.000001))
    at = (inside - low) / step
    place = at.astype(np.intp)
    t = at - place
    a, b = table[place], table[place + 1]
    da, db = slopes[place] * step, slopes[place + 1] * step
    found = a + t * (da + t * (3 * (b - a) - 2 * da - db + t * (2 * (a - b) + da + db)))
    found = np.where(z < low, 0.0, found)
    high = low + step * (len(table) - 1)
    if z.max() < high:
        return found
    far = np.maximum(z, high)
    q = 1 / (far * far)
    series = 1 - q * (1 - 3 * q * (1 - 5 * q * (1 - 7 * q)))
    tail = -0.5 * far * far - np.log(far) - _LOG_ROOT_2_PI + np.log(series)
    return np.where(z >= high, tail, found)


@lru_cache(maxsize=1)
def _survival_table() -> tuple[Floats, Floats, float, float]:
    low, step, count = -9.0, 0.01, 2101
    places = [low + step * at for at in range(count)]
    chances = [0.5 * math.erfc(z / math.sqrt(2)) for z in places]
    slopes = [
        -math.exp(-0.5 * z * z - _LOG_ROOT_2_PI - math.log(p))
        for z, p in zip(places, chances, strict=True)
    ]
    return np.array([math.log(p) for p in chances]), np.array(slopes), low, step


def compute_log_likelihood(prior: Prior, tally: Tally, shifts: Floats, sigmas: Floats) -> Floats:
    """Compute the log likelihood of what was seen for each shift and spread, but for a constant.

    Shape: (shifts, sigmas). A decision on the n-th counted day counts with the density at the
    middle of that day, a decision on the day itself like one on the first; a pending packet counts
    with the chance that it takes longer than its age, or than three times the slow days.
    """
    center = math.log(prior.median) + shifts[:, None]
    found = np.zeros((len(shifts), len(sigmas)))
    if tally.decided:
        days = np.array([max(day, 1) - 0.5 for day, _ in tally.decided])
        counts = np.array([n for _, n in tally.decided], dtype=float)
        logs = np.log(days)
        total = counts.sum()
        mean = (counts * logs).sum() / total
        squares = (counts * (logs - mean) ** 2).sum()
        spread = (squares + total * (mean - center) ** 2) / (2 * sigmas * sigmas)
        found = found - total * np.log(sigmas) - spread
    for age, n in tally.pending:
        if age > 0:
            longer_than = math.log(min(age, prior.longest))
            found = found + n * log_survival((longer_than - center) / sigmas)
    return found


def compute_cells(prior: Prior, tally: Tally) -> Cells:
    """Compute the weights of one kind on a grid that is fine where they are large.

    The prior of the spread is normal in its logarithm around the row's; much evidence makes the
    grid narrow, so that it can still tell two medians apart.
    """
    center = math.log(prior.sigma)
    shifts = np.linspace(-_REACH, _REACH, _COARSE[0])
    logs = np.linspace(center - _SIGMA_REACH, center + _SIGMA_REACH, _COARSE[1])
    cells = _weigh(prior, tally.rough(_MANY_AGES), shifts, logs)
    for _ in range(_REFINEMENTS):
        mass = cells.weights * np.exp(-0.25 * (cells.shifts / FACTOR_SD) ** 2)[:, None]
        narrow = _narrow(shifts, mass.sum(axis=1), _FINE[0])
        narrow_logs = _narrow(logs, mass.sum(axis=0), _FINE[1])
        if narrow is None and narrow_logs is None:
            break
        shifts = shifts if narrow is None else narrow
        logs = logs if narrow_logs is None else narrow_logs
        cells = _weigh(prior, tally, shifts, logs)
    return cells


def _weigh(prior: Prior, tally: Tally, shifts: Floats, logs: Floats) -> Cells:
    sigmas = np.exp(logs)
    found = compute_log_likelihood(prior, tally, shifts, sigmas)
    found = found - 0.5 * ((logs - math.log(prior.sigma)) / SIGMA_SD) ** 2
    return Cells(shifts, sigmas, np.exp(found - found.max()))


def _narrow(axis: Floats, mass: Floats, count: int) -> Floats | None:
    """Give a finer axis around the mass, or None when this one is fine enough."""
    step = float(axis[1] - axis[0])
    total = mass.sum()
    mean = float((mass * axis).sum() / total)
    sd = math.sqrt(max(float((mass * (axis - mean) ** 2).sum() / total), 0.0))
    if sd >= _STEPS_PER_SD * step:
        return None
    reach = max(_SDS * sd, _STEPS_PER_SD * step)
    return np.linspace(mean - reach, mean + reach, count)


@dataclass(frozen=True, eq=False)
class OfficeGrid:
    """What is believed of one office: its factor in the logarithm and the cells of its kinds.

    ``chances`` are those of ``factors``; everything seen at the office is in them.
    """

    factors: Floats
    chances: Floats
    cells: Mapping[str, Cells]
    own: Mapping[str, Floats]

    def pick_factor(self, uniforms: Floats) -> Places:
        """Pick places on the grid of factors by uniform numbers in [0, 1)."""
        return _pick(np.cumsum(self.chances), uniforms)

    def pick_kind(self, kind: str, factors: Places, uniforms: Floats) -> tuple[Floats, Floats]:
        """Pick shifts and spreads of a kind, given places of factors; four uniforms for each."""
        cells = self.cells[kind]
        shifts = _pick_in_rows(self._given(kind), factors, uniforms[0])
        sigmas = _pick_in_rows(cells.weights, shifts, uniforms[1])
        logs = np.log(cells.sigmas)
        # A place stands for all values nearer to it than to its neighbours.
        shift_step, log_step = cells.shifts[1] - cells.shifts[0], logs[1] - logs[0]
        return (
            cells.shifts[shifts] + shift_step * (uniforms[2] - 0.5),
            np.exp(logs[sigmas] + log_step * (uniforms[3] - 0.5)),
        )

    def weigh_kind(self, kind: str) -> Floats:
        """Compute the chance of each cell of a kind; they add up to 1."""
        given = self._given(kind)
        by_shift = self.chances @ (given / given.sum(axis=1, keepdims=True))
        rows = self.cells[kind].weights
        totals = rows.sum(axis=1, keepdims=True)
        found: Floats = by_shift[:, None] * rows / np.where(totals > 0, totals, 1)
        return found

    def _given(self, kind: str) -> Floats:
        """Give the weight of each shift of a kind for each factor."""
        found: Floats = self.own[kind] * self.cells[kind].weights.sum(axis=1)
        return found


def compute_office_grid(cells: Mapping[str, Cells]) -> OfficeGrid:
    """Put the kinds of one office together through the factor they share."""
    logs = -0.5 * (_FACTORS / FACTOR_SD) ** 2
    own: dict[str, Floats] = {}
    for kind, one in cells.items():
        away = (one.shifts[None, :] - _FACTORS[:, None]) / FACTOR_SD
        # Only ratios within a row and between rows of one kind matter; a floor keeps logarithms.
        own[kind] = np.exp(-0.5 * away * away)
        logs = logs + np.log(own[kind] @ one.weights.sum(axis=1) + _FLOOR)
    chances = np.exp(logs - logs.max())
    return OfficeGrid(factors=_FACTORS, chances=chances / chances.sum(), cells=dict(cells), own=own)


def _pick(cumulated: Floats, uniforms: Floats) -> Places:
    places = np.searchsorted(cumulated, uniforms * cumulated[-1], side="right")
    found: Places = np.minimum(places, len(cumulated) - 1)
    return found


def _pick_in_rows(weights: Floats, rows: Places, uniforms: Floats) -> Places:
    """Pick a column for each of *rows*, by the weights of that row."""
    totals = weights.sum(axis=1, keepdims=True)
    shares = np.cumsum(weights / np.where(totals > 0, totals, 1), axis=1)
    # Row r takes the numbers from r to r + 1, so that one search serves all rows.
    flat = (np.minimum(shares, 1.0) + np.arange(len(weights))[:, None]).ravel()
    places = np.searchsorted(flat, rows + uniforms, side="right") - rows * weights.shape[1]
    found: Places = np.clip(places, 0, weights.shape[1] - 1)
    return found
