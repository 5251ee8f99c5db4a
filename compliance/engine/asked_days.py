"""The named days of a change done and nothing else, and which of them a job cannot do without."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta

from compliance.base.dates import WEEKDAYS
from compliance.engine.extra_trip import cut_closures
from compliance.engine.in_the_way import Asked
from compliance.engine.plan import build_days
from compliance.engine.plan_model import Plan
from compliance.facts.model import Closure, Operation
from compliance.facts.places import PlaceKind

# Each day tried is a whole plan; more than so many are not.
MOST_TRIED = 8


def do_asked(plan: Plan, changed: Operation, asked: Asked) -> Operation:
    """Do what a change asks for on its named days, and nothing on others.

    *plan* is as it is; of *changed* only the mail and the weekdays of the places are taken. Another
    notary or post office is there on the days named for it, and on no other.
    """
    operation = replace(plan.operation, mail_service=changed.mail_service)
    closures = plan.operation.closures
    for day in asked.trips:
        closures = tuple(cut_closures(closures, day))
    for kind, day in asked.others:
        closures = tuple(cut_closures(closures, day, (str(kind),)))
    if asked.others:
        operation = replace(
            operation,
            notary_days=changed.notary_days,
            post_office_days=changed.post_office_days,
        )
        closures = (*closures, *_list_still_shut(plan, changed, asked))
    return replace(operation, closures=closures)


def keep_needed(asked: Asked, find_first: Callable[[Asked], tuple[date, ...]]) -> Asked:
    """Leave out each named day that costs no job a day when it is left out.

    *find_first* gives the first lawful days of the jobs that a change is offered for, with what is
    asked for done. The latest day is tried first, so that of two that serve the same the earlier
    one stays; at most 8 are tried.
    """
    wanted = find_first(asked)
    days: list[date | tuple[PlaceKind, date]] = [*asked.trips, *asked.others]
    days.sort(key=lambda one: one if isinstance(one, date) else one[1], reverse=True)
    for one in days[:MOST_TRIED]:
        fewer = replace(
            asked,
            trips=tuple(day for day in asked.trips if day != one),
            others=tuple(other for other in asked.others if other != one),
        )
        if find_first(fewer) == wanted:
            asked = fewer
    return asked


def _list_still_shut(plan: Plan, changed: Operation, asked: Asked) -> Iterator[Closure]:
    """List the days on which the other places of a change would be open though none is named."""
    before = plan.operation
    packets = tuple(paper.packet for paper in plan.papers)
    last = build_days(before, packets, plan.as_of).last
    weekdays = (
        (PlaceKind.NOTARY, before.notary_days, changed.notary_days),
        (PlaceKind.POST_OFFICE, before.post_office_days, changed.post_office_days),
    )
    for kind, old, new in weekdays:
        more = {WEEKDAYS.index(name) for name in new} - {WEEKDAYS.index(name) for name in old}
        for at in range((last - plan.as_of).days + 1):
            day = plan.as_of + timedelta(days=at)
            if day.weekday() in more and (kind, day) not in asked.others:
                yield Closure(who=str(kind), first_day=day, last_day=day, why="")
