"""Commands: record, records, records show, import, dispose."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from compliance.base.problems import ExitCode, RefusedError
from compliance.cli.options import (
    Db,
    On,
    Which,
    as_of,
    day_option,
    output_path,
    reading_of,
    say,
    session_of,
)
from compliance.cli.setup import ask_line, take_any_bytes

if TYPE_CHECKING:
    from compliance.facts.record_raw import RawRecord

app = typer.Typer(
    help="Records of applications: list them, hand them out, keep them as long as the rules ask.",
    rich_markup_mode=None,
    invoke_without_command=True,
)

Number = Annotated[int, typer.Argument(metavar="NUMBER", min=1, help="The record's number.")]


Correct = Annotated[
    int | None,
    typer.Option("--correct", metavar="NUMBER", min=1, help="Write a new version of this record."),
]
Flight = Annotated[
    int | None,
    typer.Option(
        "--flight",
        metavar="NUMBER",
        min=1,
        help="The logged flight it is of; its day, times, aircraft, pilot and product are "
        "taken from there.",
    ),
]
Anyway = Annotated[
    str,
    typer.Option(
        "--anyway",
        metavar="WHY",
        help="Why it is kept though the label does not allow it by air or was not read, or a "
        "correction moves it to another job or to a day after it was first written.",
    ),
]
Due = Annotated[
    bool, typer.Option("--due-for-disposal", help="Only those that need not be kept any more.")
]
AskedBy = Annotated[
    str,
    typer.Option(
        "--for", metavar="ST", help="Write what this state asks for, in its order; its records."
    ),
]


def record(
    job: Annotated[str, typer.Argument(metavar="JOB", help="The job the work belongs to.")],
    file: Annotated[
        str, typer.Option("--from", metavar="FILE", help="Take the record from this YAML file.")
    ] = "",
    correct: Correct = None,
    because: Annotated[
        str, typer.Option("--because", metavar="WHY", help="Why it is corrected.")
    ] = "",
    flight: Flight = None,
    log_flight: Annotated[
        bool, typer.Option("--log-flight", help="Log the flight too, when it is not in the log.")
    ] = False,
    anyway: Anyway = "",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Write the record of an application: asked one plain thing at a time, or from a file.

    A record is never changed: a correction is a new version, and the earlier ones stay. It belongs
    to the logged flight whose times it overlaps, and settles the duty to write it.
    """
    from dataclasses import replace

    from compliance.app.record_corrections import read_correction
    from compliance.app.records import add_reason, keep_record
    from compliance.app.typed import clean_typed
    from compliance.outputs.records_text import render_written

    correction = read_correction(correct, because, anyway)
    if flight is not None and log_flight:
        raise RefusedError(
            f"flight {flight} is logged already", hint="give --flight or --log-flight, not both"
        )
    today = as_of(on)
    why = clean_typed(anyway, "reason")
    about = (correct, flight, why)
    raw = _read_record(file) if file else _ask_record(job, today, about, operation, db)
    if raw is None:
        return
    raw = replace(add_reason(raw, why), flight=flight, log_flight=log_flight or raw.log_flight)
    with session_of(db) as session:
        written = keep_record(session, operation, raw, today, job=job, correction=correction)
    if not file:
        _forget(job, today, about, operation, db)
    said = written.remarks, written.logged, written.still
    say(render_written(written.page, written.filled, *said))


def _read_record(file: str) -> "RawRecord":
    from compliance.app.resources import read_user_text
    from compliance.base.problems import DataProblemsError
    from compliance.facts.record_raw import read_record_file

    raw, problems = read_record_file(read_user_text(file), file)
    if raw is None:
        raise DataProblemsError(problems)
    return raw


def _ask_record(
    job: str,
    today: date,
    about: tuple[int | None, int | None, str],
    operation: str | None,
    db: str | None,
) -> "RawRecord | None":
    """Ask for a record; *about* is what it corrects, its flight, and why it is kept anyway."""
    from compliance.app.interview import StoppedError
    from compliance.app.record_begin import keep_record_state, load_record_talk
    from compliance.app.record_talk import hold_record_talk

    take_any_bytes()
    with session_of(db) as session:
        begin = load_record_talk(session, operation, job, today, *about)

    def keep(state: Mapping[str, str]) -> None:
        with session_of(db) as session:
            keep_record_state(session, begin, state)

    try:
        return hold_record_talk(begin, ask_line, say, keep)
    except StoppedError:
        say(f"\nStopped; your answers are kept.\nNext: {begin.command} goes on from here")
        return None
    except (EOFError, KeyboardInterrupt):
        say(f"\nStopped before the end; your answers are kept.\nNext: {begin.command} goes on")
        raise typer.Exit(ExitCode.CRASH) from None


def _forget(
    job: str,
    today: date,
    about: tuple[int | None, int | None, str],
    operation: str | None,
    db: str | None,
) -> None:
    from compliance.app.record_begin import keep_record_state, load_record_talk

    with session_of(db) as session:
        begin = load_record_talk(session, operation, job, today, *about)
        keep_record_state(session, begin, {})


@app.callback()
def records(
    context: typer.Context,
    job: Annotated[str, typer.Option("--job", metavar="JOB", help="Only this job.")] = "",
    first: Annotated[date | None, day_option("--from", "From this day on.")] = None,
    last: Annotated[date | None, day_option("--to", "Through this day.")] = None,
    state: Annotated[str, typer.Option("--state", metavar="ST", help="Only this state.")] = "",
    product: Annotated[
        str, typer.Option("--product", metavar="NAME", help="Only with this in a product's name.")
    ] = "",
    export: Annotated[
        str, typer.Option("--export", metavar="FILE", help="Write them to FILE.csv or FILE.pdf.")
    ] = "",
    asked_by: AskedBy = "",
    due: Due = False,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """List the records of applications, or write them to a file.

    In a table a cell that a spreadsheet would run as a formula has an apostrophe before it.
    """
    if context.invoked_subcommand is not None:
        return
    from compliance.app.record_export import write_records
    from compliance.app.record_list import find_due, list_records
    from compliance.outputs.records_text import render_due, render_list
    from compliance.store.applications import Wanted

    if asked_by and not export:
        raise RefusedError(
            "--for belongs to --export", hint=f"add --export records-{asked_by}.csv, or .pdf"
        )
    if asked_by and state and asked_by != state:
        raise RefusedError(f"--for {asked_by} writes the records of {asked_by}, not of {state}")
    which = Wanted(job=job, first=first, last=last, state=asked_by or state, product=product)
    today = as_of(on)
    path: Path | None = output_path(export) if export else None
    with reading_of(db) as source:
        listed = list_records(source, operation, which)
        pages = find_due(listed, today) if due else listed.records
        if path is not None:
            say(write_records(listed, pages, path, today, asked_by=asked_by))
            return
    if due:
        say(render_due(pages, today))
    else:
        say(render_list(listed.operation.legal_name, pages, today))


@app.command("show")
def show(number: Number, on: On = None, operation: Which = None, db: Db = None) -> None:
    """Show one record whole, what it lacks, how long it is kept, and its earlier versions."""
    from compliance.app.flight_remarks import say_papers_then
    from compliance.app.record_list import find_one
    from compliance.outputs.records_text import render_record
    from compliance.store.records import load_log

    with reading_of(db) as source:
        listed = find_one(source, operation, number)
        log = load_log(source, listed.operation.id)
    known = listed.operation, listed.table, log
    for page in listed.records:
        say(render_record(page, as_of(on), tuple(say_papers_then(*known, page.record))))


@app.command("import")
def import_table(
    file: Annotated[
        str,
        typer.Argument(
            metavar="FILE",
            help="A CSV file with a line of columns, or a YAML file of `export --records`.",
        ),
    ],
    job: Annotated[
        str, typer.Option("--job", metavar="JOB", help="The job, when the table names none.")
    ] = "",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Read records from a file; all of them are kept, or none and every bad line is named.

    The columns of a CSV file are those that records --export FILE.csv writes; lines with the same
    number under record are the products of one. A YAML file brings every version back.
    """
    from compliance.app.record_import import import_book, import_records
    from compliance.outputs.records_text import render_book_imported, render_imported

    if file.lower().endswith((".yaml", ".yml")):
        if job:
            raise RefusedError(
                "--job is for tables; a YAML file names the job of each record", hint="leave it out"
            )
        with session_of(db) as session:
            book = import_book(session, operation, file, as_of(on))
        say(render_book_imported(book.versions, book.known, book.gone, book.twins))
        return
    with session_of(db) as session:
        found = import_records(session, operation, file, as_of(on), job=job)
    say(render_imported(found.first, found.last, found.incomplete, found.late, found.undated))


@app.command("dispose")
def dispose(
    numbers: Annotated[
        list[int], typer.Argument(metavar="NUMBER...", min=1, help="Records to throw away.")
    ],
    anyway: Annotated[
        str,
        typer.Option(
            "--anyway",
            metavar="WHY",
            help="What the agency said, where no rule of the state is known.",
        ),
    ] = "",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Throw records away; refused before the last day any rule asks to keep them."""
    from compliance.app.records import dispose_records
    from compliance.outputs.records_text import render_disposed

    with session_of(db) as session:
        gone = dispose_records(session, operation, numbers, as_of(on), anyway)
    say(render_disposed([(one.number, one.on) for one in gone]))
