"""Where an edition of a step would fall, as a pass from the end or one from today sees it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from compliance.engine.moves import Move
from compliance.engine.network import IN_HAND, Step, find_opening
from compliance.engine.schedule import Earliest, Latest
from compliance.rules.model import StepKind


class Link(NamedTuple):
    """A step as its packet's chain would have it; *before* and *behind* are ids of tasks.

    ``hangs_on`` are what a person still decides about: the nearest acts before it, through the
    waits between, and the papers it needs.
    """

    step: Step
    move: Move
    before: tuple[str, ...]
    behind: tuple[str, ...]
    hangs_on: tuple[str, ...]


class Placer(Protocol):
    """What a pass says of the days of a step.

    ``span`` gives the days a step runs, both ends inclusive; of an act the day it falls on is the
    first with ``is_backward`` and else the last, the other one being the day that its neighbour
    leaves it. *same* tells that the pass was made with this edition. ``past`` gives the day on
    which a step belongs though nobody logged it, because one behind it is done; else None.
    ``has_begun`` tells that a wait goes on, or follows from one that does: when it begins is no
    choice any more.
    """

    @property
    def is_backward(self) -> bool:
        """Tell whether the days are the last ones."""
        ...

    def span(self, link: Link, *, same: bool) -> tuple[int, int]:
        """Give the days a step runs."""
        ...

    def past(self, link: Link) -> int | None:
        """Give the day of a step that must be over."""
        ...

    def has_begun(self, link: Link) -> bool:
        """Tell whether a wait goes on or follows from one that does."""
        ...


@dataclass(frozen=True, slots=True)
class FromEnd:
    """The last days, with the limits they were worked back from."""

    latest: Mapping[str, Latest]
    limits: Mapping[str, int]

    @property
    def is_backward(self) -> bool:
        """Tell that the days are the last ones."""
        return True

    def span(self, link: Link, *, same: bool) -> tuple[int, int]:
        """Give the last day to start from and the day by which it must be over."""
        name, end = link.step.id, f"{link.step.packet.id}/{IN_HAND}"
        starts = [self.latest[one].start for one in link.behind if one in self.latest]
        days = [day for day in (starts or [self.latest[end].start]) if day is not None]
        bound = min([*days, *([self.limits[name]] if name in self.limits else [])])
        start = link.move.backward(bound)
        now = self.latest.get(name)
        if (
            same
            and now is not None
            and now.start is not None
            and link.step.row.kind is StepKind.ACT
        ):
            start = min(start, now.start)  # a freshness rule pushed it
        return start, bound

    def past(self, link: Link) -> int | None:  # noqa: ARG002 - FromToday needs it
        """Give None: this pass knows of nothing that has happened."""
        return None

    def has_begun(self, link: Link) -> bool:  # noqa: ARG002 - FromToday needs it
        """Tell that it is not known."""
        return False


@dataclass(frozen=True, slots=True)
class FromToday:
    """The earliest days, and the days of tasks that are done."""

    earliest: Mapping[str, Earliest]
    done: Mapping[str, int]
    today: int

    @property
    def is_backward(self) -> bool:
        """Tell that the days are the earliest ones."""
        return False

    def span(self, link: Link, *, same: bool) -> tuple[int, int]:
        """Give the first day to start from and the first day it can be over."""
        name, is_act = link.step.id, link.step.row.kind is StepKind.ACT
        days = [self.earliest[one].finish for one in link.before if one in self.earliest]
        begin = max(days, default=self.today)
        begin = max(begin, self.today) if is_act else begin
        begin = max(begin, find_opening(link.step) or begin)
        now = self.earliest.get(name)
        if same and now is not None and name not in self.done:
            begin = max(begin, now.start)
        finish = link.move.forward(begin)
        return begin, finish if is_act else max(finish, self.today)

    def past(self, link: Link) -> int | None:
        """Give the day of what came before it, else of what is done behind it."""
        behind = [self.done[one] for one in link.behind if one in self.done]
        if link.step.id in self.done:
            behind.append(self.done[link.step.id])
        if not behind:
            return None
        before = [self.done[one] for one in link.before if one in self.done]
        return min(max(before), *behind) if before else min(behind)

    def has_begun(self, link: Link) -> bool:
        """Tell whether everything before a wait that somebody decides about is done."""
        return bool(link.hangs_on) and all(one in self.done for one in link.hangs_on)
