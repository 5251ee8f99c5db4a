"""Draw a straight line through every place to sign, and count what the check says.

Run: ``python -m tests.benchmarks.scan.streaks 100``; a second number is the first seed. The lines
are laid over the pictures of :func:`make_sample`, half of the places signed, half empty.
"""

import sys
from collections import Counter
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from compliance.scan.model import Region, Seen
from compliance.scan.photo import look_at_pictures
from tests.benchmarks.scan.layouts import HEIGHT, HELD_OUT, TUNING, Layout, make_layout
from tests.benchmarks.scan.make import Sample, make_sample
from tests.benchmarks.scan.writing import SCALE, Paper

FIRST_SEED = 2_000_000
_MM = 72 / 25.4


@dataclass(frozen=True)
class Streak:
    """A line right across the page.

    Units: ``angle`` degrees, 0 level; ``wide`` millimeters; ``grey`` 0 to 255; ``soft`` points.
    """

    x: float
    y: float
    angle: float
    wide: float
    grey: int
    soft: float


def choose_streak(rng: np.random.Generator, place: Region) -> Streak:
    """Choose a line through a place: level, upright or up to 10 degrees off."""
    return Streak(
        x=float(rng.uniform(place.left + 4, place.right - 4)),
        y=HEIGHT - float(rng.uniform(place.bottom + 1, place.top - 1)),
        angle=float(rng.uniform(-10, 10) + 90 * (rng.random() < 0.25)),
        wide=float(rng.uniform(0.2, 1.5)),
        grey=int(rng.integers(60, 201)),
        soft=float(rng.choice([0.0, 0.3, 0.8])),
    )


def draw_streak(image: Image.Image, streak: Streak, scale: float) -> None:
    """Lay a line over a page of *scale* dots a point; what is darker than it stays."""
    across = np.array([np.cos(np.radians(streak.angle)), np.sin(np.radians(streak.angle))])
    ends = [(np.array([streak.x, streak.y]) + side * 1200 * across) * scale for side in (-1, 1)]
    mask = Image.new("L", image.size)
    dots = max(1, round(streak.wide * _MM * scale))
    ImageDraw.Draw(mask).line([tuple(end) for end in ends], fill=255, width=dots)
    if streak.soft:
        mask = mask.filter(ImageFilter.GaussianBlur(streak.soft * scale))
    share = np.asarray(mask, dtype=np.float32)[:, :, None] / 255
    under = np.asarray(image, dtype=np.float32)
    shade = under * (1 - share * (1 - streak.grey / 255))
    image.paste(Image.fromarray(shade.clip(0, 255).astype(np.uint8)))


def streak_sample(layout: Layout, seed: int) -> tuple[Sample, tuple[str, ...]]:
    """Make a picture with a line through one place to sign; give the ids the line was meant for."""
    rng = np.random.default_rng((layout.number, seed, 7))
    places = [region for region in layout.regions if region.kind.endswith("signature")]
    place = places[int(rng.integers(len(places)))]
    streak = choose_streak(rng, place)

    def spoil(paper: Paper) -> None:
        draw_streak(paper.image, streak, SCALE)

    return make_sample(layout, seed, also=spoil), (place.id,)


def main(pictures: int, first: int = FIRST_SEED) -> None:
    """Make and look at the pictures and print the answers for the places with a line."""
    layouts = [make_layout(number) for number in (*TUNING, *HELD_OUT)]
    counts: Counter[tuple[str, bool, Seen]] = Counter()
    for number in range(pictures):
        layout = layouts[number % len(layouts)]
        sample, crossed = streak_sample(layout, first + number)
        files = [("picture.jpg", sample.shot.data)]
        (finding,) = look_at_pictures(
            files, [layout.blank], layout.regions, form_code=layout.form_code
        )
        for found in finding.findings:
            filled = found.region.id in sample.filled
            where = "place with the line" if found.region.id in crossed else "other place"
            counts[where, filled, found.seen] += 1
            if found.seen is (Seen.MISSING if filled else Seen.PRESENT):
                print(
                    f"layout {layout.number} seed {first + number}: {found.region.id} {where} "
                    f"filled={filled} {found.seen} {found.score:.2f} {sorted(sample.tags)}"
                )
    for key in sorted(counts, key=str):
        print(key[0], "filled" if key[1] else "empty", key[2], counts[key])


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else FIRST_SEED)
