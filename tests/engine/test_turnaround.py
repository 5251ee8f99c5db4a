"""Draws of office times and the counting of what was seen, against scipy.stats."""

import math
from collections.abc import Callable
from datetime import date

import numpy as np
import pytest
from scipy import special, stats

from compliance.base.calendars import build_calendar
from compliance.engine.kaplan_meier import compute_still_out, find_day
from compliance.engine.turnaround import (
    NOTHING_SEEN,
    Observation,
    OfficeDraws,
    Outcome,
    Seen,
    count_seen,
    draw_offices,
    find_offices,
    is_office_wait,
    returns_of,
)
from compliance.engine.turnaround_belief import believe_without, compute_beliefs
from compliance.engine.turnaround_grid import FACTOR_SD, SIGMA_SD, Tally
from compliance.rules.model import RulesTable, StepRow

MakeTable = Callable[[str], RulesTable]
DRAWS = 40_000
SEED = 7

PAPERS = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: open-ended}
    @own
    steps:
      - {name: ask, title: Ask, kind: wait, days: {fast: 1, usual: 2, slow: 5}, @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, days: {fast: 7, usual: 15, slow: 30},
          event: granted, return_path: [mail, transit, review],
          comes_back: {times: 2, of: 8, cite: own guess}, @own}
  - id: own.permit
    title: Permit
    holder: operation
    why: w
    office: own.office
    validity: {kind: open-ended}
    @own
    steps:
      - {name: file, title: File, kind: act, done_at: online, event: mailed, @own}
      - {name: look, title: Look, kind: wait, days: {fast: 3, usual: 10, slow: 20},
          event: granted, @own}
""".replace("    @own\n", "    cite: own\n    edition: none\n    confidence: memory\n")


@pytest.fixture(name="rows")
def read_rows(make_table: MakeTable) -> tuple[StepRow, ...]:
    table = make_table(PAPERS)
    offices = find_offices(table)
    return tuple(row for row in table.steps if row.id in offices)


def seen_of(**tallies: Tally) -> Seen:
    names = {"review": "own.license.review", "look": "own.permit.look"}
    return Seen(
        offices=dict.fromkeys(names.values(), "own.office"),
        tallies={names[name]: tally for name, tally in tallies.items()},
    )


def correlation(found: dict[str, OfficeDraws]) -> float:
    logs = [np.log(one.median) for one in found.values()]
    return float(np.corrcoef(logs)[0, 1])


def test_offices_are_those_a_packet_was_sent_to(make_table: MakeTable) -> None:
    """A wait before the mailing is nobody's who answers."""
    table = make_table(PAPERS)

    assert find_offices(table) == {
        "own.license.review": "own.office",
        "own.permit.look": "own.office",
    }
    assert [row.name for row in table.steps if is_office_wait(row)] == ["ask", "review", "look"]


def test_draws_without_anything_seen_follow_the_rows(rows: tuple[StepRow, ...]) -> None:
    """Log medians are normal around the usual days with sd 0.35 root 2, spreads lognormal.

    Against the Kolmogorov-Smirnov test of scipy.stats; the seed is fixed.
    """
    found = draw_offices(rows, seen_of(), DRAWS, SEED)

    sd = math.sqrt(2) * FACTOR_SD
    for row, usual, slow in ((rows[0], 15, 30), (rows[1], 10, 20)):
        draws = found[row.id]
        sigma = math.log(slow / usual) / stats.norm.ppf(0.9)
        assert draws.median.shape == draws.sigma.shape == draws.comes_back.shape == (DRAWS,)
        assert stats.kstest(draws.median, stats.lognorm(s=sd, scale=usual).cdf).pvalue > 0.001
        assert stats.kstest(draws.sigma, stats.lognorm(s=SIGMA_SD, scale=sigma).cdf).pvalue > 0.001
    assert correlation(found) == pytest.approx(0.5, abs=0.02)


def test_kinds_without_a_known_office_are_drawn_apart(rows: tuple[StepRow, ...]) -> None:
    """Each has an office of its own then."""
    found = draw_offices(rows, NOTHING_SEEN, DRAWS, SEED)

    assert correlation(found) == pytest.approx(0, abs=0.02)


def test_draws_follow_what_is_believed(rows: tuple[StepRow, ...]) -> None:
    """The draws and the cells they are picked from have the same moments, within 4 standard errors.

    The kind that was never seen moves with the one that was.
    """
    seen = seen_of(review=Tally.of(decided={30: 2, 45: 1}, pending={50: 1}, returned=1))

    found = draw_offices(rows, seen, DRAWS, SEED)

    beliefs = compute_beliefs(rows, seen)
    for row in rows:
        belief, draws = beliefs[row.id], found[row.id]
        chances = belief.chances.sum(axis=1)
        mean = float(chances @ belief.cells.shifts)
        sd = math.sqrt(float(chances @ (belief.cells.shifts - mean) ** 2))
        logs = np.log(draws.median / belief.prior.median)
        assert float(logs.mean()) == pytest.approx(mean, abs=4 * sd / math.sqrt(DRAWS) + 2e-3)
        assert float(logs.std()) == pytest.approx(sd, rel=0.03)
        spreads = belief.chances.sum(axis=0)
        sigma = float(spreads @ belief.cells.sigmas)
        assert float(draws.sigma.mean()) == pytest.approx(sigma, rel=0.02)
    assert float(np.median(found["own.permit.look"].median)) > 12
    assert correlation(found) > 0.1


def test_predicted_days_of_the_draws_are_those_believed(rows: tuple[StepRow, ...]) -> None:
    """A lognormal day drawn from each draw is in by a day as often as the belief says."""
    seen = seen_of(review=Tally.of(decided={30: 2, 45: 1}, pending={50: 1}, returned=1))
    draws = draw_offices(rows, seen, DRAWS, SEED)["own.license.review"]
    normal = np.random.Generator(np.random.Philox(1)).standard_normal(DRAWS)

    days = draws.median * np.exp(draws.sigma * normal)

    belief = compute_beliefs(rows, seen)["own.license.review"]
    for day in (15, 30, 45, 90):
        expected = belief.chance_by(day)
        error = 4 * math.sqrt(expected * (1 - expected) / DRAWS)
        assert float((days <= day).mean()) == pytest.approx(expected, abs=error + 1e-3)


def test_equal_input_gives_equal_draws(rows: tuple[StepRow, ...]) -> None:
    """And another seed others; another office's rows change nothing."""
    one = draw_offices(rows, seen_of(), 50, SEED)
    same = draw_offices(tuple(reversed(rows)), seen_of(), 50, SEED)
    alone = draw_offices(rows[:1], seen_of(), 50, SEED)
    other = draw_offices(rows, seen_of(), 50, SEED + 1)

    name = rows[0].id
    assert np.array_equal(one[name].median, same[name].median)
    assert np.array_equal(one[name].median, alone[name].median)
    assert not np.array_equal(one[name].median, other[name].median)


def test_chance_of_a_return_is_beta(rows: tuple[StepRow, ...]) -> None:
    """Prior and decisions add up; against the moments and distribution of scipy.stats.beta."""
    tally = Tally.of(decided={20: 9}, pending={}, returned=4)

    first, second = returns_of(rows[0], tally)
    drawn = draw_offices(rows, seen_of(review=tally), DRAWS, SEED)["own.license.review"].comes_back

    assert (first, second) == (2 + 4, 6 + 5)
    assert stats.kstest(drawn, stats.beta(6, 11).cdf).pvalue > 0.001
    assert compute_beliefs(rows, seen_of(review=tally))[rows[0].id].comes_back == 6 / 17


def test_no_return_where_no_path_leads_back(rows: tuple[StepRow, ...]) -> None:
    """An office that cannot send a packet back never does."""
    draws = draw_offices(rows, seen_of(), 100, SEED)["own.permit.look"]

    assert returns_of(rows[1], Tally()) == (0, 1)
    assert not draws.comes_back.any()


def test_returns_of_several_packets_are_beta_binomial(rows: tuple[StepRow, ...]) -> None:
    """Packets share one unknown chance: against scipy.stats.betabinom."""
    chances = draw_offices(rows, seen_of(), DRAWS, SEED)["own.license.review"].comes_back
    known = stats.betabinom(5, 2, 6)

    for count in range(6):
        expected = known.pmf(count)
        found = stats.binom.pmf(count, 5, chances).mean()
        assert float(found) == pytest.approx(expected, abs=4 * 0.5 / math.sqrt(DRAWS))


def test_rounds_of_one_packet_are_beta_geometric(rows: tuple[StepRow, ...]) -> None:
    """Coming back k times has the chance B(a + k, b) / B(a, b) (scipy.special.beta), more than p^k.

    The example of two returns, a(a+1) / ((a+b)(a+b+1)), is the beta-geometric law.
    """
    chances = draw_offices(rows, seen_of(), DRAWS, SEED)["own.license.review"].comes_back

    for rounds in (1, 2, 3):
        expected = special.beta(2 + rounds, 6) / special.beta(2, 6)
        assert float((chances**rounds).mean()) == pytest.approx(expected, rel=0.05)
    assert special.beta(4, 6) / special.beta(2, 6) == pytest.approx(2 * 3 / (8 * 9))
    assert float((chances**2).mean()) > float(chances.mean()) ** 2


def observe(sent: date, decided: date | None, outcome: Outcome, **more: object) -> Observation:
    return Observation(
        office="own.office",
        step="own.license.review",
        sent_on=sent,
        decided_on=decided,
        outcome=outcome,
        **more,  # type: ignore[arg-type] # the fields a test sets
    )


def test_count_seen_counts_days_of_the_rows_calendar() -> None:
    """The first day is not counted, the last is; Friday to Monday is one day of an office."""
    weekdays = build_calendar(
        "office", date(2027, 1, 1), date(2027, 3, 31), weekdays=frozenset(range(5))
    )
    friday, monday, today = date(2027, 1, 8), date(2027, 1, 11), date(2027, 1, 20)
    found = count_seen(
        [
            observe(friday, monday, Outcome.GRANTED),
            observe(friday, monday, Outcome.RETURNED, times=3),
            observe(friday, None, Outcome.PENDING),
            observe(friday, None, Outcome.PENDING, still_out_on=date(2027, 1, 12)),
            observe(today, None, Outcome.PENDING, still_out_on=date(2027, 3, 1)),
        ],
        {"own.license.review": weekdays},
        {"own.license.review": "own.office"},
        today,
    )

    assert found.tally("own.license.review") == Tally(
        decided=((1, 4),), pending=((0, 1), (2, 1), (8, 1)), returned=3
    )
    assert found.office("own.license.review") == "own.office"
    assert found.tally("own.permit.look") == Tally()


def test_count_seen_leaves_out_rows_without_a_calendar() -> None:
    """A row that is no longer in the table says nothing."""
    day = date(2027, 1, 8)

    assert count_seen([observe(day, day, Outcome.GRANTED)], {}, {}, day).tallies == {}


def test_pending_packet_does_not_make_its_own_slowness_look_usual(
    rows: tuple[StepRow, ...],
) -> None:
    """What is believed without it is what was believed before."""
    seen = seen_of(review=Tally.of(decided={15: 2}, pending={200: 1}, returned=0))
    before = seen_of(review=Tally.of(decided={15: 2}, pending={}, returned=0))

    without = believe_without(rows, seen, "own.license.review", 200)

    assert without.days_by(0.9) == compute_beliefs(rows, before)["own.license.review"].days_by(0.9)
    assert compute_beliefs(rows, seen)["own.license.review"].days_by(0.9) > without.days_by(0.9)


@pytest.mark.parametrize("seed", range(25))
def test_kaplan_meier_agrees_with_another_implementation(seed: int) -> None:
    """Against scipy.stats.ecdf on censored data with ties."""
    random = np.random.Generator(np.random.Philox(seed))
    days = random.integers(1, 25, size=40)
    is_out = random.random(40) < 0.35
    decided, pending = days[~is_out], days[is_out]

    def count(values: "np.ndarray[tuple[int, ...], np.dtype[np.int64]]") -> dict[int, int]:
        found, counts = np.unique(values, return_counts=True)
        return dict(zip(found.tolist(), counts.tolist(), strict=True))

    curve = compute_still_out(Tally.of(decided=count(decided), pending=count(pending), returned=0))

    known = stats.ecdf(stats.CensoredData(uncensored=decided, right=pending)).sf
    for day, share in curve:
        assert share == pytest.approx(float(known.evaluate(day)), abs=1e-12)
    assert {day for day, _ in curve} == set(decided.tolist())


def test_find_day_gives_none_when_too_few_were_decided() -> None:
    """Half were decided by day 5 exactly; nine in ten never."""
    curve = compute_still_out(Tally.of(decided={5: 2}, pending={7: 2}, returned=0))

    assert (find_day(curve, 0.5), find_day(curve, 0.9)) == (5, None)
