"""Light and shade: how dark each dot is next to the paper round it, and running filters."""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", np.uint8, np.float32, np.bool_)


def compute_paper(channel: NDArray[np.uint8], *, reach: int) -> NDArray[np.uint8]:
    """Estimate how bright the bare paper would be at every dot.

    Shape: a grey closing, the brightest and then the darkest dot within ``reach`` dots either way;
    strokes narrower than twice the reach vanish, shadows stay.
    """
    return running_least(running_most(channel, reach), reach)


def compute_darkness(*channels: NDArray[np.uint8], reach: int) -> NDArray[np.float32]:
    """Compute how dark each dot is next to its paper, 0 as the paper to 1 black.

    Shape: of several colour channels the darkest answer counts at each dot.
    """
    darkest = np.zeros(channels[0].shape, dtype=np.float32)
    for channel in channels:
        paper = np.maximum(compute_paper(channel, reach=reach), 1)
        np.maximum(darkest, 1.0 - channel / paper.astype(np.float32), out=darkest)
    return darkest


def running_most(values: NDArray[Number], reach: int) -> NDArray[Number]:
    """Give the greatest value within ``reach`` dots in both directions."""
    return _run(np.maximum, values, reach)


def running_least(values: NDArray[Number], reach: int) -> NDArray[Number]:
    """Give the least value within ``reach`` dots in both directions."""
    return _run(np.minimum, values, reach)


def grow(mask: NDArray[np.bool_], reach: int) -> NDArray[np.bool_]:
    """Grow the True dots of a mask by ``reach`` dots in both directions."""
    return running_most(mask.view(np.uint8), reach).view(np.bool_)


def find_quantile(values: NDArray[np.floating], share: float) -> float:
    """Give the value that a share of the values, one or more, does not exceed.

    Shape: between two neighbours in proportion, as ``numpy.quantile`` does by default; that one
    loads the masked arrays first, which takes longer than all quantiles of a look.
    """
    flat = values.ravel()
    place = share * (len(flat) - 1)
    low = int(place)
    high = min(low + 1, len(flat) - 1)
    parted = np.partition(flat, (low, high))
    return float(parted[low] + (parted[high] - parted[low]) * (place - low))


def box_sum(values: NDArray[np.float32], side: int) -> NDArray[np.float32]:
    """Sum squares of ``side`` by ``side`` dots; entry (y, x) has its upper left corner there."""
    total = np.zeros((values.shape[0] + 1, values.shape[1] + 1))
    total[1:, 1:] = values.cumsum(axis=0, dtype=np.float64).cumsum(axis=1)
    summed = (
        total[side:, side:] - total[:-side, side:] - total[side:, :-side] + total[:-side, :-side]
    )
    return summed.astype(np.float32)


def _run(take: np.ufunc, values: NDArray[Number], reach: int) -> NDArray[Number]:
    if reach <= 0:
        return values
    for axis in (0, 1):
        values = _run_along(take, np.moveaxis(values, axis, 0), reach).swapaxes(0, axis)
    return np.ascontiguousarray(values)


def _run_along(take: np.ufunc, values: NDArray[Number], reach: int) -> NDArray[Number]:
    """Filter along the first axis with windows that double, a logarithmic number of passes."""
    window = 2 * reach + 1
    ends = (np.repeat(values[:1], reach, axis=0), np.repeat(values[-1:], reach, axis=0))
    done = np.concatenate((ends[0], values, ends[1]))
    size = 1
    while size < window:
        step = min(size, window - size)
        done = take(done[:-step], done[step:])
        size += step
    return done
