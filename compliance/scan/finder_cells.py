"""The closed spaces between the lines of a page: cells of tables, frames, boxes."""

# ruff: noqa: PLR2004 - distances in points, set by trying on forms

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from compliance.scan.finder_shapes import Cell, PagePrint, Rect, Stroke

NEAR = 1.6
"""Lines this many points apart are one border."""
SHORT = 5.0
MANY = 60_000
"""More crossings than this come from a drawing; then only long lines count."""


def compute_cells(page: PagePrint, left_out: Sequence[Rect]) -> tuple[Cell, ...]:
    """Give the closed spaces of a page, top row first; *left_out* are boxes that stand alone."""
    rules = [item for item in page.rules if not item.typed]
    posts = list(page.posts)
    rules = [item for item in rules if not _is_edge(item, left_out)]
    posts = [item for item in posts if not _is_edge(item, left_out)]
    posts += _close_sides(rules, posts)
    for least in (SHORT, 20.0, 60.0):
        across = [item for item in rules if item.width >= least]
        down = [item for item in posts if item.height >= least]
        xs = _gather([item.left for item in down])
        ys = _gather([item.bottom for item in across])
        if len(xs) * len(ys) < MANY:
            return _flood(xs, ys, across, down)
    return ()


def _is_edge(item: Stroke, boxes: Sequence[Rect]) -> bool:
    """Tell whether a line is a side of one of the boxes."""
    return any(
        box.left - 1 <= item.left
        and item.right <= box.right + 1
        and box.bottom - 1 <= item.bottom
        and item.top <= box.top + 1
        for box in boxes
    )


def _close_sides(rules: list[Stroke], posts: list[Stroke]) -> list[Stroke]:
    """Give the missing outer sides of tables that are ruled inside only."""
    sides = []
    groups: list[list[Stroke]] = []
    for item in sorted(rules, key=lambda item: -item.bottom):
        for group in groups:
            last = group[-1]
            if (
                abs(last.left - item.left) < 2 * NEAR
                and abs(last.right - item.right) < 2 * NEAR
                and last.bottom - item.bottom < 60
            ):
                group.append(item)
                break
        else:
            groups.append([item])
    for group in groups:
        for upper, lower in pairwise(group):
            gap = Rect(left=upper.left, bottom=lower.bottom, right=upper.right, top=upper.bottom)
            if any(
                abs(post.left - x) < NEAR and post.share_up(gap) > 0.5 * gap.height
                for post in posts
                for x in (gap.left, gap.right)
            ):
                continue  # a side is drawn: it is a narrower box among wider ones
            if any(
                gap.left + 8 < post.left < gap.right - 8 and post.share_up(gap) > 0.85 * gap.height
                for post in posts
            ):
                sides += [
                    Stroke(left=x, right=x, bottom=gap.bottom, top=gap.top, thick=0.0)
                    for x in (gap.left, gap.right)
                ]
    return sides


def add_frames(cells: Sequence[Cell], page: PagePrint) -> tuple[Cell, ...]:
    """Add the outlined shapes that lines do not close, such as boxes with round corners."""
    frames = [
        Cell(left=box.left, bottom=box.bottom, right=box.right, top=box.top, solid=True)
        for box in page.boxes
        if box.drawn
        and not box.round
        and box.width > 20
        and box.height > 9
        and not any(box.holds(cell) or _is_like(box, cell) for cell in cells)
    ]
    return (*cells, *frames)


def _is_like(one: Rect, two: Rect) -> bool:
    return (
        max(
            abs(one.left - two.left),
            abs(one.right - two.right),
            abs(one.top - two.top),
            abs(one.bottom - two.bottom),
        )
        < 2 * NEAR
    )


def _gather(values: list[float]) -> list[float]:
    """Give one number for every bundle of near ones, smallest first."""
    bundles: list[list[float]] = []
    for value in sorted(values):
        if bundles and value - bundles[-1][0] <= NEAR:
            bundles[-1].append(value)
        else:
            bundles.append([value])
    return [sum(bundle) / len(bundle) for bundle in bundles]


def _walls(
    lines: list[Stroke], at: list[float], cuts: list[float], *, level: bool
) -> list[list[bool]]:
    """Tell for every border and every piece between two cuts whether a line runs there."""
    walls = [[False] * max(0, len(cuts) - 1) for _ in at]
    for line in lines:
        place, start, end = (
            (line.bottom, line.left, line.right) if level else (line.left, line.bottom, line.top)
        )
        for row, value in enumerate(at):
            if abs(value - place) > NEAR:
                continue
            for piece, (low, high) in enumerate(pairwise(cuts)):
                slack = min(2.5, 0.3 * (high - low))
                if start <= low + slack and end >= high - slack:
                    walls[row][piece] = True
    return walls


def _flood(
    xs: list[float], ys: list[float], across: list[Stroke], down: list[Stroke]
) -> tuple[Cell, ...]:
    """Give the spaces that a flood from outside does not reach."""
    if len(xs) < 2 or len(ys) < 2:
        return ()
    level = _walls(across, ys, xs, level=True)
    upright = _walls(down, xs, ys, level=False)
    wide, high = len(xs) - 1, len(ys) - 1
    seen = [[False] * high for _ in range(wide)]
    cells = []
    for i in range(wide):
        for j in range(high):
            if seen[i][j]:
                continue
            parts, closed = _spread((i, j), seen, level, upright)
            if closed:
                cells.append(_make_cell(parts, xs, ys))
    return tuple(sorted(cells, key=lambda cell: (-cell.top, cell.left)))


def _spread(
    start: tuple[int, int],
    seen: list[list[bool]],
    level: list[list[bool]],
    upright: list[list[bool]],
) -> tuple[list[tuple[int, int]], bool]:
    """Give all pieces reached from one without crossing a line, and whether none leads out."""
    wide, high = len(seen), len(seen[0])
    closed = True
    seen[start[0]][start[1]] = True
    parts, todo = [start], [start]
    while todo:
        i, j = todo.pop()
        doors = (
            (i - 1, j, upright[i][j]),
            (i + 1, j, upright[i + 1][j]),
            (i, j - 1, level[j][i]),
            (i, j + 1, level[j + 1][i]),
        )
        for m, n, wall in doors:
            if wall:
                continue
            if not (0 <= m < wide and 0 <= n < high):
                closed = False
            elif not seen[m][n]:
                seen[m][n] = True
                parts.append((m, n))
                todo.append((m, n))
    return parts, closed


def _make_cell(parts: list[tuple[int, int]], xs: list[float], ys: list[float]) -> Cell:
    cell = Cell(
        left=min(xs[i] for i, _ in parts),
        right=max(xs[i + 1] for i, _ in parts),
        bottom=min(ys[j] for _, j in parts),
        top=max(ys[j + 1] for _, j in parts),
        solid=True,
    )
    area = sum((xs[i + 1] - xs[i]) * (ys[j + 1] - ys[j]) for i, j in parts)
    return replace(cell, solid=area > 0.98 * cell.width * cell.height)
