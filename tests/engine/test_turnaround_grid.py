"""Office times on a grid against general-purpose statistics (scipy.stats, scipy.integrate)."""

import math
from collections.abc import Mapping
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from compliance.engine.turnaround_belief import Belief
from compliance.engine.turnaround_grid import (
    FACTOR_SD,
    SIGMA_SD,
    Floats,
    Prior,
    Tally,
    compute_cells,
    compute_office_grid,
    log_survival,
)
from compliance.rules.model import LeadDays

PRIOR = Prior.of(LeadDays(fast=7, usual=15, slow=30))
SEEN = Tally.of(decided={12: 1, 22: 2, 31: 1}, pending={18: 1, 40: 1}, returned=1)
OTHER = Prior.of(LeadDays(fast=3, usual=10, slow=20))


def believe(prior: Prior, tally: Tally) -> Belief:
    cells = {"kind": compute_cells(prior, tally)}
    grid = compute_office_grid(cells)
    return Belief(prior, cells["kind"], grid.weigh_kind("kind"), 0.0)


def test_log_survival_is_that_of_the_normal_distribution() -> None:
    """Against scipy.stats.norm.logsf, from the far left to the far right tail."""
    z = np.linspace(-30, 60, 18_001)

    assert np.allclose(log_survival(z), stats.norm.logsf(z), rtol=1e-9, atol=2e-8)


@pytest.mark.parametrize("days", [(7, 15, 30), (14, 21, 45), (0, 1, 3), (20, 100, 150)])
def test_prior_puts_half_on_the_usual_and_nine_tenths_on_the_slow_day(
    days: tuple[int, int, int],
) -> None:
    """Against the quantiles of scipy.stats.lognorm."""
    fast, usual, slow = days

    prior = Prior.of(LeadDays(fast=fast, usual=usual, slow=slow))

    known = stats.lognorm(s=prior.sigma, scale=prior.median)
    assert known.ppf(0.5) == pytest.approx(usual)
    assert known.ppf(0.9) == pytest.approx(slow)


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        ((0, 0, 0), Prior(0.5, 0.1)),  # neither has a logarithm
        ((5, 5, 5), Prior(5.0, 0.1)),
        ((1, 1, 400), Prior(1.0, 1.5)),
    ],
)
def test_prior_of_days_that_a_lognormal_does_not_fit(
    days: tuple[int, int, int], expected: Prior
) -> None:
    """Fixed days keep a little spread, wild ones a bounded one."""
    fast, usual, slow = days

    assert Prior.of(LeadDays(fast=fast, usual=usual, slow=slow)) == expected


def likelihood(prior: Prior, tally: Tally, shift: Floats, sigma: Floats) -> Floats:
    """The likelihood written anew with scipy.stats.lognorm: density for decided, survival for out.

    ``sigma`` is down the first axis, ``shift`` along the second.
    """
    known = stats.lognorm(s=sigma[:, None], scale=prior.median * np.exp(shift)[None, :])
    found: Floats = np.ones((len(sigma), len(shift)))
    for day, count in tally.decided:
        found = found * known.pdf(max(day, 1) - 0.5) ** count
    for age, count in tally.pending:
        found = found * known.sf(age) ** count
    return found


def integrate_office(kinds: Mapping[str, tuple[Prior, Tally]], name: str) -> tuple[float, float]:
    """Mean and variance of one kind's log shift by integrating factor, own part and spread.

    Simpson's rule (scipy.integrate) over the office's factor, each kind's shift, each spread.
    """
    shift, factor = np.linspace(-3, 3, 601), np.linspace(-2, 2, 401)
    own = stats.norm.pdf(shift[None, :], loc=factor[:, None], scale=FACTOR_SD)
    given_shift: dict[str, Floats] = {}
    for kind, (prior, tally) in kinds.items():
        sigma = prior.sigma * np.exp(np.linspace(-2, 2, 201))
        weights = stats.lognorm.pdf(sigma, s=SIGMA_SD, scale=prior.sigma)
        values = likelihood(prior, tally, shift, sigma) * weights[:, None]
        given_shift[kind] = integrate.simpson(values, x=sigma, axis=0)
    joint = stats.norm.pdf(factor, scale=FACTOR_SD)
    for kind, values in given_shift.items():
        if kind != name:
            joint = joint * integrate.simpson(own * values[None, :], x=shift, axis=1)
    density = given_shift[name] * integrate.simpson(joint[:, None] * own, x=factor, axis=0)
    total = integrate.simpson(density, x=shift)
    mean = integrate.simpson(density * shift, x=shift) / total
    variance = integrate.simpson(density * (shift - mean) ** 2, x=shift) / total
    return float(mean), float(variance)


@pytest.mark.parametrize(
    "tally",
    [
        Tally(),
        SEEN,
        Tally.of(decided={}, pending={60: 1}, returned=0),
        Tally.of(decided={45: 1}, pending={}, returned=0),
        Tally.of(decided={0: 2, 1: 1}, pending={}, returned=0),
        Tally.of(decided={20: 12, 25: 9, 40: 4}, pending={10: 7}, returned=3),
    ],
)
def test_grid_agrees_with_integration_by_brute_force(tally: Tally) -> None:
    """The mean and the variance of the log median, one kind alone."""
    cells = {"kind": compute_cells(PRIOR, tally)}
    chances = compute_office_grid(cells).weigh_kind("kind").sum(axis=1)
    shifts = cells["kind"].shifts

    mean, variance = integrate_office({"kind": (PRIOR, tally)}, "kind")

    assert float(chances @ shifts) == pytest.approx(mean, abs=2e-3)
    spread = float(chances @ (shifts - float(chances @ shifts)) ** 2)
    assert spread == pytest.approx(variance, rel=0.01)


@pytest.mark.parametrize("name", ["seen", "other"])
def test_what_is_seen_of_one_kind_moves_the_others_of_the_office(name: str) -> None:
    """Two kinds through the factor they share, against integration by brute force."""
    slow = Tally.of(decided={40: 3, 60: 2}, pending={}, returned=0)
    kinds = {"seen": (PRIOR, slow), "other": (OTHER, Tally())}
    cells = {kind: compute_cells(prior, tally) for kind, (prior, tally) in kinds.items()}
    chances = compute_office_grid(cells).weigh_kind(name).sum(axis=1)

    mean, _ = integrate_office(kinds, name)

    assert float(chances @ cells[name].shifts) == pytest.approx(mean, abs=3e-3)
    assert mean > 0.3


def test_predicted_chances_agree_with_integration() -> None:
    """The chance to be decided by a day, nothing seen: a lognormal mixed over its two unknowns.

    Against scipy.integrate over the spread; the shift adds its variance to the logarithm.
    """
    belief = believe(PRIOR, Tally())
    for days in (5, 15, 30, 60):

        def chance(log_spread: float, days: int = days) -> float:
            sigma = PRIOR.sigma * math.exp(log_spread)
            whole = math.sqrt(sigma**2 + 2 * FACTOR_SD**2)
            density = stats.norm.pdf(log_spread, scale=SIGMA_SD)
            return float(stats.norm.cdf(math.log(days / PRIOR.median) / whole) * density)

        expected = integrate.quad(chance, -2.4, 2.4)[0]
        assert belief.chance_by(days) == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize(("chance", "after"), [(0.5, 0.0), (0.9, 0.0), (0.5, 25.0), (0.9, 40.0)])
def test_days_by_is_the_first_whole_day_with_the_chance(chance: float, after: float) -> None:
    """Also for a packet that is still out: (F(x) - F(age)) / (1 - F(age))."""
    belief = believe(PRIOR, SEEN)

    def given_out(days: int) -> float:
        past = belief.chance_by(after)
        return (belief.chance_by(days) - past) / (1 - past)

    day = belief.days_by(chance, after=after)

    assert given_out(day) >= chance > given_out(day - 1)


def test_days_by_refuses_a_chance_of_one() -> None:
    """A lognormal never ends."""
    with pytest.raises(ValueError, match=r"a chance lies between 0 and 1; got 1.0"):
        believe(PRIOR, SEEN).days_by(1.0)


def median(prior: Prior, decided: dict[int, int], age: int) -> float:
    """The believed median, not rounded to days."""
    belief = believe(prior, Tally.of(decided=decided, pending={age: 1}, returned=0))
    low, high = 1e-1, 1e3
    for _ in range(30):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if belief.chance_by(middle) < 0.5 else (low, middle)
    return high


@pytest.mark.parametrize("days", [(7, 15, 30), (14, 21, 45), (20, 100, 150), (30, 60, 75)])
def test_longer_pending_never_lowers_the_believed_median(days: tuple[int, int, int]) -> None:
    """A packet that has been out longer makes an office look slower; at last it adds nothing."""
    prior = Prior.of(LeadDays(fast=days[0], usual=days[1], slow=days[2]))

    ages = (0, 1, 3, 6, 10, 15, 20, 30, 45, 60, 80, 100, 130, 170, 230, 310, 420, 700)
    medians = [median(prior, {}, age) for age in ages]

    assert all(later >= 0.999 * early for early, later in pairwise(medians))
    assert medians[-1] > 1.5 * medians[0]


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(st.integers(1, 60), st.integers(1, 3), max_size=4),
    st.integers(0, 120),
    st.integers(0, 120),
)
def test_longer_pending_hardly_ever_lowers_the_median_whatever_was_decided(
    decided: dict[int, int], age: int, longer: int
) -> None:
    """Against decisions that all say otherwise it may also make the office look erratic.

    That costs the median a few hundredths at most.
    """
    assert median(PRIOR, decided, age + longer) >= 0.96 * median(PRIOR, decided, age)


@pytest.mark.parametrize("count", [400, 100_000])
def test_much_evidence_leaves_little_doubt(count: int) -> None:
    """The doubt about the log median shrinks as sigma / root n (the textbook standard error)."""
    truth = stats.lognorm(s=0.4, scale=60)
    middle = (np.arange(count) + 0.5) / count
    days, counts = np.unique(np.ceil(truth.ppf(middle)).astype(int), return_counts=True)
    decided = dict(zip(days.tolist(), counts.tolist(), strict=True))

    cells = compute_cells(PRIOR, Tally.of(decided=decided, pending={}, returned=0))

    chances = cells.weights.sum(axis=1) / cells.weights.sum()
    mean = float(chances @ cells.shifts)
    sd = math.sqrt(float(chances @ (cells.shifts - mean) ** 2))
    assert PRIOR.median * math.exp(mean) == pytest.approx(60, rel=0.01)
    assert sd == pytest.approx(0.4 / math.sqrt(count), rel=0.05)


def test_without_pending_leaves_out_one_packet_of_that_age() -> None:
    """And nothing else."""
    tally = Tally.of(decided={3: 1}, pending={7: 2, 9: 1}, returned=1)

    assert tally.without_pending(7) == Tally.of(decided={3: 1}, pending={7: 1, 9: 1}, returned=1)
    assert tally.without_pending(9) == Tally.of(decided={3: 1}, pending={7: 2}, returned=1)
    assert (tally.finished, tally.out, tally.granted) == (1, 3, 0)


def test_rough_tally_keeps_the_number_of_packets() -> None:
    """At most so many ages are left, each one of those seen."""
    tally = Tally.of(decided={3: 1}, pending=dict.fromkeys(range(1, 90), 2), returned=0)

    rough = tally.rough(20)

    assert rough.out == tally.out == 178
    assert len(rough.pending) <= 20
    assert {age for age, _ in rough.pending} <= set(range(1, 90))
    assert tally.rough(89) is tally
