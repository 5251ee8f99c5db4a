"""How far off the corners of a page are found in pictures whose true map is known.

Run: ``python -m tests.benchmarks.scan.corners 200``. The pictures are those that ``report`` looks
at. Error: distance in dots of the picture between where a corner of the page is and where the map
found puts it; also in points of the paper, because pictures differ in size. Published as the root
of the mean square over all corners, and as the largest. The corner itself carries no print, so the
map is carried on from the nearest print; pages bent by the camera are bent most there.
"""

import sys
from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from compliance.scan.align import Alignment, align_by_codes
from compliance.scan.blank import ReadyBlank, prepare_blank
from compliance.scan.codes import read_codes
from compliance.scan.load import decode_pictures
from compliance.scan.overlay import align_by_print
from tests.benchmarks.scan.camera import Shot
from tests.benchmarks.scan.layouts import HEIGHT, HELD_OUT, TUNING, WIDTH, make_layout
from tests.benchmarks.scan.make import make_sample
from tests.benchmarks.scan.report import FIRST_SEED

_POINTS = 72.0
_CORNERS = np.array([(0.0, 0.0), (WIDTH, 0.0), (WIDTH, HEIGHT), (0.0, HEIGHT)])
Floats = NDArray[np.float64]


def main(pictures: int, first: int = FIRST_SEED) -> None:
    """Line the pictures up one after another and print the errors of their corners."""
    layouts = [make_layout(number) for number in (*TUNING, *HELD_OUT)]
    ready = [prepare_blank(layout.blank) for layout in layouts]
    errors: dict[str, list[Floats]] = defaultdict(list)
    lost = 0
    for number in range(pictures):
        at = number % len(layouts)
        shot = make_sample(layouts[at], first + number, unseen=True).shot
        lined_up, how = line_up(shot.data, ready[at], layouts[at].form_code)
        if lined_up is None or not lined_up.is_good:
            lost += 1
            continue
        dots = compute_errors(lined_up, shot)
        pair = np.stack((dots, dots * _POINTS / lined_up.dpi))
        is_flat = "flatbed" in shot.tags
        for name in ("all", f"lined up by {how}", "flatbed" if is_flat else "photo"):
            errors[name].append(pair)
    print(f"{pictures} pictures, {lost} not lined up; errors of {4 * (pictures - lost)} corners")
    for name in sorted(errors):
        print(say_errors(name, np.stack(errors[name])))


def line_up(data: bytes, blank: ReadyBlank, form_code: str) -> tuple[Alignment | None, str]:
    """Line one picture up as ``photo.look_at_pictures`` does, and tell by what."""
    grey = next(decode_pictures("picture.jpg", data)).image.convert("L")
    codes = tuple(code for code in read_codes(np.asarray(grey)) if code.form_code == form_code)
    lined_up = align_by_codes(grey, codes, blank) if codes else None
    if lined_up is not None and lined_up.is_good:
        return lined_up, "codes"
    return align_by_print(grey, blank), "print"


def compute_errors(lined_up: Alignment, shot: Shot) -> Floats:
    """Give how far each corner of the page is from where it was found, in dots of the picture."""
    found = lined_up.page_map.find_in_picture(_CORNERS)
    apart: Floats = np.linalg.norm(found - shot.find(_CORNERS), axis=1)
    return apart


def say_errors(name: str, errors: Floats) -> str:
    """Say root mean square, median and largest error; *errors* are pictures by (dots, points)."""
    parts = [f"{name:20} {len(errors):5} pictures"]
    for at, unit in enumerate(("dots", "points")):
        own = errors[:, at]
        rms, middle = float(np.sqrt(np.mean(own**2))), float(np.median(own))
        parts.append(f"{unit}: RMS {rms:.2f}, median {middle:.2f}, largest {own.max():.2f}")
    return "; ".join(parts)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else FIRST_SEED)
