"""Waits under way, drawn given that nothing has been seen of them yet."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from compliance.engine.chance_draws import Floats
from compliance.engine.chance_waits import Waits
from compliance.engine.columns_tables import Column, Places
from compliance.engine.moves import Wait

_ATTEMPTS = 24

Flags = npt.NDArray[np.bool_]


class Path(NamedTuple):
    """Waits one behind the other, of which only the end of the last is seen.

    Shape: *granted* is what follows when the office grants, *returned* when it sends the packet
    back; both begin with the wait under way and are equal for a packet that cannot come back.
    *answer* is the place of the step that answers, None without one.
    """

    granted: tuple[int, ...]
    returned: tuple[int, ...]
    answer: int | None

    @property
    def lines(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Give both lines of waits."""
        return self.granted, self.returned

    @property
    def places(self) -> tuple[int, ...]:
        """Give every place once."""
        return tuple(dict.fromkeys((*self.granted, *self.returned)))


@dataclass(slots=True, eq=False)
class UnderWay:
    """What is drawn for one path, by place, and in which rows the packet comes back.

    ``ended`` has the day a wait was over in rows in which that goes unseen, else 0.
    """

    days: dict[int, Column]
    ended: dict[int, Column]
    back: Flags


@dataclass(slots=True, eq=False)
class _Rows:
    """Rows of one attempt: when the first wait began, the drawn days and answers."""

    rows: Places
    began: Column
    today: Column
    chance: Floats
    days: dict[int, Column] = field(default_factory=dict)
    back: Flags = field(default_factory=lambda: np.zeros(0, dtype=np.bool_))


def draw_under_way(
    waits: Waits, path: Path, start: Column, today: Column, chance: Floats | None
) -> UnderWay:
    """Draw what is under way, given that nothing has been seen of it by yesterday.

    Shape: *start* is the day the first wait began, *chance* how likely the packet comes back, for
    each draw; None when it cannot.

    Method: rejection. Days and answer of a row are drawn again, each attempt from streams of its
    own, until the end that would be seen is not before today; so a packet that has been out for
    long is also less likely to come back when that would have shown by now. A row that no attempt
    fits, because the packet is long overdue, has one of its waits drawn from beyond its age: which
    one, and whether the packet comes back, by how likely each is to take so long given the others.
    That last step is near the exact distribution, not equal to it.
    """
    tables = waits.columns.tables
    count = waits.draws
    found = UnderWay(
        days={at: np.zeros(count, dtype=tables.dtype) for at in path.places},
        ended={at: np.zeros(count, dtype=tables.dtype) for at in path.places},
        back=np.zeros(count, dtype=np.bool_),
    )
    left: Places = np.arange(count)
    for attempt in range(_ATTEMPTS):
        part = _Rows(
            rows=left,
            began=np.broadcast_to(start, count)[left],
            today=np.broadcast_to(today, count)[left],
            chance=np.zeros(left.size) if chance is None else chance[left],
        )
        _draw(waits, path, part, attempt)
        ends = [_walk(waits, line, part.began, part.days) for line in path.lines]
        kept = np.where(part.back, ends[1][-1], ends[0][-1]) >= today
        if attempt == _ATTEMPTS - 1 and not kept.all():
            _stretch(waits, path, part, ~kept)
            ends = [_walk(waits, line, part.began, part.days) for line in path.lines]
            kept[:] = True
        _keep(found, path, part, ends, kept)
        left = left[~kept]
        if not left.size:
            break
    return found


def _draw(waits: Waits, path: Path, part: _Rows, attempt: int) -> None:
    more = ("again", str(attempt)) if attempt else ()
    for at in path.places:
        drawn = waits.find(at, part.rows, *more)
        part.days[at] = np.broadcast_to(drawn, part.rows.size).copy()
    part.back = np.zeros(part.rows.size, dtype=np.bool_)
    if path.answer is not None:
        drawn_answers = waits.uniforms(path.answer, "answer", *more)[part.rows]
        part.back = drawn_answers > 1 - part.chance


def _keep(
    found: UnderWay, path: Path, part: _Rows, ends: Sequence[Sequence[Column]], kept: Flags
) -> None:
    rows = part.rows
    for at in path.places:
        found.days[at][rows[kept]] = part.days[at][kept]
    found.back[rows[kept]] = part.back[kept]
    for line, ended, which in zip(path.lines, ends, (~part.back, part.back), strict=True):
        for at, day in zip(line[:-1], ended[:-1], strict=True):
            found.ended[at][rows[kept & which]] = day[kept & which]


def _walk(
    waits: Waits, line: Sequence[int], start: Column, days: Mapping[int, Column]
) -> list[Column]:
    """Give the day each wait of a line is over."""
    ends = []
    day = start
    for at in line:
        move = waits.columns.network.tasks[at].move
        if isinstance(move, Wait):
            day = waits.columns.tables.wait_forward(move.calendar, day, days[at])
        ends.append(day)
    return ends


def _stretch(waits: Waits, path: Path, part: _Rows, chosen: Flags) -> None:
    """Draw an answer and one wait of some rows again, so that nothing is seen before today."""
    cut = np.flatnonzero(chosen)
    rows = part.rows[cut]
    own = {at: days[cut] for at, days in part.days.items()}
    began, today = part.began[cut], part.today[cut]
    chance = part.chance[cut]
    choices: list[tuple[int, int]] = []
    weights: list[Floats] = []
    overs = []
    with np.errstate(divide="ignore"):
        answers = (np.log1p(-chance), np.log(chance))
    for which, line in enumerate(path.lines if path.answer is not None else path.lines[:1]):
        for place, at in enumerate(line):
            if waits.is_drawn(at):
                over = _count_over(waits, line, place, (began, today), own)
                choices.append((which, at))
                overs.append(over)
                weights.append(waits.log_left(at, rows, over) + answers[which])
    if not choices:
        return
    logs = np.array(weights)
    # Where nothing can take so long, the first wait has to: today is known, its model is not.
    shares = np.exp(logs - np.maximum(logs.max(axis=0), -1e300))
    shares /= np.maximum(shares.sum(axis=0), 1e-300)
    shares[0] += shares.sum(axis=0) == 0
    pick = waits.uniforms(path.places[0], "which")[rows]
    picked = (pick > np.cumsum(shares, axis=0)[:-1]).sum(axis=0)
    for number, (which, at) in enumerate(choices):
        mine = picked == number
        if not mine.any():
            continue
        part.days[at][cut[mine]] = waits.find_beyond(at, rows[mine], overs[number][mine])
        part.back[cut[mine]] = which == 1


def _count_over(
    waits: Waits,
    line: Sequence[int],
    place: int,
    known: tuple[Column, Column],
    days: Mapping[int, Column],
) -> npt.NDArray[np.int64]:
    """Count the days one wait of a line has taken by yesterday at least, given the others."""
    began, today = known
    tables, tasks = waits.columns.tables, waits.columns.network.tasks
    if place:
        began = _walk(waits, line[:place], began, days)[-1]
    bound = np.maximum(today - 1, 1).astype(tables.dtype)
    for at in reversed(line[place + 1 :]):
        move = tasks[at].move
        if isinstance(move, Wait):
            bound = tables.wait_backward(move.calendar, bound, days[at])
    move = tasks[line[place]].move
    if not isinstance(move, Wait):
        raise AssertionError("a line of waits has waits only")  # noqa: TRY004 - a fault of our own
    return tables.count_open(move.calendar, began, bound).astype(np.int64)
