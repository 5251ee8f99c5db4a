"""Chances of a plan as plain values: what the outputs of an uncertain season are made from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TypeAlias

from compliance.facts.model import MailService


@dataclass(frozen=True, slots=True, kw_only=True)
class Tweaks:
    """What is tried with single packets: another mail service, and how often they certainly return.

    ``by_packet`` are packets that go by another service than the operation's; ``back`` packets that
    come back so often from now on, whenever that is.
    """

    by_packet: Mapping[str, MailService] = field(default_factory=dict)
    back: Mapping[str, int] = field(default_factory=dict)


NO_TWEAKS = Tweaks()
Curve: TypeAlias = tuple[tuple[date, float], ...]
"""Days and the chance that belongs to each, days rising."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobChance:
    """The chance that every paper of a job is in force by a day, all papers together.

    ``on_first_day`` belongs to the job's first day. ``by_day`` has one pair for each day on which
    the chance changes enough to be worth drawing.
    """

    job: str
    first_day: date
    on_first_day: float
    by_day: Curve


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketChance:
    """When to send one packet off for a wanted chance, returns included.

    ``mail_by`` is the last day, inclusive, on which sending it off still has at least the wanted
    chance of being in time for everything that waits for it; None when no day to come has, or
    when it is sent off already. A trip to town that is planned later does not count: it can be
    moved. ``mail_by_with_return`` is the same given that it comes back once at least, beyond the
    ``certain_returns`` that are tried with it. ``binds`` names which of the two is the earlier:
    ``chance`` or ``return``. ``by_mail_day`` has the chance for each day of sending it off, from
    the first on which it could go on any trip; ``by_mail_day_with_return`` the same given that it
    comes back once, never above it, empty for a packet that no office sends back. ``ready`` are the
    days by which the paper is in hand with a chance of 10, 50 and 90 percent.
    """

    packet: str
    mail_step: str
    mail_by: date | None
    mail_by_with_return: date | None
    binds: str
    by_mail_day: Curve
    ready: tuple[date, date, date]
    by_mail_day_with_return: Curve = ()
    certain_returns: int = 0

    def chance_on(self, day: date) -> float | None:
        """Give the chance when it is sent off on a day, None for a day it cannot be sent on."""
        return dict(self.by_mail_day).get(day)

    def chance_with_return_on(self, day: date) -> float | None:
        """Give the chance when it is sent off on a day and comes back once."""
        return dict(self.by_mail_day_with_return).get(day)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepWeight:
    """How much one step matters: the rise of the joint chance when it takes a day less.

    ``job`` is the job whose chance rises the most.
    """

    step: str
    packet: str
    gain_per_day: float
    job: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Everything drawn about one plan.

    Shape: jobs and packets in plan order; ``matters`` the most weighty step first; ``spread`` maps
    a step id to the days by which it is over with a chance of 10, 50 and 90 percent. ``draws`` and
    ``seed`` make the numbers repeatable; ``wanted`` is the chance that ``mail_by`` is for.
    """

    draws: int
    seed: int
    wanted: float
    jobs: tuple[JobChance, ...]
    packets: tuple[PacketChance, ...]
    matters: tuple[StepWeight, ...]
    spread: dict[str, tuple[date, date, date]]
