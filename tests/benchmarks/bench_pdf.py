"""How long a cover sheet and a checklist take in a fresh process, imports included.

Run: ``python tests/benchmarks/bench_pdf.py``. Prints the median of five runs; the aim is less
than one second.
"""

import statistics
import subprocess
import sys
import time

RUNS = 5
LIMIT_SECONDS = 1.0
CODE = """
from datetime import date
from compliance.outputs.checklist import (
    Checklist, ChecklistBlank, ChecklistDocument, ChecklistStep
)
from compliance.outputs.checklist_pdf import render_checklist_pdf
from compliance.outputs.coversheet import CoverSheet, EnclosureLine, render_coversheet

blanks = tuple(ChecklistBlank(label=f"Blank {n}", kind="text", who="Odile") for n in range(10))
checklist = Checklist(
    packet_id="SF-REG-TG46-2", title="Registration of the TG-46", holder="Sandbur Flats Aerial LLC",
    as_of=date(2027, 1, 11), caution="Check the rule.",
    steps=tuple(ChecklistStep(order=n, text=f"Step {n}") for n in range(1, 11)),
    documents=tuple(ChecklistDocument(title=f"Paper {n}", blanks=blanks) for n in range(6)),
)
sheet = CoverSheet(
    packet_id="SF-REG-TG46-2", as_of=date(2027, 1, 11), from_lines=("Sandbur Flats Aerial LLC",),
    to_lines=("Aircraft Registration Branch",), re_lines=("Registration",), caution="Check it.",
    enclosures=tuple(EnclosureLine(title=f"Paper {n}", originals=1, copies=1) for n in range(6)),
)
assert len(render_checklist_pdf(checklist)) > 10_000
assert len(render_coversheet(sheet)) > 10_000
"""


def measure() -> float:
    """Seconds for one fresh process."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", CODE], check=True)
    return time.perf_counter() - start


def main() -> int:
    """Print the runs and their median; 1 when the median is over the limit."""
    runs = [measure() for _ in range(RUNS)]
    median = statistics.median(runs)
    print("runs:", ", ".join(f"{run:.2f} s" for run in runs))
    print(f"median: {median:.2f} s (aim: under {LIMIT_SECONDS:.0f} s)")
    return int(median > LIMIT_SECONDS)


if __name__ == "__main__":
    sys.exit(main())
