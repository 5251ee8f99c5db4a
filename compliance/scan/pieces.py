"""Connected pieces of ink in a mask, with plain numpy."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """The connected pieces of a mask, dots that touch at a corner included.

    Shape: ``labels`` numbers each True dot from 0, -1 elsewhere; the rest holds one entry a piece:
    number of dots and the box, ``right`` and ``lower`` exclusive.
    """

    labels: NDArray[np.int32]
    area: Ints
    left: Ints
    right: Ints
    upper: Ints
    lower: Ints

    @property
    def count(self) -> int:
        """Tell how many pieces there are."""
        return len(self.area)


def find_pieces(mask: NDArray[np.bool_]) -> Pieces:
    """Find the connected pieces of a mask.

    Source: run-length labelling with merging of touching runs, a textbook method.
    """
    edges = np.diff(np.pad(mask, ((0, 0), (1, 1))).view(np.int8), axis=1)
    row, start = np.nonzero(edges == 1)
    end = np.nonzero(edges == -1)[1]
    label = _join(row, start, end, mask.shape[1] + 2)
    names, label = np.unique(label, return_inverse=True)
    count = len(names)
    labels = np.full(mask.shape, -1, dtype=np.int32)
    labels[mask] = np.repeat(label, end - start)
    box = [np.full(count, 1 << 30), np.zeros(count, int), np.full(count, 1 << 30)]
    np.minimum.at(box[0], label, start)
    np.maximum.at(box[1], label, end)
    np.minimum.at(box[2], label, row)
    lower = np.zeros(count, int)
    np.maximum.at(lower, label, row + 1)
    return Pieces(
        labels=labels,
        area=np.bincount(label, weights=end - start, minlength=count).astype(np.intp),
        left=box[0],
        right=box[1],
        upper=box[2],
        lower=lower,
    )


def _join(row: Ints, start: Ints, end: Ints, stride: int) -> Ints:
    """Give every run the number of the first run it hangs together with."""
    below = (row + 1) * stride
    first = np.searchsorted(row * stride + end, below + start, side="left")
    last = np.searchsorted(row * stride + start, below + end, side="right")
    touching = np.maximum(last - first, 0)
    upper = np.repeat(np.arange(len(row)), touching)
    within = np.arange(len(upper)) - np.repeat(np.cumsum(touching) - touching, touching)
    lower = np.repeat(first, touching) + within
    label = np.arange(len(row))
    while True:
        least = np.minimum(label[upper], label[lower])
        before = label.copy()
        np.minimum.at(label, before[upper], least)
        np.minimum.at(label, before[lower], least)
        label = label[label]
        if np.array_equal(label, before):
            return label
