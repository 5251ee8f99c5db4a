"""How long a calendar of 500 entries takes to revise, write and check.

Run with ``python tests/benchmarks/bench_ics.py``. The bound of one second for writing is ours.
"""

import time
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from compliance.engine.ledger import Alarm, Entry, compute_revision
from compliance.outputs.ics import render_calendar
from compliance.outputs.ics_lint import check_ics

COUNT = 500
ROUNDS = 5
NAMESPACE = UUID("5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11")
NOW = datetime(2027, 1, 11, 14, 5, 9, tzinfo=UTC)
ALARMS = (Alarm(id="evening", days_before=1, hour=18), Alarm(id="week", days_before=7, hour=8))


def main() -> None:
    """Print the best time of five rounds for each part."""
    entries = tuple(
        Entry(
            key=("step", "sandbur", str(number)),
            on=date(2027, 1, 12) + timedelta(days=number % 300),
            title=f"Mail by today: packet {number}, TG-46",
            text="In the envelope:\n- form, signed\n- bill of sale\n- fee, 5 dollars\n" * 3,
            alarms=ALARMS,
        )
        for number in range(COUNT)
    )
    best = {"revise": 9e9, "write": 9e9, "check": 9e9}
    for _ in range(ROUNDS):
        marks = [time.perf_counter()]
        lines = compute_revision(entries, (), namespace=NAMESPACE, now=NOW)
        marks.append(time.perf_counter())
        data = render_calendar(lines, name="Sandbur Flats Aerial LLC", calendar_uid=NAMESPACE)
        marks.append(time.perf_counter())
        found = check_ics(data)
        marks.append(time.perf_counter())
        for part, start, end in zip(best, marks, marks[1:], strict=False):
            best[part] = min(best[part], end - start)
    print(f"{COUNT} entries, {len(data)} octets, {len(found)} findings")
    for part, seconds in best.items():
        print(f"{part:7} {seconds:.3f} s")


if __name__ == "__main__":
    main()
