"""Choose the edition of each step by the day a pass gives it, until nothing changes.

What is done has the edition of the day of its log entry. An act has the edition of the day on
which it falls. Of waits see `edition_waits`.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple, TypeVar

from compliance.base.dates import say_date
from compliance.engine.edition_choice import (
    NO_CHOICE,
    Choice,
    Option,
    StepKey,
    list_candidates,
)
from compliance.engine.edition_days import Link, Placer
from compliance.engine.edition_waits import Season, is_in_force
from compliance.engine.network import NetworkBuilder, Pace, Step, step_id
from compliance.engine.packets import Packet
from compliance.rules.editions import find_hole, find_on, is_partial, nearest
from compliance.rules.model import StepKind, StepRow

Days = TypeVar("Days")
_MOST_TURNS = 40


class _Placed(NamedTuple):
    """One edition of an act as it would fall, in ordinals, both ends inclusive.

    ``fits`` tells that it is in force when it falls so, ``near`` that it is on some day between its
    neighbour's day and its own.
    """

    option: Option
    first: int
    last: int
    fits: bool
    near: bool


def varies(builder: NetworkBuilder) -> bool:
    """Tell whether any step of the packets has more than one edition."""
    if all(packet.editions is None for packet in builder.packets) and all(
        len(rows) == 1 for rows in builder.services.values()
    ):
        return False
    return any(True for packet in builder.packets for _ in list_varied(builder, packet))


def list_varied(builder: NetworkBuilder, packet: Packet) -> Iterator[str]:
    """Name the steps of a packet with more than one edition, or one that is not always in force."""
    editions, rows = packet.editions, list_candidates(packet)
    for name in dict.fromkeys(row.name for row in rows):
        same = [row for row in rows if row.name == name]
        rounds = range(1, packet.progress.round + 2)
        is_carried = any(
            len(builder.carriers(packet, row, turn)) > 1 for row in same for turn in rounds
        )
        is_part = editions is not None and is_partial(same[0], editions.opens, editions.ends)
        if is_carried or is_part or len(same) > 1:
            yield name


def resolve(
    run: Callable[[Choice], Days], choose: Callable[[Choice, Days], Choice]
) -> tuple[Days, Choice, frozenset[StepKey]]:
    """Repeat a pass until the editions it is made with are those that its days ask for.

    Shape: the days, the choice, and the steps that went round in a circle: of these the more
    cautious edition is kept, the one that is asked for and takes longer.
    """
    choice: Choice = NO_CHOICE
    tried: list[Choice] = []
    for _ in range(_MOST_TURNS):
        days = run(choice)
        found = choose(choice, days)
        if found == choice:
            return days, choice, frozenset()
        tried.append(choice)
        choice = found
        if choice in tried:
            break
    ring = tried[tried.index(choice) :] if choice in tried else tried[1:]
    settled = dict(ring[0])
    keys = {key for one in ring for key in one if ring[0].get(key) != one[key]}
    for key in keys:
        settled[key] = max((one[key] for one in ring if key in one), key=_weight)
    return run(settled), settled, frozenset(keys)


def _weight(option: Option) -> tuple[int, int, str]:
    row, carrier = option.row, option.service
    if row is None:
        return (0, 0, "")
    lead = carrier.days if carrier is not None else row.days
    return (1, lead.slow if lead is not None else 0, str(row.applies_from or ""))


@dataclass(slots=True, kw_only=True)
class Chooser:
    """Choose editions for one kind of pass.

    ``fixed`` are steps settled already, because they are over. ``notes`` are pairs of a packet and
    what its rules leave open, ``over`` the steps found to be over, both of the last choice.
    """

    builder: NetworkBuilder
    pace: Pace
    spare_returns: int = 0
    fixed: Choice = field(default_factory=lambda: NO_CHOICE)
    notes: dict[tuple[str, str], None] = field(default_factory=dict)
    over: dict[StepKey, Option] = field(default_factory=dict)

    def choose(self, choice: Choice, placer: Placer) -> Choice:
        """Choose the edition of every step that has several, in every round it is part of."""
        self.notes.clear()
        self.over.clear()
        found: dict[StepKey, Option] = {}
        for packet in self.builder.packets:
            for name in list_varied(self.builder, packet):
                for turn in range(1, packet.progress.round + self.spare_returns + 1):
                    key = (packet.id, name, turn)
                    option = self.fixed.get(key) or self._find_logged(packet, name, turn)
                    option = option or self._pick(choice, packet, key, placer)
                    if option is not None:
                        found[key] = option
        return found

    def _options(self, packet: Packet, name: str, turn: int) -> Iterator[Option]:
        for row in list_candidates(packet):
            if row.name == name:
                carriers = self.builder.carriers(packet, row, turn)
                for carrier in carriers if len(carriers) > 1 else (None,):
                    yield Option(row=row, service=carrier)

    def _find_logged(self, packet: Packet, name: str, turn: int) -> Option | None:
        """Find the edition of a step that was logged: that of the day of the entry."""
        day = packet.progress.done.get((name, turn))
        if day is None:
            return None
        option = self._on(packet, name, turn, day, always=True)
        if option is not None:
            self.over[packet.id, name, turn] = option
        return option

    def _on(
        self, packet: Packet, name: str, turn: int, day: date, *, always: bool
    ) -> Option | None:
        """Give the edition in force on a day; *always* the nearest when there is none."""
        rows = [row for row in list_candidates(packet) if row.name == name]
        at = packet.editions.within(day) if packet.editions is not None else day
        row = nearest(rows, at) if always else find_on(rows, at)
        if row is None:
            return None
        carriers = self.builder.carriers(packet, row, turn)
        carrier = nearest(carriers, day) if len(carriers) > 1 else None
        return Option(row=row, service=carrier)

    def _pick(self, choice: Choice, packet: Packet, key: StepKey, placer: Placer) -> Option | None:
        """Pick the edition of an undone step; None when no edition has it in this round."""
        links: list[tuple[Option, Link]] = []
        for option in self._options(packet, *key[1:]):
            link = self._link(choice, packet, key, option)
            if link is not None:
                links.append((option, link))
        if not links:
            return None
        past = placer.past(links[0][1])
        if past is not None:
            self.over[key] = self._find_over(packet, key, links, past)
            return self.over[key]
        if all(link.step.row.kind is StepKind.ACT for _, link in links):
            return self._pick_act(choice.get(key), packet, links, placer)
        return self._pick_wait(choice.get(key), packet, links, placer)

    def _find_over(
        self, packet: Packet, key: StepKey, links: list[tuple[Option, Link]], day: int
    ) -> Option:
        """Find the edition of a step that is over though nobody logged it; None's row without one.

        A wait that is only taken as over counts as it did while it went on, lest its days move.
        """
        if any(link.step.row.kind is StepKind.ACT for _, link in links):
            found = self._on(packet, *key[1:], date.fromordinal(day), always=False)
            return found or Option(row=None)
        option, is_open = Season.of(packet, links).pick(day) or (Option(row=None), False)
        logged = {step_id(packet.id, *one) for one in packet.progress.done}
        if is_open and not logged.intersection(links[0][1].behind):
            self._note(packet, links[0][1].step.row)
        return option

    def _pick_act(
        self, now: Option | None, packet: Packet, links: list[tuple[Option, Link]], placer: Placer
    ) -> Option:
        placed = [_place(option, link, placer, same=now == option) for option, link in links]
        fitting = [one for one in placed if one.fits]
        pool = fitting or [one for one in placed if one.near]
        if not pool:
            return self._find_in_hole(packet, links[0][1].step, placed[0].first)
        best = min(pool, key=lambda one: one.first if placer.is_backward else -one.last)
        if not fitting or len({(one.first, one.last) for one in pool}) > 1:
            self._note(packet, links[0][1].step.row)
        return best.option

    def _pick_wait(
        self, now: Option | None, packet: Packet, links: list[tuple[Option, Link]], placer: Placer
    ) -> Option:
        season = Season.of(packet, links)
        row = links[0][1].step.row
        link = next((link for option, link in links if option.is_like(now)), links[0][1])
        first, last = placer.span(link, same=any(option.is_like(now) for option, _ in links))
        found = season.pick_last(last) if placer.is_backward else season.pick(first)
        if found is None:
            day = last if placer.is_backward else first
            return self._find_in_hole(packet, links[0][1].step, day)
        option, is_open = found
        if is_open:
            self._note(packet, row)
        if placer.has_begun(link):
            self.over[packet.id, row.name, link.step.turn] = option
        return option

    def _link(self, choice: Choice, packet: Packet, key: StepKey, option: Option) -> Link | None:
        """Find a step's neighbours in the chain of its packet, were it of that edition."""
        builder = self.builder.choosing({**choice, key: option})
        rounds = packet.progress.round + self.spare_returns
        chain = builder.chain(packet, self.pace, rounds)
        name = step_id(*key)
        step = next((step for step, _ in chain if step.id == name), None)
        if step is None:
            return None
        own = next(after for one, after in chain if one.id == name)
        needed = builder.needed(packet, step)
        return Link(
            step=step,
            move=builder.move(step),
            before=(*own, *needed),
            behind=tuple(one.id for one, after in chain if name in after),
            hangs_on=(*needed, *_list_acts_before(name, chain)),
        )

    def _find_in_hole(self, packet: Packet, step: Step, day: int) -> Option:
        """Give no step, or the nearest edition when the day lies between two editions."""
        editions, row = packet.editions, step.row
        if editions is None:
            found = self._on(packet, row.name, step.turn, date.fromordinal(day), always=True)
            return found or Option(row=row)
        at = editions.within(date.fromordinal(day))
        hole = find_hole([one for one in editions.every if one.name == row.name], at)
        if hole is None:
            return Option(row=None)
        self.notes[packet.id, say_hole(row.title, row.id, hole)] = None
        return self._on(packet, row.name, step.turn, at, always=True) or Option(row=None)

    def _note(self, packet: Packet, row: StepRow) -> None:
        said = "its days lie on both sides of a change of its rule; the more cautious of the two is"
        self.notes[packet.id, f"`{row.title}` ({row.id}): {said} planned with"] = None


def say_hole(title: str, name: str, hole: tuple[date, date]) -> str:
    """Say that no edition of a row is in force between two."""
    first, last = hole
    return (
        f"`{title}` ({name}): the rules table has no edition from {say_date(first)} to "
        f"{say_date(last)}, between two others; the nearest one is used, so ask the agency"
    )


def _list_acts_before(name: str, chain: tuple[tuple[Step, tuple[str, ...]], ...]) -> list[str]:
    """List the nearest acts that a step comes after, through the waits between."""
    steps = {step.id: (step, after) for step, after in chain}
    found: list[str] = []
    waiting = list(steps[name][1])
    while waiting:
        one = waiting.pop()
        is_wait = one in steps and steps[one][0].row.kind is not StepKind.ACT
        if is_wait:
            waiting.extend(steps[one][1])
        else:
            found.append(one)
    return found


def _place(option: Option, link: Link, placer: Placer, *, same: bool) -> _Placed:
    first, last = placer.span(link, same=same)
    day = first if placer.is_backward else last
    return _Placed(
        option=option,
        first=first,
        last=last,
        fits=is_in_force(option, link.step.packet, day, day),
        near=is_in_force(option, link.step.packet, first, last),
    )


def list_circles(packets: Iterable[Packet], keys: frozenset[StepKey]) -> Iterator[tuple[str, str]]:
    """Say of each step that went round in a circle that the cautious edition is used."""
    for packet in packets:
        titles = {row.name: row.title for row in packet.all_steps}
        for name in sorted({key[1] for key in keys if key[0] == packet.id}):
            said = "each edition of its rule moves it to a day on which the other counts"
            ask = "the more cautious one is planned with, so ask the office"
            yield packet.id, f"`{titles.get(name, name)}`: {said}; {ask}"
