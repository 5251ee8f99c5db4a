"""The chances of a plan: of each job on its first day, and of each packet by the day it is sent."""

import math
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

from compliance.engine.chance_model import (
    NO_TWEAKS,
    Chances,
    Curve,
    JobChance,
    PacketChance,
    Tweaks,
)
from compliance.engine.chance_network import Season, draw_season, find_rows
from compliance.engine.chance_weights import find_weights
from compliance.engine.columns_passes import Given, Moved
from compliance.engine.columns_tables import BEFORE, Column
from compliance.engine.edition_choice import Choice, with_choices, without_limits
from compliance.engine.moves import Act
from compliance.engine.network import IN_HAND, NetworkBuilder
from compliance.engine.plan import build_days, limits_of
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan
from compliance.engine.trip_days import find_first_days, list_floors
from compliance.engine.turnaround import Seen, draw_offices, find_offices
from compliance.rules.model import RulesTable

Tally = npt.NDArray[np.int64]

DRAWS = 20_000
SEED = 20_270_524
WANTED = 0.9
_SPREAD = (0.1, 0.5, 0.9)
_WORTH_DRAWING = 0.005
_ROUNDING = 1e-9  # 0.9 of 20,000 draws is 18,000, not one more


def compute_chances(
    plan: Plan,
    table: RulesTable,
    *,
    seen: Seen | None = None,
    wanted: float = WANTED,
    draws: int = DRAWS,
    seed: int = SEED,
    tweaks: Tweaks = NO_TWEAKS,
) -> Chances:
    """Compute the chances of a plan by seeded draws of its network; equal input, equal chances.

    Shape: *wanted* is the chance that the mail-by days are for; *tweaks* is what is tried with
    single packets. In each draw the passes give days as exact as those of the plan itself, so that
    what packets share (a paper they wait for, the speed of an office) is shared; no chances are
    multiplied. Acts are done on the first day they can be; for the chances of jobs and the days
    ready those in town not before the trip they are planned on. The days to send a packet off count
    any day on which it could go, because a trip can be moved. The model of waits and returns is
    that of `chance_network.draw_season`. Of several editions of a step the one that the last days
    of the plan count with is drawn; of a packet on its way the one that its earliest days count
    with, for it was filed and no day is left to choose.

    Errors: with 20,000 draws a chance near 0.5 has a standard error of 0.0035, one near 0.9 of
    0.0021.
    """
    choice = _find_choice(plan)
    packets = with_choices(tuple(paper.packet for paper in plan.papers), choice)
    days = build_days(plan.operation, packets, plan.as_of)
    builder = NetworkBuilder(
        packets,
        table,
        days,
        plan.operation.mail_service,
        by_packet=tweaks.by_packet,
        choice=choice,
        floors=list_floors(plan.trip_days),
    )
    seen = Seen(offices=find_offices(table)) if seen is None else seen
    others = tuple(row for row in table.steps if row.id in seen.tallies)
    offices = draw_offices((*find_rows(packets), *others), seen, draws, seed)
    season = draw_season(builder, plan.as_of, offices, draws, seed, tweaks.back)
    first = find_first_days(plan, table, by_packet=tweaks.by_packet)
    return read_chances(plan, season, wanted=wanted, seed=seed, first=first)


def _find_choice(plan: Plan) -> Choice:
    """Give the editions to draw with."""
    sent = {
        (paper.id, paper.packet.progress.round)
        for paper in plan.papers
        if paper.packet.progress.is_at_office
    }
    ahead = {key: one for key, one in plan.choices.earliest.items() if (key[0], key[2]) in sent}
    return {**without_limits(plan.choices.last), **ahead}


def read_chances(
    plan: Plan,
    season: Season,
    *,
    wanted: float,
    seed: int,
    first: Mapping[str, date] | None = None,
) -> Chances:
    """Read the chances of a plan from its drawn season, which *seed* was used for.

    *first* are the first days of steps, by id, that a plan with trips has on later days.
    """
    moved = season.columns.forward(season.given)
    papers = [paper for paper in plan.papers if paper.packet.planned]
    late = season.columns.backward(
        find_limits(plan, season), season.given, done_binds=False, floors=season.openings
    )
    ready = {job.job.id: find_ready(plan, job, season, moved) for job in plan.jobs}
    return Chances(
        draws=season.given.rows,
        seed=seed,
        wanted=wanted,
        jobs=tuple(_chance_of_job(plan, job, season, ready[job.job.id]) for job in plan.jobs),
        packets=tuple(
            _chance_of_packet(plan, paper, season, (moved, late), (wanted, first or {}))
            for paper in papers
        ),
        matters=find_weights(plan, season, moved),
        spread=_find_spread(papers, season, moved),
    )


def find_limits(plan: Plan, season: Season) -> dict[int, Column]:
    """Give the last numbers of the papers in hand and of the renewals to be filed, by place."""
    needs, filing = limits_of(tuple(paper.packet for paper in plan.papers))
    network = season.network
    return {
        network.index[name]: season.columns.tables.number(day, "a limit")
        for name, day in (needs | filing).items()
        if name in network.index and network.tasks[network.index[name]].done_on is None
    }


def find_ready(plan: Plan, job: JobPlan, season: Season, moved: Moved) -> Column:
    """Give the first number from which the papers of a job are in force to its end, for each draw.

    Shape: not before the job's first day or today, nor before the end of days without a paper of
    which the next one is held. A paper that runs out within the job counts as `plan.py` counts it:
    its renewal must be there by the day after, or the job waits for it.
    """
    tables = season.columns.tables
    start = max(job.job.first_day, plan.as_of)
    found = tables.number(start.toordinal(), "the job")
    for paper in plan.papers:
        through = paper.packet.valid_through
        needed = job.job.id in paper.packet.verdict.jobs
        for first, last in paper.packet.bare if needed else ():
            if first <= job.job.last_day and last >= start:
                again = min(last.toordinal() + 1, tables.base + tables.span)
                found = np.maximum(found, tables.number(again, "the next paper"))
        if not (needed and paper.packet.planned) or (
            through is not None and through >= job.job.last_day
        ):
            continue
        there = moved.finishes[season.place(f"{paper.id}/{IN_HAND}")]
        if there is None:
            continue
        if through is not None and through >= start:
            kept = tables.number(through.toordinal() + 1, "the day after")
            there = np.where(there > kept, there, BEFORE).astype(tables.dtype)
        found = np.maximum(found, there)
    return np.broadcast_to(found, season.given.rows)


def _chance_of_job(plan: Plan, job: JobPlan, season: Season, ready: Column) -> JobChance:
    start = max(job.job.first_day, plan.as_of)
    number = start.toordinal() - season.columns.tables.base
    return JobChance(
        job=job.job.id,
        first_day=job.job.first_day,
        on_first_day=float((ready <= number).mean()),
        by_day=_rising_curve(season, ready),
    )


def _tally(season: Season, column: Column | None) -> Tally:
    """Count the draws by their number up to and with each number, *beyond* the last."""
    if column is None:
        raise AssertionError("a forward pass gives every task a day")
    wide = np.broadcast_to(column, season.given.rows)
    found: Tally = np.cumsum(np.bincount(wide, minlength=season.columns.tables.beyond + 1))
    return found


def _rising_curve(season: Season, column: Column) -> Curve:
    """Give the chance to be there by a day, for the days on which it rises enough to be drawn."""
    tally = _tally(season, column)[:-1]
    rises = np.flatnonzero(np.diff(tally, prepend=0))
    found: list[tuple[date, float]] = []
    for number in rises.tolist():
        chance = float(tally[number] / season.given.rows)
        if not found or number == rises[-1] or chance - found[-1][1] >= _WORTH_DRAWING:
            found.append((_date(season, number), chance))
    return tuple(found)


def _chance_of_packet(
    plan: Plan,
    paper: PaperPlan,
    season: Season,
    passes: tuple[Moved, Moved],
    asked: tuple[float, Mapping[str, date]],
) -> PacketChance:
    moved, late = passes
    wanted, first_days = asked
    end = season.place(f"{paper.id}/{IN_HAND}")
    by = with_return = None
    curve: Curve = ()
    again_curve: Curve = ()
    is_open = paper.mail_step in season.network.index and paper.mailed_on is None
    one_return = season.given_one_return(paper.id) if is_open else None
    latest = late.starts[season.place(paper.mail_step)] if is_open else None
    if latest is not None:
        first = _first_day(plan, paper, first_days)
        by = _last_day(first, season, latest, wanted)
        curve = _falling_curve(paper, season, latest, first)
        if one_return is not None:
            again = _latest_with(plan, paper, season, one_return, late)
            with_return = _last_day(first, season, again, wanted)
            again_curve = _falling_curve(paper, season, again, first)
    return PacketChance(
        packet=paper.id,
        mail_step=paper.mail_step,
        mail_by=by,
        mail_by_with_return=with_return,
        binds="return" if one_return is not None and _is_earlier(with_return, by) else "chance",
        by_mail_day=curve,
        ready=_quantiles(season, moved.finishes[end]),
        by_mail_day_with_return=again_curve,
        certain_returns=season.loops[paper.id].certain if paper.id in season.loops else 0,
    )


def _latest_with(plan: Plan, paper: PaperPlan, season: Season, given: Given, late: Moved) -> Column:
    """Give the latest day to send a packet off, given what is drawn for it alone.

    The days by which it must be in hand, for its jobs and for what waits for it, are those of
    *late*.
    """
    end = season.place(f"{paper.id}/{IN_HAND}")
    own = frozenset(season.own[paper.id])
    limits = {at: day for at, day in find_limits(plan, season).items() if at in own}
    needed = late.finishes[end]
    if needed is not None:
        limits[end] = needed
    found = season.columns.backward(
        limits, given, within=own, done_binds=False, floors=season.openings
    ).starts[season.place(paper.mail_step)]
    if found is None:
        raise AssertionError("every step of a packet leads to its in-hand task")
    return found


def _last_day(first: date, season: Season, latest: Column, wanted: float) -> date | None:
    """Give the last day that is in time in at least the wanted share of draws, if one is left.

    A day before *first*, on which the packet can be sent off at the earliest, is none.
    """
    tally = _tally(season, latest)
    missed = season.given.rows - math.ceil(wanted * season.given.rows - _ROUNDING)
    # The last number that no more than so many draws are before.
    number = int(np.searchsorted(tally, missed, side="right"))
    day = _date(season, number) if number != BEFORE else date.min
    return day if day >= first else None


def _is_earlier(day: date | None, other: date | None) -> bool:
    """Tell whether a day is before another, where None is before every day."""
    return other is not None and (day is None or day < other)


def _first_day(plan: Plan, paper: PaperPlan, first_days: Mapping[str, date]) -> date:
    """Give the first day on which a packet could be sent off, at usual times, on any trip."""
    step = next(step for step in paper.steps if step.id == paper.mail_step)
    return max(first_days.get(step.id, step.earliest), plan.as_of)


def _falling_curve(paper: PaperPlan, season: Season, latest: Column, begin: date) -> Curve:
    """Give the chance to be in time for each day from *begin* on which it can be sent off."""
    tables = season.columns.tables
    move = season.network.tasks[season.place(paper.mail_step)].move
    tally = _tally(season, latest)
    end = int(np.searchsorted(tally, season.given.rows))
    first = begin.toordinal() - tables.base
    days: Iterable[int] = range(first, end + 1)
    if isinstance(move, Act):
        days = [day for day in days if move.calendar.is_open(day + tables.base)]
    return tuple(
        (_date(season, day), 1 - float(tally[day - 1]) / season.given.rows) for day in days
    )


def _find_spread(
    papers: list[PaperPlan], season: Season, moved: Moved
) -> dict[str, tuple[date, date, date]]:
    """Give for each step still to do the days by which it is over with each chance."""
    spread = {}
    for paper in papers:
        for step in paper.steps:
            if step.done_on is None and step.id in season.network.index:
                spread[step.id] = _quantiles(season, moved.finishes[season.place(step.id)])
    return spread


def _quantiles(season: Season, column: Column | None) -> tuple[date, date, date]:
    tally = _tally(season, column)
    last = season.columns.tables.span
    first, middle, end = (
        _date(season, min(int(np.searchsorted(tally, share * season.given.rows - _ROUNDING)), last))
        for share in _SPREAD
    )
    return first, middle, end


def _date(season: Season, number: int) -> date:
    return date.min + timedelta(days=season.columns.tables.base + number - 1)
