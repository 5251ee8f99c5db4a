"""Duties in the order of their moments, whichever clock each of them is on."""

from collections.abc import Iterable
from datetime import datetime, time
from zoneinfo import ZoneInfo

from compliance.engine.duties_model import DueDuty
from compliance.facts.model import Job, Operation
from compliance.facts.zones import choose_zones, find_zone

# Of the end of a day in a place whose clock nobody knows the sooner one is the careful one.
_SOONEST = "UTC"
_DAY_ENDS = time(23, 59, 59)


def sort_duties(operation: Operation, duties: Iterable[DueDuty]) -> tuple[DueDuty, ...]:
    """Put duties in the order of the last moment that is on time.

    Shape: those of one moment stay in the order in which they came. A duty with a day and no hour
    counts at the end of that day on the clock of its job, without a job on that of the operation;
    where several clocks may be meant, or none is known, on the one whose day ends first.
    """
    jobs = {one.id: one for one in operation.jobs}
    clocks: dict[str, tuple[ZoneInfo, ...]] = {}

    def place(duty: DueDuty) -> float:
        if duty.due_at is not None:
            return duty.due_at.timestamp()
        if duty.job not in clocks:
            clocks[duty.job] = _list_clocks(operation, jobs.get(duty.job))
        ends = (datetime.combine(duty.due_on, _DAY_ENDS, one) for one in clocks[duty.job])
        return min(one.timestamp() for one in ends)

    return tuple(sorted(duties, key=place))


def _list_clocks(operation: Operation, job: Job | None) -> tuple[ZoneInfo, ...]:
    known = find_zone(operation, job)
    names = (known,) if known else choose_zones(operation, job)
    return tuple(map(ZoneInfo, names or (_SOONEST,)))
