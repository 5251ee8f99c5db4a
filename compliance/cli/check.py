"""Command: check: look over a packet's papers before the envelope is sealed."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from compliance.base.problems import ExitCode, RefusedError
from compliance.base.signs import drop_signs
from compliance.cli.options import (
    AsFormat,
    Db,
    Format,
    On,
    Which,
    as_of,
    kept_folder,
    output_path,
    say,
    session_of,
)

if TYPE_CHECKING:
    from compliance.app.checking import Checking


CheckedPacket = Annotated[
    str, typer.Argument(metavar="[PACKET]", help="A packet, such as faa.registration-n:tg46.")
]
Answers = Annotated[
    str | None,
    typer.Option("--answers", metavar="FILE", help="Take the answers from a YAML file."),
]
Filled = Annotated[
    list[str] | None,
    typer.Option("--file", metavar="PDF", help="Read one filled PDF; needs mailby[scan]."),
]
Scans = Annotated[
    list[str] | None,
    typer.Option(
        "--scan", metavar="PICTURE", help="Look at a photo or scan; repeatable; needs mailby[scan]."
    ),
]
Document = Annotated[
    str, typer.Option("--document", metavar="NAME", help="Which document the file or picture is.")
]
Sheet = Annotated[
    int, typer.Option("--sheet", min=1, max=20, help="Which of several, such as bills of sale.")
]
Confirm = Annotated[
    bool, typer.Option("--confirm", help="Confirm which field of the PDF is which blank; kept.")
]
WriteTies = Annotated[
    str | None,
    typer.Option(
        "--write-ties",
        metavar="FILE",
        help="Write which field of the PDF is which blank into this file, to be mended; no check.",
    ),
]
Ties = Annotated[
    str | None,
    typer.Option(
        "--ties",
        metavar="FILE",
        help="In place of --confirm: a file of --write-ties that you mended; kept.",
    ),
]
Pictures = Annotated[
    str | None,
    typer.Option("--pictures", metavar="DIR", help="Write the marked pages and crops here."),
]
WriteAnswers = Annotated[
    str | None,
    typer.Option("--write-answers", metavar="FILE", help="Write the answers so far as YAML."),
]
AskOpen = Annotated[
    bool | None,
    typer.Option(
        "--ask/--no-ask",
        help="Ask what is still open, one question a time; asked without --answers, --file and "
        "--scan, and with them after --ask.",
        show_default=False,
    ),
]
ListChecks = Annotated[
    bool, typer.Option("--list", help="List what is checked, with source and example.")
]


def check(
    packet: CheckedPacket = "",
    answers: Answers = None,
    filled: Filled = None,
    scan: Scans = None,
    document: Document = "",
    sheet: Sheet = 1,
    confirm: Confirm = False,
    write_ties: WriteTies = None,
    ties: Ties = None,
    pictures: Pictures = None,
    write_answers: WriteAnswers = None,
    ask: AskOpen = None,
    list_checks: ListChecks = False,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Check a packet before mailing: exits with 0 when it is ready, with 3 when it is not."""
    if list_checks:
        from compliance.engine.crosschecks import CROSSCHECKS
        from compliance.outputs.check_text import render_crosschecks

        say(render_crosschecks(CROSSCHECKS))
        return
    if not packet:
        raise typer.BadParameter("name a packet; mailby plan shows them", param_hint="PACKET")
    file = _choose_pdf(filled, scan)
    if (write_ties is not None or ties is not None) and file is None:
        raise typer.BadParameter("name the filled PDF with --file too", param_hint="--ties")
    state, known = _open(packet, operation, as_of(on), answers, db)
    if file is not None and write_ties is not None:
        _write_ties(state, file, document, write_ties, db)
        return
    if file is not None and ties is not None:
        _take_ties(state, file, document, ties, db)
    if file is not None or scan:
        state, lines = _look(
            state, file, scan or [], document, sheet, pictures, db, confirm=confirm
        )
        known = (*known, *lines)
    _tell(known, output)
    if ask is None:
        ask = answers is None and file is None and not scan
    if ask and output is Format.TEXT:
        state = _ask(state, db)
    _close(state, write_answers, output, db)


def _choose_pdf(files: list[str] | None, scan: list[str] | None) -> str | None:
    """Give the one PDF named; refuse several, as only their order tells the newest print."""
    if files and scan:
        raise typer.BadParameter("give either --file or --scan; the other one next time")
    if files and len(files) > 1:
        raise typer.BadParameter(
            "give one PDF at a time, the newest print last", param_hint="--file"
        )
    return files[0] if files else None


def _open(
    packet: str,
    operation: str | None,
    day: date,
    answers: str | None,
    db: str | None,
) -> tuple["Checking", tuple[str, ...]]:
    """Take up the check of a packet where it was left, and the answers of a file.

    Nothing is kept yet: a run that is refused later on changes no verdict, so that what there is to
    tell is given back, to be told once it holds.
    """
    from compliance.app import checking
    from compliance.app.changed_files import drop_changed
    from compliance.app.overruled import say_overruled
    from compliance.app.planning import make_plan
    from compliance.app.retold import leave_older_ink

    with session_of(db) as session:
        state = checking.open_checking(session, make_plan(session, operation, day), packet)
    state, changed = drop_changed(state)
    other: tuple[str, ...] = ()
    if answers is not None:
        before = state
        state, other = leave_older_ink(state, checking.take_answers(state, answers))
        other = (*other, *say_overruled(before, state))
    return state, (*state.dropped, *changed, *other)


def _close(state: "Checking", write_answers: str | None, output: Format, db: str | None) -> None:
    """Keep the check, show its verdict, and end with 3 unless the packet is ready."""
    from compliance.app import checking
    from compliance.app.file_notes import note_files

    with session_of(db) as session:
        result = note_files(session, checking.keep_checking(session, state), state)
    if write_answers is not None:
        checking.write_answers(state, write_answers)
    if output is Format.JSON:
        from compliance.outputs.check_json import render_check_json

        say(render_check_json(result))
    else:
        from compliance.outputs.check_text import render_check_text

        say(render_check_text(result))
    if not result.ready:
        raise typer.Exit(ExitCode.DATA)


def _write_ties(state: "Checking", file: str, document: str, target: str, db: str | None) -> None:
    """Write which field of a PDF is which blank, and say what to do with the file."""
    need_scan()
    from compliance.app.field_ties import render_ties
    from compliance.app.resources import write_file

    with session_of(db) as session:
        text = render_ties(session, state, file, document)
    say(f"wrote {write_file(output_path(target), text.encode())}")
    say("Mend it, then give it with --ties in place of --confirm.")


def _take_ties(state: "Checking", file: str, document: str, ties: str, db: str | None) -> None:
    """Keep the ties that somebody mended by hand."""
    need_scan()
    from compliance.app.field_ties import take_ties

    with session_of(db) as session:
        take_ties(session, state, file, document, ties, state.context.as_of)


def _look(
    state: "Checking",
    file: str | None,
    scan: list[str],
    document: str,
    sheet: int,
    pictures: str | None,
    db: str | None,
    *,
    confirm: bool,
) -> tuple["Checking", tuple[str, ...]]:
    """Look at files, keep what they show and copies of them; give what to tell the person too."""
    need_scan()
    from compliance.app import checking, evidence, kept_files
    from compliance.app.resources import read_binary, write_files

    with session_of(db) as session:
        if file is not None:
            looked = evidence.take_pdf(
                session, state, file, document, sheet, confirm=confirm, draw=pictures is not None
            )
            if looked.unconfirmed:
                raise RefusedError(
                    "is this right? Each blank, and where in the PDF it is read:\n"
                    + "\n".join(f"  - {line}" for line in looked.lines),
                    hint="if it is, run it again with --confirm, and it is kept for this edition"
                    " of the form; if not, with --write-ties FILE, mend that file, and give it"
                    " with --ties FILE",
                )
        else:
            files = tuple((path, read_binary(path)) for path in scan)
            looked = evidence.take_pictures(session, state, files, document, sheet)
        state = kept_files.keep_copies(looked.checking, kept_folder(db, "sent"))
        checking.keep_checking(session, state)
    lines = list(looked.lines)
    if pictures is not None:
        made = kept_files.list_pictures(looked.pages, state.packet.replace(":", "_"))
        lines.extend(f"wrote {path}" for path in write_files(output_path(pictures), made))
    return state, tuple(lines)


def _tell(lines: tuple[str, ...], output: Format) -> None:
    """Say what was seen; beside JSON on standard error, where it does not spoil the result."""
    for line in lines:
        if output is Format.JSON:
            typer.echo(drop_signs(line), err=True)
        else:
            say(line)


def need_scan() -> None:
    """Say which packages are missing when files cannot be looked at."""
    from importlib.util import find_spec

    wanted = ("numpy", "PIL", "pypdf", "pypdfium2", "zxingcpp")
    missing = [name for name in wanted if not find_spec(name)]
    if missing:
        raise RefusedError(
            f"looking at files needs packages that are not installed: {', '.join(missing)}",
            hint='pip install "mailby[scan]"; answering the questions needs none of them',
        )


def _ask(state: "Checking", db: str | None) -> "Checking":
    """Ask question after question; each answer is kept at once. An end of input stops it."""
    from compliance.app import checking
    from compliance.app.asking import ask_questions

    def keep(changed: "Checking") -> None:
        with session_of(db) as session:
            checking.keep_checking(session, changed)

    return ask_questions(state, _read_line, say, keep)


def _read_line(prompt: str) -> str | None:
    try:
        return input(prompt)
    except EOFError:
        say("")
        return None
