"""Command: renewals: what ends in the years ahead, and by when its renewal is sent off."""

from typing import Annotated

import typer

from compliance.cli.options import AsFormat, Db, Format, On, Which, as_of, say, session_of


def renewals(
    years: Annotated[
        int, typer.Option("--years", metavar="N", help="Years ahead to look, 1 to 10.")
    ] = 2,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Show what ends in the years ahead, and by when each renewal must be on its way."""
    from compliance.app.renewals import look_ahead

    with session_of(db) as session:
        farm, ahead = look_ahead(session, operation, as_of(on), years)
    if output is Format.JSON:
        from compliance.outputs.renewals_json import render_renewals_json

        say(render_renewals_json(farm, ahead))
    else:
        from compliance.outputs.renewals_text import render_renewals_text

        say(render_renewals_text(farm, ahead))
