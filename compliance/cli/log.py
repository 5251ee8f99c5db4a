"""Commands: log signed, notarized, ... withdraw: what really happened."""

from datetime import date
from typing import Annotated

import typer

from compliance.cli.options import Db, Packet, Which, as_of, day_option, say, session_of

app = typer.Typer(
    help="Log what happened to a packet; the plan uses it. Entries are never changed: a wrong one "
    "is withdrawn.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Happened = Annotated[date | None, day_option("--on", "The day it happened; today without.")]
Today = Annotated[date | None, day_option("--today", "Take this day as today.")]
Step = Annotated[
    str, typer.Option("--step", metavar="NAME", help="Which step, when the word fits several.")
]


def _add(
    kind: str,
    packet: str,
    on: date | None,
    today: date | None,
    operation: str | None,
    db: str | None,
    **details: str | date | None,
) -> None:
    from compliance.app import logbook
    from compliance.facts.log import EventKind
    from compliance.outputs.show_text import render_logged

    now = as_of(today)
    happened = logbook.Happened(
        kind=EventKind(kind),
        packet=packet,
        on=on if on is not None else now,
        **{name: value for name, value in details.items() if value},  # type: ignore[arg-type]
    )
    with session_of(db) as session:
        added = logbook.add_entry(session, operation, happened, now)
    say(render_logged(added.entry, added.plan, added.doubts, added.judged_on))


def _simple(kind: str, words: str) -> None:
    def command(
        packet: Packet,
        on: Happened = None,
        step: Step = "",
        today: Today = None,
        operation: Which = None,
        db: Db = None,
    ) -> None:
        _add(kind, packet, on, today, operation, db, step=step)

    command.__doc__ = words
    app.command(kind)(command)


_simple("signed", "The papers were signed.")
_simple("notarized", "The notary did their part.")
_simple("checked", "The packet was checked before sealing.")
_simple("paid", "The fee was paid.")


@app.command("mailed")
def mailed(
    packet: Packet,
    on: Happened = None,
    tracking: Annotated[
        str, typer.Option("--tracking", metavar="NUMBER", help="Number on the mailing receipt.")
    ] = "",
    by: Annotated[
        str,
        typer.Option(
            "--by",
            metavar="SERVICE",
            help="How it went, if not by the mail service of your facts: first-class, priority, "
            "express, courier.",
        ),
    ] = "",
    anyway: Annotated[
        str, typer.Option("--anyway", metavar="WHY", help="Log it though it is not ready; why.")
    ] = "",
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """The packet was mailed or filed; refused while `mailby check` has not found it ready."""
    _add("mailed", packet, on, today, operation, db, tracking=tracking, by=by, anyway=anyway)


_simple("received", "The office has the packet.")


@app.command("returned")
def returned(
    packet: Packet,
    reason: Annotated[
        str, typer.Option("--reason", metavar="TEXT", help="What the office wrote.")
    ] = "",
    blank: Annotated[
        list[str] | None,
        typer.Option("--blank", metavar="ID", help="A blank at fault; as often as there are."),
    ] = None,
    still_good: Annotated[
        list[str] | None,
        typer.Option(
            "--still-good", metavar="STEP", help="Need not be done again, such as notarized."
        ),
    ] = None,
    again: Annotated[
        list[str] | None,
        typer.Option("--again", metavar="STEP", help="Do it again in any case, such as signed."),
    ] = None,
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """The office sent the packet back; says which days move.

    When no blank at fault is on a notarized page, the notary is not asked for again.
    """
    from compliance.app.logbook import Happened as What
    from compliance.app.returns import log_return
    from compliance.facts.log import EventKind
    from compliance.outputs.returned_text import render_returned

    now = as_of(today)
    happened = What(
        kind=EventKind.RETURNED,
        packet=packet,
        on=on if on is not None else now,
        reason=reason,
        blanks=tuple(blank or ()),
        still_good=tuple(still_good or ()),
    )
    with session_of(db) as session:
        found = log_return(session, operation, happened, now, again=tuple(again or ()))
    text = render_returned(found.entry, found.before, found.after, found.doubts, found.judged_on)
    say(text)


@app.command("heard")
def heard(
    packet: Packet,
    said: Annotated[
        str, typer.Option("--said", metavar="TEXT", help="What they said, in your own words.")
    ] = "",
    expects: Annotated[
        date | None, day_option("--expects", "The day they named for an answer.")
    ] = None,
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """The office said something of the packet; the day to ask moves on."""
    _add("heard", packet, on, today, operation, db, reason=said, expects=expects)


@app.command("granted")
def granted(
    packet: Packet,
    number: Annotated[
        str, typer.Option("--number", metavar="TEXT", help="Number on the paper.")
    ] = "",
    issued: Annotated[date | None, day_option("--issued", "Day of issue.")] = None,
    valid_through: Annotated[
        date | None,
        day_option("--valid-through", "Last day in force as printed; counted by the rule without."),
    ] = None,
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """The paper was issued and is in hand."""
    _add(
        "granted",
        packet,
        on,
        today,
        operation,
        db,
        number=number,
        issued_on=issued,
        valid_through=valid_through,
    )


@app.command("done")
def done(
    packet: Packet,
    step: Annotated[str, typer.Option("--step", metavar="NAME", help="The step that was done.")],
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Another step was done."""
    _add("done", packet, on, today, operation, db, step=step)


@app.command("withdraw")
def withdraw(
    number: Annotated[int, typer.Argument(metavar="NUMBER", help="Entry to withdraw.")],
    on: Happened = None,
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Withdraw a wrong entry; `mailby show` lists them with their numbers."""
    from compliance.app.logbook import say_said_in_check, withdraw_entry

    now = as_of(today)
    with session_of(db) as session:
        entry = withdraw_entry(session, operation, number, on if on is not None else now, now)
        more = say_said_in_check(session, operation, entry)
    say(f"entry {number} is withdrawn by entry {entry.number}")
    if more:
        say(more)


@app.command("import")
def import_file(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="A log file, as `mailby export --log` writes it.")
    ],
    today: Today = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Read a log file; every entry is checked, and all of them are kept or none."""
    from compliance.app.logbook import import_file as read_file

    with session_of(db) as session:
        count = read_file(session, operation, file, as_of(today))
    say(f"{count} {'entry' if count == 1 else 'entries'} added to the log")
