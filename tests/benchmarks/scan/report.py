"""Look at fresh pictures with the shipped check and print how often it is right.

Run: ``python -m tests.benchmarks.scan.report 1000``. The seeds and layouts 4 to 7 are used nowhere
else; half of the pictures show layouts that were used for tuning, with other writing. Figures
are for simulated pictures: they show what the method can do, not what a mailbox will show.
"""

import statistics
import sys
import time
from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from compliance.scan.model import PageFinding, Seen
from compliance.scan.photo import look_at_pictures
from tests.benchmarks.scan.layouts import HELD_OUT, TUNING, Layout, make_layout
from tests.benchmarks.scan.make import Sample, make_sample

FIRST_SEED = 910_000
_ANSWERS = (Seen.PRESENT, Seen.MISSING, Seen.CANNOT_TELL)
_SHOWN = 40
_BETWEEN = 200


@dataclass
class Tally:
    """Answers by row of the table, and what went wrong."""

    counts: Counter[tuple[str, bool, Seen]] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    pictures: int = 0

    def add(self, layout: Layout, seed: int, sample: Sample, finding: PageFinding) -> None:
        """Compare one finding with the truth."""
        name = f"layout {layout.number} seed {seed} {sorted(sample.tags)}"
        if finding.page is None:
            self.refused.append(f"{name}: {finding.why}")
            return
        for found in finding.findings:
            filled = found.region.id in sample.filled
            note = sample.notes.get(found.region.id, "")
            for row in _rows(layout, sample, found.region.kind, note):
                self.counts[row, filled, found.seen] += 1
            bad = Seen.MISSING if filled else Seen.PRESENT
            if found.seen is bad:
                self.wrong.append(
                    f"{name}: {found.region.id} {note or 'empty'} called {found.seen} "
                    f"({found.score:.2f})"
                )


def main(pictures: int, first: int = FIRST_SEED) -> None:
    """Make and look at the pictures one after another and print the tables."""
    layouts = [make_layout(number) for number in (*TUNING, *HELD_OUT)]
    tally = Tally()
    for number in range(pictures):
        layout = layouts[number % len(layouts)]
        sample = make_sample(layout, first + number, unseen=True)
        files = [("picture.jpg", sample.shot.data)]
        started = time.perf_counter()
        (finding,) = look_at_pictures(
            files, [layout.blank], layout.regions, form_code=layout.form_code
        )
        tally.seconds.append(time.perf_counter() - started)
        tally.pictures += 1
        tally.add(layout, first + number, sample, finding)
        if tally.pictures % _BETWEEN == 0 and tally.pictures < pictures:
            print_table(tally)
    print_table(tally)


def print_table(tally: Tally) -> None:
    """Print the confusion table, the refusals and the errors one by one."""
    print(f"{tally.pictures} pictures, {len(tally.refused)} not lined up or refused")
    head = ("", "empty", "present", "missing", "ask", "filled", "present", "missing", "ask")
    print(f"{head[0]:24}" + "".join(f"{word:>9}" for word in head[1:]))
    for row in sorted({key[0] for key in tally.counts}):
        cells = []
        for filled in (False, True):
            numbers = [tally.counts[row, filled, answer] for answer in _ANSWERS]
            whole = sum(numbers)
            cells.append(f"{whole:9d}")
            cells += [f"{100 * number / max(whole, 1):8.2f}%" for number in numbers]
        print(f"{row:24}" + "".join(cells))
    asked = sum(n for (row, _, seen), n in tally.counts.items() if _is_all(row, seen))
    whole = sum(n for (row, _, _), n in tally.counts.items() if row == "all")
    print(f"asked of all regions: {100 * asked / max(whole, 1):.2f}%")
    quick = np.percentile(tally.seconds, 95)
    print(f"seconds a picture: median {statistics.median(tally.seconds):.2f}, 95 % {quick:.2f}")
    for line in [*tally.refused[:_SHOWN], *tally.wrong[:_SHOWN]]:
        print(line)
    sys.stdout.flush()


def _is_all(row: str, seen: Seen) -> bool:
    return row == "all" and seen is Seen.CANNOT_TELL


def _rows(layout: Layout, sample: Sample, kind: str, note: str) -> list[str]:
    rows = ["all", f"kind {kind.removeprefix('notary-')}"]
    rows.append("layouts held out" if layout.number in HELD_OUT else "layouts of tuning")
    rows += [f"tag {tag}" for tag in sample.tags if not tag.startswith("dpi")]
    if note in {"embossed", "pencil", "highlighter", "sender's cross", "typed", "script"}:
        rows.append(f"note {note}")
    if note != "embossed" and "one-bit" not in sample.tags:
        rows.append("all, no seal, no one-bit")
    return rows


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else FIRST_SEED)
