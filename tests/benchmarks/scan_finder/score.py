"""Recall, precision and kind accuracy of the blank finder over a folder of layouts.

Run: ``python tests/benchmarks/scan_finder/score.py FOLDER``. README.md beside this file defines
the layouts and when a found region counts as the true one. Ends with 1 when the aims are missed.
"""

import json
import sys
from dataclasses import dataclass
from pathlib import Path

from compliance.scan.finder import find_blanks
from compliance.scan.model import Region

AIM_RECALL = 0.98
AIM_PRECISION = 0.95
IGNORE = "ignore"


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """One true blank, in points as shown; ``kind`` may be ``ignore``."""

    kind: str
    page: int
    left: float
    bottom: float
    right: float
    top: float


Rect = Truth | Region


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """The counts of one layout, or of several added up."""

    true: int
    found: int
    matched: int
    kinds: int
    missed: tuple[Truth, ...] = ()
    wrong: tuple[Region, ...] = ()
    mixed: tuple[tuple[Truth, Region], ...] = ()

    @property
    def recall(self) -> float:
        """Matched over true."""
        return self.matched / self.true if self.true else 1.0

    @property
    def precision(self) -> float:
        """Matched over found."""
        return self.matched / self.found if self.found else 1.0

    @property
    def accuracy(self) -> float:
        """Right kinds over matched."""
        return self.kinds / self.matched if self.matched else 1.0


def load_truth(path: Path) -> tuple[Truth, ...]:
    """The true blanks of a layout."""
    keys = ("left", "bottom", "right", "top")
    return tuple(
        Truth(kind=row["kind"], page=row["page"], **{key: float(row[key]) for key in keys})
        for row in json.loads(path.read_text(encoding="utf-8"))
    )


def overlap(one: Rect, other: Rect) -> float:
    """Area of the overlap over the area of both, 0 when they are not the same blank."""
    if one.page != other.page:
        return 0.0
    wide = min(one.right, other.right) - max(one.left, other.left)
    high = min(one.top, other.top) - max(one.bottom, other.bottom)
    whole = max(one.right, other.right) - min(one.left, other.left)
    lower = min(one.top - one.bottom, other.top - other.bottom)
    middles = (one.bottom + one.top) / 2, (other.bottom + other.top) / 2
    centred = other.bottom <= middles[0] <= other.top or one.bottom <= middles[1] <= one.top
    if wide < 0.5 * whole or high < 0.5 * lower or not centred:
        return 0.0
    both = wide * high
    areas = sum((item.right - item.left) * (item.top - item.bottom) for item in (one, other))
    return both / (areas - both)


def lies_on(found: Region, ignored: Truth) -> bool:
    """Whether the middle of a found region is in an ignored space."""
    across = (found.left + found.right) / 2
    up = (found.bottom + found.top) / 2
    return (
        found.page == ignored.page
        and ignored.left <= across <= ignored.right
        and ignored.bottom <= up <= ignored.top
    )


def score_layout(truths: tuple[Truth, ...], regions: tuple[Region, ...]) -> Score:
    """Pair the true blanks with the found regions."""
    wanted = [truth for truth in truths if truth.kind != IGNORE]
    ranked = sorted(
        (
            (overlap(truth, region), n, m)
            for n, truth in enumerate(wanted)
            for m, region in enumerate(regions)
        ),
        reverse=True,
    )
    pairs: dict[int, int] = {}
    for size, n, m in ranked:
        if size > 0 and n not in pairs and m not in pairs.values():
            pairs[n] = m
    ignored = [truth for truth in truths if truth.kind == IGNORE]
    wrong = tuple(
        region
        for m, region in enumerate(regions)
        if m not in pairs.values() and not any(lies_on(region, space) for space in ignored)
    )
    both = [(wanted[n], regions[m]) for n, m in sorted(pairs.items())]
    mixed = tuple(pair for pair in both if pair[0].kind != pair[1].kind)
    return Score(
        true=len(wanted),
        found=len(pairs) + len(wrong),
        matched=len(pairs),
        kinds=len(pairs) - len(mixed),
        missed=tuple(truth for n, truth in enumerate(wanted) if n not in pairs),
        wrong=wrong,
        mixed=mixed,
    )


def add_scores(scores: list[Score]) -> Score:
    """The counts of all layouts together."""
    return Score(
        true=sum(score.true for score in scores),
        found=sum(score.found for score in scores),
        matched=sum(score.matched for score in scores),
        kinds=sum(score.kinds for score in scores),
    )


def say_score(name: str, score: Score) -> str:
    """One line of the table."""
    return (
        f"{name:24} {score.true:5} true {score.found:5} found  recall {score.recall:7.2%}"
        f"  precision {score.precision:7.2%}  kind {score.accuracy:7.2%}"
    )


def say_place(item: Rect) -> str:
    """Where a blank is."""
    return (
        f"page {item.page + 1} {item.kind} {item.left:.0f},{item.bottom:.0f}"
        f" to {item.right:.0f},{item.top:.0f}"
    )


def main(folder: Path) -> int:
    """Print every layout and the sum; 1 when an aim is missed."""
    scores = []
    for path in sorted(folder.glob("*.json")):
        regions = find_blanks(path.with_suffix(".pdf").read_bytes())
        score = score_layout(load_truth(path), regions)
        scores.append(score)
        print(say_score(path.stem, score))
        for truth in score.missed:
            print(f"    missed: {say_place(truth)}")
        for region in score.wrong:
            print(f"    wrong:  {say_place(region)} {region.label!r}")
        for truth, region in score.mixed:
            print(f"    kind:   {say_place(region)} is {truth.kind} {region.label!r}")
    whole = add_scores(scores)
    print(say_score(f"all {len(scores)}", whole))
    return int(whole.recall < AIM_RECALL or whole.precision < AIM_PRECISION)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
