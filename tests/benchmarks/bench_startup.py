"""Time whole commands against importing their libraries alone, in turn, in one run.

Prints medians and ratios; goals: ``--help`` at most 1.5 times importing typer, ``plan`` on the demo
at most 1.5 times importing sqlmodel and typer, ``go`` at most 1.3 times.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 9
MAIN = "from compliance.cli.main import main; main({arguments!r})"


def main() -> None:
    """Run the comparison and print it."""
    with tempfile.TemporaryDirectory() as folder:
        demo = str(Path(folder) / "demo")
        _run(MAIN.format(arguments=["demo", "--into", demo]))
        plan = ["plan", "--db", f"{demo}/mailby-demo.sqlite", "--on", "2027-01-11"]
        pairs = {
            "--help / import typer": (MAIN.format(arguments=["--help"]), "import typer"),
            "plan / import sqlmodel, typer": (
                MAIN.format(arguments=plan),
                "import sqlmodel, typer",
            ),
            "go / import sqlmodel, typer": (
                MAIN.format(arguments=["go", *plan[1:3], "--on", "2027-05-24"]),
                "import sqlmodel, typer",
            ),
        }
        for name, (ours, theirs) in pairs.items():
            times: dict[str, list[float]] = {ours: [], theirs: []}
            for _ in range(ROUNDS):
                for code, found in times.items():
                    found.append(_run(code))
            mine, base = (statistics.median(found) for found in times.values())
            print(f"{name}: {mine:.3f} s / {base:.3f} s = {mine / base:.2f}")


def _run(code: str) -> float:
    started = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - started


if __name__ == "__main__":
    main()
