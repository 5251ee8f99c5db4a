"""Line pages up without corner codes: how often it works, how far off, and what it wrongly accepts.

Run: ``python -m tests.benchmarks.scan.by_print 80``. Every picture is laid over its own blank and
over one of another layout; the second must be refused.
"""

import sys
from collections import Counter
from io import BytesIO

import numpy as np
from PIL import Image

from compliance.scan.blank import prepare_blank
from compliance.scan.load import decode_pictures
from compliance.scan.overlay import align_by_print
from tests.benchmarks.scan.layouts import DRAWERS, HEIGHT, Layout, make_layout
from tests.benchmarks.scan.make import make_sample

FIRST_SEED = 810_000


def main(pictures: int) -> None:
    """Make the pictures, try both blanks, print the rates."""
    layouts = [make_layout(number, codes=False) for number in range(len(DRAWERS))]
    blanks = [prepare_blank(layout.blank) for layout in layouts]
    counts: Counter[str] = Counter()
    errors: list[float] = []
    for number in range(pictures):
        own = number % len(layouts)
        other = (own + 1 + number // len(layouts)) % len(layouts)
        sample = make_sample(layouts[own], FIRST_SEED + number)
        way = "flatbed" if "flatbed" in sample.tags else "photo"
        picture = next(decode_pictures("picture", sample.shot.data))
        grey = picture.image.convert("L")
        found = align_by_print(grey, blanks[own])
        counts[f"{way} {'lined up' if found else 'refused'}"] += 1
        if found is not None:
            # A picture made smaller on opening has smaller distances as well.
            scale = grey.width / Image.open(BytesIO(sample.shot.data)).width
            places = _places(layouts[own])
            off = found.page_map.find_in_picture(places) - sample.shot.find(places) * scale
            errors.append(float(np.linalg.norm(off, axis=1).max()) * 72 / found.dpi)
        if other != own and align_by_print(grey, blanks[other]) is not None:
            counts["another form accepted"] += 1
            print(f"accepted: seed {FIRST_SEED + number}, layout {own} as {other}")
    for name, count in sorted(counts.items()):
        print(f"{name:24}{count:5d}")
    shares = np.percentile(errors, [50, 95, 100])
    print(
        "largest error of a region, points: median {:.2f}, 95 % {:.2f}, most {:.2f}".format(*shares)
    )


def _places(layout: Layout) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.array(
        [(r.left, HEIGHT - r.top) for r in layout.regions]
        + [(r.right, HEIGHT - r.bottom) for r in layout.regions]
    )


if __name__ == "__main__":
    main(int(sys.argv[1]))
