"""What is said when a database cannot be used, whichever way it was opened."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from compliance.base.problems import StoreError

# SQLite's and PostgreSQL's words for a column or table that is not there.
_LACKING = re.compile(
    r"no such (?:column|table)|has no column named|(?:column|relation) .* does not exist"
)
_RESTORE = "restore a copy, or load the YAML file into a new one with --db"


@contextmanager
def refuse_unreadable(what: str) -> Iterator[None]:
    """Turn a stored value that cannot be read into a refusal; *what* names what was loaded.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    try:
        yield
    except (ValueError, TypeError, ArithmeticError) as error:
        raise StoreError(
            f"the database holds {what} with a value that mailby does not write: {error}",
            hint=_RESTORE,
        ) from error


def refuse_half_characters(error: UnicodeEncodeError) -> StoreError:
    """Refuse a text that is not whole Unicode, as a terminal may pass on."""
    return StoreError(
        f"a text cannot be kept, because a part of it is no character: {error.object!r}",
        hint="type it again, or set the terminal to UTF-8; nothing of this change was kept",
    )


def is_cut(file: str, page_size: int) -> bool:
    """Tell whether a SQLite file's last page was cut: SQLite would read noughts in its place."""
    return bool(file) and Path(file).stat().st_size % page_size != 0


def refuse_damaged(name: str) -> StoreError:
    """Refuse a file that is no database, or no longer a whole one."""
    return StoreError(f"{name} is not a database, or it is damaged", hint=_RESTORE)


def explain_database_error(text: str, name: str, *, is_operational: bool) -> StoreError:
    """Say in plain words what the database said; *is_operational* is the driver's kind of error."""
    low = text.lower()
    if "locked" in low:
        hint = "another mailby is writing; wait a moment and try again"
        return StoreError(f"the database {name} is locked", hint=hint)
    if "disk is full" in low or "disk i/o error" in low:
        return _explain_disk(low, name)
    if "readonly" in low or "read-only" in low:
        hint = "make the file and its folder writable, or choose another with --db"
        return StoreError(f"the database {name} can be read but not written", hint=hint)
    if "not a database" in low or "malformed" in low or "could not decode" in low:
        return refuse_damaged(name)
    if _LACKING.search(low):
        return _explain_lacking(text, name)
    what = "cannot be opened" if is_operational else "refused the change"
    return StoreError(f"the database {name} {what}: {text}", hint="check the name and its folder")


def _explain_lacking(text: str, name: str) -> StoreError:
    """Say that a table or column is missing, which an earlier version did not know."""
    lacks = text.splitlines()[0]
    return StoreError(
        f"the database {name} was made by an earlier mailby and lacks what this one keeps: {lacks}",
        hint="with that earlier mailby write out the facts (mailby export -o FILE), the log "
        "(--log) and the records (--records FILE), and read them into a new database with --db; "
        "this one was left alone",
    )


def _explain_disk(low: str, name: str) -> StoreError:
    if "disk is full" in low:
        hint = "free some space; nothing of this change was kept"
        return StoreError(f"the disk is full; the database {name} was not changed", hint=hint)
    hint = "look at the disk and its free space; nothing of this change was kept"
    return StoreError(f"the disk failed while the database {name} was in use", hint=hint)
