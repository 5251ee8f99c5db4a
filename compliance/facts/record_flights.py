"""A record and the flight it is of: what the log of flights can fill in."""

from dataclasses import replace
from datetime import date

from compliance.base.dates import say_date
from compliance.base.problems import Problem
from compliance.facts.events import JobEvent
from compliance.facts.model import Operation
from compliance.facts.record_raw import FAMILY, Cell, RawRecord
from compliance.facts.records import Application
from compliance.facts.zones import say_clock


def is_past_midnight(flight: JobEvent) -> bool:
    """Tell whether a flight went on into the next day, so that its work has two records."""
    return flight.start is not None and flight.end is not None and _end_day(flight) > flight.on


def list_flight_cells(flight: JobEvent, day: str = "") -> dict[str, str]:
    """List what a flight says of a record, by key: day, times, aircraft and pilot.

    Work of two days has a record for each: of a flight past midnight the record of its first day
    ends at 23:59, and that of the second, when *day* is that one, begins at 00:00.
    """
    start, end = flight.start, flight.end
    begins = say_clock(start) if start is not None else ""
    ends = say_clock(end) if end is not None else ""
    second = is_past_midnight(flight) and day == _end_day(flight).isoformat()
    if second:
        begins = "00:00"
    elif is_past_midnight(flight):
        ends = "23:59"
    found = {
        "job": flight.job,
        "day": day if second else flight.on.isoformat(),
        "start": begins,
        "end": ends,
        "aircraft": flight.aircraft,
        "pilot": flight.pilot,
    }
    return {key: text for key, text in found.items() if text}


def _end_day(flight: JobEvent) -> date:
    return flight.on if flight.end is None else flight.end.date()


def find_other_day(flight: JobEvent, record: Application) -> date | None:
    """Find the other day of a flight past midnight that a new record is of."""
    days = {flight.on, _end_day(flight)} - {record.on}
    is_new = is_past_midnight(flight) and record.version == 1
    return days.pop() if is_new and len(days) == 1 else None


def say_second_day(flight: JobEvent, day: date) -> str:
    """Say how the record of one more day of a flight past midnight is written."""
    other = list_flight_cells(flight, day.isoformat())
    return (
        f"flight {flight.number} went on past midnight, and work of two days has a record for "
        f"each; next: mailby record {flight.job} --flight {flight.number} once more, with the day "
        f"{other['day']}, from {other['start']} to {other['end']}"
    )


def fill_from_flight(raw: RawRecord, flight: JobEvent, operation: Operation) -> RawRecord:
    """Give a record with what it leaves out and its flight says; what it says is never changed."""
    day = raw.cells.get("day", Cell(text="", place=raw.place)).text
    known = list_flight_cells(flight, day)
    if day not in {"", known["day"]}:
        known.pop("start", None)
        known.pop("end", None)
    cells = dict(raw.cells)
    for key, text in known.items():
        if key not in cells or not cells[key].text:
            cells[key] = Cell(text=text, place=raw.place)
    products = raw.products
    if not products and flight.product:
        listed = next((one for one in operation.products if one.id == flight.product), None)
        key = "id" if listed is not None else "product"
        products = ({key: Cell(text=flight.product, place=raw.place)},)
    return replace(raw, cells=cells, products=products, flight=flight.number)


def check_flight(raw: RawRecord, record: Application, flight: JobEvent) -> tuple[Problem, ...]:
    """Say what a record says otherwise than the flight it is to be of (W39)."""
    days = {flight.on, *((flight.end.date(),) if flight.end is not None else ())}
    pairs = (
        ("job", record.job, flight.job),
        ("aircraft", record.aircraft, flight.aircraft or record.aircraft),
    )
    found = [
        _note(raw, key, f"{key} {own}", flight, other) for key, own, other in pairs if own != other
    ]
    if record.on not in days:
        found.append(_note(raw, "day", say_date(record.on), flight, _say_days(days)))
    return tuple(found)


def _say_days(days: set[date]) -> str:
    return " and ".join(map(say_date, sorted(days)))


def _note(raw: RawRecord, key: str, own: str, flight: JobEvent, other: str) -> Problem:
    cell = raw.cells.get(key)
    return Problem(
        place=cell.place if cell is not None else raw.place,
        code=f"{FAMILY}39",
        sentence=f"{raw.what} says {own}, but flight {flight.number} was of {other}",
        hint="name another flight with --flight, or correct the record; mailby show lists flights",
    )
