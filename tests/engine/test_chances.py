"""Chances of whole plans of small invented papers.

Exact chances are held against draws in ``test_chances_exact.py``; here is what must hold always.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from math import log

import numpy as np
import numpy.typing as npt
import pytest

from compliance.base.holidays import federal_closures
from compliance.engine.chance_model import Chances, Tweaks
from compliance.engine.chance_network import draw_season
from compliance.engine.chances import compute_chances, read_chances
from compliance.engine.network import NetworkBuilder
from compliance.engine.plan import build_days, compute_plan, move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.turnaround import OfficeDraws
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

AS_OF = date(2027, 1, 11)
DRAWS = 4_000

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
RENEWAL    steps:
"""
STEPS = """\
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted,
          return_path: [send-back, mend, mail, transit, review], @own}
      - {name: mail-back, title: Back, kind: wait, mail: back, @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
"""
FIXED = """\
      - {name: file, title: File, kind: act, calendar: federal, done_at: online, event: mailed,
          @own}
      - {name: notice, title: Notice period, kind: notice, calendar: every-day,
          days: {fast: 30, usual: 30, slow: 30}, event: granted, @own}
"""


def paper(ident: str, steps: str = STEPS, renewal: str = "") -> str:
    return HEAD.replace("ID", ident).replace("RENEWAL", renewal) + steps


@pytest.fixture(name="make")
def season_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., tuple[Plan, RulesTable]]:
    def make(
        papers: str = paper("own.license"), log: str = "", as_of: date = AS_OF, **farm: str
    ) -> tuple[Plan, RulesTable]:
        operation, table = make_operation(**farm), make_table(papers)
        entries = make_log(operation, log) if log else ()
        return compute_plan(operation, table, entries, as_of), table

    return make


Make = Callable[..., tuple[Plan, RulesTable]]


def chances_of(made: tuple[Plan, RulesTable], **more: object) -> Chances:
    return compute_chances(*made, draws=DRAWS, **more)  # type: ignore[arg-type] # named ones


def days_in(by: date, count: int) -> date:
    return by + timedelta(days=count)


def test_equal_input_gives_equal_chances(make: Make) -> None:
    made = make()

    assert chances_of(made) == chances_of(made)
    assert chances_of(made, seed=5) != chances_of(made)


def test_a_network_without_luck_is_certain(make: Make) -> None:
    """A notice of 30 days: filed by Friday 23 April 2027 it ends by Sunday 23 May or before."""
    found = chances_of(make(paper("own.license", FIXED)))
    (packet,) = found.packets

    assert [job.on_first_day for job in found.jobs] == [1.0]
    assert packet.mail_by == date(2027, 4, 23)
    assert packet.mail_by_with_return is None
    assert packet.binds == "chance"
    assert packet.by_mail_day[0] == (AS_OF, 1.0)
    assert packet.by_mail_day[-1] == (date(2027, 4, 23), 1.0)
    assert packet.ready == (date(2027, 2, 10),) * 3
    assert found.matters == ()


def test_last_day_is_the_last_one_in_the_wanted_share_of_draws(make: Make) -> None:
    """The quantile of the curve: that day still has the chance, the next open day has it not."""
    for wanted in (0.5, 0.9, 0.95):
        (packet,) = chances_of(make(), wanted=wanted).packets
        chances = dict(packet.by_mail_day)
        later = [day for day in chances if packet.mail_by is not None and day > packet.mail_by]

        assert packet.mail_by is not None
        assert chances[packet.mail_by] >= wanted
        assert all(chances[day] < wanted for day in later)


def test_a_day_later_never_raises_the_chance(make: Make) -> None:
    """Of mailing; and of a first spray a day earlier, because both use the same draws."""
    plan, table = make()
    (packet,) = chances_of((plan, table)).packets
    falling = [chance for _, chance in packet.by_mail_day]
    chances = []
    for day in range(18, 130, 4):
        moved = move_first_spray(plan.operation, days_in(AS_OF, day))
        sooner = compute_plan(moved, table, (), AS_OF)
        chances.append(chances_of((sooner, table)).jobs[0].on_first_day)

    assert falling == sorted(falling, reverse=True)
    assert chances == sorted(chances)
    assert chances[0] < 0.3
    assert chances[-1] > 0.9


def test_a_quicker_service_never_lowers_a_chance(make: Make) -> None:
    made = make()
    usual = chances_of(made)
    quick = chances_of(made, tweaks=Tweaks(by_packet={"own.license": MailService.EXPRESS}))

    assert quick.jobs[0].on_first_day >= usual.jobs[0].on_first_day
    by = dict(usual.packets[0].by_mail_day)
    sooner = dict(quick.packets[0].by_mail_day)
    assert all(sooner[day] >= chance for day, chance in by.items())
    assert sum(sooner.values()) > sum(by.values())


def test_room_for_one_return_comes_sooner(make: Make) -> None:
    """What must leave room for a return binds: it is mailed before what need not."""
    (packet,) = chances_of(make()).packets

    assert packet.mail_by is not None
    assert packet.mail_by_with_return is not None
    assert packet.mail_by_with_return < packet.mail_by
    assert packet.binds == "return"


def test_too_late_for_the_wanted_chance(make: Make) -> None:
    """Three weeks before the job no day to come has nine in ten."""
    (packet,) = chances_of(make(as_of=date(2027, 5, 3))).packets

    assert packet.mail_by is None
    assert packet.by_mail_day[0][0] == date(2027, 5, 3)
    assert packet.by_mail_day[0][1] < 0.9


def test_papers_that_share_an_ancestor_are_not_multiplied(make: Make) -> None:
    """Two notices behind one uncertain paper: both in time exactly when the one is."""
    waiting = FIXED.replace("event: mailed,", "event: mailed, needs: [own.license],", 1)
    waiting = waiting.replace("30", "20")
    both = paper("own.license") + paper("own.second", waiting) + paper("own.third", waiting)
    one = paper("own.license") + paper("own.second", waiting)
    farm = {"jobs": "- {id: pasture, first_day: 2027-03-29, last_day: 2027-06-12, @job}"}

    together, alone = chances_of(make(both, **farm)), chances_of(make(one, **farm))

    assert 0.2 < alone.jobs[0].on_first_day < 0.9
    assert together.jobs[0].on_first_day == alone.jobs[0].on_first_day


def test_paper_that_runs_out_in_the_job_must_be_renewed_in_time(make: Make) -> None:
    """Held through 1 June, in the middle of the job; too late to be renewed, the job has a gap."""
    renewable = paper("own.license", renewal="    renewal: {opens_months: 3}\n")
    held = "papers:\n  - {paper: own.license, holder: operation, valid_through: 2027-06-01}\n"
    early = chances_of(make(renewable, more=held))
    late = chances_of(make(renewable, more=held, as_of=date(2027, 5, 25)))

    assert early.jobs[0].on_first_day > 0.9
    assert late.jobs[0].on_first_day < 0.05
    # The window opens three months before the end; the chance to be there by 1 June is asked for.
    assert early.packets[0].by_mail_day[0][0] == date(2027, 3, 1)
    assert early.packets[0].mail_by is not None


def test_filing_day_of_a_renewal_is_a_limit(make: Make) -> None:
    """To be received 30 days before the end of 1 June, on Sunday 2 May, whatever the chance."""
    by_rule = paper("own.license", renewal="    renewal: {renew_by: 30 days before}\n")
    free = paper("own.license", renewal="    renewal: {opens_months: 12}\n")
    held = "papers:\n  - {paper: own.license, holder: operation, valid_through: 2027-06-01}\n"

    (bound,) = chances_of(make(by_rule, more=held), wanted=0.5).packets
    (unbound,) = chances_of(make(free, more=held), wanted=0.5).packets

    assert bound.mail_by is not None
    assert unbound.mail_by is not None
    assert bound.mail_by < unbound.mail_by
    assert bound.by_mail_day[-1][0] < date(2027, 5, 2)


def test_packet_at_the_office_is_never_there_before_today(make: Make) -> None:
    """Mailed long ago: no draw ends before today, and a longer wait is worse news."""
    ready, chances = [], []
    for days in (5, 40, 90):
        mailed = days_in(AS_OF, -days)
        log = f"  - {{kind: mailed, paper: own.license, on: {mailed}}}"
        farm = {"jobs": "- {id: pasture, first_day: 2027-02-15, last_day: 2027-06-12, @job}"}
        found = chances_of(make(log=log, **farm))
        (packet,) = found.packets
        ready.append(packet.ready[0])
        chances.append(packet)
        assert packet.mail_by is None
        assert packet.by_mail_day == ()
        assert found.jobs[0].by_day[0][0] >= AS_OF

    assert min(ready) >= AS_OF


def test_everything_in_hand_is_certain(make: Make) -> None:
    held = "papers:\n  - {paper: own.license, holder: operation, valid_through: 2028-06-01}\n"
    found = chances_of(make(more=held))

    assert found.packets == ()
    assert [(job.job, job.on_first_day) for job in found.jobs] == [("pasture", 1.0)]
    assert found.matters == ()
    assert found.spread == {}


def test_a_plan_without_jobs_has_no_chances(make: Make) -> None:
    plan, table = make()
    empty = compute_plan(replace(plan.operation, jobs=()), table, (), AS_OF)

    assert chances_of((empty, table)).jobs == ()


def test_what_comes_back_every_time_is_never_in_time(make: Make) -> None:
    """With a chance of return of 1 the packet goes round past the last round drawn."""
    plan, table = make()
    packets = tuple(one.packet for one in plan.papers)
    days = build_days(plan.operation, packets, AS_OF)
    builder = NetworkBuilder(packets, table, days, plan.operation.mail_service)
    ones = np.ones(200)
    offices = {
        "own.license.review": OfficeDraws(median=5 * ones, sigma=0.2 * ones, comes_back=ones)
    }

    season = draw_season(builder, AS_OF, offices, 200, 1)
    found = read_chances(plan, season, wanted=0.9, seed=1)

    assert found.jobs[0].on_first_day == 0.0
    assert found.jobs[0].by_day == ()
    assert found.packets[0].mail_by is None


def test_what_matters_is_what_the_chance_gains(make: Make) -> None:
    """A day less at the office is the same as a first spray some days later: both raise it."""
    farm = {"jobs": "- {id: pasture, first_day: 2027-03-01, last_day: 2027-06-12, @job}"}
    found = chances_of(make(**farm))
    weights = {one.step: one for one in found.matters}

    assert set(weights) == {f"own.license/{name}" for name in ("transit", "review", "mail-back")}
    assert {one.job for one in found.matters} == {"pasture"}
    assert all(0.005 < one.gain_per_day < 0.1 for one in found.matters)
    gains = [one.gain_per_day for one in found.matters]
    assert gains == sorted(gains, reverse=True)


def test_spread_has_every_step_still_to_do(make: Make) -> None:
    plan, table = make()
    found = chances_of((plan, table))

    assert list(found.spread) == [step.id for step in plan.papers[0].steps]
    for first, middle, last in found.spread.values():
        assert AS_OF <= first <= middle <= last
    assert found.spread["own.license/sign"] == (AS_OF, AS_OF, AS_OF)


LOOP = """\
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, calendar: every-day,
          days: {fast: 3, usual: 3, slow: 3}, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: every-day,
          days: {fast: 10, usual: 28, slow: 44}, event: granted,
          return_path: [send-back, mend, transit, review], @own}
      - {name: finish, title: Finish, kind: wait, calendar: federal,
          days: {fast: 2, usual: 2, slow: 2}, @own}
      - {name: send-back, title: Sent back, kind: wait, calendar: every-day, use: after-return,
          days: {fast: 3, usual: 3, slow: 3}, event: returned, @own}
      - {name: mend, title: Mend, kind: wait, calendar: federal, use: after-return,
          days: {fast: 4, usual: 4, slow: 4}, @own}
"""


def simulate_lead(
    deadline: date,
    rounded: Callable[[npt.NDArray[np.float64]], npt.NDArray[np.float64]],
    *,
    once: bool,
) -> int:
    """How many days before a deadline to mail, by a plain simulation with ``busday_offset``.

    Mailing a day sooner ends no draw later, so the fewest days are found by halving.
    """
    stream = np.random.default_rng(5)
    size, sigma = 60_000, log(44 / 28) / 1.2815515655446
    returns = stream.geometric(0.75, size) - 1
    returns = np.maximum(returns, 1) if once else returns
    offices = [
        rounded(28 * np.exp(sigma * stream.standard_normal(size))).astype(int) for _ in range(9)
    ]
    holidays = [np.datetime64(day.day) for day in federal_closures(AS_OF, deadline)]
    end = np.datetime64(deadline)
    came_back = [np.flatnonzero(returns >= again) for again in range(1, 9)]

    def is_enough(lead: int) -> bool:
        day = end - lead + 3 + offices[0]
        for again, which in enumerate(came_back, 1):
            mended = np.busday_offset(day[which] + 3, 4, roll="backward", holidays=holidays)
            day[which] = mended + 3 + offices[again][which]
        done = np.busday_offset(day, 2, roll="backward", holidays=holidays)
        return bool((done <= end).mean() >= 0.9)

    leads = range(70, 130)
    assert is_enough(leads[-1]), "no lead is long enough"
    return leads[bisect_left(leads, True, key=is_enough)]


@pytest.mark.parametrize("more", range(7))
def test_days_before_the_deadline_of_a_packet_that_may_come_back(make: Make, more: int) -> None:
    """Post 3 days, office 28 (nine in ten 44), a quarter back (3, mend 4 office days, 3), 2 more.

    Nine in ten need 88 days or a few more, by the day of the week, and 104 or a few more when it
    comes back once, or as often as it would. Nine in ten of one office time without a return would
    be 52 days.
    """
    first = days_in(date(2027, 8, 2), more)
    job = f"- {{id: pasture, first_day: {first}, last_day: {days_in(first, 9)}, @job}}"
    plan, table = make(paper("own.license", LOOP), jobs=job)
    packets = tuple(one.packet for one in plan.papers)
    days = build_days(plan.operation, packets, AS_OF)
    builder = NetworkBuilder(packets, table, days, plan.operation.mail_service)
    ones = np.ones(20_000)
    office = OfficeDraws(
        median=28 * ones, sigma=log(44 / 28) / 1.2815515655446 * ones, comes_back=0.25 * ones
    )
    season = draw_season(builder, AS_OF, {"own.license.review": office}, 20_000, 1)
    (packet,) = read_chances(plan, season, wanted=0.9, seed=1).packets
    assert packet.mail_by is not None
    assert packet.mail_by_with_return is not None

    # 20,000 draws leave a day either way.
    assert abs((first - packet.mail_by).days - simulate_lead(first, np.ceil, once=False)) <= 1
    assert (
        abs((first - packet.mail_by_with_return).days - simulate_lead(first, np.ceil, once=True))
        <= 1
    )
    assert 87 <= simulate_lead(first, np.rint, once=False) <= 91
    assert 103 <= simulate_lead(first, np.rint, once=True) <= 107
