"""When the clock of a duty starts: occasions from jobs, flights, events, papers and months."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from compliance.base.dates import add_days, add_months, say_date
from compliance.engine.duties_model import OF_FLIGHT
from compliance.engine.duty_ground import Ground
from compliance.engine.validity import day_of_year
from compliance.facts.catalog import Subject
from compliance.facts.events import TIMED, JobEvent, JobEventKind
from compliance.facts.model import Holder, HolderKind
from compliance.facts.zones import add_hours, say_clock, say_moment
from compliance.rules.model import DutyEvent, DutyRow

# Months further ahead help nobody; older ones than a year are told of in one line.
MONTHS_BACK = 12
_MOST_MONTHS_BACK = 120
MONTHS_AHEAD = 13


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """One start of a clock.

    ``began_on`` and ``ended_on`` are the first and last day of what happened; ``began_at`` and
    ``ended_at`` its moments when they are known. ``subjects`` are the aircraft and pilots it is
    about, empty when it is about no job. ``pilot`` and ``aircraft`` narrow whose papers it is
    about; when it is ``personal``, a named one leaves out the papers of everybody else. ``zone`` is
    the time zone of the place of a flight that is only planned, empty when nobody knows it;
    ``hour_fault`` says why the hour its job has for it cannot be taken; ``any_hour`` that there is
    none. ``days`` are the first and last day it is about where these are others.
    """

    key: str
    about: str
    began_on: date
    ended_on: date
    began_at: datetime | None = None
    ended_at: datetime | None = None
    job: str = ""
    subjects: tuple[Subject, ...] = ()
    aircraft: str = ""
    pilot: str = ""
    any_hour: bool = False
    personal: bool = False
    zone: str = ""
    hour_fault: str = ""
    done_on: date | None = None
    days: tuple[date, date] | None = None

    @property
    def about_days(self) -> tuple[date, date]:
        """Give the first and the last of the days it is about, on which papers are looked at."""
        return self.days or (self.began_on, self.ended_on)

    def fits(self, holder: Holder) -> bool:
        """Tell whether it is about this holder."""
        if self.personal and (self.pilot or self.aircraft):
            return holder.ref in {self.pilot, self.aircraft} - {""}
        if holder.kind is HolderKind.PILOT:
            return self.pilot in {"", holder.ref}
        return holder.kind is not HolderKind.AIRCRAFT or self.aircraft in {"", holder.ref}


def list_occasions(
    ground: Ground, event: DutyEvent, row: DutyRow, holder: Holder
) -> Iterator[Occasion]:
    """List every occasion of one event for a duty of one holder.

    Flights that are only planned are left to `duty_flights`, which must know what is in time.
    """
    if event in {DutyEvent.FLIGHT, DutyEvent.RE_ENTRY_ENDS}:
        yield from _flights(ground, event)
    elif event in {DutyEvent.JOB_START, DutyEvent.JOB_END}:
        yield from _jobs(ground, event)
    elif event is DutyEvent.MONTH_FLOWN:
        yield from _months(ground, row, holder)
    elif event is DutyEvent.SEASON_YEAR:
        yield from _years(ground, row)
    elif event in {DutyEvent.PACKET_FILED, DutyEvent.PAPER_ISSUED, DutyEvent.PAPER_ENDS}:
        yield from _paper_days(ground, event, row, holder)
    elif event in _KIND_OF:
        yield from _told(ground, event, row, holder)


_KIND_OF = {
    DutyEvent.ACCIDENT: JobEventKind.ACCIDENT,
    DutyEvent.DEPARTURE: JobEventKind.DEPARTURE,
    DutyEvent.ADDRESS_CHANGE: JobEventKind.MOVED,
    DutyEvent.CHANGE: JobEventKind.CHANGED,
    DutyEvent.REQUEST: JobEventKind.ASKED,
    DutyEvent.TRAINING: JobEventKind.TRAINED,
    DutyEvent.REFUSAL: JobEventKind.REFUSED,
}
EVENT_OF = {kind: event for event, kind in _KIND_OF.items()}
_WORDS = {
    JobEventKind.ACCIDENT: "the accident",
    JobEventKind.DEPARTURE: "the departure from the rules",
    JobEventKind.MOVED: "the move",
    JobEventKind.CHANGED: "the change",
    JobEventKind.ASKED: "the request",
    JobEventKind.TRAINED: "the training or examination",
    JobEventKind.REFUSED: "the refusal",
}


def _flights(ground: Ground, event: DutyEvent) -> Iterator[Occasion]:
    for flight in ground.events:
        if flight.kind is not JobEventKind.FLEW or flight.start is None or flight.end is None:
            continue
        subjects = ground.subjects_of(flight.job, flight.aircraft, flight.pilot)
        began, ended = flight.start, flight.end
        when = f"{say_date(began.date())} {say_clock(began)} to {say_clock(ended)}"
        about = f"the flight of {when} {ended.tzname()}, {flight.job}"
        if event is DutyEvent.RE_ENTRY_ENDS:
            if flight.re_entry_hours is None:
                continue
            began = ended = add_hours(ended, flight.re_entry_hours)
            about = f"the restricted-entry interval that ends {say_moment(ended)}, {flight.job}"
        yield Occasion(
            key=f"{OF_FLIGHT}{flight.number}",
            about=about,
            began_on=began.date(),
            ended_on=ended.date(),
            began_at=began,
            ended_at=ended,
            job=flight.job,
            subjects=subjects,
            aircraft=flight.aircraft,
            pilot=flight.pilot,
            days=(flight.start.date(), flight.end.date()),
        )


def _jobs(ground: Ground, event: DutyEvent) -> Iterator[Occasion]:
    for job in ground.operation.jobs:
        starts = event is DutyEvent.JOB_START
        day = job.first_day if starts else job.last_day
        yield Occasion(
            key=f"{job.id}@{day}",
            about=f"{job.id}, which {'begins' if starts else 'ends'} on {say_date(day)}",
            began_on=day,
            ended_on=day,
            job=job.id,
            subjects=ground.subjects_of(job.id),
        )


def _months(ground: Ground, row: DutyRow, holder: Holder) -> Iterator[Occasion]:
    """Give the calendar months in which a paper is in force, those of a year ahead at most."""
    covers = ground.papers.list_covers(row.paper, holder)
    floor = add_months(ground.as_of.replace(day=1), -_MOST_MONTHS_BACK)
    stop = add_months(ground.as_of.replace(day=1), MONTHS_AHEAD)
    begins = min((one.begins or ground.as_of for one in covers), default=stop)
    first = max(begins, floor).replace(day=1)
    while first < stop:
        last = add_days(add_months(first, 1), -1)
        if ground.papers.is_in_force(row.paper, holder, first, last):
            yield Occasion(
                key=f"{first:%Y-%m}",
                about=f"the month of {first:%b} {first.year}, flights or none",
                began_on=last,
                ended_on=last,
                days=(first, last),
            )
        first = add_months(first, 1)


def _years(ground: Ground, row: DutyRow) -> Iterator[Occasion]:
    years: dict[int, list[str]] = {}
    for job in ground.operation.jobs:
        if ground.holds(row, ground.subjects_of(job.id)):
            for year in range(job.first_day.year, job.last_day.year + 1):
                years.setdefault(year, []).append(job.id)
    for year, jobs in years.items():
        day = day_of_year(row.year_day, year + 1 if row.next_year else year)
        yield Occasion(
            key=str(year),
            about=f"the work of {year}: {', '.join(jobs)}",
            began_on=day,
            ended_on=day,
            days=(date(year, 1, 1), date(year, 12, 31)),
        )


def _paper_days(
    ground: Ground, event: DutyEvent, row: DutyRow, holder: Holder
) -> Iterator[Occasion]:
    title = ground.title_of(row.paper)
    held = ground.find_held(row.paper, holder)
    mailed = ground.find_mailing(row.paper, holder)
    if event is DutyEvent.PACKET_FILED:
        day, words = mailed, f"{title}, sent off on"
        mailed = None
    elif event is DutyEvent.PAPER_ISSUED:
        day, words = (held.issued_on if held is not None else None), f"{title}, issued on"
        mailed = None
    else:
        day, words = ground.last_day_of(row.paper, holder), f"{title}, in force through"
    if day is not None:
        yield Occasion(
            key=str(day),
            about=f"{words} {say_date(day)}",
            began_on=day,
            ended_on=day,
            done_on=mailed,
        )


def _told(ground: Ground, event: DutyEvent, row: DutyRow, holder: Holder) -> Iterator[Occasion]:
    kind = _KIND_OF[event]
    found = [one for one in ground.events if one.kind is kind and one.duty in {"", row.id}]
    if event is DutyEvent.TRAINING:
        # The clock starts anew each time, so only the last one counts.
        own = [one for one in found if _occasion(ground, one, holder).fits(holder)]
        found = own[-1:]
    for one in found:
        yield _occasion(ground, one, holder)


def _occasion(ground: Ground, event: JobEvent, holder: Holder) -> Occasion:
    words = _WORDS.get(event.kind, str(event.kind))
    when = say_moment(event.start) if event.start is not None else say_date(event.on)
    personal = event.kind not in TIMED
    # Two people may move on one day, and each has to tell of it alone.
    own = personal and holder.kind is not HolderKind.OPERATION
    tail = (event.job, ground.operation.say_holder(holder) if own else "")
    return Occasion(
        key=f"event-{event.number}",
        about=", ".join(filter(None, (f"{words} of {when}", *tail))),
        began_on=event.on,
        ended_on=event.on,
        began_at=event.start,
        ended_at=event.start,
        job=event.job,
        subjects=ground.subjects_of(event.job, event.aircraft, event.pilot) if event.job else (),
        aircraft=event.aircraft,
        pilot=event.pilot,
        personal=personal,
    )
