"""Whatever the hour of a flight, the days named for a window of hours before it are right."""

from datetime import UTC, datetime, timedelta

from hypothesis import assume, given
from hypothesis import strategies as st

from compliance.engine.duty_flights import days_before_any_hour

DAY = datetime(2027, 5, 24, tzinfo=UTC)
MINUTES = st.integers(0, 24 * 60 - 1)


@given(hours=st.integers(0, 400), minute=MINUTES)
def test_last_whole_day_ends_before_the_limit_of_any_start(hours: int, minute: int) -> None:
    limit = DAY + timedelta(minutes=minute) - timedelta(hours=hours)
    last = DAY - timedelta(days=days_before_any_hour(hours))

    assert last + timedelta(days=1) <= limit


@given(hours=st.integers(0, 400))
def test_no_later_day_is_whole_for_a_start_at_midnight(hours: int) -> None:
    limit = DAY - timedelta(hours=hours)
    later = DAY - timedelta(days=days_before_any_hour(hours) - 1)

    assert later + timedelta(days=1) > limit


@given(hours=st.integers(0, 200), opens=st.integers(1, 400), minute=MINUTES)
def test_day_between_both_limits_lies_in_the_window_of_any_start(
    hours: int, opens: int, minute: int
) -> None:
    """The first day is the one after the last start's opening, as duties_due.py counts it."""
    first = DAY + timedelta(days=1 - opens // 24)
    last = DAY - timedelta(days=days_before_any_hour(hours))
    assume(first <= last)
    start = DAY + timedelta(minutes=minute)

    assert start - timedelta(hours=opens) <= first
    assert last + timedelta(days=1) <= start - timedelta(hours=hours)
