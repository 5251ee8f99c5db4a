"""What the tests of several folders share: the command run in a place of its own, and the demo."""

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from hypothesis import settings

from compliance.app.demo import DEMO_DAY, FACTS, LOG
from compliance.app.duties import add_duties
from compliance.app.facts_file import parse_facts
from compliance.app.planning import Planned, make_plan
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.tables import load_shipped_table, load_templates
from compliance.cli.main import main
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.remedies import add_remedies
from compliance.facts.log import LogEntry
from compliance.facts.log_parse import parse_log
from compliance.facts.model import Operation
from compliance.forms.model import FormTemplate
from compliance.rules.model import RulesTable
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session
from tests.kit_reading import ReadOnce

Run = Callable[[Sequence[str]], tuple[int, str, str]]

# Side by side (`-n auto`) tests have a processor each, and products of matrices that take more
# threads than that take several times as long. Workers and child processes inherit this.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Where a test does not say otherwise: the same examples on every run, and few, because the suite
# has to end in minutes. `pytest --hypothesis-profile=hunt` looks further, elsewhere on every run.
# No deadline: a machine with other work on it would fail tests for nothing.
settings.register_profile("mailby", max_examples=40, derandomize=True, database=None, deadline=None)
settings.register_profile(
    "hunt", max_examples=400, derandomize=False, print_blob=True, deadline=None
)
settings.load_profile("mailby")


@pytest.fixture(scope="session")
def read_once() -> ReadOnce:
    """The answers of the reader of PDFs."""
    return ReadOnce()


@pytest.fixture(scope="module", autouse=True)
def pdfs_are_read_once(request: pytest.FixtureRequest, read_once: ReadOnce) -> Iterator[None]:
    """A page that many tests look at is drawn once, but where the reading itself is tested."""
    path: Path = request.path
    with pytest.MonkeyPatch.context() as patch:
        if path.parent.name != "scan" and "hostile" not in path.name:
            patch.setattr("compliance.scan.sandbox.subprocess", read_once)
        yield


@pytest.fixture
def isolated(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to stand in, with the home folder and the database in it."""
    home = tmp_path / "home"
    home.mkdir()
    work = tmp_path / "work"
    work.mkdir()
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("USERPROFILE", str(home))
    monkeypatch.setenv("MAILBY_DB", str(tmp_path / "mailby.sqlite"))
    for name in ("XDG_DATA_HOME", "MAILBY_DEBUG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.chdir(work)
    return work


@pytest.fixture
def run(isolated: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """The command as a user runs it: arguments in, (exit code, standard output, error) out."""
    assert isolated.is_dir()

    def run_main(argv: Sequence[str]) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main(list(argv))
        out, err = capsys.readouterr()
        return code, out, err

    return run_main


@pytest.fixture(scope="session")
def demo_files() -> dict[str, str]:
    """The demo's shipped files: name -> text."""
    return read_folder(shipped_folder("demo_data"))


@pytest.fixture(scope="session")
def table() -> RulesTable:
    """The shipped rules table."""
    return load_shipped_table()


@pytest.fixture(scope="session")
def templates() -> dict[str, FormTemplate]:
    """The shipped form templates."""
    return load_templates()


@pytest.fixture(scope="session")
def demo_operation(demo_files: dict[str, str], table: RulesTable) -> Operation:
    """The demo's operation."""
    return parse_facts(demo_files[FACTS], FACTS, table)


@pytest.fixture(scope="session")
def demo_log(demo_files: dict[str, str], demo_operation: Operation) -> tuple[LogEntry, ...]:
    """The demo's log."""
    entries, problems = parse_log(demo_files[LOG], LOG, demo_operation)
    assert problems == ()
    return entries


@pytest.fixture(scope="session")
def demo_planned(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> Planned:
    """The demo's plan on the demo's day, made without a database, with table and log."""
    plan = compute_plan(demo_operation, table, demo_log, DEMO_DAY)
    return Planned(plan=add_remedies(plan, table, demo_log), table=table, log=demo_log)


@pytest.fixture(scope="session")
def demo_plan(demo_planned: Planned) -> Plan:
    """The demo's plan on the demo's day."""
    return demo_planned.plan


@pytest.fixture(scope="session")
def demo_shown(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Plan:
    """The demo's plan as `mailby demo` and `mailby plan` show it: with duties and chances."""
    with open_session(":memory:") as session:
        save_operation(session, demo_operation, namespace="n")
        append_log(session, demo_operation.id, demo_log)
        planned = make_plan(session, None, DEMO_DAY, with_remedies=True, with_chances=True)
        return add_duties(session, planned).plan


@pytest.fixture
def demo_file(isolated: Path, demo_files: dict[str, str]) -> Path:
    """The demo's facts as a file of the user's."""
    path = isolated / FACTS
    path.write_text(demo_files[FACTS], encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def loaded_once() -> list[bytes]:
    """The database of the demo's facts once a test has loaded them, to be copied by the others."""
    return []


@pytest.fixture
def loaded(run: Run, demo_file: Path, loaded_once: list[bytes], tmp_path: Path) -> Run:
    """The command with the demo's facts loaded and nothing logged."""
    database = tmp_path / "mailby.sqlite"
    if loaded_once:
        database.write_bytes(loaded_once[0])
        database.chmod(0o600)
        return run
    assert run(["load", str(demo_file)])[0] == 0
    assert not list(tmp_path.glob("mailby.sqlite-*"))  # the one file holds all of it
    loaded_once.append(database.read_bytes())
    return run
