"""Trips as plain lines, from which the text, the calendar and the day's list are made."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from compliance.base.dates import WEEKDAYS, say_date, say_days
from compliance.engine.agenda import say_here, subject_of
from compliance.engine.awaited import list_holding
from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import HomeAct, NoDay, Stop, TownAct, Trip, TripPlan
from compliance.engine.trip_tasks import ENOUGH_DAYS, SOON_DAYS
from compliance.facts.places import PLACE_WORDS, Place, PlaceKind, say_spans
from compliance.outputs.trip_bring import Group, list_along, list_bring
from compliance.outputs.words import say_if_came
from compliance.rules.model import RulesTable

_NAMED_DAYS = 4
_SAY_SOON = (
    f"What has no safe day left may wait for other errands for {say_days(SOON_DAYS)} in all, "
    "counted from the first day it could be done after its safe day and after your facts were last "
    "changed; after them it goes on the first day it can, and a day that goes by without it gives "
    "it no new week."
)
_SAY_LATE = (
    "What has no day in time left waits for no other errand: it goes on the first day it can, "
    "because each day makes it later, even where waiting would save a drive."
)
# Of these the facts always know the days.
_WITH_DAYS = frozenset({PlaceKind.NOTARY, PlaceKind.POST_OFFICE})


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLines:
    """One place: its kind with name, hours and telephone, what to do on the way and there."""

    heading: str
    on_the_way: tuple[Group, ...]
    acts: tuple[Group, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TripPage:
    """One trip in words; ``number`` counts from 1 by day."""

    number: int
    on: date
    reason: str
    before_leaving: tuple[Group, ...]
    stops: tuple[StopLines, ...]
    bring: tuple[Group, ...]
    along: tuple[str, ...]
    look_out: tuple[str, ...]


def compute_trip_pages(plan: Plan, trips: TripPlan, table: RulesTable) -> tuple[TripPage, ...]:
    """Put each trip into words, by day."""
    return tuple(
        TripPage(
            number=number,
            on=trip.on,
            reason=_say_reason(plan, trip.forced_by),
            before_leaving=_by_subject(plan, trip.before_leaving),
            stops=tuple(_say_stop(plan, stop, trip) for stop in trip.stops),
            bring=list_bring(plan, trip, table),
            along=list_along(plan, trip),
            look_out=_list_look_out(trip),
        )
        for number, trip in enumerate(trips.trips, 1)
    )


def say_act(plan: Plan, act: TownAct | HomeAct) -> str:
    """Name an act with what it is for."""
    return f"{act.step.row.title} - {subject_of(plan, act.paper)}"


def _by_subject(plan: Plan, acts: Iterable[HomeAct]) -> tuple[Group, ...]:
    """Gather work at home by the paper it is for."""
    found: dict[str, list[str]] = {}
    for act in acts:
        found.setdefault(subject_of(plan, act.paper), []).append(act.step.row.title)
    return tuple(Group(text=text, parts=tuple(parts)) for text, parts in found.items())


def _by_title(plan: Plan, acts: Iterable[TownAct]) -> tuple[Group, ...]:
    """Gather acts by what is done: several packets are mailed at one counter."""
    found: dict[str, list[str]] = {}
    for act in acts:
        found.setdefault(act.step.row.title, []).append(subject_of(plan, act.paper))
    return tuple(Group(text=text, parts=tuple(parts)) for text, parts in found.items())


def _list_look_out(trip: Trip) -> tuple[str, ...]:
    """List what to look out for: hours that do not go together, places nobody described."""
    lines = [f"hours: {trip.hours_note}"] if trip.hours_note else []
    unknown = dict.fromkeys(
        PLACE_WORDS[stop.kind]
        for stop in trip.stops
        if stop.place is None and stop.kind not in _WITH_DAYS
    )
    lines.extend(
        f"the days of the {word} are not in your facts (places): telephone before you drive"
        for word in unknown
    )
    return tuple(lines)


def _say_stop(plan: Plan, stop: Stop, trip: Trip) -> StopLines:
    return StopLines(
        heading=say_place(stop, trip.on),
        on_the_way=_by_subject(plan, stop.on_the_way),
        acts=_by_title(plan, stop.acts),
    )


def say_place(stop: Stop, on: date) -> str:
    """Name a stop: its kind, and name, hours of that day and telephone when they are known."""
    word = PLACE_WORDS[stop.kind]
    return f"{word}: {describe_place(stop.place, on)}" if stop.place is not None else word


def describe_place(place: Place, on: date) -> str:
    """Describe a place with its hours of one day."""
    spans = place.spans_on(WEEKDAYS[on.weekday()])
    parts = [str(place)]
    if spans:
        parts.append(f"open {say_spans(spans)}")
    if place.phone:
        parts.append(place.phone)
    return ", ".join(parts)


def _say_reason(plan: Plan, act: TownAct) -> str:
    """Say which act forces a trip, by when, and why that day."""
    return f"{say_act(plan, act)}: {say_by(plan, act)}"


def say_by(plan: Plan, act: TownAct) -> str:
    """Say by when an act must be done in town, and why that day."""
    day = say_date(act.by)
    if act.is_late:
        return f"as soon as possible, {day}; no day in time is left"
    if act.waited_for_by:
        follower = plan.find_step(act.waited_for_by)
        title = follower.row.title if follower is not None else act.waited_for_by
        return f"by {day}, because this comes after it: {title}"
    if act.is_safe:
        return f"by {day}, which leaves room for one return and slow offices"
    last = act.step.last
    if act.is_soon and act.by != last:
        end = f"; the last day in time is {say_date(last)}" if last is not None else ""
        wait = "the first day it can be done"
        if act.by > act.first:
            wait = f"the end of the {say_days(SOON_DAYS)} it may wait for other errands"
        return f"by {day}, {wait}, because no room is left for a return{end}"
    return f"by {day}, the last day in time; no room is left for a return"


def say_fewest(trips: TripPlan) -> str:
    """Say how many trips are the fewest, whether that is proved, and what is saved."""
    count = len(trips.trips)
    proof = "proved" if trips.proved else "not proved; fewer may be possible"
    saved = f"Packet by packet it would be {trips.apart} drives." if trips.apart > count else ""
    return f"Fewest: {count} ({proof}). {saved}".strip()


def say_room(trips: TripPlan) -> str:
    """Say what was chosen among all answers with as few trips."""
    late = any(act.is_late for trip in trips.trips for act in trip.acts)
    rules = f"{_SAY_SOON} {_SAY_LATE}" if late else _SAY_SOON
    if trips.room_days is None:
        return (
            "Of all ways with so few trips this is an early one: each act is on the first day it "
            f"can be done. {rules}"
        )
    return (
        "Of all ways with so few trips this one leaves the most room: every act is on its first "
        f"possible day, or at least {say_days(trips.room_days)} before the day it must be done by. "
        f"Earlier than {say_days(ENOUGH_DAYS)} before a safe day is not tried for. {rules}"
    )


def say_no_day(plan: Plan, no_day: NoDay) -> tuple[str, str]:
    """Say which act has no day in time and why, and what would help, empty for the plan's help."""
    act = say_act(plan, no_day.act)
    hoped = _say_hoped(plan, no_day)
    if no_day.is_past or not no_day.shut or no_day.ready > no_day.by:
        return f"{act}: {_say_too_late(no_day, hoped)}", _say_help(no_day)
    head = (
        f"{act}: no day in time from {say_date(no_day.ready)}{hoped} to {say_date(no_day.by)}; "
        f"{', '.join(dict.fromkeys(day.reason for day in no_day.shut))}"
    )
    open_days = [say_date(day.on) for day in no_day.shut if day.is_place_open]
    if open_days:
        return head, f"going to town after all on {_say_some(open_days)}"
    word = PLACE_WORDS[no_day.act.kind]
    return head, f"a {word} that is open on {_say_some([say_date(one.on) for one in no_day.shut])}"


def say_plan_help(plan: Plan, trips: TripPlan) -> str:
    """Say for which late jobs the plan has help that bears on trips; empty for none.

    Those are jobs that hang on an act without a day, and those that a drive after all would help.
    """
    hang = {job for one in trips.no_day for job in one.act.paper.packet.verdict.jobs}
    drives = list_drives(plan)
    jobs = [job for job in plan.helped if job in hang or any(job in own for own in drives.values())]
    if not jobs:
        return ""
    days = ", ".join(say_date(day) for day in drives)
    what = "a day" if len(drives) == 1 else "days"
    names = f", and names {what} to go to town after all: {days}" if drives else ""
    return f"`mailby plan` says what would help {', '.join(jobs)}{names}"


def list_drives(plan: Plan) -> dict[date, tuple[str, ...]]:
    """Give the days on which a drive after all would help late jobs, as the plan has it."""
    days = sorted({day for one in plan.remedies for day in one.trips})
    return {
        day: tuple(dict.fromkeys(one.job for one in plan.remedies if day in one.trips))
        for day in days
    }


def list_waiting_acts(plan: Plan, trips: TripPlan) -> tuple[Group, ...]:
    """List the acts in town without a day, by the overdue papers that each waits for.

    The last day of a mailing is named while it can be met.
    """
    found: dict[tuple[str, ...], list[str]] = {}
    for act in trips.waiting:
        names = tuple(subject_of(plan, one) for one in list_holding(plan, act.paper, act.step))
        if not names:
            raise AssertionError("what waits on no trip waits for an overdue paper")
        last = act.step.last if act.step.id == act.paper.mail_step else None
        by = f"; last day {say_date(last)}" if last and act.step.earliest <= last else ""
        found.setdefault(names, []).append(f"{say_act(plan, act)}{by}")
    return tuple(
        Group(text=f"once {say_here(names)}", parts=tuple(parts)) for names, parts in found.items()
    )


def _say_hoped(plan: Plan, no_day: NoDay) -> str:
    """Say that the first day of an act hangs on an overdue paper; empty when it does not."""
    overdue = list_holding(plan, no_day.act.paper, no_day.act.step)
    return f", {say_if_came(overdue)}," if overdue else ""


def _say_too_late(no_day: NoDay, hoped: str) -> str:
    """Say that the last day has gone, or comes before the first day the act can be done."""
    closed = f"; nobody can go: {'; '.join(no_day.kept_home)}" if no_day.kept_home else ""
    if no_day.is_past:
        return f"its last day in time, {say_date(no_day.by)}, has gone{closed}"
    # The first day on which its place is open and somebody can go, not that of the papers alone.
    first = max(no_day.ready, no_day.act.first)
    return (
        f"no day in time; it can be done from {say_date(first)} on{hoped} and must be done by "
        f"{say_date(no_day.by)}{closed}{_say_plan_day(no_day)}"
    )


def _say_help(no_day: NoDay) -> str:
    if no_day.kept_home:
        return (
            "a trip on a day of that closure after all: `mailby what-if --trip DAY` says what it "
            "gains"
        )
    return ""


def _say_plan_day(no_day: NoDay) -> str:
    """Say why the plan names an earlier last day: it leaves out days without a place or driver."""
    last = no_day.act.step.last
    if last is None or last >= no_day.by:
        return ""
    return (
        f"; the plan's last day, {say_date(last)}, is earlier because on the days between them the "
        "place is closed or nobody can go"
    )


def _say_some(days: list[str]) -> str:
    """Name the last few of several days: the later, the more time to get ready."""
    named = days[-_NAMED_DAYS:]
    more = f" ({len(days) - len(named)} earlier days too)" if len(days) > len(named) else ""
    return f"{' or '.join(named)}{more}"
