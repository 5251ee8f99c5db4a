"""What do chances cost? Run: python tests/benchmarks/bench_chances.py

Questions, each with its pair in the same rounds, so that a busy machine slows both:

* the demo's plan from the database with chances, and without them; and the whole command
  `mailby plan` so, in processor seconds, which is what a person waits for;
* draws a second of the passes, and of a plain-Python loop over the list passes on the same network;
* the chance of one packet with returns by draws, and exactly, by matrices on a grid of days.
"""

import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

import numpy as np
from sqlmodel import Session

from compliance.app.demo import DEMO_DAY, FACTS, LOG, run_demo
from compliance.app.facts_file import parse_facts
from compliance.app.planning import make_plan
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.tables import load_shipped_table
from compliance.base.calendars import build_every_day
from compliance.engine.chance_network import draw_season, find_rows
from compliance.engine.chances import DRAWS, SEED
from compliance.engine.network import NetworkBuilder
from compliance.engine.network_core import Network
from compliance.engine.network_passes import earliest_days
from compliance.engine.plan import build_days
from compliance.engine.turnaround import Seen, draw_offices, find_offices
from compliance.facts.log_parse import parse_log
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

REPEATS = 9
GRID = 300


def time_pair(first: Callable[[], object], second: Callable[[], object]) -> tuple[float, float]:
    """Time two works in turns; medians in milliseconds."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(REPEATS):
        for work, found in zip((first, second), times, strict=True):
            begun = perf_counter()
            work()
            found.append((perf_counter() - begun) * 1e3)
    return median(times[0]), median(times[1])


def bench_plan(session: Session) -> None:
    """Compare the plan with and without chances."""
    without, with_chances = time_pair(
        lambda: make_plan(session, None, DEMO_DAY, with_remedies=True),
        lambda: make_plan(session, None, DEMO_DAY, with_remedies=True, with_chances=True),
    )
    print(
        f"plan without chances {without:7.0f} ms, with {with_chances:7.0f} ms: "
        f"{with_chances / without:.2f} x"
    )


def bench_command(folder: Path) -> None:
    """Compare the whole command with and without chances, start of Python included."""
    code = "from compliance.cli.main import main\n{}\nmain({!r})"
    skip = "import compliance.app.chances as c\nc.add_chances = lambda s, plan, *more: plan"
    words = ["plan", "--db", str(folder / "mailby-demo.sqlite"), "--on", DEMO_DAY.isoformat()]
    times: dict[str, list[float]] = {skip: [], "": []}
    for _ in range(REPEATS):
        for first, found in times.items():
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            run = [sys.executable, "-c", code.format(first, words)]
            subprocess.run(run, check=True, stdout=subprocess.DEVNULL)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            found.append(sum(after[:2]) - sum(before[:2]))
    without, with_chances = median(times[skip]), median(times[""])
    print(
        f"command without chances {without:4.2f} s, with {with_chances:4.2f} s: "
        f"{with_chances / without:.2f} x"
    )


def bench_draws(session: Session) -> None:
    """Compare the passes over columns with a loop over the list passes."""
    planned = make_plan(session, None, DEMO_DAY)
    plan, table = planned.plan, planned.table
    packets = tuple(paper.packet for paper in plan.papers)
    days = build_days(plan.operation, packets, plan.as_of)
    builder = NetworkBuilder(packets, table, days, plan.operation.mail_service)
    seen = Seen(offices=find_offices(table))
    offices = draw_offices(find_rows(packets), seen, DRAWS, SEED)
    season = draw_season(builder, plan.as_of, offices, DRAWS, SEED)
    alone = Network(builder.build_happened(plan.as_of).tasks)
    today, few = plan.as_of.toordinal(), 200

    def by_lists() -> None:
        for _ in range(few):
            earliest_days(alone, today)

    columns, lists = time_pair(lambda: season.columns.forward(season.given), by_lists)
    drawing, _ = time_pair(
        lambda: draw_season(builder, plan.as_of, offices, DRAWS, SEED), lambda: None
    )
    print(
        f"passes over columns, with returns: {DRAWS / columns * 1e3:12,.0f} draws a second; "
        f"{DRAWS / (columns + drawing) * 1e3:10,.0f} with the drawing"
    )
    print(f"list passes, without returns:      {few / lists * 1e3:12,.0f} draws a second")


def bench_exact() -> None:
    """Compare draws of one packet with returns with exact matrices for all its mail days."""
    every = build_every_day("every day", *(DEMO_DAY.replace(year=year) for year in (2026, 2029)))
    stream = np.random.default_rng(1)
    steps = np.arange(GRID)

    def wait(weights: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> object:
        found = np.zeros((GRID, GRID))
        for count, weight in enumerate(weights):
            found[steps[: GRID - count], steps[: GRID - count] + count] += weight
        return found

    lengths = np.exp(np.log(28) + 0.35 * stream.standard_normal(200_000))
    review = np.asarray(wait(np.bincount(np.ceil(lengths).astype(int))[:GRID] / 200_000))
    again = np.asarray(wait(np.eye(16)[12]))

    def exactly() -> None:
        loop = 0.25 * review @ again
        np.linalg.solve(np.eye(GRID) - loop, 0.75 * review)

    def drawn() -> None:
        day = np.full(DRAWS, DEMO_DAY.toordinal() - every.first)
        returns = stream.geometric(0.75, DRAWS) - 1
        for round_number in range(7):
            rows = np.flatnonzero(returns >= round_number)
            length = np.exp(np.log(28) + 0.35 * stream.standard_normal(rows.size))
            day[rows] += np.ceil(length).astype(int) + (12 if round_number else 0)
        np.sort(day)

    by_draws, by_matrices = time_pair(drawn, exactly)
    print(
        f"one packet: {DRAWS:,} draws {by_draws:.1f} ms; exact, {GRID} days, {by_matrices:.1f} ms: "
        f"{by_matrices / by_draws:.1f} x"
    )


def main() -> None:
    """Print all three."""
    table = load_shipped_table()
    files = read_folder(shipped_folder("demo_data"))
    operation = parse_facts(files[FACTS], FACTS, table)
    log, _ = parse_log(files[LOG], LOG, operation)
    with open_session(":memory:") as session:
        save_operation(session, operation, namespace="n")
        append_log(session, operation.id, log)
        bench_plan(session)
        with TemporaryDirectory() as folder:
            run_demo(Path(folder), namespace="00000000-0000-4000-8000-000000000000")
            bench_command(Path(folder))
        bench_draws(session)
    bench_exact()


if __name__ == "__main__":
    main()
