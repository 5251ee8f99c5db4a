"""Commands: packet, calendar, demo: files for the envelope, the phone and a first look."""

import shlex
from typing import TYPE_CHECKING, Annotated

import typer

from compliance.cli.clock import new_namespace, stamp, today
from compliance.cli.options import Db, On, Which, as_of, kept_folder, output_path, say, session_of

if TYPE_CHECKING:
    from compliance.app.own_papers import OwnPaper


def packet(
    name: Annotated[
        str,
        typer.Argument(
            metavar="PACKET", help="A packet of the plan, or `all` that are to be sent."
        ),
    ],
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="DIR", help="Folder to write into.")
    ] = ".",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Write a packet's checklist, its cover sheet, and the papers mailby can write itself."""
    from compliance.app.own_papers import keep_own_papers
    from compliance.app.packet_files import write_packet, write_packets
    from compliance.app.planning import make_plan
    from compliance.app.verdicts import load_results

    folder, day = output_path(output), as_of(on)
    with session_of(db) as session:
        planned = make_plan(session, operation, day)
        sending = tuple(one for one in planned.plan.papers if one.packet.planned)
        checks = load_results(session, planned, tuple(one.id for one in sending))

    def keep(papers: "tuple[OwnPaper, ...]") -> None:
        with session_of(db) as session:
            keep_own_papers(session, papers, kept_folder(db, "forms"), day, clock_day=today())

    if name == "all":
        written = write_packets(planned, sending, folder, checks, keep)
    else:
        written = (write_packet(planned, name, folder, checks, keep),)
    for one in written:
        for path in one.paths:
            say(f"wrote {path}")
    if not written:
        say("every paper needed is in hand; there is no packet to send")


def calendar(
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="FILE", help="Calendar file to write.")
    ] = "mailby.ics",
    years: Annotated[
        int | None,
        typer.Option(
            "--years",
            metavar="N",
            min=0,
            help="Renewals of so many years ahead too, up to 10; remembered, 0 takes them off.",
        ),
    ] = None,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Write the dates as a calendar file for a phone; the same dates give the same bytes."""
    from compliance.app.calendar_file import write_calendar
    from compliance.outputs.calendar_entries import say_without_day
    from compliance.outputs.duty_entries import say_left_out
    from compliance.outputs.words import CAUTION, wrap

    with session_of(db) as session:
        written = write_calendar(
            session, operation, as_of(on), stamp(on), output_path(output), years=years
        )
    say(
        f"wrote {written.path}: {written.entries} entries; {written.added} new, "
        f"{written.moved} moved, {written.cancelled} taken off"
    )
    if written.without_day:
        say(wrap(say_without_day(written.without_day, written.new_without_day)))
    if written.years:
        ahead = "1 year" if written.years == 1 else f"{written.years} years"
        say(f"Renewals of {ahead} ahead are in it; --years 0 takes them off.")
    if written.older:
        say(wrap(say_left_out(written.older)))
    say(
        "Put it in a calendar of its own, so that you can delete that calendar and begin again. "
        "Some calendars drop reminders on import; set a reminder on that calendar too."
    )
    say(wrap(CAUTION))


def demo(
    into: Annotated[
        str, typer.Option("--into", metavar="DIR", help="Folder for the demo's files.")
    ] = "mailby-demo",
) -> None:
    """Show the whole job on an invented operation: plan, packets, calendar, all written."""
    from compliance.app.demo import run_demo
    from compliance.outputs.plan_text import render_plan_text

    shown = run_demo(output_path(into), namespace=new_namespace())
    say(render_plan_text(shown.plan))
    say(f"Written to {shown.folder}:")
    for path in shown.paths:
        say(f"  {path}")
    rest = f"--db {shlex.quote(str(shown.database))} --on {shown.plan.as_of}"
    say(f"\nGo on with it: mailby today {rest}")
    say(f"  mailby why faa.registration-n {rest}")
