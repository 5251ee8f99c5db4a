"""Commands: log flew, accident, departure, moved, changed, asked, trained, refused, did."""

from datetime import date, datetime
from typing import Annotated

import typer

from compliance.cli.clock import stamp
from compliance.cli.log import Happened, Today, app
from compliance.cli.options import Db, On, Which, as_of, say, session_of

_MOST_HOURS = 10_000

Job = Annotated[str, typer.Argument(metavar="JOB", help="A job of the operation.")]
MaybeJob = Annotated[str, typer.Argument(metavar="[JOB]", help="The job, if it was on one.")]
Aircraft = Annotated[
    str,
    typer.Option("--aircraft", metavar="ID", help="Which aircraft; the job's only one without."),
]
Pilot = Annotated[
    str, typer.Option("--pilot", metavar="ID", help="Which pilot; the job's only one without.")
]
Person = Annotated[
    str, typer.Option("--pilot", metavar="ID", help="Whose it is; the operation's without.")
]
About = Annotated[
    str,
    typer.Option(
        "--about", metavar="DUTY", help="Which duty begins with it; not needed when only one does."
    ),
]
At = Annotated[
    str,
    typer.Option(
        "--at", metavar="DAY TIME", help='When, on the wall there, such as "2027-06-01 06:10".'
    ),
]


def _tell(
    kind: str,
    today: date | None,
    operation: str | None,
    db: str | None,
    **details: str | date | int | None,
) -> None:
    from compliance.app.duties import Told, add_event
    from compliance.facts.events import JobEventKind
    from compliance.outputs.events_text import render_event

    given = {name: value for name, value in details.items() if value is not None and value != ""}
    told = Told(kind=JobEventKind(kind), **given)  # type: ignore[arg-type] # checked by the commands
    with session_of(db) as session:
        kept = add_event(session, operation, told, as_of(today), _now(today))
    say(render_event(kept.event, kept.duties, kept.remarks, as_of=as_of(today)))


def _now(today: date | None) -> datetime | None:
    return stamp(None) if today is None else None


def flew(
    job: Job,
    start: Annotated[
        str,
        typer.Option("--from", metavar="DAY TIME", help='Its start, such as "2027-06-01 06:10".'),
    ],
    end: Annotated[
        str, typer.Option("--to", metavar="TIME", help="Its end, such as 07:45; or day and time.")
    ],
    aircraft: Aircraft = "",
    pilot: Pilot = "",
    product: Annotated[
        str, typer.Option("--product", metavar="NAME", help="What was dispensed; its id or name.")
    ] = "",
    re_entry: Annotated[
        int | None,
        typer.Option(
            "--re-entry",
            metavar="HOURS",
            min=0,
            max=_MOST_HOURS,
            help="Restricted-entry interval on the label; your file's without.",
        ),
    ] = None,
    anyway: Annotated[
        str, typer.Option("--anyway", metavar="WHY", help="Keep it though it looks wrong; why.")
    ] = "",
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """A flight that dispensed something; it starts the clocks of records, copies and posting."""
    _tell(
        "flew",
        today,
        operation,
        db,
        job=job,
        start=start,
        end=end,
        aircraft=aircraft,
        pilot=pilot,
        product=product,
        re_entry_hours=re_entry,
        anyway=anyway,
    )


def accident(
    at: At,
    job: MaybeJob = "",
    aircraft: Aircraft = "",
    pilot: Pilot = "",
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """An accident or incident. Help the injured first; some reports are due at once."""
    _tell("accident", today, operation, db, job=job, start=at, aircraft=aircraft, pilot=pilot)


def departure(
    at: At,
    job: MaybeJob = "",
    aircraft: Aircraft = "",
    pilot: Pilot = "",
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """A rule was departed from in an emergency."""
    _tell("departure", today, operation, db, job=job, start=at, aircraft=aircraft, pilot=pilot)


def moved(
    pilot: Person = "",
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """An address changes: of the operation, or of one pilot; up to a year ahead."""
    _tell("moved", today, operation, db, pilot=pilot, on=on)


def changed(
    about: About = "",
    aircraft: Annotated[
        str, typer.Option("--aircraft", metavar="ID", help="Which aircraft it is about.")
    ] = "",
    pilot: Person = "",
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Something that an office knows changes: name, owner, kind of work; up to a year ahead."""
    _tell("changed", today, operation, db, about=about, aircraft=aircraft, pilot=pilot, on=on)


def asked(
    about: About = "",
    job: MaybeJob = "",
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Somebody asked for a copy, a record or a proof."""
    _tell("asked", today, operation, db, about=about, job=job, on=on)


def trained(
    about: About = "",
    pilot: Person = "",
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """A training, an examination or a recertification was done."""
    _tell("trained", today, operation, db, about=about, pilot=pilot, on=on)


def refused(
    about: About = "",
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """An office refused something; some answers have a last day."""
    _tell("refused", today, operation, db, about=about, on=on)


def did(
    duty: Annotated[
        str,
        typer.Argument(metavar="DUTY", help="A duty as `mailby duties` names it, DUTY/OCCASION."),
    ],
    on: Happened = None,
    and_before: Annotated[
        bool, typer.Option("--and-before", help="The earlier ones of this duty are done too.")
    ] = False,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """A duty is done: told, reported, written, posted or filed."""
    from compliance.app.duties import tick_duty
    from compliance.outputs.events_text import render_ticked

    day = as_of(today)
    with session_of(db) as session:
        ticked = tick_duty(
            session,
            operation,
            duty,
            on=on if on is not None else day,
            and_before=and_before,
            today=day,
            now=_now(today),
        )
    say(render_ticked(ticked.event, ticked.settled))


def withdraw_event(
    number: Annotated[int, typer.Argument(metavar="NUMBER", help="Event to withdraw.")],
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Withdraw a wrong flight or other event; `mailby show` lists them with their numbers."""
    from compliance.app.duties import withdraw_event as withdraw

    with session_of(db) as session:
        event = withdraw(session, operation, number, as_of(on))
    say(f"event {number} is withdrawn by event {event.number}")


for _name, _command in (
    ("flew", flew),
    ("accident", accident),
    ("departure", departure),
    ("moved", moved),
    ("changed", changed),
    ("asked", asked),
    ("trained", trained),
    ("refused", refused),
    ("did", did),
    ("withdraw-event", withdraw_event),
):
    app.command(_name)(_command)
