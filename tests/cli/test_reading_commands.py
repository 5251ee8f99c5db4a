"""Commands that only read: the same answer from a file as from a URL, without the slow classes."""

import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.app.demo import LOG
from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
FLEW = (
    'log flew pasture-sd --from "2027-06-15 06:10" --to 07:45 --aircraft tg46 --pilot odile '
    "--product thistle-out --today 2027-06-15"
)
ASKED = (
    "go --on 2027-06-16 --job pasture-sd",
    "go --on 2027-05-24 --format json",
    "plan --on 2027-06-16 --format json",
    "today --on 2027-06-16",
    "why faa.exemption --on 2027-06-16",
    "why faa.exemption --on 2027-06-16 --operation nobody",
)
STARTED = """
import sys
from compliance.cli.main import main
code = main(sys.argv[1:])
found = {name.partition(".")[0] for name in sys.modules} & {"sqlmodel", "sqlalchemy", "sqlite3"}
print(code, *sorted(found))
"""


@pytest.fixture
def flown(farm: Run, demo_files: dict[str, str], isolated: Path) -> Path:
    """A database of the farm with its log, a flight and the flight's record."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    (isolated / "r.yaml").write_text(RECORD, encoding="utf-8")
    db = isolated / "farm.sqlite"
    for words in (
        "load sandbur_flats.yaml",
        f"log import {LOG} --today 2027-01-11",
        FLEW,
        "record pasture-sd --from r.yaml --flight 1 --on 2027-06-16",
    ):
        code, _, err = farm([*shlex.split(words), "--db", str(db)])
        assert (code, err) == (0, "")
    return db


def test_file_and_url_give_the_same_answers(flown: Path, farm: Run) -> None:
    """The file is read with the driver itself, the URL by a session."""
    for words in ASKED:
        by_file = farm([*shlex.split(words), "--db", str(flown)])
        assert by_file == farm([*shlex.split(words), "--db", f"sqlite:///{flown}"])
        assert by_file[1] if "nobody" not in words else by_file[0] == 4


@pytest.mark.slow
@pytest.mark.parametrize("words", ASKED[2:5])
def test_reading_a_file_builds_no_classes_of_tables(flown: Path, words: str) -> None:
    """The names are those in ``sys.modules`` of a process of its own."""
    command = [sys.executable, "-c", STARTED, *shlex.split(words), "--db", str(flown)]
    done = subprocess.run(command, check=True, timeout=120, capture_output=True, text=True)

    code, *found = done.stdout.splitlines()[-1].split()
    assert code in {"0", "10"}
    assert found == ["sqlite3"]
