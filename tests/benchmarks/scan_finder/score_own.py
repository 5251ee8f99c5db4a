"""Scores the finder on three sets of forms of our own; README.md tells how each was used.

Run: ``python tests/benchmarks/scan_finder/score_own.py first|second|third [--each]``. ``--each``
prints every miss.
"""

import sys

import own_first
import own_kit
import own_second
import own_third
from score import Truth, add_scores, say_place, say_score, score_layout

from compliance.scan.finder import find_blanks


def main(which: str, *, each: bool) -> None:
    """Print every form's counts and their sum."""
    forms = {"first": own_first.FORMS, "second": own_second.FORMS, "third": own_third.FORMS}[which]
    scores = []
    for name, draw in forms.items():
        pen: own_kit.Pen = draw()
        truths = tuple(Truth(**row) for row in pen.rows)  # type: ignore[arg-type]
        score = score_layout(truths, find_blanks(pen.finish()))
        scores.append(score)
        print(say_score(name, score))
        if each:
            for truth in score.missed:
                print(f"    missed: {say_place(truth)}")
            for region in score.wrong:
                print(f"    wrong:  {say_place(region)} {region.label!r}")
            for truth, region in score.mixed:
                print(f"    kind:   {say_place(region)} is {truth.kind} {region.label!r}")
    print(say_score(f"all {len(forms)}", add_scores(scores)))


if __name__ == "__main__":
    main(sys.argv[1], each="--each" in sys.argv)
