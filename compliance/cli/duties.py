"""Command: duties: what must be told, reported and written around flying."""

from typing import Annotated

import typer

from compliance.cli.clock import stamp
from compliance.cli.options import AsFormat, Db, Format, On, Which, as_of, say, session_of

MOST_DAYS = 3_660


def duties(
    job: Annotated[str, typer.Option("--job", metavar="JOB", help="Only those of one job.")] = "",
    days: Annotated[
        int,
        typer.Option("--days", metavar="N", min=0, max=MOST_DAYS, help="How many days ahead."),
    ] = 30,
    everything: Annotated[
        bool,
        typer.Option("--all", help="Add what is done and what begins only if something happens."),
    ] = False,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Show what must be told, reported and written around flying, and by when."""
    from compliance.app.duties import add_duties
    from compliance.app.operations import check_job
    from compliance.app.planning import make_plan

    with session_of(db) as session:
        planned = make_plan(session, operation, as_of(on))
        plan = add_duties(session, planned, stamp(None) if on is None else None).plan
    check_job(plan.operation, job)
    if output is Format.JSON:
        from compliance.outputs.duties_json import render_duties_json

        say(render_duties_json(plan, job=job, days=days, everything=everything))
    else:
        from compliance.outputs.duties_text import render_duties_text

        say(render_duties_text(plan, job=job, days=days, everything=everything))
