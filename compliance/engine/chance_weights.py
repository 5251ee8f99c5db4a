"""Which waits matter: how much the chance of a job rises when one of them takes a day less."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from compliance.engine.chance_model import StepWeight
from compliance.engine.chance_network import Season
from compliance.engine.columns_passes import Given, Moved
from compliance.engine.columns_tables import Column, Places
from compliance.engine.moves import Wait
from compliance.engine.network import IN_HAND
from compliance.engine.plan_model import JobPlan, Plan
from compliance.rules.model import StepKind

_LEAST = 0.001
"""Weights below this are noise."""

_MOST = 5_000
"""Draws that are looked at; a weight of 2 in 100 then has a standard error of 0.2."""


def find_weights(plan: Plan, season: Season, moved: Moved) -> tuple[StepWeight, ...]:
    """Find the waits that matter, the weightiest first, one entry a step.

    Shape: for each wait still to come, the job whose chance rises the most when it takes a counted
    day less in every round. Legal notice periods cannot be shortened and are left out. It is the
    difference of two counts of the same draws, so most of the noise of drawing falls away.
    """
    base = season.columns.tables.base
    starts = {
        job.job.id: max(job.job.first_day, plan.as_of).toordinal() - base for job in plan.jobs
    }
    ends = {
        job.job.id: tuple(_find_ends(plan, job, season, starts[job.job.id])) for job in plan.jobs
    }
    looked_at = min(_MOST, season.given.rows)
    found = []
    for names, packet in _find_waits(plan, season):
        behind = _find_behind(season, [season.place(name) for name in names])
        hopeful = {job: _find_hopeful(own, season, moved, behind) for job, own in ends.items()}
        rows = np.flatnonzero(np.any(list(hopeful.values()), axis=0))
        if rows.size < _LEAST * looked_at:
            continue
        sooner = _shorten(season, names, rows, behind)
        again = season.columns.forward(sooner, behind, _cut_known(season, moved, behind, rows))
        best = StepWeight(step=names[0], packet=packet, gain_per_day=0.0)
        for job, own in ends.items():
            saved = hopeful[job][rows]
            for at, limit in own:
                column = again.finishes[at]
                if at in behind and column is not None:
                    saved = saved & (column <= limit)
            gain = float(saved.sum() / looked_at)
            if gain > best.gain_per_day:
                best = replace(best, gain_per_day=gain, job=job)
        if best.gain_per_day >= _LEAST:
            found.append(best)
    return tuple(sorted(found, key=lambda one: -one.gain_per_day))


def _find_waits(plan: Plan, season: Season) -> Iterator[tuple[list[str], str]]:
    """Give the task ids of each wait in all its rounds still to come, the present round first."""
    by_name: dict[tuple[str, str], list[str]] = {}
    for step in season.built.steps.values():
        task = season.network.tasks[season.place(step.id)]
        over = task.done_on is not None or season.place(step.id) in season.given.done
        if step.row.kind is StepKind.WAIT and isinstance(task.move, Wait) and not over:
            by_name.setdefault((step.packet.id, step.row.name), []).append(step.id)
    shown = {step.id for paper in plan.papers for step in paper.steps}
    for (packet, _), names in by_name.items():
        if names[0] in shown:
            yield names, packet


def _find_behind(season: Season, places: list[int]) -> frozenset[int]:
    """Give some places and all that waits for them."""
    found = set(places)
    for at in range(len(season.network.tasks)):
        if found.intersection(season.network.before[at]):
            found.add(at)
    return frozenset(found)


def _find_ends(plan: Plan, job: JobPlan, season: Season, start: int) -> Iterator[tuple[int, int]]:
    """Give the in-hand task of each paper of a job, and the last number that is in time for it."""
    base = season.columns.tables.base
    for paper in plan.papers:
        if job.job.id not in paper.packet.verdict.jobs or not paper.packet.planned:
            continue
        through = paper.packet.valid_through
        if through is not None and through >= job.job.last_day:
            continue
        day = through.toordinal() - base if through is not None else 0
        yield season.place(f"{paper.id}/{IN_HAND}"), day + 1 if day >= start else start


def _find_hopeful(
    ends: tuple[tuple[int, int], ...], season: Season, moved: Moved, behind: frozenset[int]
) -> npt.NDArray[np.bool_]:
    """Tell in which draws a job is late, and only because of what waits for the wait."""
    count = min(_MOST, season.given.rows)
    late = np.zeros(count, dtype=np.bool_)
    others = np.ones(count, dtype=np.bool_)
    for at, limit in ends:
        column = moved.finishes[at]
        if column is None:
            continue
        in_time = np.broadcast_to(column[:_MOST] <= limit, count)
        if at in behind:
            late |= ~in_time
        else:
            others &= in_time
    return late & others


def _shorten(season: Season, names: list[str], rows: Places, behind: frozenset[int]) -> Given:
    """Give some rows of what is drawn, with a counted day less for some waits."""
    given, tables = season.given, season.columns.tables
    days = {at: column for at, column in given.days.items() if at in behind}
    for name in names:
        at = season.place(name)
        move = season.network.tasks[at].move
        if not isinstance(move, Wait):
            continue
        own = days.get(at, tables.count(move.days, name))
        less = np.where((own > 0) & (own < tables.beyond), own - 1, own)
        days[at] = less.astype(tables.dtype)
    number = np.full(_MOST, -1, dtype=np.intp)
    number[rows] = np.arange(rows.size)
    active = {}
    for at in behind & given.active.keys():
        places = given.active[at]
        kept = number[places[: np.searchsorted(places, _MOST)]]
        active[at] = kept[kept >= 0]
    return Given(
        rows=rows.size,
        today=given.today,
        days={at: _cut(column, rows) for at, column in days.items()},
        done={at: _cut(column, rows) for at, column in given.done.items()},
        active=active,
    )


def _cut_known(season: Season, moved: Moved, behind: frozenset[int], rows: Places) -> Moved:
    """Give some rows of the days that the places *behind* wait for beside one another."""
    needed = {one for at in behind for one in season.network.before[at]} - behind
    finishes = [
        _cut(column, rows) if column is not None and at in needed else None
        for at, column in enumerate(moved.finishes)
    ]
    return Moved([None] * len(finishes), finishes)


def _cut(column: Column, rows: Places) -> Column:
    return column if column.size == 1 else column[rows]
