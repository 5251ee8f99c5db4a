"""An extra drive to town on a day nobody could leave: which places it reaches, and which not."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple, TypeVar

from compliance.base.dates import WEEKDAYS, say_date
from compliance.base.holidays import Holiday, bank_closures, federal_closures, postal_closures
from compliance.base.problems import RefusedError
from compliance.engine.days import OperationDays
from compliance.engine.plan_model import Plan
from compliance.facts.model import Closure, Operation
from compliance.facts.places import PLACE_WORDS, PlaceKind, find_place_days, find_place_kind
from compliance.rules.model import CalendarName, StepKind

_PEOPLE = ("field", "vehicle")
_ROOM = timedelta(days=30)
_SATURDAY = 5
_FOR_HOME = "for what is done at home or online"
_HOLIDAYS = {
    CalendarName.NOTARY: bank_closures,
    CalendarName.BANK: bank_closures,
    CalendarName.POST_OFFICE: postal_closures,
    CalendarName.POSTAL: postal_closures,
    CalendarName.FEDERAL: federal_closures,
}


class Errand(NamedTuple):
    """A kind of place where something is left to do, and the calendar that act counts on."""

    calendar: CalendarName
    done_at: str
    kind: PlaceKind


class HomeWork(NamedTuple):
    """An act away from town that asks for a day without other work, and its calendar."""

    calendar: CalendarName
    done_at: str


_Work = TypeVar("_Work", Errand, HomeWork)


def open_day(operation: Operation, plan: Plan, day: date) -> tuple[Operation, str]:
    """Let somebody go to town, or leave other work, on a day of a closure of people.

    Places themselves keep their days: no drive opens a door. The errands are those still to do in
    *plan*.

    Shape: the operation, and in words what the day is for; the same operation when nothing kept
    anybody at home that day.

    Raises:
        RefusedError: The day is past, or no place with something to do is open, with each reason.
    """
    if day < plan.as_of:
        raise RefusedError(
            f"the trip {say_date(day)} is past; today is {say_date(plan.as_of)}",
            hint="give a day to come",
        )
    opened = replace(operation, closures=tuple(cut_closures(operation.closures, day)))
    errands = tuple(dict.fromkeys(_list_errands(plan)))
    before, after = _list_open(operation, errands, day), _list_open(opened, errands, day)
    gained = [one for one in after if one not in before]
    # Of a place whose days nobody wrote down it is not said that it is open.
    before = [one for one in before if _is_known(operation, one)]
    shut = [one for one in errands if one not in after]
    closed = _join(f"the {_word(one)} is closed ({_say_why(opened, one, day)})" for one in shut)
    tail = f"; {closed}" if closed else ""
    if gained:
        return opened, f"{_say_gained(operation, gained, day)}{tail}"
    work = tuple(dict.fromkeys(_list_home_work(plan)))
    if _list_open(opened, work, day) != _list_open(operation, work, day):
        leaves = f"somebody leaves other work on {say_date(day)} after all, {_FOR_HOME}"
        return opened, f"{leaves}{tail}"
    as_it_is = _join(f"the {_word(one)}" for one in before)
    if not errands:
        nothing = f"a trip on {say_date(day)} changes nothing: nothing is left to do in town"
        return operation, nothing
    if not shut:
        there = f"to {as_it_is}" if before else "to town"
        return operation, (
            f"a trip on {say_date(day)} changes nothing: your facts let somebody go {there} that "
            "day as it is"
        )
    if before:
        closed += f"; you can go to {as_it_is} that day as it is"
    raise RefusedError(
        f"a trip on {say_date(day)} changes nothing: {closed}",
        hint="a trip helps on a day on which the place is open and your facts keep you at home",
    )


def _say_gained(operation: Operation, gained: list[Errand], day: date) -> str:
    """Say which places a drive reaches."""
    there = _join(
        f"the {_word(one)}"
        + ("" if _is_known(operation, one) else " (its days are not in your facts)")
        for one in gained
    )
    return f"somebody goes to town on {say_date(day)} after all, to {there}"


def cut_closures(
    closures: tuple[Closure, ...], day: date, who: tuple[str, ...] = _PEOPLE
) -> Iterator[Closure]:
    """Take one day out of the closures of somebody, of people by default."""
    eve, morrow = day - timedelta(days=1), day + timedelta(days=1)
    for one in closures:
        if one.who not in who or not one.first_day <= day <= one.last_day:
            yield one
            continue
        if one.first_day <= eve:
            yield replace(one, last_day=eve)
        if morrow <= one.last_day:
            yield replace(one, first_day=morrow)


def _list_errands(plan: Plan) -> Iterator[Errand]:
    """List the places where the plan still has something to do."""
    for paper in plan.papers:
        for step in paper.steps:
            kind = find_place_kind(step.row.done_at) if step.kind is StepKind.ACT else None
            if kind is not None and step.done_on is None:
                yield Errand(step.calendar, step.row.done_at, kind)


def _list_home_work(plan: Plan) -> Iterator[HomeWork]:
    """List what the plan still has to do away from town that a closure of people keeps it from."""
    for paper in plan.papers:
        for step in paper.steps:
            is_left = step.kind is StepKind.ACT and step.done_on is None
            if is_left and find_place_kind(step.row.done_at) is None:
                yield HomeWork(step.calendar, step.row.done_at)


def _list_open(operation: Operation, errands: tuple[_Work, ...], day: date) -> list[_Work]:
    days = OperationDays(operation, day - _ROOM, day + _ROOM)
    number = day.toordinal()
    return [one for one in errands if days.at_place(one.calendar, one.done_at).is_open(number)]


def _is_known(operation: Operation, errand: Errand) -> bool:
    """Tell whether the days of a place are known: from the facts or from a calendar of offices."""
    return errand.calendar in _HOLIDAYS or bool(find_place_days(operation.places, errand.kind))


def _word(errand: Errand) -> str:
    return PLACE_WORDS[errand.kind]


def _join(words: Iterator[str]) -> str:
    return " and ".join(dict.fromkeys(words))


def _none(_first: date, _last: date) -> tuple[Holiday, ...]:
    return ()


def _say_why(operation: Operation, errand: Errand, day: date) -> str:
    """Say why a place is closed on a day: its own closure, a holiday, or its weekdays."""
    for closure in operation.closures:
        if closure.who == errand.calendar and closure.first_day <= day <= closure.last_day:
            return closure.why or "closed in your facts"
    for holiday in _HOLIDAYS.get(errand.calendar, _none)(day, day):
        return holiday.name
    days = find_place_days(operation.places, errand.kind)
    if errand.calendar is CalendarName.NOTARY:
        days = operation.notary_days
    elif errand.calendar is CalendarName.POST_OFFICE:
        days = operation.post_office_days
    if not days:
        return "on a weekend" if day.weekday() >= _SATURDAY else "closed in your facts"
    return f"open {', '.join(one.capitalize() for one in WEEKDAYS if one in days)}"
