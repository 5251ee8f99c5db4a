"""Commands: load, show, export."""

from typing import TYPE_CHECKING, Annotated

import typer

from compliance.base.problems import RefusedError
from compliance.cli.clock import new_namespace, today
from compliance.cli.options import Db, Which, output_path, reading_of, say, session_of

if TYPE_CHECKING:
    from sqlmodel import Session


def load(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A YAML file of your facts.")],
    db: Db = None,
) -> None:
    """Read a facts file; a changed file updates what is known and says what changed."""
    from compliance.app.facts_file import load_file
    from compliance.app.tables import load_table
    from compliance.outputs.show_text import render_changes

    with session_of(db) as session:
        operation, changes = load_file(
            session, file, load_table(session), namespace=new_namespace(), today=today()
        )
    say(render_changes(operation, changes))


def show(operation: Which = None, db: Db = None) -> None:
    """Print what is known of an operation and its log."""
    from compliance.app.operations import load_with_log
    from compliance.outputs.show_text import render_facts
    from compliance.store.events import load_events

    with session_of(db) as session:
        known, log = load_with_log(session, operation)
        events = load_events(session, known.id)
    say(render_facts(known, log, events))


def export(
    output: Annotated[
        str | None,
        typer.Option("-o", "--output", metavar="FILE", help="File to write; the screen without."),
    ] = None,
    log: Annotated[
        bool, typer.Option("--log", help="Export the log instead of the facts.")
    ] = False,
    records: Annotated[
        str,
        typer.Option(
            "--records",
            metavar="FILE",
            help="Write all records with every version to FILE.yaml, or as a table to FILE.csv.",
        ),
    ] = "",
    operation: Which = None,
    db: Db = None,
) -> None:
    """Write the facts (or the log, or the records) to a file, so that nothing is locked in."""
    if records:
        if log or output is not None:
            raise RefusedError(
                "--records names its own file and goes with nothing else",
                hint="run export once for the facts, once with --log and once with --records",
            )
        _export_records(records, operation, db)
        return
    from compliance.app.operations import load_with_log
    from compliance.app.resources import write_file
    from compliance.facts.write import render_log, render_operation
    from compliance.store.events import load_events

    with session_of(db) as session:
        known, entries = load_with_log(session, operation)
        events = load_events(session, known.id)
        beside = "" if log else _say_beside(session, known.id)
    text = render_log(entries, events) if log else render_operation(known)
    if output is None:
        say(text)
        if beside:
            typer.echo(beside, err=True)
        return
    written = write_file(output_path(output), text.encode())
    say(f"wrote {written}")
    if beside:
        say(beside)


def _say_beside(session: "Session", operation: str) -> str:
    """Say in one line what of an operation its facts file does not hold, and how to get it."""
    from compliance.outputs.records_text import render_beside
    from compliance.store.applications import next_record_number
    from compliance.store.attachments import load_attachments

    return render_beside(
        has_records=next_record_number(session, operation) > 1,
        has_copies=bool(load_attachments(session, operation)),
    )


def _export_records(file: str, operation: str | None, db: str | None) -> None:
    from compliance.app.record_export import write_book, write_records
    from compliance.app.record_list import list_records
    from compliance.outputs.records_text import render_book_written, render_table_note
    from compliance.store.applications import Wanted

    path = output_path(file)
    kind = path.suffix.lower()
    if kind not in {".yaml", ".yml", ".csv"}:
        raise RefusedError(
            f"{path.name} ends neither in .yaml nor in .csv",
            hint="name it so; mailby records --export FILE.pdf writes pages",
        )
    with reading_of(db) as source:
        listed = list_records(source, operation, Wanted())
        if kind == ".csv":
            say(write_records(listed, listed.records, path, today(), asked_by=""))
            say(render_table_note())
            return
        book = write_book(source, listed.operation, path)
    say(render_book_written([str(one) for one in book.paths], book.versions, book.cleaned))
