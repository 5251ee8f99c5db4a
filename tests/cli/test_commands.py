"""Commands are built only when called; the list of ``--help`` cannot drift from their own help.

The first sentence of a help text is the one typer itself takes for such a list.
"""

import subprocess
import sys
from pathlib import Path

import pytest
from typer.main import get_command

from compliance.cli.commands import COMMANDS
from compliance.cli.main import app

# Each takes a tenth of a second or more to import and is nothing that an answer at dawn needs.
HEAVY = {"numpy", "reportlab", "icalendar", "pypdf", "pypdfium2", "PIL", "zxingcpp"}


def modules_after(*arguments: str) -> set[str]:
    """The names of all modules that a call of mailby has imported, in a process of its own."""
    code = f"""
import sys
from compliance.cli.main import main
code = main({list(arguments)!r})
print(code, *sys.modules, file=sys.stderr)
"""
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, timeout=120, capture_output=True, text=True
    )
    code_and_names = done.stderr.split()
    assert code_and_names[0] in {"0", "10"}, done.stderr
    return set(code_and_names[1:])


@pytest.mark.parametrize("name", COMMANDS)
def test_sentence_in_the_list_is_the_commands_own(name: str) -> None:
    """With room enough typer shortens a help text to its first sentence."""
    built = get_command(app).commands[name]  # type: ignore[attr-defined]  # it is a group

    assert built.name == name
    assert not built.hidden
    assert COMMANDS[name][1] == built.get_short_help_str(10_000)


def test_help_lists_every_command_and_imports_none() -> None:
    """Not one module of a command, nor the database, is there after ``--help``."""
    found = modules_after("--help")
    own = {place.partition(":")[0] for place, _ in COMMANDS.values()}

    assert not {f"compliance.cli.{module}" for module in own} & found
    assert not {"sqlmodel", "yaml", *HEAVY} & found


@pytest.mark.parametrize("events", [False, True])
def test_go_imports_nothing_heavy(tmp_path: Path, demo_file: Path, *, events: bool) -> None:
    """Neither on a morning before the first flight nor when there are flights to look at."""
    db = ["--db", str(tmp_path / "go.sqlite")]
    modules_after("load", str(demo_file), *db)
    if events:
        job = "pasture-ne"
        told = ["log", "flew", job, "--aircraft", "tg46", "--pilot", "odile"]
        times = ["--from", "2027-05-24 06:10", "--to", "07:00", "--today", "2027-05-24"]
        modules_after(*told, *times, *db)
    found = modules_after("go", "--on", "2027-05-24", *db)

    assert "sqlite3" in found
    assert not {"sqlmodel", "sqlalchemy"} & found
    assert ("compliance.engine.flight_records" in found) is events
    assert not HEAVY & found
