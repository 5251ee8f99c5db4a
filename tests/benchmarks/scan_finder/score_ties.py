"""How many places of drawn forms are tied to the right blank of their template.

Run: ``python tests/benchmarks/scan_finder/score_ties.py work|held [--each] [SEEDS]``. Each
template is drawn several times; the finder finds the places, and those that it found are counted:
right (the blank that was drawn, or none for a place of no blank), wrong (another blank, or a blank
where none was drawn), untied (no blank where one was drawn).
"""

import sys
from collections import Counter

from score import Truth, overlap
from tie_forms import draw

from compliance.app.tables import load_templates
from compliance.app.tie import tie_regions
from compliance.scan.finder import find_blanks


def main(which: str, *, each: bool, seeds: int) -> None:
    """Print the shares, and with *each* every fault."""
    part = {"work": 0, "held": 1}[which]
    counts: Counter[str] = Counter()
    for template in load_templates().values():
        for seed in range(seeds):
            form = draw(template, part, seed)
            rows = [Truth(**row) for row in form.pen.rows]  # type: ignore[arg-type]
            regions = find_blanks(form.pen.finish())
            ties = tie_regions(regions, template)
            for wanted in form.wanted:
                truth = rows[wanted.row]
                best = max(regions, key=lambda region: overlap(truth, region), default=None)
                if best is None or overlap(truth, best) <= 0:
                    counts["not found"] += 1
                    continue
                tied = ties.get(best.id, "")
                verdict = "right" if tied == wanted.blank else "wrong" if tied else "untied"
                kind = "" if wanted.blank else " (of no blank)"
                counts[verdict] += 1
                counts[f"{verdict}{kind or ' (of a blank)'}"] += 1
                if each and verdict != "right":
                    print(
                        f"{verdict:7} {template.id}/{seed} {best.kind} {best.label!r}"
                        f" is {wanted.blank or 'none'}, tied to {tied or 'none'}"
                    )
    whole = counts["right"] + counts["wrong"] + counts["untied"]
    for name, count in sorted(counts.items()):
        print(f"{name:24} {count:6} {count / whole:7.2%}")
    tied = counts["right (of a blank)"] + counts["wrong"]
    print(f"of {tied} ties {counts['wrong'] / max(1, tied):.2%} are wrong")


if __name__ == "__main__":
    numbers = [int(value) for value in sys.argv if value.isdigit()]
    main(sys.argv[1], each="--each" in sys.argv, seeds=numbers[0] if numbers else 4)
