"""Reading rows by whichever way a database was opened.

Building the classes of the tables takes longer than reading all their rows. So a command that only
reads opens its SQLite file with the driver itself, unless something about the file is unusual;
then, and for other databases and for commands that write, a session reads. One question serves
both, and gives the same values.
"""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING, Any, Union

from compliance.store.questions import Question
from compliance.store.reader import Reader, open_reader

if TYPE_CHECKING:
    from sqlmodel import Session

Readable = Union["Session", Reader]
Row = dict[str, Any]


@contextmanager
def open_reading(url: str) -> Iterator[Readable]:
    """Open a database in one transaction to read from it; a missing file is made.

    Raises:
        StoreError: As ``open_session`` refuses.
    """
    reader = open_reader(url)
    if reader is not None:
        with closing(reader):
            yield reader
        return
    from compliance.store.session import open_session

    with open_session(url) as session:
        yield session


def read_rows(source: Readable, question: Question) -> list[Row]:
    """Ask a database: each row is column -> value, with days as ``date`` and truths as ``bool``.

    Raises:
        StoreError: The database cannot be read.
        ValueError, TypeError: A value is none of its column's type.
    """
    if isinstance(source, Reader):
        found = source.ask(question)
    else:
        from compliance.store.session import ask_session

        found = ask_session(source, question)
    return [dict(zip(question.columns, values, strict=True)) for values in found]


def say_database(source: Readable) -> str:
    """Name a database as the user did, without a password."""
    if isinstance(source, Reader):
        return source.name
    from compliance.store.session import say_url

    return say_url(source.get_bind().engine.url)
