"""Commands: load, show, export."""

from typing import Annotated

import typer

from compliance.cli.clock import new_namespace
from compliance.cli.options import Db, Which, output_path, say, session_of


def load(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A YAML file of your facts.")],
    db: Db = None,
) -> None:
    """Read a facts file; a changed file updates what is known and says what changed."""
    from compliance.app.operations import load_file
    from compliance.app.tables import load_table
    from compliance.outputs.show_text import render_changes

    with session_of(db) as session:
        operation, changes = load_file(
            session, file, load_table(session), namespace=new_namespace()
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
    operation: Which = None,
    db: Db = None,
) -> None:
    """Write the facts (or the log) back as YAML, so that nothing is locked in."""
    from compliance.app.operations import load_with_log
    from compliance.app.resources import write_file
    from compliance.facts.write import render_log, render_operation
    from compliance.store.events import load_events

    with session_of(db) as session:
        known, entries = load_with_log(session, operation)
        events = load_events(session, known.id)
    text = render_log(entries, events) if log else render_operation(known)
    if output is None:
        say(text)
        return
    written = write_file(output_path(output), text.encode())
    say(f"wrote {written}")
