"""Trips to town as plain values."""

from dataclasses import dataclass
from datetime import date

from compliance.engine.plan_model import PaperPlan, StepPlan
from compliance.facts.places import Place, PlaceKind


def act_key(paper: PaperPlan, step: StepPlan) -> str:
    """Name an act for good, without its day: packet, year of need, step and round."""
    return f"{paper.id}/{paper.packet.need_by.year}/{step.row.name}~{step.turn}"


@dataclass(frozen=True, slots=True, kw_only=True)
class TownAct:
    """One undone act of the plan that is done in town.

    ``first`` is the first day it can be done there, ``by`` its last day once what waits for it is
    counted, both inclusive. ``is_safe`` tells that ``by`` comes from the safe day and not from the
    last one; ``is_late`` that its last day has gone, so that the first possible day is taken;
    ``is_soon`` that its safe day has gone, so that ``by`` is at most a week after the first day it
    could be done from then on, or ``first`` where that week is over.
    ``waited_for_by`` is the act that makes ``by`` earlier than its own day, empty when none does.
    """

    paper: PaperPlan
    step: StepPlan
    kind: PlaceKind
    first: date
    by: date
    is_safe: bool
    is_late: bool
    is_soon: bool = False
    waited_for_by: str = ""

    @property
    def key(self) -> str:
        """Give its name for good; see `act_key`."""
        return act_key(self.paper, self.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeAct:
    """One undone act at home that belongs to a trip: before it, or on the way."""

    paper: PaperPlan
    step: StepPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One place of a trip with what is done there, in order.

    ``place`` is None when the file names none of the kind that is open that day. ``on_the_way`` are
    the acts between the stop before and this one.
    """

    kind: PlaceKind
    place: Place | None
    acts: tuple[TownAct, ...]
    on_the_way: tuple[HomeAct, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One drive to town.

    ``forced_by`` is the act whose last day is the earliest. ``hours_note`` says what is wrong with
    the hours of its places, empty when they go together or are not known.
    """

    on: date
    stops: tuple[Stop, ...]
    before_leaving: tuple[HomeAct, ...]
    forced_by: TownAct
    hours_note: str = ""

    @property
    def acts(self) -> tuple[TownAct, ...]:
        """Give everything done in town on it, in order."""
        return tuple(act for stop in self.stops for act in stop.acts)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShutDay:
    """A day that would be in time, what stands in its way, and whether its place is open."""

    on: date
    reason: str
    is_place_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NoDay:
    """An act for which there is no day in time, and what would help.

    ``ready`` is the first day it could be done if its place were open and somebody could go,
    ``by`` its last, that of the plan when it has gone; ``shut`` are the days between, empty when
    what comes before it is what makes it late. ``kept_home`` are the closures from ``ready`` to its
    first possible day in which nobody can go, in words; ``is_past`` tells that ``by`` has gone.
    """

    act: TownAct
    ready: date
    by: date
    shut: tuple[ShutDay, ...]
    kept_home: tuple[str, ...] = ()
    is_past: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TripPlan:
    """The fewest trips to town as of one day.

    ``proved`` tells that fewer are not possible. ``room_days`` is the least number of calendar days
    between an act's trip and its last day, acts on their first possible day left out. ``apart``
    is the number of drives when each packet is driven on its own. ``online`` are acts that need no
    drive because they can be done online too, ``waiting`` those that are on no trip because nobody
    knows a day for them: a paper that they wait for is overdue.
    """

    as_of: date
    trips: tuple[Trip, ...]
    proved: bool
    room_days: int | None
    apart: int
    no_day: tuple[NoDay, ...]
    online: tuple[HomeAct, ...]
    waiting: tuple[HomeAct, ...] = ()
