"""Drawn chances against exact ones, on random networks of papers with returns.

The oracle shares no arithmetic with the draws: every step is a matrix K[start day, end day] on a
grid of days. One step after another is a product of matrices; papers that are all needed are a
product of their distributions once the day of what they both wait for is fixed; a packet that comes
back with chance p solves T = (1 - p) R + p R L T. Days are moved by ``numpy.busday_offset`` and the
lognormal days of an office are taken from ``scipy.stats``.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property
from math import log
from random import Random
from typing import Literal

import numpy as np
import numpy.typing as npt
import pytest
from scipy.linalg import solve_triangular
from scipy.stats import lognorm

from compliance.engine.chance_model import Chances
from compliance.engine.chance_network import draw_season
from compliance.engine.chances import read_chances
from compliance.engine.days import OperationDays
from compliance.engine.network import NetworkBuilder
from compliance.engine.plan import build_days, compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.turnaround import OfficeDraws
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName, RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]
Matrix = npt.NDArray[np.float64]

AS_OF = date(2027, 1, 11)
BEFORE = 45  # days of the grid before today
DRAWS = 20_000
FACTORS = (1.0, 1.7)  # of the office that all papers share, each in half of the draws
TODAY = BEFORE

HEAD = """\
  - id: ID
    title: ID
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
      - {name: sign, title: Sign, kind: act, calendar: SIGN, done_at: farm, event: signed, @own}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, needs: [NEEDS], @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: REVIEW,
          days: {fast: 1, usual: 10, slow: 20}, event: granted,
          return_path: [PATHmend, mail, transit, review], @own}
      - {name: mend, title: Mend, kind: act, calendar: MEND, done_at: farm,
          use: after-return, @own}
"""
BACK = "      - {name: mail-back, title: Back, kind: wait, mail: back, @own}\n"
SENT_BACK = (
    "      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,\n"
    "          event: returned, @own}\n"
)


@dataclass(frozen=True, kw_only=True)
class Paper:
    """One invented paper: the median, spread and chance of return of its office, and its steps."""

    id: str
    needs: str
    median: float
    sigma: float
    returned: float
    sign: CalendarName
    review: CalendarName
    mend: CalendarName
    mail_back: bool
    sent_back: bool
    mailed: date | None

    @property
    def text(self) -> str:
        return (
            HEAD.replace("ID", self.id)
            .replace("needs: [NEEDS], ", f"needs: [{self.needs}], " if self.needs else "")
            .replace("SIGN", self.sign)
            .replace("REVIEW", self.review)
            .replace("MEND", self.mend)
            .replace("PATH", "send-back, " if self.sent_back else "")
            + (BACK if self.mail_back else "")
            + (SENT_BACK if self.sent_back else "")
        )


def draw_papers(random: Random) -> list[Paper]:
    acts = (CalendarName.FIELD, CalendarName.NOTARY, CalendarName.FEDERAL)
    papers = [
        Paper(
            id=f"own.paper{at}",
            needs="own.paper0" if at and random.random() < 0.7 else "",
            median=random.uniform(4, 18),
            sigma=random.uniform(0.15, 0.6),
            returned=random.choice((0.1, 0.25, 0.4)),
            sign=random.choice(acts),
            review=random.choice((CalendarName.FEDERAL, CalendarName.EVERY_DAY)),
            mend=random.choice(acts),
            mail_back=random.random() < 0.5,
            sent_back=random.random() < 0.5,
            mailed=AS_OF - timedelta(days=random.randint(3, 40))
            if at == 0 and random.random() < 0.4
            else None,
        )
        for at in range(random.randint(1, 3))
    ]
    root = papers[0]
    if root.mailed is None:
        return papers
    # Not so long ago that the chance of it is lost in the rounding of the oracle's sums.
    mailed = max(root.mailed, AS_OF - timedelta(days=5 + int(2 * root.median)))
    return [replace(root, mailed=mailed), *papers[1:]]


@dataclass
class Grid:
    """Matrices of moves on the days from ``BEFORE`` days before today to the limit.

    What ends after the limit is never in time, so it is left out.
    """

    days: OperationDays
    size: int
    opens: dict[CalendarName, np.busdaycalendar] = field(default_factory=dict)
    acts: dict[CalendarName, Matrix] = field(default_factory=dict)

    def calendar(self, name: CalendarName) -> np.busdaycalendar:
        found = self.opens.get(name)
        if found is None:
            own = self.days.calendar(name)
            opens = set(own.bd)
            closed = [
                date.fromordinal(day)
                for day in range(AS_OF.toordinal() - 200, AS_OF.toordinal() + 900)
                if day not in opens
            ]
            found = np.busdaycalendar(weekmask="1111111", holidays=closed)
            self.opens[name] = found
        return found

    def act(self, name: CalendarName) -> Matrix:
        if name not in self.acts:
            self.acts[name] = self._spread({0: 1.0}, name, "forward")
        return self.acts[name]

    @cached_property
    def post(self) -> Matrix:
        return self.wait(mail_chances(2, 3, 4), CalendarName.POSTAL)

    def wait(self, chances: Mapping[int, float], name: CalendarName) -> Matrix:
        # The n-th open day after: back to the last open day, then n on.
        return self._spread(chances, name, "backward")

    def _spread(
        self, chances: Mapping[int, float], name: CalendarName, roll: Literal["forward", "backward"]
    ) -> Matrix:
        first = np.datetime64(AS_OF) - BEFORE
        starts = np.arange(self.size)
        counts = np.array(list(chances))
        ends = np.busday_offset(
            (first + starts)[:, None], counts[None, :], roll=roll, busdaycal=self.calendar(name)
        )
        places = (ends - first).astype(np.int64)
        weights = np.broadcast_to(np.array(list(chances.values()))[None, :], places.shape)
        kept = places < self.size
        cells = (starts[:, None] * self.size + places)[kept]
        summed = np.bincount(cells, weights[kept], self.size**2).astype(np.float64)
        return summed.reshape(self.size, self.size)


def mail_chances(fast: int, usual: int, slow: int) -> dict[int, float]:
    """The days in the mail as `mail_days` states them, written down as chances."""
    span = usual - fast + 1
    found = dict.fromkeys(range(fast, usual + 1), 0.5 / span)
    scale = (slow - usual) / log(5)
    for day in range(usual + 1, usual + 80):
        left = 0.5 * np.exp(-(day - 1 - usual) / scale) - 0.5 * np.exp(-(day - usual) / scale)
        found[day] = float(left)
    return found


def office_chances(median: float, sigma: float) -> dict[int, float]:
    days = np.arange(0, 260)
    below = lognorm.cdf(days, s=sigma, scale=median)
    return {int(day): float(below[day] - below[day - 1]) for day in days[1:]}


@dataclass
class Exact:
    """The exact days of one paper, for one factor of the office."""

    paper: Paper
    grid: Grid
    factor: float

    def __post_init__(self) -> None:
        paper, grid = self.paper, self.grid
        self.post = post = grid.post
        self.review = grid.wait(
            office_chances(paper.median * self.factor, paper.sigma), paper.review
        )
        self.back = post if paper.mail_back else np.eye(grid.size)
        sent_back = post if paper.sent_back else np.eye(grid.size)
        self.sent_back = sent_back
        self.again = grid.act(paper.mend) @ grid.act(CalendarName.POST_OFFICE) @ post
        self.mail_act = grid.act(CalendarName.POST_OFFICE)
        p = paper.returned
        round_trip = p * self.review @ sent_back @ self.again
        self.granted: Matrix = solve_triangular(
            np.eye(grid.size) - round_trip, (1 - p) * self.review, lower=False
        )
        self.in_hand = self.granted @ self.back

    def from_mail(self) -> Matrix:
        """From the day it is mailed to the day it is in hand."""
        found: Matrix = self.post @ self.in_hand
        return found

    def from_needed(self) -> Matrix:
        """From the day of the paper it waits for to its own, begun today: not before today."""
        signed = self.grid.act(self.paper.sign)[TODAY].argmax()
        found = (self.mail_act @ self.from_mail()).copy()
        found[: int(signed)] = found[int(signed)]
        return found

    def from_now(self) -> npt.NDArray[np.float64]:
        """The chance of each day in hand, given what is known today."""
        if self.paper.mailed is None:
            begun: npt.NDArray[np.float64] = self.from_needed()[TODAY]
            return begun
        began = (self.paper.mailed - AS_OF).days + BEFORE
        p = self.paper.returned
        at_office = self.post[began] @ self.review
        granted = (1 - p) * (at_office @ self.back)
        seen_back = p * (at_office @ self.sent_back)
        total = 1 - granted[:TODAY].sum() - seen_back[:TODAY].sum()
        granted[:TODAY] = 0  # it would have been seen
        seen_back[:TODAY] = 0
        found: npt.NDArray[np.float64] = granted + seen_back @ self.again @ self.in_hand
        return found / float(total)


@dataclass(frozen=True)
class Season:
    papers: list[Paper]
    plan: Plan
    chances: Chances

    def exact(self, grid: Grid, factor: float) -> tuple[float, dict[str, Matrix]]:
        """The chance of the job, and of being in time for each day of mailing each paper."""
        found = {one.id: Exact(one, grid, factor) for one in self.papers}
        by = {name: one.from_needed().sum(axis=1) for name, one in found.items()}
        waiting = [one.id for one in self.papers if one.needs]
        alone = [one for one in self.papers[1:] if not one.needs]
        root = found[self.papers[0].id]
        together = np.ones(grid.size)
        for name in waiting:
            together *= by[name]
        job = float(root.from_now() @ together)
        for one in alone:
            job *= float(found[one.id].from_now().sum())
        mailing = {name: one.from_mail().sum(axis=1) for name, one in found.items()}
        mailing[root.paper.id] = root.from_mail() @ together
        return job, mailing


@pytest.fixture(name="draw")
def season_drawer(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[[Random], tuple[Season, Grid]]:
    def draw(random: Random) -> tuple[Season, Grid]:
        papers = draw_papers(random)
        first = AS_OF + timedelta(days=random.randint(50, 140))
        job = f"- {{id: job, first_day: {first}, last_day: {first + timedelta(days=9)}, @job}}"
        operation = make_operation(job, more="notary_days: [tue, thu]\n")
        mailed = papers[0].mailed
        entries = f"  - {{kind: mailed, paper: own.paper0, on: {mailed}}}"
        logged = make_log(operation, entries) if mailed else ()
        table = make_table("".join(one.text for one in papers))
        plan = compute_plan(operation, table, logged, AS_OF)
        packets = tuple(one.packet for one in plan.papers)
        days = build_days(operation, packets, AS_OF)
        builder = NetworkBuilder(packets, table, days, operation.mail_service)
        half = np.arange(DRAWS) % 2
        factor = np.array(FACTORS)[half]
        offices = {
            f"{one.id}.review": OfficeDraws(
                median=one.median * factor,
                sigma=np.full(DRAWS, one.sigma),
                comes_back=np.full(DRAWS, one.returned),
            )
            for one in papers
        }
        season = draw_season(builder, AS_OF, offices, DRAWS, random.randint(0, 10**9))
        chances = read_chances(plan, season, wanted=0.9, seed=0)
        return Season(papers, plan, chances), Grid(days, (first - AS_OF).days + BEFORE + 1)

    return draw


def tolerance(chance: float) -> float:
    """Four standard errors, and the mass that comes back more than six times."""
    return 4 * float(np.sqrt(max(chance * (1 - chance), 1e-4) / DRAWS)) + 0.4**7


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, 200, 25))
def test_two_hundred_networks_with_loops_and_shared_offices(
    draw: Callable[[Random], tuple[Season, Grid]], first: int
) -> None:
    """The chance of the job, and of each packet by its mail day, within four standard errors."""
    misses = []
    looked_at = 0
    for seed in range(first, first + 25):
        season, grid = draw(Random(seed))  # noqa: S311 - makes up cases, keeps no secret
        halves = [season.exact(grid, factor) for factor in FACTORS]
        found = season.chances.jobs[0].on_first_day
        exact = sum(one[0] for one in halves) / 2
        looked_at += 1
        if abs(found - exact) > tolerance(exact):
            misses.append((seed, "job", found, exact))
        for packet in season.chances.packets:
            curve = packet.by_mail_day
            for day, chance in curve[:: max(1, len(curve) // 4)]:
                at = (day - AS_OF).days + BEFORE
                exact = float(sum(one[1][packet.packet][at] for one in halves) / 2)
                looked_at += 1
                if abs(chance - exact) > tolerance(exact):
                    misses.append((seed, packet.packet, chance, exact))

    assert looked_at > 100
    # Of so many looks beyond four standard errors, 1 in 16,000 is due by chance alone.
    assert misses == []
