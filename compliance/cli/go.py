"""Command: go: whether this aircraft, this pilot and this job are in order on a day."""

from typing import Annotated

import typer

from compliance.base.problems import ExitCode
from compliance.cli.clock import stamp
from compliance.cli.options import AsFormat, Db, Format, On, Which, as_of, reading_of, say


def go(
    job: Annotated[
        str, typer.Option("--job", metavar="JOB", help="Only this job, whether it is on or not.")
    ] = "",
    aircraft: Annotated[
        str, typer.Option("--aircraft", metavar="ID", help="Only with this aircraft.")
    ] = "",
    pilot: Annotated[str, typer.Option("--pilot", metavar="ID", help="Only with this pilot.")] = "",
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Say GO or NO-GO for the jobs of a day, with every paper; NO-GO exits with 10."""
    from compliance.app.in_force import look_at_morning
    from compliance.engine.in_force import Answer

    with reading_of(db) as session:
        morning = look_at_morning(
            session,
            operation,
            as_of(on),
            job=job,
            aircraft=aircraft,
            pilot=pilot,
            now=stamp(None) if on is None else None,
        )
    answers = tuple((one.standing, one.duties) for one in morning.jobs)
    if output is Format.JSON:
        from compliance.outputs.go_json import render_go_json

        say(render_go_json(morning.operation, morning.on, answers, morning.next_job))
    else:
        from compliance.outputs.go_text import render_go_text

        say(render_go_text(morning.operation, morning.on, answers, morning.next_job))
    if any(standing.answer is Answer.NO_GO for standing, _ in answers):
        raise typer.Exit(ExitCode.OVERDUE)
