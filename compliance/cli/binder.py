"""Commands: attach, attachments, detach, binder: copies of papers, and one PDF of all of them."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from compliance.cli.clock import today
from compliance.cli.options import (
    Db,
    On,
    Which,
    as_of,
    day_option,
    kept_folder,
    output_path,
    say,
    session_of,
)

if TYPE_CHECKING:
    from compliance.app.binder import BinderWritten


def attach(
    name: Annotated[
        str,
        typer.Argument(
            metavar="PAPER|PACKET",
            help="The paper it is a copy of, the aircraft or pilot after a colon.",
        ),
    ],
    file: Annotated[str, typer.Argument(metavar="FILE", help="A PDF, JPEG, PNG or TIFF file.")],
    what: Annotated[
        str, typer.Option("--what", metavar="TEXT", help='What it is, such as "licence card".')
    ] = "",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Keep a copy of a paper, a receipt or a letter beside the database, for your eyes only."""
    from compliance.app.attachments import FOLDER, attach_file
    from compliance.outputs.attachments_text import render_attached

    folder = kept_folder(db, FOLDER)
    with session_of(db) as session:
        done = attach_file(session, operation, name, file, what, folder, as_of(on))
    say(render_attached(done.attachment, str(done.kept), is_new=done.is_new))


def attachments(
    every: Annotated[bool, typer.Option("--all", help="Those that were detached too.")] = False,
    operation: Which = None,
    db: Db = None,
) -> None:
    """List the copies attached to papers and packets."""
    from compliance.app.attachments import FOLDER, list_attachments
    from compliance.outputs.attachments_text import render_attachments

    with session_of(db) as session:
        known, found = list_attachments(session, operation)
    say(render_attachments(known, found, str(kept_folder(db, FOLDER)), every=every))


def detach(
    number: Annotated[
        int, typer.Argument(metavar="NUMBER", help="The copy's number in `mailby attachments`.")
    ],
    why: Annotated[
        str, typer.Option("--why", metavar="TEXT", help="Why it no longer counts.")
    ] = "",
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Leave a copy out of binders from now on; its file stays where it is."""
    from compliance.app.attachments import FOLDER, detach
    from compliance.outputs.attachments_text import render_detached

    with session_of(db) as session:
        found = detach(session, operation, number, why, as_of(on))
    say(render_detached(found, str(kept_folder(db, FOLDER) / found.kept_name)))


def binder(
    output: Annotated[
        str, typer.Option("-o", "--output", metavar="FILE", help="PDF file to write.")
    ],
    job: Annotated[
        str, typer.Option("--job", metavar="JOB", help="Only the papers that one job needs.")
    ] = "",
    first: Annotated[
        date | None, day_option("--from", "First day of the applications and mailings to show.")
    ] = None,
    last: Annotated[date | None, day_option("--to", "Last day of them, inclusive.")] = None,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Write one PDF with every paper, its copies, records, mailings and open items, in order."""
    from compliance.app.attachments import FOLDER
    from compliance.app.binder import Wish, write_binder

    path = output_path(output)
    wish = Wish(as_of=as_of(on), printed_on=today(), job=job, first=first, last=last)
    with session_of(db) as session:
        written = write_binder(session, operation, wish, kept_folder(db, FOLDER), path)
    _say_written(written)


def _say_written(written: "BinderWritten") -> None:
    from compliance.outputs.attachments_text import render_binder_written

    say(
        render_binder_written(
            str(written.path), written.pages, written.shown, written.kept_out, written.left_out
        )
    )
