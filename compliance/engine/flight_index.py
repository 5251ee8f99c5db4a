"""The logged flights that may be those of a record, found without going through a whole log."""

from collections.abc import Iterable, Iterator
from datetime import date

from compliance.base.dates import add_days
from compliance.facts.events import JobEvent
from compliance.facts.records import Application

# No two places on earth differ by more days than this.
_MARGIN = 2


class FlightIndex:
    """Logged flights by number, and by job and day."""

    def __init__(self, flights: Iterable[JobEvent]) -> None:
        """Take the flights that stand, in their order."""
        self._flights = tuple(flights)
        self._places: dict[int, int] = {}
        self._by_day: dict[tuple[str, date], list[int]] = {}
        self._zones: set[str] = {""}
        for place, flight in enumerate(self._flights):
            self._places[flight.number] = place
            self._zones.update(str(one.tzinfo) for one in (flight.start, flight.end) if one)
            for day in _list_days(flight):
                self._by_day.setdefault((flight.job, day), []).append(place)

    def list_near(self, record: Application) -> tuple[JobEvent, ...]:
        """List the flights of a record's job that it names or that are of its day.

        Shape: in the order of the log. Where a record and a flight tell their hours by the clocks
        of two places, flights of the days around are among them too: every flight whose times or
        day the record's can meet is there, and whoever looks for those need not look at the others.
        """
        places = self._by_day.get((record.job, record.on), [])
        if record.zone and not self._zones <= {"", record.zone}:
            around = (add_days(record.on, at) for at in range(-_MARGIN, _MARGIN + 1))
            found = (self._by_day.get((record.job, day), []) for day in around)
            places = sorted({place for some in found for place in some})
        named = [self._places[one] for one in record.flights if one in self._places]
        others = {one for one in named if self._flights[one].job == record.job}.difference(places)
        if others:
            places = sorted({*places, *others})
        return tuple([self._flights[place] for place in places])


def _list_days(flight: JobEvent) -> Iterator[date]:
    days = [flight.on, *(one.date() for one in (flight.start, flight.end) if one is not None)]
    for at in range((max(days) - min(days)).days + 1):
        yield add_days(min(days), at)
