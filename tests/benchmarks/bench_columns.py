"""How quick are the passes over columns? Run: python tests/benchmarks/bench_columns.py

A batch of 100,000 operations that share the 25-step network of ``bench_schedule.py``: backward from
a limit each, and forward from a day to begin each. Against networkx, which puts the steps in order
and is asked for their successors for each operation, with the moves of the calendars; and against
the list passes one operation at a time. The slow ways are timed on a sample and reckoned up.
"""

from collections.abc import Callable
from statistics import median
from time import perf_counter

import networkx as nx
import numpy as np
from bench_schedule import (  # type: ignore[import-not-found] # run by hand, from its own folder
    LIMIT,
    TODAY,
    build_graph,
    build_network,
)

from compliance.engine.columns import schedule_many
from compliance.engine.schedule import earliest_days, latest_days

ROWS = 100_000
SAMPLE = 400
REPEATS = 15


def time_each(work: Callable[[], object]) -> float:
    """Time one call, in seconds."""
    begun = perf_counter()
    work()
    return perf_counter() - begun


def list_ways() -> dict[str, list[tuple[str, Callable[[], object], int]]]:  # noqa: C901 - six ways
    """Give the ways to compare, each with how many operations it does."""
    network, graph = build_network(), build_graph()
    stream = np.random.default_rng(1)
    limits = stream.integers(LIMIT - 300, LIMIT + 300, ROWS)
    todays = stream.integers(TODAY - 200, TODAY + 200, ROWS)
    name = network.order[-1]
    moves = [task.move for task in network.tasks]

    def backward_graph() -> None:
        for limit in limits[:SAMPLE].tolist():
            latest: dict[int, int] = {}
            for at in reversed(list(nx.topological_sort(graph))):
                behind = [latest[one] for one in graph.successors(at)]
                latest[at] = moves[at].backward(min(behind, default=limit))

    def forward_graph() -> None:
        for today in todays[:SAMPLE].tolist():
            earliest: dict[int, int] = {}
            for at in nx.topological_sort(graph):
                before = [earliest[one] for one in graph.predecessors(at)]
                earliest[at] = moves[at].forward(max(before, default=today))

    def backward_lists() -> None:
        for limit in limits[:SAMPLE].tolist():
            latest_days(network, {name: limit})

    def forward_lists() -> None:
        for today in todays[:SAMPLE].tolist():
            earliest_days(network, today)

    return {
        "backward": [
            ("networkx, one at a time", backward_graph, SAMPLE),
            ("plain lists, one at a time", backward_lists, SAMPLE),
            ("columns", lambda: schedule_many(network, limits={name: limits}), ROWS),
        ],
        "forward": [
            ("networkx, one at a time", forward_graph, SAMPLE),
            ("plain lists, one at a time", forward_lists, SAMPLE),
            ("columns", lambda: schedule_many(network, today=todays), ROWS),
        ],
    }


def main() -> None:
    """Print nanoseconds an operation and how many times quicker than networkx."""
    print(f"25 steps, {ROWS:,} operations, median of {REPEATS} rounds")
    for what, works in list_ways().items():
        times: dict[str, list[float]] = {title: [] for title, _, _ in works}
        for _ in range(REPEATS):
            for title, work, rows in works:
                times[title].append(time_each(work) / rows * 1e9)
        other = median(times["networkx, one at a time"])
        for title, values in times.items():
            one = median(values)
            print(f"{what:9} {title:27} {one:10,.0f} ns an operation, {other / one:7,.0f} x")


if __name__ == "__main__":
    main()
