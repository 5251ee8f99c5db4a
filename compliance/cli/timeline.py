"""Command: timeline: the season on one page, or the chance of one packet by the day it is sent."""

from typing import Annotated

import typer

from compliance.cli.options import Db, On, Which, as_of, output_path, say, session_of


def timeline(
    output: Annotated[
        str,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="Picture to write; its name ends with .pdf, .svg or .png.",
        ),
    ] = "season.pdf",
    chance: Annotated[
        str,
        typer.Option(
            "--chance",
            metavar="PACKET",
            help="Draw instead how likely this packet is in time, by the day it is sent off.",
        ),
    ] = "",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Draw the season on one page: what happened, what is ahead, and the days to mail by."""
    from compliance.app.timeline_file import write_timeline

    path = output_path(output)
    with session_of(db) as session:
        written = write_timeline(session, operation, as_of(on), path, chance_of=chance)
    pages = f", {written.pages} pages" if written.pages > 1 else ""
    lines = f": {written.rows} {'line' if written.rows == 1 else 'lines'}" if not chance else ""
    say(f"wrote {written.path}{lines}{pages}")
