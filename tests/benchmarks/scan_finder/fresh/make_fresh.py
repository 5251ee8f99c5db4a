"""Draw every invented form of this folder anew, each with its true places.

Run: ``python tests/benchmarks/scan_finder/fresh/make_fresh.py``. The agencies, numbers and
wordings are invented and no real form is redrawn.
"""

import fresh_boxes
import fresh_lines
import fresh_notary
import fresh_odd
import fresh_tables

MODULES = (fresh_boxes, fresh_lines, fresh_notary, fresh_tables, fresh_odd)


def main() -> None:
    """Draw all of them and say how many places each has."""
    counts = {form.__name__: form() for module in MODULES for form in module.FORMS}
    for name, count in counts.items():
        print(f"{name:24}{count:5}")
    print(f"{len(counts)} forms, {sum(counts.values())} places")


if __name__ == "__main__":
    main()
