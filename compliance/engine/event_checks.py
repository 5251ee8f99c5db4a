"""Whether something that happened around flying can have happened so."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from compliance.base.dates import say_date
from compliance.base.problems import Problem, SourceRef
from compliance.facts.events import (
    MAY_BE_AHEAD,
    JobEvent,
    JobEventKind,
    find_flights,
    find_standing_events,
)
from compliance.facts.model import Job, Material, Operation
from compliance.facts.products import (
    LABEL_BARS,
    LABEL_UNREAD,
    NOT_TO_BE_FLOWN,
    READ_THE_LABEL,
    ByAir,
)
from compliance.facts.zones import say_clock, say_moment

LONGEST_FLIGHT = timedelta(hours=24)
MOST_DAYS_AHEAD = 366
_OTHER_DAY = "to take another day as today: --today DATE"

_ANYWAY = 'if it is right, add --anyway "why"'

_Fault = tuple[str, str, str]


def check_event(
    operation: Operation,
    events: tuple[JobEvent, ...],
    event: JobEvent,
    today: date,
    *,
    now: datetime | None = None,
    label_read: bool = False,
    place: SourceRef,
) -> tuple[Problem, ...]:
    """Check one event against the operation, today and the events that stand.

    Shape: every fault found; empty when the event may be kept. An event with a note says why it is
    unusual, so that only what cannot be is held against it. With *label_read* a record of the
    flight has answered already for the label of its product. Codes E31 to E39.
    """
    faults = [
        *_check_future(event, today, now),
        *_check_span(event),
        *(() if event.note else _check_unusual(operation, events, event)),
        *(() if event.note or label_read else _check_label(operation, event)),
        *_check_twice(events, event),
        *_check_withdrawal(events, event),
    ]
    return tuple(
        Problem(place=place, code=f"E{number}", sentence=sentence, hint=hint)
        for number, sentence, hint in faults
    )


def _check_future(event: JobEvent, today: date, now: datetime | None) -> Iterator[_Fault]:
    last = event.end or event.start
    if last is not None and now is not None and last > now:
        yield (
            "31",
            f"{say_moment(last)} is in the future",
            f"log a flight when it has ended; {_OTHER_DAY}",
        )
        return
    day = last.date() if last is not None else event.on
    ahead = MOST_DAYS_AHEAD if event.kind in MAY_BE_AHEAD else 0
    if day > today + timedelta(days=ahead):
        hint = f"log things when they have happened; {_OTHER_DAY}"
        if ahead:
            hint = f"a {event.kind} day can lie at most {MOST_DAYS_AHEAD} days ahead"
        yield "31", f"{say_date(day)} is in the future", hint


def _check_span(event: JobEvent) -> Iterator[_Fault]:
    if event.start is None or event.end is None:
        return
    # As instants: on the night clocks go back the wall clock alone would mislead.
    length = timedelta(seconds=event.end.timestamp() - event.start.timestamp())
    if length <= timedelta(0):
        sentence = f"the flight ends at {say_moment(event.end)}, "
        sentence += f"not after it begins at {say_moment(event.start)}"
        hint = 'for a flight past midnight write the day too: --to "2027-06-02 00:40"'
        yield "32", sentence, hint
    elif length > LONGEST_FLIGHT:
        sentence = "the flight would last longer than 24 hours"
        yield "33", sentence, "correct the day, or log one flight a day"


def _check_unusual(
    operation: Operation, events: tuple[JobEvent, ...], event: JobEvent
) -> Iterator[_Fault]:
    """Find what happens, but is more often a slip."""
    job = next((one for one in operation.jobs if one.id == event.job), None)
    if job is None or event.kind is not JobEventKind.FLEW:
        return
    anyway = _ANYWAY
    if not job.first_day <= event.on <= job.last_day:
        span = f"{say_date(job.first_day)} to {say_date(job.last_day)}"
        sentence = f"{say_date(event.on)} is outside the days of {job.id}, {span}; "
        sentence += "the papers were planned for those days only"
        yield "34", sentence, f"correct the day, or the days of the job; {anyway}"
    yield from _check_listed(job, event, anyway)
    for other in find_flights(events):
        if other.aircraft == event.aircraft and _overlap(other, event) and not _same(other, event):
            sentence = f"{event.aircraft} was already in the air for {other.job} then "
            sentence += f"(flight {other.number})"
            yield "36", sentence, f"correct the times or the aircraft; {anyway}"


def _check_label(operation: Operation, event: JobEvent) -> Iterator[_Fault]:
    """Ask about a product of the file whose label bars the air, or was not read for it."""
    product = operation.name_product(event.product) if event.product else None
    job = next((one for one in operation.jobs if one.id == event.job), None)
    if product is None or event.kind is not JobEventKind.FLEW:
        return
    kept = 'if it was flown all the same, keep the truth with --anyway "why"'
    if product.by_air is ByAir.NO:
        yield "38", f"{product.name}: {LABEL_BARS}", f"{NOT_TO_BE_FLOWN}; {kept}"
    elif product.by_air is ByAir.UNKNOWN and job is not None and job.material is Material.PESTICIDE:
        yield "39", f"{product.name}: {LABEL_UNREAD}", f"{READ_THE_LABEL}; {kept}"


def _check_listed(job: Job, event: JobEvent, anyway: str) -> Iterator[_Fault]:
    for word, named, known in (
        ("aircraft", event.aircraft, job.aircraft),
        ("pilot", event.pilot, job.pilots),
    ):
        if named and named not in known:
            sentence = f"{job.id} does not list the {word} {named}, so nobody checked its papers"
            hint = f"it lists {', '.join(known)}; add it to the job; {anyway}"
            yield "35", sentence, hint


def _overlap(one: JobEvent, other: JobEvent) -> bool:
    spans = [
        (event.start.timestamp(), event.end.timestamp())
        for event in (one, other)
        if event.start is not None and event.end is not None
    ]
    if len(spans) < 2:  # noqa: PLR2004 - two events
        return False
    (start, end), (other_start, other_end) = spans
    return start < other_end and other_start < end


def _same(one: JobEvent, other: JobEvent) -> bool:
    return _say_same(one) == _say_same(other)


def _say_same(event: JobEvent) -> tuple[object, ...]:
    # As instants: two moments in the hour a clock shows twice are equal on the wall.
    moments = (one and one.timestamp() for one in (event.start, event.end))
    return (event.kind, event.job, event.on, *moments, event.aircraft, event.pilot)


def _check_twice(events: tuple[JobEvent, ...], event: JobEvent) -> Iterator[_Fault]:
    """Refuse what is there already, down to the minute."""
    if event.kind is JobEventKind.WITHDRAWN:
        return
    for other in find_standing_events(events):
        ticked = (other.duty, other.occasion) == (event.duty, event.occasion)
        if _same(other, event) and ticked:
            when = f" at {say_clock(event.start)}" if event.start is not None else ""
            sentence = f"event {other.number} says the same: {event.kind} on "
            sentence += f"{say_date(event.on)}{when}"
            yield "36", sentence, "nothing needs to be added"
            return


def _check_withdrawal(events: tuple[JobEvent, ...], event: JobEvent) -> Iterator[_Fault]:
    if event.kind is not JobEventKind.WITHDRAWN:
        return
    number = event.withdraws
    if number in {one.number for one in find_standing_events(events)}:
        return
    known = any(one.number == number for one in events)
    sentence = f"event {number} {'is withdrawn already' if known else 'is not in the log'}"
    yield "37", sentence, "mailby show lists events with their numbers"
