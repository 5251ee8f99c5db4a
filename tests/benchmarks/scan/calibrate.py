"""Fit the weights that ship with the package to pictures of the tuning layouts.

Run: ``python -m tests.benchmarks.scan.calibrate``; writes compliance/scan/model_weights.json.
"""

import json
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from compliance.scan.align import align_by_codes
from compliance.scan.blank import prepare_blank
from compliance.scan.codes import read_codes
from compliance.scan.decide import compute_features, find_group
from compliance.scan.load import decode_pictures
from compliance.scan.photo import measure_page
from tests.benchmarks.scan.layouts import TUNING, make_layout
from tests.benchmarks.scan.make import make_sample

FIRST_SEED = 100_000
PICTURES = 400
RIDGE = 2e-4
TARGET = Path(__file__).parents[3] / "compliance" / "scan" / "model_weights.json"

Rows = dict[str, list[tuple[NDArray[np.float64], bool]]]


def main(pictures: int = PICTURES) -> None:
    """Make the pictures, measure them, fit and write."""
    rows = collect(pictures)
    models = {group: fit(held) for group, held in sorted(rows.items())}
    made = {
        "made_by": "tests/benchmarks/scan/calibrate.py",
        "layouts": list(TUNING),
        "seeds": [FIRST_SEED, FIRST_SEED + pictures - 1],
        "ridge": RIDGE,
        "features": "log area, cover, log extent, log count, log diagonal, contrast, log part",
        "models": models,
    }
    TARGET.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
    print(f"wrote {TARGET.name}: " + ", ".join(f"{g} {len(r)}" for g, r in sorted(rows.items())))


def collect(pictures: int) -> Rows:
    """Measure every region of the pictures that line up; raised seals are left out."""
    layouts = [make_layout(number) for number in TUNING]
    blanks = [prepare_blank(layout.blank) for layout in layouts]
    rows: Rows = {}
    for number in range(pictures):
        layout, blank = layouts[number % len(TUNING)], blanks[number % len(TUNING)]
        sample = make_sample(layout, FIRST_SEED + number)
        picture = next(decode_pictures("picture", sample.shot.data))
        grey = picture.image.convert("L")
        lined_up = align_by_codes(grey, read_codes(np.asarray(grey)), blank)
        if lined_up is None or not lined_up.is_good:
            print(f"picture {number} not lined up")
            continue
        _, _, measured = measure_page(picture.image, lined_up, blank, layout.regions)
        for region, ink in zip(layout.regions, measured, strict=True):
            if sample.notes.get(region.id) != "embossed" and ink.outside == 0:
                rows.setdefault(find_group(region.kind), []).append(
                    (compute_features(ink), region.id in sample.filled)
                )
    return rows


def fit(rows: list[tuple[NDArray[np.float64], bool]]) -> dict[str, object]:
    """Fit a ridge logistic model; no weight may be negative, so more ink never counts against."""
    values = np.array([features for features, _ in rows])
    truth = np.array([filled for _, filled in rows], dtype=float)
    middle, spread = values.mean(axis=0), values.std(axis=0) + 1e-6
    held = np.column_stack(((values - middle) / spread, np.ones(len(values))))
    free = np.ones(held.shape[1], dtype=bool)
    while True:
        weights = np.zeros(held.shape[1])
        weights[free] = _solve(held[:, free], truth)
        worst = int(weights[:-1].argmin())
        if weights[worst] >= 0:
            break
        free[worst] = False
    return {
        "middle": [round(float(v), 4) for v in middle],
        "spread": [round(float(v), 4) for v in spread],
        "weights": [round(float(v), 4) for v in weights[:-1]],
        "bias": round(float(weights[-1]), 4),
    }


def _solve(held: NDArray[np.float64], truth: NDArray[np.float64]) -> NDArray[np.float64]:
    """Find the weights by Newton's method; the last column is the constant."""
    penalty = np.eye(held.shape[1]) * RIDGE * len(held)
    penalty[-1, -1] = 1e-6
    weights = np.zeros(held.shape[1])
    for _ in range(80):
        chance = 1 / (1 + np.exp(-np.clip(held @ weights, -30, 30)))
        curved = (held * (chance * (1 - chance) + 1e-6)[:, None]).T @ held + penalty
        weights -= np.linalg.solve(curved, held.T @ (chance - truth) + penalty @ weights)
    return weights


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else PICTURES)
