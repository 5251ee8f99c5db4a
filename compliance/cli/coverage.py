"""Command: coverage."""

from typing import Annotated

import typer

from compliance.cli.options import AsFormat, Db, Format, On, as_of, say, session_of


def coverage(
    state: Annotated[
        str,
        typer.Argument(
            metavar="[STATE]", help="A state's code or name, or US for the federal rules."
        ),
    ] = "",
    output: AsFormat = Format.TEXT,
    on: On = None,
    db: Db = None,
) -> None:
    """Say what mailby knows state by state, how sure it is, as of when, and what to ask."""
    from compliance.app.coverage import look_at_coverage

    day = as_of(on)
    with session_of(db) as session:
        found = look_at_coverage(session, state, day)
    if output is Format.JSON:
        from compliance.outputs.coverage_json import render_coverage_json

        say(render_coverage_json(found, day))
        return
    from compliance.outputs.coverage_text import render_coverage, render_coverage_list

    say(render_coverage(found[0], day) if state.strip() else render_coverage_list(found, day))
