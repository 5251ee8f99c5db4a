"""The demo: the invented operation of ``demo_data``, fresh, with its own today."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path

from sqlmodel import Session

from compliance.app.calendar_file import write_calendar
from compliance.app.duties import add_duties
from compliance.app.facts_file import parse_facts
from compliance.app.logbook import import_entries
from compliance.app.own_papers import OwnPaper, keep_own_papers
from compliance.app.packet_files import write_packets
from compliance.app.planning import make_plan
from compliance.app.resources import read_folder, shipped_folder, write_files
from compliance.app.tables import load_table
from compliance.base.problems import DataProblemsError, OutputError
from compliance.engine.plan_model import Plan
from compliance.facts.log_parse import parse_log
from compliance.outputs.plan_json import render_plan_json
from compliance.outputs.plan_text import render_plan_text
from compliance.store.repository import save_operation
from compliance.store.session import open_session

DEMO_DAY = date(2027, 1, 11)
FACTS = "sandbur_flats.yaml"
LOG = "sandbur_flats_log.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoShown:
    """The demo's plan and the files it wrote, relative to its folder."""

    plan: Plan
    folder: Path
    database: Path
    paths: tuple[str, ...]


def run_demo(folder: Path, *, namespace: str) -> DemoShown:
    """Write the demo's facts, database, plan, packets and calendar into a folder.

    The database is made anew on every run; other files of the demo are replaced, nothing else in
    the folder is touched.

    Raises:
        OutputError: The folder cannot be written.
    """
    data = read_folder(shipped_folder("demo_data"))
    write_files(folder, {name: data[name].encode() for name in (FACTS, LOG)})
    database = folder / "mailby-demo.sqlite"
    try:
        database.unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(f"{database} cannot be replaced: {error.strerror}") from None
    with open_session(str(database)) as session:
        return _show(session, data, folder, database, namespace)


def _show(
    session: Session, data: Mapping[str, str], folder: Path, database: Path, namespace: str
) -> DemoShown:
    operation = parse_facts(data[FACTS], FACTS, load_table(session))
    save_operation(session, operation, namespace=namespace)
    entries, problems = parse_log(data[LOG], LOG, operation)
    if problems:
        raise DataProblemsError(problems)
    import_entries(session, operation.id, entries, today=DEMO_DAY)
    planned = make_plan(session, operation.id, DEMO_DAY, with_remedies=True, with_chances=True)
    planned = add_duties(session, planned)
    write_files(
        folder,
        {
            "plan.txt": render_plan_text(planned.plan).encode(),
            "plan.json": render_plan_json(planned.plan).encode(),
        },
    )
    sending = tuple(paper for paper in planned.plan.papers if paper.packet.planned)
    kept: list[Path] = []

    def keep(own: tuple[OwnPaper, ...]) -> None:
        kept.extend(keep_own_papers(session, own, Path(f"{database}.forms"), DEMO_DAY))

    packets = write_packets(planned, sending, folder / "packets", keep=keep)
    now = datetime.combine(DEMO_DAY, time(12), tzinfo=UTC)
    write_calendar(session, operation.id, DEMO_DAY, now, folder / "deadlines.ics")
    written = [FACTS, LOG, database.name, "plan.txt", "plan.json", "deadlines.ics"]
    written.extend(f"packets/{path.name}" for packet in packets for path in packet.paths)
    written.extend(path.relative_to(folder).as_posix() for path in kept)
    return DemoShown(plan=planned.plan, folder=folder, database=database, paths=tuple(written))
