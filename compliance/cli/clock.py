"""The one clock of the program, and its one source of random ids."""

from datetime import UTC, date, datetime, time
from uuid import uuid4


def today() -> date:
    """Give the day on the wall of the person at the keyboard."""
    return datetime.now().astimezone().date()


def stamp(as_of: date | None) -> datetime:
    """Give the instant for time stamps: now, or noon of a day set with ``--on``."""
    if as_of is not None:
        return datetime.combine(as_of, time(12), tzinfo=UTC)
    return datetime.now(tz=UTC).replace(microsecond=0)


def new_namespace() -> str:
    """Make the random namespace under which an operation's calendar ids are made."""
    return str(uuid4())
