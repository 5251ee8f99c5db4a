"""How many packets were still out after each day, by counting alone."""

from compliance.engine.turnaround_grid import Tally


def compute_still_out(tally: Tally) -> tuple[tuple[int, float], ...]:
    """Compute the share of packets still out after each day on which one was decided.

    Shape: (counted days, share), days rising, shares falling. A packet pending at an age counts
    among those out on that day and not later.

    Source: the product-limit estimate of Kaplan and Meier (1958), J. Am. Stat. Assoc. 53.
    """
    decided = dict(tally.decided)
    pending = dict(tally.pending)
    at_office = sum(decided.values()) + sum(pending.values())
    share = 1.0
    found = []
    for day in sorted(decided.keys() | pending.keys()):
        done = decided.get(day, 0)
        if done:
            share *= 1 - done / at_office
            found.append((day, share))
        at_office -= done + pending.get(day, 0)
    return tuple(found)


def find_day(still_out: tuple[tuple[int, float], ...], chance: float) -> int | None:
    """Find the first day by which a share of the packets is decided; None when it never is."""
    enough = 1 - chance + 1e-12  # what rounding leaves of a share
    return next((day for day, share in still_out if share <= enough), None)
