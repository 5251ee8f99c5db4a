"""Where the points of a page lie in a picture, and the page straightened by it."""

from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from compliance.scan.blank import Points

STEP: Final = 24.0
"""Distance of the nodes of the displacement grid, in points."""

_HAIR = 1e-9
_UNKNOWNS = 9
Matrix: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PageMap:
    """From points of the page to dots of the picture.

    Shape: a homography after a displacement; ``moved[row, column]`` is the displacement (x, y) in
    points at the node (column * STEP, row * STEP).
    """

    homography: Matrix
    moved: NDArray[np.float64]

    def find_in_picture(self, points: Points) -> Points:
        """Give the picture dots of page points, one row each."""
        return apply_homography(self.homography, points + self.compute_moves(points))

    def compute_moves(self, points: Points) -> Points:
        """Give the displacement at page points, between the nodes in proportion."""
        rows, columns = self.moved.shape[:2]
        x = np.clip(points[:, 0] / STEP, 0, columns - 1.001)
        y = np.clip(points[:, 1] / STEP, 0, rows - 1.001)
        column, row = x.astype(int), y.astype(int)
        u, v = (x - column)[:, None], (y - row)[:, None]
        upper = self.moved[row, column] * (1 - u) + self.moved[row, column + 1] * u
        lower = self.moved[row + 1, column] * (1 - u) + self.moved[row + 1, column + 1] * u
        moves: Points = upper * (1 - v) + lower * v
        return moves

    def compute_dpi(self, width: float, height: float) -> float:
        """Give the dots an inch of the page in the picture where it is smallest."""
        inset = 36.0
        places = [
            (x, y)
            for x in (inset, width / 2, width - inset)
            for y in (inset, height / 2, height - inset)
        ]
        base = np.array(places)
        here = self.find_in_picture(base)
        across = self.find_in_picture(base + np.array([9.0, 0.0])) - here
        down = self.find_in_picture(base + np.array([0.0, 9.0])) - here
        areas = np.abs(across[:, 0] * down[:, 1] - across[:, 1] * down[:, 0])
        return float(8.0 * np.sqrt(areas.min()))


def make_nodes(width: float, height: float) -> Points:
    """List the nodes of the displacement grid that covers a page, row by row."""
    rows, columns = grid_shape(width, height)
    x, y = np.meshgrid(np.arange(columns) * STEP, np.arange(rows) * STEP)
    return np.stack((x.ravel(), y.ravel()), axis=1)


def grid_shape(width: float, height: float) -> tuple[int, int]:
    """Give rows and columns of the displacement grid of a page."""
    return int(np.ceil(height / STEP)) + 1, int(np.ceil(width / STEP)) + 1


def make_flat_map(homography: Matrix, width: float, height: float) -> PageMap:
    """Make the map of a page that lies flat."""
    return PageMap(homography=homography, moved=np.zeros((*grid_shape(width, height), 2)))


def fit_homography(
    points: Points, dots: Points, weights: NDArray[np.float64] | None = None
) -> Matrix:
    """Fit the homography that takes page points to picture dots, by least squares.

    Shape: four pairs or more, no three of them on a line; ``weights`` one a pair.
    """
    ours, theirs = _normalize(points), _normalize(dots)
    p, q = apply_homography(ours, points), apply_homography(theirs, dots)
    x, y, u, v = p[:, 0], p[:, 1], q[:, 0], q[:, 1]
    one, none = np.ones_like(x), np.zeros_like(x)
    upper = np.stack((x, y, one, none, none, none, -u * x, -u * y, -u), axis=1)
    lower = np.stack((none, none, none, x, y, one, -v * x, -v * y, -v), axis=1)
    scale = np.sqrt(weights)[:, None] if weights is not None else 1.0
    system = np.concatenate((upper * scale, lower * scale))
    # Four pairs give eight rows; the ninth direction, the answer, comes only with the full set.
    whole = len(system) < _UNKNOWNS
    matrix = np.linalg.svd(system, full_matrices=whole)[2][-1].reshape(3, 3)
    fitted = np.linalg.inv(theirs) @ matrix @ ours
    return np.asarray(fitted / fitted[2, 2], dtype=np.float64)


def fit_affine(points: Points, dots: Points) -> Matrix:
    """Fit the affine map that takes page points to picture dots: shift, turn, scale and shear."""
    system = np.concatenate((points, np.ones((len(points), 1))), axis=1)
    solved = np.linalg.lstsq(system, dots, rcond=None)[0].T
    return np.concatenate((solved, [[0.0, 0.0, 1.0]]))


def apply_homography(matrix: Matrix, points: Points) -> Points:
    """Take points through a homography, one row each."""
    lifted = points @ matrix[:, :2].T + matrix[:, 2]
    # A point on the horizon has no place; a hair keeps the arithmetic finite.
    depth = np.where(np.abs(lifted[:, 2:]) < _HAIR, _HAIR, lifted[:, 2:])
    placed: Points = lifted[:, :2] / depth
    return placed


def straighten(
    image: Image.Image,
    page_map: PageMap,
    size: tuple[float, float],
    *,
    dpi: int,
    scale: float = 1.0,
    fill: str = "white",
) -> Image.Image:
    """Give the page as if it lay flat under the eye, at ``dpi`` dots an inch.

    Units: ``size`` is width and height of the page in points; ``scale`` the size of ``image`` over
    that of the picture the map speaks of. What lies outside the picture comes out as ``fill``.
    """
    width, height = size
    rows, columns = grid_shape(width, height)
    nodes = make_nodes(width, height)
    dots = (page_map.find_in_picture(nodes) * scale).reshape(rows, columns, 2)
    step = STEP * dpi / 72
    edges = [np.round(np.arange(count) * step).astype(int) for count in (columns, rows)]
    mesh = []
    for row in range(rows - 1):
        for column in range(columns - 1):
            box = (
                int(edges[0][column]),
                int(edges[1][row]),
                int(edges[0][column + 1]),
                int(edges[1][row + 1]),
            )
            corners = (
                dots[row, column],
                dots[row + 1, column],
                dots[row + 1, column + 1],
                dots[row, column + 1],
            )
            mesh.append((box, tuple(float(value) for corner in corners for value in corner)))
    # The last row of boxes reaches past the page; draw on a canvas that holds it, then cut.
    canvas = (int(edges[0][-1]), int(edges[1][-1]))
    drawn = image.transform(
        canvas, Image.Transform.MESH, mesh, Image.Resampling.BILINEAR, fillcolor=fill
    )
    return drawn.crop((0, 0, round(width * dpi / 72), round(height * dpi / 72)))


def _normalize(points: Points) -> Matrix:
    middle = points.mean(axis=0)
    spread = float(np.sqrt(((points - middle) ** 2).sum(axis=1).mean() / 2)) or 1.0
    return np.array(
        [
            [1 / spread, 0.0, -middle[0] / spread],
            [0.0, 1 / spread, -middle[1] / spread],
            [0.0, 0.0, 1.0],
        ]
    )
