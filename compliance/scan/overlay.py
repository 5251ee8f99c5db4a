"""Line a picture up with a page that carries no corner codes, by laying its print over the blank.

The spectrum of a page does not change when the page moves, and turns and scales with it. So turn
and scale are read from the spectra in polar form, then the shift by laying one over the other.
"""

from dataclasses import replace
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from compliance.scan.align import Alignment, grow_from, is_sound, polish, shrink_for
from compliance.scan.blank import CELL, ReadyBlank
from compliance.scan.light import compute_darkness
from compliance.scan.warp import Matrix, make_flat_map

LEAST_ALIKE: Final = 0.7
"""Without codes nothing else says that this is the page, so the print must agree better."""
LEAST_SHARE: Final = 0.85

_SIDE = 512
_DOTS = 400
_TURNS = 360
_RINGS = 220
_LOW, _HIGH = 12.0, 200.0
_GUESSES = 6
_TRIES = 2
_SURE = 0.8
_FAR = 2.5
_WORDS_SHARP = 1.0
_LEAST_WORDS = 8
_LARGEST, _SMALLEST = 1.1, -0.35


def align_by_print(image: Image.Image, blank: ReadyBlank) -> Alignment | None:
    """Line up by print alone; None where that is not certain.

    Shape: ``image`` is grey. Meant for scans and for photos from nearly straight above of pages
    with a good deal of print; a page with little print is refused.

    Source: log-polar phase correlation (the Fourier-Mellin transform), a textbook method.
    """
    blank = _leave_out_codes(blank)
    if not len(blank.cells):
        return None
    best: Alignment | None = None
    for matrix in _guess_similarities(image, blank)[:_TRIES]:
        start = make_flat_map(matrix, blank.width, blank.height)
        if not is_sound(start, image.size, blank, most=_FAR):
            continue
        source, scale = shrink_for(image, start, blank)
        none = np.zeros((0, 2))
        start = grow_from(source, scale, start, blank, (none, none))
        found = polish(source, scale, start, blank, image, (none, none))
        if found is not None and (best is None or found.alike > best.alike):
            best = found
        if best is not None and best.alike > _SURE and best.share > _SURE:
            break
    return best if best is not None and _is_certain(best, blank) else None


def _leave_out_codes(blank: ReadyBlank) -> ReadyBlank:
    """Do not look for the corner codes: the paper at hand may be the same form without them."""
    middles = blank.cells + CELL / 2
    clear = np.ones(len(middles), dtype=np.bool_)
    for quad in (one for one in blank.codes if one is not None):
        low, high = quad.min(axis=0) - CELL / 2, quad.max(axis=0) + CELL / 2
        clear &= ~((middles > low) & (middles < high)).all(axis=1)
    return replace(blank, cells=blank.cells[clear], sharp=blank.sharp[clear], codes=())


def _is_certain(lined_up: Alignment, blank: ReadyBlank) -> bool:
    """Tell whether words agree, not only rules, which lie alike on many forms."""
    words = lined_up.matches.alike[blank.sharp.min(axis=1) > _WORDS_SHARP]
    return (
        lined_up.alike > LEAST_ALIKE
        and lined_up.share > LEAST_SHARE
        and len(words) >= _LEAST_WORDS
        and float(words.mean()) > LEAST_ALIKE
    )


def _guess_similarities(image: Image.Image, blank: ReadyBlank) -> list[Matrix]:
    """Give likely maps from page points to picture dots, the best first."""
    ratio = _DOTS / max(image.size)
    size = (max(8, round(image.width * ratio)), max(8, round(image.height * ratio)))
    small = np.asarray(image.resize(size, Image.Resampling.BOX), dtype=np.uint8)
    seen = np.clip(compute_darkness(small, reach=4), 0, 0.6)
    ours, zoom = _shrink_blank(blank)
    guesses = []
    for turn, scale in _guess_turns(seen, ours):
        for half in (0.0, np.pi):
            matrix, score = _shift(seen, ours, turn + half, scale)
            guesses.append((score, np.diag([1 / ratio, 1 / ratio, 1.0]) @ matrix @ zoom))
    return [matrix for _, matrix in sorted(guesses, key=lambda guess: -guess[0])]


def _shrink_blank(blank: ReadyBlank) -> tuple[NDArray[np.float32], Matrix]:
    high, wide = blank.dark.shape
    ratio = _DOTS / max(high, wide)
    size = (round(wide * ratio), round(high * ratio))
    small = Image.fromarray(blank.dark).resize(size, Image.Resampling.BOX)
    return np.clip(np.asarray(small), 0, 0.6), np.diag([ratio, ratio, 1.0])


def _guess_turns(seen: NDArray[np.float32], ours: NDArray[np.float32]) -> list[tuple[float, float]]:
    """Give the likeliest turns (radians) and scales from the page to the picture."""
    first, second = _polar(ours), _polar(seen)
    spectrum = np.conj(np.fft.rfft2(first)) * np.fft.rfft2(second)
    field = np.fft.irfft2(spectrum, first.shape)
    # As logarithms: from a third of the picture to a little more than all of it.
    rings = np.arange(_RINGS)
    step = np.log(_HIGH / _LOW) / _RINGS
    offset = np.where(rings > _RINGS // 2, rings - _RINGS, rings) * step
    field[:, (offset > _LARGEST) | (offset < _SMALLEST)] = -np.inf
    found = []
    for _ in range(_GUESSES):
        row, column = np.unravel_index(int(field.argmax()), field.shape)
        found.append((float(row) * np.pi / _TURNS, float(np.exp(-offset[column]))))
        field[(np.arange(-6, 7) + row) % _TURNS] = np.where(
            np.abs(offset - offset[column]) < 6 * step,
            -np.inf,
            field[(np.arange(-6, 7) + row) % _TURNS],
        )
    return found


@cache
def _polar_places() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    angle = np.arange(_TURNS)[:, None] * np.pi / _TURNS
    radius = _LOW * (_HIGH / _LOW) ** (np.arange(_RINGS)[None, :] / _RINGS)
    return _SIDE / 2 + radius * np.sin(angle), _SIDE / 2 + radius * np.cos(angle)


def _polar(dark: NDArray[np.float32]) -> NDArray[np.float64]:
    """Give the strength of the spectrum by angle and by the logarithm of the frequency."""
    edge = np.outer(np.hanning(dark.shape[0]) ** 0.5, np.hanning(dark.shape[1]) ** 0.5)
    strength = np.abs(np.fft.fftshift(np.fft.fft2((dark - dark.mean()) * edge, (_SIDE, _SIDE))))
    strength = np.log1p(strength)
    y, x = _polar_places()
    row, column = y.astype(int), x.astype(int)
    v, u = y - row, x - column
    sampled: NDArray[np.float64] = (
        strength[row, column] * (1 - v) * (1 - u)
        + strength[row + 1, column] * v * (1 - u)
        + strength[row, column + 1] * (1 - v) * u
        + strength[row + 1, column + 1] * v * u
    )
    # The fall with frequency is common to all pages and says nothing.
    sampled = sampled - sampled.mean(axis=0, keepdims=True)
    return np.asarray(sampled / (sampled.std() + 1e-9))


def _shift(
    seen: NDArray[np.float32], ours: NDArray[np.float32], turn: float, scale: float
) -> tuple[Matrix, float]:
    """Turn the picture back, find the shift, give the map and how well the print agrees."""
    c, s = np.cos(turn) * scale, np.sin(turn) * scale
    middle = np.array(seen.shape[::-1]) / 2
    home = np.array([_SIDE / 2, _SIDE / 2])
    spin = np.array([[c, -s], [s, c]])
    offset = middle - spin @ home
    turned = np.asarray(
        Image.fromarray(seen).transform(
            (_SIDE, _SIDE),
            Image.Transform.AFFINE,
            (c, -s, offset[0], s, c, offset[1]),
            Image.Resampling.BILINEAR,
        )
    )
    page = np.zeros((_SIDE, _SIDE), dtype=np.float32)
    page[: ours.shape[0], : ours.shape[1]] = ours
    product = np.fft.rfft2(turned) * np.conj(np.fft.rfft2(page))
    # Half way to the phase alone: sharp peaks without blowing up the grain.
    field = np.fft.irfft2(product / (np.abs(product) + 1e-6) ** 0.5, (_SIDE, _SIDE))
    row, column = np.unravel_index(int(field.argmax()), field.shape)
    move = np.array([column, row], dtype=float)
    move = np.where(move > _SIDE // 2, move - _SIDE, move)
    score = float(field.max() / (field.std() + 1e-9))
    matrix = np.eye(3)
    matrix[:2, :2] = spin
    matrix[:2, 2] = spin @ move + offset
    return matrix, score
