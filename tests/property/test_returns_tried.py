"""A return that is added never makes a chance better, nor a paper likely sooner.

Our own promise: with the same draws on both sides it holds in each draw, so no tolerance is needed.
A packet that comes back *today* is another matter (its wait is over, which is news); see
``tests/app/test_what_if.py``.
"""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session

from compliance.app.planning import make_plan
from compliance.app.what_if import try_changes
from compliance.engine.chance_model import Chances, Curve, Tweaks
from compliance.engine.chances import compute_chances
from compliance.engine.packets import PaperState
from compliance.engine.plan_model import Plan
from compliance.engine.progress import find_returnable
from compliance.engine.wish import Wish
from compliance.facts.model import Operation
from tests.property.test_plan_properties import SETTINGS, farms, plan_of, shipped_table

# The day of the first return, one on which a trip waits for an exam, one with a paper overdue.
DAYS = (date(2027, 1, 11), date(2027, 3, 1))


def list_unsent(plan: Plan) -> list[str]:
    """List the packets still to be sent that an office can send back."""
    return [
        paper.id
        for paper in plan.papers
        if paper.packet.planned
        and paper.state is not PaperState.AT_OFFICE
        and paper.mailed_on is None
        and find_returnable(paper.packet.steps) is not None
        and paper.find_step(paper.mail_step.rpartition("/")[2].partition("~")[0]) is not None
    ]


def is_above(high: Curve, low: Curve) -> bool:
    """Tell whether the first of two curves is above the second on a day both have."""
    other = dict(low)
    return any(chance > other[day] for day, chance in high if day in other)


def find_better(without: Chances, with_return: Chances) -> list[str]:
    """List everything that is better with a return than without."""
    found = []
    for old, new in zip(without.jobs, with_return.jobs, strict=True):
        if new.on_first_day > old.on_first_day:
            found.append(f"{new.job}: {old.on_first_day} -> {new.on_first_day}")
    for was, now in zip(without.packets, with_return.packets, strict=True):
        if any(one < other for one, other in zip(now.ready, was.ready, strict=True)):
            found.append(f"{now.packet}: ready {was.ready} -> {now.ready}")
        if (now.mail_by or date.min) > (was.mail_by or date.min):
            found.append(f"{now.packet}: mail by {was.mail_by} -> {now.mail_by}")
        if is_above(now.by_mail_day, was.by_mail_day):
            found.append(f"{now.packet}: the chance of a day to send it off")
        if is_above(now.by_mail_day_with_return, was.by_mail_day_with_return):
            found.append(f"{now.packet}: the chance of a day to send it off, back once")
    return found


@pytest.mark.parametrize("day", DAYS)
def test_no_return_of_the_demo_betters_a_chance(session: Session, day: date) -> None:
    """Every packet not sent yet, one after another, as the command tries it."""
    packets = list_unsent(make_plan(session, None, day).plan)

    assert packets
    for packet in packets:
        tried = try_changes(session, None, day, Wish(returned=(packet,)), chance=0.9)
        assert tried.before.chances is not None
        assert tried.after.chances is not None
        assert (packet, find_better(tried.before.chances, tried.after.chances)) == (packet, [])
        own = [one.packet for one in tried.before.chances.packets].index(packet)
        was, now = (side.packets[own] for side in (tried.before.chances, tried.after.chances))
        assert now.ready[1] > was.ready[1]
        assert tried.remarks == ()


@settings(SETTINGS, max_examples=5)
@given(operation=farms(), often=st.integers(1, 3))
def test_no_return_of_any_farm_betters_a_chance(operation: Operation, often: int) -> None:
    """Farms drawn at random over the shipped rules, each packet coming back up to three times."""
    plan, table = plan_of(operation), shipped_table()
    without = compute_chances(plan, table, draws=400)

    for packet in list_unsent(plan):
        tweaks = Tweaks(back={packet: often})
        back = compute_chances(plan, table, draws=400, tweaks=tweaks)
        assert (packet, find_better(without, back)) == (packet, [])
