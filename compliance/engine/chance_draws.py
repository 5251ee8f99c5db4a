"""Draws of what nobody knows: days in the mail, days at an office, and how often a packet returns.

Every step and round has a stream of its own, found from its name and the seed. So two plans with
the same steps use the same draws, and a plan that is better in every draw never looks worse.
"""

import math
from collections.abc import Iterable
from hashlib import sha256

import numpy as np
import numpy.typing as npt
from numpy.random import Generator, Philox

from compliance.engine.normal import find_quantiles
from compliance.engine.turnaround_grid import log_survival
from compliance.rules.model import LeadDays

Floats = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]

USUAL_SHARE = 0.5
SLOW_SHARE = 0.9
MOST_DAYS = 1 << 30
"""Stands for days without end; more than any calendar has."""


def draw_uniforms(seed: int, draws: int, *names: str) -> Floats:
    """Draw numbers above 0 and up to 1 from the stream of a name; equal input, equal draws."""
    found: Floats = 1.0 - _stream(seed, *names).random(draws)
    return found


def draw_normals(seed: int, draws: int, *names: str) -> Floats:
    """Draw standard normal numbers from the stream of a name; equal input, equal draws."""
    found: Floats = _stream(seed, *names).standard_normal(draws)
    return found


def _stream(seed: int, *names: str) -> Generator:
    digest = sha256("\x1f".join((str(seed), *names)).encode()).digest()
    return Generator(Philox(key=int.from_bytes(digest[:16], "big")))


def mail_days(lead: LeadDays, chances_left: Floats) -> Counts:
    """Turn uniform draws into counted days in the mail; the smaller the draw, the longer.

    Model, an own planning guess without a source: never under ``fast`` days; half of all letters
    take at most ``usual`` days, spread evenly from ``fast`` on; nine in ten take at most ``slow``
    days; beyond ``usual`` the days fall off exponentially without end. The rows put ``usual`` at
    the upper end of a service's standard, so half is cautious: most services say they do better.
    Equal days are fixed days.
    """
    if lead.fast == lead.slow:
        return np.full(len(chances_left), lead.usual, dtype=np.int64)
    spread = (lead.usual - lead.fast + 1) / USUAL_SHARE
    early = lead.fast - 1 + spread * (1 - chances_left)
    falling = (lead.slow - lead.usual) / math.log((1 - USUAL_SHARE) / (1 - SLOW_SHARE))
    late = lead.usual + falling * np.log((1 - USUAL_SHARE) / chances_left)
    days = np.ceil(np.where(chances_left >= 1 - USUAL_SHARE, early, late))
    return np.maximum(days, lead.fast).astype(np.int64)


def office_days(median: Floats, sigma: Floats, normals: Floats) -> Counts:
    """Turn standard normal draws into counted days at an office; the greater, the longer.

    Shape: lognormal with that median and spread, rounded up to whole days.
    """
    with np.errstate(over="ignore"):
        days = np.ceil(median * np.exp(sigma * normals))
    found: Counts = np.minimum(days, MOST_DAYS).astype(np.int64)
    return found


def office_days_beyond(median: Floats, sigma: Floats, chances_left: Floats, over: Counts) -> Counts:
    """Turn uniform draws into counted days at an office that are more than some gone by already.

    Shape: ``over`` are the whole days that have gone by without an answer; the smaller the draw,
    the longer.
    """
    left = chances_left * np.exp(log_office_left(median, sigma, over))
    found: Counts = np.maximum(
        office_days(median, sigma, -find_quantiles(left)), np.maximum(over, 0) + 1
    )
    return found


def log_office_left(median: Floats, sigma: Floats, over: Counts) -> Floats:
    """Give the logarithm of the chance that an office takes more than some days."""
    with np.errstate(divide="ignore"):
        passed = (np.log(np.maximum(over, 0)) - np.log(median)) / sigma
    return log_survival(np.maximum(passed, -40.0))


def log_mail_left(lead: LeadDays, over: Counts) -> Floats:
    """Give the logarithm of the chance that the mail takes more than some days; see `mail_days`."""
    days = over.astype(np.float64)
    spread = (lead.usual - lead.fast + 1) / USUAL_SHARE
    early = 1 - np.clip((days - lead.fast + 1) / spread, 0, USUAL_SHARE)
    falling = (lead.slow - lead.usual) / math.log((1 - USUAL_SHARE) / (1 - SLOW_SHARE))
    beyond = np.maximum(days - lead.usual, 0)
    tail = beyond / falling if falling else np.where(beyond > 0, np.inf, 0.0)
    found: Floats = np.log(early) - tail
    return found


def count_returns(chance: Floats, uniforms: Iterable[Floats]) -> Counts:
    """Count how often a packet comes back before it is granted.

    Shape: one array of uniform draws for each mailing; as many as there are when it comes back
    every time. With one *chance* a draw for all its mailings this is beta-geometric when the chance
    has a Beta distribution.
    """
    back = np.ones(len(chance), dtype=np.bool_)
    found = np.zeros(len(chance), dtype=np.int64)
    for draws in uniforms:
        back &= draws > 1 - chance
        found += back
        if not back.any():
            break
    return found
