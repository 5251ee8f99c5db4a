"""How quick are the passes? Run: python tests/benchmarks/bench_schedule.py

A 25-step network with mail days, federal business days and calendar days mixed: forward and
backward pass, against networkx finding the longest path of the same network, built beforehand,
with the step lengths as weights. Repeats are interleaved so that a busy machine slows both.
"""

from collections.abc import Callable
from datetime import date
from statistics import mean
from time import perf_counter

import networkx as nx

from compliance.base.calendars import build_every_day
from compliance.base.holidays import build_federal_calendar, build_postal_calendar
from compliance.engine.schedule import (
    Act,
    Network,
    Task,
    Wait,
    compute_earliest,
    compute_latest,
    earliest_days,
    latest_days,
)

SPAN = date(2025, 1, 1), date(2032, 12, 31)
TODAY = date(2027, 1, 11).toordinal()
LIMIT = date(2028, 6, 30).toordinal()
REPEATS = 60
CALLS = 200

# What a step is: act, or days to wait on the calendar named; and the steps it follows.
ROWS: tuple[tuple[str, int, tuple[int, ...]], ...] = (
    ("act", 0, ()),
    ("act", 0, ()),
    ("every", 30, (0,)),
    ("postal", 3, (1,)),
    ("federal", 10, (3,)),
    ("postal", 3, (4,)),
    ("act", 0, (2, 5)),
    ("act", 0, (6,)),
    ("postal", 5, (7,)),
    ("every", 120, (8,)),
    ("federal", 5, (8,)),
    ("act", 0, (10,)),
    ("postal", 3, (9, 11)),
    ("act", 0, (6,)),
    ("federal", 20, (13,)),
    ("every", 14, (14,)),
    ("act", 0, (14, 15)),
    ("postal", 4, (16,)),
    ("federal", 15, (12, 17)),
    ("act", 0, (18,)),
    ("every", 10, (18,)),
    ("postal", 3, (19, 20)),
    ("act", 0, (21,)),
    ("federal", 1, (22,)),
    ("act", 0, (12, 23)),
)


def build_network() -> Network:
    """Build the network once; this is not timed."""
    calendars = {
        "act": build_federal_calendar(*SPAN),
        "every": build_every_day("every day", *SPAN),
        "postal": build_postal_calendar(*SPAN),
        "federal": build_federal_calendar(*SPAN),
    }
    return Network(
        [
            Task(
                id=f"step {at}",
                move=Act(calendar=calendars[kind])
                if kind == "act"
                else Wait(calendar=calendars[kind], days=days),
                after=tuple(f"step {one}" for one in before),
            )
            for at, (kind, days, before) in enumerate(ROWS)
        ]
    )


def build_graph() -> "nx.DiGraph[int]":
    """Build the same network as a weighted graph; this is not timed."""
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(len(ROWS)))
    for at, (_, _, before) in enumerate(ROWS):
        for one in before:
            graph.add_edge(one, at, weight=ROWS[one][1])
    return graph


def time_calls(work: Callable[[], object]) -> float:
    """Time a run of calls; microseconds a call."""
    begun = perf_counter()
    for _ in range(CALLS):
        work()
    return (perf_counter() - begun) / CALLS * 1e6


def main() -> None:
    """Print microseconds a call and how many times quicker than networkx."""
    network, graph = build_network(), build_graph()
    limits = {network.order[-1]: LIMIT}

    def by_lists() -> None:
        earliest_days(network, TODAY)
        latest_days(network, limits)

    def by_values() -> None:
        compute_earliest(network, today=TODAY)
        compute_latest(network, limits=limits)

    def by_networkx() -> None:
        nx.dag_longest_path(graph, weight="weight")

    works = {"plain lists": by_lists, "rows with reasons": by_values, "networkx": by_networkx}
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(REPEATS):
        for name, work in works.items():
            times[name].append(time_calls(work))
    other = mean(times["networkx"])
    print(f"{len(ROWS)} steps, forward and backward, mean of {REPEATS} x {CALLS} calls")
    for name, values in times.items():
        print(f"{name:18} {mean(values):8.1f} us a call, {other / mean(values):5.1f} x")


if __name__ == "__main__":
    main()
