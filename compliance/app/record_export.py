"""Write records of applications to a file: a table or pages."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from compliance.app.record_list import Listed, check_state
from compliance.app.record_twins import find_twins
from compliance.app.resources import write_file, write_files
from compliance.base.problems import NotFoundError, RefusedError
from compliance.engine.record_page import RecordPage
from compliance.facts.model import Operation
from compliance.facts.record_book import render_books
from compliance.facts.record_clean import NO_COLUMN, Cleaned, clean_book, clean_record
from compliance.facts.record_csv import write_table
from compliance.facts.records import RecordBook
from compliance.facts.states import STATES
from compliance.outputs.records_table import list_state_rows, list_whole_rows
from compliance.outputs.records_text import render_exported
from compliance.store.applications import load_disposed, load_records
from compliance.store.reading import Readable

_HOW_TO_WRITE = "mailby record JOB writes one"
MOST_PAGES = 1_000
"""Our own limit: more records in one PDF take minutes to lay out and are read by nobody."""


def write_records(
    listed: Listed, pages: Sequence[RecordPage], path: Path, as_of: date, *, asked_by: str
) -> str:
    """Write records as CSV or PDF, by the ending of the file's name, and say what was written.

    Raises:
        RefusedError: Another ending, or too many records for pages.
        NotFoundError: No record to write, or no such state.
        OutputError: The file cannot be written.
    """
    check_state(asked_by)
    kind = path.suffix.lower()
    if kind not in {".csv", ".pdf"}:
        raise RefusedError(f"{path.name} ends neither in .csv nor in .pdf", hint="name it so")
    if not pages:
        raise NotFoundError("there is no such record to write", hint="mailby records lists them")
    cleaned: tuple[Cleaned, ...] = ()
    twins: dict[int, int] = {}
    if kind == ".csv" and asked_by:
        data = write_table(list_state_rows(pages, asked_by))
    elif kind == ".csv":
        pages, cleaned, twins = _make_fit(pages)
        data = write_table(list_whole_rows(pages))
    else:
        if len(pages) > MOST_PAGES:
            raise RefusedError(
                f"{len(pages):,} records are too many for one PDF; at most {MOST_PAGES:,}",
                hint="narrow them with --from and --to, or write a .csv",
            )
        data = _lay_out(listed, pages, as_of, asked_by)
    write_file(path, data)
    unknown = _say_state(listed, asked_by)
    return render_exported(path.name, pages, unknown, cleaned, tuple(twins.items()))


def _lay_out(listed: Listed, pages: Sequence[RecordPage], as_of: date, asked_by: str) -> bytes:
    # A table needs none of it, and loading what draws pages takes a while.
    from compliance.engine.reviews import find_old_reviews  # noqa: PLC0415
    from compliance.outputs.records_pdf import RecordsDocument, render_records  # noqa: PLC0415

    states = tuple({page.record.state: "" for page in pages})
    return render_records(
        RecordsDocument(
            name=listed.operation.legal_name,
            state=asked_by,
            as_of=as_of,
            pages=tuple(pages),
            reviews=find_old_reviews(listed.table, states, as_of),
        )
    )


def _make_fit(
    pages: Sequence[RecordPage],
) -> tuple[Sequence[RecordPage], tuple[Cleaned, ...], dict[int, int]]:
    """Make records fit for a table that is read in again.

    Shape: those to write, which of their texts are not as they are kept, and those left out because
    one before them tells of the same application. What no column holds is neither cleaned nor told.
    """
    looked = [(page, *clean_record(page.record)) for page in pages]
    twins = find_twins([record for _, record, _ in looked])
    kept = [one for one in looked if one[1].number not in twins]
    fit = [
        page if record is page.record else replace(page, record=record) for page, record, _ in kept
    ]
    told = (change for _, _, changes in kept for change in changes)
    return fit, tuple(change for change in told if change.what not in NO_COLUMN), twins


def _say_state(listed: Listed, state: str) -> str:
    """Say where a state's own list is not known, empty otherwise."""
    if not state or any(row.state == state and row.elements for row in listed.table.records):
        return ""
    return (
        f"{STATES[state]}'s own list of items is not known here; what the federal rules ask for "
        "was written. Ask the agency."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BookWritten:
    """The files written, the number of versions in them, and what they do not hold as it is."""

    paths: tuple[Path, ...]
    versions: int
    cleaned: tuple[Cleaned, ...]


def write_book(session: Readable, operation: Operation, path: Path) -> BookWritten:
    """Write every version of every record to a YAML file, or to several where one is too long.

    A text of an earlier mailby that could not be read in again is written cleaned, and told.

    Raises:
        NotFoundError: No record was ever kept.
        OutputError: A file cannot be written.
    """
    book = RecordBook(
        operation=operation.id,
        versions=load_records(session, operation.id),
        gone=load_disposed(session, operation.id),
    )
    if not book.versions and not book.gone:
        raise NotFoundError("no record is kept, so there is none to write", hint=_HOW_TO_WRITE)
    book, cleaned = clean_book(book)
    parts = render_books(book)
    names = [path.name, *(f"{path.stem}-{at}{path.suffix}" for at in range(2, len(parts) + 1))]
    contents = {name: part.encode() for name, part in zip(names, parts, strict=True)}
    paths = write_files(path.parent, contents)
    return BookWritten(paths=paths, versions=len(book.versions), cleaned=cleaned)
