"""A plan with what it was made from, as the use cases hand it on."""

from dataclasses import dataclass

from compliance.engine.plan_model import Plan
from compliance.facts.events import JobEvent
from compliance.facts.log import LogEntry
from compliance.rules.model import RulesTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan with the table and log it was made from; events when duties were asked for.

    ``before_trips`` is the plan as it was before its acts in town waited for their trips.
    """

    plan: Plan
    table: RulesTable
    log: tuple[LogEntry, ...]
    events: tuple[JobEvent, ...] = ()
    before_trips: Plan | None = None
