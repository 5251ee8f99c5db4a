"""Commands: plan, today, why."""

from datetime import date
from typing import Annotated

import typer

from compliance.base.problems import ExitCode
from compliance.cli.options import (
    AsFormat,
    Db,
    Format,
    On,
    Which,
    as_of,
    parse_day,
    say,
    session_of,
)


def plan(
    first_spray: Annotated[
        date | None,
        typer.Option(
            "--first-spray",
            metavar="DATE",
            parser=parse_day,
            help="Plan as if the first spray were on this day; nothing is kept.",
        ),
    ] = None,
    fail_if_late: Annotated[
        bool,
        typer.Option(
            "--fail-if-late",
            help="Exit with 10 when a job cannot begin in time or a paper runs out in it.",
        ),
    ] = False,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Show what to do by when, the next thing on top."""
    from compliance.app.planning import make_plan

    with session_of(db) as session:
        made = make_plan(
            session, operation, as_of(on), first_spray=first_spray, with_remedies=True
        ).plan
    if output is Format.JSON:
        from compliance.outputs.plan_json import render_plan_json

        say(render_plan_json(made))
    else:
        from compliance.outputs.plan_text import render_plan_text

        say(render_plan_text(made))
    if fail_if_late and any(job.late_by_days or job.gap for job in made.jobs):
        raise typer.Exit(ExitCode.OVERDUE)


def today(on: On = None, operation: Which = None, db: Db = None) -> None:
    """Show the few things for today and the next seven days."""
    from compliance.app.planning import make_plan
    from compliance.outputs.today_text import render_today_text

    with session_of(db) as session:
        say(render_today_text(make_plan(session, operation, as_of(on)).plan))


def why(
    name: Annotated[
        str,
        typer.Argument(
            metavar="PAPER|PACKET|STEP",
            help="A paper (faa.exemption), a packet (faa.registration-n:tg46) or a step of it "
            "(faa.registration-n:tg46/mail).",
        ),
    ],
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Say why a paper is needed or not, and what sets a date, with citations."""
    from compliance.app.planning import explain, make_plan
    from compliance.outputs.why_text import render_why_text

    with session_of(db) as session:
        explanations = explain(make_plan(session, operation, as_of(on)), name)
    say("\n".join(render_why_text(explanation) for explanation in explanations))
