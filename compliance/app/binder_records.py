"""Application records as a binder shows them."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from compliance.app.flight_records import group_versions
from compliance.app.record_list import order_of
from compliance.base.dates import say_date
from compliance.engine.record_time import ask_rules, list_write_by
from compliance.engine.records import RecordRules
from compliance.facts.events import find_flights
from compliance.facts.model import Operation
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.records import Application, Said, find_standing
from compliance.outputs.binder_ground import KeptRecord
from compliance.outputs.records_words import (
    say_against_label,
    say_days_written,
    say_flights,
    say_why,
    say_write_by,
)
from compliance.rules.model import RulesTable
from compliance.store.applications import load_records
from compliance.store.events import load_events


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    """A record as a binder shows it: its versions through the one that is shown, oldest first.

    ``later`` says what was done to it after the day of the binder, empty when nothing was.
    """

    versions: tuple[Application, ...]
    later: str = ""

    @property
    def record(self) -> Application:
        """Give the version that is shown."""
        return self.versions[-1]


def load_kept_records(
    session: Session,
    operation: Operation,
    table: RulesTable,
    job: str,
    bounds: tuple[date, date],
    as_of: date = date.max,
) -> tuple[KeptRecord, ...]:
    """Give the records of applications within *bounds*, both days inclusive, of one job or all.

    Only the version that stood on *as_of* is shown, and said to be corrected later where it was; of
    a record first written after that day the first version, said to be written later. The version
    is chosen before the days are looked at, because a correction may have moved the day. The time
    that *table* gives to write it is held against the day of the first version.
    """
    events = (one for one in load_events(session, operation.id) if one.on <= as_of)
    rules = RecordRules(table=table, operation=operation, flights=find_flights(tuple(events)))
    found = group_versions(load_records(session, operation.id))
    shown = [_choose_version(versions, as_of) for versions in found]
    first, last = bounds
    wanted = [
        one for one in shown if first <= one.record.on <= last and job in {"", one.record.job}
    ]
    wanted.sort(key=lambda one: order_of(one.record))
    return tuple(_show(one, operation, rules) for one in wanted)


def _choose_version(found: tuple[Application, ...], as_of: date) -> _Shown:
    """Choose the version of a record that stood on a day, and say what was done after it."""
    known = find_standing(found, as_of)
    if not known:
        first = found[0]
        word = "written" if first.written_known else "read in"
        return _Shown(versions=found[:1], later=f"{word} later, on {say_date(first.written_on)}")
    after = found[len(known) :]
    later = f"corrected later, on {say_date(after[0].written_on)}" if after else ""
    return _Shown(versions=known, later=later)


def _show(shown: _Shown, operation: Operation, rules: RecordRules) -> KeptRecord:
    record = shown.record
    products = tuple(
        (
            (ELEMENTS["product"].words, product.name),
            ("restricted-use product", "yes" if product.restricted_use else "no"),
            *_pairs(product.said),
        )
        for product in record.products
    )
    mark = f" ({shown.later})" if shown.later else ""
    return KeptRecord(
        title=f"Record {record.number}: {say_date(record.on)}, {record.job}, {record.state}{mark}",
        groups=(tuple(_list_lines(shown, operation, rules)), *products),
    )


def _list_lines(
    shown: _Shown, operation: Operation, rules: RecordRules
) -> Iterator[tuple[str, str]]:
    record = shown.record
    zone = f" ({record.zone})" if record.zone else ""
    yield "written", say_days_written(shown.versions)
    if record.version > 1:
        pairs = zip(shown.versions, shown.versions[1:], strict=False)
        why = "; ".join(
            f"version {one.version}, {say_date(one.written_on)}{say_why(before, one)}"
            for before, one in pairs
        )
        yield "corrected", f"{why}; the earlier ones are kept"
    for one in list_write_by(ask_rules(rules, shown.versions)):
        yield "time to write it", say_write_by(one)
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
