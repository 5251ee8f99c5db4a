"""Quantiles of the normal distribution against scipy."""

import numpy as np
from scipy.special import ndtri

from compliance.engine.normal import find_quantiles


def test_find_quantiles_are_those_of_scipy() -> None:
    """In the middle, near the bounds between the algorithm's parts, and far out on both sides."""
    chances = np.concatenate(
        (
            np.linspace(1e-9, 1 - 1e-9, 200_001),
            10.0 ** -np.arange(1.0, 300.0),
            1 - 10.0 ** -np.arange(1.0, 16.0),
            0.5 + 0.425 * np.array([-1.0, 1.0]) + 1e-12,
        )
    )

    assert np.abs(find_quantiles(chances) - ndtri(chances)).max() < 1e-12


def test_find_quantiles_of_never_and_always() -> None:
    assert find_quantiles(np.array([0.0, 0.5, 1.0])).tolist() == [-np.inf, 0.0, np.inf]
