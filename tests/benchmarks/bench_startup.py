"""Time whole commands against importing their libraries alone, in turn, in one run.

Prints medians and ratios, of wall time and of processor time; goals: ``--help`` at most 1.5 times
importing typer, ``plan`` on the demo at most 1.5 times importing sqlmodel and typer, ``go`` at most
1.3 times. Bytecode is written once before, as an installation has it, to a folder of its own.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 15
RUN = "import sys; sys.argv = {argv!r}; from compliance.cli.main import run; run()"


def main() -> None:
    """Run the comparison and print it."""
    with tempfile.TemporaryDirectory() as folder:
        setting = dict(os.environ, PYTHONPYCACHEPREFIX=str(Path(folder) / "bytecode"))
        setting.pop("PYTHONDONTWRITEBYTECODE", None)
        demo = str(Path(folder) / "demo")
        _run(_call("demo", "--into", demo), setting)
        db = f"{demo}/mailby-demo.sqlite"
        libraries = "import sqlmodel, typer"
        pairs = {
            "--help / import typer": (_call("--help"), "import typer"),
            "go / import sqlmodel, typer": (
                _call("go", "--db", db, "--on", "2027-05-24"),
                libraries,
            ),
            "plan / import sqlmodel, typer": (
                _call("plan", "--db", db, "--on", "2027-01-11"),
                libraries,
            ),
        }
        for code in {one for pair in pairs.values() for one in pair}:
            _run(code, setting)
        for name, pair in pairs.items():
            found: dict[str, list[tuple[float, float]]] = {code: [] for code in pair}
            for _ in range(ROUNDS):
                for code, times in found.items():
                    times.append(_run(code, setting))
            for at, what in enumerate(("wall", "processor")):
                mine, base = (statistics.median(one[at] for one in found[code]) for code in pair)
                print(f"{name}, {what}: {mine:.3f} s / {base:.3f} s = {mine / base:.2f}")


def _call(*arguments: str) -> str:
    return RUN.format(argv=["mailby", *arguments])


def _run(code: str, setting: dict[str, str]) -> tuple[float, float]:
    """Run a piece of Python; give its wall time and its processor time in seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    started = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", code], check=False, stdout=subprocess.DEVNULL, env=setting
    )
    wall = time.perf_counter() - started
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in {0, 10}:  # 10 is the NO-GO of ``go``
        raise SystemExit(f"this stopped with {done.returncode}: {code}")
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


if __name__ == "__main__":
    main()
