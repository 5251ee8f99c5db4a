"""How long offices take and how often they send packets back: what the rows say and what was seen.

The model, for one kind of packet (one step row): the days an office takes are lognormal with a
median and a spread ``sigma``. Before anything is seen the median is the row's usual days, times a
factor of the office (shared by all its kinds) and one of the kind, each with a standard deviation
of 0.35 in the logarithm; ``sigma`` is about ln(slow / usual) / 1.2816, which makes the slow days
the nine-in-ten days. Packets still out count as lasting longer than they have so far. A decision
sends the packet back with a chance that has a Beta distribution, ``comes_back`` at first.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from hashlib import sha256
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.random import Generator, Philox

from compliance.base.calendars import DayCalendar
from compliance.engine.turnaround_grid import (
    EMPTY,
    FACTOR_SD,
    SIGMA_SD,
    Cells,
    Floats,
    OfficeGrid,
    Prior,
    Tally,
    compute_cells,
    compute_office_grid,
)
from compliance.facts.log import EventKind, LogEntry
from compliance.rules.model import CalendarName, ComesBack, LeadDays, RulesTable, StepKind, StepRow

# For a row that an office can send back and that says nothing: a planning guess, no source.
GUESS = ComesBack(times=1, of=8)


class Outcome(StrEnum):
    """What became of a packet at an office; ``pending`` is still out."""

    GRANTED = "granted"
    RETURNED = "returned"
    PENDING = "pending"


class Sight(StrEnum):
    """What was seen of the days a packet took at one step of an office.

    ``whole``: all of them. ``none``: how the step ended is known, not when. ``least``: it was at
    this step when it was sent back, and would have taken longer.
    """

    WHOLE = "whole"
    NONE = "none"
    LEAST = "least"


class Stop(NamedTuple):
    """A step of an office, and the day a packet came to it by usual days."""

    step: str
    began_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One packet at one office, seen.

    ``step`` is the id of the step row it waits in, which is the kind of packet. ``sent_on`` is the
    day the office's time began, ``decided_on`` the day it ended, None while it is pending.
    ``still_out_on`` is the last day a pending one was known to be out, None for today.
    ``operation`` and ``packet`` say where it was seen, empty for an imported one. ``way_home`` has
    the usual counted days of the waits between a decision and the paper in hand, each with its
    calendar. ``times`` counts packets that are the same in all of this. ``heard`` is what the
    office last said of one that is pending. ``sight`` is what was seen of its days, ``there_since``
    the day the packet came to the office, None when that is ``sent_on``. ``stops`` are the office's
    steps before this one that a pending packet passes without a word, in the order they begin.
    """

    office: str
    step: str
    sent_on: date
    decided_on: date | None
    outcome: Outcome
    still_out_on: date | None = None
    operation: str = ""
    packet: str = ""
    way_home: tuple[tuple[CalendarName, int], ...] = ()
    times: int = 1
    heard: LogEntry | None = None
    sight: Sight = Sight.WHOLE
    there_since: date | None = None
    stops: tuple[Stop, ...] = ()

    def stop_on(self, day: date) -> Stop:
        """Give the office's step that the packet is at on a day, by usual days.

        A step is begun on the days after ``began_on``, as a return of that day is booked before it.
        """
        stops = (*self.stops, Stop(self.step, self.sent_on))
        begun = [stop for stop in stops if stop.began_on < day]
        return begun[-1] if begun else stops[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen, counted.

    ``offices`` maps step row ids to office ids, ``tallies`` step row ids to their counts; a row
    that is in neither has an office of its own and was never seen.
    """

    offices: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    tallies: Mapping[str, Tally] = field(default_factory=lambda: MappingProxyType({}))

    def tally(self, step: str) -> Tally:
        """Give the counts of a step row."""
        return self.tallies.get(step, EMPTY)

    def office(self, step: str) -> str:
        """Give the office of a step row."""
        return self.offices.get(step, step)


NOTHING_SEEN = Seen()


class OfficeDraws(NamedTuple):
    """Draws for one step row, each an array of shape (draws,).

    Units: ``median`` in counted days of the row's calendar, ``sigma`` in the logarithm;
    ``comes_back`` is the chance that one decision sends the packet back, 0 when none can.
    A pending packet is in them already, as one that took longer than its age: draw its time from
    beyond its age, with the same median and sigma.
    """

    median: Floats
    sigma: Floats
    comes_back: Floats


def is_office_wait(row: StepRow) -> bool:
    """Tell whether a step is a wait for an office whose days are not fixed."""
    days = row.days
    return row.kind is StepKind.WAIT and not row.mail and days is not None and days.fast < days.slow


def is_watched(row: StepRow) -> bool:
    """Tell whether a step is a wait for an office, which may be late though its days are fixed."""
    answers = row.kind is StepKind.WAIT and not row.mail and row.event is EventKind.GRANTED
    return is_office_wait(row) or answers


def find_offices(table: RulesTable) -> dict[str, str]:
    """Give the office of every step row that waits for one: after a packet was sent there.

    A wait before that, such as for a seller's papers, is no office's.
    """
    offices = {paper.id: paper.office for paper in table.papers}
    by_paper: dict[str, list[StepRow]] = {}
    for row in table.steps:
        by_paper.setdefault(row.paper, []).append(row)
    return {
        row.id: offices[row.paper]
        for row in table.steps
        if is_watched(row) and _follows_sending(row, by_paper[row.paper])
    }


def _follows_sending(row: StepRow, rows: list[StepRow]) -> bool:
    waiting, seen = list(row.after), set(row.after)
    while waiting:
        name = waiting.pop()
        for one in rows:
            if one.name == name:
                if one.event is EventKind.MAILED:
                    return True
                waiting.extend(set(one.after) - seen)
                seen.update(one.after)
    return False


def prior_of(row: StepRow) -> Prior:
    """Give what a row says of an office's days, as a median and a spread."""
    return Prior.of(row.days or LeadDays(fast=0, usual=0, slow=0))


def returns_of(row: StepRow, tally: Tally) -> tuple[float, float]:
    """Give the two parameters of the Beta distribution of the chance of a return.

    Shape: (0, 1) for a step that no office answers by sending the packet back.
    """
    if not row.return_path:
        return 0.0, 1.0
    first = row.comes_back or GUESS
    return float(first.times + tally.returned), float(first.of - first.times + tally.granted)


def count_seen(
    observations: Iterable[Observation],
    calendars: Mapping[str, DayCalendar],
    offices: Mapping[str, str],
    as_of: date,
) -> Seen:
    """Count observations by step row; *calendars* has the calendar of each step row.

    Units: counted days of that calendar; the day the time began is not counted, the last one is.
    A pending packet has its age on *as_of*; one that by usual days is still at an earlier step of
    the office is out there, and its days say nothing, for nobody sees when it goes on. One sent
    back from a later step counts there as lasting longer than it did, and as an answer without days
    at the step that sends back. Observations of rows without a calendar are left out.

    Raises:
        OutOfRangeError: A day is outside its calendar.
    """
    groups: dict[str, Counter[tuple[Outcome, Sight, int, int]]] = {}
    passing: Counter[str] = Counter()
    for one in observations:
        at = one.stop_on(as_of).step
        if one.outcome is Outcome.PENDING and at != one.step:
            passing[at] += one.times
            continue
        ended_on = one.decided_on or min(one.still_out_on or as_of, as_of)
        key = (one.outcome, one.sight, one.sent_on.toordinal(), ended_on.toordinal())
        groups.setdefault(one.step, Counter())[key] += one.times
    tallies = {}
    for step in dict.fromkeys((*groups, *passing)):
        calendar = calendars.get(step)
        if calendar is None:
            continue
        tally = _tally(groups.get(step, Counter()), calendar)
        tallies[step] = replace(tally, passing=passing[step])
    return Seen(offices=dict(offices), tallies=tallies)


def _tally(spans: Counter[tuple[Outcome, Sight, int, int]], calendar: DayCalendar) -> Tally:
    decided: Counter[int] = Counter()
    pending: Counter[int] = Counter()
    returned = cut = unseen = 0
    for (outcome, sight, start, end), count in spans.items():
        days = max(calendar.count(start, end), 0)
        if sight is Sight.LEAST:
            pending[days] += count
            cut += count
            continue
        returned += count if outcome is Outcome.RETURNED else 0
        if sight is Sight.NONE:
            unseen += count
        else:
            (pending if outcome is Outcome.PENDING else decided)[days] += count
    return Tally.of(decided=decided, pending=pending, returned=returned, cut=cut, unseen=unseen)


def draw_offices(
    rows: tuple[StepRow, ...], seen: Seen, draws: int, seed: int
) -> dict[str, OfficeDraws]:
    """Draw medians, spreads and chances of return for step rows, jointly.

    Shape: by step row id; of several editions of a row the first counts. Equal input gives equal
    draws, and rows of different offices do not change one another's draws. Kinds at one office
    share its factor, draw by draw, and what was seen of one kind moves the others through it: pass
    all rows of an office that were seen, not only those that are drawn for.
    """
    kinds = {row.id: row for row in reversed(rows)}
    by_office: dict[str, list[StepRow]] = {}
    for row in reversed(kinds.values()):
        by_office.setdefault(seen.office(row.id), []).append(row)
    found: dict[str, OfficeDraws] = {}
    for office, members in by_office.items():
        cells = {
            row.id: compute_cells(prior_of(row), seen.tally(row.id))
            for row in members
            if seen.tally(row.id).says_days
        }
        stream = _stream(seed, "office", office)
        grid = compute_office_grid(cells) if cells else None
        factor = _draw_factor(grid, stream, draws)
        for row in members:
            found[row.id] = _draw_kind(row, seen.tally(row.id), grid, factor, seed)
    return {row.id: found[row.id] for row in kinds.values()}


class _Factor(NamedTuple):
    """The draws of an office's factor in the logarithm, and their places on its grid."""

    values: Floats
    places: "np.ndarray[tuple[int], np.dtype[np.intp]] | None"


def _stream(seed: int, *names: str) -> Generator:
    digest = sha256("\x1f".join((str(seed), *names)).encode()).digest()
    return Generator(Philox(key=int.from_bytes(digest[:16], "big")))


def _draw_factor(grid: OfficeGrid | None, stream: Generator, draws: int) -> _Factor:
    if grid is None:
        return _Factor(FACTOR_SD * stream.standard_normal(draws), None)
    places = grid.pick_factor(stream.random(draws))
    return _Factor(grid.factors[places], places)


def _draw_kind(
    row: StepRow, tally: Tally, grid: OfficeGrid | None, factor: _Factor, seed: int
) -> OfficeDraws:
    prior = prior_of(row)
    draws = len(factor.values)
    stream = _stream(seed, "kind", row.id)
    if grid is None or factor.places is None or row.id not in grid.cells:
        shift = factor.values + FACTOR_SD * stream.standard_normal(draws)
        sigma = prior.sigma * np.exp(SIGMA_SD * stream.standard_normal(draws))
    else:
        shift, sigma = grid.pick_kind(row.id, factor.places, stream.random((4, draws)))
    first, second = returns_of(row, tally)
    back = stream.beta(first, second, draws) if first else np.zeros(draws)
    return OfficeDraws(median=prior.median * np.exp(shift), sigma=sigma, comes_back=back)


__all__ = [
    "EMPTY",
    "GUESS",
    "NOTHING_SEEN",
    "Cells",
    "Observation",
    "OfficeDraws",
    "Outcome",
    "Seen",
    "Sight",
    "Stop",
    "Tally",
    "count_seen",
    "draw_offices",
    "find_offices",
    "is_office_wait",
    "is_watched",
    "prior_of",
    "returns_of",
]
