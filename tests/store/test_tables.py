"""The tables stand in modules by subject; a new database has all of them whoever makes it.

What stands in the file is asked of SQLite itself, and what the modules say of their own text.
"""

import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import compliance.store
from compliance.store.session import open_session
from compliance.store.tables import all_tables

STORE = Path(compliance.store.__file__).parent


def named_in_the_package() -> set[str]:
    """Every name of a table in the text of the package."""
    texts = [path.read_text(encoding="utf-8") for path in STORE.glob("*.py")]
    return {name for text in texts for name in re.findall(r'__tablename__ = "(\w+)"', text)}


def read_tables(db: Path) -> set[str]:
    """The tables of a file, as SQLite lists them."""
    with closing(sqlite3.connect(db)) as connection:
        rows = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
        return {name for (name,) in rows}


def test_all_tables_are_those_of_the_package() -> None:
    """None is left out because its module is imported nowhere."""
    named = named_in_the_package()

    assert len(named) > 20
    assert set(all_tables().tables) == named


def test_new_database_has_every_table_of_the_package(db: Path) -> None:
    """A process that has imported nothing but the session makes them all, too."""
    code = f"""
from compliance.store.session import open_session
with open_session({str(db)!r}):
    pass
"""
    subprocess.run([sys.executable, "-c", code], check=True, timeout=120)

    assert read_tables(db) == named_in_the_package()


def test_known_database_is_opened_without_building_every_table(db: Path) -> None:
    """The names of modules are those of ``sys.modules`` of a process of its own."""
    with open_session(str(db)):
        pass
    code = f"""
import sys
from compliance.store.session import open_session
with open_session({str(db)!r}):
    pass
print(*(name for name in sys.modules if name.startswith("compliance.store.tables")))
"""
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, timeout=120, capture_output=True, text=True
    )

    assert done.stdout.split() == ["compliance.store.tables"]
