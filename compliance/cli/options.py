"""Options that several commands share, and how their texts become values."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from typer.models import OptionInfo

from compliance.base.problems import OutputError, RefusedError, StoreError
from compliance.base.signs import show_signs
from compliance.cli.clock import today

if TYPE_CHECKING:
    from sqlmodel import Session

    from compliance.store.reading import Readable


class Format(StrEnum):
    """How results are written."""

    TEXT = "text"
    JSON = "json"


def parse_day(text: str) -> date:
    """Read a day given on the command line."""
    from compliance.base.dates import FIRST_YEAR, LAST_YEAR, parse_iso_date

    day = today() if text == "today" else parse_iso_date(text)
    if day is None:
        raise typer.BadParameter(
            f"{text!r} is no day from {FIRST_YEAR} to {LAST_YEAR}; write year-month-day, such as "
            "2027-05-24"
        )
    return day


def day_option(name: str, meaning: str) -> OptionInfo:
    """Give the option *name* for a day, with what it says in ``--help``."""
    option: OptionInfo = typer.Option(name, metavar="DATE", parser=parse_day, help=meaning)
    return option


Db = Annotated[
    str | None,
    typer.Option(
        "--db",
        metavar="FILE|URL",
        envvar="MAILBY_DB",
        help="Database to use instead of the one in your data folder.",
    ),
]
Which = Annotated[
    str | None,
    typer.Option(
        "--operation",
        metavar="ID",
        help="Operation to work on; not needed when there is only one.",
    ),
]
On = Annotated[date | None, day_option("--on", "Take this day as today (2027-05-24).")]
Packet = Annotated[
    str, typer.Argument(metavar="PACKET", help="A packet, such as faa.registration-n:tg46.")
]
DEFAULT_CHANCE = "0.9"
_CHANCE = typer.Option(
    "--chance",
    metavar="SHARE",
    help="Chance to be in time that the mail-by days are also worked out for, 0.5 to 0.99.",
)
Chance = Annotated[str, _CHANCE]
WantedChance = Annotated[str | None, _CHANCE]
AsFormat = Annotated[Format, typer.Option("--format", help="Text for people or JSON.")]


def as_of(on: date | None) -> date:
    """Give the day to work with: the one set, or today."""
    return on if on is not None else today()


def database_url(db: str | None) -> str:
    """Give the database to use: the one named, or a file in the user's data folder.

    Raises:
        StoreError: The name is no text a database could have.
    """
    if db:
        if not _is_whole(db):
            raise StoreError(
                "the name after --db holds a NUL or half a character", hint="name another file"
            )
        return db
    from platformdirs import user_data_path

    return str(user_data_path("mailby", appauthor=False) / "mailby.sqlite")


def kept_folder(db: str | None, name: str) -> Path:
    """Give the folder for files kept beside the database, such as copies of what was sent."""
    url = database_url(db)
    path = url.removeprefix("sqlite:///")
    if "://" in path:
        from platformdirs import user_data_path

        return user_data_path("mailby", appauthor=False) / name
    return Path(f"{path}.{name}")


@contextmanager
def session_of(db: str | None) -> Iterator["Session"]:
    """Open the database for one command, in one transaction."""
    from compliance.store.session import open_session

    with open_session(database_url(db)) as session:
        yield session


@contextmanager
def reading_of(db: str | None) -> Iterator["Readable"]:
    """Open the database for one command that only reads, in one transaction."""
    from compliance.store.reading import open_reading

    with open_reading(database_url(db)) as source:
        yield source


def say(text: str) -> None:
    """Write results to standard output.

    Raises:
        OutputError: The file that standard output leads to cannot be written.
    """
    try:
        typer.echo(show_signs(text), nl=not text.endswith("\n"))
    except BrokenPipeError:
        raise
    except OSError as error:
        give_up_output()
        raise OutputError(f"the result cannot be written: {error.strerror}") from None


def give_up_output() -> None:
    """Let the rest of the output go nowhere, or Python would fail on it once more at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def output_path(text: str) -> Path:
    """Check a path given with ``-o`` or ``--into``.

    Raises:
        RefusedError: No file could have that name.
    """
    try:
        usable = bool(text.strip()) and b"\0" not in os.fsencode(text)
    except UnicodeEncodeError:
        usable = False
    if not usable:
        raise RefusedError(
            "the name of the place to write is empty, or holds a NUL or half a character",
            hint="name a file or folder",
        )
    return Path(text)


def _is_whole(text: str) -> bool:
    """Tell whether a text holds whole characters only, and no NUL."""
    return "\0" not in text and not any("\ud800" <= sign <= "\udfff" for sign in text)
