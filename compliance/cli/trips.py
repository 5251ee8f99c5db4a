"""Command: trips."""

from datetime import date
from typing import Annotated

from compliance.cli.options import (
    AsFormat,
    Db,
    Format,
    On,
    Which,
    as_of,
    day_option,
    say,
    session_of,
)


def trips(
    until: Annotated[
        date | None,
        day_option("--until", "Show the trips through this day; later ones are only named."),
    ] = None,
    no_trip: Annotated[
        list[date] | None,
        day_option(
            "--no-trip", "A day on which nobody can go, this once; may stand several times."
        ),
    ] = None,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Show the fewest drives to town: when, where, in which order, what to bring, who comes."""
    from compliance.app.planning import make_plan
    from compliance.app.trips import find_sooner, make_trips

    with session_of(db) as session:
        planned = make_plan(session, operation, as_of(on), with_remedies=True)
        found = make_trips(planned, until=until, blocked=no_trip or ())
        sooner = find_sooner(session, planned, found)
    if output is Format.JSON:
        from compliance.outputs.trips_json import render_trips_json

        say(render_trips_json(planned.plan, found, planned.table, until, sooner=sooner))
    else:
        from compliance.outputs.trips_text import render_trips_text

        say(render_trips_text(planned.plan, found, planned.table, until, sooner=sooner))
