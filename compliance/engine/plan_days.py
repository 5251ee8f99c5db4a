"""The passes behind a plan: last and safe days from every need, earliest days from today."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from compliance.engine.days import OperationDays
from compliance.engine.edition_choice import NO_CHOICE, NO_CHOICES, Choice, Choices, with_choices
from compliance.engine.edition_days import FromEnd, FromToday
from compliance.engine.edition_passes import Chooser, list_circles, resolve, varies
from compliance.engine.moves import InfeasibleError
from compliance.engine.network import (
    IN_HAND,
    NetworkBuilder,
    Pace,
    PacketNetwork,
    compute_filing_limit,
)
from compliance.engine.packets import Packet
from compliance.engine.schedule import Earliest, Latest, Network, compute_earliest, compute_latest
from compliance.facts.model import Operation

# Room on both ends of the calendars for work done long ago and offices that take very long.
_DAYS_BEFORE = 1_200
_DAYS_AFTER = 2_400

Limits = dict[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """The three sets of days of one plan, by task id.

    ``network`` has what has happened, ``back`` is the one that the last days were worked out with.
    """

    last: dict[str, Latest]
    safe: dict[str, Latest]
    earliest: dict[str, Earliest]
    network: PacketNetwork
    back: PacketNetwork
    choices: Choices = NO_CHOICES


class _Back(NamedTuple):
    """One pass from the end, with the limits it began from."""

    latest: dict[str, Latest]
    network: PacketNetwork
    limits: Limits


class Ahead(NamedTuple):
    """One pass from today."""

    earliest: dict[str, Earliest]
    network: PacketNetwork


def build_days(operation: Operation, packets: tuple[Packet, ...], as_of: date) -> OperationDays:
    """Build the calendars of an operation wide enough for its packets."""
    logged = [day for packet in packets for day in packet.progress.done.values()]
    needs = [packet.need_by for packet in packets]
    first = min([as_of, *logged, *needs]) - timedelta(days=_DAYS_BEFORE)
    last = max([as_of, *needs]) + timedelta(days=_DAYS_AFTER)
    return _build_operation_days(operation, first, last)


# A plan, its trips and what is tried with them ask for the same calendars, which never change.
@lru_cache(maxsize=8)
def _build_operation_days(operation: Operation, first: date, last: date) -> OperationDays:
    return OperationDays(operation, first, last)


def limits_of(packets: tuple[Packet, ...]) -> tuple[Limits, Limits]:
    """Give the day numbers by which papers must be in hand, and renewals be filed, by task id."""
    needs = {
        f"{packet.id}/{IN_HAND}": packet.need_by.toordinal() for packet in packets if packet.planned
    }
    filing = {
        name: day.toordinal() for packet in packets for name, day in compute_filing_limit(packet)
    }
    return needs, filing


def work_back(network: PacketNetwork, limits: Limits) -> dict[str, Latest]:
    """Work a network back from its limits: latest days by task id."""
    built = Network(network.tasks, network.gaps)
    return {latest.id: latest for latest in compute_latest(built, limits=limits)}


def compute_passes(builder: NetworkBuilder, packets: tuple[Packet, ...], as_of: date) -> Passes:
    """Compute the days of a plan; with several editions of a step, until they agree with the days.

    The safe days absorb one return of a packet though every office is slow. First every packet at
    slow times tells when each must be in hand; then each packet alone, with slow times and room to
    come back once, is worked back from that day. So the safe day answers: if this packet comes back
    once and all offices on the way are slow, is everything still in time? Room for every packet of
    a chain to come back at once would put each safe day a year too early.
    """
    if varies(builder):
        return _settle(builder, packets, as_of)
    back = _run_back(builder, packets, NO_CHOICE, Pace.USUAL)
    slow = _run_back(builder, packets, NO_CHOICE, Pace.SLOW)
    safe = _run_back(builder, packets, NO_CHOICE, Pace.SLOW, slow)
    ahead = run_ahead(builder, NO_CHOICE, as_of)
    return Passes(
        last=back.latest,
        safe=safe.latest,
        earliest=ahead.earliest,
        network=ahead.network,
        back=back.network,
    )


def _settle(builder: NetworkBuilder, packets: tuple[Packet, ...], as_of: date) -> Passes:
    """Compute the days and the editions together; what is over is settled by the log first."""
    chooser = Chooser(builder=builder, pace=Pace.USUAL)

    def choose(choice: Choice, found: Ahead) -> Choice:
        done = {task.id: task.done_on for task in found.network.tasks if task.done_on is not None}
        return chooser.choose(choice, FromToday(found.earliest, done, as_of.toordinal()))

    ahead, earliest, ring = resolve(lambda choice: run_ahead(builder, choice, as_of), choose)
    over = dict(chooser.over)
    notes = dict.fromkeys((*chooser.notes, *list_circles(packets, ring)))
    back, last, said = _settle_back(builder, packets, over, Pace.USUAL)
    slow, slowly, _ = _settle_back(builder, packets, over, Pace.SLOW)
    safe, safely, _ = _settle_back(builder, packets, over, Pace.SLOW, slow)
    return Passes(
        last=back.latest,
        safe=safe.latest,
        earliest=ahead.earliest,
        network=ahead.network,
        back=back.network,
        choices=Choices(
            last=last,
            slow=slowly,
            safe=safely,
            earliest=earliest,
            notes=tuple(dict.fromkeys((*notes, *said))),
        ),
    )


def _settle_back(
    builder: NetworkBuilder,
    packets: tuple[Packet, ...],
    over: Choice,
    pace: Pace,
    slow: _Back | None = None,
) -> tuple[_Back, Choice, tuple[tuple[str, str], ...]]:
    chooser = Chooser(
        builder=builder, pace=pace, spare_returns=0 if slow is None else 1, fixed=over
    )
    back, choice, ring = resolve(
        lambda choice: _run_back(builder, packets, choice, pace, slow),
        lambda choice, found: chooser.choose(choice, FromEnd(found.latest, found.limits)),
    )
    return back, choice, (*chooser.notes, *list_circles(packets, ring))


def _run_back(
    builder: NetworkBuilder,
    packets: tuple[Packet, ...],
    choice: Choice,
    pace: Pace,
    slow: _Back | None = None,
) -> _Back:
    """Work back from every need; with a *slow* pass, each packet alone and with a return."""
    chosen = builder.choosing(choice)
    network = chosen.build(pace, spare_returns=0 if slow is None else 1, joined=slow is None)
    needs, filing = limits_of(with_choices(packets, choice))
    if slow is not None:
        found = slow.latest
        needs = {name: day for name in needs if (day := found[name].finish) is not None}
    # A filing that only another edition knows has no limit here.
    limits = needs | {name: day for name, day in filing.items() if name in network.steps}
    return _Back(work_back(network, limits), network, limits)


def run_ahead(builder: NetworkBuilder, choice: Choice, as_of: date) -> Ahead:
    """Work forward from today at usual times with what has happened."""
    network = builder.choosing(choice).build_happened(as_of)
    today = as_of.toordinal()
    try:
        found = compute_earliest(Network(network.tasks, network.gaps), today=today)
    except InfeasibleError:
        # Something signed has gone stale; concerns.py says so, the days go on without that rule.
        found = compute_earliest(Network(network.tasks), today=today)
    return Ahead({earliest.id: earliest for earliest in found}, network)


def rerun_safe(
    builder: NetworkBuilder, packets: tuple[Packet, ...], choices: Choices
) -> tuple[tuple[PacketNetwork, dict[str, Latest]], tuple[PacketNetwork, dict[str, Latest]]]:
    """Run the passes of the safe days again, with the editions a plan came to.

    Shape: the pass of all packets at slow times, and that of each packet alone with a return; each
    as its network and its latest days.
    """
    slow = _run_back(builder, packets, choices.slow, Pace.SLOW)
    safe = _run_back(builder, packets, choices.safe, Pace.SLOW, slow)
    return (slow.network, slow.latest), (safe.network, safe.latest)
