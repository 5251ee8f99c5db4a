"""Last days of the duties around a paper or a flight, as their rows count them."""

from datetime import date

from compliance.base.calendars import DayCalendar
from compliance.base.dates import add_days, add_months
from compliance.rules.model import DueUnit, DutyRow


def compute_duty_due(duty: DutyRow, trigger_on: date, federal: DayCalendar) -> date:
    """Compute the last day that is on time for a duty, from the day that triggers it.

    Units: the trigger day is day 0. Calendar days and months are counted plainly and never moved
    off a closed day; business days are counted on *federal*. Before a trigger the answer is the
    latest day from which the whole period still fits, the trigger day being its last. A day of
    next month is in the month after the trigger, that month's last day when it is shorter.

    Raises:
        ValueError: The duty counts clock hours, which a date cannot tell.
        OutOfRangeError: The answer is outside *federal*.

    Source: for example 14 CFR 47.45 (days after), 14 CFR 11.63(d) (days before).
    """
    if duty.unit is DueUnit.HOURS:
        raise ValueError(f"{duty.id} counts clock hours; a day is not exact enough")
    if duty.unit is DueUnit.DAY_OF_NEXT_MONTH:
        following = add_months(trigger_on.replace(day=1), 1)
        last = add_days(add_months(following, 1), -1)
        return last.replace(day=min(duty.count, last.day))
    if duty.unit is DueUnit.BUSINESS_DAYS:
        day = trigger_on.toordinal()
        move = federal.backward if duty.before else federal.forward
        return date.fromordinal(move(day, duty.count))
    count = -duty.count if duty.before else duty.count
    if duty.unit is DueUnit.MONTHS:
        return add_months(trigger_on, count)
    return add_days(trigger_on, count)
