"""The network of a plan with draws for everything uncertain in it: waits and returns."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from compliance.engine.chance_draws import Counts, Floats, count_returns
from compliance.engine.chance_under_way import Path, draw_under_way
from compliance.engine.chance_waits import Waits
from compliance.engine.columns_passes import Columns, Given
from compliance.engine.columns_tables import Column, Places
from compliance.engine.moves import Wait
from compliance.engine.network import IN_HAND, NetworkBuilder, PacketNetwork, find_opening, step_id
from compliance.engine.network_core import Network
from compliance.engine.packets import Packet
from compliance.engine.progress import find_returnable
from compliance.engine.turnaround import OfficeDraws, is_office_wait
from compliance.rules.model import StepRow

MOST_RETURNS = 6
"""Further returns of one packet that are drawn; what comes back more often is never in time."""

_SHIFT = 1_013


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loop:
    """How one packet may come back.

    ``reviews`` are the places of the answering step in the present round and in each further one,
    ``rounds`` the places of all steps of each further round, ``returns`` how often it comes back
    from now on, draw by draw, and ``certain`` how often it does in every draw.
    """

    reviews: tuple[int, ...]
    rounds: tuple[tuple[int, ...], ...]
    returns: Counts
    certain: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Season:
    """The network of all planned packets with its draws.

    ``own`` are the places of each packet; ``openings`` the day numbers before which a renewal is
    not taken, by the place of its filing. The day of a trip is none of them: a trip can be moved.
    """

    built: PacketNetwork
    columns: Columns
    given: Given
    loops: Mapping[str, Loop]
    own: Mapping[str, tuple[int, ...]]
    openings: Mapping[int, int]

    @property
    def network(self) -> Network:
        """Give the network."""
        return self.columns.network

    def place(self, task: str) -> int:
        """Give the place of a task."""
        return self.network.index[task]

    def given_one_return(self, packet: str) -> Given | None:
        """Give what is drawn, but that packet comes back once from now on where it would not.

        Where it comes back more often it still does, so that no draw is better with the return
        than without. What comes back for certain counts apart: it comes back once more than that.

        Shape: None for a packet that no office sends back, or that often that none is drawn.
        """
        loop = self.loops.get(packet)
        if loop is None or loop.certain >= len(loop.rounds):
            return None
        active = dict(self.given.active)
        active.update(dict.fromkeys(loop.rounds[loop.certain], np.arange(self.given.rows)))
        given = self.given
        return Given(
            rows=given.rows, today=given.today, days=given.days, done=given.done, active=active
        )


def find_rows(packets: tuple[Packet, ...]) -> tuple[StepRow, ...]:
    """Give the rows that the season of some packets needs office draws for."""
    rows = {
        row.id: row
        for packet in packets
        if packet.planned
        for row in packet.steps
        if is_office_wait(row) or row.return_path
    }
    return tuple(rows.values())


def draw_season(
    builder: NetworkBuilder,
    as_of: date,
    offices: Mapping[str, OfficeDraws],
    draws: int,
    seed: int,
    back: Mapping[str, int] | None = None,
) -> Season:
    """Draw waits and returns for all planned packets.

    *back* are packets that come back so often for certain, whenever that is and whatever the
    office is like; further returns are as likely, and the same in each draw, as without it. So no
    draw is better with a return than without.

    Model: an act takes place on the first day its place is open. A notice period and a wait with
    equal days are fixed. Mail takes the days of `mail_days`. An office takes lognormal days, draw
    by draw with the median and spread of *offices*. What is under way is drawn given that nothing
    has been seen of it yet. A packet comes back with the chance of *offices*, the same in all
    rounds of a draw, and goes round again, up to `MOST_RETURNS` times. Every step and round has a
    stream of draws of its own.
    """
    built = builder.build_rounds(MOST_RETURNS, as_of)
    columns = Columns(Network(built.tasks, built.gaps))
    waits = Waits(
        columns=columns,
        builder=builder,
        steps=built.steps,
        offices=offices,
        draws=draws,
        seed=seed,
    )
    return _Draft(waits=waits, built=built, as_of=as_of, back=dict(back or {})).make()


def _shifted(drawn: Floats) -> Iterator[Floats]:
    """Give the answers of each further round: the same numbers, each time from another row on."""
    for more in range(MOST_RETURNS):
        yield np.roll(drawn, -_SHIFT * more)


@dataclass(slots=True, eq=False, kw_only=True)
class _Answers:
    """Of one packet: the places of its reviews, and what the offices answer, draw by draw."""

    row: StepRow
    reviews: tuple[int, ...]
    rounds: tuple[tuple[int, ...], ...]
    first: Counts
    further: Counts


@dataclass(slots=True, eq=False, kw_only=True)
class _Draft:
    """Draws being made, by the place of the task."""

    waits: Waits
    built: PacketNetwork
    as_of: date
    back: Mapping[str, int]
    days: dict[int, Column] = field(default_factory=dict)
    done: dict[int, Column] = field(default_factory=dict)
    active: dict[int, Places] = field(default_factory=dict)
    answers: dict[str, _Answers] = field(default_factory=dict)

    def make(self) -> Season:
        waits, network = self.waits, self.waits.columns.network
        later = {
            network.index[step.id]
            for step in self.built.steps.values()
            if step.turn > step.packet.progress.round
        }
        for packet in waits.builder.packets:
            self._draw_answers(packet)
        # The first further round is drawn in full, because most that is asked is about it.
        first = {at for one in self.answers.values() for at in one.rounds[0]}
        for at, task in enumerate(network.tasks):
            if task.done_on is None and waits.is_drawn(at) and (at not in later or at in first):
                self.days[at] = waits.find(at)
        for at in range(len(network.tasks)):
            if at not in later and self._is_under_way(at):
                self._draw_under_way(at)
        loops = {name: self._close_loop(name, one) for name, one in self.answers.items()}
        for at in later - self.active.keys():
            self.active[at] = np.zeros(0, dtype=np.intp)
        own: dict[str, list[int]] = {packet.id: [] for packet in waits.builder.packets}
        for at, name in enumerate(network.order):
            own[name.partition("/")[0]].append(at)
        return Season(
            built=self.built,
            columns=waits.columns,
            given=Given(
                rows=waits.draws,
                today=self._today(),
                days=self.days,
                done=self.done,
                active=self.active,
            ),
            loops=loops,
            own={name: tuple(places) for name, places in own.items()},
            openings={
                network.index[name]: day
                for name, step in self.built.steps.items()
                if (day := find_opening(step)) is not None
            },
        )

    def _today(self) -> Column:
        return self.waits.columns.tables.number(self.as_of.toordinal(), "today")

    def _draw_answers(self, packet: Packet) -> None:
        """Draw whether the present round comes back, and how often after that."""
        waits, network = self.waits, self.waits.columns.network
        row, now = find_returnable(packet.steps), packet.progress.round
        if row is None:
            return
        ids = [step_id(packet.id, row.name, now + more) for more in range(MOST_RETURNS + 1)]
        reviews = tuple(network.index[name] for name in ids)
        if network.tasks[reviews[0]].done_on is not None:
            return
        rounds: dict[int, list[int]] = {now + 1 + more: [] for more in range(MOST_RETURNS)}
        for step in self.built.steps.values():
            if step.packet.id == packet.id and step.turn in rounds:
                rounds[step.turn].append(network.index[step.id])
        chance = waits.offices[row.id].comes_back
        self.answers[packet.id] = _Answers(
            row=row,
            reviews=reviews,
            rounds=tuple(map(tuple, rounds.values())),
            first=count_returns(chance, [waits.uniforms(reviews[0], "answer")]),
            further=count_returns(chance, _shifted(waits.uniforms(reviews[1], "answers"))),
        )

    def _close_loop(self, packet: str, answers: _Answers) -> Loop:
        """Put the answers together, and draw the rounds that happen in only some draws."""
        waits, network, steps = self.waits, self.waits.columns.network, self.built.steps
        certain = self.back.get(packet, 0)
        drawn = np.where(answers.first > 0, 1 + answers.further, 0)
        returns = certain + answers.further if certain else drawn
        index = {steps[network.order[at]].row.name: at for at in answers.rounds[0]}
        for more, places in enumerate(answers.rounds, start=1):
            rows = np.flatnonzero(returns >= more)
            for at in places:
                self.active[at] = rows
                # So is the one after those that are certain, for "if it comes back once more".
                drawn_in = np.arange(waits.draws) if more == certain + 1 else rows
                if more > 1 and drawn_in.size and waits.is_drawn(at):
                    sparse = np.zeros(waits.draws, dtype=waits.columns.tables.dtype)
                    first = index[steps[network.order[at]].row.name]
                    sparse[drawn_in] = waits.find_later(at, first, drawn_in, more)
                    self.days[at] = sparse
        never = returns > MOST_RETURNS
        end = answers.reviews[-1]
        if never.any() and isinstance(network.tasks[end].move, Wait):
            tables = waits.columns.tables
            days = self.days.get(end, waits.find(end))
            self.days[end] = np.where(never, tables.beyond, days).astype(tables.dtype)
        return Loop(
            reviews=answers.reviews, rounds=answers.rounds, returns=returns, certain=certain
        )

    def _is_under_way(self, at: int) -> bool:
        network = self.waits.columns.network
        task, before = network.tasks[at], network.before[at]
        is_open = task.done_on is None and isinstance(task.move, Wait) and bool(before)
        is_open = is_open and task.id in self.built.steps
        return is_open and all(network.tasks[one].done_on is not None for one in before)

    def _draw_under_way(self, at: int) -> None:
        """Draw a wait under way with all that may have happened behind it unseen."""
        waits, network = self.waits, self.waits.columns.network
        answers = next(
            (one for one in self.answers.values() if one.reviews[0] in self._line(at, None)), None
        )
        path = Path(
            self._line(at, answers),
            self._line(at, None),
            None if answers is None else answers.reviews[0],
        )
        if not any(waits.is_drawn(one) for one in path.places):
            return
        days = [network.tasks[one].done_on for one in network.before[at]]
        began = max(day for day in days if day is not None)
        drawn = draw_under_way(
            waits,
            path,
            waits.columns.tables.number(began, "a done day"),
            self._today(),
            None if answers is None else waits.offices[answers.row.id].comes_back,
        )
        self.days.update(drawn.days)
        self.done.update({one: day for one, day in drawn.ended.items() if day.any()})
        if answers is not None:
            answers.first = drawn.back.astype(np.int64)

    def _line(self, at: int, answers: _Answers | None) -> tuple[int, ...]:
        """Give the waits from one on, as long as nobody sees an end; granted with *answers*."""
        network = self.waits.columns.network
        line = [at]
        while True:
            is_answer = answers is not None and line[-1] == answers.reviews[0]
            source = answers.reviews[-1] if answers is not None and is_answer else line[-1]
            behind = [network.tasks[one] for one in network.after[source]]
            unseen = bool(behind) and all(
                isinstance(one.move, Wait) and not one.id.endswith(f"/{IN_HAND}") for one in behind
            )
            place = network.after[source][0] if unseen else at
            if not unseen or len(network.before[place]) > 1:
                return tuple(line)
            line.append(place)
