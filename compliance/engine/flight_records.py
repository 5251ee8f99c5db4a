"""Which logged flight a record tells of, what that settles, and which flights have no record."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from compliance.engine.duties_model import (
    OF_FLIGHT,
    DueDuty,
    DutyBook,
    DutyState,
    Span,
    UnwrittenFlight,
)
from compliance.engine.flight_index import FlightIndex
from compliance.engine.record_limits import is_careful
from compliance.engine.records import (
    Lacking,
    RecordRules,
    compute_write_by,
    find_lacking,
)
from compliance.facts.events import JobEvent
from compliance.facts.model import Job
from compliance.facts.products import ByAir
from compliance.facts.records import Application, UsedProduct
from compliance.rules.model import DutyKind, RecordRow

_TWO_DAYS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightRecord:
    """The record of a flight: its number, the day it was first written, what it lacks by rule.

    ``history`` has the day of each version and what that one lacked, oldest first; ``worked_on`` is
    the day of the work as it stands. A record thrown away when its time was over lacks nothing and
    has no day; one read from a table that does not say has none either.
    """

    number: int
    written_on: date | None
    worked_on: date | None = None
    lacking: tuple[Lacking, ...] = ()
    history: tuple[tuple[date | None, tuple[Lacking, ...]], ...] = ()

    @property
    def early_on(self) -> date | None:
        """Give the day it was first written when that is before its work as it stands."""
        return self.written_on if self._is_before_work(self.written_on) else None

    def find_day(self, duty: DueDuty) -> date | None:
        """Give the day of the first version that lacked nothing of a duty; None when not known.

        What was written before the work as it stands was not yet a record of that work.
        """
        found = [one for one in self.history if not self._is_before_work(one[0])]
        whole = (day for day, lacking in found if not _pick_lacks(duty, lacking))
        return next(whole, self.worked_on if self.early_on is not None else self.written_on)

    def _is_before_work(self, day: date | None) -> bool:
        return day is not None and self.worked_on is not None and day < self.worked_on


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightPages:
    """The records of a flight, one for each of its local days that has one, in their order.

    ``bare`` are its hours on the days without. Shape: ``pages`` is never empty.
    """

    pages: tuple[FlightRecord, ...]
    bare: tuple[Span, ...] = ()

    @property
    def numbers(self) -> tuple[int, ...]:
        """Give the numbers of its records, each once."""
        return tuple(dict.fromkeys(one.number for one in self.pages))


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightLog:
    """What is known of flights and their records as of one day.

    ``versions`` are all versions of each record, the one that stands last; ``gone`` has a flight's
    number, the number of a record of it that was thrown away, and the day of that one's work.
    """

    rules: RecordRules
    flights: tuple[JobEvent, ...]
    versions: tuple[tuple[Application, ...], ...]
    gone: tuple[tuple[int, int, date], ...] = ()


def find_flights_of(record: Application, flights: Iterable[JobEvent]) -> tuple[int, ...]:
    """Find the flights a record tells of, by number.

    Shape: those it names that still stand; when none does, those of its job and aircraft whose
    times it overlaps. A record without times is of the flight of its day when there is only one.
    """
    own = [one for one in flights if one.job == record.job]
    named = tuple(one.number for one in own if one.number in record.flights)
    return named or match_flights(record, own)


def match_flights(record: Application, flights: Iterable[JobEvent]) -> tuple[int, ...]:
    """Find the flights of a record's job and aircraft that its times overlap, whatever it names."""
    own = [
        one for one in flights if one.job == record.job and (one.aircraft in {"", record.aircraft})
    ]
    if not record.start and not record.end:
        of_day = tuple(one.number for one in own if one.on == record.on)
        return of_day if len(of_day) == 1 else ()
    return tuple(one.number for one in own if _overlap(record, one))


def _overlap(record: Application, flight: JobEvent) -> bool:
    if flight.start is None or flight.end is None:
        return False
    begun, ended = (_find_wall(one, record.zone) for one in (flight.start, flight.end))
    first = datetime.combine(record.on, time.fromisoformat(record.start or record.end))
    last = datetime.combine(record.on, time.fromisoformat(record.end or record.start))
    if first == last:
        return begun <= first <= ended
    return first < ended and begun < last


def _find_wall(moment: datetime, zone: str) -> datetime:
    """Give what the clock of the record's place showed."""
    there = moment.astimezone(ZoneInfo(zone)) if zone else moment
    return there.replace(tzinfo=None)


def list_spans(flight: JobEvent) -> tuple[Span, ...]:
    """Split a flight at each midnight of its place; none when its hours are not known.

    Shape: one that ends at midnight has no part on the day that begins then.
    """
    if flight.start is None or flight.end is None:
        return ()
    found = []
    begun = flight.start
    while begun.date() < flight.end.date():
        midnight = datetime.combine(
            begun.date() + timedelta(days=1), time(), tzinfo=flight.end.tzinfo
        )
        found.append((begun, midnight))
        begun = midnight
    if begun < flight.end or not found:
        found.append((begun, flight.end))
    return tuple(found)


def covers(record: Application, span: Span) -> bool:
    """Tell whether a record is of the local day of a part of a flight."""
    begun, ended = (_find_wall(one, record.zone) for one in span)
    midnight = datetime.combine(record.on, time())
    return midnight <= begun and ended <= midnight + timedelta(days=1)


def find_records_of_flights(log: FlightLog) -> dict[int, FlightPages]:
    """Find the records of each flight that has one; of several of a day the one that lacks least.

    A flight over midnight needs one of each of its days; of a flight within one day any will do.
    """
    flights = {one.number: list_spans(one) for one in log.flights}
    found: dict[int, dict[int, FlightRecord]] = {}
    for number, record, day in log.gone:
        spans = flights.get(number, ())
        for at, span in enumerate(spans):
            if len(spans) < _TWO_DAYS or span[0].date() == day:
                page = FlightRecord(number=record, written_on=None)
                found.setdefault(number, {})[at] = page
    index = FlightIndex(log.flights)
    for versions in log.versions:
        numbers = find_flights_of(versions[-1], index.list_near(versions[-1]))
        if not numbers:
            continue
        one = _look_at(versions, log.rules)
        for number in numbers:
            for at in _find_parts(versions[-1], flights[number]):
                pages = found.setdefault(number, {})
                if at not in pages or len(one.lacking) < len(pages[at].lacking):
                    pages[at] = one
    return {
        number: FlightPages(
            pages=tuple(page for _, page in sorted(pages.items())),
            bare=tuple(span for at, span in enumerate(flights.get(number, ())) if at not in pages),
        )
        for number, pages in found.items()
    }


def _find_parts(record: Application, spans: tuple[Span, ...]) -> tuple[int, ...]:
    """Give the places of the parts of a flight that a record tells of; of a whole one its own."""
    if len(spans) < _TWO_DAYS:
        return (0,)
    return tuple(at for at, span in enumerate(spans) if covers(record, span))


def _look_at(versions: tuple[Application, ...], rules: RecordRules) -> FlightRecord:
    history = tuple(
        (
            version.written_on if version.written_known else None,
            find_lacking(version, rules.find(version)),
        )
        for version in versions
    )
    return FlightRecord(
        number=versions[-1].number,
        written_on=history[0][0],
        worked_on=versions[-1].on,
        lacking=history[-1][1],
        history=history,
    )


def settle_by_records(book: DutyBook, log: FlightLog) -> DutyBook:
    """Settle the duties to write a record by the records there are, and list flights without one.

    A record that lacks what the duty's own authority asks for leaves the duty as it stands and
    says what is missing. Nothing is stored: when the record changes, so does the answer.
    """
    if not log.flights:
        return book
    records = find_records_of_flights(log)
    due, older = (tuple(_settle(one, records) for one in some) for some in (book.due, book.older))
    unwritten = tuple(_list_unwritten((*older, *due), log, records))
    return replace(book, due=due, older=older, unwritten=unwritten)


def _settle(duty: DueDuty, records: Mapping[int, FlightPages]) -> DueDuty:
    number = _find_flight(duty)
    found = records.get(number) if number else None
    if found is None or duty.row.kind is not DutyKind.WRITE_RECORD:
        return duty
    # The record to complete is named, or the first one.
    lacking = ((one, _pick_lacks(duty, one.lacking)) for one in found.pages)
    shown, lacks = next((one for one in lacking if one[1]), (found.pages[0], ()))
    told = replace(
        duty,
        record=shown.number,
        records=found.numbers,
        lacks=lacks,
        bare=found.bare,
        early_on=next((one.early_on for one in found.pages if one.early_on is not None), None),
    )
    if lacks or found.bare or duty.state is DutyState.DONE:
        return told
    # A record that lacked something left the duty open until a correction made it whole.
    done_on = max(one.find_day(duty) or duty.due_on for one in found.pages)
    return replace(told, state=DutyState.DONE, start_from=None, done_on=done_on)


def _pick_lacks(duty: DueDuty, lacking: tuple[Lacking, ...]) -> tuple[str, ...]:
    """Give what a record lacks of what a duty's own authority asks for."""
    return tuple(
        dict.fromkeys(
            name for one in lacking if _is_of_duty(duty.row.id, one.row) for name in one.elements
        )
    )


def _find_flight(duty: DueDuty) -> int:
    text = duty.occasion.removeprefix(OF_FLIGHT)
    return int(text) if text != duty.occasion and text.isdigit() else 0


def _is_of_duty(duty: str, row: RecordRow) -> bool:
    """Tell whether a record row is what a duty asks to write.

    The rows of a state are its own list, whichever kind of applicator the duty names; among the
    federal ones a restricted-use record is not the one for worker protection.
    """
    authority = row.id.partition(".")[0]
    if duty.partition(".")[0] != authority:
        return False
    kind = "-".join(row.id.rpartition(".")[2].split("-")[:2])
    return bool(row.state) or kind in duty


def _list_unwritten(
    due: tuple[DueDuty, ...], log: FlightLog, records: Mapping[int, FlightPages]
) -> Iterable[UnwrittenFlight]:
    duties: dict[int, list[DueDuty]] = {}
    for one in due:
        if one.row.kind is DutyKind.WRITE_RECORD and _find_flight(one):
            duties.setdefault(_find_flight(one), []).append(one)
    for flight in sorted(log.flights, key=_begin):
        own = duties.get(flight.number, [])
        pages = records.get(flight.number)
        # Ticked off by hand: it is written somewhere else.
        if (pages and not pages.bare) or (own and not any(one.is_live for one in own)):
            continue
        told = UnwrittenFlight(
            flight=flight,
            due_on=None,
            records=pages.numbers if pages else (),
            bare=pages.bare if pages else (),
        )
        # They come in the order of their moments.
        live = next((one for one in own if one.is_live), None)
        if live is not None:
            yield replace(told, due_on=live.due_on, due_at=live.due_at, careful=live.is_careful)
            continue
        asked, limit = _ask_rules(flight, log.rules)
        if asked:
            due_on, careful = limit or (None, False)
            yield replace(told, due_on=due_on, careful=careful)


def _begin(flight: JobEvent) -> tuple[date, float]:
    return flight.on, flight.start.timestamp() if flight.start is not None else 0


def _ask_rules(flight: JobEvent, rules: RecordRules) -> tuple[bool, tuple[date, bool] | None]:
    """Tell whether a rule asks, or may ask, for a record of a flight, and its soonest last day.

    Shape: with the day whether it is careful practice only.
    """
    jobs = (one for one in rules.operation.jobs if one.id == flight.job)
    job: Job | None = next(jobs, None)
    if job is None:
        return False, None
    end = f"{flight.end:%H:%M}" if flight.end is not None else ""
    record = Application(
        number=0,
        written_on=flight.on,
        job=job.id,
        state=job.state,
        for_hire=job.for_hire,
        material=job.material,
        on=flight.on,
        end=end,
        products=(
            UsedProduct(name="any", restricted_use=job.restricted_use, by_air=ByAir.UNKNOWN),
        ),
    )
    rows = rules.find(record)
    limits = ((compute_write_by(record, row, flight.end), is_careful(row)) for row in rows)
    soonest = min(((by, careful) for by, careful in limits if by is not None), default=None)
    return bool(rows or rules.find_gaps(record)), soonest
