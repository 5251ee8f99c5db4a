"""Which edition of its rule the wait of a packet at an office counts by.

As in `edition_waits`: that of the day the wait began, or the longer one that comes into force
before the wait would be over. What comes into force later changes nothing for what was filed
before.
"""

from collections.abc import Sequence
from datetime import date

from compliance.engine.office_days import OfficeDays
from compliance.rules.editions import nearest, touches
from compliance.rules.model import StepRow


def find_rows_for(
    step: str,
    began_on: date,
    rows: tuple[StepRow, ...],
    editions: Sequence[StepRow],
    days: OfficeDays,
) -> tuple[StepRow, ...]:
    """Give rows with the edition that counts for a step that began on a day in place of another.

    Shape: *rows* as they are where *editions* has no other edition of the step.

    Raises:
        OutOfRangeError: A day is outside its calendar.
    """
    same = [row for row in editions if row.id == step]
    if len(same) <= 1:
        return rows
    found = pick_edition(same, began_on, days)
    return tuple(found if row.id == step else row for row in rows)


def pick_edition(same: Sequence[StepRow], began_on: date, days: OfficeDays) -> StepRow:
    """Pick the edition of a wait at an office that began on a day, by its usual days.

    Raises:
        OutOfRangeError: A day is outside its calendar.
    """
    chosen = [row for row in same if row.in_force_on(began_on)] or [nearest(same, began_on)]
    while True:
        ends = [_find_end(row, began_on, days) for row in chosen]
        last = max(ends)
        met = [row for row in same if row in chosen or touches(row, began_on, last)]
        if len(met) == len(chosen):
            return chosen[ends.index(last)]
        chosen = met


def _find_end(row: StepRow, began_on: date, days: OfficeDays) -> date:
    usual = row.days.usual if row.days is not None else 0
    return date.fromordinal(days.calendar(row.calendar).forward(began_on.toordinal(), usual))
