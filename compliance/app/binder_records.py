"""Application records as a binder shows them."""

from collections.abc import Iterator
from datetime import date

from sqlmodel import Session

from compliance.base.dates import say_date
from compliance.facts.model import Operation
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.records import Application, Said
from compliance.outputs.binder_ground import KeptRecord
from compliance.outputs.records_words import say_against_label, say_flights
from compliance.store.applications import load_records


def load_kept_records(
    session: Session,
    operation: Operation,
    job: str,
    bounds: tuple[date, date],
    as_of: date = date.max,
) -> tuple[KeptRecord, ...]:
    """Give the records of applications within *bounds*, both days inclusive, of one job or all.

    Only the version that stood on *as_of* is shown, and said to be corrected later where it was; of
    a record first written after that day the first version, said to be written later. The version
    is chosen before the days are looked at, because a correction may have moved the day.
    """
    versions: dict[int, list[Application]] = {}
    for one in load_records(session, operation.id):
        versions.setdefault(one.number, []).append(one)
    first, last = bounds
    pairs = [_choose_version(found, as_of) for found in versions.values()]
    wanted = [one for one in pairs if first <= one[0].on <= last and job in {"", one[0].job}]
    wanted.sort(key=lambda one: (one[0].on, one[0].start, one[0].number))
    return tuple(_show(record, operation, later) for record, later in wanted)


def _choose_version(found: list[Application], as_of: date) -> tuple[Application, str]:
    """Choose the version of a record that stood on a day, and say what was done after it."""
    found = sorted(found, key=lambda one: one.version)
    known = [one for one in found if one.written_on <= as_of]
    if not known:
        first = found[0]
        word = "written" if first.written_known else "read in"
        return first, f"{word} later, on {say_date(first.written_on)}"
    after = [one for one in found if one.written_on > as_of]
    return known[-1], f"corrected later, on {say_date(after[0].written_on)}" if after else ""


def _show(record: Application, operation: Operation, later: str) -> KeptRecord:
    products = tuple(
        (
            (ELEMENTS["product"].words, product.name),
            ("restricted-use product", "yes" if product.restricted_use else "no"),
            *_pairs(product.said),
        )
        for product in record.products
    )
    mark = f" ({later})" if later else ""
    return KeptRecord(
        title=f"Record {record.number}: {say_date(record.on)}, {record.job}, {record.state}{mark}",
        groups=(tuple(_list_lines(record, operation)), *products),
    )


def _list_lines(record: Application, operation: Operation) -> Iterator[tuple[str, str]]:
    zone = f" ({record.zone})" if record.zone else ""
    day = say_date(record.written_on)
    yield "written on", day if record.written_known else f"not known, read in {day}"
    if record.version > 1:
        why = f": {record.why}" if record.why else ""
        yield "corrected", f"version {record.version}{why}; the earlier ones are kept"
    if record.start:
        yield ELEMENTS["start"].words, f"{record.start}{zone}"
    if record.end:
        yield ELEMENTS["end"].words, f"{record.end}{zone}"
    yield "for hire", "yes" if record.for_hire else "no, own land"
    yield "what was applied", str(record.material)
    for line in say_against_label(record):
        yield "against a label", line
    if record.flights:
        yield "in the log", say_flights(record)
    machine = operation.find_aircraft(record.aircraft)
    yield "aircraft", f"{machine.model} {machine.serial}" if machine else record.aircraft
    pilot = operation.find_pilot(record.pilot)
    yield "flown by", pilot.name if pilot is not None else record.pilot
    yield from _pairs(record.said)


def _pairs(said: Said) -> Iterator[tuple[str, str]]:
    """Give each element that was said with its words; one of an older list by its own name."""
    for name, text in said:
        element = ELEMENTS.get(name)
        yield element.words if element is not None else name, text
