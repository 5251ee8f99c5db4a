"""Commands: offices, offices import, offices forget."""

from typing import Annotated

import typer

from compliance.cli.options import AsFormat, Db, Format, On, as_of, say, session_of

app = typer.Typer(
    help="How long each office takes: what the rule says, what was seen, what to believe, and when "
    "to ask. Every log of the database counts, and files of times you read in.",
    invoke_without_command=True,
    rich_markup_mode=None,
)


@app.callback()
def offices(
    context: typer.Context,
    only: Annotated[
        str, typer.Option("--only", metavar="WORD", help="Only offices whose id or title holds it.")
    ] = "",
    every: Annotated[
        bool, typer.Option("--all", help="Also offices of which nothing was seen yet.")
    ] = False,
    on: On = None,
    as_format: AsFormat = Format.TEXT,
    db: Db = None,
) -> None:
    """Show what is known of each office."""
    if context.invoked_subcommand is not None:
        return
    from compliance.app.office_reports import report_offices
    from compliance.outputs.offices_text import render_offices_json, render_offices_text

    day = as_of(on)
    with session_of(db) as session:
        reports = report_offices(session, only, day, every=every)
    is_json = as_format is Format.JSON
    say(render_offices_json(reports, day) if is_json else render_offices_text(reports, day))


@app.command("import")
def import_times(
    file: Annotated[
        str,
        typer.Argument(
            metavar="FILE",
            help="A CSV file: step (or office), sent, decided, outcome, and reached if known.",
        ),
    ],
    on: On = None,
    db: Db = None,
) -> None:
    """Read packets seen elsewhere from a CSV file; all lines are kept or none."""
    from compliance.app.offices import import_times as read_file

    with session_of(db) as session:
        kept = read_file(session, file, as_of(on))
    word = "packet" if kept.packets == 1 else "packets"
    say(
        f"{kept.packets:,} {word} read as file {kept.number}; "
        f"take it back with: mailby offices forget {kept.number}"
    )


@app.command("forget")
def forget(
    number: Annotated[
        int | None, typer.Argument(metavar="[NUMBER]", help="File to take back; without, a list.")
    ] = None,
    db: Db = None,
) -> None:
    """Take back a file of office times."""
    from compliance.app.offices import forget_times, list_files
    from compliance.outputs.offices_text import render_files

    with session_of(db) as session:
        if number is None:
            say(render_files(list_files(session)))
            return
        forget_times(session, number)
    say(f"file {number} is forgotten")
