"""How long 20,000 records of applications take to search, export and read in.

Run with ``python tests/benchmarks/bench_records.py``. Three logs are asked: one without flights,
one with a flight for each record, and one whose records were all first written before their work,
which no record should be and which takes the longest way. The bound of five seconds for a search
and an export is ours.
"""

import gc
import tempfile
import time
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from compliance.app.demo import DEMO_DAY, FACTS
from compliance.app.facts_file import parse_facts
from compliance.app.record_export import write_records
from compliance.app.record_import import import_records
from compliance.app.record_list import find_due, list_records
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.tables import load_shipped_table
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.model import Material, Operation
from compliance.facts.products import ByAir
from compliance.facts.records import Application, UsedProduct
from compliance.store.applications import Wanted, append_records
from compliance.store.events import append_events
from compliance.store.repository import save_operation
from compliance.store.session import open_session

COUNT = 20_000
MANY = 5_000
TODAY = date(2037, 1, 11)
ZONE = ZoneInfo("America/Chicago")


def make_record(number: int) -> Application:
    """Make one invented record of South Dakota or Nebraska."""
    south = number % 2 == 0
    day = DEMO_DAY + timedelta(days=number % 3000)
    return Application(
        number=number,
        written_on=day,
        job="pasture-sd" if south else "pasture-ne",
        state="SD" if south else "NE",
        for_hire=True,
        material=Material.PESTICIDE,
        on=day,
        start=f"{5 + number % 12:02}:{number % 60:02}",
        end=f"{6 + number % 12:02}:{number % 60:02}",
        aircraft="tg46",
        pilot="odile",
        said=(
            ("customer", f"Invented customer {number % 97}"),
            ("place", f"field {number}"),
            ("crop", "pasture grass"),
            ("target", "leafy spurge"),
            ("area", "40"),
            ("wind-speed", "7"),
            ("wind-direction", "NW"),
            ("temperature", "71"),
            ("applicator", "Odile Ferrant"),
        ),
        products=(
            UsedProduct(
                name=f"Thistle-Out {number % 7} (invented)",
                restricted_use=number % 3 == 0,
                by_air=ByAir.YES,
                said=(("registration", "99999-1"), ("amount", "5 gal"), ("rate", "1 pt/acre")),
            ),
        ),
    )


def make_flight(record: Application) -> JobEvent:
    """Make the flight of a record, with the record's number."""
    start, end = (
        datetime.fromisoformat(f"{record.on} {clock}").replace(tzinfo=ZONE)
        for clock in (record.start, record.end)
    )
    return JobEvent(
        number=record.number,
        kind=JobEventKind.FLEW,
        on=record.on,
        job=record.job,
        start=start,
        end=end,
        aircraft=record.aircraft,
        pilot=record.pilot,
    )


def keep(
    url: str, operation: Operation, records: Iterable[Application], *, with_flights: bool
) -> None:
    """Keep records in a new database, with the flights they name or with none."""
    records = tuple(records)
    with open_session(url) as session:
        save_operation(session, operation, namespace="6f6f1d55-9c86-4f0a-9d3c-0d6f6d1d7f5e")
        if with_flights:
            append_events(session, operation.id, map(make_flight, records))
            records = tuple(replace(one, flights=(one.number,)) for one in records)
        append_records(session, operation.id, records)


def measure(url: str, words: str, which: Wanted, path: Path) -> None:
    """Print how long it takes to find records and to write them to a table."""
    with open_session(url) as session:
        begun, worked = time.perf_counter(), time.process_time()
        listed = list_records(session, None, which)
        searched = time.perf_counter() - begun
        write_records(listed, listed.records, path, TODAY, asked_by=which.state)
        took, work = time.perf_counter() - begun, time.process_time() - worked
        due = len(find_due(listed, TODAY))
    print(
        f"  {words}: {len(listed.records):,} found in {searched:.2f} s, {took:.2f} s with export,"
    )
    print(f"    {work:.2f} s of them the processor's; {due:,} need not be kept any more")


def read_in(url: str, other: str, operation: Operation, path: Path) -> None:
    """Print how long it takes to read some of the records into a new database."""
    with open_session(url) as session:
        listed = list_records(session, None, Wanted(last=DEMO_DAY + timedelta(days=1500)))
        write_records(listed, listed.records[:MANY], path, TODAY, asked_by="")
    with open_session(other) as session:
        save_operation(session, operation, namespace="6f6f1d55-9c86-4f0a-9d3c-0d6f6d1d7f5e")
        begun, worked = time.perf_counter(), time.process_time()
        found = import_records(session, None, str(path), TODAY)
        took, work = time.perf_counter() - begun, time.process_time() - worked
    print(f"import of {found.last:,}: {took:.2f} s, {work:.2f} s of them the processor's")


def main() -> None:
    """Print how long each part took."""
    gc.set_threshold(50_000)  # as the command does when it starts
    facts = read_folder(shipped_folder("demo_data"))[FACTS]
    operation = parse_facts(facts, FACTS, load_shipped_table())
    records = tuple(map(make_record, range(1, COUNT + 1)))
    early = (replace(one, written_on=DEMO_DAY) for one in records)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "out.csv"
        urls = [str(Path(folder) / f"{name}.sqlite") for name in ("bare", "flown", "early")]
        keep(urls[0], operation, records, with_flights=False)
        keep(urls[1], operation, records, with_flights=True)
        keep(urls[2], operation, early, with_flights=False)
        logs = ("no flights logged", "a flight for each record", "written before the work")
        for name, url in zip(logs, urls, strict=True):
            print(f"{name}:")
            measure(url, "all", Wanted(), path)
            measure(url, "South Dakota", Wanted(state="SD"), path)
            last = date(2028, 1, 11)
            measure(url, "a product and a year", Wanted(product="out 3", last=last), path)
        read_in(urls[0], str(Path(folder) / "other.sqlite"), operation, path)


if __name__ == "__main__":
    main()
