"""Commands: plan, today, why."""

from datetime import date
from typing import Annotated

import typer

from compliance.base.problems import ExitCode
from compliance.cli.clock import stamp
from compliance.cli.options import (
    DEFAULT_CHANCE,
    AsFormat,
    Db,
    Format,
    On,
    WantedChance,
    Which,
    as_of,
    day_option,
    reading_of,
    say,
)


def plan(
    first_spray: Annotated[
        date | None,
        day_option(
            "--first-spray", "Plan as if the first spray were on this day; nothing is kept."
        ),
    ] = None,
    fail_if_late: Annotated[
        bool,
        typer.Option(
            "--fail-if-late",
            help="Exit with 10 when a job cannot begin in time or a paper runs out in it.",
        ),
    ] = False,
    chance: WantedChance = None,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Show what to do by when, the next thing on top."""
    from compliance.app.chances import add_chances, parse_chance
    from compliance.app.duties import add_duties
    from compliance.app.planning import make_plan
    from compliance.app.trips import add_trip_days

    wanted = parse_chance(chance if chance is not None else DEFAULT_CHANCE)
    with reading_of(db) as session:
        planned = make_plan(
            session, operation, as_of(on), first_spray=first_spray, with_remedies=True
        )
        planned = add_duties(session, planned, stamp(None) if on is None else None)
        planned = add_trip_days(planned)
        made = add_chances(session, planned.plan, planned.table, wanted)
    if output is Format.JSON:
        from compliance.outputs.plan_json import render_plan_json

        say(render_plan_json(made))
    else:
        from compliance.outputs.plan_text import render_plan_text

        say(render_plan_text(made, chance_asked=chance is not None))
    if fail_if_late and any(job.late_by_days or job.gap for job in made.jobs):
        raise typer.Exit(ExitCode.OVERDUE)


def today(on: On = None, operation: Which = None, db: Db = None) -> None:
    """Show the few things for today and the next seven days."""
    from compliance.app.duties import add_duties
    from compliance.app.planning import find_helped, make_plan
    from compliance.app.trips import add_trip_days, find_pages
    from compliance.outputs.today_text import render_today_text

    with reading_of(db) as session:
        planned = find_helped(make_plan(session, operation, as_of(on)))
        planned = add_duties(session, planned, stamp(None) if on is None else None)
        planned = add_trip_days(planned)
    say(render_today_text(planned.plan, find_pages(planned)))


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
    from compliance.app.planning import explain_any, make_plan
    from compliance.outputs.why_text import render_why_text

    with reading_of(db) as session:
        planned = make_plan(session, operation, as_of(on))
        explanations = explain_any(session, planned, name)
    reviews = planned.plan.reviews
    say("\n".join(render_why_text(explanation, reviews) for explanation in explanations))
