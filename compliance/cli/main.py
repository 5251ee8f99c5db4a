"""The command ``mailby``: its commands, and the one place where errors become words and codes."""

import gc
import io
import os
import sys
from collections.abc import Sequence
from itertools import pairwise

import typer

from compliance.base.problems import DataProblemsError, ExitCode, MailbyError
from compliance.base.signs import show_signs
from compliance.cli.commands import CommandGroup
from compliance.cli.options import give_up_output

_OBJECTS_BEFORE_CLEANING = 50_000
_TYPER_INTERRUPTED = 130  # what typer makes of Ctrl-C

app = typer.Typer(
    name="mailby",
    cls=CommandGroup,
    help=(
        "Paperwork deadlines for people who spray fields with small unmanned aircraft: which "
        "papers, mailed by when, and why. A planning aid, not legal advice."
    ),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback(invoke_without_command=True)
def _root(
    version: bool = typer.Option(False, "--version", help="Print the version and stop."),
) -> None:
    if version:
        from importlib.metadata import version as read_version

        typer.echo(f"mailby {read_version('mailby')}")
        raise typer.Exit


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and give its exit code; no traceback ever leaves it.

    Exit codes are those of ``ExitCode``. Results go to standard output, problems and errors to
    standard error; with ``--format json`` problems are written as JSON, those of a command that was
    typed wrong too.
    """
    _ready_for_any_text()
    arguments = list(sys.argv[1:] if argv is None else argv)
    as_json = "--format=json" in arguments or _follows(arguments, "--format", "json")
    try:
        # Without its own explanations typer raises what is wrong, and gives the exit code.
        code = app(args=arguments, prog_name="mailby", standalone_mode=not as_json)
        if as_json and isinstance(code, int):
            return _end(code)
    except SystemExit as stop:  # how typer ends, also after a usage error it has explained
        return _end(stop.code)
    except BrokenPipeError:
        # The reader (head, less) has gone; there is nobody left to tell.
        give_up_output()
        return ExitCode.CRASH
    except (Exception, KeyboardInterrupt) as error:  # the boundary: a sentence, not a traceback
        if os.environ.get("MAILBY_DEBUG") and not isinstance(error, MailbyError):
            raise
        text, code = _explain(error, as_json=as_json)
        typer.echo(show_signs(text), err=True)
        return code
    return ExitCode.DONE


def _end(code: object) -> int:
    """Give the exit code for the one that typer ended with."""
    if code == _TYPER_INTERRUPTED:
        typer.echo("stopped; nothing was lost", err=True)
        return ExitCode.CRASH
    return code if isinstance(code, int) else ExitCode.CRASH


def _ready_for_any_text() -> None:
    """Let no name stop a result: what a screen cannot show is written as its code.

    Files and pipes get UTF-8 wherever we run, because that is what ``mailby load`` reads.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            encoding = stream.encoding if stream.isatty() else "utf-8"
            stream.reconfigure(encoding=encoding, errors="backslashreplace")


def _explain(error: BaseException, *, as_json: bool) -> tuple[str, ExitCode]:
    """Give what to tell the user about an error, and the exit code."""
    if isinstance(error, MailbyError):
        return _say_json(error) if as_json else _say(error), error.exit_code
    if isinstance(error, KeyboardInterrupt | typer.Abort):
        return "stopped; nothing was lost", ExitCode.CRASH
    if isinstance(error, RecursionError | MemoryError):
        return "the input is too large or too deeply nested to work with", ExitCode.DATA
    if as_json and getattr(error, "exit_code", None) == ExitCode.USAGE:
        return _say_json(_UsageError(error)), ExitCode.USAGE
    text = (
        f"mailby has met a fault of its own and stopped: {type(error).__name__}: {error}\n"
        "  hint: nothing was half written; run it again with MAILBY_DEBUG=1 and report it"
    )
    return text, ExitCode.CRASH


class _UsageError(MailbyError):
    """What typer says of a command that was typed wrong."""

    exit_code = ExitCode.USAGE

    def __init__(self, error: BaseException) -> None:
        format_message = getattr(error, "format_message", None)
        message = " ".join((format_message() if format_message else str(error)).split())
        path = getattr(getattr(error, "ctx", None), "command_path", "mailby")
        super().__init__(message, hint=f"{path} --help")


def _follows(arguments: list[str], option: str, value: str) -> bool:
    return (option, value) in pairwise(arguments)


def _say(error: MailbyError) -> str:
    if isinstance(error, DataProblemsError):
        lines = [str(problem) for problem in error.problems]
        return "\n".join([*lines, error.message])
    return f"{error.message}\n  hint: {error.hint}" if error.hint else error.message


def _say_json(error: MailbyError) -> str:
    import json

    problems = error.problems if isinstance(error, DataProblemsError) else ()
    return json.dumps(
        {
            "error": error.message,
            "hint": error.hint,
            "problems": [
                {
                    "file": problem.place.file,
                    "line": problem.place.line,
                    "column": problem.place.column,
                    "code": problem.code,
                    "sentence": problem.sentence,
                    "hint": problem.hint,
                }
                for problem in problems
            ],
        },
        indent=2,
        ensure_ascii=False,
    )


def run() -> None:
    """Run as the console script."""
    # A run is short and what it imports lives to its end: looking for rubbish among it every 700
    # objects, as Python does of itself, takes a tenth of the time of a start.
    gc.set_threshold(_OBJECTS_BEFORE_CLEANING)
    sys.exit(main())
