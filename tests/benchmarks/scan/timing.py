"""Time and memory of one 12-megapixel photo in a fresh process, next to decoding and warping alone.

Run: ``python -m tests.benchmarks.scan.timing``. Goals: at most 1.0 s and 400 MB a photo.
"""

import itertools
import pickle
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image

from compliance.scan.align import align_by_codes
from compliance.scan.blank import BlankPage, prepare_blank
from compliance.scan.codes import read_codes
from compliance.scan.load import decode_pictures
from compliance.scan.photo import look_at_pictures, measure_page
from compliance.scan.symbol import code_rects

ROUNDS = 5
WAYS = ("bare", "look", "stages")


def main() -> None:
    """Make one photo and one blank, then measure in turn, each time in a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        # The peak of a child is never below that of its parent, so even making runs in a child.
        _start("make", folder)
        runs: dict[str, list[list[float]]] = {way: [] for way in WAYS}
        for _ in range(ROUNDS):
            for way, found in runs.items():
                found.append([float(word) for word in _start(way, folder).split()])
    bare, look, stages = (
        [statistics.median(column) for column in zip(*runs[way], strict=True)] for way in WAYS
    )
    print(f"decode and warp alone: {bare[0]:.2f} s, peak {bare[1]:.0f} MB")
    print(f"the whole look: {look[0]:.2f} s, peak {look[1]:.0f} MB; {look[0] / bare[0]:.1f} times")
    print(
        "blank {:.2f}, decode {:.2f}, codes {:.2f}, line up {:.2f}, measure {:.2f}".format(*stages)
    )


def _start(way: str, folder: str) -> str:
    command = [sys.executable, "-m", "tests.benchmarks.scan.timing", way, folder]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def _make(folder: Path) -> None:
    # Imported here so that the measured processes do not carry the generator.
    from tests.benchmarks.scan.layouts import make_layout  # noqa: PLC0415
    from tests.benchmarks.scan.make import make_sample  # noqa: PLC0415

    layout = make_layout(0)
    photo = Image.open(BytesIO(make_sample(layout, 950_001, flatbed=False).shot.data))
    scale = (12_000_000 / (photo.width * photo.height)) ** 0.5
    size = (round(photo.width * scale), round(photo.height * scale))
    photo.resize(size, Image.Resampling.BICUBIC).save(folder / "photo.jpg", quality=90)
    np.save(folder / "blank.npy", layout.blank.grey)
    held = (layout.regions, layout.form_code, layout.blank.dpi)
    (folder / "form.pickle").write_bytes(pickle.dumps(held))


def _run(way: str, folder: Path) -> list[float]:
    data = (folder / "photo.jpg").read_bytes()
    regions, form_code, dpi = pickle.loads((folder / "form.pickle").read_bytes())  # noqa: S301
    grey = np.load(folder / "blank.npy")
    rects = code_rects(612, 792)
    blank = BlankPage(page=0, grey=grey, dpi=dpi, width=612, height=792, codes=rects)
    started = time.perf_counter()
    if way == "stages":
        return _run_stages(data, blank, regions)
    if way == "bare":
        image = Image.open(BytesIO(data)).convert("RGB")
        wide, high = image.size
        quad = (0, 0, 90, high, wide, high - 50, wide - 40, 70)
        image.transform((1020, 1320), Image.Transform.QUAD, quad, Image.Resampling.BILINEAR)
    else:
        (found,) = look_at_pictures([("photo", data)], [blank], regions, form_code=form_code)
        assert found.page == 0
    taken = time.perf_counter() - started
    return [taken, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024]


def _run_stages(data: bytes, blank: BlankPage, regions: object) -> list[float]:
    times = [time.perf_counter()]
    ready = prepare_blank(blank)
    times.append(time.perf_counter())
    picture = next(decode_pictures("photo", data))
    grey = picture.image.convert("L")
    times.append(time.perf_counter())
    codes = read_codes(np.asarray(grey))
    times.append(time.perf_counter())
    lined_up = align_by_codes(grey, codes, ready)
    assert lined_up is not None
    times.append(time.perf_counter())
    assert isinstance(regions, tuple)
    measure_page(picture.image, lined_up, ready, regions)
    times.append(time.perf_counter())
    return [after - before for before, after in itertools.pairwise(times)]


if __name__ == "__main__":
    if sys.argv[1:2] == ["make"]:
        _make(Path(sys.argv[2]))
    elif len(sys.argv) > 1:
        print(*_run(sys.argv[1], Path(sys.argv[2])))
    else:
        main()
