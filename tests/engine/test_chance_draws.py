"""Drawn days and returns against the distributions of scipy, within four standard errors."""

from math import exp, log, sqrt

import numpy as np
import pytest
from scipy.special import betaln
from scipy.stats import beta, lognorm

from compliance.engine.chance_draws import (
    MOST_DAYS,
    count_returns,
    draw_normals,
    draw_uniforms,
    mail_days,
    office_days,
    office_days_beyond,
)
from compliance.rules.model import LeadDays

DRAWS = 200_000
FIRST_CLASS = LeadDays(fast=2, usual=5, slow=8)


def near(share: float, exact: float) -> bool:
    return abs(share - exact) < 4 * sqrt(max(exact * (1 - exact), 1e-6) / DRAWS)


def test_streams_are_told_apart_by_seed_and_name() -> None:
    one = draw_uniforms(7, 1_000, "paper/transit")

    assert np.array_equal(one, draw_uniforms(7, 1_000, "paper/transit"))
    for other in (
        draw_uniforms(8, 1_000, "paper/transit"),
        draw_uniforms(7, 1_000, "paper/transit~2"),
        draw_uniforms(7, 1_000, "paper/transit", "again", "1"),
    ):
        assert abs(np.corrcoef(one, other)[0, 1]) < 0.13
    assert one.min() > 0
    assert one.max() <= 1


def test_more_draws_begin_with_the_same_ones() -> None:
    """So a question may look at the first draws only."""
    assert np.array_equal(draw_normals(7, 50, "a"), draw_normals(7, 80, "a")[:50])


def test_office_days_are_lognormal_rounded_up() -> None:
    """Median 28, nine in ten by 44 (sigma = ln(44 / 28) / 1.2816)."""
    sigma = log(44 / 28) / 1.2815515655446004
    days = office_days(
        np.full(DRAWS, 28.0), np.full(DRAWS, sigma), draw_normals(1, DRAWS, "office")
    )

    for day in (14, 28, 36, 44, 60, 90):
        assert near(float((days <= day).mean()), float(lognorm.cdf(day, s=sigma, scale=28)))
    # Rounding up adds half a day on the average.
    mean = lognorm.mean(s=sigma, scale=28) + 0.5
    assert abs(days.mean() - mean) < 4 * lognorm.std(s=sigma, scale=28) / sqrt(DRAWS) + 0.01


@pytest.mark.parametrize("age", [0, 10, 30, 120])
def test_office_days_beyond_an_age_are_cut_off_lognormal(age: int) -> None:
    sigma = 0.4
    days = office_days_beyond(
        np.full(DRAWS, 28.0),
        np.full(DRAWS, sigma),
        draw_uniforms(2, DRAWS, "office"),
        np.full(DRAWS, age),
    )
    left = lognorm.sf(age, s=sigma, scale=28)

    assert days.min() == age + 1 if age else days.min() >= 1
    for more in (2, 10, 40):
        exact = 1 - lognorm.sf(age + more, s=sigma, scale=28) / left
        assert near(float((days <= age + more).mean()), float(exact))


def test_office_days_far_beyond_every_hope_are_whole_days() -> None:
    """An age with a chance of 1e-300 still gives days, none of them before it."""
    days = office_days_beyond(
        np.full(5, 10.0), np.full(5, 0.1), draw_uniforms(2, 5, "x"), np.full(5, 400)
    )

    assert ((days > 400) & (days < 500)).all()


def test_office_days_without_end_are_cut() -> None:
    assert office_days(np.array([1e9]), np.array([1.5]), np.array([8.0])).tolist() == [MOST_DAYS]


def test_mail_days_keep_their_three_marks() -> None:
    """Never under fast; half by usual, evenly; nine in ten by slow: the model's own statement."""
    days = mail_days(FIRST_CLASS, draw_uniforms(3, DRAWS, "mail"))

    assert days.min() == 2
    for day, exact in ((2, 0.125), (3, 0.25), (5, 0.5), (8, 0.9), (11, 0.98), (14, 0.996)):
        assert near(float((days <= day).mean()), exact)


@pytest.mark.parametrize(
    ("lead", "days"),
    [
        (LeadDays(fast=3, usual=3, slow=3), {3}),
        (LeadDays(fast=0, usual=0, slow=0), {0}),
        (LeadDays(fast=2, usual=5, slow=5), {2, 3, 4, 5}),
    ],
)
def test_mail_days_without_room_are_fixed_or_end(lead: LeadDays, days: set[int]) -> None:
    assert set(mail_days(lead, draw_uniforms(3, 5_000, "mail")).tolist()) == days


def test_mail_days_a_quicker_service_is_never_slower() -> None:
    """The same draws under a service that is quicker at every pace."""
    draws = draw_uniforms(4, DRAWS, "mail")
    express = mail_days(LeadDays(fast=1, usual=2, slow=3), draws)

    assert (express <= mail_days(FIRST_CLASS, draws)).all()


def test_returns_are_beta_geometric() -> None:
    """P(n returns) = B(a + n, b + 1) / B(a, b) for Beta(a, b); two in a row beat the square."""
    first, second = 1.0, 3.0
    chance = beta.ppf(draw_uniforms(5, DRAWS, "chance"), first, second)
    returns = count_returns(chance, [draw_uniforms(5, DRAWS, "answer", str(n)) for n in range(40)])

    for n in range(5):
        exact = exp(betaln(first + n, second + 1) - betaln(first, second))
        assert near(float((returns == n).mean()), exact)
    both = first * (first + 1) / ((first + second) * (first + second + 1))
    assert near(float((returns >= 2).mean()), both)
    assert both > (first / (first + second)) ** 2


def test_returns_stop_at_the_last_mailing_drawn() -> None:
    draws = [draw_uniforms(6, 1_000, str(n)) for n in range(3)]

    assert count_returns(np.ones(1_000), draws).tolist() == [3] * 1_000
    assert count_returns(np.zeros(1_000), draws).tolist() == [0] * 1_000
