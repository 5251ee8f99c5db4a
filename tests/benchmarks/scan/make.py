"""One picture of a filled form from one seed: what is on it is known."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PIL import Image

from compliance.scan.model import Region
from tests.benchmarks.scan import writing
from tests.benchmarks.scan.camera import Shot, photograph, scan
from tests.benchmarks.scan.layouts import Layout
from tests.benchmarks.scan.writing import PENCIL, PENS, Paper

WRITTEN_NUMBERS = {"date", "notary-date", "notary-expiry", "number", "amount"}


@dataclass(frozen=True)
class Sample:
    """A picture and the truth: ids of regions filled, and what was done to each region."""

    shot: Shot
    filled: frozenset[str]
    notes: dict[str, str]
    tags: frozenset[str]


def make_sample(
    layout: Layout,
    seed: int,
    *,
    flatbed: bool | None = None,
    unseen: bool = False,
    also: Callable[[Paper], None] | None = None,
) -> Sample:
    """Write on a form and take its picture; equal seeds give equal pictures.

    ``unseen`` adds writing in a script face that calibration never sees. ``also`` spoils the
    written page once more before its picture is taken and draws no chance from the seed.
    """
    rng = np.random.default_rng((layout.number, seed))
    paper = Paper(image=Image.fromarray(layout.paper).convert("RGB"), rng=rng)
    hard = bool(rng.random() < 0.4)
    whole = bool(rng.random() < 0.2)
    pen = PENS[int(rng.integers(len(PENS)))]
    filled: set[str] = set()
    notes: dict[str, str] = {}
    for region in layout.regions:
        if whole or rng.random() < 0.66:
            notes[region.id] = fill(paper, region, pen, hard=hard, unseen=unseen)
            filled.add(region.id)
        elif hard and rng.random() < 0.12:
            writing.highlight(paper, region)
            notes[region.id] = "highlighter"
        elif hard and region.kind.endswith("signature") and rng.random() < 0.25:
            writing.thin_cross(paper, region)
            notes[region.id] = "sender's cross"
    tags = {"hard"} if hard else set()
    if hard:
        for share, spoil in (
            (0.12, writing.coffee_ring),
            (0.3, writing.fold),
            (0.3, writing.specks),
        ):
            if rng.random() < share:
                spoil(paper)
                tags.add(spoil.__name__)
    if also:
        also(paper)
    flat = bool(rng.random() < 0.2) if flatbed is None else flatbed
    shot = scan(paper.image, rng) if flat else photograph(paper.image, rng, hard=hard)
    return Sample(shot, frozenset(filled), notes, frozenset(tags | set(shot.tags)))


def fill(
    paper: Paper, region: Region, pen: tuple[int, int, int], *, hard: bool, unseen: bool
) -> str:
    """Fill one region as people do; tell how."""
    rng = paper.rng
    if region.kind == "notary-stamp":
        embossed = bool(rng.random() < 0.08)
        writing.stamp(paper, region, embossed=embossed, off=40.0 if hard else 5.0)
        return "embossed" if embossed else "stamp"
    if unseen and region.kind != "check" and rng.random() < 0.2:
        date = region.kind in WRITTEN_NUMBERS
        writing.script_text(paper, region, "May 24, 2027" if date else writing.words_for(rng), pen)
        return "script"
    if region.kind.endswith("signature"):
        writing.sign(paper, region, pen, wild=hard and bool(rng.random() < 0.25))
        return "pencil" if pen == PENCIL else "signature"
    if region.kind == "check":
        writing.tick(paper, region, pen)
    elif rng.random() < 0.22:
        date = region.kind in WRITTEN_NUMBERS
        writing.machine_text(paper, region, "05/24/2027" if date else writing.words_for(rng))
        return "typed"
    elif region.kind in WRITTEN_NUMBERS:
        count = 8 if "date" in region.kind or "expiry" in region.kind else int(rng.integers(2, 8))
        writing.digits(paper, region, pen, count)
    else:
        writing.hand_print(paper, region, pen, int(rng.integers(4, 16)))
    return "pencil" if pen == PENCIL else "pen"
