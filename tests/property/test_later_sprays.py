"""A later first spray, or quicker mail, takes no day away on which a packet has a wanted chance.

Our own promise: more time, or less of it on the way, helps in each draw, and a trip that moves with
it can be moved back, so no tolerance is needed.
"""

from datetime import date, timedelta

import pytest
from sqlmodel import Session

from compliance.app.what_if import Tried, try_changes
from compliance.engine.chance_model import Curve
from compliance.engine.wish import Wish
from tests.property.test_returns_tried import is_above

DAY, FIRST = date(2027, 1, 11), date(2027, 5, 24)


def find_worse(tried: Tried) -> list[str]:
    """List what is worse of a packet with the change: a chance of a day, or a day for a chance."""
    old, new = tried.before.chances, tried.after.chances
    assert old is not None
    assert new is not None
    after = {one.packet: one for one in new.packets}
    found = []
    for was in old.packets:
        now = after[was.packet]
        pairs = (
            ("", was.by_mail_day, now.by_mail_day, was.mail_by, now.mail_by),
            (
                " back once",
                was.by_mail_day_with_return,
                now.by_mail_day_with_return,
                was.mail_by_with_return,
                now.mail_by_with_return,
            ),
        )
        for what, first, then, day, moved in pairs:
            if is_above(first, then) or starts_later(first, then):
                found.append(f"{was.packet}: the chance of a day to send it off{what}")
            if (moved or date.min) < (day or date.min):
                found.append(f"{was.packet}: mail by {day} -> {moved}{what}")
    return found


def starts_later(old: Curve, new: Curve) -> bool:
    """Tell whether the days on which it could go begin later."""
    return bool(old) and (not new or new[0][0] > old[0][0])


@pytest.mark.parametrize("days", [7, 56, 91])
def test_later_first_spray_takes_no_day_away(session: Session, days: int) -> None:
    """The licenses' trip to town moves; after eight weeks, on 19 July, into March."""
    wish = Wish(first_spray=FIRST + timedelta(days=days))
    tried = try_changes(session, None, DAY, wish, chance=0.9)

    assert find_worse(tried) == []
    moved = [
        name
        for name, trip in tried.after.trip_days.items()
        if name in tried.before.trip_days and trip.on > tried.before.trip_days[name].on
    ]
    assert moved


def test_express_mail_takes_no_day_away(session: Session) -> None:
    """Quicker mail may move a trip too."""
    tried = try_changes(session, None, DAY, Wish(mail=(("all", "express"),)), chance=0.9)

    assert find_worse(tried) == []


@pytest.mark.parametrize("day", [DAY, date(2027, 3, 1)])
def test_no_chance_with_a_return_is_above_the_one_without(session: Session, day: date) -> None:
    """Beside each other in the plan, and beside a return that is tried."""
    wish = Wish(returned=("ne.commercial-applicator:wren",))
    tried = try_changes(session, None, day, wish, chance=0.9)

    for plan in (tried.before, tried.after):
        assert plan.chances is not None
        for one in plan.chances.packets:
            assert not is_above(one.by_mail_day_with_return, one.by_mail_day)
            assert (one.mail_by_with_return or date.min) <= (one.mail_by or date.min) or (
                one.by_mail_day_with_return == ()
            )
