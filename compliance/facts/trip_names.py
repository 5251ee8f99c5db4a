"""A trip the calendar has named, so that it stays the same entry when it is planned anew."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedTrip:
    """A trip by number: the day it was last planned for and the keys of its errands.

    Shape: keys name packet, year of need, step and round, and hold no date of a trip.
    """

    number: int
    planned_on: date
    errands: tuple[str, ...]
