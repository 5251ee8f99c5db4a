"""Which edition of each step of a packet a network is built with, round by round."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType
from typing import TypeAlias

from compliance.engine.packets import Packet, order_steps
from compliance.rules.editions import nearest
from compliance.rules.model import RulesTable, ServiceRow, StepRow

StepKey: TypeAlias = tuple[str, str, int]
"""Packet id, step name, round from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One edition of a step, with that of the mail service that carries it.

    ``row`` is None when the step is not asked for. ``service`` is None but for mail waits.
    ``not_after`` is the day number by which a wait must be over so that another edition is not met.
    """

    row: StepRow | None
    service: ServiceRow | None = None
    not_after: int | None = None

    def is_like(self, other: "Option | None") -> bool:
        """Tell whether another option is of the same edition."""
        return other is not None and (self.row, self.service) == (other.row, other.service)


Choice: TypeAlias = Mapping[StepKey, Option]

NO_CHOICE: Choice = MappingProxyType({})
"""What every step of one edition is built with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """The editions each pass of one plan came to; all empty when every row has one edition.

    ``last`` with usual times from the end, ``slow`` with slow times from the end, ``safe`` the same
    with room for a return, ``earliest`` from today and the log. ``notes`` are pairs of a packet and
    a sentence about a choice that the rules leave open.
    """

    last: Choice = field(default_factory=lambda: NO_CHOICE)
    slow: Choice = field(default_factory=lambda: NO_CHOICE)
    safe: Choice = field(default_factory=lambda: NO_CHOICE)
    earliest: Choice = field(default_factory=lambda: NO_CHOICE)
    notes: tuple[tuple[str, str], ...] = ()


NO_CHOICES = Choices()


def find_option(choice: Choice, packet: str, name: str, turn: int) -> Option | None:
    """Find the option of a step in a round; a round not settled takes that of the round before."""
    for at in range(turn, 0, -1):
        option = choice.get((packet, name, at))
        if option is not None:
            return option
    return None


def list_candidates(packet: Packet) -> tuple[StepRow, ...]:
    """List every edition of every step that may belong to a packet."""
    return packet.steps if packet.editions is None else packet.editions.steps


def rows_in(packet: Packet, choice: Choice, turn: int) -> tuple[StepRow, ...]:
    """Give the steps of a packet in a round, in order of work."""
    if not choice or packet.editions is None:
        return packet.steps
    known = {row.name: row for row in packet.steps}
    rows = []
    for name in dict.fromkeys(row.name for row in packet.editions.steps):
        option = find_option(choice, packet.id, name, turn)
        row = known.get(name) if option is None else option.row
        if row is not None:
            rows.append(row)
    return order_steps(tuple(rows))


def with_choice(packet: Packet, choice: Choice) -> Packet:
    """Give a packet with the steps of its present round as chosen."""
    if not choice or packet.editions is None:
        return packet
    steps = rows_in(packet, choice, packet.progress.round)
    chosen = {row.name: row for row in steps}
    every = tuple(chosen.get(row.name, row) for row in packet.all_steps)
    return replace(packet, steps=steps, all_steps=every)


def with_choices(packets: tuple[Packet, ...], choice: Choice) -> tuple[Packet, ...]:
    """Give packets with the steps of their present rounds as chosen."""
    return tuple(with_choice(packet, choice) for packet in packets)


def sent_on(packet: Packet, day: date | None) -> Packet:
    """Give a packet with the documents, fee and office of the day it is sent, when known."""
    editions = packet.editions
    if editions is None or day is None:
        return packet
    return replace(
        packet,
        documents=editions.documents_on(day),
        office=editions.office_on(day),
        fee_paper=editions.paper_on(day) if len(editions.papers) > 1 else None,
    )


def without_limits(choice: Choice) -> Choice:
    """Give the same editions without the days that waits are held to."""
    if all(option.not_after is None for option in choice.values()):
        return choice
    return {key: replace(option, not_after=None) for key, option in choice.items()}


def find_services(table: RulesTable) -> dict[str, tuple[ServiceRow, ...]]:
    """Give every edition of every mail service by its id, in table order."""
    found: dict[str, tuple[ServiceRow, ...]] = {}
    for row in table.services:
        found[row.id] = (*found.get(row.id, ()), row)
    return found


def service_of(rows: tuple[ServiceRow, ...], option: Option | None, need_by: date) -> ServiceRow:
    """Give a mail service's edition as chosen, else the one in force on the day of need."""
    if option is not None and option.service is not None:
        return option.service
    return rows[0] if len(rows) == 1 else nearest(rows, need_by)
