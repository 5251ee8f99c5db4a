"""Command: setup."""

import contextlib
import sys
from collections.abc import Mapping
from typing import Annotated

import typer

from compliance.base.problems import ExitCode
from compliance.cli.clock import new_namespace, today
from compliance.cli.options import Db, say, session_of


def set_up(
    restart: Annotated[
        bool, typer.Option("--restart", help="Forget the answers so far and begin anew.")
    ] = False,
    operation: Annotated[
        str | None, typer.Option("--operation", metavar="ID", help="Change this known operation.")
    ] = None,
    db: Db = None,
) -> None:
    """Ask for your facts in plain words; stop at any time and go on later.

    With --operation, what is known of that operation is offered and can be changed.
    """
    from compliance.app.interview import StoppedError
    from compliance.app.setup import hold_interview, keep_operation, keep_state, load_setup
    from compliance.outputs.show_text import render_changes

    take_any_bytes()
    with session_of(db) as session:
        begin = load_setup(session, operation, restart=restart)

    def keep(state: Mapping[str, str]) -> None:
        with session_of(db) as session:  # its own transaction: what is typed is never lost
            keep_state(session, begin, state)

    try:
        known = hold_interview(begin, ask_line, say, keep)
    except StoppedError:
        _say_stopped("Stopped", begin.command)
        return
    except (EOFError, KeyboardInterrupt):
        _say_stopped("Stopped before the end", begin.command)
        raise typer.Exit(ExitCode.CRASH) from None
    with session_of(db) as session:
        changes = keep_operation(session, begin, known, namespace=new_namespace(), today=today())
    say(render_changes(known, changes))


def take_any_bytes() -> None:
    """Let bytes that are no UTF-8 reach the checks, which refuse them in words."""
    reconfigure = getattr(sys.stdin, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="surrogateescape")


def _say_stopped(what: str, command: str) -> None:
    say(f"\n{what}; your answers are kept.\nNext: {command} goes on from here")


def ask_line(prompt: str) -> str:
    """Show a prompt and read one line; a closed or lost input counts as its end."""
    if sys.stdin is None or sys.stdin.closed:
        raise EOFError
    is_terminal = sys.stdin.isatty()
    if is_terminal:
        with contextlib.suppress(ImportError):
            import readline  # noqa: F401 - lets the line be edited; it is missing on some systems
    try:
        line = input(prompt)
    except OSError:
        raise EOFError from None
    if not is_terminal:
        # A record of the talk then reads like one; what does not print is shown as a mark.
        say("".join(letter if letter.isprintable() else "?" for letter in line))
    return line
