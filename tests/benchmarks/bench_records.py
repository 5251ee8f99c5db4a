"""How long 20,000 records of applications take to search, export and read in.

Run with ``python tests/benchmarks/bench_records.py``. The bound of five seconds for a search and
an export is ours.
"""

import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

from compliance.app.demo import DEMO_DAY, FACTS
from compliance.app.facts_file import parse_facts
from compliance.app.record_export import write_records
from compliance.app.record_import import import_records
from compliance.app.records import find_due, list_records
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.tables import load_shipped_table
from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.records import Application, UsedProduct
from compliance.store.applications import Wanted, append_records
from compliance.store.repository import save_operation
from compliance.store.session import open_session

COUNT = 20_000
MANY = 5_000
TODAY = date(2037, 1, 11)


def make_record(number: int) -> Application:
    """Make one invented record of South Dakota or Nebraska."""
    south = number % 2 == 0
    return Application(
        number=number,
        written_on=DEMO_DAY,
        job="pasture-sd" if south else "pasture-ne",
        state="SD" if south else "NE",
        for_hire=True,
        material=Material.PESTICIDE,
        on=DEMO_DAY + timedelta(days=number % 3000),
        start=f"{5 + number % 12:02}:{number % 60:02}",
        end="23:00",
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


def main() -> None:
    """Print how long each part took."""
    facts = read_folder(shipped_folder("demo_data"))[FACTS]
    operation = parse_facts(facts, FACTS, load_shipped_table())
    with tempfile.TemporaryDirectory() as folder:
        url = str(Path(folder) / "bench.sqlite")
        with open_session(url) as session:
            save_operation(session, operation, namespace="n")
            append_records(session, operation.id, map(make_record, range(1, COUNT + 1)))
        for words, which in (
            ("all", Wanted()),
            ("South Dakota", Wanted(state="SD")),
            ("a product and a year", Wanted(product="out 3", last=date(2028, 1, 11))),
        ):
            with open_session(url) as session:
                begun, worked = time.perf_counter(), time.process_time()
                listed = list_records(session, None, which)
                searched = time.perf_counter() - begun
                path = Path(folder) / "out.csv"
                write_records(listed, listed.records, path, TODAY, asked_by=which.state)
                due = len(find_due(listed, TODAY))
            took, work = time.perf_counter() - begun, time.process_time() - worked
            count = len(listed.records)
            print(f"{words}: {count:,} found in {searched:.2f} s, {took:.2f} s with export,")
            print(f"  {work:.2f} s of them the processor's")
            print(f"  {due:,} of them need not be kept any more")
        with open_session(url) as session:
            listed = list_records(session, None, Wanted(last=DEMO_DAY + timedelta(days=1500)))
            some = listed.records[:MANY]
            write_records(listed, some, path, TODAY, asked_by="")
        with open_session(str(Path(folder) / "other.sqlite")) as session:
            save_operation(session, operation, namespace="n")
            begun, worked = time.perf_counter(), time.process_time()
            found = import_records(session, None, str(path), TODAY)
            took, work = time.perf_counter() - begun, time.process_time() - worked
        print(f"import of {found.last:,}: {took:.2f} s, {work:.2f} s of them the processor's")


if __name__ == "__main__":
    main()
